/* test_capacity.c: how much a vat dyes, against practice.
 *
 * "Practice" is common practice, no source, gathered in figures: a vat of 5 g/L powder gives 65 to 105 g of cloth-dips a
 * litre before it must rest; 100 g of powder (40 %) dye 6 to 15 kg pale, 1.5 to 2.5 kg medium, 0.8 to 1 kg navy; two
 * kilograms of cloth-dips in 18 L of 5 g/L within three hours take the leuco down by 30 to 50 % and the last dip to 50 to 75
 * % of the first, four leave it pale and in want of rest.
 */
#include "study/asking.h"

#include "sim/series.h"
#include "study/capacity.h"
#include "study/members.h"
#include "study/variant.h"

#include <string.h>

static struct capacity_question usual(void)
{
    return (struct capacity_question){.keep = CAPACITY_KEEP,
                                      .hours = CAPACITY_HOURS,
                                      .every = CAPACITY_EVERY,
                                      .soak = NAN,
                                      .session_every = 86400.0};
}

static struct work_plan session_of(const struct scenario *scenario, int loads, double every)
{
    struct work_plan plan = {.sugar = WORK_SUGAR, .lime = WORK_LIME, .after = 60.0};
    assert_done(work_plan_from(scenario, 0, &plan));
    plan.every = every;
    plan.loads = loads;
    plan.sessions = 1;
    plan.session_every = 86400.0;
    plan.dips_per_piece = loads;
    return plan;
}

static void session_of_practice(void **state)
{
    (void)state;
    struct scenario scenario;
    struct period_capacity period;
    ask_vat(18.9, 5.0, 1.0, &scenario);
    struct work_plan plan = session_of(&scenario, 9, 1200.0);
    assert_done(capacity_find_load(&scenario, CAPACITY_KEEP, 0.005, NULL, &plan, &period));
    double per_litre = period.cloth_dips.nominal / plan.volume;
    print_message("%.2f kg, %.0f g of cloth-dips a litre; palest %.3f of the first\n", period.cloth_dips.nominal, per_litre,
                  period.worst_share);
    assert_between(per_litre, 65.0, 105.0); /* practice, section 2.4 */
    assert_close(period.worst_share, CAPACITY_KEEP, 0.0, 0.01);
    assert_false(period.capped);
    scenario_free(&scenario);
}

static double session_of_size(double litres, double depth_times)
{
    struct scenario scenario;
    struct period_capacity period;
    ask_vat(litres, 5.0, depth_times, &scenario);
    struct work_plan plan = session_of(&scenario, 9, 1200.0);
    assert_done(capacity_find_load(&scenario, CAPACITY_KEEP, 0.001, NULL, &plan, &period));
    print_message("%.1f L at %.1f C: %.3f kg\n", plan.volume * 1e3, plan.warmth_K - 273.15, period.cloth_dips.nominal);
    scenario_free(&scenario);
    return period.cloth_dips.nominal;
}

/* Equal strength, warmth, depth, and so surface for each litre: twice the vat. In a vessel of like shape, which has less
 * surface for each litre, it is somewhat more than twice, because the vat's limit is air. */
static void twice_the_volume_twice_the_cloth(void **state)
{
    (void)state;
    double one = session_of_size(18.9, 1.0);
    double two = session_of_size(37.8, 1.0 / cbrt(2.0));
    double like = session_of_size(37.8, 1.0);
    print_message("twice the volume: %.3f times the cloth as deep, %.3f in like shape\n", two / one, like / one);
    assert_close(two / one, 2.0, 0.05, 0.0);
    assert_between(like / one, 2.0, 2.3);
}

/* Practice, section 8, row 13. */
static void two_and_four_kilograms(void **state)
{
    (void)state;
    struct scenario scenario;
    double last[2];
    ask_vat(18.0, 5.0, 1.0, &scenario);
    for (int i = 0; i < 2; i++) {
        struct work_done done;
        struct work_plan plan = session_of(&scenario, 5, 2580.0); /* the last of five comes out after three hours */
        plan.load = 0.4 * (i + 1);
        assert_done(work_run(&scenario, &plan, NULL, &done));
        assert_int_equal(done.count, 5);
        size_t end = done.result.series.rows - 1;
        last[i] = done.loads[4].taken / done.loads[0].taken;
        double leuco = table_column(&done.result.series, "leuco")->values[end] / done.loads[0].leuco;
        print_message("%.0f kg of cloth-dips: leuco at the end %.2f, last dip %.2f of the first, state %.0f\n", 2.0 * (i + 1),
                      leuco, last[i], table_column(&done.result.series, "state")->values[end]);
        if (i == 0) {
            assert_between(leuco, 0.50, 0.70);
            assert_between(last[i], 0.50, 0.75);
        } else {
            assert_true(last[i] < 0.50);
        }
        work_free(&done);
    }
    scenario_free(&scenario);
}

