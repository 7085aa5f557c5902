/* phrase.c: see phrase.h. */
#include "rehearse/phrase.h"

#include "scenario/words.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define AMOUNT_WORDS_MOST 5

static const char *const numbers[] = {"nought", "one",   "two",  "three", "four",   "five",   "six",
                                      "seven",  "eight", "nine", "ten",   "eleven", "twelve", NULL};

static bool parts_words(const char *c)
{
    return *c == ' ' || *c == '\t' || (*c == ',' && (c[1] == ' ' || c[1] == '\t' || c[1] == '\0'));
}

/* Adds a word; false when there is no room. */
static bool add_word(struct phrase *phrase, size_t *used, const char *word, size_t length)
{
    if (phrase->count == PHRASE_WORDS_MOST || *used + length + 2 > sizeof phrase->kept) {
        return false;
    }
    phrase->begins[phrase->count++] = (int)*used;
    for (size_t i = 0; i < length; i++, (*used)++) {
        phrase->kept[*used] = word[i];
        phrase->lower[*used] = (char)tolower((unsigned char)word[i]);
    }
    (*used)++; /* the NUL */
    return true;
}

bool phrase_split(struct phrase *phrase, const char *sentence)
{
    size_t used = 0;
    *phrase = (struct phrase){.count = 0};
    while (*sentence != '\0') {
        size_t length = 0;
        while (sentence[length] != '\0' && !parts_words(sentence + length)) {
            length++;
        }
        size_t letters = length;
        while (letters > 0 && strchr(".!?;", sentence[letters - 1]) != NULL) {
            letters--;
        }
        if (letters > 0 && !add_word(phrase, &used, sentence, letters)) {
            return false;
        }
        sentence += length > 0 ? length : 1;
    }
    return true;
}

const char *phrase_word(const struct phrase *phrase, int ahead)
{
    int word = phrase->at + ahead;
    return word < phrase->count ? phrase->lower + phrase->begins[word] : "";
}

bool phrase_is_over(const struct phrase *phrase)
{
    return phrase->at >= phrase->count;
}

/* Whether one alternative of `words` comes next; how many words it has. */
static int words_next(const struct phrase *phrase, const char *words)
{
    int count = 0;
    while (*words != '\0' && *words != '|') {
        size_t length = strcspn(words, " |");
        const char *next = phrase_word(phrase, count);
        if (strlen(next) != length || strncmp(next, words, length) != 0) {
            return 0;
        }
        count++;
        words += length;
        words += *words == ' ';
    }
    return count;
}

bool phrase_take(struct phrase *phrase, const char *words)
{
    for (;;) {
        int count = words_next(phrase, words);
        if (count > 0) {
            phrase->at += count;
            return true;
        }
        words = strchr(words, '|');
        if (words == NULL) {
            return false;
        }
        words++;
    }
}

void phrase_rest(const struct phrase *phrase, bool lowered, char *text, size_t size)
{
    size_t used = 0;
    text[0] = '\0';
    for (int i = phrase->at; i < phrase->count && used < size; i++) {
        used += (size_t)snprintf(text + used, size - used, "%s%s", i > phrase->at ? " " : "",
                                 (lowered ? phrase->lower : phrase->kept) + phrase->begins[i]);
    }
}

/* ---- numbers and amounts ----------------------------------------------------------------------------------------- */

bool phrase_count(struct phrase *phrase, int *count)
{
    const char *word = phrase_word(phrase, 0);
    int named = word_index(word, numbers);
    if (named > 0) {
        *count = named;
    } else if (strlen(word) > 0 && strlen(word) < 6 && strspn(word, "0123456789") == strlen(word)) {
        *count = (int)strtol(word, NULL, 10);
    } else {
        return false;
    }
    phrase->at++;
    return true;
}

