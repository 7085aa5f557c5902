/* summary_ledger.c: what was dyed, and where the indigo, the sugar, the lime, the water and the air went. */
#include "cli/summary_parts.h"
#include "cli/summary_words.h"

#include <math.h>
#include <string.h>

#define SMALLEST_SHARE 0.005 /* of what came in: smaller rows are summed up */

static void print_line(const struct story *story, const char *label, const struct text *text)
{
    text_print_wrapped(story->out, &story->style, label, LABEL_INDENT, text_string(text), story->style.width, "");
}

/* ---- Dyed ------------------------------------------------------------------------------------------------------- */

struct dyed {
    double dyed, not_dyed;              /* pieces */
    double mass;                        /* kg, of those dyed */
    double owf_mean, owf_low, owf_high; /* per cent after washing */
};

static struct dyed gather_dyed(const struct result *result, double which)
{
    const struct table *table = &result->pieces;
    const struct column *kind = table_column(table, "kind");
    const struct column *mass = table_column(table, "mass");
    const struct column *dips = table_column(table, "dips");
    const struct column *owf = table_column(table, "owf_washed");
    struct dyed dyed = {.owf_low = (double)INFINITY, .owf_high = -(double)INFINITY};
    for (size_t row = 0; row < table->rows; row++) {
        if (kind->values[row] != which) {
            continue;
        }
        if (!(dips->values[row] > 0.0)) {
            dyed.not_dyed += 1.0;
            continue;
        }
        dyed.dyed += 1.0;
        dyed.mass += mass->values[row];
        dyed.owf_mean += owf->values[row];
        dyed.owf_low = fmin(dyed.owf_low, owf->values[row]);
        dyed.owf_high = fmax(dyed.owf_high, owf->values[row]);
    }
    if (dyed.dyed > 0.0) {
        dyed.owf_mean /= dyed.dyed;
    }
    return dyed;
}

static void tell_kind(const struct story *story, double kind, struct text *text)
{
    struct dyed dyed = gather_dyed(story->result, kind);
    char name[WORD_SIZE];
    char counted[WORD_SIZE + 16];
    line_of_list(story->result->piece_names, kind, name, sizeof name);
    if (name[0] == '\0') {
        (void)snprintf(name, sizeof name, "piece");
    }
    if (dyed.dyed > 0.0) {
        char low[16];
        char high[16];
        char mass[WORD_SIZE];
        const char *palest = shade_word(dyed.owf_low);
        const char *darkest = shade_word(dyed.owf_high);
        say_count(dyed.dyed, name, counted, sizeof counted);
        say_cloth(dyed.mass, mass);
        text_join(text, "; ", "%s, %s: ", counted, mass);
        if (strcmp(palest, darkest) != 0) {
            text_add(text, "%s to ", palest);
        }
        text_add(text, "%s, %.2f %% owf after washing", darkest, dyed.owf_mean);
        (void)snprintf(low, sizeof low, "%.2f", dyed.owf_low);
        (void)snprintf(high, sizeof high, "%.2f", dyed.owf_high);
        if (strcmp(low, high) != 0) {
            text_add(text, " (%s to %s)", low, high);
        }
    }
    if (dyed.not_dyed > 0.0) {
        say_count(dyed.not_dyed, name, counted, sizeof counted);
        text_join(text, "; ", "%s not dyed", counted);
    }
}

static void print_dyed(const struct story *story)
{
    const struct table *table = &story->result->pieces;
    const struct column *kind = table_column(table, "kind");
    if (table->rows == 0 || kind == NULL || table_column(table, "mass") == NULL ||
        table_column(table, "dips") == NULL || table_column(table, "owf_washed") == NULL) {
        return;
    }
    struct text text = {0};
    double last = -1.0; /* the pieces of a kind stand together */
    for (size_t row = 0; row < table->rows; row++) {
        if (kind->values[row] > last) {
            last = kind->values[row];
            tell_kind(story, last, &text);
        }
    }
    double cloth_dips = story_value(story->cloth_dips, story->result->series.rows - 1);
    if (cloth_dips > 0.0) {
        char mass[WORD_SIZE];
        say_cloth(cloth_dips, mass);
        text_add(&text, "; %s of cloth-dips in all", mass);
    }
    print_line(story, "Dyed", &text);
    text_free(&text);
}

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
    print_line(story, telling->label, &text);
    text_free(&sources_text);
    text_free(&text);
}

/* Whether another book of the result says it better: feed where sugar comes from it, alkali where soda stands beside lime. */
static bool has_better(const struct result *result, const char *name)
{
    const char *better = strcmp(name, "hexose") == 0 ? "feed" : strcmp(name, "lime") == 0 ? "alkali" : "";
    for (size_t k = 0; k < result->ledger_count; k++) {
        if (strcmp(result->ledger[k].name, better) == 0) {
            return true;
        }
    }
    return false;
}

void summary_ledger(const struct story *story)
{
    const struct result *result = story->result;
    print_dyed(story);
    for (size_t i = 0; i < sizeof tellings / sizeof tellings[0]; i++) {
        for (size_t k = 0; k < result->ledger_count; k++) {
            if (strcmp(result->ledger[k].name, tellings[i].name) == 0 && !has_better(result, tellings[i].name)) {
                print_book(story, &result->ledger[k], &tellings[i]);
            }
        }
    }
}
