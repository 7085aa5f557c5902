/* test_chalk.c: chalk dissolves into a liquor that has no carbonate at all, up to its equilibrium. */
#include "bench.h"

#include "support/close.h"

/* At 25 degC, log10 for mol/L: L. N. Plummer & E. Busenberg, Geochim. Cosmochim. Acta 46, 1011 (1982); the ion
 * product of water: H. S. Harned & R. A. Robinson, Trans. Faraday Soc. 36, 973 (1940). */
#define LOG_KW (-13.995)
#define LOG_K1 (-6.352)
#define LOG_K2 (-10.329)
#define LOG_KSP (-8.480)
#define LOG_BICARBONATE_PAIR 1.11 /* Ca++ + HCO3- = CaHCO3+ */
#define LOG_CARBONATE_PAIR 3.22   /* Ca++ + CO3-- = CaCO3 */
#define DAVIES_A 0.509

struct closed_calcite {
    double ph, calcium, strength; /* mol/L, calcium in all forms */
};

/* How far the charges are from balance, mol/L, in water saturated with calcite that got calcium and carbonate from it alone, at
 * this activity of H+ and this ionic strength; fills in the rest. */
static double charge_left(double h, struct closed_calcite *at)
{
    double root = sqrt(at->strength);
    double g1 = pow(10.0, -DAVIES_A * (root / (1.0 + root) - 0.3 * at->strength));
    double g2 = pow(g1, 4.0);
    double ksp = pow(10.0, LOG_KSP);
    double per_carbonate = pow(10.0, -LOG_K2) * h * g2; /* activity of HCO3- for a concentration of CO3-- */
    double acid_per_carbonate = pow(10.0, -LOG_K1) * h * per_carbonate;
    /* as much calcium as carbon, the pairs being equal in both: Ca = CO3 + HCO3 + CO2, and Ca CO3 g2^2 = Ksp */
    double carbonate = sqrt(ksp / (g2 * g2 * (1.0 + per_carbonate / g1 + acid_per_carbonate)));
    double calcium = ksp / (g2 * g2 * carbonate);
    double bicarbonate = carbonate * per_carbonate / g1;
    double hydroxide = pow(10.0, LOG_KW) / (h * g1);
    double pair = pow(10.0, LOG_BICARBONATE_PAIR) * calcium * g2 * carbonate * per_carbonate / g1;
    at->ph = -log10(h);
    at->calcium = calcium + pair + pow(10.0, LOG_CARBONATE_PAIR) * ksp;
    at->strength = 0.5 * (4.0 * calcium + 4.0 * carbonate + bicarbonate + hydroxide + pair + h / g1);
    return 2.0 * calcium + pair + h / g1 - 2.0 * carbonate - bicarbonate - hydroxide;
}

static struct closed_calcite closed_calcite(void)
{
    struct closed_calcite at = {.strength = 0.0};
    for (int round = 0; round < 20; round++) { /* of the ionic strength */
        double strength = at.strength;
        double low = 7.0;
        double high = 12.0;
        while (high - low > 1e-10) {
            double middle = 0.5 * (low + high);
            at.strength = strength;
            if (charge_left(pow(10.0, -middle), &at) > 0.0) {
                low = middle;
            } else {
                high = middle;
            }
        }
    }
    return at;
}

/* Calcite in pure water closed to the air. */
static void chalk_dissolves_into_pure_water(void **state)
{
    (void)state;
    struct closed_calcite wanted = closed_calcite();
    struct bench *bench = bench_open(1e-3, 0.01, 298.15);
    bench_put(bench, S_CHALK_SUSPENDED, 10.0);
    bench_switch_on(bench, "chalk_precipitation");
    bench_run(bench, 10.0 * 86400.0, 1e-8);
    const struct speciation *ions = &bench_liquor(bench)->ions;
    double calcium = bench->vat.amount[S_CALCIUM] / bench->vat.liquor.volume;
    double saturation = ions->calcium_free * ions->carbonate / ions->calcite_product;
    print_message("pH %.4f (%.4f), calcium %.5f mol/m3 (%.5f), saturation %.6f\n", ions->ph, wanted.ph, calcium,
                  1e3 * wanted.calcium, saturation);
    assert_close(saturation, 1.0, 1e-3, 0.0);
    assert_close(ions->ph, wanted.ph, 0.0, 0.005);
    assert_close(calcium, 1e3 * wanted.calcium, 0.01, 0.0);
    bench_close(bench);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(chalk_dissolves_into_pure_water),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
