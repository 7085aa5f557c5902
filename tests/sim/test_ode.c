/* test_ode.c: the integrator on problems with known answers. */
#include "problem.h"

#include "support/close.h"

#include <string.h>

/* ---- a smooth problem with its answer ---------------------------------------------------------------------------- */

/* y1 = exp(sin t), y2 = 1 / (1 + t^2): coupled, not linear, and depending on time. The factors in brackets are 1
 * along the answer. */
static void smooth_rates(double t, const double *y, double *r)
{
    r[0] = y[0] * cos(t) * (y[1] * (1.0 + t * t));
    r[1] = -2.0 * t * y[1] * y[1] * (exp(sin(t)) / y[0]);
}

static struct trial smooth(void)
{
    return (struct trial){.rates = smooth_rates,
                          .states = 2,
                          .count = 2,
                          .typical = 1.0,
                          .terms = {{{0, 1.0}, {-1, 0.0}}, {{1, 1.0}, {-1, 0.0}}}};
}

static double smooth_error(double t, const double *y)
{
    return fmax(fabs(y[0] - exp(sin(t))), fabs(y[1] - 1.0 / (1.0 + t * t)));
}

/* Largest error at the ends of the steps and between them over 4 s in `steps` equal steps: tolerances so wide that
 * the longest step allowed is always taken. */
static void fixed_steps(int steps, double *at_ends, double *between)
{
    struct trial trial = smooth();
    struct ode *ode = problem_ode(&trial, 1e6, 1e6);
    const double first[2] = {1.0, 1.0};
    double y[2];
    ok(ode_restart(ode, 0.0, first, 4.0 / steps));
    *at_ends = *between = 0.0;
    while (ode_time(ode) < 4.0) {
        ok(ode_step(ode, 4.0));
        *at_ends = fmax(*at_ends, smooth_error(ode_time(ode), ode_state(ode)));
        for (int i = 1; i < 10; i++) {
            double t = ode_step_start(ode) + 0.1 * i * (ode_time(ode) - ode_step_start(ode));
            ode_interpolate(ode, t, y);
            *between = fmax(*between, smooth_error(t, y));
        }
    }
    assert_close(ode_statistics_of(ode).steps, steps, 0.0, 0.0);
    ode_free(ode);
}

/* Order 4: Hairer & Wanner, Solving Ordinary Differential Equations II, 2nd ed. 1996, section VI.4 (RODAS, order
 * 4(3)). Halved steps divide the error by about 16; the dense output, of order 3, by 8 or more where its own error
 * rules. */
static void order_is_four(void **state)
{
    (void)state;
    double end[5];
    double between[5];
    for (int i = 0; i < 5; i++) {
        fixed_steps(20 << i, &end[i], &between[i]);
        print_message("%d steps: error %.3e at their ends, %.3e between\n", 20 << i, end[i], between[i]);
    }
    for (int i = 3; i < 5;
         i++) { /* 2^4, within what the next order still adds at these steps; orders 3 and 5 give 8 and 32 */
        assert_between(end[i - 1] / end[i], 14.0, 20.0);
        assert_between(between[i - 1] / between[i], 7.0, 20.0);
    }
}

/* The error asked for is the error got, within a factor that a controller of local errors leaves open. */
static void tolerance_is_kept(void **state)
{
    (void)state;
    for (double relative = 1e-4; relative > 1e-10; relative *= 0.01) {
        struct trial trial = smooth();
        struct ode *ode = problem_ode(&trial, relative, relative);
        const double first[2] = {1.0, 1.0};
        ok(ode_restart(ode, 0.0, first, 0.0));
        double worst = 0.0;
        double y[2];
        while (ode_time(ode) < 4.0) {
            ok(ode_step(ode, 4.0));
            double middle = 0.5 * (ode_step_start(ode) + ode_time(ode));
            ode_interpolate(ode, middle, y);
            worst = fmax(worst, fmax(smooth_error(middle, y), smooth_error(ode_time(ode), ode_state(ode))));
        }
        print_message("relative %.0e: worst error %.2e in %.0f steps\n", relative, worst, ode_statistics_of(ode).steps);
        assert_between(worst, 0.0, 20.0 * relative);
        ode_free(ode);
    }
}

