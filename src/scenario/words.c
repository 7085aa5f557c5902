/* words.c: see words.h; also the words of the enums of scenario.h. */
#include "scenario/words.h"

#include "scenario/scenario.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

#define WORD_MOST 63

const char *const vessel_shape_words[] = {"round", "square", NULL};
const char *const wall_words[] = {"plastic", "metal", "wood", "ceramic", NULL};
const char *const wrap_words[] = {"none", "blanket", "foam", NULL};
const char *const lid_words[] = {"none", "loose", "tight", NULL};
const char *const sun_words[] = {"shade", "half", "full", NULL};
const char *const stir_words[] = {"gentle", "brisk", "whip", NULL};
const char *const wring_words[] = {"hand", "drip", "spin", NULL};
const char *const pick_words[] = {"fewest", "unfinished", "palest", NULL};
const char *const look_words[] = {"unknown", "blue", "green", "faint bronze", "bronze", NULL};
const char *const pinch_words[] = {"unknown", "sucked in", "slow", "stays", NULL};
const char *const smell_words[] = {"unknown", "flat", "sweet", "caramel", "limey", "sour", NULL};
const char *const action_words[] = {"add",  "top up", "heat", "heat off", "stir",  "dip",  "cover", "wrap",
                                    "move", "skim",   "rack", "read",     "rinse", "sour", "wash",  NULL};
const char *const instrument_words[] = {"none", "strip", "meter", "thermometer", "look", "orp", "test strip", NULL};
const char *const observable_words[] = {"ph", "temperature", "orp", "look", "level", "idle", "test strip", NULL};

static char lower(char letter)
{
    return (char)tolower((unsigned char)letter);
}

const char *skip_blanks(const char *text)
{
    return text + strspn(text, " \t");
}

bool words_equal_ignoring_case(const char *a, const char *b)
{
    while (*a != '\0' && lower(*a) == lower(*b)) {
        a++;
        b++;
    }
    return *a == '\0' && *b == '\0';
}

static bool ends_with(const char *name, const char *ending)
{
    size_t length = strlen(name);
    size_t of = strlen(ending);
    return length > of && strcmp(name + length - of, ending) == 0;
}

void word_plural(const char *name, char *text, size_t size)
{
    static const char *const hissing[] = {"x", "z", "ss", "sh", "ch"};
    int kept = (int)strlen(name);
    const char *ending = ends_with(name, "s") ? "" : "s";
    for (size_t i = 0; i < sizeof hissing / sizeof hissing[0]; i++) {
        ending = ends_with(name, hissing[i]) ? "es" : ending;
    }
    if (ends_with(name, "y") && strchr("aeiou", lower(name[kept - 2])) == NULL) {
        ending = "ies";
        kept--;
    }
    (void)snprintf(text, size, "%.*s%s", kept, name, ending);
}

int word_index(const char *word, const char *const *words)
{
    for (int i = 0; words[i] != NULL; i++) {
        if (strcmp(word, words[i]) == 0) {
            return i;
        }
    }
    return -1;
}

static size_t least(size_t a, size_t b)
{
    return a < b ? a : b;
}

size_t word_distance(const char *a, const char *b)
{
    size_t length_a = least(strlen(a), WORD_MOST);
    size_t length_b = least(strlen(b), WORD_MOST);
    size_t cost[3][WORD_MOST + 1]; /* rows i - 2, i - 1 and i, in turn */
    for (size_t j = 0; j <= length_b; j++) {
        cost[0][j] = j;
    }
    for (size_t i = 1; i <= length_a; i++) {
        size_t *row = cost[i % 3];
        const size_t *above = cost[(i + 2) % 3];
        const size_t *two_above = cost[(i + 1) % 3];
        row[0] = i;
        for (size_t j = 1; j <= length_b; j++) {
            size_t other = lower(a[i - 1]) == lower(b[j - 1]) ? 0 : 1;
            row[j] = least(least(above[j] + 1, row[j - 1] + 1), above[j - 1] + other);
            if (i > 1 && j > 1 && lower(a[i - 1]) == lower(b[j - 2]) && lower(a[i - 2]) == lower(b[j - 1])) {
                row[j] = least(row[j], two_above[j - 2] + 1);
            }
        }
    }
    return cost[length_a % 3][length_b];
}

const char *word_nearest(const char *word, const char *const *words)
{
    const char *nearest = NULL;
    size_t length = strlen(word);
    size_t limit = length < 4 ? 1 : length < 9 ? 2 : length / 3;
    for (size_t i = 0; words[i] != NULL; i++) {
        size_t distance = word_distance(word, words[i]);
        if (distance <= limit) {
            nearest = words[i];
            if (distance == 0) {
                break;
            }
            limit = distance - 1;
        }
    }
    return nearest;
}

void word_list(const char *const *words, char *text, size_t size)
{
    static const char more[] = " ...";
    text[0] = '\0';
    size_t used = 0;
    for (size_t i = 0; words[i] != NULL; i++) {
        const char *joint = i == 0 ? "" : words[i + 1] == NULL ? " or " : ", ";
        if (used + strlen(joint) + strlen(words[i]) + 2 + sizeof more > size) {
            (void)snprintf(text + used, size - used, more);
            return;
        }
        used += (size_t)snprintf(text + used, size - used, "%s\"%s\"", joint, words[i]);
    }
}
