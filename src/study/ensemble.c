/* ensemble.c: see ensemble.h. */
#include "study/ensemble.h"

#include "study/sweep.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define NUMBERS_MOST 50000000.0 /* of all series of all members: 400 MB */
#define MEMBERS_LEAST 2         /* that make a band */

struct gathering {
    struct drawn *drawn;
    size_t drawn_count;
    double *values;  /* drawn */
    uint64_t banded; /* series that have a band */
    size_t members;  /* that are done, once they have been run */
    size_t width;
    double *rows; /* members x width */
};

static void gathering_free(struct gathering *all)
{
    free(all->drawn);
    free(all->values);
    free(all->rows);
}

static struct status keep(void *context, size_t run, const double *row)
{
    struct gathering *all = context;
    memcpy(&all->rows[run * all->width], row, all->width * sizeof *row);
    all->members = run + 1; /* they come in order */
    return status_ok();
}

static struct status run_members(const struct scenario *scenario, int threads, const struct run_options *options,
                                 struct gathering *all)
{
    RETURN_IF_FAILED(drawn_uncertain(scenario, &all->drawn, &all->drawn_count));
    all->values = malloc((all->members * all->drawn_count + 1) * sizeof *all->values);
    if (all->values == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left for %zu members", all->members);
    }
    RETURN_IF_FAILED(draws_fill(all->drawn, all->drawn_count, false, scenario->seed, all->members, all->values));
    struct sweep sweep = {
        .scenario = scenario,
        .drawn = all->drawn,
        .drawn_count = all->drawn_count,
        .values = all->values,
        .own_seeds = true,
        .series = all->banded,
        .count = all->members,
        .threads = threads,
        .rtol = options->rtol,
        .stop = options->stop,
        .progress = options->progress,
        .progress_context = options->progress_context,
        .keep = keep,
        .context = all,
    };
    all->width = sweep_row_width(&sweep);
    if ((double)all->width * (double)all->members > NUMBERS_MOST) {
        return status_fail(STATUS_LIMIT,
                           "%zu members with all their series are too many numbers; take fewer members, or "
                           "record less often, as --set 'record=6 h'",
                           all->members);
    }
    all->rows = malloc(all->members * all->width * sizeof *all->rows);
    if (all->rows == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left for %zu members", all->members);
    }
    all->members = 0;
    return sweep_run(&sweep);
}

/* ---- bands ------------------------------------------------------------------------------------------------------- */

static bool has_band(const struct column *column)
{
    static const char *const without[] = {"time", "liquor_red", "liquor_green", "liquor_blue"};
    for (size_t i = 0; i < sizeof without / sizeof without[0]; i++) {
        if (strcmp(column->name, without[i]) == 0) {
            return false;
        }
    }
    return column->flags == NULL;
}

/* Of a run with all series. */
static uint64_t series_with_bands(const struct table *series)
{
    uint64_t set = 0;
    for (size_t i = 0; i < SERIES_COUNT; i++) {
        set |= has_band(&series->columns[i]) ? UINT64_C(1) << i : 0;
    }
    return set;
}

static struct status append_bound(struct table *series, const struct column *of, double point, const double *values)
{
    char name[64];
    char long_name[200];
    (void)snprintf(name, sizeof name, "%s_p%02.0f", of->name, point);
    (void)snprintf(long_name, sizeof long_name, "%.80s: %.0f %% of members are below", of->long_name, point);
    long_name[127] = '\0';
    return table_append_column(series, name, of->unit, long_name, values);
}

static struct status add_band(const struct gathering *all, size_t which, size_t rows, struct table *series,
                              double *scratch, double *low, double *high)
{
    const double *first = all->rows + all->drawn_count + FIGURE_COUNT + (which - 1) * rows;
    for (size_t row = 0; row < series->rows; row++) {
        double bounds[2] = {NAN, NAN};
        static const double points[2] = {ENSEMBLE_LOW, ENSEMBLE_HIGH};
        if (row < rows) {
            (void)percentiles_at(first + row, all->width, all->members, points, 2, scratch, bounds);
        }
        low[row] = bounds[0];
        high[row] = bounds[1];
    }
    const struct column of = series->columns[which]; /* the columns move when one is added */
    RETURN_IF_FAILED(append_bound(series, &of, ENSEMBLE_LOW, low));
    return append_bound(series, &of, ENSEMBLE_HIGH, high);
}

