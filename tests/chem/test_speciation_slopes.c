/* test_speciation_slopes.c: how the equilibria move with their totals and with the temperature, against central differences of the solution itself. */
#include "drawn.h"

#include "chem/speciation.h"
#include "support/close.h"

#include <stdbool.h>
#include <stdint.h>
#include <string.h>

#define ROUNDS 300
#define RELATIVE_STEP 1e-5
#define STEP_K 0.02

static struct liquor_totals totals_of(const double *values)
{
    return (struct liquor_totals){.calcium = values[TOTAL_CALCIUM],
                                  .alkali = values[TOTAL_ALKALI],
                                  .strong_anion = values[TOTAL_STRONG_ANION],
                                  .acid = values[TOTAL_ACID],
                                  .carbon = values[TOTAL_CARBON],
                                  .leuco = values[TOTAL_LEUCO],
                                  .fructose = values[TOTAL_FRUCTOSE],
                                  .glucose = values[TOTAL_GLUCOSE]};
}

#define MEMBERS TOLD_COUNT
static void members_of(const struct speciation *s, double values[MEMBERS])
{
    memcpy(values, s, MEMBERS * sizeof *values);
}

/* The constants and their central differences, per K, of which the fourth-order form errs by less than what is compared. */
static void constants_at(double temperature_K, struct speciation_constants *at, struct speciation_constants *by_K)
{
    struct speciation_constants near[4];
    const double steps[4] = {-2.0 * STEP_K, -STEP_K, STEP_K, 2.0 * STEP_K};
    speciation_constants_at(&usual, temperature_K, at);
    double values[4][sizeof *at / sizeof(double)], slopes[sizeof *at / sizeof(double)] = {0.0};
    for (int i = 0; i < 4; i++) {
        speciation_constants_at(&usual, temperature_K + steps[i], &near[i]);
        memcpy(values[i], &near[i], sizeof values[i]);
    }
    for (size_t i = 0; i < sizeof *at / sizeof(double); i++) {
        slopes[i] = (8.0 * (values[2][i] - values[1][i]) - (values[3][i] - values[0][i])) / (12.0 * STEP_K);
    }
    memcpy(by_K, slopes, sizeof slopes);
}

static void slopes_by_temperature_are_those_of_the_solution(void **state)
{
    (void)state;
    uint64_t seed = 20260612;
    print_message("seed %llu\n", (unsigned long long)seed);
    double worst = 0.0;
    int compared = 0;
    for (int round = 0; round < ROUNDS; round++) {
        struct speciation_constants constants, by_K, warm, cold;
        struct speciation at, above, below;
        struct speciation_slopes slopes;
        double values[TOTAL_COUNT];
        const double temperature_K = 278.15 + 50.0 * uniform(&seed);
        const double by = 1e-3;
        constants_at(temperature_K, &constants, &by_K);
        speciation_constants_at(&usual, temperature_K + by, &warm);
        speciation_constants_at(&usual, temperature_K - by, &cold);
        draw_totals(&seed, values);
        struct liquor_totals totals = totals_of(values);
        if (speciate(&constants, &totals, &at) != 0 || speciate(&warm, &totals, &above) != 0 ||
            speciate(&cold, &totals, &below) != 0) {
            continue;
        }
        speciation_slopes(&constants, &by_K, &totals, &at, &slopes);
        double high[MEMBERS], low[MEMBERS], here[MEMBERS];
        members_of(&above, high);
        members_of(&below, low);
        members_of(&at, here);
        for (size_t m = 0; m < MEMBERS; m++) {
            double difference = (high[m] - low[m]) / (2.0 * by);
            double allowed = 1e-12 * fabs(here[m]) / by + 1e-6 * fabs(difference);
            worst = fmax(worst, fabs(slopes.by_temperature[m] - difference) / fmax(allowed, 1e-300));
            compared++;
            if (!(fabs(slopes.by_temperature[m] - difference) <= allowed)) {
                fail_msg("round %d, member %zu: slope %.9g, by differences %.9g", round, m, slopes.by_temperature[m],
                         difference);
            }
        }
    }
    print_message("%d slopes compared, the worst at %.2g of what is allowed\n", compared, worst);
    assert_true(compared > 3000);
}

