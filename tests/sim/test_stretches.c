/* test_stretches.c: a run taken a stretch at a time; more cloth in the liquor than there are zones; a piece that goes from
 * one vat to another. Nothing published is checked here: what is compared are runs with each other, and the ledgers.
 */
#include "trial.h"

#include "support/close.h"

#include <stdlib.h>

#define NEVER 1e12
#define SWATCHES 9
#define BEGIN (26 * 3600.0)
#define APART 100.0 /* s from one swatch to the next: five or six soak at a time */
#define SOAK 540.0

static const char swatches[] = TRIAL_HEAD("30 h", "30 min") TRIAL_VAT
    "cloth = ( { name = \"swatch\"; fibre = \"cotton\"; each = \"1 g\"; fabric = \"160 g/m2\"; count = 9; } );\n"
    "calendar = ( { at = \"day 1 08:30\"; do = \"stir\"; },\n"
    "             { at = \"day 1 20:00\"; do = \"dip\"; first = 1; soak = \"9 min\"; air = \"1 min\"; } );\n";

/* A scenario whose events 1 to SWATCHES each dip one swatch, at no time of their own. */
static struct scenario *with_swatches(void)
{
    struct scenario *scenario = trial_read(swatches);
    struct event_spec dip = scenario->events[1];
    dip.at = NEVER;
    scenario->events = realloc(scenario->events, (SWATCHES + 1) * sizeof *scenario->events);
    assert_non_null(scenario->events);
    scenario->event_count = SWATCHES + 1;
    for (int i = 0; i < SWATCHES; i++) {
        dip.first_piece = i + 1;
        scenario->events[i + 1] = dip;
    }
    /* Cloth that stirs nothing up, so that swatches are not felt. */
    scenario->model.constants[K_RESUSPEND_DIP].nominal = 0.0;
    scenario->model.constants[K_FILM_BROKEN_BY_CLOTH].nominal = 0.0;
    return scenario;
}

static void is_ok(struct status status)
{
    if (!status_is_ok(&status)) {
        fail_msg("%s", status.message);
    }
}

static void stretches_make_a_whole(void **state)
{
    (void)state;
    struct scenario *scenario =
        trial_read(TRIAL_HEAD("30 h", "30 min") TRIAL_VAT TRIAL_CLOTH
                   "calendar = ( { at = \"day 1 08:30\"; do = \"stir\"; },\n"
                   "  { at = \"day 2 09:00\"; do = \"dip\"; pieces = 2; soak = \"9 min\"; dips = 2; } );\n");
    struct result whole = trial_run(scenario);
    struct result parts;
    struct run *run;
    is_ok(run_open(scenario, NULL, &parts, &run));
    for (double time = 0.0; time < 31 * 3600.0; time += 1700.0) {
        is_ok(run_until(run, time));
        assert_close(run_look(run).time, fmin(time, scenario->lasts), 1e-9, 1e-3);
    }
    struct run_look look = run_look(run);
    is_ok(run_close(run, status_ok()));
    assert_int_equal(parts.status, RUN_COMPLETE);
    trial_ledgers_close(&parts);
    assert_int_equal(parts.series.rows, whole.series.rows);
    assert_int_equal(parts.dips.rows, whole.dips.rows);
    assert_int_equal(parts.events.rows, whole.events.rows);
    /* The solver begins anew at each stop, so the digits differ within its tolerance (1e-5). */
    assert_close(trial_value(&parts.series, "leuco", -1), trial_value(&whole.series, "leuco", -1), 1e-3, 0.0);
    assert_close(trial_value(&parts.dips, "sorbed", -1), trial_value(&whole.dips, "sorbed", -1), 1e-3, 0.0);
    assert_close(look.leuco, trial_value(&parts.series, "leuco", -1), 1e-9, 0.0);
    assert_int_equal(look.state, (int)trial_value(&parts.series, "state", -1));
    result_free(&parts);
    result_free(&whole);
    trial_free(scenario);
}

static struct result dip_swatches(struct scenario *scenario, int first, int last)
{
    struct result result;
    struct run *run;
    is_ok(run_open(scenario, NULL, &result, &run));
    for (int i = first; i <= last; i++) {
        is_ok(run_until(run, BEGIN + (i - 1) * APART));
        is_ok(run_put(run, i, BEGIN + (i - 1) * APART));
    }
    is_ok(run_until(run, scenario->lasts));
    is_ok(run_close(run, status_ok()));
    trial_ledgers_close(&result);
    return result;
}

