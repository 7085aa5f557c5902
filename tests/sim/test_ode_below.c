/* test_ode_below.c: traces that a step may err about by more than there is of them do not sink below zero, neither at the ends
 * of steps nor between them, and what the problem conserves is kept. Compared with the same steps unguarded, which do sink. */
#include "problem.h"

#include "support/close.h"

#include <float.h>

#define STATES 4
#define TRACE 1e-3

/* A trace is taken by plenty, quickly, and comes back from what it became, slowly; a spark of it comes in as time goes. */
static void rates(double t, const double *y, double *r)
{
    r[0] = 1e4 * y[0] * y[1];
    r[1] = 1e-3 * y[2];
    r[2] = 1e-5 * (1.0 + sin(t)) * y[3];
}

static struct trial taken_up(void)
{
    return (struct trial){.rates = rates,
                          .states = STATES,
                          .count = 3,
                          .typical = 1.0,
                          .terms = {{{0, -1.0}, {1, -1.0}, {2, 1.0}, {-1, 0.0}},
                                    {{2, -1.0}, {0, 1.0}, {-1, 0.0}},
                                    {{3, -1.0}, {0, 1.0}, {-1, 0.0}}}};
}

struct lowest {
    double at_ends, between, steps;
};

/* The lowest that the trace stands at, at ends of steps and at twenty places in each; runs to t = 300. */
static struct lowest lowest_of(struct trial *trial)
{
    const double absolute[STATES] = {0.5, 1e-4, 0.5, 1e-4}; /* the trace and what it became may err freely */
    const double first[STATES] = {TRACE, 1.0, 0.0, 1.0};
    struct ode *ode = problem_ode_with(trial, 1e-4, absolute);
    struct lowest lowest = {DBL_MAX, DBL_MAX, 0.0};
    ok(ode_restart(ode, 0.0, first, 0.0));
    while (ode_time(ode) < 300.0) {
        ok(ode_step(ode, 300.0));
        double begins = ode_step_start(ode);
        lowest.at_ends = fmin(lowest.at_ends, ode_state(ode)[0]);
        for (int i = 0; i <= 20; i++) {
            double y[STATES];
            ode_interpolate(ode, begins + (ode_time(ode) - begins) * i / 20.0, y);
            lowest.between = fmin(lowest.between, y[0]);
            /* the trace in all its forms */
            assert_close(y[0] + y[2] + y[3], TRACE + 1.0, 1e-13, 0.0);
        }
    }
    lowest.steps = ode_statistics_of(ode).steps;
    ode_free(ode);
    return lowest;
}

static void traces_stay_above_zero(void **state)
{
    (void)state;
    struct trial free = taken_up();
    struct trial guarded = taken_up();
    const double below[STATES] = {1e-9, 1e-9, 1e-9, 1e-9};
    guarded.below = below;
    struct lowest sunk = lowest_of(&free);
    struct lowest kept = lowest_of(&guarded);
    print_message("unguarded %g at ends, %g between, %.0f steps; guarded %g, %g, %.0f\n", sunk.at_ends, sunk.between,
                  sunk.steps, kept.at_ends, kept.between, kept.steps);
    assert_true(sunk.between < -1e-5);
    assert_true(kept.at_ends >= -below[0] && kept.between >= -below[0] * (1.0 + 1e-6));
    assert_true(kept.steps < 2.0 * sunk.steps);
}

/* One that begins below zero hands that on to what it turns into, and rises. */
static void what_begins_below_passes_it_on(void **state)
{
    (void)state;
    struct trial trial = taken_up();
    const double below[STATES] = {1e-9, 1e-9, 1e-9, 1e-9};
    const double absolute[STATES] = {1e-6, 1e-6, 1e-6, 1e-6};
    const double first[STATES] = {-1e-7, 1.0, 0.0, 1.0};
    trial.below = below;
    struct ode *ode = problem_ode_with(&trial, 1e-6, absolute);
    ok(ode_restart(ode, 0.0, first, 0.0));
    advance(ode, 10.0);
    assert_true(ode_state(ode)[0] > -1e-9);
    assert_close(ode_state(ode)[0] + ode_state(ode)[2] + ode_state(ode)[3], first[0] + first[3], 1e-13, 0.0);
    ode_free(ode);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(traces_stay_above_zero),
        cmocka_unit_test(what_begins_below_passes_it_on),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
