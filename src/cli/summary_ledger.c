/* summary_ledger.c: where the indigo, the sugar, the lime, the water and the air went. */
#include "cli/summary_parts.h"
#include "study/summary_words.h"

#include <math.h>
#include <string.h>

#define SMALLEST_SHARE 0.005 /* of what came in: smaller rows are summed up */

/* ---- the books --------------------------------------------------------------------------------------------------- */

/* How a ledger is told. */
struct telling {
    const char *name, *label, *of;
    bool amounts; /* amounts beside the per cents */
};

static const struct telling tellings[] = {
    {"indigo", "Indigo", "", true}, {"hexose", "Sugar", "", false},         {"lime", "Lime", "", false},
    {"feed", "Feed", "", false},    {"alkali", "Alkali", "", false},
    {"water", "Water", "", true},   {"oxygen", "Air", " of oxygen", false},
};

static void say_amount(double amount, const char *unit, char text[WORD_SIZE])
{
    if (strcmp(unit, "g") == 0) {
        say_mass(amount / 1000.0, text);
    } else if (strcmp(unit, "kg") == 0 || strcmp(unit, "L") == 0) {
        say_volume(amount, text); /* the ledger in kg is that of water */
    } else {
        (void)snprintf(text, WORD_SIZE, "%.3g %s", fabs(amount), unit);
    }
}

enum direction { CAME_IN, WENT_OUT, LEFT_OVER };

static enum direction direction_of(const struct table *table, size_t row)
{
    char word[WORD_SIZE];
    word_of_code(table_column(table, "part"), row, word);
    if (strcmp(word, "left") == 0) {
        return LEFT_OVER;
    }
    return table_column(table, "amount")->values[row] > 0.0 ? CAME_IN : WENT_OUT;
}

/* The rows of one direction as a list; what is too small to tell is summed into `small`. */
static void tell_rows(const struct table *table, const struct telling *telling, enum direction direction, double total,
                      struct text *text, double *small)
{
    const struct column *amount = table_column(table, "amount");
    for (size_t row = 0; row < table->rows; row++) {
        double share = fabs(amount->values[row]) / total;
        if (direction_of(table, row) != direction) {
            continue;
        }
        if (share < SMALLEST_SHARE) {
            *small += share;
            continue;
        }
        char word[WORD_SIZE];
        char quantity[WORD_SIZE];
        word_of_list(table->row_names, (double)row, word);
        const char *phrase = direction == WENT_OUT && strcmp(word, "water poured") == 0
                                 ? "to the carbonate of poured water"
                                 : ledger_phrase(word);
        say_amount(amount->values[row], amount->unit, quantity);
        /* what is left may be less than nothing where acid outweighs lime */
        const char *sign = direction == LEFT_OVER && amount->values[row] < 0.0 ? "-" : "";
        if (telling->amounts) {
            text_join(text, ", ", "%s%s (%.0f %%) %s", sign, quantity, 100.0 * share, phrase);
        } else {
            text_join(text, ", ", "%s%.0f %% %s", sign, 100.0 * share, phrase);
        }
    }
}

static void print_book(const struct story *story, const struct table *table, const struct telling *telling)
{
    const struct column *amount = table_column(table, "amount");
    if (amount == NULL || table_column(table, "part") == NULL || table->row_names == NULL) {
        return;
    }
    double total = 0.0;
    int sources = 0;
    for (size_t row = 0; row < table->rows; row++) {
        total += direction_of(table, row) == CAME_IN ? amount->values[row] : 0.0;
    }
    for (size_t row = 0; row < table->rows; row++) {
        sources += direction_of(table, row) == CAME_IN && amount->values[row] >= SMALLEST_SHARE * total;
    }
    if (!(total > 0.0)) {
        return;
    }
    struct text text = {0};
    struct text sources_text = {0};
    char quantity[WORD_SIZE];
    double small = 0.0;
    double unheeded = 0.0;
    say_amount(total, amount->unit, quantity);
    text_add(&text, "%s%s in", quantity, telling->of);
    if (sources > 1) {
        struct telling shares = *telling;
        shares.amounts = false;
        tell_rows(table, &shares, CAME_IN, total, &sources_text, &unheeded);
        text_add(&text, " (%s)", text_string(&sources_text));
        text_clear(&sources_text);
    }
    tell_rows(table, telling, WENT_OUT, total, &sources_text, &small);
    tell_rows(table, telling, LEFT_OVER, total, &sources_text, &small);
    if (small >= SMALLEST_SHARE) {
        text_join(&sources_text, ", ", "%.0f %% in small ways", 100.0 * small);
    }
    text_add(&text, ": %s", text_string(&sources_text));
    story_line(story, telling->label, &text);
    text_free(&sources_text);
    text_free(&text);
}

void summary_ledger(const struct story *story)
{
    const struct result *result = story->result;
    for (size_t i = 0; i < sizeof tellings / sizeof tellings[0]; i++) {
        const char *told = result_ledger_told(result, tellings[i].name);
        for (size_t k = 0; k < result->ledger_count; k++) {
            if (strcmp(result->ledger[k].name, tellings[i].name) == 0 && strcmp(told, tellings[i].name) == 0) {
                print_book(story, &result->ledger[k], &tellings[i]);
            }
        }
    }
}
