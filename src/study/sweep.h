/* sweep.h: one scenario run many times, each run with other values of what is varied.
 *
 * A run becomes a row of numbers: the values drawn, the figures that it came to, and, when asked for, its series one
 * after another. Rows come in the order of the runs and are the same for any number of threads.
 */
#ifndef VATCAST_STUDY_SWEEP_H
#define VATCAST_STUDY_SWEEP_H

#include "scenario/read.h"
#include "sim/run.h"
#include "sim/series.h"
#include "study/draws.h"
#include "study/figures.h"

/* Series of a run: all but the time. */
#define SWEEP_SERIES (SERIES_COUNT - 1)

struct sweep {
    const struct scenario *scenario; /* as it is without what is varied */
    struct scenario_template *kept;  /* for DRAW_SETTING; NULL when nothing of the kind is varied */
    const char *const *overrides;    /* given besides */
    size_t override_count;

    const struct drawn *drawn;
    size_t drawn_count;
    const double *values; /* runs x drawn_count, see draws_fill */
    bool own_seeds;       /* each run has instrument errors of its own; else all have those of the scenario */
    uint64_t series; /* SERIES_BIT of each that is kept of the runs (sim/series.h); 0: none, only figures */

    size_t first, count; /* the runs to do, from 0 */
    int threads;         /* as in struct many */
    double rtol;         /* as in run_options */
    const volatile int *stop;
    void (*progress)(void *context, double done_share);
    void *progress_context;

    /* Given each row, in order, on the calling thread. */
    struct status (*keep)(void *context, size_t run, const double *row);
    void *context;
};

/* Recording times of a scenario. */
size_t sweep_series_rows(const struct scenario *scenario);

/* Numbers in a row; the first drawn_count are the values, then FIGURE_COUNT figures, then the series, each
 * sweep_series_rows long and NAN when it was not worked out. */
size_t sweep_row_width(const struct sweep *sweep);

/* Does the runs. One that leaves the model's range (STATUS_NUMERIC) is a row with RUN_OUT_OF_RANGE; its series end
 * early, with NAN. Errors: of the runs otherwise; STATUS_SCENARIO naming the run and its values, when the scenario
 * will not have them; of `keep`; STATUS_INTERRUPTED, when stopped, all rows before being kept. */
struct status sweep_run(const struct sweep *sweep) MUST_USE;

/* Reads "KEY=LOW..HIGH", with `grid` "KEY=LOW..HIGH:STEPS". KEY is a path as for --set, the name of a constant, or a
 * constant alone for its own range. STATUS_USAGE with what is wrong and what is expected. */
struct status sweep_read_key(const char *text, bool grid, const struct scenario *scenario,
                             struct drawn *drawn) MUST_USE;

/* Whether the scenario takes both ends of every setting, and (settles drawn.whole) any number between them. What it
 * does not take becomes complaints, with status STATUS_SCENARIO. */
struct status sweep_check_keys(struct scenario_template *kept, const char *const *overrides, size_t override_count,
                               struct drawn *drawn, size_t count, struct complaints *complaints) MUST_USE;

#endif