/* Practice, section 8, row 14, and the rest after a session (row 13: overnight, fed, back to 85 to 100 % of what the
 * remaining indigo allows). */
static void a_hundred_grams_of_powder(void **state)
{
    (void)state;
    struct scenario scenario;
    struct capacity capacity;
    struct capacity_question question = usual();
    const double powder = 18.9 * 5.0 / 100.0; /* in hundreds of grams */
    ask_vat(18.9, 5.0, 1.0, &scenario);
    assert_done(capacity_find(&scenario, &question, &capacity));
    double pale = capacity.life_as_first / capacity.dips_to[SHADE_PALE] / powder;
    double mid = capacity.life_as_first / capacity.dips_to[SHADE_MID] / powder;
    double navy = capacity.life_as_first / capacity.dips_to[SHADE_NAVY] / powder;
    print_message("100 g of powder: %.1f kg pale, %.2f kg mid, %.2f kg navy; rest %.1f h to %.2f of the leuco\n", pale, mid,
                  navy, capacity.rest / 3600.0, capacity.rest_comes_to);
    print_message("session limited by %s, week by %s\n", limit_words[capacity.session.limit],
                  limit_words[capacity.week.limit]);
    assert_between(pale, 6.0, 15.0);
    assert_between(mid, 1.5, 2.5);
    /* Finding: practice has 0.8 to 1 kg navy. Here the later dips of a piece add less, and a weak vat never gets there; the
     * figure is held where it is so that a change shows. */
    assert_between(navy, 0.35, 0.65);
    assert_between(capacity.rest_comes_to, 0.85, 1.0);
    assert_between(capacity.rest / 3600.0, 1.0, 14.0); /* overnight at most */
    assert_true(capacity.week.cloth_dips.nominal < 7.0 * capacity.session.cloth_dips.nominal);
    assert_true(capacity.needs_indigo.nominal <= capacity.life.nominal);
    assert_true(isnan(capacity.session.cloth_dips.low)); /* no members were asked */
    scenario_free(&scenario);
}

/* Practice, section 8, row 15, is told of a fermentation vat; what a sugar-lime vat shows of it: much too much every day
 * makes it decline within 2 to 4 sessions, a quarter of what it bears on alternate days does not. (Once a week is too seldom for a vat that is fed only after work:
 * it falls asleep, and the hour and a half of care before a session does not wake it.) */
static void too_much_and_little(void **state)
{
    (void)state;
    struct scenario scenario;
    struct work_done done;
    struct period_capacity period;
    ask_vat(18.9, 5.0, 1.0, &scenario);
    struct work_plan plan = session_of(&scenario, 9, 1200.0);
    assert_done(capacity_find_load(&scenario, CAPACITY_KEEP, 0.02, NULL, &plan, &period));
    plan.load *= 2.0;
    plan.sessions = 5;
    assert_done(work_run(&scenario, &plan, NULL, &done));
    double fourth = done.loads[3 * 9].taken / done.loads[0].taken;
    work_free(&done);
    plan.load /= 8.0;
    plan.sessions = 4;
    plan.session_every = 2.0 * 86400.0;
    assert_done(work_run(&scenario, &plan, NULL, &done));
    double seldom = done.loads[3 * 9].taken / done.loads[0].taken;
    print_message("first dip of the fourth session: %.2f of the first after twice too much daily, %.2f after a quarter on alternate days\n",
                  fourth, seldom);
    assert_true(fourth < 0.85);
    assert_true(seldom > 0.85);
    work_free(&done);
    scenario_free(&scenario);
}

