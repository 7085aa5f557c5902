/* test_draws.c: what is varied covers its range as promised, and lands where it belongs.
 *
 * Quantiles of DRAW_AROUND: scipy.stats.truncnorm 1.10 between -z and z, z = norm.ppf(0.975), each side scaled to its
 * end (in logarithms for the wide one).
 */
#include "study/draws.h"

#include "study/asking.h"
#include "study/variant.h"

#include <stdlib.h>
#include <string.h>

#define FAR_BELOW 1e-300

static const struct drawn narrow = {.of = DRAW_SETTING,
                                    .name = "a.b",
                                    .unit = "L",
                                    .low = 2.0,
                                    .nominal = 3.0,
                                    .high = 7.0,
                                    .how = DRAW_AROUND,
                                    .steps = 1};

static void around_is_a_normal_distribution_on_either_side(void **state)
{
    (void)state;
    static const double table[][3] = {/* share, narrow 2 3 7, wide 0.5 2 20 */
                                      {0.10, 2.40050592697915, 0.8711613500429901},
                                      {0.25, 2.6756792376229543, 1.2757613485108796},
                                      {0.50, 3.0, 2.0},
                                      {0.75, 4.297283049508183, 4.220372242824324},
                                      {0.90, 5.397976292083397, 7.9528733929144035}};
    struct drawn wide = narrow;
    wide.low = 0.5;
    wide.nominal = 2.0;
    wide.high = 20.0;
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        assert_close(drawn_value(&narrow, table[i][0]), table[i][1], 1e-12, 0.0);
        assert_close(drawn_value(&wide, table[i][0]), table[i][2], 1e-12, 0.0);
    }
    assert_close(drawn_value(&narrow, 0.0), 2.0, 1e-12, 0.0);
    assert_close(drawn_value(&narrow, 1.0), 7.0, 1e-12, 0.0);
    assert_between(drawn_value(&narrow, FAR_BELOW), 2.0, 7.0);
}

static void even_and_whole_values_are_even(void **state)
{
    (void)state;
    struct drawn drawn = narrow;
    drawn.how = DRAW_EVENLY;
    assert_close(drawn_value(&drawn, 0.25), 3.25, 1e-15, 0.0);
    drawn.how = DRAW_EVENLY_LOGS;
    assert_close(drawn_value(&drawn, 0.5), sqrt(14.0), 1e-15, 0.0);
    drawn.how = DRAW_EVENLY;
    drawn.whole = true; /* 2 to 7: six numbers */
    int counts[8] = {0};
    for (int i = 0; i < 600; i++) {
        double value = drawn_value(&drawn, (i + 0.5) / 600.0);
        assert_true(value == floor(value));
        counts[(int)value]++;
    }
    for (int i = 2; i <= 7; i++) {
        assert_int_equal(counts[i], 100);
    }
    assert_true(drawn_value(&drawn, 1.0) == 7.0);
}

/* Each of `runs` equal stretches of a range has exactly one of the values: what both ways of drawing promise (Sobol's
 * for powers of two, up to the shift, which keeps stretches together round the end). */
static void count_stretches(size_t count, size_t runs, uint64_t seed, int most)
{
    struct drawn *drawn = calloc(count, sizeof *drawn);
    double *values = calloc(count * runs, sizeof *values);
    assert_true(drawn != NULL && values != NULL);
    for (size_t k = 0; k < count; k++) {
        drawn[k] = (struct drawn){.low = 0.0, .high = 1.0, .how = DRAW_EVENLY, .steps = 1};
    }
    assert_done(draws_fill(drawn, count, false, seed, runs, values));
    for (size_t k = 0; k < count; k++) {
        int *met = calloc(runs, sizeof *met);
        assert_non_null(met);
        for (size_t run = 0; run < runs; run++) {
            assert_between(values[run * count + k], 0.0, 1.0);
            met[(size_t)fmin(values[run * count + k] * (double)runs, (double)runs - 1.0)]++;
        }
        for (size_t i = 0; i < runs; i++) {
            assert_in_range(met[i], most == 1 ? 1 : 0, most);
        }
        free(met);
    }
    free(values);
    free(drawn);
}

static void ranges_are_covered(void **state)
{
    (void)state;
    count_stretches(60, 37, 1, 1); /* Latin hypercube: each stretch once */
    count_stretches(200, 100, 9, 1);
    count_stretches(7, 64, 1, 2); /* Sobol, shifted: one to a stretch of its own, which the shift cuts in two */
    count_stretches(40, 256, 5, 2);
}

static void seeds_tell_draws_apart(void **state)
{
    (void)state;
    struct drawn drawn[50];
    double a[50 * 8];
    double b[50 * 8];
    for (size_t count = 5; count <= 50; count += 45) { /* Sobol, hypercube */
        for (size_t k = 0; k < count; k++) {
            drawn[k] = narrow;
        }
        assert_done(draws_fill(drawn, count, false, 7, 8, a));
        assert_done(draws_fill(drawn, count, false, 7, 8, b));
        assert_memory_equal(a, b, count * 8 * sizeof *a);
        assert_done(draws_fill(drawn, count, false, 8, 8, b));
        for (size_t i = 0; i < count * 8; i++) {
            assert_true(a[i] != b[i]);
        }
    }
}

