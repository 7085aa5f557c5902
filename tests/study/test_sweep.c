/* test_sweep.c: a run of a sweep is the run of the scenario with those values written into it, and bands hold the
 * members.
 */
#include "study/sweep.h"

#include "process/registry.h"
#include "study/asking.h"
#include "study/ensemble.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define VAT TESTS_DIR "/cli/small-vat.conf"
#define SHORT "lasts=3 days"
#define COARSE "rtol=1e-4"

static const char *const usual[] = {SHORT, COARSE, "record=1 h"};
#define USUAL 3

struct setup {
    const char *names[PROCESSES_KNOWN_MOST + 1];
    struct scenario_template *kept;
    struct scenario scenario;
};

static void set_up(struct setup *setup)
{
    struct complaints complaints;
    complaints_init(&complaints);
    process_names(setup->names);
    assert_done(scenario_template_open(VAT, setup->names, MODELS_DIR, &setup->kept, &complaints));
    assert_done(scenario_template_make(setup->kept, usual, USUAL, &setup->scenario, &complaints));
    complaints_free(&complaints);
}

static void tear_down(struct setup *setup)
{
    scenario_free(&setup->scenario);
    scenario_template_close(setup->kept);
}

/* ---- keys -------------------------------------------------------------------------------------------------------- */

static void keys_are_read(void **state)
{
    (void)state;
    struct setup setup;
    struct drawn drawn;
    set_up(&setup);
    assert_done(sweep_read_key("vat.water.temperature=40..60 degC", false, &setup.scenario, &drawn));
    assert_true(drawn.of == DRAW_SETTING && drawn.low == 40.0 && drawn.high == 60.0);
    assert_string_equal(drawn.name, "vat.water.temperature");
    assert_string_equal(drawn.unit, "degC");
    assert_done(sweep_read_key("vat.charge.fructose.amount=1.5 cup .. 2.5 cup", false, &setup.scenario, &drawn));
    assert_true(drawn.low == 1.5 && drawn.high == 2.5);
    assert_string_equal(drawn.unit, "cup");
    assert_done(sweep_read_key("vat.charge.1.purity=0.2..0.5:4", true, &setup.scenario, &drawn));
    assert_true(drawn.low == 0.2 && drawn.high == 0.5 && drawn.steps == 4);
    assert_string_equal(drawn.unit, "1");
    assert_done(sweep_read_key("leuco_pk2=12..13", false, &setup.scenario, &drawn));
    assert_true(drawn.of == DRAW_CONSTANT && drawn.which == K_LEUCO_PK2 && drawn.low == 12.0);
    assert_done(sweep_read_key("constants.leuco_pk2", false, &setup.scenario, &drawn));
    assert_true(drawn.which == K_LEUCO_PK2 && drawn.low == setup.scenario.model.constants[K_LEUCO_PK2].low);
    assert_done(sweep_read_key("leuco_pk2:3", true, &setup.scenario, &drawn));
    assert_int_equal(drawn.steps, 3);
    assert_done(sweep_read_key("calendar.1.at=+60..+90 min", false, &setup.scenario, &drawn));
    assert_true(drawn.is_span);
    tear_down(&setup);
}

