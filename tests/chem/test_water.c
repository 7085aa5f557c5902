/* test_water.c: water properties against published values. */
#include "chem/water.h"

#include "support/close.h"
#include "support/csv.h"

static void ion_product_follows_the_published_table(void **state)
{
    (void)state;
    /* Harned & Robinson, Trans. Faraday Soc. 36, 973 (1940) */
    struct csv csv = csv_read("water_ion_product.csv");
    for (int i = 0; i < csv.rows; i++) {
        assert_close(water_ion_pk(csv_value(&csv, i, "temperature_degC") + 273.15), csv_value(&csv, i, "pkw"), 0.0,
                     0.001);
    }
    assert_close(water_ion_pk(273.15), 14.94, 0.0, 0.01);
    assert_close(water_ion_pk(298.15), 13.995, 0.0, 0.01);
    assert_close(water_ion_pk(323.15), 13.26, 0.0, 0.01);
}

static void density_agrees_with_tables(void **state)
{
    (void)state;
    /* Kell, J. Chem. Eng. Data 20, 97 (1975); values from memory */
    assert_close(water_density(298.15), 997.05, 1e-4, 0.0);
    assert_close(water_density(293.15), 998.20, 1e-4, 0.0);
    assert_close(water_density(313.15), 992.2, 1e-4, 0.0);
    assert_close(water_density(333.15), 983.2, 1e-4, 0.0);
    /* densest at 4 degC (common knowledge) */
    assert_true(water_density(277.13) > water_density(274.15));
    assert_true(water_density(277.13) > water_density(280.15));
}

static void vapour_and_latent_heat_agree_with_tables(void **state)
{
    (void)state;
    assert_close(water_vapour_pressure(313.15), 7384.0, 2e-3, 0.0); /* steam tables, from memory */
    assert_close(water_vapour_pressure(293.15), 2338.0, 1e-3, 0.0);
    assert_close(water_vapour_pressure(333.15), 19945.0, 1e-3, 0.0);
    assert_close(water_latent_heat(298.15), 2442e3, 0.0, 3e3);
    assert_close(water_latent_heat(313.15), 2406e3, 0.0, 3e3); /* IAPWS */
    assert_close(water_latent_heat(323.15), 2382e3, 0.0, 3.5e3);
}

static void viscosity_and_permittivity_agree_with_tables(void **state)
{
    (void)state;
    assert_close(water_viscosity(293.15), 1.002e-3, 5e-3, 0.0);
    assert_close(water_viscosity(323.15), 0.544e-3, 1e-2, 0.0);
    /* Malmberg & Maryott's own smoothed value at 25 degC, from memory */
    assert_close(water_permittivity(298.15), 78.30, 0.0, 0.01);
    assert_close(water_permittivity(273.15), 87.740, 0.0, 1e-9);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ion_product_follows_the_published_table),
        cmocka_unit_test(density_agrees_with_tables),
        cmocka_unit_test(vapour_and_latent_heat_agree_with_tables),
        cmocka_unit_test(viscosity_and_permittivity_agree_with_tables),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