/* ---- extents, restarts, stops ------------------------------------------------------------------------------------ */

/* y - y0 = S' z after every step, to the round-off of so many additions. */
static void extents_tell_the_states(void **state)
{
    (void)state;
    struct trial trial = robertson();
    struct ode *ode = problem_ode(&trial, 1e-5, 1e-10);
    const double first[3] = {1.0, 0.0, 0.0};
    ok(ode_restart(ode, 0.0, first, 0.0));
    while (ode_time(ode) < 1e6) {
        ok(ode_step(ode, 1e6));
        const double *y = ode_state(ode);
        const double *z = ode_extents(ode);
        double largest = fmax(fabs(z[0]), fmax(fabs(z[1]), fabs(z[2])));
        assert_close(y[0], first[0] - z[0] + z[2], 0.0, 1e-13 * (1.0 + largest));
        assert_close(y[1], first[1] + z[0] - z[1] - z[2], 0.0, 1e-13 * (1.0 + largest));
        assert_close(y[2], first[2] + z[1], 0.0, 1e-13 * (1.0 + largest));
    }
    assert_true(ode_extents(ode)[0] > 1.0); /* A went round more than once, so the extents are no copy of the states */
    ode_free(ode);
}

/* One step, no history: after a restart it goes as a new integrator goes, to the bit, and counts its extents from
 * zero. */
static void restart_forgets(void **state)
{
    (void)state;
    struct trial trial = smooth();
    struct ode *used = problem_ode(&trial, 1e-6, 1e-6);
    const double first[2] = {1.0, 1.0};
    ok(ode_restart(used, 0.0, first, 0.0));
    advance(used, 2.3);
    double middle[2] = {ode_state(used)[0], ode_state(used)[1]};

    struct ode *fresh = problem_ode(&trial, 1e-6, 1e-6);
    ok(ode_restart(used, 2.3, ode_state(used), 0.0)); /* its own state, handed back in */
    ok(ode_restart(fresh, 2.3, middle, 0.0));
    for (int i = 0; i < 2; i++) {
        assert_close(ode_extents(used)[i], 0.0, 0.0, 0.0);
    }
    while (ode_time(fresh) < 4.0) {
        ok(ode_step(used, 4.0));
        ok(ode_step(fresh, 4.0));
        assert_memory_equal(ode_state(used), ode_state(fresh), sizeof middle);
        assert_memory_equal(ode_extents(used), ode_extents(fresh), sizeof middle);
        assert_close(ode_time(used), ode_time(fresh), 0.0, 0.0);
    }
    assert_between(smooth_error(4.0, ode_state(used)), 0.0, 2e-5);
    ode_free(used);
    ode_free(fresh);
}

/* No step passes the stop, and the longest step is kept to. */
static void steps_keep_to_their_limits(void **state)
{
    (void)state;
    struct trial trial = smooth();
    struct ode *ode = problem_ode(&trial, 1e-3, 1e-3);
    const double first[2] = {1.0, 1.0};
    ok(ode_restart(ode, 0.0, first, 0.05));
    double stops[] = {1e-7, 0.3, 0.3000001, 1.0, 4.0};
    for (size_t i = 0; i < sizeof stops / sizeof stops[0]; i++) {
        while (ode_time(ode) < stops[i]) {
            ok(ode_step(ode, stops[i]));
            assert_true(ode_time(ode) <= stops[i]);
            assert_between(ode_time(ode) - ode_step_start(ode), 0.0, 0.05 * (1.0 + 1e-12));
        }
    }
    ode_free(ode);
}

/* A step taken again lands on the very time asked for, on the answer there, with its extents; the integration then
 * goes on. */
