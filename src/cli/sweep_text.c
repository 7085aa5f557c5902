/* sweep_text.c: what the runs of a sweep came to, on a screen. */
#include "cli/sweep_text.h"

#include "cli/text.h"
#include "study/figures.h"
#include "study/influence.h"
#include "study/summary_words.h"

#include <math.h>
#include <string.h>

#define INDENT 9
#define LABEL_WIDTH 32

/* Figures told, with their unit as a dyer would say it. */
static const struct {
    enum figure figure;
    const char *label;
    double scale;
    int decimals;
} told[] = {
    {FIGURE_READY_FIRST, "Ready after, hours", 1.0 / 3600.0, 0},
    {FIGURE_READY_DAYS, "Days ready, in all", 1.0, 1},
    {FIGURE_DYED, "Cloth dyed, kg", 1.0, 2},
    {FIGURE_PIECES_AT_SHADE, "Pieces at their shade", 1.0, 0},
    {FIGURE_OWF_MEAN, "Depth after washing, % owf", 1.0, 2},
    {FIGURE_OWF_LOW, "  palest piece, % owf", 1.0, 2},
    {FIGURE_OWF_HIGH, "  darkest piece, % owf", 1.0, 2},
    {FIGURE_SPREAD, "Spread of like pieces, %", 1.0, 1},
    {FIGURE_PH_LOWEST, "Lowest pH once ready", 1.0, 1},
    {FIGURE_INDIGO_ON_CLOTH, "Indigo on washed cloth, g", 1.0, 1},
    {FIGURE_INDIGO_LEFT, "Indigo left in the vat, g", 1.0, 1},
    {FIGURE_SUGAR_LEFT, "Sugar left, g", 1.0, 0},
    {FIGURE_LIME_LEFT, "Lime left, g", 1.0, 0},
    {FIGURE_END_PH, "pH at the end", 1.0, 1},
    {FIGURE_END_LEUCO, "Leuco at the end, g/L", 1.0, 2},
};
#define TOLD (sizeof told / sizeof told[0])

/* ---- the summary ------------------------------------------------------------------------------------------------- */

static void print_line(const struct text_style *style, const char *label, const struct text *text)
{
    text_print_wrapped(stdout, style, label, INDENT, text_string(text), TEXT_WIDTH, "");
}

static void print_over(const struct sweep_about *about, const struct text_style *style)
{
    struct text text = {0};
    for (size_t i = 0; i < about->swept_count && i < 8; i++) {
        const struct swept *swept = &about->swept[i];
        bool bare = strcmp(swept->unit, "1") == 0;
        text_clear(&text);
        text_add(&text, "%s from %.6g to %.6g%s%s, %s", swept->name, swept->low, swept->high, bare ? "" : " ",
                 bare ? "" : swept->unit, swept->how);
        print_line(style, i == 0 ? "Over" : "", &text);
    }
    if (about->swept_count > 8) {
        text_clear(&text);
        text_add(&text, "and %zu more", about->swept_count - 8);
        print_line(style, "", &text);
    }
    text_free(&text);
}

static void print_runs(const struct sweep_about *about, const struct text_style *style)
{
    const struct column *condition = table_column(&about->members, figure_specs[FIGURE_CONDITION].name);
    size_t counts[RUN_OUT_OF_RANGE + 1];
    struct text text = {0};
    figures_count_conditions(condition, about->members.rows, counts);
    text_add(&text, "%zu of %zu became ready to dye", counts[RUN_WAS_READY], about->runs);
    if (counts[RUN_OUT_OF_RANGE] > 0) {
        text_add(&text,
                 "; %zu left what the model covers (froze, boiled, ran dry or could not be calculated) and are not "
                 "counted below",
                 counts[RUN_OUT_OF_RANGE]);
    }
    print_line(style, "Runs", &text);
    text_free(&text);
}

static void print_table(const struct table *percentiles)
{
    printf("\n%-*s%8s%8s%8s%8s%8s\n", LABEL_WIDTH, "Of the runs lie below:", "5 %", "25 %", "half", "75 %", "95 %");
    for (size_t i = 0; i < TOLD; i++) {
        const struct column *column = table_column(percentiles, figure_specs[told[i].figure].name);
        if (column == NULL || !isfinite(column->values[0])) {
            continue;
        }
        printf("%-*s", LABEL_WIDTH, told[i].label);
        for (int p = 0; p < PERCENTILE_COUNT; p++) {
            double value = column->values[p] * told[i].scale;
            printf("%8.*f", told[i].decimals, value == 0.0 ? 0.0 : value);
        }
        putchar('\n');
    }
    putchar('\n');
}

static void print_shades(const struct table *percentiles, const struct text_style *style)
{
    const struct column *owf = table_column(percentiles, figure_specs[FIGURE_OWF_MEAN].name);
    if (owf == NULL || !isfinite(owf->values[0])) {
        return;
    }
    struct text text = {0};
    const char *palest = shade_word(owf->values[0]);
    const char *darkest = shade_word(owf->values[4]);
    if (strcmp(palest, darkest) == 0) {
        text_add(&text, "%s in nine runs of ten", palest);
    } else {
        text_add(&text, "%s in the middle; %s to %s in nine runs of ten", shade_word(owf->values[2]), palest, darkest);
    }
    print_line(style, "Dyed", &text);
    text_free(&text);
}

static void print_influence(const struct sweep_about *about, const struct text_style *style)
{
    const struct column *owf = table_column(&about->members, figure_specs[FIGURE_OWF_MEAN].name);
    struct influence found[INFLUENCES_MOST];
    size_t count = influence_find(&about->members, about->swept_count, owf, found);
    struct text text = {0};
    for (size_t i = 0; i < count; i++) {
        text_join(&text, "; ", "%s (%s when more, rank correlation %.2f)", about->swept[found[i].which].name,
                  found[i].correlation > 0.0 ? "deeper" : "paler", found[i].correlation);
    }
    if (count > 0) {
        print_line(style, "Matters", &text);
    }
    text_free(&text);
}

void sweep_print(const struct sweep_about *about, const struct table *percentiles, const char *output, bool colour)
{
    struct text_style style = {.colour = colour, .width = TEXT_WIDTH};
    struct text text = {0};
    text_add(&text, "%s: %zu runs", about->title, about->runs);
    text_print_wrapped(stdout, &style, "", 0, text_string(&text), TEXT_WIDTH, "");
    putchar('\n');
    print_over(about, &style);
    print_runs(about, &style);
    print_table(percentiles);
    print_shades(percentiles, &style);
    print_influence(about, &style);
    text_print_wrapped(stdout, &style, "Result", INDENT, output, TEXT_WIDTH, "");
    text_free(&text);
}
