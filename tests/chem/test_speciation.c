/* test_speciation.c: the equilibria of the liquor against published numbers, and what must hold for any liquor. */
#include "chem/speciation.h"

#include "drawn.h"

#include "chem/activity.h"
#include "chem/carbonate.h"
#include "chem/lime.h"
#include "chem/water.h"
#include "support/close.h"
#include "support/csv.h"

static struct speciation_constants constants_at(double t_C)
{
    struct speciation_constants constants;
    speciation_constants_at(&usual, t_C + 273.15, &constants);
    return constants;
}

static struct speciation solve(const struct speciation_constants *constants, struct liquor_totals totals)
{
    struct speciation result;
    assert_int_equal(speciate(constants, &totals, &result), 0);
    return result;
}

/* Molar calcium, mol/m3, from mol/kg of water. */
static double per_volume(double molal, double t_C)
{
    return molal * water_density(t_C + 273.15);
}

/* Calcium of limewater that stands over solid lime, mol/m3. */
static double lime_solubility(double t_C)
{
    struct speciation_constants constants = constants_at(t_C);
    double low = 1.0;
    double high = 60.0;
    for (int i = 0; i < 60; i++) {
        double middle = 0.5 * (low + high);
        if (solve(&constants, (struct liquor_totals){.calcium = middle}).lime_saturation > 1.0) {
            high = middle;
        } else {
            low = middle;
        }
    }
    return low;
}

/* g of Ca(OH)2 per kg of water; the lime adds nothing to speak of to the volume of its water. */
static double lime_solubility_g_per_kg(double t_C)
{
    return 1e3 * LIME_MOLAR_MASS * lime_solubility(t_C) / water_density(t_C + 273.15);
}

static void lime_dissolves_as_tabled(void **state)
{
    (void)state;
    /* Perry's Chemical Engineers' Handbook, 7th ed., table 2-120; 10, 30, 50 degC from memory. Above 60 degC the pKw is
     * out of its range, and yet it holds. */
    struct csv csv = csv_read("lime_solubility.csv");
    for (int i = 0; i < csv.rows; i++) {
        double t = csv_value(&csv, i, "temperature_degC");
        double want = 10.0 * csv_value(&csv, i, "g_per_100g_water");
        assert_close(lime_solubility_g_per_kg(t), want, t < 55.0 ? 0.06 : 0.07, 0.0);
    }
    /* 0.0203 mol/kg at 25 degC: J. Res. NBS 56, 305 (1956) */
    assert_close(lime_solubility(25.0) / water_density(298.15), 0.0203, 0.06, 0.0);
}

static void lime_dissolves_less_when_warm(void **state)
{
    (void)state;
    /* "twice as much lime dissolved at 32 F as at 212 F" (materia medica) */
    double cold = lime_solubility_g_per_kg(0.0);
    assert_between(cold / lime_solubility_g_per_kg(100.0), 2.0, 2.7);
    double before = cold;
    for (double t = 2.5; t <= 100.0; t += 2.5) {
        double now = lime_solubility_g_per_kg(t);
        assert_true(now < before);
        before = now;
    }
}

static double limewater_ph(double t_C)
{
    struct speciation_constants constants = constants_at(t_C);
    return solve(&constants, (struct liquor_totals){.calcium = per_volume(0.0203, t_C)}).ph;
}

static void limewater_has_the_standard_ph(void **state)
{
    (void)state;
    /* Bates, J. Res. NBS 66A, 179 (1962), 0.0203 mol/kg with no solid; 25 degC from the abstract, other rows from
     * memory */
    struct csv csv = csv_read("limewater_ph.csv");
    for (int i = 0; i < csv.rows; i++) {
        assert_close(limewater_ph(csv_value(&csv, i, "temperature_degC")), csv_value(&csv, i, "ph"), 0.0, 0.03);
    }
    /* J. Res. NBS 56, 305 (1956), abstract: -0.033 per K */
    assert_close((limewater_ph(30.0) - limewater_ph(20.0)) / 10.0, -0.033, 0.0, 0.002);
}