static void step_again_lands_exactly(void **state)
{
    (void)state;
    struct trial trial = smooth();
    struct ode *ode = problem_ode(&trial, 1e-7, 1e-7);
    const double first[2] = {1.0, 1.0};
    double dense[2];
    ok(ode_restart(ode, 0.0, first, 0.0));
    advance(ode, 1.0);
    ok(ode_step(ode, 4.0));
    double start = ode_step_start(ode);
    assert_close(start, 1.0, 0.0, 0.0);
    double asked = start + 0.37 * (ode_time(ode) - start);
    ode_interpolate(ode, asked, dense);
    ok(ode_step_again(ode, asked));
    assert_close(ode_time(ode), asked, 0.0, 0.0);
    assert_close(ode_step_start(ode), start, 0.0, 0.0);
    for (int i = 0; i < 2; i++) {
        assert_close(ode_state(ode)[i], dense[i], 0.0, 1e-6);
        assert_close(ode_state(ode)[i], first[i] + ode_extents(ode)[i], 1e-14, 0.0);
    }
    assert_between(smooth_error(asked, ode_state(ode)), 0.0, 1e-6);
    advance(ode, 4.0);
    assert_between(smooth_error(4.0, ode_state(ode)), 0.0, 2e-6);
    ode_free(ode);
}

/* The dense output meets the states at both ends of a step. */
static void dense_output_meets_the_ends(void **state)
{
    (void)state;
    struct trial trial = smooth();
    struct ode *ode = problem_ode(&trial, 1e-5, 1e-5);
    const double first[2] = {1.0, 1.0};
    double y[2];
    double last[2] = {1.0, 1.0};
    ok(ode_restart(ode, 0.0, first, 0.0));
    while (ode_time(ode) < 4.0) {
        ok(ode_step(ode, 4.0));
        ode_interpolate(ode, ode_step_start(ode), y);
        assert_memory_equal(y, last, sizeof y);
        ode_interpolate(ode, ode_time(ode), y);
        assert_memory_equal(y, ode_state(ode), sizeof y);
        memcpy(last, y, sizeof last);
    }
    ode_free(ode);
}

/* ---- rates that stay zero ---------------------------------------------------------------------------------------- */

/* Two like decays, 0 to 1 and 2 to 3, and a slow one from 0 to 2; `second` and `bridge` are switched by hand. */
static double second_speed, bridge_speed;

static void decays(double t, const double *y, double *r)
{
    (void)t;
    r[0] = 0.7 * y[0];
    r[1] = second_speed * y[2];
    r[2] = bridge_speed * y[0] * y[0];
}

static struct trial decaying(void)
{
    return (struct trial){.rates = decays,
                          .states = 4,
                          .count = 3,
                          .typical = 1.0,
                          .terms = {{{0, -1.0}, {1, 1.0}, {-1, 0.0}},
                                    {{2, -1.0}, {3, 1.0}, {-1, 0.0}},
                                    {{0, -1.0}, {2, 1.0}, {-1, 0.0}}}};
}

/* Leaving out what stays zero changes the work, not the answer; and a restart finds anew what is live. */
static void rates_that_stay_zero_may_be_left_out(void **state)
{
    (void)state;
    const double first[4] = {1.0, 0.0, 0.5, 0.0};
    struct trial whole = decaying();
    struct trial parts = decaying();
    struct ode *with = problem_ode(&whole, 1e-8, 1e-8);
    struct ode *without = problem_ode(&parts, 1e-8, 1e-8);
    second_speed = bridge_speed = 0.0;
    parts.dead[1] = parts.dead[2] = true;
    ok(ode_restart(with, 0.0, first, 0.0));
    ok(ode_restart(without, 0.0, first, 0.0));
    advance(with, 3.0);
    advance(without, 3.0);
    assert_close(ode_state(without)[0], exp(-2.1), 1e-6, 0.0);
    for (int i = 0; i < 4; i++) {
        assert_close(ode_state(without)[i], ode_state(with)[i], 1e-12, 1e-14);
    }
    assert_close(ode_state(without)[2], 0.5, 0.0, 0.0);
    assert_close(ode_extents(without)[1], 0.0, 0.0, 0.0);
    /* all at work again */
    second_speed = 2.0;
    bridge_speed = 0.3;
    parts.dead[1] = parts.dead[2] = false;
    double middle[4];
    memcpy(middle, ode_state(with), sizeof middle);
    ok(ode_restart(with, 3.0, middle, 0.0));
    ok(ode_restart(without, 3.0, middle, 0.0));
    advance(with, 6.0);
    advance(without, 6.0);
    assert_memory_equal(ode_state(with), ode_state(without), sizeof middle);
    assert_true(ode_extents(without)[1] > 0.0 && ode_extents(without)[2] > 0.0);
    ode_free(with);
    ode_free(without);
}

