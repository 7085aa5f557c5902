/* test_temperature.c: the table of what only temperature decides, against the formulas it is made from. */
#include "bench.h"

#include "support/close.h"

#include <stdint.h>
#include <stdlib.h>

static double uniform(uint64_t *seed)
{
    *seed = *seed * 6364136223846793005ULL + 1442695040888963407ULL;
    return (double)(*seed >> 11) / 9007199254740992.0;
}

static void table_gives_the_formulas(void **state)
{
    (void)state;
    uint64_t seed = 20260609;
    print_message("seed %llu\n", (unsigned long long)seed);
    struct bench *bench = bench_open(0.04, 0.1, 300.0);
    struct settings *settings = &bench->vat.settings;
    struct temperature_table *table = calloc(1, sizeof *table);
    assert_non_null(table);
    const size_t count = sizeof table->value[0].values / sizeof table->value[0].values[0];
    double worst = 0.0;
    for (int round = 0; round < 3000; round++) {
        settings->lifeless = round % 2 == 0;
        settings->pressure_atm = round < 2000 ? 1.0 : 0.9;
        double temperature_K = 273.15 + 65.0 * uniform(&seed);
        temperature_K -= round % 10 == 0 ? 10.0 : 0.0; /* colder than the table, or than water */
        if (temperature_K < 273.15 && temperature_K > TEMPERATURE_TABLE_FIRST_K) {
            continue; /* under ice the formulas bend more */
        }
        union temperature_node read, formula;
        temperature_table_read(table, &read.factors, settings, temperature_K);
        temperature_factors_at(&formula.factors, settings, temperature_K);
        for (size_t i = 0; i < count; i++) {
            double error = fabs(read.values[i] - formula.values[i]) / fmax(fabs(formula.values[i]), 1e-300);
            worst = fmax(worst, read.values[i] < formula.values[i] || read.values[i] > formula.values[i] ? error : 0.0);
            if (worst > 2e-7) {
                fail_msg("factor %zu at %.4f K: %.12g from the table, %.12g", i, temperature_K, read.values[i],
                         formula.values[i]);
            }
        }
    }
    print_message("%zu factors, worst relative error %.2g\n", count, worst);
    assert_true(worst > 0.0); /* the table was used */
    free(table);
    bench_close(bench);
}

/* Against central differences of what is read, inside the table and where it does not reach. */
static void slopes_are_those_of_what_is_read(void **state)
{
    (void)state;
    uint64_t seed = 20260614;
    print_message("seed %llu\n", (unsigned long long)seed);
    struct bench *bench = bench_open(0.04, 0.1, 300.0);
    struct settings *settings = &bench->vat.settings;
    struct temperature_table *table = calloc(1, sizeof *table);
    assert_non_null(table);
    const size_t count = sizeof table->value[0].values / sizeof table->value[0].values[0];
    const double by = 1e-4;
    double worst = 0.0;
    for (int round = 0; round < 2000; round++) {
        settings->lifeless = round % 2 == 0;
        double temperature_K = round % 20 == 0 ? 262.0 + 9.0 * uniform(&seed) : 273.15 + 65.0 * uniform(&seed);
        union temperature_node at, above, below, slopes;
        temperature_table_read(table, &at.factors, settings, temperature_K);
        temperature_table_read(table, &above.factors, settings, temperature_K + by);
        temperature_table_read(table, &below.factors, settings, temperature_K - by);
        temperature_table_slopes(table, &at.factors, settings, &slopes.factors);
        for (size_t i = 0; i < count; i++) {
            double difference = (above.values[i] - below.values[i]) / (2.0 * by);
            bool is_place = &at.values[i] == &at.factors.pressure_atm; /* which is not the temperature's to decide */
            double allowed = 2e-5 * fabs(difference) + 1e-11 / by * fabs(at.values[i]);
            worst = fmax(worst, is_place ? 0.0 : fabs(slopes.values[i] - difference) / fmax(allowed, 1e-300));
            if (worst > 1.0) {
                fail_msg("factor %zu at %.4f K: slope %.9g, by differences %.9g", i, temperature_K, slopes.values[i],
                         difference);
            }
        }
    }
    print_message("the worst at %.2g of what is allowed\n", worst);
    free(table);
    bench_close(bench);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(table_gives_the_formulas),
                                       cmocka_unit_test(slopes_are_those_of_what_is_read)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