static void limewater_buffers_as_measured(void **state)
{
    (void)state;
    /* the same abstract: 0.09 mol/L per pH, and -0.28 on dilution with an equal volume of water */
    struct speciation_constants constants = constants_at(25.0);
    double calcium = per_volume(0.0203, 25.0);
    double plain = solve(&constants, (struct liquor_totals){.calcium = calcium}).ph;
    double acid = solve(&constants, (struct liquor_totals){.calcium = calcium, .strong_anion = 0.1}).ph;
    assert_close(0.1e-3 / (plain - acid), 0.09, 0.10, 0.0);
    double dilute = solve(&constants, (struct liquor_totals){.calcium = 0.5 * calcium}).ph;
    assert_close(dilute - plain, -0.28, 0.0, 0.02);
}

static void more_lime_than_dissolves_changes_nothing(void **state)
{
    (void)state;
    struct speciation_constants constants = constants_at(25.0);
    double dissolved = lime_solubility(25.0);
    double ph = solve(&constants, (struct liquor_totals){.calcium = dissolved}).ph;
    assert_between(ph, 12.4, 12.5);
    const double doses[] = {2.0, 5.0, 20.0}; /* g/L */
    for (size_t i = 0; i < 3; i++) {
        double dose = doses[i] / LIME_MOLAR_MASS;
        /* all in solution would be beyond saturation: the excess is sediment, and the liquor that of every dose */
        assert_true(solve(&constants, (struct liquor_totals){.calcium = dose}).lime_saturation > 1.0);
        assert_true(dose > dissolved);
    }
}

static void soda_has_the_published_ph(void **state)
{
    (void)state;
    /* suppliers' table, 1 wt % of Na2CO3 at 25 degC: 11.37 (10 g/L) */
    struct speciation_constants constants = constants_at(25.0);
    double soda = 10.0 / 0.105988;
    assert_close(solve(&constants, (struct liquor_totals){.alkali = 2.0 * soda, .carbon = soda}).ph, 11.37, 0.0, 0.05);
    /* worked out apart, with Davies activities: soda at 1 and 5 g/L, 10 g/L at 40 degC, potash at 10 g/L */
    assert_close(solve(&constants, (struct liquor_totals){.alkali = 0.2 * soda, .carbon = 0.1 * soda}).ph, 10.98, 0.0,
                 0.05);
    assert_close(solve(&constants, (struct liquor_totals){.alkali = soda, .carbon = 0.5 * soda}).ph, 11.25, 0.0, 0.05);
    double potash = 10.0 / 0.138206;
    assert_close(solve(&constants, (struct liquor_totals){.alkali = 2.0 * potash, .carbon = potash}).ph, 11.33, 0.0,
                 0.05);
    constants = constants_at(40.0);
    assert_close(solve(&constants, (struct liquor_totals){.alkali = 2.0 * soda, .carbon = soda}).ph, 11.08, 0.0, 0.05);
}

/* The liquor of a given calcium with carbon added until it holds the dissolved CO2 asked for. */
static struct speciation with_carbon_dioxide(const struct speciation_constants *constants, double calcium,
                                             double wanted)
{
    double low = 0.0;
    double high = 20.0;
    struct speciation result = {0};
    for (int i = 0; i < 60; i++) {
        double carbon = 0.5 * (low + high);
        result = solve(constants, (struct liquor_totals){.calcium = calcium, .carbon = carbon});
        if (result.carbon_dioxide > wanted) {
            high = carbon;
        } else {
            low = carbon;
        }
    }
    return result;
}

