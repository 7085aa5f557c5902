/* summary_likely.c: how far a run can be trusted: the ranges in which vats lie that the same scenario may be. */
#include "cli/summary_parts.h"
#include "study/summary_words.h"
#include "study/figures.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What is told: "after %s" with the nominal value and, in brackets, the range. */
static const struct {
    enum figure figure;
    const char *before, *after;
    double scale;
    int decimals;
} told[] = {
    {FIGURE_READY_FIRST, "ready after ", " h", 1.0 / 3600.0, 0},
    {FIGURE_PIECES_AT_SHADE, "pieces at their shade ", "", 1.0, 0},
    {FIGURE_SPREAD, "spread of like pieces ", " %", 1.0, 0},
    {FIGURE_PH_LOWEST, "lowest pH ", "", 1.0, 1},
    {FIGURE_INDIGO_ON_CLOTH, "indigo on washed cloth ", " g", 1.0, 1},
    {FIGURE_SUGAR_LEFT, "sugar left ", " g", 1.0, 0},
    {FIGURE_END_LEUCO, "leuco at the end ", " g/L", 1.0, 2},
};

static double range_of(const struct column *column, const struct column *condition, size_t rows, bool ready_only,
                       double range[2])
{
    static const double points[2] = {5.0, 95.0};
    double *values = malloc((2 * rows + 1) * sizeof *values);
    range[0] = range[1] = NAN;
    if (values == NULL) {
        text_no_memory();
    }
    for (size_t i = 0; i < rows; i++) {
        bool counts = !ready_only || condition->values[i] == RUN_WAS_READY;
        values[i] = counts ? column->values[i] : (double)NAN;
    }
    size_t finite = percentiles_at(values, 1, rows, points, 2, values + rows, range);
    free(values);
    return (double)finite;
}

static void tell_ready(const struct story *story, const struct column *condition)
{
    size_t rows = story->result->members.rows;
    size_t counts[RUN_OUT_OF_RANGE + 1];
    struct text text = {0};
    figures_count_conditions(condition, rows, counts);
    text_add(&text, "of %zu vats that this one may be, by all that is uncertain, %zu became ready to dye", rows,
             counts[RUN_WAS_READY]);
    if (counts[RUN_OUT_OF_RANGE] > 0) {
        text_add(&text, " and %zu left what the model covers", counts[RUN_OUT_OF_RANGE]);
    }
    text_add(&text, "; in brackets where nine in ten of them lie");
    story_line(story, "Likely", &text);
    text_free(&text);
}

static void tell_depth(const struct story *story, const struct column *condition)
{
    const struct result *result = story->result;
    const struct column *members = table_column(&result->members, figure_specs[FIGURE_OWF_MEAN].name);
    const struct column *nominal = table_column(&result->figures, figure_specs[FIGURE_OWF_MEAN].name);
    double all[2];
    double ready[2];
    if (members == NULL || nominal == NULL || !isfinite(nominal->values[0]) ||
        range_of(members, condition, result->members.rows, false, all) < 2.0) {
        return;
    }
    struct text text = {0};
    text_add(&text, "%s: %.2f %% owf (%.2f to %.2f, %s", shade_word(nominal->values[0]), nominal->values[0], all[0],
             all[1], shade_word(all[0]));
    if (strcmp(shade_word(all[0]), shade_word(all[1])) != 0) {
        text_add(&text, " to %s", shade_word(all[1]));
    }
    if (range_of(members, condition, result->members.rows, true, ready) >= 2.0) {
        text_add(&text, "; of those that became ready %.2f to %.2f", ready[0], ready[1]);
    }
    text_add(&text, ")");
    story_line(story, "", &text);
    text_free(&text);
}

static void tell_figures(const struct story *story, const struct column *condition)
{
    const struct result *result = story->result;
    struct text text = {0};
    for (size_t i = 0; i < sizeof told / sizeof told[0]; i++) {
        const char *name = figure_specs[told[i].figure].name;
        const struct column *members = table_column(&result->members, name);
        const struct column *nominal = table_column(&result->figures, name);
        double range[2];
        if (members == NULL || nominal == NULL || !isfinite(nominal->values[0]) ||
            range_of(members, condition, result->members.rows, false, range) < 2.0) {
            continue;
        }
        double scale = told[i].scale;
        int decimals = told[i].decimals;
        text_join(&text, "; ", "%s%.*f%s (%.*f to %.*f)", told[i].before, decimals, nominal->values[0] * scale,
                  told[i].after, decimals, range[0] * scale, decimals, range[1] * scale);
    }
    story_line(story, "", &text);
    text_free(&text);
}

void summary_likely(const struct story *story)
{
    const struct result *result = story->result;
    const struct column *condition = table_column(&result->members, figure_specs[FIGURE_CONDITION].name);
    if (result->members.rows == 0 || result->figures.rows == 0 || condition == NULL) {
        return;
    }
    tell_ready(story, condition);
    tell_depth(story, condition);
    tell_figures(story, condition);
}
