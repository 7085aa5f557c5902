/* sweep.c: see sweep.h. */
#include "study/sweep.h"

#include "study/many.h"
#include "study/variant.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define AHEAD ((size_t)4 * RUNS_ABREAST) /* rows for each thread that may wait to be kept */

struct at_work {
    const struct sweep *sweep;
    size_t width;
    size_t ahead;
    double *rows;               /* ahead x width */
    struct scenario *scenarios; /* RUNS_ABREAST for each worker */
    char (*texts)[DRAWN_OVERRIDE_SIZE];
    const char **overrides; /* those given, then one for each setting drawn */
};

size_t sweep_series_rows(const struct scenario *scenario)
{
    return (size_t)floor(scenario->lasts / scenario->record_every + 1e-6) + 1;
}

size_t sweep_row_width(const struct sweep *sweep)
{
    return sweep->drawn_count + FIGURE_COUNT +
           (sweep->series != 0 ? SWEEP_SERIES * sweep_series_rows(sweep->scenario) : 0);
}

/* ---- before a run ------------------------------------------------------------------------------------------------ */

static struct status first_complaint(const struct complaints *complaints, const char *settings, size_t run)
{
    return status_fail(STATUS_SCENARIO, "run %zu (%s) cannot be laid out: %s", run + 1, settings,
                       complaints->count > 0 ? complaints->items[0].text : "too many complaints");
}

static struct status make_with_settings(struct at_work *work, size_t run, const double *values,
                                        struct scenario *scenario)
{
    const struct sweep *sweep = work->sweep;
    size_t used = sweep->override_count;
    for (size_t k = 0; k < sweep->drawn_count; k++) {
        if (sweep->drawn[k].of == DRAW_SETTING) {
            drawn_write(&sweep->drawn[k], values[k], work->texts[k]);
            work->overrides[used++] = work->texts[k];
        }
    }
    struct complaints complaints;
    complaints_init(&complaints);
    struct status status = scenario_template_make(sweep->kept, work->overrides, used, scenario, &complaints);
    if (status.code == STATUS_SCENARIO) {
        status = first_complaint(&complaints, work->overrides[sweep->override_count], run);
    }
    complaints_free(&complaints);
    return status;
}

static struct scenario *scenario_of(const struct at_work *work, size_t index, int worker)
{
    return &work->scenarios[(size_t)worker * RUNS_ABREAST + index % RUNS_ABREAST];
}

static struct status prepare(void *context, size_t index, int worker)
{
    struct at_work *work = context;
    const struct sweep *sweep = work->sweep;
    size_t run = sweep->first + index;
    const double *values = &sweep->values[run * sweep->drawn_count];
    struct scenario *scenario = scenario_of(work, index, worker);
    if (sweep->kept != NULL) {
        RETURN_IF_FAILED(make_with_settings(work, run, values, scenario));
    } else {
        RETURN_IF_FAILED(variant_make(sweep->scenario, scenario));
    }
    for (size_t k = 0; k < sweep->drawn_count; k++) {
        drawn_apply(&sweep->drawn[k], values[k], scenario);
    }
    scenario->seed += sweep->own_seeds ? run + 1 : 0;
    return status_ok();
}

/* ---- a run ------------------------------------------------------------------------------------------------------- */

static uint64_t series_read(const struct sweep *sweep)
{
    return sweep->series | FIGURE_SERIES | SERIES_BIT(TIME);
}

/* The table has columns for the series that are read, in the order of all. */
static void fill_series(const struct sweep *sweep, const struct table *series, double *to)
{
    size_t rows = sweep_series_rows(sweep->scenario);
    size_t next = 0;
    for (int id = 0; id < SERIES_COUNT; id++) {
        const struct column *column = (series_read(sweep) >> id & 1U) != 0 ? &series->columns[next++] : NULL;
        for (size_t row = 0; row < rows && id != SERIES_TIME; row++) {
            *to++ = column != NULL && row < series->rows ? column->values[row] : (double)NAN;
        }
    }
}