static void calcite_dissolves_in_rain(void **state)
{
    (void)state;
    /* Stumm & Morgan, Aquatic Chemistry (from memory): calcite, water and air of 10^-3.5 atm CO2 at 25 degC: pH 8.3,
     * calcium 0.48 to 0.52 mmol/L, 8 % */
    struct speciation_constants constants = constants_at(25.0);
    double wanted = 1e3 * pow(10.0, carbon_dioxide_log_kh(298.15) - 3.5);
    double low = 0.0;
    double high = 5.0;
    for (int i = 0; i < 50; i++) {
        double middle = 0.5 * (low + high);
        struct speciation ions = with_carbon_dioxide(&constants, middle, wanted);
        if (ions.calcium_free * ions.carbonate > ions.calcite_product) {
            high = middle;
        } else {
            low = middle;
        }
    }
    assert_close(with_carbon_dioxide(&constants, low, wanted).ph, 8.3, 0.0, 0.05);
    assert_between(low, 0.48 * 0.92, 0.52 * 1.08);
}

static void lime_takes_the_carbonate_out_of_soda(void **state)
{
    (void)state;
    /* Ca(OH)2 + CO3-- = CaCO3 + 2 OH-: K = 10^(-5.19 + 8.48) = 10^3.3 at 25 degC */
    struct speciation_constants constants = constants_at(25.0);
    assert_close(log10(constants.ksp_lime / constants.ksp_calcite), 3.3, 0.0, 0.03);
}

static void leuco_shares_follow_their_table(void **state)
{
    (void)state;
    /* Computed from pKa 7.97 and 12.68 (Etters, J. Soc. Dyers Colour. 109, 251, 1993) without activities: it holds as
     * the ionic strength goes to 0, which no liquor of pH 13 reaches, so the slope of Debye and Hückel is set to 0
     * here. pH, leuco acid, mono-anion, di-anion. */
    const double table[][4] = {{8, 0.483, 0.517, 0.000},    {9, 0.085, 0.914, 0.000},     {10, 0.009, 0.989, 0.002},
                               {10.5, 0.003, 0.991, 0.007}, {11, 0.001, 0.979, 0.020},    {11.5, 0.000, 0.938, 0.062},
                               {12, 0.000, 0.827, 0.173},   {12.45, 0.000, 0.629, 0.371}, {13, 0.000, 0.324, 0.676}};
    struct speciation_constants constants = constants_at(25.0);
    constants.debye_huckel_A = 0.0;
    constants.leuco1 = pow(10.0, -7.97);
    constants.leuco2 = pow(10.0, -12.68);
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        struct liquor_totals totals = {.leuco = 1e-9};
        totals.alkali = 1e3 * (constants.kw / pow(10.0, -table[i][0]) - pow(10.0, -table[i][0]));
        struct speciation got = solve(&constants, totals);
        assert_close(got.ph, table[i][0], 0.0, 1e-4);
        assert_close(got.leuco_acid, table[i][1], 0.0, 0.002);
        assert_close(got.leuco_mono, table[i][2], 0.0, 0.002);
        assert_close(got.leuco_di, table[i][3], 0.0, 0.002);
        assert_close(got.leuco_acid + got.leuco_mono + got.leuco_di, 1.0, 1e-14, 0.0);
        /* the shares are also told when there is no leuco */
        totals.leuco = 0.0;
        assert_close(solve(&constants, totals).leuco_mono, got.leuco_mono, 1e-6, 0.0);
    }
}

/* Random numbers: splitmix64, the same everywhere. */
#define SEED UINT64_C(20260504)
#define TRIES 3000

static double next_random(uint64_t *random)
{
    *random += UINT64_C(0x9E3779B97F4A7C15);
    uint64_t z = *random;
    z = (z ^ (z >> 30)) * UINT64_C(0xBF58476D1CE4E5B9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94D049BB133111EB);
    z ^= z >> 31;
    return (double)(z >> 11) * 0x1.0p-53;
}

/* An amount up to `most`, now and then none, over six decades. */
static double random_amount(uint64_t *random, double most)
{
    double pick = next_random(random);
    double size = next_random(random);
    return pick < 0.25 ? 0.0 : pick < 0.5 ? most * size : most * pow(10.0, -6.0 * size);
}

