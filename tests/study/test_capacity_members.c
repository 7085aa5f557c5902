/* test_capacity_members.c: the whole question, with low and high. */
#include "study/asking.h"

#include "study/capacity.h"

static struct capacity_question usual(enum shade shade)
{
    return (struct capacity_question){.shade = shade,
                                      .keep = CAPACITY_KEEP,
                                      .hours = CAPACITY_HOURS,
                                      .every = CAPACITY_EVERY,
                                      .soak = NAN,
                                      .session_every = 86400.0};
}

static void assert_same(const struct span *one, const struct span *two)
{
    assert_close(one->nominal, two->nominal, 0.0, 0.0);
    assert_close(one->low, two->low, 0.0, 0.0);
    assert_close(one->high, two->high, 0.0, 0.0);
}

/* Low, high and what is said about the rest do not hang on how many are asked at a time. */
static void same_answer_for_any_threads(void **state)
{
    (void)state;
    struct scenario scenario;
    struct capacity one;
    struct capacity two;
    struct capacity_question question = usual(SHADE_LIGHT);
    ask_vat(18.9, 5.0, 1.0, &scenario);
    scenario.rtol = 1e-4;
    question.hours = 1.5;
    question.members = 2;
    question.threads = 1;
    assert_done(capacity_find(&scenario, &question, &one));
    question.threads = 3;
    assert_done(capacity_find(&scenario, &question, &two));
    assert_same(&one.session.cloth_dips, &two.session.cloth_dips);
    assert_same(&one.week.cloth_dips, &two.week.cloth_dips);
    assert_same(&one.needs_indigo, &two.needs_indigo);
    assert_same(&one.life, &two.life);
    assert_same(&one.shade.at_shade, &two.shade.at_shade);
    for (int i = 0; i < LIMIT_VOLUME; i++) {
        assert_close(one.week.gain[i], two.week.gain[i], 0.0, 0.0);
    }
    assert_close(one.rest, two.rest, 0.0, 0.0);
    assert_int_equal(one.drawn, two.drawn);
    assert_int_equal(one.members, 2);
    assert_true(one.drawn >= 2);
    assert_true(one.session.cloth_dips.low <= one.session.cloth_dips.nominal);
    assert_true(one.session.cloth_dips.high >= one.session.cloth_dips.nominal);
    assert_true(one.week.cloth_dips.nominal < 7.0 * one.session.cloth_dips.nominal);
    /* Practice, row 13: overnight, fed, back to 85 to 100 % of what the remaining indigo allows. */
    print_message("rest %.1f h to %.2f of the leuco\n", one.rest / 3600.0, one.rest_comes_to);
    assert_between(one.rest_comes_to, 0.85, 1.0);
    assert_between(one.rest / 3600.0, 0.5, 14.0);
    assert_close(one.indigo_mass, 0.0378, 1e-9, 0.0);
    assert_close(one.powder_mass, 0.0945, 1e-9, 0.0);
    scenario_free(&scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(same_answer_for_any_threads)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
