/* test_fermentation.c: rate laws of a fermented vat: their limits, their signs, their values at the best of everything. */
#include "bench.h"

#include "support/close.h"

#include <math.h>

#define KELVIN 273.15

/* 1 m3 of liquor at a pH set by alkali, with cells, sugar and nitrogen in plenty. */
static struct bench *living_bench(double temperature_C, double ph)
{
    struct bench *bench = bench_open(1.0, 2.0, temperature_C + KELVIN);
    bench_put(bench, S_CELLS, 1.0);
    bench_put(bench, S_SPOILERS, 1.0);
    bench_put(bench, S_GLUCOSE, 1e3);
    bench_put(bench, S_NITROGEN, 1e3);
    bench_set_ph(bench, ph);
    return bench;
}

static double growth_at(double temperature_C, double ph)
{
    struct bench *bench = living_bench(temperature_C, ph);
    double rate = 6.0 * bench_rate(bench, "ferment_growth") / bench->vat.amount[S_CELLS];
    bench_close(bench);
    return rate;
}

/* Rosso et al. 1993, 1995: 1 at the best temperature and pH, 0 beyond the lowest and the highest. The model's own cardinal values:
 * 12, 33, 44 degC and pH 8, 10, 12. */
static void growth_has_its_cardinal_values(void **state)
{
    (void)state;
    double best = growth_at(33.0, 10.0);
    assert_close(best, 0.08 / 3600.0, 1e-3, 0.0); /* 0.08 per hour, chemistry section 8 row 27; short by the saturations */
    assert_close(growth_at(5.0, 10.0) / best, 0.0, 0.0, 1e-4);
    assert_close(growth_at(50.0, 10.0) / best, 0.0, 0.0, 1e-3);
    assert_close(growth_at(33.0, 7.0) / best, 0.0, 0.0, 1e-3);
    assert_close(growth_at(33.0, 12.7) / best, 0.0, 0.0, 1e-3);
    for (double t = 13.0; t < 33.0; t += 2.0) {
        assert_true(growth_at(t, 10.0) < growth_at(t + 2.0, 10.0));
    }
    for (double t = 35.0; t < 44.0; t += 2.0) {
        assert_true(growth_at(t, 10.0) < growth_at(t - 2.0, 10.0));
    }
    /* by hand: pH 11: (11 - 8)(12 - 11) / ((11 - 8)(12 - 11) + 1) = 0.75 */
    assert_close(growth_at(33.0, 11.0) / best, 0.75, 1e-3, 0.0);
    /* by hand: 23 degC: 21 x 11^2 / (21 x (21 x 10 - 11 x (45 - 46))) = 121/221 = 0.5475 */
    assert_close(growth_at(23.0, 10.0) / best, 121.0 / 221.0, 2e-3, 0.0);
}

/* 0.1 g of cells from a gram of sugar, all told: what is built in and what is burnt for it. */
static void yield_is_as_given(void **state)
{
    (void)state;
    struct bench *bench = living_bench(33.0, 10.0);
    double cells = 6.0 * bench_rate(bench, "ferment_growth") * MOLAR_CELLS;
    double sugar = (5.0 * bench_rate(bench, "ferment_growth") + bench_rate(bench, "ferment_lactate") +
                    bench_rate(bench, "ferment_gas")) * MOLAR_HEXOSE;
    assert_close(cells / sugar, 0.10, 1e-12, 0.0);
    bench_close(bench);
}

static void rates_vanish_with_what_they_use(void **state)
{
    (void)state;
    static const struct {
        const char *process;
        enum species used;
    } cases[] = {
        {"ferment_growth", S_GLUCOSE},           {"ferment_growth", S_NITROGEN},
        {"ferment_growth", S_CELLS},             {"ferment_lactate", S_GLUCOSE},
        {"ferment_gas", S_GLUCOSE},              {"ferment_respiration", S_OXYGEN},
        {"ferment_respiration", S_GLUCOSE},      {"ferment_reduction_suspended", S_INDIGO_SUSPENDED},
        {"ferment_reduction_bed", S_INDIGO_BED}, {"ferment_reduction_bed", S_GLUCOSE},
        {"ferment_fast_feed", S_FEED_FAST},      {"ferment_slow_feed", S_FEED_SLOW},
        {"ferment_inversion", S_SUCROSE},        {"ferment_fructose", S_FRUCTOSE},
        {"ferment_decay_to_feed", S_CELLS},      {"ferment_decay_to_debris", S_CELLS},
        {"ferment_spoiler_growth", S_NITROGEN},  {"ferment_spoiler_acid", S_GLUCOSE},
        {"ferment_spoiler_decay", S_SPOILERS},   {"ferment_spoiler_killing", S_CELLS},
        {"ferment_spoiled_suspended", S_INDIGO_SUSPENDED}, {"ferment_spoiled_bed", S_INDIGO_BED},
    };
    static const enum species present[] = {S_OXYGEN, S_INDIGO_SUSPENDED, S_INDIGO_BED, S_FEED_FAST, S_FEED_SLOW,
                                           S_SUCROSE, S_FRUCTOSE};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct bench *bench = living_bench(33.0, 9.0);
        for (size_t p = 0; p < sizeof present / sizeof present[0]; p++) {
            bench_put(bench, present[p], 0.1);
        }
        double before = bench_rate(bench, cases[i].process);
        bench_put(bench, cases[i].used, 0.0);
        if (!(before > 0.0) || bench_rate(bench, cases[i].process) != 0.0) {
            fail_msg("%s without %s: %g, with it %g", cases[i].process, species_table[cases[i].used].name,
                     bench_rate(bench, cases[i].process), before);
        }
        bench_close(bench);
    }
}

