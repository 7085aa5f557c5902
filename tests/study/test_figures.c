/* test_figures.c: figures of a run, percentiles and rank correlations over many.
 *
 * Percentiles: numpy.percentile 1.24 (linear); correlation: scipy.stats.spearmanr 1.10.
 */
#include "study/figures.h"

#include "sim/run.h"
#include "study/asking.h"
#include "study/influence.h"

#include <string.h>

static void percentiles_are_those_of_numpy(void **state)
{
    (void)state;
    static const double want[PERCENTILE_COUNT] = {1.725, 2.625, 4.0, 8.25, 10.399999999999999};
    double values[9][2] = {{3.0, 0}, {1.5, 0}, {9.0, 0},  {NAN, 0},     {2.25, 0},
                           {7.5, 0}, {4.0, 0}, {11.0, 0}, {INFINITY, 0}};
    double scratch[9];
    double found[PERCENTILE_COUNT];
    assert_int_equal(percentiles_at(&values[0][0], 2, 9, percentile_points, PERCENTILE_COUNT, scratch, found), 7);
    for (int i = 0; i < PERCENTILE_COUNT; i++) {
        assert_close(found[i], want[i], 1e-14, 0.0);
    }
    assert_int_equal(percentiles_at(&values[3][0], 2, 1, percentile_points, PERCENTILE_COUNT, scratch, found), 0);
    assert_true(isnan(found[2]));
}

static void figures_are_those_of_the_run(void **state)
{
    (void)state;
    struct scenario scenario;
    struct result result;
    double figures[FIGURE_COUNT];
    ask_file(TESTS_DIR "/cli/small-vat.conf", NULL, 0, &scenario);
    assert_done(run_scenario(&scenario, NULL, &result));
    struct status fine = status_ok();
    figures_read(&result, &fine, figures);
    const struct table *series = &result.series;
    size_t last = series->rows - 1;
    assert_true(figures[FIGURE_CONDITION] == RUN_WAS_READY);
    assert_true(figures[FIGURE_PIECES_DYED] == 3.0);
    assert_close(figures[FIGURE_DYED], 0.12, 1e-12, 0.0);
    assert_true(figures[FIGURE_END_PH] == table_column(series, "ph")->values[last]);
    assert_true(figures[FIGURE_END_VOLUME] == table_column(series, "volume")->values[last]);
    const struct column *time = table_column(series, "time");
    const struct column *ready = table_column(series, "state");
    for (size_t row = 0; row < series->rows && time->values[row] < figures[FIGURE_READY_FIRST]; row++) {
        assert_true(ready->values[row] != 0.0);
    }
    const struct column *owf = table_column(&result.pieces, "owf_washed");
    double mean = (owf->values[0] + owf->values[1] + owf->values[2]) / 3.0; /* of one mass */
    assert_close(figures[FIGURE_OWF_MEAN], mean, 1e-12, 0.0);
    struct status frozen = status_fail(STATUS_NUMERIC, "the vat freezes");
    figures_read(&result, &frozen, figures);
    assert_true(figures[FIGURE_CONDITION] == RUN_OUT_OF_RANGE && isnan(figures[FIGURE_OWF_MEAN]));
    result_free(&result);
    scenario_free(&scenario);
}

static void tables_hold_them(void **state)
{
    (void)state;
    struct table members = {.name = "members", .residual_relative = NAN};
    struct table percentiles = {.name = "percentiles", .residual_relative = NAN};
    assert_done(figures_add_columns(&members));
    for (int i = 0; i < 21; i++) {
        double row[FIGURE_COUNT] = {0.0};
        row[FIGURE_OWF_MEAN] = i;
        assert_done(table_add_row(&members, row, FIGURE_COUNT));
    }
    assert_done(figures_percentiles(&members, &percentiles));
    assert_int_equal(percentiles.rows, PERCENTILE_COUNT);
    assert_null(table_column(&percentiles, "condition")); /* codes have none */
    for (int p = 0; p < PERCENTILE_COUNT; p++) {
        assert_close(table_column(&percentiles, "owf_mean")->values[p], 20.0 * percentile_points[p] / 100.0, 1e-14,
                     0.0);
        assert_true(table_column(&percentiles, "percentile")->values[p] == percentile_points[p]);
    }
    table_free(&members);
    table_free(&percentiles);
}

static void what_goes_with_a_figure_is_found(void **state)
{
    (void)state;
    static const double x[24] = {55, 71, 29, 51, 89, 90, 13, 21, 5,  44, 3,  46,
                                 65, 28, 68, 59, 2,  56, 26, 42, 28, 69, 44, 16};
    static const double y[24] = {99,  133, 54, 69, 120, 165, 91, 75, 77, 112, 33, 53,
                                 117, 73,  97, 77, 35,  94,  48, 65, 65, 138, 91, 39};
    struct table members = {.residual_relative = NAN};
    struct influence found[INFLUENCES_MOST];
    assert_done(table_add_column(&members, "noise", "1", "", NULL));
    assert_done(table_add_column(&members, "x", "1", "", NULL));
    assert_done(table_add_column(&members, "fixed", "1", "", NULL));
    assert_done(table_add_column(&members, "y", "1", "", NULL));
    for (int i = 0; i < 24; i++) {
        double row[4] = {(double)(i % 2), x[i], 1.0, y[i]};
        assert_done(table_add_row(&members, row, 4));
    }
    assert_int_equal(influence_find(&members, 3, table_column(&members, "y"), found), 1);
    assert_int_equal(found[0].which, 1);
    assert_close(found[0].correlation, 0.7873776029766378, 1e-12, 0.0);
    members.rows = INFLUENCE_RUNS_LEAST - 1;
    assert_int_equal(influence_find(&members, 3, table_column(&members, "y"), found), 0);
    table_free(&members);
}

static void conditions_are_counted_by_one_rule(void **state)
{
    (void)state;
    double codes[] = {RUN_WAS_READY, RUN_NEVER_READY, RUN_WAS_READY, RUN_OUT_OF_RANGE, 7.0, -1.0, 0.5, NAN};
    struct column column = {.values = codes};
    size_t counts[RUN_OUT_OF_RANGE + 1];
    figures_count_conditions(&column, 8, counts);
    assert_int_equal(counts[RUN_WAS_READY], 2);
    assert_int_equal(counts[RUN_NEVER_READY], 1);
    assert_int_equal(counts[RUN_OUT_OF_RANGE], 5);
    figures_count_conditions(NULL, 3, counts);
    assert_int_equal(counts[RUN_WAS_READY] + counts[RUN_NEVER_READY], 0);
    assert_int_equal(counts[RUN_OUT_OF_RANGE], 3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(percentiles_are_those_of_numpy),
        cmocka_unit_test(figures_are_those_of_the_run),
        cmocka_unit_test(tables_hold_them),
        cmocka_unit_test(conditions_are_counted_by_one_rule),
        cmocka_unit_test(what_goes_with_a_figure_is_found),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