static void a_grid_has_every_combination(void **state)
{
    (void)state;
    static const double wanted[6][2] = {{2, 10}, {2, 15}, {2, 20}, {7, 10}, {7, 15}, {7, 20}};
    struct drawn drawn[2] = {narrow, narrow};
    double values[6][2];
    drawn[0].how = drawn[1].how = DRAW_EVENLY;
    drawn[0].steps = 2;
    drawn[1].steps = 3;
    drawn[1].low = 10.0;
    drawn[1].high = 20.0;
    assert_done(draws_fill(drawn, 2, true, 1, 6, &values[0][0]));
    for (int i = 0; i < 6; i++) {
        assert_close(values[i][0], wanted[i][0], 1e-15, 0.0);
        assert_close(values[i][1], wanted[i][1], 1e-15, 0.0);
    }
}

static void columns_have_names_of_their_own(void **state)
{
    (void)state;
    struct table table = {.residual_relative = NAN};
    struct drawn drawn = {.name = "vat.charge.Slaked lime.amount"};
    char name[48];
    drawn_column_name(&table, &drawn, name);
    assert_string_equal(name, "drawn_vat_charge_slaked_lime_amount");
    assert_done(table_add_column(&table, name, "g", "", NULL));
    drawn_column_name(&table, &drawn, name);
    assert_string_equal(name, "drawn_vat_charge_slaked_lime_amount_2");
    memset(drawn.name, 'x', sizeof drawn.name - 1);
    drawn_column_name(&table, &drawn, name);
    assert_done(table_add_column(&table, name, "g", "", NULL));
    drawn_column_name(&table, &drawn, name);
    assert_done(table_add_column(&table, name, "g", "", NULL));
    table_free(&table);
}

/* ---- what is uncertain about a vat ------------------------------------------------------------------------------- */

static const struct drawn *find(const struct drawn *list, size_t count, const char *name)
{
    for (size_t i = 0; i < count; i++) {
        if (strcmp(list[i].name, name) == 0) {
            return &list[i];
        }
    }
    return NULL;
}

static void what_is_uncertain_is_what_the_vat_has(void **state)
{
    (void)state;
    struct scenario scenario;
    struct drawn *list;
    size_t count;
    ask_file(TESTS_DIR "/cli/small-vat.conf", NULL, 0, &scenario);
    assert_done(drawn_uncertain(&scenario, &list, &count));
    assert_non_null(find(list, count, "leuco_pk2"));
    assert_non_null(find(list, count, "freundlich of cotton"));
    assert_non_null(find(list, count, "spoonfuls of fructose"));
    assert_non_null(find(list, count, "spoonfuls of slaked lime"));
    assert_non_null(find(list, count, "alkalinity of the water"));
    assert_null(find(list, count, "purity of indigo powder")); /* the scenario says it */
    assert_null(find(list, count, "strip_noise"));             /* drawn by every run itself */
    assert_null(find(list, count, "usable_leuco"));            /* what is called ready */
    assert_null(find(list, count, "cell_growth_rate"));        /* nothing grows in this vat */
    assert_null(find(list, count, "freundlich of silk"));      /* no silk there */
    assert_null(find(list, count, "sugar left"));              /* a fresh vat */
    for (size_t i = 0; i < count; i++) {
        assert_true(list[i].high > list[i].low && list[i].nominal >= list[i].low && list[i].nominal <= list[i].high);
    }
    free(list);
    scenario_free(&scenario);
}

static void values_land_where_they_belong(void **state)
{
    (void)state;
    struct scenario scenario;
    struct scenario changed;
    struct drawn *list;
    size_t count;
    static const char *const overrides[] = {"vat.charge.1={ add = \"indigo powder\"; amount = \"90 g\"; }"};
    ask_file(TESTS_DIR "/cli/small-vat.conf", overrides, 1, &scenario);
    assert_done(drawn_uncertain(&scenario, &list, &count));
    assert_done(variant_make(&scenario, &changed));
    drawn_apply(find(list, count, "leuco_pk2"), 12.5, &changed);
    drawn_apply(find(list, count, "spoonfuls of fructose"), 1.2, &changed);
    drawn_apply(find(list, count, "purity of indigo powder"), 0.31, &changed);
    drawn_apply(find(list, count, "alkalinity of the water"), 0.8, &changed);
    drawn_apply(find(list, count, "warmth of the air"), 1.5, &changed);
    drawn_apply(find(list, count, "cap of cotton"), 0.03, &changed);
    assert_true(changed.model.constants[K_LEUCO_PK2].nominal == 12.5);
    assert_close(changed.events[2].dose.mass, 1.2 * scenario.events[2].dose.mass, 1e-15, 0.0); /* a spoonful */
    assert_close(changed.charge[2].mass, scenario.charge[2].mass, 0.0, 0.0);                   /* weighed */
    assert_true(changed.charge[0].purity == 0.31);
    assert_true(isnan(changed.charge[1].purity));
    assert_close(changed.water.alkalinity, 0.8 * scenario.water.alkalinity, 1e-15, 0.0);
    assert_close(changed.places[0].night_K, scenario.places[0].night_K + 1.5, 1e-15, 0.0);
    assert_true(changed.model.fibres[scenario.cloth[0].fibre].cap.nominal == 0.03);
    free(list);
    scenario_free(&changed);
    scenario_free(&scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(around_is_a_normal_distribution_on_either_side),
        cmocka_unit_test(even_and_whole_values_are_even),
        cmocka_unit_test(ranges_are_covered),
        cmocka_unit_test(seeds_tell_draws_apart),
        cmocka_unit_test(a_grid_has_every_combination),
        cmocka_unit_test(columns_have_names_of_their_own),
        cmocka_unit_test(what_is_uncertain_is_what_the_vat_has),
        cmocka_unit_test(values_land_where_they_belong),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
