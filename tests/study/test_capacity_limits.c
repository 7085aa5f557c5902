/* test_capacity_limits.c: what gives out first, and that no vat is no answer. */
#include "study/asking.h"

#include "study/load_search.h"

static struct capacity_question usual(enum shade shade)
{
    return (struct capacity_question){.shade = shade,
                                      .keep = CAPACITY_KEEP,
                                      .hours = CAPACITY_HOURS,
                                      .every = CAPACITY_EVERY,
                                      .soak = NAN,
                                      .session_every = 86400.0};
}

static void limits_are_named(void **state)
{
    (void)state;
    struct scenario scenario;
    struct period_capacity period;
    struct capacity_question question = usual(SHADE_MID);

    /* More cloth than the liquor holds: a handful of loads in a vat that hardly notices. */
    ask_vat(18.9, 10.0, 1.0, &scenario);
    question.keep = 0.2;
    question.hours = 1.0;
    struct capacity capacity;
    struct work_plan plan = ask_session(&scenario, 3, 1200.0);
    assert_done(load_search(&scenario, 0.2, 0.01, NULL, &plan, &period));
    assert_true(period.capped);
    assert_close(plan.load / plan.volume, CAPACITY_CLOTH_PER_VOLUME, 1e-9, 0.0);
    scenario_free(&scenario);

    /* A vat that hardly has lime left is short of lime. */
    ask_vat(18.9, 5.0, 1.0, &scenario);
    scenario.charge[1].mass *= 0.5;
    question = usual(SHADE_MID);
    assert_done(capacity_find(&scenario, &question, &capacity));
    print_message("with little lime: session %.2f kg, limit %s, week %.2f kg, limit %s\n",
                  capacity.session.cloth_dips.nominal, limit_words[capacity.session.limit],
                  capacity.week.cloth_dips.nominal, limit_words[capacity.week.limit]);
    assert_int_equal(capacity.week.limit, LIMIT_LIME);
    scenario_free(&scenario);

    /* No sugar: never ready, which is a complaint about the scenario. */
    ask_vat(18.9, 5.0, 1.0, &scenario);
    scenario.charge[2].mass = 1e-6;
    scenario.event_count = 3; /* no dip says when to begin */
    struct work_plan never = {0};
    assert_int_equal(work_plan_from(&scenario, 0, NULL, &never, NULL).code, STATUS_SCENARIO);
    scenario_free(&scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(limits_are_named)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
