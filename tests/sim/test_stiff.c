/* test_stiff.c: the integrator on stiff problems with published answers. */
#include "problem.h"

#include "support/close.h"

/* Reference values of the test set for initial value problem solvers (University of Bari), problem ROBER, at 1e11
 * s; the problem stands in Hairer & Wanner 1996, section IV.1. Values at 40 s and 1e5 s: Radau IIA of SciPy at
 * 1e-12, worked out apart. */
static void robertson_ends_as_published(void **state)
{
    (void)state;
    struct trial trial = robertson();
    double absolute[3] = {1e-16, 1e-18, 1e-12};
    struct ode *ode = problem_ode_with(&trial, 1e-8, absolute);
    const double first[3] = {1.0, 0.0, 0.0};
    ok(ode_restart(ode, 0.0, first, 0.0));
    advance(ode, 40.0);
    const double at_40[3] = {0.7158270687, 9.185534765e-6, 0.2841637457};
    for (int i = 0; i < 3; i++) {
        assert_close(ode_state(ode)[i], at_40[i], 1e-6, 0.0);
    }
    advance(ode, 1e5);
    const double at_1e5[3] = {1.786592114e-2, 7.274751468e-8, 0.9821340061};
    for (int i = 0; i < 3; i++) {
        assert_close(ode_state(ode)[i], at_1e5[i], 1e-6, 0.0);
    }
    /* States are the sums of extents, so that a trace is known to the round-off of what goes through it in a step:
     * about one of A and C here, of which B keeps 8e-14. */
    advance(ode, 1e11);
    const double at_end[3] = {0.2083340149701255e-7, 0.8333360770334713e-13, 0.9999999791665050};
    for (int i = 0; i < 3; i++) {
        assert_close(ode_state(ode)[i], at_end[i], 1e-5, 5e-16);
    }
    assert_close(ode_state(ode)[0], at_end[0], 1e-5, 0.0);
    /* what the reactions keep is kept to round-off over 11 decades */
    assert_close(ode_state(ode)[0] + ode_state(ode)[1] + ode_state(ode)[2], 1.0, 1e-13, 0.0);
    assert_true(ode_statistics_of(ode).steps < 2000.0);
    ode_free(ode);
}

static void hires_rates(double t, const double *y, double *r)
{
    (void)t;
    r[0] = -1.71 * y[0] + 0.43 * y[1] + 8.32 * y[2] + 0.0007;
    r[1] = 1.71 * y[0] - 8.75 * y[1];
    r[2] = -10.03 * y[2] + 0.43 * y[3] + 0.035 * y[4];
    r[3] = 8.32 * y[1] + 1.71 * y[2] - 1.12 * y[3];
    r[4] = -1.745 * y[4] + 0.43 * y[5] + 0.43 * y[6];
    r[5] = -280.0 * y[5] * y[7] + 0.69 * y[3] + 1.71 * y[4] - 0.43 * y[5] + 0.69 * y[6];
    r[6] = 280.0 * y[5] * y[7] - 1.81 * y[6];
    r[7] = -r[6];
}

/* Schäfer 1975; Hairer & Wanner 1996, section IV.10; reference values of the test set for initial value problem
 * solvers. */
static void hires_ends_as_published(void **state)
{
    (void)state;
    struct trial trial = {.rates = hires_rates, .states = 8, .count = 8, .typical = 1e-3};
    for (int i = 0; i < 8; i++) {
        trial.terms[i][0] = (struct ode_term){i, 1.0};
        trial.terms[i][1].state = -1;
    }
    const double first[8] = {1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0057};
    const double want[8] = {0.7371312573325668e-3, 0.1442485726316185e-3, 0.5888729740967575e-4, 0.1175651343283149e-2,
                            0.2386356198831331e-2, 0.6238968252742796e-2, 0.2849998395185769e-2, 0.2850001604814231e-2};
    struct ode *ode = problem_ode(&trial, 1e-9, 1e-12);
    ok(ode_restart(ode, 0.0, first, 0.0));
    advance(ode, 321.8122);
    for (int i = 0; i < 8; i++) {
        assert_close(ode_state(ode)[i], want[i], 1e-6, 0.0);
    }
    ode_free(ode);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(robertson_ends_as_published),
        cmocka_unit_test(hires_ends_as_published),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
