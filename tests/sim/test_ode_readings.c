/* test_ode_readings.c: telling the integrator how the rates read the states changes the work, not the answer. */
#include "sim/ode.h"

#include "support/close.h"

#include <string.h>

/* A decays to two acids of one and two charges; their charges slow the decay, B turns to A, and both make a dust that nothing
 * reads. States: A, B, first acid, second acid, dust. */
#define STATES 5
#define RATES 3

static const struct ode_term decay_terms[] = {{0, -1.0}, {2, 1.0}, {4, 0.5}, {-1, 0.0}};
static const struct ode_term turning_terms[] = {{1, -1.0}, {0, 1.0}, {4, 0.25}, {-1, 0.0}};
static const struct ode_term second_terms[] = {{0, -2.0}, {3, 1.0}, {-1, 0.0}};
static const struct ode_term *const all_terms[RATES] = {decay_terms, turning_terms, second_terms};

static double charges(const double *y)
{
    return y[2] + 2.0 * y[3];
}

static int evaluate(void *context, double t, const double *y, double *r)
{
    (void)context;
    r[0] = 40.0 * y[0] / (1.0 + charges(y));
    r[1] = 0.5 * y[1] * (1.0 + 0.1 * sin(t));
    r[2] = 3.0 * y[0] * y[0];
    return 0;
}

static int differentiate(void *context, double t, const double *y, const double *r, const int *states, size_t count,
                         double *by_state, double *by_time)
{
    (void)context;
    (void)r;
    double acid = 1.0 + charges(y);
    const double slopes[RATES][STATES] = {
        {40.0 / acid, 0.0, -40.0 * y[0] / (acid * acid), -80.0 * y[0] / (acid * acid), 0.0},
        {0.0, 0.5 * (1.0 + 0.1 * sin(t)), 0.0, 0.0, 0.0},
        {6.0 * y[0], 0.0, 0.0, 0.0, 0.0},
    };
    for (size_t j = 0; j < RATES; j++) {
        for (size_t a = 0; a < count; a++) {
            by_state[j * count + a] = slopes[j][states[a]];
        }
    }
    by_time[0] = by_time[2] = 0.0;
    by_time[1] = 0.05 * y[1] * cos(t);
    return 0;
}

static const struct ode_term *terms(void *context, size_t rate)
{
    (void)context;
    return all_terms[rate];
}

static const int *reads(void *context, size_t rate)
{
    (void)context;
    static const int lists[RATES][3] = {{0, 2, -1}, {1, -1}, {0, -1}};
    return lists[rate];
}

static void explain(void *context, double t, const double *y, char *text, size_t size)
{
    (void)context;
    (void)t;
    (void)y;
    (void)text;
    (void)size;
}

static const struct ode_term readings[STATES] = {{0, 1.0}, {1, 1.0}, {2, 1.0}, {2, 2.0}, {-1, 0.0}};

static struct ode *make(bool told)
{
    const double absolute[STATES] = {1e-9, 1e-9, 1e-9, 1e-9, 1e-9};
    const struct ode_problem problem = {.states = STATES,
                                        .rates = RATES,
                                        .evaluate = evaluate,
                                        .differentiate = differentiate,
                                        .terms = terms,
                                        .readings = told ? readings : NULL,
                                        .reads = told ? reads : NULL,
                                        .explain = explain};
    struct ode *ode = NULL;
    struct status status = ode_create(&problem, 1e-7, absolute, &ode);
    assert_true(status_is_ok(&status));
    return ode;
}

static void step(struct ode *ode)
{
    struct status status = ode_step(ode, 6.0);
    if (!status_is_ok(&status)) {
        fail_msg("%s", status.message);
    }
}

static void what_rates_read_changes_no_answer(void **state)
{
    (void)state;
    const double first[STATES] = {1.0, 2.0, 0.0, 0.0, 0.0};
    struct ode *plain = make(false);
    struct ode *told = make(true);
    struct status begun = ode_restart(plain, 0.0, first, 0.0);
    assert_true(status_is_ok(&begun));
    begun = ode_restart(told, 0.0, first, 0.0);
    assert_true(status_is_ok(&begun));
    while (ode_time(plain) < 6.0) {
        step(plain);
        step(told);
        assert_close(ode_time(told), ode_time(plain), 1e-9, 0.0);
        double middle = 0.5 * (ode_step_start(plain) + ode_time(plain));
        double one[STATES], other[STATES];
        ode_interpolate(plain, middle, one);
        ode_interpolate(told, middle, other);
        for (int i = 0; i < STATES; i++) {
            assert_close(ode_state(told)[i], ode_state(plain)[i], 1e-9, 1e-12);
            assert_close(other[i], one[i], 1e-9, 1e-12);
        }
        for (int j = 0; j < RATES; j++) {
            assert_close(ode_extents(told)[j], ode_extents(plain)[j], 1e-9, 1e-12);
        }
    }
    assert_true(ode_statistics_of(plain).steps > 20.0);
    assert_close(ode_statistics_of(told).steps, ode_statistics_of(plain).steps, 0.0, 0.0);
    /* dust is half of one extent and a quarter of the other, to round-off */
    assert_close(ode_state(told)[4], 0.5 * ode_extents(told)[0] + 0.25 * ode_extents(told)[1], 1e-14, 0.0);
    ode_free(plain);
    ode_free(told);
}

static void too_many_states_are_refused(void **state)
{
    (void)state;
    const struct ode_problem problem = {.states = ODE_STATES_MOST + 1, .rates = RATES, .terms = terms};
    double absolute[ODE_STATES_MOST + 1] = {0.0};
    struct ode *ode = NULL;
    struct status status = ode_create(&problem, 1e-6, absolute, &ode);
    assert_int_equal(status.code, STATUS_LIMIT);
    assert_null(ode);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_rates_read_changes_no_answer),
        cmocka_unit_test(too_many_states_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
