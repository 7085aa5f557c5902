/* test_capacity_shade.c: what a hundred grams of powder dye, lot after lot to a shade.
 *
 * Common practice, no source, gathered in figures: 100 g of powder (40 %) dye 6 to 15 kg pale, 1.5 to 2.5 kg medium, 0.8
 * to 1 kg navy.
 */
#include "study/asking.h"

#include "study/lifetime.h"
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

static double per_100_g(enum shade shade)
{
    static const struct run_options options = {.rtol = 1e-4};
    struct scenario scenario;
    struct period_capacity period;
    struct work_plan plan;
    struct lifetime lifetime;
    struct capacity_question question = usual(shade);
    question.options = &options;
    ask_vat(18.9, 5.0, 1.0, &scenario);
    assert_done(capacity_plan(&scenario, &question, &plan, NULL));
    plan.sessions = CAPACITY_WEEK_SESSIONS;
    assert_done(load_search(&scenario, CAPACITY_KEEP, 0.02, &options, &plan, &period));
    assert_done(lifetime_run(&scenario, &plan, &question, &lifetime));
    const struct shade_capacity *found = &lifetime.shade;
    double kg = found->at_shade.nominal / (18.9 * 5.0 / 100.0);
    print_message("%s: lots of %.0f g, %d dips at first, %d at last, %.0f days: %.2f kg for 100 g of powder\n",
                  shade_name(shade), plan.load * 1e3, found->first_dips, found->last_dips, found->days, kg);
    assert_false(found->is_longer); /* a lot was given up, so this is all */
    assert_true(found->in_week > 0.0 && found->in_week <= found->at_shade.nominal);
    assert_true(found->last_dips <= (int)CAPACITY_GIVE_UP * found->first_dips);
    /* The scenario's single towel has it after a session or a few. */
    assert_between(found->job_days.nominal, 1.0, 7.0);
    assert_true(lifetime.to_indigo.cloth_dips <= lifetime.whole.cloth_dips);
    scenario_free(&scenario);
    return kg;
}

static void pale(void **state)
{
    (void)state;
    assert_between(per_100_g(SHADE_PALE), 6.0, 15.0);
}

static void mid(void **state)
{
    (void)state;
    assert_between(per_100_g(SHADE_MID), 1.5, 2.5);
}

static void navy(void **state)
{
    (void)state;
    assert_between(per_100_g(SHADE_NAVY), 0.8, 1.0);
}

/* What is never reached is said so. */
static void never(void **state)
{
    (void)state;
    struct scenario scenario;
    struct work_plan plan;
    struct lifetime lifetime;
    struct capacity_question question = usual(SHADE_NEAR_BLACK);
    static const struct run_options options = {.rtol = 1e-4};
    question.options = &options;
    ask_vat(18.9, 0.8, 1.0, &scenario);
    assert_done(capacity_plan(&scenario, &question, &plan, NULL));
    plan.load = 0.2;
    assert_done(lifetime_run(&scenario, &plan, &question, &lifetime));
    assert_int_equal(lifetime.shade.first_dips, 0);
    assert_true(isinf(lifetime.shade.job_days.nominal));
    assert_close(lifetime.shade.at_shade.nominal, 0.0, 0.0, 0.0);
    scenario_free(&scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pale),
        cmocka_unit_test(mid),
        cmocka_unit_test(navy),
        cmocka_unit_test(never),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
