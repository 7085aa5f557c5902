/* summary_cloth.c: what was dyed, how blue each piece is, and what it cost in pigment. */
#include "cli/summary_parts.h"
#include "study/summary_words.h"

#include <math.h>
#include <string.h>

/* ---- Dyed -------------------------------------------------------------------------------------------------------- */

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
    story_line(story, "Dyed", &text);
    text_free(&text);
}

/* ---- Pieces ------------------------------------------------------------------------------------------------------ */

/* The columns of /pieces that are told. */
struct piece_columns {
    const struct column *kind, *number, *dips, *owf, *shade, *red, *green, *blue, *specked;
};

static bool pieces_are_whole(const struct piece_columns *c)
{
    return c->kind != NULL && c->number != NULL && c->dips != NULL && c->owf != NULL && c->shade != NULL &&
           c->red != NULL && c->green != NULL && c->blue != NULL && c->specked != NULL;
}

/* Whether two neighbours in the table can be told in one line. */
static bool told_alike(const struct piece_columns *c, size_t one, size_t other)
{
    return c->kind->values[one] == c->kind->values[other] && c->dips->values[one] == c->dips->values[other] &&
           c->shade->values[one] == c->shade->values[other] && c->specked->values[one] == c->specked->values[other];
}

/* A line with a block of colour (sRGB) before it where the terminal can show one. */
static void line_with_swatch(const struct story *story, const char *label, const struct text *text, const double rgb[3])
{
    if (!story->style.swatches) {
        story_line(story, label, text);
        return;
    }
    fprintf(story->out, "%-*s\033[48;2;%.0f;%.0f;%.0fm      \033[0m ", LABEL_INDENT, label, rgb[0], rgb[1], rgb[2]);
    text_print_wrapped(story->out, &story->style, "", 0, text_string(text),
                       story->style.width - LABEL_INDENT - SWATCH_WIDTH, "");
}

/* "sash 1 to 4, 9 dips: mid blue, 0.93 to 1.02 % owf", with a swatch where the terminal can show one. */
static void tell_pieces(const struct story *story, const struct piece_columns *c, size_t first, size_t last,
                        const char *label)
{
    char name[WORD_SIZE];
    char shade[WORD_SIZE];
    struct text text = {0};
    double low = c->owf->values[first];
    double high = low;
    for (size_t row = first; row <= last; row++) {
        low = fmin(low, c->owf->values[row]);
        high = fmax(high, c->owf->values[row]);
    }
    line_of_list(story->result->piece_names, c->kind->values[first], name, sizeof name);
    word_of_code(c->shade, first, shade);
    text_add(&text, "%s %.0f", name[0] != '\0' ? name : "piece", c->number->values[first]);
    if (last > first) {
        text_add(&text, " to %.0f", c->number->values[last]);
    }
    text_add(&text, ", %.0f dip%s: %s, %.2f", c->dips->values[first], c->dips->values[first] == 1.0 ? "" : "s", shade, low);
    if (high - low >= 0.005) {
        text_add(&text, " to %.2f", high);
    }
    text_add(&text, " %% owf%s", c->specked->values[first] > 0.0 ? ", specked by the bed" : "");
    line_with_swatch(story, label, &text,
                     (double[3]){c->red->values[first], c->green->values[first], c->blue->values[first]});
    text_free(&text);
}

static void print_pieces(const struct story *story)
{
    const struct table *table = &story->result->pieces;
    const struct piece_columns c = {
        .kind = table_column(table, "kind"),       .number = table_column(table, "number"),
        .dips = table_column(table, "dips"),       .owf = table_column(table, "owf_washed"),
        .shade = table_column(table, "shade"),     .red = table_column(table, "red"),
        .green = table_column(table, "green"),     .blue = table_column(table, "blue"),
        .specked = table_column(table, "specked"),
    };
    const char *label = "Pieces";
    for (size_t first = 0; pieces_are_whole(&c) && first < table->rows;) {
        size_t last = first;
        while (last + 1 < table->rows && told_alike(&c, first, last + 1)) {
            last++;
        }
        if (c.dips->values[first] > 0.0) {
            tell_pieces(story, &c, first, last, label);
            label = "";
        }
        first = last + 1;
    }
}

/* ---- Pigment ----------------------------------------------------------------------------------------------------- */

/* Sum of the rows of the indigo ledger with one of some names. */
static double ledger_sum(const struct table *table, const char *const *names)
{
    const struct column *amount = table_column(table, "amount");
    double sum = 0.0;
    for (size_t row = 0; amount != NULL && row < table->rows; row++) {
        char word[WORD_SIZE];
        word_of_list(table->row_names, (double)row, word);
        for (size_t i = 0; names[i] != NULL; i++) {
            sum += strcmp(word, names[i]) == 0 ? amount->values[row] : 0.0;
        }
    }
    return sum;
}

static void print_pigment(const struct story *story)
{
    static const char *const taken[] = {"sorbed by cloth", "surface of cloth",  "loose in cloth",
                                        "rinsed off",      "dripped off cloth", NULL};
    static const char *const put_in[] = {"initial", "added", NULL};
    const struct result *result = story->result;
    const struct column *mass = table_column(&result->pieces, "mass");
    const struct column *owf = table_column(&result->pieces, "owf_washed");
    const struct column *dips = table_column(&result->pieces, "dips");
    double cloth = 0.0;
    double washed = 0.0;
    for (size_t row = 0; mass != NULL && owf != NULL && dips != NULL && row < result->pieces.rows; row++) {
        cloth += dips->values[row] > 0.0 ? mass->values[row] : 0.0;
        washed += mass->values[row] * owf->values[row] * 10.0; /* g */
    }
    for (size_t k = 0; k < result->ledger_count; k++) {
        const struct table *ledger = &result->ledger[k];
        double in = ledger_sum(ledger, put_in);
        if (strcmp(ledger->name, "indigo") != 0 || !(cloth > 0.0) || !(in > 0.0)) {
            continue;
        }
        struct text text = {0};
        text_add(&text,
                 "%.1f g of indigotin left the vat for each kilogram of cloth; %.0f %% of what was put in is on the "
                 "washed cloth",
                 -ledger_sum(ledger, taken) / cloth, 100.0 * washed / in);
        story_line(story, "Pigment", &text);
        text_free(&text);
    }
}

/* ---- Liquor ------------------------------------------------------------------------------------------------------ */

/* What a glass of the liquor looks like at the end. */
static void print_liquor(const struct story *story)
{
    const struct table *series = &story->result->series;
    const struct column *clarity = table_column(series, "liquor_clarity");
    const struct column *hue = table_column(series, "liquor_hue");
    const struct column *const parts[] = {table_column(series, "liquor_red"), table_column(series, "liquor_green"),
                                          table_column(series, "liquor_blue")};
    if (clarity == NULL || hue == NULL || parts[0] == NULL || parts[1] == NULL || parts[2] == NULL) {
        return;
    }
    size_t last = series->rows - 1;
    char word[WORD_SIZE];
    struct text text = {0};
    word_of_code(clarity, last, word);
    text_add(&text, "a glass of it is %s", word);
    word_of_code(hue, last, word);
    text_add(&text, " %s at the end", word);
    line_with_swatch(story, "Liquor", &text, (double[3]){parts[0]->values[last], parts[1]->values[last],
                                                         parts[2]->values[last]});
    text_free(&text);
}

void summary_cloth(const struct story *story)
{
    print_dyed(story);
    print_pieces(story);
    print_pigment(story);
    print_liquor(story);
}
