/* test_surface.c: what passes the surface of the vat: oxygen, carbon dioxide, water. */
#include "bench.h"
#include "process/surface.h"

#include "support/close.h"

#include <stdint.h>

#define CM_PER_H (0.01 / 3600.0)

/* A bench whose bare transfer coefficient at its own temperature is kl, with no help from warmth. */
static struct bench *still_bench(double temperature_K, double height, double kl)
{
    const double area = 0.1;
    struct bench *bench = bench_open(height * area, area, temperature_K);
    bench->vat.constants[K_KL_STILL_20C] = kl / pow(1.024, temperature_K - 293.15);
    bench->vat.constants[K_KL_WARM_MOST] = 1.0 + 1e-12;
    assert_close(surface_transfer_coefficient(bench_liquor(bench)), kl, 1e-9, 0.0);
    return bench;
}

/* Physical and chemical check case 31: 2 cm/h at 25 degC into a liquor that swallows all: 3.97 g/m2/d; 1 %. */
static void oxygen_flux_into_a_sink(void **state)
{
    (void)state;
    struct bench *bench = still_bench(298.15, 0.3, 2.0 * CM_PER_H);
    double flux = surface_oxygen_flux(bench_liquor(bench)) / bench->vat.settings.area; /* mol/m2/s */
    assert_close(flux * MOLAR_OXYGEN * 1e3 * 86400.0, 3.97, 0.01, 0.0);
    /* without leuco all of it goes into the liquor */
    assert_close(bench_rate(bench, "oxygen_through_surface"), flux * bench->vat.settings.area, 1e-12, 0.0);
    assert_close(bench_rate(bench, "film_forming"), 0.0, 0.0, 0.0);
    bench_close(bench);
}

/* Check case 32: without a sink the liquor goes to the saturation of its temperature and pressure, half-way in
 * ln 2 h / kL: 10.4 h for 0.3 m and 2 cm/h; 1 %. */
static void water_takes_up_air(void **state)
{
    (void)state;
    for (double pressure = 0.8; pressure < 1.05; pressure += 0.2) {
        struct bench *bench = still_bench(293.15, 0.3, 2.0 * CM_PER_H);
        bench->vat.settings.pressure_atm = pressure;
        bench_switch_on(bench, "oxygen_through_surface");
        double saturation = bench_liquor(bench)->at.oxygen_saturation;
        assert_close(saturation, 0.284 * pressure, 0.01, 0.0); /* 0.284 mol/m3 at 20 degC and 1 atm, EN 25814 */
        bench_run(bench, 10.4 * 3600.0, 1e-8);
        assert_close(bench_liquor(bench)->concentration[S_OXYGEN], 0.5 * saturation, 0.01, 0.0);
        bench_run(bench, 30.0 * 86400.0, 1e-8);
        assert_close(bench_liquor(bench)->concentration[S_OXYGEN], saturation, 1e-6, 0.0);
        bench_close(bench);
    }
}

/* Check case 33: the reaction with leuco speeds absorption up by 1 when it is slow, and by
 * E_i = 1 + D_B C_B / (nu D_A C*) when it is quick; 1e-3. The example: leuco 1 mol/m3, D_B 5e-10 m2/s, C* 0.258 mol/m3,
 * nu 2 leuco per oxygen. */
