/* test_marks.c: a run that pauses is the run without pauses, to the last bit; a run that returns to a mark goes on as it did. */
#include "trial.h"

#include "support/close.h"

#include <stdlib.h>
#include <string.h>

static const char vat[] = TRIAL_HEAD("3 days", "20 min") TRIAL_VAT TRIAL_CLOTH
    "calendar = ( { at = \"day 1 08:20\"; do = \"stir\"; },\n"
    "  { at = \"day 1 10:00\"; do = \"heat\"; to = \"48 degC\"; },\n"
    "  { at = \"day 1 14:00\"; do = \"dip\"; pieces = 2; soak = \"9 min\"; air = \"20 min\"; dips = 3; },\n"
    "  { after = \"dip\"; do = \"add\"; what = \"fructose\"; amount = \"20 g\"; },\n"
    "  { every = \"5 h\"; do = \"read\"; read = \"meter\"; },\n"
    "  { at = \"day 2 09:00\"; do = \"cover\"; lid = \"tight\"; },\n"
    "  { at = \"day 2 09:00\"; do = \"stir\"; how = \"brisk\"; } );\n";

static void is_ok(struct status status)
{
    if (!status_is_ok(&status)) {
        fail_msg("%s", status.message);
    }
}

/* Pauses wherever the calendar stops. */
static void pauses_leave_no_trace(void **state)
{
    (void)state;
    static const double stops[] = {0.0, 1200.0, 7200.0, 18000.0, 21600.0, 90000.0, 90000.0, 90000.0 + 18000.0};
    struct scenario *scenario = trial_read(vat);
    struct result whole = trial_run(scenario);
    struct result paused;
    struct run *run;
    is_ok(run_open(scenario, NULL, &paused, &run));
    for (size_t i = 0; i < sizeof stops / sizeof stops[0]; i++) {
        is_ok(run_pause(run, stops[i]));
        assert_close(run_look(run).time, stops[i], 0.0, 1e-6);
    }
    is_ok(run_until(run, scenario->lasts));
    is_ok(run_close(run, status_ok()));
    trial_same_result(&whole, &paused);
    result_free(&paused);
    result_free(&whole);
    trial_free(scenario);
}

/* From anywhere later, also from a later mark's future, and after the result was filled as if it ended. */
static void returning_is_as_if_it_had_not_been(void **state)
{
    (void)state;
    struct scenario *scenario = trial_read(vat);
    struct result whole = trial_run(scenario);
    struct result other;
    struct run *run;
    struct run_mark *early;
    struct run_mark *late;
    is_ok(run_open(scenario, NULL, &other, &run));
    is_ok(run_pause(run, 7200.0));
    is_ok(run_mark(run, &early));
    is_ok(run_put(run, 3, 8000.0)); /* sugar that will not have been given */
    is_ok(run_put(run, 6, 9000.0));
    is_ok(run_pause(run, 40.0 * 3600.0));
    is_ok(run_fill(run));
    assert_true(other.ledger_count > 0);
    run_return(run, early);
    assert_int_equal(other.ledger_count, 0);
    is_ok(run_pause(run, 90000.0));
    is_ok(run_mark(run, &late));
    for (int i = 0; i < 3; i++) {
        is_ok(run_pause(run, 100000.0 + 30000.0 * i));
        run_return(run, late);
    }
    /* Further back, beside the record, and forward again. */
    struct result aside;
    run_return(run, early);
    is_ok(run_aside(run, &aside));
    is_ok(run_pause(run, 50000.0));
    is_ok(run_fill(run));
    assert_true(aside.ledger_count > 0 && aside.events.rows > 0);
    run_return(run, late);
    result_free(&aside);
    is_ok(run_until(run, scenario->lasts));
    run_mark_free(early);
    run_mark_free(late);
    is_ok(run_close(run, status_ok()));
    trial_same_result(&whole, &other);
    result_free(&other);
    result_free(&whole);
    trial_free(scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pauses_leave_no_trace),
        cmocka_unit_test(returning_is_as_if_it_had_not_been),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
