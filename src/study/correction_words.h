/* correction_words.h: a correction as one would say it. */
#ifndef VATCAST_STUDY_CORRECTION_WORDS_H
#define VATCAST_STUDY_CORRECTION_WORDS_H

#include "study/course.h"

#include <stddef.h>

/* What a correction is made with; NULL: nothing is added. */
const struct material *correction_material(const struct scenario *scenario, enum correction_kind kind);

/* "warm it to 43 degC", "24 g of fructose, about 2 tbsp". */
void correction_say(const struct scenario *scenario, const struct correction *step, char *text, size_t size);

#endif