/* Totals within the ionic strength promised. */
static struct liquor_totals random_totals(uint64_t *random)
{
    struct liquor_totals totals = {0};
    totals.calcium = random_amount(random, 50.0);
    totals.alkali = random_amount(random, 100.0);
    totals.strong_anion = random_amount(random, 30.0);
    totals.acid = random_amount(random, 100.0);
    totals.carbon = random_amount(random, 50.0);
    totals.leuco = random_amount(random, 10.0);
    totals.fructose = random_amount(random, 150.0);
    totals.glucose = random_amount(random, 150.0);
    return totals;
}

struct sums {
    double positive, negative; /* charges, mol/m3 */
    double calcium;            /* mol/m3 */
    double ionic_strength;     /* mol/L */
};

/* Adds everything up over again from the answer and the constants. */
static struct sums sum_over_again(const struct speciation_constants *k, const struct liquor_totals *totals,
                                  const struct speciation *s)
{
    double g1 = pow(10.0, davies_log_gamma(k->debye_huckel_A, 1.0, s->ionic_strength));
    double g2 = pow(10.0, davies_log_gamma(k->debye_huckel_A, 4.0, s->ionic_strength));
    double h = pow(10.0, -s->ph);
    double ca = s->calcium_free * 1e-3;
    double bicarbonate = k->k1 * s->carbon_dioxide / (h * g1);
    double bicarbonate_pair = k->calcium_bicarbonate * g2 * ca * bicarbonate; /* g2 g1 / g1 */
    double carbonate_pair = k->calcium_carbonate * g2 * g2 * ca * s->carbonate;
    double bound = k->calcium_hexose * g2 * ca; /* complexed over free hexose anion */
    double hexose = s->fructose_anion + s->glucose_anion;
    double acid = totals->acid / (1.0 + h * g1 / k->acid);
    struct sums sums;
    sums.positive = 1e3 * h / g1 + 2.0 * s->calcium_free + s->calcium_hydroxide_pair + bicarbonate_pair +
                    totals->alkali + hexose * bound / (1.0 + bound);
    sums.negative = s->hydroxide + bicarbonate + 2.0 * s->carbonate + totals->strong_anion + acid +
                    hexose / (1.0 + bound) + totals->leuco * (s->leuco_mono + 2.0 * s->leuco_di);
    sums.calcium = s->calcium_free + s->calcium_hydroxide_pair + bicarbonate_pair + carbonate_pair +
                   hexose * bound / (1.0 + bound);
    /* half of charge squared: the ions of charge 2 count twice more than their charge */
    sums.ionic_strength = 0.5e-3 * (sums.positive + sums.negative + 2.0 * s->calcium_free + 2.0 * s->carbonate +
                                    2.0 * totals->leuco * s->leuco_di);
    return sums;
}

static void any_liquor_balances(void **state)
{
    (void)state;
    uint64_t random = SEED;
    print_message("seed %llu\n", (unsigned long long)SEED);
    int most_iterations = 0;
    for (int i = 0; i < TRIES; i++) {
        struct speciation_constants constants = constants_at(60.0 * next_random(&random));
        struct liquor_totals totals = random_totals(&random);
        struct speciation s = solve(&constants, totals);
        struct sums sums = sum_over_again(&constants, &totals, &s);
        assert_close(sums.positive, sums.negative, 1e-9, 0.0);
        assert_close(sums.calcium, totals.calcium, 1e-9, 1e-12);
        assert_close(s.ionic_strength, sums.ionic_strength, 1e-9, 0.0);
        assert_close(s.leuco_acid + s.leuco_mono + s.leuco_di, 1.0, 1e-12, 0.0);
        assert_true(s.hydroxide > 0.0 && s.carbonate >= 0.0 && s.carbon_dioxide >= 0.0);
        most_iterations = s.iterations > most_iterations ? s.iterations : most_iterations;
    }
    print_message("most iterations %d\n", most_iterations);
}

