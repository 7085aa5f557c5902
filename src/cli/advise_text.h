/* advise_text.h: advice, and what it takes to throw a vat away, as words and JSON. */
#ifndef VATCAST_CLI_ADVISE_TEXT_H
#define VATCAST_CLI_ADVISE_TEXT_H

#include "cli/text.h"
#include "study/advise.h"
#include "study/correction_words.h"
#include "study/disposal.h"

struct advise_answer {
    const struct scenario *scenario;
    bool advised; /* `advice` is there */
    struct advice advice;
    bool retired; /* `disposal` is there */
    struct disposal disposal;
};

#define EVENT_LINE 160
/* The step as entries of a scenario's calendar, to be pasted there; returns how many lines, at most 2. */
int advise_event_lines(const struct scenario *scenario, const struct correction *step, char lines[2][EVENT_LINE]);

/* Prints a line with its label and clears it. */
void advise_line(const char *label, struct text *text);

extern const char *const advice_words[];     /* of enum advice_verdict */
extern const char *const correction_words[]; /* of enum correction_kind */

void advise_print(const struct advise_answer *answer);
void disposal_print(const struct advise_answer *answer);
struct status advise_print_json(const struct advise_answer *answer) MUST_USE;

#endif
