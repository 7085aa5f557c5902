/* figures.c: see figures.h. */
#include "study/figures.h"

#include "sim/series.h"

#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics.h>
#include <math.h>
#include <stddef.h>

struct found {
    double condition;
    double ready_first;
    double last[SERIES_COUNT];
};

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
    const struct column *time = &series->columns[SERIES_TIME];
    const struct column *state = &series->columns[SERIES_STATE];
    for (size_t row = 0; row < series->rows; row++) {
        if ((int)state->values[row] == VAT_READY) {
            return time->values[row];
        }
    }
    return NAN;
}

void figures_read(const struct scenario *scenario, const struct result *result, const struct status *status,
                  double figures[FIGURE_COUNT])
{
    struct outcome outcome;
    const struct outcome *o = &outcome;
    const struct table *series = &result->series;
    struct found found;
    const struct found *f = &found;
    if (!status_is_ok(status) || series->rows == 0) {
        for (int i = 0; i < FIGURE_COUNT; i++) {
            figures[i] = NAN;
        }
        figures[FIGURE_CONDITION] = RUN_OUT_OF_RANGE;
        return;
    }
    outcome_read(scenario, result, SHADE_COUNT, NULL, 0, &outcome);
    found.condition = outcome.was_ready ? RUN_WAS_READY : RUN_NEVER_READY;
    found.ready_first = first_ready(series);
    for (int i = 0; i < SERIES_COUNT; i++) {
        found.last[i] = series->columns[i].values[series->rows - 1];
    }
#define FIGURE_VALUE(id, name, unit, long_name, value) figures[FIGURE_##id] = (value);
    FIGURE_LIST(FIGURE_VALUE)
#undef FIGURE_VALUE
}

/* ---- percentiles ------------------------------------------------------------------------------------------------- */

static size_t sort_finite(const double *values, size_t stride, size_t count, double *scratch)
{
    size_t finite = 0;
    for (size_t i = 0; i < count; i++) {
        double value = values[i * stride];
        if (isfinite(value)) {
            scratch[finite++] = value;
        }
    }
    gsl_sort(scratch, 1, finite);
    return finite;
}

double percentile_of(const double *values, size_t stride, size_t count, double point, double *scratch, size_t *finite)
{
    size_t found = sort_finite(values, stride, count, scratch);
    if (finite != NULL) {
        *finite = found;
    }
    return found == 0 ? (double)NAN : gsl_stats_quantile_from_sorted_data(scratch, 1, found, point / 100.0);
}

size_t percentiles_of(const double *values, size_t stride, size_t count, double *scratch,
                      double percentiles[PERCENTILE_COUNT])
{
    size_t finite = sort_finite(values, stride, count, scratch);
    for (int i = 0; i < PERCENTILE_COUNT; i++) {
        percentiles[i] = finite == 0
                             ? (double)NAN
                             : gsl_stats_quantile_from_sorted_data(scratch, 1, finite, percentile_points[i] / 100.0);
    }
    return finite;
}
