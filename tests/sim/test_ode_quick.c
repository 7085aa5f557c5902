/* test_ode_quick.c: what is over in seconds is taken to its end at once, told as it was, and only where the tolerance lets it pass; and
 * tolerances that hold for the first time only. */
#include "problem.h"

#include "support/close.h"

#include <string.h>

/* O + L -> P at K O L, in a second; L -> M at `slow` L, mostly in hours; O flows in. O is taken at K L alone, as long as there is much of L. */
#define K 3.0
#define INFLOW 1e-8
enum { O, L, P, M, STATES };
static double slow = 1e-4;

static void rates(double t, const double *y, double *r)
{
    (void)t;
    r[0] = K * y[O] * y[L];
    r[1] = slow * y[L];
    r[2] = INFLOW;
}

/* Of O + L -> P alone, with D = L - O, which stays: O = O0 D / (L0 exp(K D t) - O0). */
static double course_from[2];

static double to_come_of(double elapsed)
{
    const double d = course_from[L] - course_from[O];
    return course_from[O] * d / (course_from[L] * exp(K * d * elapsed) - course_from[O]);
}

static double quick(void *context, double t, const double *y, const double *r, bool again, double *extents)
{
    const double speed = K * y[L];
    const double left = INFLOW / speed;
    (void)context, (void)t, (void)r;
    if (!(y[O] > 0.0)) {
        return 0.0;
    }
    if (!again) {
        course_from[O] = y[O] - left;
        course_from[L] = y[L];
    }
    extents[0] = y[O] - left;
    return again ? speed : K * (y[L] - y[O] + left);
}

static void quick_to_come(void *context, double elapsed, double *extents)
{
    (void)context;
    extents[0] = to_come_of(elapsed);
}

static struct trial breath(bool is_quick)
{
    return (struct trial){
        .rates = rates,
        .states = STATES,
        .count = 3,
        .typical = 1.0,
        .terms = {{{O, -1.0}, {L, -1.0}, {P, 1.0}, {-1, 0.0}}, {{L, -1.0}, {M, 1.0}, {-1, 0.0}}, {{O, 1.0}, {-1, 0.0}}},
        .quick = is_quick ? quick : NULL,
        .quick_to_come = quick_to_come};
}

static const double first[STATES] = {2e-3, 1.0, 0.0, 0.0};

/* States and extents at the times, one after the other, and how many steps it took. */
static double follow(bool is_quick, double relative, const double *times, size_t count, double (*states)[STATES])
{
    struct trial trial = breath(is_quick);
    struct ode *ode = problem_ode(&trial, relative, relative);
    ok(ode_restart(ode, 0.0, first, 0.0));
    size_t told = 0;
    while (told < count) {
        ok(ode_step(ode, 7200.0));
        for (; told < count && times[told] <= ode_time(ode); told++) {
            ode_interpolate(ode, times[told], states[told]);
        }
    }
    double steps = ode_statistics_of(ode).steps;
    ode_free(ode);
    return steps;
}

static const double times[] = {0.01, 0.1, 0.3, 1.0, 2.0, 4.0, 8.0, 60.0, 900.0, 7200.0};
#define TIMES (sizeof times / sizeof times[0])

static void first_seconds_are_told_as_they_are(void **state)
{
    (void)state;
    double want[TIMES][STATES];
    double got[TIMES][STATES];
    double with_steps = follow(false, 1e-4, times, TIMES, got);
    (void)follow(false, 1e-12, times, TIMES, want);
    double steps = follow(true, 1e-4, times, TIMES, got);
    print_message("%.0f steps for %.0f\n", steps, with_steps);
    assert_true(steps <= with_steps - 4.0);
    for (size_t i = 0; i < TIMES; i++) {
        for (int s = 0; s < STATES; s++) {
            assert_close(got[i][s], want[i][s], 0.0, s == O ? 1e-6 : 1e-5);
        }
    }
}

