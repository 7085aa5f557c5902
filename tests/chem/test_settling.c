/* test_settling.c: sinking speeds. */
#include "chem/carbonate.h"
#include "chem/lime.h"
#include "chem/settling.h"

#include "support/close.h"

static double mm_per_h(double micrometre, double density, double t_C)
{
    return 3.6e6 * stokes_velocity(micrometre * 1e-6, density, t_C + 273.15);
}

static void lime_sinks_as_worked_out(void **state)
{
    (void)state;
    /* Stokes's law for 2240 kg/m3, worked out apart: um, mm/h at 20 degC, at 50 degC */
    const double table[][3] = {{1, 2.4, 4.5},  {2, 9.7, 18},    {5, 61, 113},
                               {10, 243, 451}, {20, 973, 1806}, {50, 6080, 11285}};
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        assert_close(mm_per_h(table[i][0], LIME_DENSITY, 20.0), table[i][1], 0.03, 0.0);
        assert_close(mm_per_h(table[i][0], LIME_DENSITY, 50.0), table[i][2], 0.03, 0.0);
    }
    assert_close(mm_per_h(5, CALCITE_DENSITY, 20.0) / mm_per_h(5, LIME_DENSITY, 20.0), 1.38, 0.01, 0.0);
    assert_true(stokes_velocity(1e-5, 900.0, 293.15) < 0.0);
}

static void crowding_slows(void **state)
{
    (void)state;
    /* Richardson & Zaki, Trans. Inst. Chem. Eng. 32, 35 (1954) */
    assert_close(hindered_factor(0.0), 1.0, 0.0, 0.0);
    assert_close(hindered_factor(0.1), exp(4.65 * log(0.9)), 1e-14, 0.0);
    assert_close(hindered_factor(1.0), 0.0, 0.0, 0.0);
    assert_close(hindered_factor(1.5), 0.0, 0.0, 0.0);
    assert_close(hindered_factor(-0.1), 1.0, 0.0, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lime_sinks_as_worked_out),
        cmocka_unit_test(crowding_slows),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
