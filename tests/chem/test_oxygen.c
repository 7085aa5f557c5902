/* test_oxygen.c: oxygen in water and its passage through the surface. */
#include "chem/oxygen.h"

#include "support/close.h"
#include "support/csv.h"

static double saturation_mg_per_L(double t_C, double pressure_atm)
{
    return 1e3 * OXYGEN_MOLAR_MASS * oxygen_saturation(t_C + 273.15, pressure_atm);
}

static void saturation_follows_the_standard(void **state)
{
    (void)state;
    /* EN 25814; Benson & Krause, Limnol. Oceanogr. 29, 620 (1984) */
    struct csv csv = csv_read("oxygen_saturation.csv");
    for (int i = 0; i < csv.rows; i++) {
        double want = csv_value(&csv, i, "mg_per_L");
        assert_close(saturation_mg_per_L(csv_value(&csv, i, "temperature_degC"), 1.0), want, 0.0, 0.06);
    }
    /* the same equation above the table */
    assert_close(saturation_mg_per_L(35.0, 1.0), 6.95, 0.0, 0.06);
    assert_close(saturation_mg_per_L(40.0, 1.0), 6.41, 0.0, 0.06);
    assert_close(saturation_mg_per_L(50.0, 1.0), 5.49, 0.0, 0.06);
}

static void saturation_falls_with_altitude(void **state)
{
    (void)state;
    /* standard atmosphere and APHA pressure term at 20 degC, worked out apart: m, atm, mg/L */
    const double table[][3] = {{0, 1.0, 9.09},      {500, 0.942, 8.55},  {1000, 0.887, 8.04},
                               {1500, 0.835, 7.55}, {2000, 0.785, 7.09}, {3000, 0.692, 6.23}};
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        double pressure = air_pressure_atm(table[i][0]);
        assert_close(pressure, table[i][1], 0.0, 0.001);
        assert_close(saturation_mg_per_L(20.0, pressure), table[i][2], 0.0, 0.02);
    }
}

static void diffusivity_and_schmidt_agree(void **state)
{
    (void)state;
    assert_close(oxygen_diffusivity(293.75), 1.8e-9, 0.03, 0.0);      /* Han & Bartels 1996, 20.6 degC */
    assert_close(oxygen_schmidt_wanninkhof(293.15), 530.0, 0.0, 1.0); /* Wanninkhof 1992 */
    /* viscosity over density and diffusivity, worked out apart */
    const double table[][2] = {{20, 570}, {30, 356}, {40, 235}, {50, 163}, {60, 118}};
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        assert_close(oxygen_schmidt(table[i][0] + 273.15), table[i][1], 0.01, 0.0);
    }
    /* the two forms agree to 20 %, twice the spread of diffusivities, where both hold */
    for (double t = 0.0; t <= 30.0; t += 5.0) {
        assert_close(oxygen_schmidt(t + 273.15), oxygen_schmidt_wanninkhof(t + 273.15), 0.20, 0.0);
    }
}

static void transfer_agrees(void **state)
{
    (void)state;
    const double cm_per_h = 0.01 / 3600.0;
    /* Cole & Caraco, Limnol. Oceanogr. 43, 647 (1998): 2.07 + 0.215 U^1.7 */
    assert_close(gas_transfer_cole_caraco(0.0) / cm_per_h, 2.07, 0.0, 0.01);
    assert_close(gas_transfer_cole_caraco(3.0) / cm_per_h, 3.46, 0.0, 0.01);
    assert_close(gas_transfer_cole_caraco(-1.0) / cm_per_h, 2.07, 0.0, 0.01);
    /* Downing & Truesdale, J. Appl. Chem. 5, 570 (1955): +24 % from 20 to 30 degC */
    assert_close(transfer_at_temperature(1.0, 303.15) / transfer_at_temperature(1.0, 293.15), 1.24, 0.0, 0.05);
    assert_close(transfer_at_temperature(3e-6, 293.15), 3e-6, 1e-12, 0.0);
    /* 2 cm/h into a liquor that holds none, 25 degC: 3.97 g/m2/day */
    double grams = 2.0 * cm_per_h * oxygen_saturation(298.15, 1.0) * 86400.0 * 1e3 * OXYGEN_MOLAR_MASS;
    assert_close(grams, 3.97, 0.01, 0.0);
}

