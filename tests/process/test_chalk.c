/* test_chalk.c: chalk dissolves into a liquor that has no carbonate at all, up to its equilibrium. */
#include "bench.h"

#include "support/close.h"

/* Calcite in pure water closed to the air at 25 degC: pH 9.9 and 0.12 mmol/L of calcium, as in textbooks of water chemistry
 * (closed system without carbon dioxide; figures from memory, to half a unit of the last digit and 5 %). */
static void chalk_dissolves_into_pure_water(void **state)
{
    (void)state;
    struct bench *bench = bench_open(1e-3, 0.01, 298.15);
    bench_put(bench, S_CHALK_SUSPENDED, 10.0);
    bench_switch_on(bench, "chalk_precipitation");
    bench_run(bench, 10.0 * 86400.0, 1e-8);
    const struct speciation *ions = &bench_liquor(bench)->ions;
    double calcium = bench->vat.amount[S_CALCIUM] / bench->vat.liquor.volume;
    double saturation = ions->calcium_free * ions->carbonate / ions->calcite_product;
    print_message("pH %.2f, calcium %.4f mol/m3, saturation %.6f\n", ions->ph, calcium, saturation);
    assert_close(saturation, 1.0, 1e-3, 0.0);
    assert_between(ions->ph, 9.85, 9.95);
    assert_close(calcium, 0.12, 0.05, 0.0);
    bench_close(bench);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(chalk_dissolves_into_pure_water),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