/* Madder helps, air hinders, leuco near its ceiling slows; settled indigo comes slower than suspended. */
static void reduction_by_cells_has_its_helps_and_hindrances(void **state)
{
    (void)state;
    struct bench *bench = living_bench(33.0, 10.0);
    bench_put(bench, S_INDIGO_SUSPENDED, 5.0);
    double plain = bench_rate(bench, "ferment_reduction_suspended");
    bench_put(bench, S_MEDIATOR, 1.0); /* kg/m3, the half-way amount: 1 + (2 - 1)/2 */
    assert_close(bench_rate(bench, "ferment_reduction_suspended") / plain, 1.5, 1e-9, 0.0);
    bench_put(bench, S_MEDIATOR, 0.0);
    bench_put(bench, S_OXYGEN, bench->vat.constants[K_CELL_OXYGEN_HALF]);
    assert_close(bench_rate(bench, "ferment_reduction_suspended") / plain, 0.5, 1e-9, 0.0);
    bench_put(bench, S_OXYGEN, 0.0);
    bench_put(bench, S_LEUCO, bench->vat.constants[K_CELL_LEUCO_CEILING]);
    bench_set_ph(bench, 10.0); /* which leuco moves a hair */
    assert_close(bench_rate(bench, "ferment_reduction_suspended") / plain, 0.5, 1e-6, 0.0);
    bench_put(bench, S_LEUCO, 0.0);
    bench_put(bench, S_INDIGO_SUSPENDED, 0.0);
    bench_put(bench, S_INDIGO_BED, 5.0);
    assert_true(bench_rate(bench, "ferment_reduction_bed") < 0.5 * plain);
    bench_close(bench);
}

/* Spoilers have no say above pH 9.5, and die where the reducing cells thrive. */
static void spoilers_keep_to_their_ph(void **state)
{
    (void)state;
    struct bench *sour = living_bench(33.0, 7.5);
    struct bench *sound = living_bench(33.0, 10.5);
    assert_true(bench_rate(sound, "ferment_spoiler_growth") < 1e-3 * bench_rate(sour, "ferment_spoiler_growth"));
    assert_true(bench_rate(sound, "ferment_spoiler_killing") < 1e-3 * bench_rate(sour, "ferment_spoiler_killing"));
    assert_true(bench_rate(sound, "ferment_spoiler_decay") > 3.0 * bench_rate(sour, "ferment_spoiler_decay"));
    bench_close(sour);
    bench_close(sound);
}

/* Strong alkali and heat destroy what opens up feed. */
static void feed_opens_in_mild_liquor_only(void **state)
{
    (void)state;
    struct bench *mild = living_bench(33.0, 10.0);
    struct bench *strong = living_bench(33.0, 13.0);
    struct bench *hot = living_bench(85.0, 9.0);
    bench_put(mild, S_FEED_FAST, 1.0);
    bench_put(strong, S_FEED_FAST, 1.0);
    bench_put(hot, S_FEED_FAST, 1.0);
    assert_true(bench_rate(strong, "ferment_fast_feed") < 0.02 * bench_rate(mild, "ferment_fast_feed"));
    assert_true(bench_rate(hot, "ferment_fast_feed") < 0.05 * bench_rate(mild, "ferment_fast_feed"));
    bench_close(mild);
    bench_close(strong);
    bench_close(hot);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(growth_has_its_cardinal_values),
        cmocka_unit_test(yield_is_as_given),
        cmocka_unit_test(rates_vanish_with_what_they_use),
        cmocka_unit_test(reduction_by_cells_has_its_helps_and_hindrances),
        cmocka_unit_test(spoilers_keep_to_their_ph),
        cmocka_unit_test(feed_opens_in_mild_liquor_only),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