static void reaeration_halves_the_deficit_in_time(void **state)
{
    (void)state;
    /* 0.3 m deep, 2 cm/h: half time ln 2 h / k = 10.4 h; stepped through with the midpoint rule */
    const double k = 0.02 / 3600.0;
    double full = oxygen_saturation(293.15, air_pressure_atm(640.0));
    double concentration = 0.0;
    double half = 0.0;
    const double step = 10.0;
    for (int i = 0; i < 200000; i++) {
        double middle = concentration + 0.5 * step * k / 0.3 * (full - concentration);
        concentration += step * k / 0.3 * (full - middle);
        if (half == 0.0 && concentration > 0.5 * full) {
            half = step * (i + 1);
        }
    }
    assert_close(half / 3600.0, 10.4, 0.01, 0.0);
    assert_close(concentration, full, 0.01, 0.0);
}

static void enhancement_has_its_limits(void **state)
{
    (void)state;
    /* film theory: leuco 1 and 5 mol/m3, D 5e-10, oxygen D 2e-9 and 0.258 mol/m3, 2 leuco per oxygen */
    double most = enhancement_instantaneous(0.25, 5.0, 2.0, 0.258);
    assert_close(enhancement_instantaneous(0.25, 1.0, 2.0, 0.258), 1.5, 0.02, 0.0);
    assert_close(most, 3.4, 0.02, 0.0);
    assert_close(enhancement_instantaneous(0.25, 0.0, 2.0, 0.258), 1.0, 0.0, 0.0);
    assert_close(enhancement_factor(0.0, most), 1.0, 0.0, 0.0);
    assert_close(enhancement_factor(1e-3, most), 1.0, 0.0, 1e-3);
    assert_close(enhancement_factor(1e6, most), most, 1e-3, 0.0);
    assert_close(enhancement_factor(INFINITY, most), most, 0.0, 0.0);
    assert_close(enhancement_factor(1e200, most), most, 0.0, 0.0);
    assert_close(enhancement_factor(3.0, INFINITY), sqrt(10.0), 1e-15, 0.0);
    assert_close(enhancement_factor(3.0, 1e14), sqrt(10.0), 1e-9, 0.0);
    assert_close(enhancement_factor(5.0, 1.0), 1.0, 0.0, 0.0);
    assert_close(enhancement_factor(0.0, 1.0), 1.0, 0.0, 0.0);
    assert_close(enhancement_factor(0.0, 0.5), 1.0, 0.0, 0.0);
    /* the form as printed, where it is well conditioned */
    double x = 4.0 / (2.0 * (most - 1.0));
    assert_close(enhancement_factor(2.0, most), -x + sqrt(x * x + 2.0 * x * most + 1.0), 1e-13, 0.0);
    /* never falls as the reaction quickens, never above either bound */
    double before = 1.0;
    for (double hatta = 0.01; hatta < 1e5; hatta *= 1.3) {
        double now = enhancement_factor(hatta, most);
        assert_true(now >= before && now <= most * (1.0 + 1e-14) && now <= sqrt(1.0 + hatta * hatta) * (1.0 + 1e-14));
        before = now;
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(saturation_follows_the_standard),       cmocka_unit_test(saturation_falls_with_altitude),
        cmocka_unit_test(diffusivity_and_schmidt_agree),         cmocka_unit_test(transfer_agrees),
        cmocka_unit_test(reaeration_halves_the_deficit_in_time), cmocka_unit_test(enhancement_has_its_limits),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