/* A vat in which nothing can happen stays as it is. */
static void nothing_live_changes_nothing(void **state)
{
    (void)state;
    second_speed = bridge_speed = 0.0;
    struct trial still = decaying();
    still.dead[0] = still.dead[1] = still.dead[2] = true;
    struct ode *ode = problem_ode(&still, 1e-6, 1e-6);
    const double first[4] = {0.0, 1.0, 0.5, 0.25};
    ok(ode_restart(ode, 0.0, first, 0.0));
    advance(ode, 1e5);
    assert_memory_equal(ode_state(ode), first, sizeof first);
    ode_free(ode);
}

/* ---- what cannot be integrated ----------------------------------------------------------------------------------- */

static void a_nan_is_told_with_its_reason(void **state)
{
    (void)state;
    for (int refuse = 0; refuse < 2; refuse++) {
        struct trial trial = smooth();
        trial.broken_after = 1.5;
        trial.refuse = refuse != 0;
        struct ode *ode = problem_ode(&trial, 1e-6, 1e-6);
        const double first[2] = {1.0, 1.0};
        ok(ode_restart(ode, 0.0, first, 0.0));
        struct status status = status_ok();
        while (status_is_ok(&status) && ode_time(ode) < 4.0) {
            status = ode_step(ode, 4.0);
        }
        assert_int_equal(status.code, STATUS_NUMERIC);
        assert_non_null(strstr(status.message, "the second rate is not a number"));
        assert_non_null(strstr(status.message, "1.5 s"));
        assert_close(ode_time(ode), 1.5, 1e-6, 0.0); /* everything up to there is good */
        assert_between(smooth_error(ode_time(ode), ode_state(ode)), 0.0, 2e-5);
        ode_free(ode);
    }
}

static void a_nan_at_the_start_is_told_at_once(void **state)
{
    (void)state;
    struct trial trial = smooth();
    trial.broken_after = 1.0;
    struct ode *ode = problem_ode(&trial, 1e-6, 1e-6);
    const double first[2] = {1.0, 1.0};
    struct status status = ode_restart(ode, 2.0, first, 0.0);
    if (status_is_ok(&status)) {
        status = ode_step(ode, 4.0);
    }
    assert_int_equal(status.code, STATUS_NUMERIC);
    assert_non_null(strstr(status.message, "the second rate is not a number"));
    assert_true(trial.calls < 500);
    ode_free(ode);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(order_is_four),
        cmocka_unit_test(tolerance_is_kept),
        cmocka_unit_test(extents_tell_the_states),
        cmocka_unit_test(restart_forgets),
        cmocka_unit_test(steps_keep_to_their_limits),
        cmocka_unit_test(step_again_lands_exactly),
        cmocka_unit_test(dense_output_meets_the_ends),
        cmocka_unit_test(rates_that_stay_zero_may_be_left_out),
        cmocka_unit_test(nothing_live_changes_nothing),
        cmocka_unit_test(a_nan_is_told_with_its_reason),
        cmocka_unit_test(a_nan_at_the_start_is_told_at_once),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
