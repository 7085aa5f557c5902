/* test_quantity.c: quantities as a dyer writes them.
 *
 * Sources: US customary units from NIST Handbook 44, appendix C, 2024 (gallon 231 in3, inch 25.4 mm, avoirdupois pound
 * 0.45359237 kg, figures from memory); imperial gallon 4.54609 L, Weights and Measures Act 1985 (from memory).
 */
#include "scenario/quantity.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

static int open_units(void **state)
{
    struct quantities *quantities;
    struct status status = quantities_open(&quantities);
    *state = quantities;
    return status.code == STATUS_OK ? 0 : -1;
}

static int close_units(void **state)
{
    quantities_close(*state);
    return 0;
}

static void check_value(void **state, const char *text, const char *unit, double expected)
{
    double value = NAN;
    char written[64];
    enum quantity_result result = quantity_read(*state, text, unit, &value, written, sizeof written);
    /* 1e-6: UDUNITS keeps the US gallon to seven digits */
    if (result != QUANTITY_OK || !(fabs(value - expected) <= 1e-6 * fabs(expected))) {
        fail_msg("\"%s\" in %s: result %d, %.9g for %.9g", text, unit, (int)result, value, expected);
    }
}

static void check_fault(void **state, const char *text, const char *unit, enum quantity_result expected)
{
    double value = NAN;
    char written[64];
    enum quantity_result result = quantity_read(*state, text, unit, &value, written, sizeof written);
    if (result != expected) {
        fail_msg("\"%s\" in %s: result %d for %d (value %g)", text, unit, (int)result, (int)expected, value);
    }
}

static void masses(void **state)
{
    check_value(state, "40 g", "kg", 0.040);
    check_value(state, "40g", "kg", 0.040);
    check_value(state, "  40 g  ", "kg", 0.040);
    check_value(state, "1.5 kg", "kg", 1.5);
    check_value(state, "3 oz", "kg", 3 * 0.028349523125); /* weight, not a fluid ounce */
    check_value(state, "2 lb", "kg", 2 * 0.45359237);
    check_value(state, "2 lbs", "kg", 2 * 0.45359237);
    check_value(state, "5 grams", "kg", 0.005);
    check_value(state, "250 mg", "kg", 2.5e-4);
}

static void volumes(void **state)
{
    const double gallon = 231 * 0.0254 * 0.0254 * 0.0254;
    check_value(state, "5 gal", "m3", 5 * gallon); /* not a unit of acceleration */
    check_value(state, "5 US gal", "m3", 5 * gallon);
    check_value(state, "5 gallons", "m3", 5 * gallon);
    check_value(state, "1 US_liquid_gallon", "m3", gallon);
    check_value(state, "1 quart", "m3", gallon / 4);
    check_value(state, "1 pint", "m3", gallon / 8);
    check_value(state, "1 cup", "m3", gallon / 16);
    check_value(state, "2 cups", "m3", gallon / 8);
    check_value(state, "1 fl oz", "m3", gallon / 128);
    check_value(state, "2 tbsp", "m3", gallon / 128);
    check_value(state, "1 tsp", "m3", gallon / 768);
    check_value(state, "1 imperial gal", "m3", 4.54609e-3);
    check_value(state, "2 imperial gallons", "m3", 2 * 4.54609e-3);
    check_value(state, "52 L", "m3", 0.052);
    check_value(state, "250 mL", "m3", 2.5e-4);
    check_value(state, "250 ml", "m3", 2.5e-4);
    check_value(state, "30 cc", "m3", 3e-5);
}

static void temperatures(void **state)
{
    check_value(state, "45 degC", "K", 318.15);
    check_value(state, "45 C", "K", 318.15); /* not coulomb */
    check_value(state, "45 \xc2\xb0\x43", "K", 318.15);
    check_value(state, "45 deg C", "K", 318.15);
    check_value(state, "113 \xc2\xb0\x46", "K", 318.15);
    check_value(state, "120 degF", "K", 322.0388889);
    check_value(state, "120 F", "K", 322.0388889); /* not farad */
    check_value(state, "-5 degC", "K", 268.15);
    check_value(state, "300 K", "K", 300);
}

static void fractions_and_numbers(void **state)
{
    const double cup = 231.0 / 16 * 0.0254 * 0.0254 * 0.0254;
    check_value(state, "1/2 cup", "m3", cup / 2);
    check_value(state, "1 1/2 cup", "m3", 1.5 * cup);
    check_value(state, "2 3/4 cups", "m3", 2.75 * cup);
    check_value(state, "1/3 cup", "m3", cup / 3);
    check_value(state, ".5 cup", "m3", cup / 2);
    check_value(state, "+3 g", "kg", 0.003);
    check_value(state, "4.1e-9 m/s", "m s-1", 4.1e-9);
    check_value(state, "1e3 g", "kg", 1);
}