/* A gram of cloth in 40 L is felt by nobody: each swatch must take what it takes alone. */
static void many_share_the_liquor(void **state)
{
    (void)state;
    struct scenario *scenario = with_swatches();
    struct result together = dip_swatches(scenario, 1, SWATCHES);
    assert_int_equal(together.dips.rows, SWATCHES);
    for (int i = 1; i <= SWATCHES; i++) {
        struct result alone = dip_swatches(scenario, i, i);
        double expected = trial_value(&alone.dips, "sorbed", 0);
        double found = trial_value(&together.dips, "sorbed", i - 1);
        print_message("swatch %d: %.6f g/kg alone, %.6f among others\n", i, expected, found);
        assert_int_equal((int)trial_value(&together.dips, "first_piece", i - 1), i);
        assert_close(found, expected, 2e-3, 0.0);
        result_free(&alone);
    }
    result_free(&together);
    trial_free(scenario);
}

/* Dyed before, a swatch has less room and takes less, also where it shares a zone with fresh ones. */
static void shares_follow_the_room(void **state)
{
    (void)state;
    struct scenario *scenario = with_swatches();
    struct result result;
    struct run *run;
    is_ok(run_open(scenario, NULL, &result, &run));
    is_ok(run_until(run, BEGIN - 7200.0));
    is_ok(run_put(run, 6, BEGIN - 7200.0));
    is_ok(run_until(run, BEGIN));
    for (int i = 1; i <= 7; i++) { /* all at once: the fifth and later share */
        is_ok(run_put(run, i, BEGIN));
    }
    is_ok(run_until(run, BEGIN + 3600.0));
    is_ok(run_close(run, status_ok()));
    trial_ledgers_close(&result);
    assert_int_equal(result.dips.rows, 8);
    double fresh = NAN;
    double dyed = NAN;
    double loaded = NAN;
    for (int row = 1; row < 8; row++) {
        if ((int)trial_value(&result.dips, "first_piece", row) == 6) {
            dyed = trial_value(&result.dips, "sorbed", row);
            loaded = trial_value(&result.dips, "before", row);
        } else if (isnan(fresh)) {
            fresh = trial_value(&result.dips, "sorbed", row);
        } else {
            assert_close(trial_value(&result.dips, "sorbed", row), fresh, 1e-6, 0.0);
        }
    }
    const struct fibre *fibre = &scenario->model.fibres[scenario->cloth[0].fibre];
    /* Its room, by the law of cloth.c; what it brought is blue by then. */
    assert_close(dyed / fresh, 1.0 - loaded * 1e-3 / fibre->cap.nominal, 0.01, 0.0);
    assert_true(dyed < 0.99 * fresh);
    result_free(&result);
    trial_free(scenario);
}

static void a_piece_goes_to_another_vat(void **state)
{
    (void)state;
    struct scenario *scenario = with_swatches();
    scenario->cloth[0].each = 0.150;
    struct result results[2];
    struct run *runs[2];
    for (int i = 0; i < 2; i++) {
        is_ok(run_open(scenario, NULL, &results[i], &runs[i]));
        is_ok(run_until(runs[i], BEGIN));
    }
    is_ok(run_put(runs[0], 3, BEGIN));
    is_ok(run_until(runs[0], BEGIN + SOAK - 60.0));
    assert_int_equal(run_hand_over(runs[0], runs[1], 0, 3).code, STATUS_BUG); /* it is in the liquor */
    is_ok(run_until(runs[0], BEGIN + SOAK + 61.0));
    is_ok(run_hand_over(runs[0], runs[1], 0, 3));
    assert_int_equal(run_hand_over(runs[0], runs[1], 0, 10).code, STATUS_BUG); /* there is none */
    is_ok(run_until(runs[1], BEGIN + 1800.0));
    is_ok(run_put(runs[1], 3, BEGIN + 1800.0));
    for (int i = 0; i < 2; i++) {
        is_ok(run_until(runs[i], scenario->lasts));
        is_ok(run_close(runs[i], status_ok()));
        trial_ledgers_close(&results[i]);
    }
    assert_int_equal((int)trial_value(&results[0].pieces, "dips", 2), 0);
    assert_int_equal((int)trial_value(&results[1].pieces, "dips", 2), 2);
    assert_int_equal((int)trial_value(&results[1].dips, "dip", 0), 2);
    double first = trial_value(&results[0].dips, "after", 0);
    assert_close(trial_value(&results[1].dips, "before", 0), first, 0.2,
                 0.0); /* some of it went back into the liquor */
    assert_true(trial_value(&results[1].pieces, "sorbed", 2) > trial_value(&results[0].dips, "sorbed", 0));
    result_free(&results[0]);
    result_free(&results[1]);
    trial_free(scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(stretches_make_a_whole),
        cmocka_unit_test(many_share_the_liquor),
        cmocka_unit_test(shares_follow_the_room),
        cmocka_unit_test(a_piece_goes_to_another_vat),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
