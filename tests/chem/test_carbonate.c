/* test_carbonate.c: carbonate constants, and the uptake of carbon dioxide. */
#include "chem/carbonate.h"

#include "support/close.h"
#include "support/csv.h"

#define SECONDS_PER_DAY 86400.0

static void constants_follow_the_published_equations(void **state)
{
    (void)state;
    /* Plummer & Busenberg, Geochim. Cosmochim. Acta 46, 1011 (1982) */
    struct csv csv = csv_read("carbonate.csv");
    for (int i = 0; i < csv.rows; i++) {
        double T = csv_value(&csv, i, "temperature_degC") + 273.15;
        assert_close(-carbonate_log_k1(T), csv_value(&csv, i, "pk1"), 0.0, 0.005);
        assert_close(-carbonate_log_k2(T), csv_value(&csv, i, "pk2"), 0.0, 0.005);
        assert_close(calcite_log_ksp(T), csv_value(&csv, i, "log_ksp_calcite"), 0.0, 0.005);
    }
    assert_close(calcite_log_ksp(298.15), -8.480, 0.0, 0.005);
    assert_close(aragonite_log_ksp(298.15), -8.336, 0.0, 0.005);
    assert_close(carbonate_log_k1(298.15), -6.352, 0.0, 0.005);
    assert_close(carbonate_log_k2(298.15), -10.329, 0.0, 0.005);
    assert_close(carbon_dioxide_log_kh(298.15), -1.468, 0.0, 0.005);
    assert_close(calcium_carbonate_pair_log_k(298.15), 3.224, 0.0, 0.005);
    assert_close(calcium_bicarbonate_pair_log_k(298.15), 1.106, 0.0, 0.005);
}

static void hydroxide_rate_agrees(void **state)
{
    (void)state;
    /* Pinsent, Pearson & Roughton, Trans. Faraday Soc. 52, 1512 (1956): 8.4e3 L/mol/s at 25 degC, 1.1e3 at 0 */
    assert_close(carbon_dioxide_hydroxide_rate(298.15), 8.4, 0.03, 0.0);
    assert_close(carbon_dioxide_hydroxide_rate(273.15), 1.1, 0.03, 0.0);
    assert_close(carbon_dioxide_diffusivity(298.15), 1.92e-9, 0.01, 0.0); /* phreeqc.dat */
}

static double flux_per_day(double t_C, double hydroxide, double gas_film, double kl)
{
    return SECONDS_PER_DAY * carbon_dioxide_flux(t_C + 273.15, hydroxide, 0.0, 425e-6, 1.0, gas_film, kl);
}

static void limewater_takes_up_what_was_worked_out(void **state)
{
    (void)state;
    /* fast-reaction film, worked out apart: mol/m2/day without and with a gas film of 2.5 mm/s */
    assert_close(flux_per_day(20.0, 40.0, INFINITY, 5e-6), 0.89, 0.05, 0.0);
    assert_close(flux_per_day(20.0, 40.0, 2.5e-3, 5e-6), 0.72, 0.05, 0.0);
    assert_close(flux_per_day(25.0, 36.0, INFINITY, 5e-6), 0.95, 0.05, 0.0);
    assert_close(flux_per_day(25.0, 36.0, 2.5e-3, 5e-6), 0.76, 0.05, 0.0);
    assert_close(flux_per_day(40.0, 30.0, INFINITY, 5e-6), 1.25, 0.05, 0.0);
    assert_close(flux_per_day(40.0, 30.0, 2.5e-3, 5e-6), 0.93, 0.05, 0.0);
    assert_close(flux_per_day(25.0, 1.0, INFINITY, 5e-6), 0.16, 0.05, 0.0);
    assert_close(flux_per_day(25.0, 1.0, 2.5e-3, 5e-6), 0.15, 0.05, 0.0);
}

static void stirring_hardly_matters_in_limewater(void **state)
{
    (void)state;
    /* pH 12.5 at 25 degC: about 0.04 mol/L of hydroxide */
    double still = flux_per_day(25.0, 40.0, INFINITY, 5e-6);
    assert_close(flux_per_day(25.0, 40.0, INFINITY, 1e-5), still, 0.01, 0.0);
    /* without hydroxide it is in proportion */
    assert_close(flux_per_day(25.0, 0.0, INFINITY, 1e-5), 2.0 * flux_per_day(25.0, 0.0, INFINITY, 5e-6), 1e-12, 0.0);
}

static void flux_has_its_limits(void **state)
{
    (void)state;
    double T = 298.15;
    /* balance with the air: no flux. mol/kg/atm times 997.05 kg/m3 */
    double balance = pow(10.0, carbon_dioxide_log_kh(T)) * 997.05 * 425e-6;
    double fast = carbon_dioxide_flux(T, 40.0, 0.0, 425e-6, 1.0, 2.5e-3, 5e-6);
    assert_close(carbon_dioxide_flux(T, 40.0, balance, 425e-6, 1.0, 2.5e-3, 5e-6), 0.0, 0.0, 1e-4 * fast);
    /* above it: the liquor gives off, by as much as it would take up from an equal deficit */
    assert_close(carbon_dioxide_flux(T, 40.0, 2.0 * balance, 425e-6, 1.0, 2.5e-3, 5e-6), -fast, 1e-3, 0.0);
    /* nonsense is not hidden */
    assert_true(isnan(carbon_dioxide_flux(T, NAN, 0.0, 425e-6, 1.0, 2.5e-3, 5e-6)));
    /* no exchange through a shut gas side; no water-side means, no flux */
    assert_close(carbon_dioxide_flux(T, 40.0, 0.0, 425e-6, 1.0, 0.0, 5e-6), 0.0, 0.0, 0.0);
    assert_close(carbon_dioxide_flux(T, 0.0, 0.0, 425e-6, 1.0, 2.5e-3, 0.0), 0.0, 0.0, 0.0);
    /* the gas film alone: k_g times the concentration in air, 425e-6 x 101325 / (R T) mol/m3 */
    double in_air = 425e-6 * 101325.0 / (8.314462618 * T);
    assert_close(carbon_dioxide_flux(T, 1e12, 0.0, 425e-6, 1.0, 2.5e-3, 5e-6), 2.5e-3 * in_air, 1e-3, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(constants_follow_the_published_equations),
        cmocka_unit_test(hydroxide_rate_agrees),
        cmocka_unit_test(limewater_takes_up_what_was_worked_out),
        cmocka_unit_test(stirring_hardly_matters_in_limewater),
        cmocka_unit_test(flux_has_its_limits),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
