/* test_activity.c: the Debye-Hückel slope and Davies's equation. */
#include "chem/activity.h"

#include "support/close.h"

static void slope_agrees_with_published_values(void **state)
{
    (void)state;
    /* A at 25 degC: 0.509 on the molar scale, 0.511 on the molal */
    assert_close(debye_huckel_a(298.15), 0.510, 0.0, 0.003);
    assert_close(debye_huckel_a(298.15), 0.509, 0.0, 0.003);
    assert_close(debye_huckel_a(298.15), 0.511, 0.0, 0.003);
    /* the theory evaluated with the same permittivity, worked out apart */
    const double table[][2] = {{0, 0.492},  {10, 0.499}, {20, 0.507}, {30, 0.515},
                               {40, 0.524}, {50, 0.534}, {60, 0.545}};
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        assert_close(debye_huckel_a(table[i][0] + 273.15), table[i][1], 0.0, 0.001);
    }
}

static void davies_has_its_limits(void **state)
{
    (void)state;
    assert_close(davies_log_gamma(0.51, 1.0, 0.0), 0.0, 0.0, 0.0);
    /* Debye-Hückel's limiting law at great dilution */
    assert_close(davies_log_gamma(0.51, 4.0, 1e-8), -0.51 * 4.0 * 1e-4, 2e-4, 0.0);
    /* by hand: sqrt(0.1)/(1+sqrt(0.1)) - 0.03 = 0.2102531 */
    assert_close(davies_log_gamma(0.5, 1.0, 0.1), -0.5 * 0.2102531, 1e-6, 0.0);
    /* a divalent ion is four times as far from ideal */
    assert_close(davies_log_gamma(0.5, 4.0, 0.1), 4.0 * davies_log_gamma(0.5, 1.0, 0.1), 1e-15, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(slope_agrees_with_published_values),
        cmocka_unit_test(davies_has_its_limits),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