static void keys_that_will_not_do_are_told(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        bool grid;
        const char *words;
    } bad[] = {
        {"leuco_pk3=1..2", false, "did you mean 'leuco_pk1'?"},
        {"kettle=1..2", false, "neither a constant of the model nor a path"},
        {"vat.fill=20 L..10 L", false, "low is above high"},
        {"vat.fill=20 L..10 gal", false, "in different units"},
        {"vat.fill=20 L", false, "no two dots"},
        {"vat.fill", false, "only a constant has a range of its own"},
        {"vat.fill=some..more L", false, "must be decimal numbers"},
        {"vat.fill=1 1/2..2 gal", false, "must be decimal numbers"},
        {"vat.fill=0x10..0x20 L", false, "must be decimal numbers"},
        {"vat.fill=nan..inf L", false, "must be decimal numbers"},
        {"vat.fill=10..20 L", true, "needs a number of steps"},
        {"vat.fill=10..20 L:0", true, "needs a number of steps"},
        {"leuco_holding_time=1..2 h", false, "the constant is in s"},
        {"leuco_holding_time=0..60", false, "goes down to 0; expected more than 0"},
        {"chalk_rate=-0.1..0.1", false, "expected 0 or more"},
        {"=1..2", false, "no key"},
        {"", false, "no key"},
    };
    struct setup setup;
    struct drawn drawn;
    set_up(&setup);
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        struct status status = sweep_read_key(bad[i].text, bad[i].grid, &setup.scenario, &drawn);
        if (status.code != STATUS_USAGE || strstr(status.message, bad[i].words) == NULL) {
            fail_msg("%s: %d, %s", bad[i].text, (int)status.code, status.message);
        }
    }
    tear_down(&setup);
}

static void keys_are_tried_on_the_scenario(void **state)
{
    (void)state;
    struct setup setup;
    struct drawn drawn[2];
    struct complaints complaints;
    set_up(&setup);
    complaints_init(&complaints);
    assert_done(sweep_read_key("cloth.ribbon.count=3..6", false, &setup.scenario, &drawn[0]));
    assert_done(sweep_read_key("vat.charge.1.purity=0..1", false, &setup.scenario, &drawn[1]));
    drawn[1].low = 0.1;
    assert_done(sweep_check_keys(setup.kept, usual, USUAL, drawn, 2, &complaints));
    assert_true(drawn[0].whole && !drawn[1].whole);
    assert_int_equal(complaints.count, 0);
    assert_done(sweep_read_key("vat.watr.temperature=40..60 degC", false, &setup.scenario, &drawn[1]));
    struct status status = sweep_check_keys(setup.kept, usual, USUAL, drawn, 2, &complaints);
    assert_int_equal(status.code, STATUS_SCENARIO);
    assert_string_equal(complaints.items[0].file, "--over");
    assert_int_equal(complaints.items[0].line, 2);
    assert_non_null(strstr(complaints.items[0].text, "did you mean 'water'?"));
    complaints_free(&complaints);
    tear_down(&setup);
}

/* ---- runs -------------------------------------------------------------------------------------------------------- */

#define RUNS 6
struct rows {
    double *values;
    size_t width, count;
};

static struct status keep_row(void *context, size_t run, const double *row)
{
    struct rows *rows = context;
    assert_int_equal(run, rows->count);
    memcpy(&rows->values[run * rows->width], row, rows->width * sizeof *row);
    rows->count++;
    return status_ok();
}

static void sweep_into(struct sweep *sweep, struct rows *rows)
{
    rows->width = sweep_row_width(sweep);
    rows->values = calloc(rows->width * (sweep->first + sweep->count), sizeof *rows->values);
    rows->count = sweep->first;
    assert_non_null(rows->values);
    sweep->keep = keep_row;
    sweep->context = rows;
    assert_done(sweep_run(sweep));
}

