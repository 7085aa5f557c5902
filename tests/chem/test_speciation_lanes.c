/* test_speciation_lanes.c: the equilibria of several liquors at once are those of each by itself, to the last bit, on every kind of
 * processor that this one can stand for. */
#include "chem/speciation_lanes.h"
#include "drawn.h"
#include "support/close.h"

#include <string.h>

#define ROUNDS 400

/* Any liquor from soured to limed, now and then without one thing or another, or with more charge than any pH balances; and a
 * solution near it, or far from it. */
static void draw(uint64_t *seed, struct speciation_constants *constants, struct liquor_totals *totals,
                 struct speciation *near)
{
    struct speciation_parameters parameters = usual;
    double values[TOTAL_COUNT];
    struct liquor_totals beside;
    parameters.leuco_pk1 += uniform(seed) - 0.5;
    draw_totals(seed, values);
    const double kind = uniform(seed);
    if (kind < 0.05) {
        values[TOTAL_STRONG_ANION] = 1e5; /* no pH balances it */
    }
    memcpy(totals, values, sizeof values);
    const double off = kind > 0.9 ? 5.0 : kind > 0.5 ? 0.05 : 1e-4;
    for (int i = 0; i < TOTAL_COUNT; i++) {
        values[i] *= 1.0 + off * uniform(seed);
    }
    memcpy(&beside, values, sizeof values);
    speciation_constants_at(&parameters, 278.15 + 50.0 * uniform(seed), constants);
    memset(near, 0, sizeof *near);
    if (speciate(constants, &beside, near) != 0) {
        near->ph = 9.0;
        near->ionic_strength = 0.05;
    }
}

static void together_as_alone(void **state)
{
    (void)state;
    uint64_t seed = 20261127;
    print_message("seed %llu\n", (unsigned long long)seed);
    int unlike = 0; /* rounds in which some lane took more steps than another */
    int failed = 0;
    for (int round = 0; round < ROUNDS; round++) {
        const int count = 1 + (int)(uniform(&seed) * LANES);
        struct speciation_constants constants[LANES];
        struct liquor_totals totals[LANES];
        struct speciation near[LANES], alone[LANES];
        const struct speciation_constants *constants_at[LANES];
        const struct liquor_totals *totals_at[LANES];
        int wanted[LANES];
        for (int i = 0; i < count; i++) {
            draw(&seed, &constants[i], &totals[i], &near[i]);
            constants_at[i] = &constants[i];
            totals_at[i] = &totals[i];
            wanted[i] = speciate_near(&constants[i], &totals[i], &near[i], &alone[i]);
            failed += wanted[i] != 0;
            unlike += i > 0 && wanted[i] == 0 && wanted[0] == 0 && alone[i].iterations != alone[0].iterations;
        }
        for (int kind = 0; kind < LANES_KINDS; kind++) {
            struct speciation together[LANES];
            struct speciation *results[LANES];
            int failures[LANES];
            for (int i = 0; i < count; i++) {
                results[i] = &together[i];
            }
            if (!lanes_has((enum lanes_kind)kind)) {
                continue;
            }
            speciate_near_lanes((enum lanes_kind)kind, constants_at, totals_at, near, results, count, failures);
            for (int i = 0; i < count; i++) {
                assert_int_equal(failures[i], wanted[i]);
                if (wanted[i] == 0) {
                    assert_memory_equal(&together[i], &alone[i], TOLD_COUNT * sizeof(double));
                    assert_int_equal(together[i].iterations, alone[i].iterations);
                }
            }
        }
    }
    assert_true(unlike > ROUNDS && failed > ROUNDS / 20);
}

static void the_plain_kind_is_always_there(void **state)
{
    (void)state;
    assert_true(lanes_has(LANES_PLAIN));
    assert_true(lanes_has(lanes_best()));
    assert_false(lanes_has(LANES_KINDS));
    print_message("this processor has kind %d of %d\n", (int)lanes_best(), (int)LANES_KINDS - 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(together_as_alone),
        cmocka_unit_test(the_plain_kind_is_always_there),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