/* What is kept of a run. */
static struct status tell(const struct at_work *work, size_t index, const struct result *result, struct status status)
{
    const struct sweep *sweep = work->sweep;
    double *row = &work->rows[(index % work->ahead) * work->width];
    bool out_of_range = status.code == STATUS_NUMERIC;
    if (status_is_ok(&status) || out_of_range) {
        memcpy(row, &sweep->values[(sweep->first + index) * sweep->drawn_count], sweep->drawn_count * sizeof *row);
        figures_read(result, &status, row + sweep->drawn_count);
        if (sweep->series != 0) {
            fill_series(sweep, &result->series, row + sweep->drawn_count + FIGURE_COUNT);
        }
        return status_ok();
    }
    return status.code != STATUS_INTERRUPTED ? status_context(status, "run %zu", sweep->first + index + 1) : status;
}

static void run_some(void *context, size_t first, size_t count, int worker, struct status *outcomes)
{
    struct at_work *work = context;
    const struct sweep *sweep = work->sweep;
    struct run_options options = {
        .stop = sweep->stop, .rtol = sweep->rtol, .wanted = {.series = series_read(sweep), .bare_pieces = true}};
    const struct scenario *scenarios[RUNS_ABREAST] = {NULL};
    struct result results[RUNS_ABREAST];
    for (size_t i = 0; i < count; i++) {
        scenarios[i] = scenario_of(work, first + i, worker);
    }
    run_scenarios(scenarios, &options, results, outcomes, count);
    for (size_t i = 0; i < count; i++) {
        outcomes[i] = tell(work, first + i, &results[i], outcomes[i]);
        result_free(&results[i]);
        scenario_free(scenario_of(work, first + i, worker));
    }
}

static struct status keep(void *context, size_t index)
{
    struct at_work *work = context;
    const struct sweep *sweep = work->sweep;
    return sweep->keep(sweep->context, sweep->first + index, &work->rows[(index % work->ahead) * work->width]);
}

/* ---- all of them ------------------------------------------------------------------------------------------------- */

static struct status set_up(struct at_work *work, int threads)
{
    const struct sweep *sweep = work->sweep;
    work->width = sweep_row_width(sweep);
    work->ahead = (size_t)threads * AHEAD;
    work->rows = malloc(work->ahead * work->width * sizeof *work->rows);
    work->scenarios = calloc((size_t)threads * RUNS_ABREAST, sizeof *work->scenarios);
    work->texts = malloc((sweep->drawn_count + 1) * sizeof *work->texts);
    work->overrides = calloc(sweep->override_count + sweep->drawn_count + 1, sizeof *work->overrides);
    if (work->rows == NULL || work->scenarios == NULL || work->texts == NULL || work->overrides == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left for %zu runs", sweep->count);
    }
    for (size_t i = 0; i < sweep->override_count; i++) {
        work->overrides[i] = sweep->overrides[i];
    }
    return status_ok();
}

struct status sweep_run(const struct sweep *sweep)
{
    struct at_work work = {.sweep = sweep};
    int threads = many_threads(sweep->threads, sweep->count);
    struct status status = set_up(&work, threads);
    if (status_is_ok(&status)) {
        struct many many = {.count = sweep->count,
                            .threads = threads,
                            .context = &work,
                            .prepare = prepare,
                            .work_together = run_some,
                            .together = RUNS_ABREAST,
                            .take = keep,
                            .ahead = work.ahead,
                            .progress = sweep->progress,
                            .progress_context = sweep->progress_context,
                            .stop = sweep->stop};
        status = many_run(&many, NULL);
    }
    for (size_t i = 0; i < (size_t)threads * RUNS_ABREAST && work.scenarios != NULL; i++) {
        scenario_free(&work.scenarios[i]);
    }
    free(work.rows);
    free(work.scenarios);
    free(work.texts);
    free(work.overrides);
    return status;
}