static void slopes_are_those_of_the_solution(void **state)
{
    (void)state;
    uint64_t seed = 20260607;
    print_message("seed %llu\n", (unsigned long long)seed);
    double worst = 0.0;
    int compared = 0;
    for (int round = 0; round < ROUNDS; round++) {
        struct speciation_constants constants, by_K;
        struct speciation at, above, below;
        struct speciation_slopes slopes;
        double values[TOTAL_COUNT];
        constants_at(278.15 + 50.0 * uniform(&seed), &constants, &by_K);
        draw_totals(&seed, values);
        struct liquor_totals totals = totals_of(values);
        if (speciate(&constants, &totals, &at) != 0) {
            continue; /* more acid than can be balanced */
        }
        speciation_slopes(&constants, &by_K, &totals, &at, &slopes);
        for (int i = 0; i < TOTAL_COUNT; i++) {
            double by = RELATIVE_STEP * fmax(values[i], 1e-2);
            double kept = values[i];
            values[i] = kept + by;
            totals = totals_of(values);
            int failed = speciate(&constants, &totals, &above);
            const bool forward = kept < by; /* no total is negative: to second order from two steps above */
            values[i] = forward ? kept + 2.0 * by : kept - by;
            totals = totals_of(values);
            failed += speciate(&constants, &totals, &below);
            values[i] = kept;
            if (failed != 0) {
                continue;
            }
            double high[MEMBERS], low[MEMBERS], here[MEMBERS];
            members_of(&above, high);
            members_of(&below, low);
            members_of(&at, here);
            for (size_t m = 0; m < MEMBERS; m++) {
                double difference =
                    forward ? (4.0 * high[m] - 3.0 * here[m] - low[m]) / (2.0 * by) : (high[m] - low[m]) / (2.0 * by);
                /* round-off of the solution over the step, and the third derivative over a step where the pH turns over */
                double allowed = 1e-13 * fabs(here[m]) / by + 1e-6 * fabs(difference) + 1e-12;
                worst = fmax(worst, fabs(slopes.by_total[m][i] - difference) / allowed);
                compared++;
                if (!(fabs(slopes.by_total[m][i] - difference) <= allowed)) {
                    fail_msg("round %d, total %d, member %zu: slope %.9g, by differences %.9g", round, i, m,
                             slopes.by_total[m][i], difference);
                }
            }
        }
    }
    print_message("%d slopes compared, the worst at %.2g of what is allowed\n", compared, worst);
    assert_true(compared > 20000);
}

/* From nearby or from afar, the same solution. */
static void near_and_far_agree(void **state)
{
    (void)state;
    uint64_t seed = 20260608;
    print_message("seed %llu\n", (unsigned long long)seed);
    for (int round = 0; round < ROUNDS; round++) {
        struct speciation_constants constants;
        struct speciation far, start, near;
        double values[TOTAL_COUNT];
        speciation_constants_at(&usual, 278.15 + 50.0 * uniform(&seed), &constants);
        draw_totals(&seed, values);
        struct liquor_totals totals = totals_of(values);
        for (int i = 0; i < TOTAL_COUNT; i++) {
            values[i] *= 1.0 + 0.02 * (uniform(&seed) - 0.5);
        }
        struct liquor_totals beside = totals_of(values);
        if (speciate(&constants, &totals, &far) != 0 || speciate(&constants, &beside, &start) != 0 ||
            speciate_near(&constants, &totals, &start, &near) != 0) {
            continue;
        }
        double one[MEMBERS], other[MEMBERS];
        members_of(&far, one);
        members_of(&near, other);
        for (size_t m = 0; m < MEMBERS; m++) {
            assert_close(other[m], one[m], 1e-9, 1e-15);
        }
    }
}

/* Where alkali and acid all but cancel, hardly anything holds the pH, and round-off moves it most: still found, from both sides. */
static void an_unbuffered_liquor_is_found(void **state)
{
    (void)state;
    uint64_t seed = 20260613;
    print_message("seed %llu\n", (unsigned long long)seed);
    for (int round = 0; round < 20000; round++) {
        struct speciation_constants constants;
        struct speciation far, near;
        speciation_constants_at(&usual, 278.15 + 50.0 * uniform(&seed), &constants);
        struct liquor_totals totals = {
            .alkali = 40.0 * uniform(&seed), .fructose = 20.0 * uniform(&seed), .leuco = uniform(&seed)};
        totals.calcium = uniform(&seed) < 0.5 ? 0.0 : 1e-2 * uniform(&seed);
        totals.acid = totals.alkali * (1.0 - 1e-3 * uniform(&seed) * uniform(&seed)) + 2.0 * totals.calcium;
        assert_int_equal(speciate(&constants, &totals, &far), 0);
        assert_int_equal(speciate_near(&constants, &totals, &far, &near), 0);
        assert_close(near.ph, far.ph, 1e-8, 0.0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(slopes_are_those_of_the_solution),
        cmocka_unit_test(slopes_by_temperature_are_those_of_the_solution),
        cmocka_unit_test(near_and_far_agree),
        cmocka_unit_test(an_unbuffered_liquor_is_found),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
