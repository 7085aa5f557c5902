/* test_read_only.c: what studies come to from the few series that they read is what they would come to from all. */
#include "study/figures.h"
#include "study/sweep.h"

#include "sim/run.h"
#include "study/asking.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *const shipped[] = {"valley-sashes", "feeding-by-rule", "souring-lost",
                                      "bran-seeded",   "advice-thirsty",  "overlimed"};

static void ask_shipped(const char *name, struct scenario *scenario)
{
    char path[500];
    static const char *const coarse[] = {"rtol=1e-4"};
    (void)snprintf(path, sizeof path, "%s/%s.conf", SCENARIOS_DIR, name);
    ask_file(path, coarse, 1, scenario);
}

static void run_wanting(const struct scenario *scenario, uint64_t series, struct result *result)
{
    const struct run_options options = {.wanted = {.series = series, .bare_pieces = series != 0}};
    assert_done(run_scenario(scenario, &options, result));
}

static void assert_same(const char *scenario, const char *what, double part, double whole)
{
    if (memcmp(&part, &whole, sizeof part) != 0 && !(isnan(part) && isnan(whole))) {
        fail_msg("%s: %s is %.17g, %.17g from all series", scenario, what, part, whole);
    }
}

static void assert_same_figures(const char *scenario, const struct result *part, const struct result *whole)
{
    struct status fine = status_ok();
    double want[FIGURE_COUNT];
    double got[FIGURE_COUNT];
    figures_read(whole, &fine, want);
    figures_read(part, &fine, got);
    for (int f = 0; f < FIGURE_COUNT; f++) {
        assert_same(scenario, figure_specs[f].name, got[f], want[f]);
    }
}

static void assert_same_outcomes(const char *scenario, const struct result *part, const struct result *whole)
{
    struct outcome want;
    struct outcome got;
    outcome_read(whole, SHADE_COUNT, &want);
    outcome_read(part, SHADE_COUNT, &got);
    assert_same(scenario, "lowest pH", got.ph_lowest, want.ph_lowest);
    assert_same(scenario, "worst potential", got.orp_worst, want.orp_worst);
    assert_same(scenario, "time failed at", got.failed_at, want.failed_at);
    assert_same(scenario, "time failed for", got.failed_for, want.failed_for);
    assert_same(scenario, "state failed in", got.failed_state, want.failed_state);
    assert_same(scenario, "cloth times dips", got.cloth_dips, want.cloth_dips);
    assert_same(scenario, "cloth at its shade", got.at_shade, want.at_shade);
    assert_same(scenario, "pigment per kilogram", got.pigment_per_kg, want.pigment_per_kg);
    for (int s = 0; s < OUTCOME_STATES; s++) {
        assert_same(scenario, "share of a state", got.state_share[s], want.state_share[s]);
    }
}

/* What sweeps that keep summaries only and comparisons come to, beside the whole run. */
static void figures_and_outcomes_need_no_more_than_their_series(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof shipped / sizeof shipped[0]; i++) {
        struct scenario scenario;
        struct result whole;
        struct result part;
        ask_shipped(shipped[i], &scenario);
        run_wanting(&scenario, 0, &whole);
        run_wanting(&scenario, FIGURE_SERIES, &part);
        assert_true(part.series.column_count < 10);
        assert_same_figures(shipped[i], &part, &whole);
        result_free(&part);
        run_wanting(&scenario, OUTCOME_SERIES, &part);
        assert_same_outcomes(shipped[i], &part, &whole);
        result_free(&part);
        result_free(&whole);
        scenario_free(&scenario);
    }
}

/* ---- sweeps ------------------------------------------------------------------------------------------------------ */

#define RUNS 3

struct kept {
    double *rows;
    size_t width;
};

static struct status keep_row(void *context, size_t run, const double *row)
{
    struct kept *kept = context;
    memcpy(&kept->rows[run * kept->width], row, kept->width * sizeof *row);
    return status_ok();
}

static struct kept sweep_keeping(const struct scenario *scenario, const struct drawn *drawn, const double *values,
                                 uint64_t series)
{
    struct kept kept;
    struct sweep sweep = {.scenario = scenario,
                          .drawn = drawn,
                          .drawn_count = 1,
                          .values = values,
                          .series = series,
                          .count = RUNS,
                          .keep = keep_row};
    kept.width = sweep_row_width(&sweep);
    kept.rows = calloc(RUNS * kept.width, sizeof *kept.rows);
    assert_non_null(kept.rows);
    sweep.context = &kept;
    assert_done(sweep_run(&sweep));
    return kept;
}

static void summaries_of_a_sweep_are_those_with_series(void **state)
{
    (void)state;
    struct scenario scenario;
    struct drawn drawn;
    double values[RUNS];
    ask_shipped("valley-sashes", &scenario);
    scenario.record_every = 7200.0;
    assert_done(sweep_read_key("leuco_pk2", false, &scenario, &drawn));
    assert_done(draws_fill(&drawn, 1, false, 1, RUNS, values));
    const uint64_t some = SERIES_BIT(LIME_SOLID) | SERIES_BIT(LIQUOR_HAZE);
    struct kept bare = sweep_keeping(&scenario, &drawn, values, 0);
    struct kept few = sweep_keeping(&scenario, &drawn, values, some);
    struct kept full = sweep_keeping(&scenario, &drawn, values, SERIES_ALL);
    size_t rows = sweep_series_rows(&scenario);
    assert_int_equal(bare.width, 1 + FIGURE_COUNT);
    assert_int_equal(few.width, full.width);
    for (size_t run = 0; run < RUNS; run++) {
        const double *whole = &full.rows[run * full.width];
        const double *part = &few.rows[run * few.width];
        assert_memory_equal(&bare.rows[run * bare.width], whole, bare.width * sizeof *whole);
        assert_memory_equal(part, whole, bare.width * sizeof *whole);
        for (size_t id = 1; id < SERIES_COUNT; id++) {
            size_t first = bare.width + (id - 1) * rows;
            if ((some >> id & 1U) != 0) {
                assert_memory_equal(part + first, whole + first, rows * sizeof *whole);
            } else if (((FIGURE_SERIES) >> id & 1U) == 0) {
                assert_true(isnan(part[first]));
            }
        }
    }
    free(bare.rows);
    free(few.rows);
    free(full.rows);
    scenario_free(&scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(figures_and_outcomes_need_no_more_than_their_series),
        cmocka_unit_test(summaries_of_a_sweep_are_those_with_series),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
