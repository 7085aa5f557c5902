/* test_redox.c: what electrodes and strips show. */
#include "chem/redox.h"

#include "support/close.h"
#include "support/csv.h"

static void slope_is_nernsts(void **state)
{
    (void)state;
    /* V per pH; the values of every electrochemistry text */
    assert_close(1e3 * nernst_slope(298.15), 59.16, 0.0, 0.02);
    assert_close(1e3 * nernst_slope(323.15), 64.12, 0.0, 0.02);
    assert_close(1e3 * nernst_slope(273.15), 54.20, 0.0, 0.02);
}

static void reference_follows_its_table(void **state)
{
    (void)state;
    /* meter manual: Ag/AgCl in 3 mol/L KCl against the standard hydrogen electrode */
    struct csv csv = csv_read("orp_reference.csv");
    for (int i = 0; i < csv.rows; i++) {
        double T = csv_value(&csv, i, "temperature_degC") + 273.15;
        assert_close(1e3 * reference_silver_chloride_3m(T), csv_value(&csv, i, "mV_vs_SHE"), 0.0, 1.5);
    }
}

static void meter_without_compensation_reads_high_when_warm(void **state)
{
    (void)state;
    /* true 12.0 at 45 degC, meter set at 25: 12.34 */
    assert_close(meter_reading(12.0, 318.15, 298.15), 12.34, 0.0, 0.005);
    assert_close(meter_reading(7.0, 318.15, 298.15), 7.0, 0.0, 0.0);
    assert_close(meter_reading(12.0, 298.15, 298.15), 12.0, 1e-15, 0.0);
}

static void strip_shows_a_field(void **state)
{
    (void)state;
    assert_close(strip_reading(10.4, 1.0), 10.0, 0.0, 0.0);
    assert_close(strip_reading(10.6, 1.0), 11.0, 0.0, 0.0);
    assert_close(strip_reading(10.3, 0.5), 10.5, 0.0, 0.0);
    assert_close(strip_reading(12.2, 0.5), 12.0, 0.0, 0.0);
    assert_close(strip_reading(12.45, 0.5), 12.5, 0.0, 0.0);
    assert_close(strip_reading(12.51, 0.5), 14.0, 0.0, 0.0); /* top of the scale, common practice */
    assert_close(strip_reading(12.9, 1.0), 14.0, 0.0, 0.0);
    assert_close(strip_reading(0.2, 1.0), 1.0, 0.0, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(slope_is_nernsts),
        cmocka_unit_test(reference_follows_its_table),
        cmocka_unit_test(meter_without_compensation_reads_high_when_warm),
        cmocka_unit_test(strip_shows_a_field),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
