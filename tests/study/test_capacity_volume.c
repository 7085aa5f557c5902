/* test_capacity_volume.c: twice the liquor of equal strength dyes twice the cloth, within five per cent.
 *
 * What "equal" takes: strength, warmth and depth, and with the depth the surface and the bed that each litre has. A vessel
 * of like shape is deeper; each of its litres has less surface to lose leuco through, and it dyes more than twice. That
 * much is told and held where it is (docs/capacity.md).
 */
#include "study/asking.h"

#include "study/lifetime.h"
#include "study/load_search.h"

#define ACCURACY 0.002

static double session_of_size(double litres, double depth_times, double air_times)
{
    static const struct run_options options = {.rtol = 1e-4};
    struct scenario scenario;
    struct period_capacity period;
    struct work_plan plan;
    struct capacity_question question = {.hours = CAPACITY_HOURS, .every = CAPACITY_EVERY, .soak = NAN};
    ask_vat(litres, 5.0, depth_times, &scenario);
    scenario.model.constants[K_KL_STILL_20C].nominal *= air_times;
    assert_done(capacity_plan(&scenario, &question, &plan, NULL));
    assert_done(load_search(&scenario, CAPACITY_KEEP, ACCURACY, &options, &plan, &period));
    print_message("%.1f L, %.2f times as deep as its shape has it, %.1f C: %.3f kg\n", plan.volume * 1e3, depth_times,
                  plan.warmth_K - 273.15, period.cloth_dips.nominal);
    scenario_free(&scenario);
    return period.cloth_dips.nominal;
}

static void twice_the_volume_twice_the_cloth(void **state)
{
    (void)state;
    const double as_deep = 1.0 / cbrt(2.0);
    double one = session_of_size(18.9, 1.0, 1.0);
    double two = session_of_size(37.8, as_deep, 1.0);
    double four = session_of_size(75.6, as_deep * as_deep, 1.0);
    double like = session_of_size(37.8, 1.0, 1.0);
    double like_air = session_of_size(37.8, 1.0, cbrt(2.0)); /* as much air through the surface for each litre */
    print_message(
        "twice the volume: %.3f and again %.3f times the cloth as deep; %.3f in like shape, %.3f with as much air\n",
        two / one, four / two, like / one, like_air / one);
    assert_close(two / one, 2.0, 0.05, 0.0);
    assert_close(four / two, 2.0, 0.05, 0.0);
    assert_between(like / one, 2.05, 2.30);          /* the finding */
    assert_true(like_air / one < like / one - 0.03); /* air is part of the reason */
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(twice_the_volume_twice_the_cloth)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
