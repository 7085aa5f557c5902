/* test_variants.c: copies of a scenario that a study changes, and other vats that it may be. */
#include "study/asking.h"

#include "study/members.h"
#include "study/variant.h"

#include <string.h>

static void members_are_drawn(void **state)
{
    (void)state;
    struct scenario scenario;
    struct scenario one;
    struct scenario again;
    ask_vat(18.9, 5.0, 1.0, &scenario);
    int above = 0;
    int below = 0;
    for (int number = 1; number <= 40; number++) {
        assert_done(member_make(&scenario, number, &one));
        for (int i = 0; i < CONSTANT_COUNT; i++) {
            const struct constant *constant = &one.model.constants[i];
            double slack = 1e-12 * fabs(constant->nominal);
            assert_true(constant->nominal >= constant->low - slack && constant->nominal <= constant->high + slack);
            above += constant->high > constant->low && constant->nominal > scenario.model.constants[i].nominal;
            below += constant->high > constant->low && constant->nominal < scenario.model.constants[i].nominal;
        }
        assert_done(member_make(&scenario, number, &again));
        assert_memory_equal(one.model.constants, again.model.constants, sizeof one.model.constants);
        scenario_free(&one);
        scenario_free(&again);
    }
    assert_int_equal(member_make(&scenario, 0, &one).code, STATUS_BUG);
    assert_int_equal(member_make(&scenario, MEMBERS_DRAWN_MOST + 1, &one).code, STATUS_BUG);
    assert_between((double)above / (above + below), 0.45, 0.55); /* as likely above as below */
    scenario_free(&scenario);
}

static void variants_leave_the_scenario_alone(void **state)
{
    (void)state;
    struct scenario scenario;
    struct scenario variant;
    ask_vat(18.9, 5.0, 1.0, &scenario);
    double first = scenario.events[4].at;
    assert_done(variant_make(&scenario, &variant));
    variant_clear_work(&variant, 3600.0);
    variant.charge[0].mass = 7.0;
    variant.model.fibres[0].cap.nominal = 7.0;
    assert_int_equal(scenario.events[4].action, ACTION_DIP);
    assert_close(scenario.events[4].at, first, 0.0, 0.0);
    assert_int_equal(variant.events[0].action, ACTION_STIR); /* at 20 min: kept */
    assert_int_equal(variant.events[4].action, ACTION_READ); /* the dip: taken out */
    assert_true(variant.events[4].at > scenario.lasts);
    assert_close(scenario.charge[0].mass, 0.0945, 1e-9, 0.0);
    assert_true(scenario.model.fibres[0].cap.nominal < 1.0);
    scenario_free(&variant);
    scenario_free(&scenario);
}

/* The care goes on to the new end; dyeing and what follows it is gone. */
static void care_without_dyeing(void **state)
{
    (void)state;
    struct scenario scenario;
    struct scenario variant;
    ask_file(SCENARIOS_DIR "/feeding-by-rule.conf", NULL, 0, &scenario);
    assert_done(variant_make(&scenario, &variant));
    variant_clear_dyeing(&variant, 100.0 * 86400.0);
    int going_on = 0;
    for (size_t i = 0; i < variant.event_count; i++) {
        const struct event_spec *event = &variant.events[i];
        assert_true(event->action != ACTION_DIP);
        going_on += event->timing == TIMING_EVERY && event->until > 99.0 * 86400.0;
    }
    assert_true(going_on >= 2); /* sugar by the look, lime by the strip */
    scenario_free(&variant);
    scenario_free(&scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(members_are_drawn),
        cmocka_unit_test(variants_leave_the_scenario_alone),
        cmocka_unit_test(care_without_dyeing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
