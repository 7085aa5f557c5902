/* lesson_text.h: a lesson in words: the list, what the learner is told, hints, and the debrief. */
#ifndef VATCAST_CLI_LESSON_TEXT_H
#define VATCAST_CLI_LESSON_TEXT_H

#include "cli/text.h"
#include "rehearse/lesson_play.h"

/* A text that may hold several paragraphs, wrapped to the screen. */
void lesson_print_words(const char *label, const char *words);

/* Title, what is told, aim, what is sought, what time it is and how much there is, and how to go on. */
void lesson_print_opening(const struct lesson_play *play);

/* The debrief. `yours` has come to the lesson's end, and so has `good`. First what was found for each goal, what was hidden, where
 * the books of both courses part, and what to try again; `hints` were taken; */
void lesson_print_verdict(const struct lesson_play *yours, const struct lesson_course *your_course,
                          const struct lesson_course *good_course, int hints, const struct text_style *style);
/* then both courses side by side: what was done, given and dyed, and how the vat fared. */
void lesson_print_courses(const struct lesson_play *yours, const struct lesson_course *your_course,
                          const struct lesson_play *good, const struct lesson_course *good_course,
                          const struct text_style *style);

#endif