static void leuco_speeds_absorption_up_within_limits(void **state)
{
    (void)state;
    struct bench *bench = still_bench(298.15, 0.3, 2.0 * CM_PER_H);
    double bare = surface_oxygen_flux(bench_liquor(bench));
    bench->vat.constants[K_LEUCO_DIFFUSIVITY_25C] = 5e-10;
    bench->vat.constants[K_LEUCO_PER_OXYGEN] = 2.0;
    bench_set_ph(bench, 11.0);
    bench_put(bench, S_LEUCO, 1.0);
    bench->vat.constants[K_LEUCO_OXIDATION_RATE] = 1e-12;
    assert_close(surface_oxygen_flux(bench_liquor(bench)) / bare, 1.0, 1e-3, 0.0);
    bench->vat.constants[K_LEUCO_OXIDATION_RATE] = 1e6;
    const struct liquor *liquor = bench_liquor(bench);
    double most = 1.0 + 5e-10 * 1.0 / (2.0 * liquor->at.oxygen_diffusivity * liquor->at.oxygen_saturation);
    assert_close(surface_oxygen_flux(liquor) / bare, most, 1e-3, 0.0);
    assert_close(most, 1.5, 0.03, 0.0); /* as printed, two digits */
    bench_close(bench);
}

/* Check case 21: 425 ppm, 20 degC, 0.04 mol/L hydroxide, no gas film: 0.89 mol/m2/d; 5 %.
 * Check case 22: at pH 12.5 twice the transfer coefficient changes the flux by less than 1 %. */
static void carbon_dioxide_flux_is_ruled_by_its_reaction(void **state)
{
    (void)state;
    struct bench *bench = still_bench(293.15, 0.3, 2.0 * CM_PER_H);
    bench->vat.constants[K_CO2_GAS_FILM] = 1e6;
    bench_put(bench, S_ALKALI, 40.0);
    assert_close(bench_liquor(bench)->ions.hydroxide, 40.0, 1e-6, 0.0);
    double per_day = bench_rate(bench, "carbon_dioxide_uptake") / bench->vat.settings.area * 86400.0;
    assert_close(per_day, 0.89, 0.05, 0.0);
    bench_set_ph(bench, 12.5);
    double once = bench_rate(bench, "carbon_dioxide_uptake");
    bench->vat.constants[K_KL_STILL_20C] *= 2.0;
    double twice = bench_rate(bench, "carbon_dioxide_uptake");
    assert_between(twice / once, 1.0, 1.01);
    bench_close(bench);
}

/* Uniform in 0 to 1; a small generator of our own, so that a seed gives the same numbers everywhere. */
static double uniform(uint64_t *seed)
{
    *seed = *seed * 6364136223846793005ULL + 1442695040888963407ULL;
    return (double)(*seed >> 11) / 9007199254740992.0;
}

struct transfers {
    double kl, oxygen, carbon_dioxide, water;
};

static struct transfers transfers_of(struct bench *bench)
{
    const struct liquor *liquor = bench_liquor(bench);
    return (struct transfers){surface_transfer_coefficient(liquor), surface_oxygen_flux(liquor),
                              bench_rate(bench, "carbon_dioxide_uptake"), bench_rate(bench, "evaporation")};
}

static void assert_none_more(struct transfers hindered, struct transfers open)
{
    const double slack = 1.0 + 1e-12;
    assert_between(hindered.kl, 0.0, open.kl * slack);
    assert_between(hindered.oxygen, 0.0, open.oxygen * slack);
    assert_between(hindered.carbon_dioxide, 0.0, open.carbon_dioxide * slack);
    assert_between(hindered.water, 0.0, open.water * slack);
}

static void set_lid(struct bench *bench, bool covered)
{
    const double *k = bench->vat.constants;
    struct settings *settings = &bench->vat.settings;
    settings->covered = covered;
    settings->lid_oxygen = covered ? k[K_KL_LOOSE_LID_FACTOR] : 1.0;
    settings->lid_carbon_dioxide = covered ? k[K_CO2_LOOSE_LID_FACTOR] : 1.0;
    settings->lid_evaporation = covered ? k[K_EVAPORATION_LOOSE_LID_FACTOR] : 1.0;
}

