/* summary_words.c: see summary_words.h. */
#include "study/summary_words.h"

#include "chem/shade.h"
#include "scenario/words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

void word_of_list(const char *words, double value, char word[WORD_SIZE])
{
    word[0] = '\0';
    if (words == NULL || isnan(value) || value < 0.0) {
        return;
    }
    for (size_t i = 0; *words != '\0'; i++) {
        words += strspn(words, " ");
        size_t length = strcspn(words, " ");
        if ((double)i >= value) {
            (void)snprintf(word, WORD_SIZE, "%.*s", (int)length, words);
            for (char *c = word; *c != '\0'; c++) {
                *c = *c == '_' ? ' ' : *c;
            }
            return;
        }
        words += length;
    }
}

void word_of_code(const struct column *column, size_t row, char word[WORD_SIZE])
{
    word_of_list(column == NULL ? NULL : column->flags, column == NULL ? (double)NAN : column->values[row], word);
}

void line_of_list(const char *lines, double index, char *line, size_t size)
{
    line[0] = '\0';
    if (lines == NULL || isnan(index) || index < 0.0) {
        return;
    }
    for (size_t i = 0; *lines != '\0'; i++) {
        size_t length = strcspn(lines, "\n");
        if ((double)i >= index) {
            (void)snprintf(line, size, "%.*s", (int)length, lines);
            return;
        }
        lines += length;
        lines += *lines == '\n';
    }
}

struct pair {
    const char *word, *phrase;
};

static const char *look_up(const struct pair *pairs, size_t count, const char *word, const char *otherwise)
{
    for (size_t i = 0; i < count; i++) {
        if (strcmp(pairs[i].word, word) == 0) {
            return pairs[i].phrase;
        }
    }
    return otherwise;
}
#define LOOK_UP(pairs, word, otherwise) look_up(pairs, sizeof(pairs) / sizeof(pairs)[0], word, otherwise)

const char *look_phrase(const char *look)
{
    static const struct pair looks[] = {
        {"blue", "blue, no film"},
        {"green", "green, no film"},
        {"faint bronze", "yellow-green, a faint bronze film"},
        {"bronze", "amber under a bronze film"},
        {"unknown", ""},
    };
    return LOOK_UP(looks, look, look);
}

const char *shade_word(double owf_percent)
{
    return shade_name(shade_of_owf(owf_percent / 100.0));
}

const char *ledger_phrase(const char *row)
{
    static const struct pair rows[] = {
        {"initial", "at the start"},
        {"added", "added"},
        {"water poured", "with water poured in"},
        {"brought by cloth", "brought by cloth"},
        {"stirred in", "stirred in"},
        {"stripped from cloth", "stripped from cloth"},
        {"sorbed by cloth", "in the fibre"},
        {"surface of cloth", "on the fibre, apt to rub off"},
        {"loose in cloth", "loose in wet cloth"},
        {"rinsed off", "gone with rinse water"},
        {"dripped off cloth", "dripped off cloth"},
        {"carried off on cloth", "carried off in wet cloth"},
        {"overflowed", "over the brim"},
        {"skimmed", "skimmed off"},
        {"racked", "drawn off with the bed"},
        {"reduced indigo", "reduced indigo"},
        {"broke down", "broke down in lime"},
        {"met air at surface", "met air at the surface"},
        {"met air stirred in", "met air stirred in"},
        {"met air of cloth", "met air carried in by cloth"},
        {"met air of water", "met air in poured water"},
        {"opened from feed", "opened up from feed"},
        {"split from sucrose", "split from sucrose"},
        {"into cells", "grew into cells"},
        {"fermented", "fermented to acids"},
        {"breathed", "breathed by cells"},
        {"soured", "soured by spoilers"},
        {"met air", "met air"},
        {"to lactate", "to lactate"},
        {"to acetate and gas", "to acetate and gas"},
        {"chalk", "left as chalk"},
        {"quick feed", "left as quick feed"},
        {"slow feed", "left as slow feed"},
        {"sugars", "left as sugars"},
        {"cells", "in living cells"},
        {"dead cells", "in dead cells"},
        {"acids of fermenting", "to acids of fermenting"},
        {"acids of breathing", "to acids of breathing"},
        {"acids of souring", "to acids of souring"},
        {"acids of reducing", "to acids of reducing"},
        {"acids of breakdown", "to acids of spent sugar"},
        {"acids of air", "to acids made with air"},
        {"carbon dioxide of air", "to chalk by the air"},
        {"through surface", "through the surface"},
        {"took leuco", "took leuco"},
        {"took sugar", "took sugar"},
        {"in bed", "in the bed"},
        {"suspended", "suspended"},
        {"leuco", "leuco in the liquor"},
        {"held leuco", "leuco held by sediment"},
        {"film", "in film and flower"},
        {"in soaking cloth", "in cloth in the vat"},
        {"reserve", "left as slow reserve"},
        {"fructose", "left as fructose"},
        {"glucose", "left as glucose"},
        {"reductone", "left as reductone"},
        {"undissolved", "left undissolved"},
        {"dissolved", "left dissolved"},
        {"in liquor", "left in the liquor"},
        {"made by reactions", "made by reactions"},
    };
    return LOOK_UP(rows, row, row);
}

void say_mass(double kg, char text[WORD_SIZE])
{
    double g = fabs(kg) * 1000.0;
    if (g >= 9999.5) {
        (void)snprintf(text, WORD_SIZE, "%.1f kg", g / 1000.0);
    } else if (g >= 999.5) {
        int whole = (int)(g + 0.5);
        (void)snprintf(text, WORD_SIZE, "%d,%03d g", whole / 1000, whole % 1000);
    } else if (g >= 9.95) {
        (void)snprintf(text, WORD_SIZE, "%.0f g", g);
    } else if (g >= 0.0995) {
        (void)snprintf(text, WORD_SIZE, "%.1f g", g);
    } else {
        (void)snprintf(text, WORD_SIZE, "%.2g g", g);
    }
}

void say_cloth(double kg, char text[WORD_SIZE])
{
    if (kg >= 0.9995) {
        (void)snprintf(text, WORD_SIZE, "%.1f kg", kg);
    } else {
        say_mass(kg, text);
    }
}

void say_volume(double litres, char text[WORD_SIZE])
{
    double v = fabs(litres);
    if (v >= 99.5) {
        (void)snprintf(text, WORD_SIZE, "%.0f L", v);
    } else if (v >= 0.095) {
        (void)snprintf(text, WORD_SIZE, "%.1f L", v);
    } else {
        (void)snprintf(text, WORD_SIZE, "%.0f mL", v * 1000.0);
    }
}

void say_count(double count, const char *name, char *text, size_t size)
{
    char many[WORD_SIZE + 4];
    word_plural(name, many, sizeof many);
    (void)snprintf(text, size, "%.0f %s", count, count > 1.0 ? many : name);
}