static void limits_are_named(void **state)
{
    (void)state;
    struct scenario scenario;
    struct period_capacity period;
    struct capacity_question question = usual();

    /* More cloth than the liquor holds: a handful of loads in a vat that hardly notices. */
    ask_vat(18.9, 10.0, 1.0, &scenario);
    question.keep = 0.2;
    question.hours = 1.0;
    struct capacity capacity;
    struct work_plan plan = session_of(&scenario, 3, 1200.0);
    assert_done(capacity_find_load(&scenario, 0.2, 0.01, NULL, &plan, &period));
    assert_true(period.capped);
    assert_close(plan.load / plan.volume, CAPACITY_CLOTH_PER_VOLUME, 1e-9, 0.0);
    scenario_free(&scenario);

    /* A vat that hardly has lime left is short of lime. */
    ask_vat(18.9, 5.0, 1.0, &scenario);
    scenario.charge[1].mass *= 0.45;
    question = usual();
    assert_done(capacity_find(&scenario, &question, &capacity));
    print_message("with little lime: session %.2f kg, limit %s, week %.2f kg, limit %s\n",
                  capacity.session.cloth_dips.nominal, limit_words[capacity.session.limit], capacity.week.cloth_dips.nominal,
                  limit_words[capacity.week.limit]);
    assert_int_equal(capacity.week.limit, LIMIT_LIME);
    scenario_free(&scenario);

    /* No sugar: never ready, which is a complaint about the scenario. */
    ask_vat(18.9, 5.0, 1.0, &scenario);
    scenario.charge[2].mass = 1e-6;
    scenario.event_count = 3; /* no dip says when to begin */
    struct work_plan never = {0};
    assert_int_equal(work_plan_from(&scenario, 0, &never).code, STATUS_SCENARIO);
    scenario_free(&scenario);
}

static void members_are_drawn(void **state)
{
    (void)state;
    struct scenario scenario;
    struct scenario one;
    struct scenario again;
    ask_vat(18.9, 5.0, 1.0, &scenario);
    for (int number = 1; number <= 40; number++) {
        assert_done(member_make(&scenario, 0, number, &one));
        for (int i = 0; i < CONSTANT_COUNT; i++) {
            const struct constant *constant = &one.model.constants[i];
            assert_true(constant->nominal >= constant->low * (1.0 - 1e-12) || constant->low < 0.0);
            assert_true(constant->nominal <= constant->high * (1.0 + 1e-12) || constant->high < 0.0);
        }
        assert_done(member_make(&scenario, 0, number, &again));
        assert_memory_equal(one.model.constants, again.model.constants, sizeof one.model.constants);
        scenario_free(&one);
        scenario_free(&again);
    }
    assert_int_equal(member_make(&scenario, 0, 0, &one).code, STATUS_BUG);
    /* A triangular distribution: its median where both halves hold half; the ends at the ends. */
    assert_close(value_at_share(0.0, 1.0, 2.0, 0.5), 1.0, 1e-12, 0.0);
    assert_close(value_at_share(0.0, 0.0, 1.0, 0.75), 0.5, 1e-12, 0.0);
    assert_close(value_at_share(2.0, 5.0, 9.0, 0.0), 2.0, 1e-12, 0.0);
    assert_close(value_at_share(2.0, 5.0, 9.0, 1.0), 9.0, 1e-12, 0.0);
    assert_close(value_at_share(1.0, 10.0, 100.0, 0.5), 10.0, 1e-12, 0.0);
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
    assert_int_equal(variant.events[0].action, ACTION_STIR);  /* at 20 min: kept */
    assert_int_equal(variant.events[4].action, ACTION_READ);  /* the dip: taken out */
    assert_true(variant.events[4].at > scenario.lasts);
    assert_close(scenario.charge[0].mass, 0.0945, 1e-9, 0.0);
    assert_true(scenario.model.fibres[0].cap.nominal < 1.0);
    scenario_free(&variant);
    scenario_free(&scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(session_of_practice),
        cmocka_unit_test(twice_the_volume_twice_the_cloth),
        cmocka_unit_test(two_and_four_kilograms),
        cmocka_unit_test(a_hundred_grams_of_powder),
        cmocka_unit_test(too_much_and_little),
        cmocka_unit_test(limits_are_named),
        cmocka_unit_test(members_are_drawn),
        cmocka_unit_test(variants_leave_the_scenario_alone),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
