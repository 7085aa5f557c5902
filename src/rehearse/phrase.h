/* phrase.h: a sentence as words, and taking from its front what a dyer may say: words, amounts, lengths of time, moments. */
#ifndef VATCAST_REHEARSE_PHRASE_H
#define VATCAST_REHEARSE_PHRASE_H

#include "rehearse/session.h"
#include "scenario/quantity.h"

#define PHRASE_WORDS_MOST 48
#define AMOUNT_SIZE 48

struct phrase {
    char lower[SENTENCE_SIZE]; /* in small letters, words parted by single NULs */
    char kept[SENTENCE_SIZE];  /* the same as it was written */
    int begins[PHRASE_WORDS_MOST];
    int count;
    int at; /* the word that comes next */
};

/* Splits at blanks; drops commas, and points, question and exclamation marks at the end of words. False: too many words. */
bool phrase_split(struct phrase *phrase, const char *sentence);

/* The word `ahead` words from here, in small letters; "" after the last. */
const char *phrase_word(const struct phrase *phrase, int ahead);
bool phrase_is_over(const struct phrase *phrase);
/* Takes the words (parted by blanks, alternatives by '|') when they come next. */
bool phrase_take(struct phrase *phrase, const char *words);
/* The rest as it was written (small letters when `lowered`); nothing is taken. */
void phrase_rest(const struct phrase *phrase, bool lowered, char *text, size_t size);

/* Takes "2", "two", "a", "1 1/2", "half a" with its unit. `text` gets it in the form of scenario files. False: nothing is taken. */
bool phrase_amount(struct phrase *phrase, const struct quantities *quantities, const char *si, double *value,
                   char text[AMOUNT_SIZE]);
/* Takes a whole number, in digits or as a word up to twelve. */
bool phrase_count(struct phrase *phrase, int *count);
/* Takes "20 min", "2 h", "2 hours and 30 min"; whole seconds, at least one. */
bool phrase_duration(struct phrase *phrase, const struct quantities *quantities, double *seconds);

/* Takes a moment: "14:30", "2 pm", "morning", "tomorrow", "day 3 10:00", "day 3", "2026-05-06 10:00", "start", "yesterday 10:00", "2 hours ago".
 * A time of day alone is the next one after `now`, or with `past` the last one before or at it. s since the start. */
bool phrase_moment(struct phrase *phrase, const struct quantities *quantities, const struct scenario *scenario,
                   double now, bool past, double *moment);

/* "15 min", "2 h", "1 h 20 min", "3 days", "2 days 5 h". */
void duration_say(double seconds, char *text, size_t size);

#endif
