/* test_slopes.c: the derivatives of the rates that the integrator works with, against central differences of the rates; and that
 * they say truly which amounts they read. */
#include "bench.h"

#include "support/close.h"

#include <stdint.h>
#include <string.h>

#define ROUNDS 60

static double uniform(uint64_t *seed)
{
    *seed = *seed * 6364136223846793005ULL + 1442695040888963407ULL;
    return (double)(*seed >> 11) / 9007199254740992.0;
}

/* A liquor of everything, limy or not, warm or cool, in a draughty sunny place, with cloth in it. */
static void draw(struct bench *bench, uint64_t *seed)
{
    struct vat *vat = &bench->vat;
    struct settings *settings = &vat->settings;
    double volume = vat->scenario->fill;
    bench_set_temperature(bench, 285.0 + 35.0 * uniform(seed));
    for (int s = 0; s < STATE_COUNT; s++) {
        if (s != S_WATER && s != S_HEAT) {
            double share = uniform(seed);
            vat->amount[s] = volume * share * share;
        }
    }
    vat->amount[S_OXYGEN] *= 0.1;
    vat->amount[S_CALCIUM] = volume * 15.0 * uniform(seed);
    vat->amount[S_ALKALI] = volume * (6.0 + 30.0 * uniform(seed));
    vat->amount[S_FRUCTOSE] *= 20.0;
    vat->amount[S_GLUCOSE] *= 20.0;
    vat->time = 86400.0 * uniform(seed);
    settings->stirring = (enum stirring)(int)(4.0 * uniform(seed));
    settings->heater_power = 1500.0;
    settings->heater_hold_K = uniform(seed) < 0.5 ? 0.0 : temperature_of_heat(vat->amount[S_HEAT], vat->amount[S_WATER]) + 0.3;
    settings->sun_gain = 400.0;
    settings->covered = uniform(seed) < 0.5;
    settings->perimeter = 1.1;
    settings->wall_u = 5.0;
    settings->surface_u = 8.0;
    settings->draught = 0.1;
    settings->night_K = 283.0;
    settings->day_K = 298.0;
    for (int i = 0; i < MAX_SOAKING_ZONES; i++) {
        settings->cloth[i] = (struct soaking_cloth){.in = true,
                                                    .mass = 0.2,
                                                    .freundlich = 0.01,
                                                    .exponent = 0.5,
                                                    .cap = 0.05,
                                                    .rate_30C = 1e-3,
                                                    .ph_response = i % 3};
    }
}

static void all_on(struct bench *bench)
{
    for (size_t i = 0; i < process_count(); i++) {
        bench_switch_on(bench, process_at(i)->name);
    }
    reaction_prepare(&bench->vat);
}

/* Derivatives times a typical amount, so that those of one rate can be told large from small. */
static void slopes_are_those_of_the_rates(void **state)
{
    (void)state;
    uint64_t seed = 20260610;
    print_message("seed %llu\n", (unsigned long long)seed);
    struct bench *bench = bench_open(0.04, 0.1, 305.15);
    struct vat *vat = &bench->vat;
    all_on(bench);
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
        draw(bench, &seed);
        memcpy(y, vat->amount, sizeof y);
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
                /* those of water and heat are differences of equilibria that are good to 1e-12 */
                double share = s == S_WATER || s == S_HEAT ? 5e-5 : 5e-6;
                double allowed = share * largest + 2e-6 * fabs(rates[j]);
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
    all_on(bench);
    struct ode_problem problem = reaction_problem(&vat->reaction);
    int unread = 0;
    for (int round = 0; round < 20; round++) {
        draw(bench, &seed);
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