/* In any liquor that is warmer than the air, a lid or a film lets no more through than an open surface. Not stirred. */
static void lid_and_film_only_lower_transfer(void **state)
{
    (void)state;
    uint64_t seed = 20260504;
    print_message("seed %llu\n", (unsigned long long)seed);
    struct bench *bench = bench_open(0.04, 0.1, 303.15);
    for (int i = 0; i < 300; i++) {
        double temperature_K = 288.15 + 40.0 * uniform(&seed);
        bench_set_temperature(bench, temperature_K);
        bench->vat.amount[S_INDIGO_FILM] = 0.0;
        bench->vat.settings.night_K = bench->vat.settings.day_K = temperature_K - 10.0 * uniform(&seed);
        bench_put(bench, S_ALKALI, 5.0 + 60.0 * uniform(&seed));
        bench_put(bench, S_LEUCO, 4.0 * uniform(&seed) * uniform(&seed));
        bench_put(bench, S_REDUCTONE, 2.0 * uniform(&seed) * uniform(&seed));
        struct transfers open = transfers_of(bench);
        set_lid(bench, true);
        assert_none_more(transfers_of(bench), open);
        set_lid(bench, false);
        for (double film = 1e-5; film < 1e-2; film *= 10.0) { /* mol: from a trace to thick flower */
            bench->vat.amount[S_INDIGO_FILM] = film;
            struct transfers filmed = transfers_of(bench);
            assert_none_more(filmed, open);
            open = filmed; /* and more film lets less through */
        }
    }
    bench_close(bench);
}

/* Over liquor no warmer than the air a lid and a whole film count by the very factors of the model file. */
static void lid_and_film_count_by_their_factors(void **state)
{
    (void)state;
    struct bench *bench = still_bench(298.15, 0.3, 2.0 * CM_PER_H);
    const double *k = bench->vat.constants;
    bench_put(bench, S_ALKALI, 40.0);
    struct transfers open = transfers_of(bench);
    set_lid(bench, true);
    struct transfers covered = transfers_of(bench);
    assert_close(covered.kl / open.kl, k[K_KL_LOOSE_LID_FACTOR], 1e-9, 0.0);
    assert_close(covered.oxygen / open.oxygen, k[K_KL_LOOSE_LID_FACTOR], 1e-3, 0.0);
    assert_close(covered.carbon_dioxide / open.carbon_dioxide, k[K_CO2_LOOSE_LID_FACTOR], 0.01,
                 0.0); /* kL hardly counts */
    assert_close(covered.water / open.water, k[K_EVAPORATION_LOOSE_LID_FACTOR], 1e-9, 0.0);
    set_lid(bench, false);
    bench->vat.amount[S_INDIGO_FILM] = 100.0 * k[K_FILM_FULL_COVER] * bench->vat.settings.area;
    assert_close(transfers_of(bench).kl / open.kl, k[K_KL_FILM_FACTOR], 1e-9, 0.0);
    bench_close(bench);
}

/* A stirred surface has no film and takes more than a still one. */
static void stirring_raises_transfer(void **state)
{
    (void)state;
    struct bench *bench = bench_open(0.04, 0.1, 303.15);
    bench->vat.amount[S_INDIGO_FILM] = 1e-3;
    double last = 0.0;
    for (int s = STIRRING_NONE; s <= STIRRING_BRISK; s++) {
        bench->vat.settings.stirring = (enum stirring)s;
        double kl = surface_transfer_coefficient(bench_liquor(bench));
        assert_true(kl > last);
        last = kl;
        assert_close(surface_film_share(&bench->vat.liquor), 0.0, 0.0, 0.0); /* no leuco, no film */
    }
    bench_close(bench);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(oxygen_flux_into_a_sink),
        cmocka_unit_test(water_takes_up_air),
        cmocka_unit_test(leuco_speeds_absorption_up_within_limits),
        cmocka_unit_test(carbon_dioxide_flux_is_ruled_by_its_reaction),
        cmocka_unit_test(lid_and_film_only_lower_transfer),
        cmocka_unit_test(lid_and_film_count_by_their_factors),
        cmocka_unit_test(stirring_raises_transfer),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
