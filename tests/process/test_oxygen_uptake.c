/* test_oxygen_uptake.c: how oxygen is shared out among what takes it, against the same reactions integrated by GSL (gsl_odeiv2, Runge-Kutta
 * Prince-Dormand 8(9)), a general-purpose library. */
#include "process/oxygen_uptake.h"

#include "support/close.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_odeiv2.h>
#include <string.h>

/* A liquor in which nothing but oxygen and its takers stands. */
struct beaker {
    double k[CONSTANT_COUNT];
    double amount[STATE_COUNT];
    struct liquor liquor;
};

static void fill(struct beaker *beaker, double oxygen, double leuco, double reductone, double reserve)
{
    memset(beaker, 0, sizeof *beaker);
    beaker->k[K_LEUCO_PER_OXYGEN] = 1.7;
    beaker->k[K_LEUCO_OXIDATION_RATE] = 1.1;
    beaker->k[K_REDUCTONE_OXIDATION_RATE] = 2.4;
    beaker->k[K_RESERVE_OXIDATION_RATE] = 0.3;
    beaker->amount[S_OXYGEN] = oxygen;
    beaker->amount[S_LEUCO] = leuco;
    beaker->amount[S_REDUCTONE] = reductone;
    beaker->amount[S_RESERVE] = reserve;
    beaker->liquor.k = beaker->k;
    beaker->liquor.amount = beaker->amount;
    beaker->liquor.volume = 0.05;
}

/* The extents of the four processes, then the amounts of oxygen and its takers follow. */
static int rates_of(double t, const double *z, double *r, void *context)
{
    const struct beaker *beaker = context;
    const double *k = beaker->k;
    const double oxygen = (beaker->amount[S_OXYGEN] - z[0] - z[1] - z[2] - z[3]) / beaker->liquor.volume;
    const double by_leuco = k[K_LEUCO_OXIDATION_RATE] * oxygen * (beaker->amount[S_LEUCO] - 2.0 * z[0] - z[1]);
    (void)t;
    r[0] = by_leuco * (k[K_LEUCO_PER_OXYGEN] - 1.0);
    r[1] = by_leuco * (2.0 - k[K_LEUCO_PER_OXYGEN]);
    r[2] = k[K_REDUCTONE_OXIDATION_RATE] * oxygen * (beaker->amount[S_REDUCTONE] - z[2]);
    r[3] = k[K_RESERVE_OXIDATION_RATE] * oxygen * (beaker->amount[S_RESERVE] - z[3]);
    return GSL_SUCCESS;
}

static void integrate(struct beaker *beaker, double elapsed, double extents[OXYGEN_UPTAKE_PROCESSES])
{
    gsl_odeiv2_system system = {rates_of, NULL, OXYGEN_UPTAKE_PROCESSES, beaker};
    gsl_odeiv2_driver *driver = gsl_odeiv2_driver_alloc_y_new(&system, gsl_odeiv2_step_rk8pd, 1e-3, 1e-16, 1e-13);
    double t = 0.0;
    memset(extents, 0, OXYGEN_UPTAKE_PROCESSES * sizeof *extents);
    assert_int_equal(gsl_odeiv2_driver_apply(driver, &t, elapsed, extents), GSL_SUCCESS);
    gsl_odeiv2_driver_free(driver);
}

static void shares_as_the_reactions_do(void **state)
{
    (void)state;
    static const double vats[][4] = {/* oxygen, leuco, reductone, reserve, mol */
                                     {7e-4, 0.1, 0.004, 0.28},
                                     {1e-2, 0.1, 0.004, 0.0},
                                     {1e-2, 0.0, 0.03, 0.02},
                                     {2e-3, 0.006, 0.0, 0.0}};
    for (size_t v = 0; v < sizeof vats / sizeof vats[0]; v++) {
        struct beaker beaker;
        struct oxygen_uptake uptake;
        fill(&beaker, vats[v][0], vats[v][1], vats[v][2], vats[v][3]);
        double z[OXYGEN_UPTAKE_PROCESSES] = {0.0};
        double r[OXYGEN_UPTAKE_PROCESSES];
        (void)rates_of(0.0, z, r, &beaker);
        assert_true(oxygen_uptake_find(&beaker.liquor, -(r[0] + r[1] + r[2] + r[3]), &uptake));
        for (double lives = 0.01; lives < 40.0; lives *= 2.0) {
            double want[OXYGEN_UPTAKE_PROCESSES];
            double got[OXYGEN_UPTAKE_PROCESSES];
            integrate(&beaker, lives / uptake.speed, want);
            oxygen_uptake_at(&uptake, lives / uptake.speed, got);
            for (int i = 0; i < OXYGEN_UPTAKE_PROCESSES; i++) {
                assert_close(got[i], want[i], 1e-5, 1e-12);
            }
        }
        double end[OXYGEN_UPTAKE_PROCESSES];
        double want[OXYGEN_UPTAKE_PROCESSES];
        integrate(&beaker, 60.0 / uptake.speed, want);
        oxygen_uptake_at(&uptake, INFINITY, end);
        for (int i = 0; i < OXYGEN_UPTAKE_PROCESSES; i++) {
            assert_close(end[i], want[i], 1e-9, 1e-13);
        }
    }
}

static void ends_where_what_flows_in_is_taken(void **state)
{
    (void)state;
    struct beaker beaker;
    struct oxygen_uptake uptake;
    double end[OXYGEN_UPTAKE_PROCESSES];
    fill(&beaker, 7e-4, 0.1, 0.004, 0.28);
    const double inflow = 2e-6; /* mol/s */
    double z[OXYGEN_UPTAKE_PROCESSES] = {0.0};
    double r[OXYGEN_UPTAKE_PROCESSES];
    (void)rates_of(0.0, z, r, &beaker);
    assert_true(oxygen_uptake_find(&beaker.liquor, inflow - (r[0] + r[1] + r[2] + r[3]), &uptake));
    oxygen_uptake_at(&uptake, INFINITY, end);
    (void)rates_of(0.0, end, r, &beaker);
    assert_close(r[0] + r[1] + r[2] + r[3], inflow, 1e-8, 0.0);
}

static void nothing_to_take_is_told(void **state)
{
    (void)state;
    struct beaker beaker;
    struct oxygen_uptake uptake;
    fill(&beaker, 0.0, 0.1, 0.0, 0.0);
    assert_false(oxygen_uptake_find(&beaker.liquor, 0.0, &uptake));
    fill(&beaker, 1e-3, 0.0, -1e-12, 0.0);
    assert_false(oxygen_uptake_find(&beaker.liquor, 0.0, &uptake));
    fill(&beaker, 1e-2, 1e-3, 0.0, 0.0); /* more oxygen than leuco can take */
    assert_false(oxygen_uptake_find(&beaker.liquor, -1.1 * 1e-3 * 1e-2 / 0.05, &uptake));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shares_as_the_reactions_do),
        cmocka_unit_test(ends_where_what_flows_in_is_taken),
        cmocka_unit_test(nothing_to_take_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
