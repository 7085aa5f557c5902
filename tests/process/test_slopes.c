/* test_slopes.c: the derivatives of the rates that the integrator works with, against central differences of the rates; and that
 * they say truly which amounts they read. */
#include "bench.h"

#include "support/close.h"

#include <stdint.h>
#include <string.h>

#define ROUNDS 60

/* Derivatives times a typical amount, so that those of one rate can be told large from small. */
static void slopes_are_those_of_the_rates(void **state)
{
    (void)state;
    uint64_t seed = 20260610;
    print_message("seed %llu\n", (unsigned long long)seed);
    struct bench *bench = bench_open(0.04, 0.1, 305.15);
    struct vat *vat = &bench->vat;
    bench_all_on(bench);
    struct ode_problem problem = reaction_problem(&vat->reaction);
    static double by_state[PROCESSES_KNOWN_MOST * STATE_COUNT];
    static double high[PROCESSES_KNOWN_MOST], low[PROCESSES_KNOWN_MOST], rates[PROCESSES_KNOWN_MOST], by_time[PROCESSES_KNOWN_MOST];
    static int states[STATE_COUNT];
    for (int s = 0; s < STATE_COUNT; s++) {
        states[s] = s;
    }
    double worst = 0.0;
    int compared = 0;
    for (int round = 0; round < ROUNDS; round++) {
        double y[STATE_COUNT];
        bench_draw(bench, &seed);
        reaction_look_at_settings(&vat->reaction);
        memcpy(y, vat->amount, sizeof y);
        memset(by_state, 0, sizeof by_state); /* where nothing is filled in */
        assert_int_equal(problem.evaluate(problem.context, vat->time, y, rates), 0);
        assert_int_equal(problem.differentiate(problem.context, vat->time, y, rates, states, (size_t)STATE_COUNT, by_state, by_time),
                         0);
        for (size_t j = 0; j < problem.rates; j++) {
            high[j] = low[j] = 0.0;
        }
        static double differences[PROCESSES_KNOWN_MOST][STATE_COUNT];
        for (int s = 0; s < STATE_COUNT; s++) {
            double size = fmax(fabs(y[s]), 0.01 * vat->scenario->fill);
            double by = 4e-6 * size;
            y[s] += by;
            assert_int_equal(problem.evaluate(problem.context, vat->time, y, high), 0);
            y[s] -= 2.0 * by;
            assert_int_equal(problem.evaluate(problem.context, vat->time, y, low), 0);
            y[s] = vat->amount[s];
            for (size_t j = 0; j < problem.rates; j++) {
                differences[j][s] = (high[j] - low[j]) / (2.0 * by);
            }
        }
        for (size_t j = 0; j < problem.rates; j++) {
            double largest = 0.0;
            for (int s = 0; s < STATE_COUNT; s++) {
                largest = fmax(largest, fabs(differences[j][s]) * fmax(fabs(y[s]), 0.01 * vat->scenario->fill));
            }
            for (int s = 0; s < STATE_COUNT; s++) {
                double size = fmax(fabs(y[s]), 0.01 * vat->scenario->fill);
                double error = fabs(by_state[j * (size_t)STATE_COUNT + (size_t)s] - differences[j][s]) * size;
                /* those by water and heat move everything: differences tell them less well */
                double share = s == S_WATER || s == S_HEAT ? 5e-6 : 5e-7;
                double allowed = share * largest + 2e-7 * fabs(rates[j]);
                compared += largest > 0.0;
                worst = fmax(worst, error > 0.0 ? error / allowed : 0.0);
                if (error > allowed) {
                    fail_msg("round %d, '%s' by %s: %.9g, by differences %.9g", round, process_at(vat->reaction.index[j])->name,
                             species_table[s].name, by_state[j * (size_t)STATE_COUNT + (size_t)s], differences[j][s]);
                }
            }
        }
    }
    print_message("%d derivatives compared, the worst at %.2g of what is allowed\n", compared, worst);
    assert_true(compared > 100000);
    bench_close(bench);
}

/* What the integrator is told a rate can read covers every amount that moves it, alone or within its sum. */
static void rates_read_what_they_say(void **state)
{
    (void)state;
    uint64_t seed = 20260611;
    print_message("seed %llu\n", (unsigned long long)seed);
    struct bench *bench = bench_open(0.04, 0.1, 305.15);
    struct vat *vat = &bench->vat;
    bench_all_on(bench);
    struct ode_problem problem = reaction_problem(&vat->reaction);
    int unread = 0;
    for (int round = 0; round < 20; round++) {
        bench_draw(bench, &seed);
        reaction_look_at_settings(&vat->reaction);
        double before[PROCESSES_KNOWN_MOST] = {0};
        for (size_t j = 0; j < problem.rates; j++) {
            before[j] = vat->reaction.active[j]->rate(bench_liquor(bench));
        }
        for (int s = 0; s < STATE_COUNT; s++) {
            double kept = vat->amount[s];
            vat->amount[s] = 1.01 * kept + 1e-3 * vat->scenario->fill;
            for (size_t j = 0; j < problem.rates; j++) {
                bool listed = false;
                for (const int *read = problem.reads(problem.context, j); *read >= 0; read++) {
                    listed = listed || *read == problem.readings[s].state;
                }
                double after = vat->reaction.active[j]->rate(bench_liquor(bench));
                if (!listed && (after < before[j] || after > before[j])) {
                    fail_msg("'%s' reads %s without saying so", vat->reaction.active[j]->name, species_table[s].name);
                }
                unread += !listed;
            }
            vat->amount[s] = kept;
        }
    }
    assert_true(unread > 10000);
    bench_close(bench);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(slopes_are_those_of_the_rates),
        cmocka_unit_test(rates_read_what_they_say),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