static void runs_are_those_of_the_scenario_so_written(void **state)
{
    (void)state;
    struct setup setup;
    struct drawn drawn[2];
    double values[RUNS * 2];
    struct rows rows;
    struct rows again;
    set_up(&setup);
    assert_done(sweep_read_key("vat.water.temperature=40..60 degC", false, &setup.scenario, &drawn[0]));
    assert_done(sweep_read_key("leuco_pk2=12.4..12.9", false, &setup.scenario, &drawn[1]));
    assert_done(draws_fill(drawn, 2, false, 3, RUNS, values));
    struct sweep sweep = {.scenario = &setup.scenario,
                          .kept = setup.kept,
                          .overrides = usual,
                          .override_count = USUAL,
                          .drawn = drawn,
                          .drawn_count = 2,
                          .values = values,
                          .series = SERIES_ALL,
                          .count = RUNS,
                          .threads = 3};
    sweep_into(&sweep, &rows);
    for (size_t run = 0; run < RUNS; run += 2) { /* against the file read with the values written in */
        char water[100];
        char constant[100];
        const char *overrides[USUAL + 2] = {SHORT, COARSE, "record=1 h", water, constant};
        struct scenario written;
        struct result result;
        (void)snprintf(water, sizeof water, "vat.water.temperature=%.17g degC", values[2 * run]);
        (void)snprintf(constant, sizeof constant, "constants.leuco_pk2=%.17g", values[2 * run + 1]);
        ask_file(VAT, overrides, USUAL + 2, &written);
        assert_done(run_scenario(&written, NULL, &result));
        const double *row = &rows.values[run * rows.width];
        assert_memory_equal(row, &values[2 * run], 2 * sizeof *row);
        size_t series_rows = result.series.rows;
        assert_int_equal(series_rows, sweep_series_rows(&setup.scenario));
        for (size_t i = 1; i < SERIES_COUNT; i++) {
            assert_memory_equal(row + 2 + FIGURE_COUNT + (i - 1) * series_rows, result.series.columns[i].values,
                                series_rows * sizeof(double));
        }
        result_free(&result);
        scenario_free(&written);
    }
    sweep.threads = 1;
    sweep.first = 2; /* a part of it, on one thread */
    sweep.count = 3;
    sweep_into(&sweep, &again);
    assert_memory_equal(&again.values[2 * rows.width], &rows.values[2 * rows.width], 3 * rows.width * sizeof(double));
    free(rows.values);
    free(again.values);
    tear_down(&setup);
}

static void a_vat_that_freezes_is_a_row(void **state)
{
    (void)state;
    struct setup setup;
    struct drawn drawn;
    double values[2] = {20.0, -30.0};
    struct rows rows;
    set_up(&setup);
    assert_done(sweep_read_key("vat.place.night=-30..20 degC", false, &setup.scenario, &drawn));
    static const char *const cold[] = {SHORT, COARSE, "record=1 h", "vat.place.day=20 degC"};
    struct sweep sweep = {.scenario = &setup.scenario,
                          .kept = setup.kept,
                          .overrides = cold,
                          .override_count = 4,
                          .drawn = &drawn,
                          .drawn_count = 1,
                          .values = values,
                          .count = 2,
                          .threads = 2};
    sweep_into(&sweep, &rows);
    assert_true(rows.values[1 + FIGURE_CONDITION] == RUN_WAS_READY);
    assert_true(rows.values[rows.width + 1 + FIGURE_CONDITION] == RUN_OUT_OF_RANGE);
    assert_true(isnan(rows.values[rows.width + 1 + FIGURE_END_PH]));
    free(rows.values);
    tear_down(&setup);
}

static void a_value_that_the_scenario_refuses_is_told_with_its_run(void **state)
{
    (void)state;
    struct setup setup;
    struct drawn drawn;
    double values[3] = {10.0, 18.0, 60.0}; /* the vessel holds 22 L */
    struct rows rows = {.values = calloc(3 * 200, sizeof(double))};
    set_up(&setup);
    assert_non_null(rows.values);
    assert_done(sweep_read_key("vat.vessel.fill=10..60 L", false, &setup.scenario, &drawn));
    struct sweep sweep = {.scenario = &setup.scenario,
                          .kept = setup.kept,
                          .overrides = usual,
                          .override_count = USUAL,
                          .drawn = &drawn,
                          .drawn_count = 1,
                          .values = values,
                          .count = 3,
                          .keep = keep_row,
                          .context = &rows};
    rows.width = sweep_row_width(&sweep);
    struct status status = sweep_run(&sweep);
    assert_int_equal(status.code, STATUS_SCENARIO);
    assert_non_null(strstr(status.message, "run 3 (vat.vessel.fill=60 L) cannot be laid out: "));
    assert_int_equal(rows.count, 2); /* those before are kept */
    free(rows.values);
    tear_down(&setup);
}

/* ---- members ----------------------------------------------------------------------------------------------------- */

