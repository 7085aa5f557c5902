/* summary_words.h: numbers, codes and ledger rows as a dyer would say them. */
#ifndef VATCAST_STUDY_SUMMARY_WORDS_H
#define VATCAST_STUDY_SUMMARY_WORDS_H

#include "sim/result.h"

#include <stddef.h>

#define WORD_SIZE 64

/* Word number `value` of space-separated words, underscores as blanks; "" when there is none. */
void word_of_list(const char *words, double value, char word[WORD_SIZE]);
/* The word of a coded column in a row; "" when not known. */
void word_of_code(const struct column *column, size_t row, char word[WORD_SIZE]);
/* Line number `index` of newline-separated lines, cut to fit; "" when there is none. */
void line_of_list(const char *lines, double index, char *line, size_t size);

/* What a dyer sees for a look word: "bronze" is "amber under a bronze film". */
const char *look_phrase(const char *look);
/* Shade on cellulose for indigotin on weight of fibre, per cent, after washing. */
const char *shade_word(double owf_percent);
/* A ledger row, its underscores already blanks, as one would say it: "undissolved" is "left undissolved". */
const char *ledger_phrase(const char *row);

/* "1,010 g", "2.3 kg", "0.4 g", "3.1 L": a value in SI or the ledger's unit, rounded as one would say it. */
void say_mass(double kg, char text[WORD_SIZE]);
void say_cloth(double kg, char text[WORD_SIZE]);
void say_volume(double litres, char text[WORD_SIZE]);
/* The name for `count` of a thing: "24 sashes". */
void say_count(double count, const char *name, char *text, size_t size);

#endif