static struct status add_bands(const struct gathering *all, size_t rows, struct table *series)
{
    double *space = malloc((2 * series->rows + all->members + 1) * sizeof *space);
    if (space == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left for bands");
    }
    double *low = space + all->members;
    struct status status = status_ok();
    for (size_t i = 1; i < SERIES_COUNT && status_is_ok(&status); i++) {
        if ((all->banded >> i & 1U) != 0) {
            status = add_band(all, i, rows, series, space, low, low + series->rows);
        }
    }
    free(space);
    return status;
}

/* ---- tables ------------------------------------------------------------------------------------------------------ */

static struct status fill_members(const struct gathering *all, struct table *members)
{
    for (size_t i = 0; i < all->drawn_count; i++) {
        char name[48];
        char long_name[128];
        drawn_column_name(members, &all->drawn[i], name);
        (void)snprintf(long_name, sizeof long_name, "%.100s, as drawn", all->drawn[i].name);
        RETURN_IF_FAILED(table_add_column(members, name, all->drawn[i].unit, long_name, NULL));
    }
    RETURN_IF_FAILED(figures_add_columns(members));
    for (size_t m = 0; m < all->members; m++) {
        RETURN_IF_FAILED(table_add_row(members, &all->rows[m * all->width], all->drawn_count + FIGURE_COUNT));
    }
    return status_ok();
}

static struct status fill_figures(const struct result *result, struct table *table)
{
    double figures[FIGURE_COUNT];
    struct status fine = status_ok();
    figures_read(result, &fine, figures);
    RETURN_IF_FAILED(figures_add_columns(table));
    return table_add_row(table, figures, FIGURE_COUNT);
}

static struct status add_all(const struct scenario *scenario, const struct gathering *all, struct result *result)
{
    RETURN_IF_FAILED(fill_members(all, &result->members));
    RETURN_IF_FAILED(figures_percentiles(&result->members, &result->percentiles));
    return add_bands(all, sweep_series_rows(scenario), &result->series);
}

struct status ensemble_add(const struct scenario *scenario, int members, int threads, const struct run_options *options,
                           struct result *result)
{
    struct gathering all = {.banded = series_with_bands(&result->series), .members = (size_t)members};
    struct status ran = run_members(scenario, threads, options, &all);
    bool stopped = ran.code == STATUS_INTERRUPTED;
    const char *too_few = all.members >= MEMBERS_LEAST ? "" : ", too few to tell anything by";
    struct status added = status_is_ok(&ran) || stopped ? fill_figures(result, &result->figures) : status_ok();
    if (status_is_ok(&added) && (status_is_ok(&ran) || (stopped && all.members >= MEMBERS_LEAST))) {
        added = add_all(scenario, &all, result);
    }
    if (stopped) {
        result->status = RUN_INTERRUPTED;
        (void)snprintf(result->failure, sizeof result->failure,
                       "the run itself is whole; of its %d members %zu %s done%s", members, all.members,
                       all.members == 1 ? "is" : "are", too_few);
        ran = status_fail(STATUS_INTERRUPTED, "stopped; %zu of %d members %s done%s", all.members, members,
                          all.members == 1 ? "is" : "are", too_few);
    }
    gathering_free(&all);
    struct status outcome = status_is_ok(&added) ? ran : added;
    if (!status_is_ok(&outcome) && outcome.code != STATUS_INTERRUPTED) {
        result->status = RUN_FAILED;
        (void)snprintf(result->failure, sizeof result->failure, "its members are missing: %.400s", outcome.message);
    }
    return outcome;
}