static void run_with_members(const struct scenario *scenario, int members, int threads, struct result *result)
{
    struct run_options options = {0};
    assert_done(run_scenario(scenario, &options, result));
    assert_done(ensemble_add(scenario, members, threads, &options, result));
}

static void bands_are_the_percentiles_of_members(void **state)
{
    (void)state;
    struct setup setup;
    struct result two;
    struct result one;
    set_up(&setup);
    run_with_members(&setup.scenario, 2, 2, &two);
    run_with_members(&setup.scenario, 2, 1, &one);
    const struct table *series = &two.series;
    size_t last = series->rows - 1;
    const double *ends = table_column(&two.members, "end_ph")->values;
    double lower = fmin(ends[0], ends[1]);
    double upper = fmax(ends[0], ends[1]);
    /* of two values the fifth percentile is a twentieth of the way up */
    assert_true(upper > lower);
    assert_close(table_column(series, "ph_p05")->values[last], lower + 0.05 * (upper - lower), 1e-13, 0.0);
    assert_close(table_column(series, "ph_p95")->values[last], lower + 0.95 * (upper - lower), 1e-13, 0.0);
    assert_null(table_column(series, "state_p05"));
    assert_null(table_column(series, "time_p05"));
    assert_true(table_column(&two.figures, "end_ph")->values[0] == table_column(series, "ph")->values[last]);
    for (size_t i = 0; i < series->column_count; i++) { /* the same on one thread */
        assert_memory_equal(series->columns[i].values, one.series.columns[i].values, series->rows * sizeof(double));
    }
    result_free(&two);
    result_free(&one);
    tear_down(&setup);
}

/* Stopped before any member is begun: the run's own figures are there, no members and no bands. */
static void a_run_stopped_before_its_members_is_whole(void **state)
{
    (void)state;
    struct setup setup;
    struct result result;
    volatile int stop = 1;
    set_up(&setup);
    struct run_options options = {0};
    assert_done(run_scenario(&setup.scenario, &options, &result));
    options.stop = &stop;
    struct status status = ensemble_add(&setup.scenario, 5, 1, &options, &result);
    assert_int_equal(status.code, STATUS_INTERRUPTED);
    assert_string_equal(result.failure,
                        "the run itself is whole; of its 5 members 0 are done, too few to tell anything by");
    assert_int_equal(result.status, RUN_INTERRUPTED);
    assert_int_equal(result.figures.rows, 1);
    assert_int_equal(result.members.column_count, 0);
    assert_null(table_column(&result.series, "ph_p05"));
    result_free(&result);
    tear_down(&setup);
}

static void a_constant_without_a_range_is_not_drawn(void **state)
{
    (void)state;
    struct setup setup;
    struct result result;
    set_up(&setup);
    struct scenario *scenario = &setup.scenario;
    for (int id = 0; id < CONSTANT_COUNT; id++) {
        scenario->model.constants[id].low = scenario->model.constants[id].high = scenario->model.constants[id].nominal;
    }
    run_with_members(scenario, 3, 2, &result);
    assert_true(result.members.column_count > FIGURE_COUNT); /* air, water, spoons and cloth are still uncertain */
    double apart = fabs(table_column(&result.series, "temperature_p95")->values[20] -
                        table_column(&result.series, "temperature_p05")->values[20]);
    assert_between(apart, 1e-3, 2.0);
    result_free(&result);
    tear_down(&setup);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(keys_are_read),
        cmocka_unit_test(keys_that_will_not_do_are_told),
        cmocka_unit_test(keys_are_tried_on_the_scenario),
        cmocka_unit_test(runs_are_those_of_the_scenario_so_written),
        cmocka_unit_test(a_vat_that_freezes_is_a_row),
        cmocka_unit_test(a_value_that_the_scenario_refuses_is_told_with_its_run),
        cmocka_unit_test(bands_are_the_percentiles_of_members),
        cmocka_unit_test(a_run_stopped_before_its_members_is_whole),
        cmocka_unit_test(a_constant_without_a_range_is_not_drawn),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
