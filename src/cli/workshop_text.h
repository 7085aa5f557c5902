/* workshop_text.h: the answer of the workshop study in an organiser's words, as JSON and as comma-separated text. */
#ifndef VATCAST_CLI_WORKSHOP_TEXT_H
#define VATCAST_CLI_WORKSHOP_TEXT_H

#include "cli/text.h"
#include "scenario/scenario.h"
#include "study/workshop.h"

#include <stdio.h>

/* The whole answer; in the style of lines without the tables. */
void workshop_print(FILE *out, const struct text_style *style, const struct scenario *scenario,
                    const struct workshop_answer *answer);

/* workshop_json.c */
struct status workshop_print_json(const struct scenario *scenario, const struct workshop_answer *answer) MUST_USE;
/* The pieces of the first day, one a row. */
void workshop_print_csv(const struct scenario *scenario, const struct workshop_answer *answer);

/* Words shared by both. */
extern const char *const means_words[];   /* by enum means */
extern const char *const feeding_words[]; /* by enum feeding */

#endif