static void others(void **state)
{
    check_value(state, "30 min", "s", 1800);
    check_value(state, "2 h", "s", 7200);
    check_value(state, "2 hrs", "s", 7200);
    check_value(state, "6 weeks", "s", 6 * 7 * 86400.0);
    check_value(state, "3 days", "s", 3 * 86400.0);
    check_value(state, "12 in", "m", 0.3048);
    check_value(state, "2 ft", "m", 0.6096);
    check_value(state, "340 g/m2", "kg m-2", 0.340);
    check_value(state, "180 mg/L", "kg m-3", 0.180);
    check_value(state, "3.6 mmol/L", "mol m-3", 3.6);
    check_value(state, "3.6 meq/L", "mol m-3", 3.6);
    check_value(state, "1.5 kW", "W", 1500);
    check_value(state, "64 kJ/mol", "J mol-1", 64000);
    check_value(state, "55 %", "1", 0.55);
    check_value(state, "55", "1", 55);
    check_value(state, "420 ppm", "1", 420e-6);
    check_value(state, "4 g/kg", "1", 0.004);
    check_value(state, "3e-4 /s", "s-1", 3e-4);
    check_value(state, "-520 mV", "V", -0.520);
    check_value(state, "1 cm/h", "m s-1", 0.01 / 3600);
}

static void faults(void **state)
{
    check_fault(state, "", "kg", QUANTITY_NO_NUMBER);
    check_fault(state, "forty g", "kg", QUANTITY_NO_NUMBER);
    check_fault(state, "nan g", "kg", QUANTITY_NO_NUMBER);
    check_fault(state, "inf g", "kg", QUANTITY_NO_NUMBER);
    check_fault(state, "0x1F g", "kg", QUANTITY_NO_NUMBER);
    check_fault(state, "1,5 g", "kg", QUANTITY_NO_NUMBER);
    check_fault(state, "1/0 cup", "m3", QUANTITY_UNKNOWN_UNIT);
    check_fault(state, "40", "kg", QUANTITY_NO_UNIT);
    check_fault(state, "40 handfuls", "kg", QUANTITY_UNKNOWN_UNIT);
    check_fault(state, "40 g 2", "kg", QUANTITY_UNKNOWN_UNIT); /* UDUNITS would make it 80 g */
    check_fault(state, "40 g -2", "kg", QUANTITY_UNKNOWN_UNIT);
    check_fault(state, "40 g/2", "kg", QUANTITY_UNKNOWN_UNIT);
    check_fault(state, "40 g; 2", "kg", QUANTITY_UNKNOWN_UNIT);
    check_fault(state, "40 g @ 3", "kg", QUANTITY_UNKNOWN_UNIT);
    check_fault(state, "10 days since 2026-05-04", "s", QUANTITY_UNKNOWN_UNIT);
    check_fault(state, "3 lg(re 1 mW)", "W", QUANTITY_UNKNOWN_UNIT);
    check_fault(state, "40 L", "kg", QUANTITY_OTHER_KIND);
    check_fault(state, "40 degC", "kg", QUANTITY_OTHER_KIND);
    check_fault(state, "10 m", "s", QUANTITY_OTHER_KIND); /* metres, not minutes */
    check_fault(state, "1 T", "m3", QUANTITY_OTHER_KIND); /* tesla, not a spoon */
    check_fault(state, "1e999 g", "kg", QUANTITY_NOT_FINITE);
}

static void kinds_of_unit(void **state)
{
    (void)state;
    assert_true(unit_is_kitchen_measure("tbsp"));
    assert_true(unit_is_kitchen_measure("cups"));
    assert_true(unit_is_kitchen_measure("fl oz"));
    assert_true(unit_is_kitchen_measure("imperial gal"));
    assert_false(unit_is_kitchen_measure("mL"));
    assert_false(unit_is_kitchen_measure("oz"));
    assert_false(unit_is_kitchen_measure("tbsp/h"));
    assert_true(unit_is_temperature_scale("C"));
    assert_true(unit_is_temperature_scale("degF"));
    assert_false(unit_is_temperature_scale("K"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(masses),        cmocka_unit_test(volumes), cmocka_unit_test(temperatures),
        cmocka_unit_test(others),        cmocka_unit_test(faults),  cmocka_unit_test(fractions_and_numbers),
        cmocka_unit_test(kinds_of_unit),
    };
    return cmocka_run_group_tests(tests, open_units, close_units);
}