/* A number said in words at the front, in digits; how many words it takes. "" and 0: none. */
static int number_in_words(const struct phrase *phrase, char digits[AMOUNT_SIZE])
{
    const char *first = phrase_word(phrase, 0);
    const char *second = phrase_word(phrase, 1);
    bool one = strcmp(first, "a") == 0 || strcmp(first, "an") == 0;
    digits[0] = '\0';
    if (strcmp(first, "half") == 0 || (one && strcmp(second, "half") == 0)) {
        (void)snprintf(digits, AMOUNT_SIZE, "1/2");
        int taken = one ? 2 : 1;
        const char *next = phrase_word(phrase, taken);
        return strcmp(next, "a") == 0 || strcmp(next, "an") == 0 ? taken + 1 : taken;
    }
    if (one && strcmp(second, "quarter") == 0) {
        (void)snprintf(digits, AMOUNT_SIZE, "1/4");
        return strcmp(phrase_word(phrase, 2), "of") == 0 ? 4 : 2;
    }
    int named = one ? 1 : word_index(first, numbers);
    if (named < 0 && strspn(first, "0123456789") != strlen(first)) {
        return 0;
    }
    int taken = 1;
    const char *half = "";
    if (strcmp(second, "and") == 0 && strcmp(phrase_word(phrase, 2), "a") == 0 &&
        strcmp(phrase_word(phrase, 3), "half") == 0) {
        half = " 1/2";
        taken = 4;
    }
    if (named < 0 && half[0] == '\0') {
        return 0; /* digits speak for themselves */
    }
    if (named >= 0) {
        (void)snprintf(digits, AMOUNT_SIZE, "%d%s", named, half);
    } else {
        (void)snprintf(digits, AMOUNT_SIZE, "%.20s%s", first, half);
    }
    return taken;
}

/* Everyday words for units that the library writes otherwise. */
static const char *unit_of(const char *word)
{
    static const char *const said[] = {"kilo",   "kilos",   "c",  "f", "celsius", "fahrenheit",
                                       "degree", "degrees", "ml", "l", NULL};
    static const char *const meant[] = {"kg", "kg", "degC", "degF", "degC", "degF", "", "", "mL", "L"};
    int index = word_index(word, said);
    return index < 0 ? NULL : meant[index];
}

/* Joins a number and `count` words from `from` on. */
static bool join_amount(const struct phrase *phrase, const char *number, int from, int count, char text[AMOUNT_SIZE])
{
    size_t used = (size_t)snprintf(text, AMOUNT_SIZE, "%s", number);
    for (int i = 0; i < count; i++) {
        int word = phrase->at + from + i;
        if (word >= phrase->count) {
            return false;
        }
        const char *unit = unit_of(phrase->lower + phrase->begins[word]);
        const char *said = unit != NULL ? unit : phrase->kept + phrase->begins[word];
        if (used + strlen(said) + 2 > AMOUNT_SIZE) {
            return false;
        }
        used += (size_t)snprintf(text + used, AMOUNT_SIZE - used, "%s%s", used > 0 && said[0] != '\0' ? " " : "", said);
    }
    return true;
}

bool phrase_amount(struct phrase *phrase, const struct quantities *quantities, const char *si, double *value,
                   char text[AMOUNT_SIZE])
{
    char number[AMOUNT_SIZE];
    char said[AMOUNT_SIZE];
    char unit[64];
    int taken = number_in_words(phrase, number);
    for (int count = AMOUNT_WORDS_MOST; count > 0; count--) {
        if (join_amount(phrase, number, taken, count, said) &&
            quantity_read(quantities, said, si, value, unit, sizeof unit) == QUANTITY_OK) {
            memcpy(text, said, sizeof said);
            phrase->at += taken + count;
            return true;
        }
    }
    return false;
}

bool phrase_duration(struct phrase *phrase, const struct quantities *quantities, double *seconds)
{
    double sum = 0.0;
    bool any = false;
    for (;;) {
        struct phrase ahead = *phrase;
        double part;
        char text[AMOUNT_SIZE];
        if (any) {
            (void)phrase_take(&ahead, "and");
        }
        if (!phrase_amount(&ahead, quantities, "s", &part, text)) {
            break;
        }
        *phrase = ahead;
        sum += part;
        any = true;
    }
    *seconds = any ? fmax(1.0, floor(sum + 0.5)) : 0.0;
    return any && sum > 0.0;
}

/* ---- saying ----------------------------------------------------------------------------------------------------- */

void duration_say(double seconds, char *text, size_t size)
{
    double minutes = floor(seconds / 60.0 + 0.5);
    if (seconds < 90.0) {
        (void)snprintf(text, size, seconds < 59.5 ? "%.0f s" : "1 min", seconds);
    } else if (minutes < 60.0) {
        (void)snprintf(text, size, "%.0f min", minutes);
    } else if (minutes < 2880.0) {
        double hours = floor(minutes / 60.0);
        double rest = minutes - 60.0 * hours;
        (void)snprintf(text, size, rest > 0.0 ? "%.0f h %.0f min" : "%.0f h", hours, rest);
    } else {
        double days = floor(minutes / 1440.0);
        double hours = floor((minutes - 1440.0 * days) / 60.0);
        (void)snprintf(text, size, hours > 0.0 ? "%.0f days %.0f h" : "%.0f days", days, hours);
    }
}
