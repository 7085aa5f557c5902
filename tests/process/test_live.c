/* test_live.c: a process that says it is not live under some settings has no rate under them, whatever the liquor. */
#include "bench.h"

#include "support/close.h"

#include <stdint.h>

static double uniform(uint64_t *seed)
{
    *seed = *seed * 6364136223846793005ULL + 1442695040888963407ULL;
    return (double)(*seed >> 11) / 9007199254740992.0;
}

static bool half(uint64_t *seed)
{
    return uniform(seed) < 0.5;
}

static void change_settings(struct bench *bench, uint64_t *seed)
{
    struct settings *settings = &bench->vat.settings;
    settings->stirring = (enum stirring)(int)(4.0 * uniform(seed));
    settings->heater_power = half(seed) ? 1500.0 : 0.0;
    settings->heater_hold_K = half(seed) ? 320.0 : 0.0;
    settings->sun_gain = half(seed) ? 400.0 : 0.0;
    settings->start_of_day = 86400.0 * uniform(seed);
    settings->covered = half(seed);
    settings->perimeter = 1.1;
    settings->wall_u = 10.0 * uniform(seed);
    settings->surface_u = 10.0 * uniform(seed);
    settings->night_K = settings->day_K = 290.0 + 10.0 * uniform(seed);
    for (int i = 0; i < MAX_SOAKING_ZONES; i++) {
        settings->cloth[i] = (struct soaking_cloth){.in = half(seed),
                                                    .mass = 0.2,
                                                    .freundlich = 0.01,
                                                    .exponent = 0.5,
                                                    .cap = 0.05,
                                                    .rate_30C = 1e-3,
                                                    .ph_response = (int)(3.0 * uniform(seed))};
    }
}

static void dead_processes_have_no_rate(void **state)
{
    (void)state;
    uint64_t seed = 20260601;
    print_message("seed %llu\n", (unsigned long long)seed);
    struct bench *bench = bench_open(0.04, 0.1, 305.15);
    int dead = 0;
    int live[PROCESSES_KNOWN_MOST] = {0};
    for (int round = 0; round < 200; round++) {
        double volume = bench_liquor(bench)->volume;
        for (int s = 0; s < STATE_COUNT; s++) {
            if (s != S_WATER && s != S_HEAT && s != S_ALKALI && s != S_CALCIUM) {
                bench->vat.amount[s] = volume * uniform(&seed);
            }
        }
        bench->vat.amount[S_ALKALI] = volume * 60.0; /* so that a pH balances the acids above */
        change_settings(bench, &seed);
        for (size_t i = 0; i < process_count(); i++) {
            const struct process *process = process_at(i);
            double rate = process->rate(bench_liquor(bench));
            assert_true(isfinite(rate));
            if (process->is_live != NULL && !process->is_live(&bench->vat.settings)) {
                dead++;
                if (rate < 0.0 || rate > 0.0) {
                    fail_msg("'%s' is not live, but has the rate %g", process->name, rate);
                }
            }
            live[i] += rate < 0.0 || rate > 0.0;
        }
    }
    assert_true(dead > 1000);
    for (size_t i = 0; i < process_count(); i++) {
        if (live[i] == 0) {
            fail_msg("'%s' never had a rate: the check said nothing about it", process_at(i)->name);
        }
    }
    bench_close(bench);
}

/* The integrator asks a process for its derivative by an amount only where the process says that it reads it. */
static bool may_read(const struct process *process, int state)
{
    return species_touches_equilibrium((enum species)state) || process_reads_amount(process, (enum species)state);
}

static void processes_read_only_what_they_say(void **state)
{
    (void)state;
    uint64_t seed = 20260602;
    print_message("seed %llu\n", (unsigned long long)seed);
    struct bench *bench = bench_open(0.04, 0.1, 305.15);
    int unread = 0;
    int read = 0;
    for (int round = 0; round < 40; round++) {
        double volume = bench_liquor(bench)->volume;
        for (int s = 0; s < STATE_COUNT; s++) {
            if (s != S_WATER && s != S_HEAT && s != S_ALKALI && s != S_CALCIUM) {
                bench->vat.amount[s] = volume * uniform(&seed);
            }
        }
        bench->vat.amount[S_ALKALI] = volume * 60.0;
        change_settings(bench, &seed);
        double before[PROCESSES_KNOWN_MOST];
        for (size_t i = 0; i < process_count(); i++) {
            before[i] = process_at(i)->rate(bench_liquor(bench));
        }
        for (int s = 0; s < STATE_COUNT; s++) {
            if (species_touches_equilibrium((enum species)s)) {
                continue;
            }
            double kept = bench->vat.amount[s];
            bench->vat.amount[s] = 1.5 * kept + 0.01 * volume;
            for (size_t i = 0; i < process_count(); i++) {
                double after = process_at(i)->rate(bench_liquor(bench));
                bool same = !(after < before[i]) && !(after > before[i]);
                if (!same && !may_read(process_at(i), s)) {
                    fail_msg("'%s' reads %s without saying so", process_at(i)->name, species_table[s].name);
                }
                unread += !may_read(process_at(i), s);
                read += !same;
            }
            bench->vat.amount[s] = kept;
        }
    }
    assert_true(unread > 1000 && read > 1000);
    bench_close(bench);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(dead_processes_have_no_rate),
        cmocka_unit_test(processes_read_only_what_they_say),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
