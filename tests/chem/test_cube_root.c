/* test_cube_root.c: against the cube root in extended precision. */
#include "chem/cube_root.h"

#include "support/close.h"

#include <float.h>

static void agrees_with_extended_precision(void **state)
{
    (void)state;
    double worst = 0.0;
    for (double x = 1e-305; x < 1e305; x *= 1.0007) {
        double want = (double)cbrtl((long double)x);
        worst = fmax(worst, fabs(cube_root(x) - want) / want);
        assert_close(cube_root(-x), -cube_root(x), 0.0, 0.0);
    }
    print_message("worst %.2g\n", worst);
    assert_true(worst < 7e-16);
}

static void ends_are_those_of_the_library(void **state)
{
    (void)state;
    assert_close(cube_root(0.0), 0.0, 0.0, 0.0);
    assert_close(cube_root(27.0), 3.0, 0.0, 0.0);
    assert_close(cube_root(DBL_MIN / 8.0), cbrt(DBL_MIN / 8.0), 0.0, 0.0);
    assert_true(isnan(cube_root((double)NAN)));
    assert_true(isinf(cube_root((double)INFINITY)));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(agrees_with_extended_precision),
        cmocka_unit_test(ends_are_those_of_the_library),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
