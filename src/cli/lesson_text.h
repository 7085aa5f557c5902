/* lesson_text.h: a lesson in words: the list, what the learner is told, hints, and the debrief. */
#ifndef VATCAST_CLI_LESSON_TEXT_H
#define VATCAST_CLI_LESSON_TEXT_H

#include "cli/text.h"
#include "rehearse/lesson_play.h"

/* A text that may hold several paragraphs, wrapped to the screen. */
void lesson_print_words(const char *label, const char *words);

/* Title, what is told, aim, what is sought, the time there is, and how to go on. */
void lesson_print_opening(const struct lesson_play *play);

/* What was found for each goal, how both courses went, where they parted and what to try again. `yours` has come to the
 * lesson's end, and so has `good`. */
void lesson_print_debrief(const struct lesson_play *yours, const struct lesson_course *your_course,
                          const struct lesson_play *good, const struct lesson_course *good_course, const struct text_style *style);

#endif
