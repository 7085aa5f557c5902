/* test_compare.c: what a run came to, who comes first, and whether the books explain it. */
#include "study/asking.h"

#include "sim/run.h"
#include "sim/series.h"
#include "study/compare.h"

#include <stdio.h>
#include <string.h>

static const char *const schedules[] = {SCENARIOS_DIR "/feeding-each-session.conf",
                                        SCENARIOS_DIR "/feeding-by-rule.conf", SCENARIOS_DIR "/feeding-weekly.conf"};

static void figures_are_those_of_the_run(void **state)
{
    (void)state;
    struct scenario scenario;
    struct result result;
    struct outcome o;
    ask_file(schedules[1], NULL, 0, &scenario);
    assert_done(run_scenario(&scenario, NULL, &result));
    const struct price prices[] = {{"slaked lime", 2.0}, {"fructose", 3.0}, {"water", 0.5}};
    outcome_read(&result, SHADE_MID, &o);
    outcome_price(&scenario, &result, prices, 3, &o);
    assert_string_equal(o.name, "feeding-by-rule");
    double at_shade = 0.0;
    for (size_t row = 0; row < result.pieces.rows; row++) {
        double mid = table_column(&result.pieces, "shade")->values[row] >= (double)SHADE_MID ? 1.0 : 0.0;
        at_shade += mid * table_column(&result.pieces, "mass")->values[row];
    }
    assert_close(o.at_shade, at_shade, 1e-12, 0.0);
    double lowest = INFINITY;
    size_t ready = 0;
    while (table_column(&result.series, "state")->values[ready] != (double)VAT_READY) {
        ready++;
    }
    for (size_t row = ready; row < result.series.rows; row++) {
        lowest = fmin(lowest, table_column(&result.series, "ph")->values[row]);
    }
    assert_close(o.ph_lowest, lowest, 1e-12, 0.0);
    /* Lime and sugar as poured: all the lime of slaked lime is not Ca(OH)2, so money goes by what was bought. */
    double lime = 0.200;
    double sugar = 0.400;
    for (size_t row = 0; row < result.events.rows; row++) {
        double source = table_column(&result.events, "source")->values[row];
        double mass = table_column(&result.events, "mass")->values[row];
        if (table_column(&result.events, "action")->values[row] > 0.0 || !(mass > 0.0)) {
            continue;
        }
        const char *name = scenario.model.materials[scenario.events[(size_t)source].dose.material].name;
        lime += strcmp(name, "slaked lime") == 0 ? mass : 0.0;
        sugar += strcmp(name, "fructose") == 0 ? mass : 0.0;
    }
    assert_true(lime > 0.2 && sugar > 0.4);
    assert_close(o.cost, 2.0 * lime + 3.0 * sugar + 0.5 * o.books[BOOKED_WATER].used, 1e-9, 0.0);
    assert_int_equal(o.unpriced, 1); /* the indigo */
    outcome_price(&scenario, &result, NULL, 0, &o);
    assert_true(isnan(o.cost));
    double whole = 0.0;
    for (int s = 0; s < OUTCOME_STATES; s++) {
        whole += o.state_share[s];
    }
    assert_close(whole, 1.0, 1e-9, 0.0);
    result_free(&result);
    scenario_free(&scenario);
}

static struct outcome made_up(const char *name, double at_shade, double pigment, int care, double spread)
{
    struct outcome o = {.at_shade = at_shade, .pigment_per_kg = pigment, .care = care, .spread = spread};
    (void)snprintf(o.name, sizeof o.name, "%s", name);
    return o;
}

static void ranked_by_each_goal(void **state)
{
    (void)state;
    const struct outcome outcomes[] = {made_up("a", 4.00, 12.0, 30, 0.10), made_up("b", 4.02, 11.0, 50, 0.05),
                                       made_up("c", 4.10, 14.0, 20, NAN), made_up("idle", 0.0, INFINITY, 0, 0.0)};
    size_t order[4];
    compare_rank(outcomes, 4, GOAL_CLOTH, order);
    assert_int_equal(order[0], 2); /* 4.10 is more than a hundredth above the others */
    assert_int_equal(order[1], 1); /* equal cloth, less pigment */
    assert_int_equal(order[3], 3);
    compare_rank(outcomes, 4, GOAL_PIGMENT, order);
    assert_int_equal(order[0], 1);
    assert_int_equal(order[2], 2);
    compare_rank(outcomes, 4, GOAL_LABOUR, order);
    assert_int_equal(order[0], 2); /* what does no work does not win by idleness */
    assert_int_equal(order[3], 3);
    compare_rank(outcomes, 4, GOAL_STEADY, order);
    assert_int_equal(order[0], 1);
    assert_int_equal(order[2], 2); /* its spread is not known */
}

/* The state in which the worse one spent most of its time is named, those of fermented vats among them. */
static void every_state_is_named(void **state)
{
    (void)state;
    static const char *const words[] = {[VAT_FROZEN] = "frozen",
                                        [VAT_ASLEEP] = "asleep",
                                        [VAT_RUNAWAY] = "souring fast",
                                        [VAT_PUTRID] = "putrid",
                                        [VAT_STALLED] = "stalled"};
    for (int s = VAT_FROZEN; s < OUTCOME_STATES; s++) {
        struct outcome better = made_up("a", 4.0, 12.0, 30, 0.1);
        struct outcome worse = made_up("b", 2.0, 12.0, 30, 0.1);
        char text[1000];
        char wanted[80];
        worse.state_share[s] = 0.6;
        compare_explain(&better, &worse, GOAL_CLOTH, text, sizeof text);
        (void)snprintf(wanted, sizeof wanted, "; b was %s 60 %% of the time, a 0 %%", words[s]);
        assert_non_null(strstr(text, wanted));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(figures_are_those_of_the_run),
        cmocka_unit_test(ranked_by_each_goal),
        cmocka_unit_test(every_state_is_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
