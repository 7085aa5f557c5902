/* figures.c: see figures.h. */
#include "study/figures.h"

#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

const struct figure_spec figure_specs[FIGURE_COUNT] = {
#define FIGURE_SPEC(id, name_, unit_, long_name_, value)                                                               \
    [FIGURE_##id] = {name_, unit_, long_name_,                                                                         \
                     FIGURE_##id == FIGURE_CONDITION   ? CONDITION_WORDS                                               \
                     : FIGURE_##id == FIGURE_END_STATE ? STATE_WORDS                                                   \
                                                       : NULL},
    FIGURE_LIST(FIGURE_SPEC)
#undef FIGURE_SPEC
};

const double percentile_points[PERCENTILE_COUNT] = {5.0, 25.0, 50.0, 75.0, 95.0};

static double first_ready(const struct table *series)
{
    const struct column *time = table_column(series, "time");
    const struct column *state = table_column(series, "state");
    for (size_t row = 0; row < series->rows; row++) {
        if ((int)state->values[row] == VAT_READY) {
            return time->values[row];
        }
    }
    return NAN;
}

static double at_end(const struct table *series, const char *name)
{
    return table_column(series, name)->values[series->rows - 1];
}

void figures_read(const struct result *result, const struct status *status, double figures[FIGURE_COUNT])
{
    struct outcome outcome;
    const struct outcome *o = &outcome;
    const struct table *series = &result->series;
    if (!status_is_ok(status) || series->rows == 0) {
        for (int i = 0; i < FIGURE_COUNT; i++) {
            figures[i] = NAN;
        }
        figures[FIGURE_CONDITION] = RUN_OUT_OF_RANGE;
        return;
    }
    outcome_read(result, SHADE_COUNT, &outcome);
    double condition = outcome.was_ready ? RUN_WAS_READY : RUN_NEVER_READY;
#define FIGURE_VALUE(id, name, unit, long_name, value) figures[FIGURE_##id] = (value);
    FIGURE_LIST(FIGURE_VALUE)
#undef FIGURE_VALUE
}

void figures_count_conditions(const struct column *condition, size_t rows, size_t counts[RUN_OUT_OF_RANGE + 1])
{
    memset(counts, 0, (RUN_OUT_OF_RANGE + 1) * sizeof *counts);
    for (size_t i = 0; i < rows; i++) {
        double code = condition != NULL ? condition->values[i] : (double)RUN_OUT_OF_RANGE;
        counts[code == RUN_WAS_READY ? RUN_WAS_READY : code == RUN_NEVER_READY ? RUN_NEVER_READY : RUN_OUT_OF_RANGE]++;
    }
}

/* ---- percentiles ------------------------------------------------------------------------------------------------- */

size_t percentiles_at(const double *values, size_t stride, size_t count, const double *points, size_t point_count,
                      double *scratch, double *percentiles)
{
    size_t finite = 0;
    for (size_t i = 0; i < count; i++) {
        double value = values[i * stride];
        if (isfinite(value)) {
            scratch[finite++] = value;
        }
    }
    gsl_sort(scratch, 1, finite);
    for (size_t i = 0; i < point_count; i++) {
        percentiles[i] =
            finite == 0 ? (double)NAN : gsl_stats_quantile_from_sorted_data(scratch, 1, finite, points[i] / 100.0);
    }
    return finite;
}

struct status figures_add_columns(struct table *table)
{
    for (int i = 0; i < FIGURE_COUNT; i++) {
        const struct figure_spec *spec = &figure_specs[i];
        RETURN_IF_FAILED(table_add_column(table, spec->name, spec->unit, spec->long_name, spec->flags));
    }
    return status_ok();
}

static struct status add_percentile_columns(struct table *table)
{
    RETURN_IF_FAILED(table_add_column(table, "percentile", "1", "per cent of the members that lie below", NULL));
    for (int i = 0; i < FIGURE_COUNT; i++) {
        const struct figure_spec *spec = &figure_specs[i];
        if (spec->flags == NULL) {
            RETURN_IF_FAILED(table_add_column(table, spec->name, spec->unit, spec->long_name, NULL));
        }
    }
    return status_ok();
}

struct status figures_percentiles(const struct table *members, struct table *percentiles)
{
    double rows[PERCENTILE_COUNT][FIGURE_COUNT + 1];
    double found[PERCENTILE_COUNT];
    RETURN_IF_FAILED(add_percentile_columns(percentiles));
    double *scratch = malloc((members->rows + 1) * sizeof *scratch);
    if (scratch == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left for percentiles");
    }
    for (size_t c = 0; c < percentiles->column_count; c++) {
        const struct column *column = table_column(members, percentiles->columns[c].name);
        memcpy(found, percentile_points, sizeof found);
        if (c > 0) {
            (void)percentiles_at(column->values, 1, members->rows, percentile_points, PERCENTILE_COUNT, scratch, found);
        }
        for (int p = 0; p < PERCENTILE_COUNT; p++) {
            rows[p][c] = found[p];
        }
    }
    free(scratch);
    for (int p = 0; p < PERCENTILE_COUNT; p++) {
        RETURN_IF_FAILED(table_add_row(percentiles, rows[p], percentiles->column_count));
    }
    return status_ok();
}
