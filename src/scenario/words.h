/* words.h: words a dyer writes: looking one up in a list, and the nearest known word to a mistaken one. */
#ifndef VATCAST_SCENARIO_WORDS_H
#define VATCAST_SCENARIO_WORDS_H

#include <stdbool.h>
#include <stddef.h>

/* Index of `word` in a NULL-terminated list; -1: not there. Case matters. */
int word_index(const char *word, const char *const *words);

/* Number of letters to insert, drop, replace or swap with a neighbour to turn one word into the other; case is
 * ignored. */
size_t word_distance(const char *a, const char *b);

/* The nearest word of a NULL-terminated list; NULL when none is near enough to be a slip of the pen. */
const char *word_nearest(const char *word, const char *const *words);

/* Writes `"a", "b" or "c"` into text; " ..." stands for those that do not fit. */
void word_list(const char *const *words, char *text, size_t size);

bool words_equal_ignoring_case(const char *a, const char *b);

/* What follows the blanks and tabs at the front of a text. */
const char *skip_blanks(const char *text);

/* The name for several of a thing: "sashes", "tea cosies"; a name that ends in a single s stays as it is. Cut to fit. */
void word_plural(const char *name, char *text, size_t size);

#endif