static void acid_lowers_and_lime_raises(void **state)
{
    (void)state;
    uint64_t random = SEED + 1;
    print_message("seed %llu\n", (unsigned long long)(SEED + 1));
    for (int i = 0; i < TRIES; i++) {
        struct speciation_constants constants = constants_at(60.0 * next_random(&random));
        struct liquor_totals totals = random_totals(&random);
        double amount = random_amount(&random, 5.0);
        double ph = solve(&constants, totals).ph;
        struct liquor_totals more_acid = totals;
        more_acid.acid += amount;
        struct liquor_totals more_strong = totals;
        more_strong.strong_anion += amount;
        struct liquor_totals more_lime = totals;
        more_lime.calcium += amount;
        const double noise = 1e-11;
        assert_true(solve(&constants, more_acid).ph <= ph + noise);
        assert_true(solve(&constants, more_strong).ph <= ph + noise);
        assert_true(solve(&constants, more_lime).ph >= ph - noise);
    }
}

static void same_totals_give_same_bits(void **state)
{
    (void)state;
    uint64_t random = SEED + 2;
    print_message("seed %llu\n", (unsigned long long)(SEED + 2));
    for (int i = 0; i < 200; i++) {
        struct speciation_constants constants = constants_at(60.0 * next_random(&random));
        struct liquor_totals totals = random_totals(&random);
        struct speciation first = solve(&constants, totals);
        (void)solve(&constants, random_totals(&random)); /* something else in between */
        struct speciation second = solve(&constants, totals);
        assert_memory_equal(&first, &second, offsetof(struct speciation, iterations));
        assert_int_equal(first.iterations, second.iterations);
    }
}

static void plain_water_is_neutral(void **state)
{
    (void)state;
    for (double t = 0.0; t <= 60.0; t += 10.0) {
        struct speciation_constants constants = constants_at(t);
        struct speciation s = solve(&constants, (struct liquor_totals){0});
        assert_close(s.ph, 0.5 * water_ion_pk(t + 273.15), 0.0, 1e-6);
    }
}

static void nonsense_is_refused(void **state)
{
    (void)state;
    struct speciation_constants constants = constants_at(25.0);
    struct speciation result;
    struct liquor_totals totals = {.calcium = NAN};
    assert_int_equal(speciate(&constants, &totals, &result), -1);
    totals = (struct liquor_totals){.alkali = INFINITY};
    assert_int_equal(speciate(&constants, &totals, &result), -1);
    totals = (struct liquor_totals){.leuco = NAN};
    assert_int_equal(speciate(&constants, &totals, &result), -1);
    totals = (struct liquor_totals){.carbon = INFINITY, .calcium = 1.0};
    assert_int_equal(speciate(&constants, &totals, &result), -1);
    totals = (struct liquor_totals){.calcium = 1e3}; /* a mole of dissolved lime in a litre at 5 degC: pH above 14.5 */
    constants = constants_at(5.0);
    assert_int_equal(speciate(&constants, &totals, &result), -1);
    totals = (struct liquor_totals){.strong_anion = 1e4}; /* 10 mol/L of strong acid: pH below 0 */
    assert_int_equal(speciate(&constants, &totals, &result), -1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lime_dissolves_as_tabled),
        cmocka_unit_test(lime_dissolves_less_when_warm),
        cmocka_unit_test(limewater_has_the_standard_ph),
        cmocka_unit_test(limewater_buffers_as_measured),
        cmocka_unit_test(more_lime_than_dissolves_changes_nothing),
        cmocka_unit_test(soda_has_the_published_ph),
        cmocka_unit_test(calcite_dissolves_in_rain),
        cmocka_unit_test(lime_takes_the_carbonate_out_of_soda),
        cmocka_unit_test(leuco_shares_follow_their_table),
        cmocka_unit_test(any_liquor_balances),
        cmocka_unit_test(acid_lowers_and_lime_raises),
        cmocka_unit_test(same_totals_give_same_bits),
        cmocka_unit_test(plain_water_is_neutral),
        cmocka_unit_test(nonsense_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
