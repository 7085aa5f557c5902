/* test_accuracy.c: every recorded series, dip and piece at the default tolerance against a run at 1e-10, on vats of every kind; and
 * the error falls as the tolerance does. */
#include "process/registry.h"
#include "scenario/read.h"
#include "sim/run.h"

#include "support/close.h"

#include <gsl/gsl_errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PROMISED 1e-4 /* of the largest value of a series; the promise of docs/performance.md */
#define NOTHING 1e-6  /* in a series' own unit: one that never passes it has no scale worth a promise */
#define TIGHT 1e-10
#define DAY 86400.0

static void read_shipped(const char *name, double days, struct scenario *scenario)
{
    (void)gsl_set_error_handler_off();
    char path[500];
    struct complaints complaints;
    const char *names[PROCESSES_KNOWN_MOST + 1];
    complaints_init(&complaints);
    process_names(names);
    memset(scenario, 0, sizeof *scenario);
    (void)snprintf(path, sizeof path, "%s/%s.conf", SCENARIOS_DIR, name);
    struct status status = scenario_read(path, NULL, 0, names, MODELS_DIR, scenario, &complaints);
    complaints_free(&complaints);
    if (!status_is_ok(&status)) {
        fail_msg("%s", status.message);
    }
    scenario->lasts = fmin(scenario->lasts, days * DAY);
}

static void run_at(const struct scenario *scenario, double rtol, struct result *result)
{
    const struct run_options options = {.rtol = rtol};
    struct status status = run_scenario(scenario, &options, result);
    if (!status_is_ok(&status)) {
        fail_msg("%s", status.message);
    }
}

/* Bytes of a swatch are rounded: they may differ by one, and say nothing of the error. */
static bool is_rounded(const struct column *column)
{
    return strcmp(column->name, "liquor_red") == 0 || strcmp(column->name, "liquor_green") == 0 ||
           strcmp(column->name, "liquor_blue") == 0;
}

/* The largest error of any column as a share of its scale, if it is larger than `worst`. */
static double worst_of(const struct table *got, const struct table *want, double worst, const char **where)
{
    assert_int_equal(got->rows, want->rows);
    for (size_t c = 0; c < want->column_count; c++) {
        const struct column *column = &want->columns[c];
        double scale = NOTHING;
        double error = 0.0;
        for (size_t i = 0; i < want->rows; i++) {
            double difference = fabs(got->columns[c].values[i] - column->values[i]);
            if (isnan(difference)) { /* in both, or in none */
                assert_true(isnan(got->columns[c].values[i]) && isnan(column->values[i]));
                continue;
            }
            if (column->flags != NULL || is_rounded(column)) {
                assert_true(difference <= (is_rounded(column) ? 1.0 : 0.0));
                continue;
            }
            scale = fmax(scale, fabs(column->values[i]));
            error = fmax(error, difference);
        }
        if (error / scale > worst) {
            worst = error / scale;
            *where = column->name;
        }
    }
    return worst;
}

/* That of all series, dips and pieces. */
static double worst_error(const struct result *got, const struct result *want, const char **where)
{
    double worst = worst_of(&got->series, &want->series, 0.0, where);
    worst = worst_of(&got->dips, &want->dips, worst, where);
    return worst_of(&got->pieces, &want->pieces, worst, where);
}

static void default_tolerance_keeps_the_promise(void **state)
{
    (void)state;
    static const struct {
        const char *name;
        double days;
    } vats[] = {{"fresh-vat", 4.0},      {"careless", 12.0},      {"finishing-day", 4.0}, {"valley-sashes", 9.0},
                {"souring-saved", 14.0}, {"bran-seeded", 10.0},   {"leaf-ration", 6.0},   {"advice-cold", 2.0},
                {"advice-last", 2.0},    {"advice-suspect", 2.0}, {"advice-thirsty", 2.0}};
    for (size_t i = 0; i < sizeof vats / sizeof vats[0]; i++) {
        struct scenario scenario;
        struct result usual, tight;
        const char *where = "";
        read_shipped(vats[i].name, vats[i].days, &scenario);
        run_at(&scenario, 0.0, &usual);
        run_at(&scenario, TIGHT, &tight);
        double worst = worst_error(&usual, &tight, &where);
        print_message("%s: %.0f and %.0f steps, worst error %.1e, of %s\n", vats[i].name, usual.statistics.steps,
                      tight.statistics.steps, worst, where);
        if (worst > PROMISED) {
            fail_msg("%s: '%s' errs by %.2e of its scale", vats[i].name, where, worst);
        }
        result_free(&usual);
        result_free(&tight);
        scenario_free(&scenario);
    }
}

/* A row every second: oxygen that an event brought is not followed by steps, but is told as it is gone. */
static void seconds_after_an_event_keep_it_too(void **state)
{
    (void)state;
    static const char *const names[] = {"workshop-class", "careful"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        struct scenario scenario;
        struct result usual, tight;
        const char *where = "";
        read_shipped(names[i], 1.0, &scenario);
        scenario.record_every = 1.0;
        run_at(&scenario, 0.0, &usual);
        run_at(&scenario, TIGHT, &tight);
        double worst = worst_error(&usual, &tight, &where);
        print_message("%s every second: worst error %.1e, of %s\n", names[i], worst, where);
        if (worst > PROMISED) {
            fail_msg("%s: '%s' errs by %.2e of its scale", names[i], where, worst);
        }
        result_free(&usual);
        result_free(&tight);
        scenario_free(&scenario);
    }
}

static void error_falls_with_the_tolerance(void **state)
{
    (void)state;
    struct scenario scenario;
    struct result tight;
    double last = 1.0;
    read_shipped("fresh-vat", 3.0, &scenario);
    run_at(&scenario, 1e-11, &tight);
    for (double rtol = 1e-4; rtol > 1e-9; rtol *= 0.1) {
        struct result result;
        const char *where = "";
        run_at(&scenario, rtol, &result);
        double worst = worst_error(&result, &tight, &where);
        print_message("rtol %.0e: %.0f steps, worst error %.1e, of %s\n", rtol, result.statistics.steps, worst, where);
        assert_true(worst < 0.5 * last);
        assert_true(worst < 10.0 * rtol);
        last = worst;
        result_free(&result);
    }
    result_free(&tight);
    scenario_free(&scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(default_tolerance_keeps_the_promise),
        cmocka_unit_test(seconds_after_an_event_keep_it_too),
        cmocka_unit_test(error_falls_with_the_tolerance),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