static void a_leg_may_end_within(void **state)
{
    (void)state;
    struct trial trial = breath(true);
    struct ode *ode = problem_ode(&trial, 1e-4, 1e-4);
    double want[2][STATES];
    const double ends[] = {0.5, 3.0};
    (void)follow(false, 1e-12, ends, 2, want);
    ok(ode_restart(ode, 0.0, first, 0.0));
    assert_true(ode_is_quick(ode));
    for (int s = 0; s < STATES; s++) { /* nothing has happened yet, but for what the rest will do otherwise */
        assert_close(ode_state(ode)[s], first[s], 0.0, 1e-7);
    }
    advance(ode, ends[0]);
    assert_true(ode_is_quick(ode));
    const double *y = ode_state(ode);
    const double *z = ode_extents(ode);
    for (int s = 0; s < STATES; s++) {
        assert_close(y[s], want[0][s], 0.0, 1e-6);
    }
    assert_close(y[O], first[O] - z[0] + z[2], 0.0, 1e-15); /* books and state agree */
    assert_close(y[L], first[L] - z[0] - z[1], 0.0, 1e-15);
    assert_close(y[P], z[0], 0.0, 1e-15);
    assert_close(y[M], z[1], 0.0, 1e-15);

    struct ode_place place = ode_place_of(ode);
    double here[STATES];
    memcpy(here, y, sizeof here);
    ok(ode_restart(ode, ends[0], here, 0.0));
    advance(ode, ends[1]);
    double there[STATES];
    memcpy(there, ode_state(ode), sizeof there);
    for (int s = 0; s < STATES; s++) {
        assert_close(there[s], want[1][s], 0.0, 1e-6);
    }
    ode_take_back(ode, &place, here); /* and the same again, bit for bit */
    assert_true(ode_is_quick(ode));
    assert_memory_equal(ode_state(ode), here, sizeof here);
    ok(ode_restart(ode, ends[0], here, 0.0));
    advance(ode, ends[1]);
    assert_memory_equal(ode_state(ode), there, sizeof there);
    advance(ode, 60.0);
    assert_false(ode_is_quick(ode));
    ode_free(ode);
}

/* At tolerances that what the rest does meanwhile would not pass, all is followed by steps: the same to the last bit. */
static void not_where_the_tolerance_is_tight(void **state)
{
    (void)state;
    double want[TIMES][STATES];
    double got[TIMES][STATES];
    double steps = follow(false, 1e-10, times, TIMES, want);
    assert_close(follow(true, 1e-10, times, TIMES, got), steps, 0.0, 0.0);
    assert_memory_equal(got, want, sizeof got);
}

/* Nor where L is gone nearly as soon as O, though what that does to the rest would pass. */
static void not_where_all_moves(void **state)
{
    (void)state;
    double want[TIMES][STATES];
    double got[TIMES][STATES];
    slow = 0.03;
    double steps = follow(false, 1e-4, times, TIMES, want);
    assert_close(follow(true, 1e-4, times, TIMES, got), steps, 0.0, 0.0);
    assert_memory_equal(got, want, sizeof got);
    slow = 1e-4;
}

static void early_tolerances_hold_early(void **state)
{
    (void)state;
    const double tight[STATES] = {1e-8, 1e-8, 1e-8, 1e-8};
    struct trial plain = breath(false);
    struct trial careful = plain;
    careful.early = 100.0;
    careful.early_relative = 1e-8;
    careful.early_absolute = tight;
    struct ode *tightly = problem_ode(&plain, 1e-8, 1e-8);
    struct ode *both = problem_ode(&careful, 1e-3, 1e-3);
    ok(ode_restart(tightly, 0.0, first, 0.0));
    ok(ode_restart(both, 0.0, first, 0.0));
    while (ode_time(both) < 100.0) {
        assert_memory_equal(ode_state(both), ode_state(tightly), sizeof first);
        ok(ode_step(tightly, 1e6));
        ok(ode_step(both, 1e6));
    }
    advance(tightly, 1e5);
    advance(both, 1e5);
    assert_true(ode_statistics_of(both).steps < 0.7 * ode_statistics_of(tightly).steps);
    ode_free(tightly);
    ode_free(both);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(first_seconds_are_told_as_they_are), cmocka_unit_test(a_leg_may_end_within),
        cmocka_unit_test(not_where_the_tolerance_is_tight),   cmocka_unit_test(not_where_all_moves),
        cmocka_unit_test(early_tolerances_hold_early),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
