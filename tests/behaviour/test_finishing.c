/* test_finishing.c: what happens to dye on cloth between dips and after: air, rinsing, souring, washing; folded, dry
 * and damaged cloth; liquor that strips; the bed.
 *
 * Sources: practice sections 1.4 to 1.6 and 8 (common practice, estimates), named at each check.
 */
#include "behaviour/dyeing.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define HEAVY "{ name = \"cloth\"; fibre = \"cotton\"; each = \"300 g\"; fabric = \"400 g/m2\"; }"

static double owf_after_two(double air_min, double *added_by_second)
{
    struct rested vat = good_vat();
    vat.cloth = HEAVY;
    struct vat_run *run =
        run_dipped(vat, (struct dips){.soak_min = 8.0, .air_min = air_min, .dips = 2, .wring = "hand"}, NULL, NULL);
    double owf = piece_value(run, 0, "owf");
    *added_by_second = dip_value(run, 1, "sorbed") / dip_value(run, 0, "sorbed");
    run_free(run);
    return owf;
}

/* Going back in before the last dip is blue through loses dye: a dip then adds 0.5 to 0.7 of the one before, with full
 * oxidation 0.75 to 0.90 (practice section 1.4, estimate). */
static void going_back_too_soon_loses_dye(void **state)
{
    (void)state;
    double soon, late;
    double owf_soon = owf_after_two(0.5, &soon);
    double owf_late = owf_after_two(30.0, &late);
    print_message("two dips of heavy cloth: %.3f %% after 30 s of air, %.3f %% after 30 min; the second adds %.2f and "
                  "%.2f of the first\n",
                  owf_soon, owf_late, soon, late);
    assert_true(owf_soon < 0.95 * owf_late);
    assert_between(soon, 0.50, 0.70);
    assert_between(late, 0.75, 0.90);
}

/* An over-reduced liquor takes 1 to 5 % of the dye already there back with each dip (practice section 1.4, estimate;
 * "too much hydrosulphite will strip": Mairet, Vegetable Dyes, 1916). */
static void over_reduced_liquor_strips(void **state)
{
    (void)state;
    const struct dips twice = {.soak_min = 8.0, .air_min = 30.0, .dips = 2, .wring = "hand"};
    struct rested vat = good_vat();
    struct vat_run *plain = run_dipped(vat, twice, NULL, NULL);
    struct vat_run *over = run_dipped(vat, twice, NULL,
                                      "constants.orp_half_vat={low=\"-0.9 V\";nominal=\"-0.8 V\";"
                                      "high=\"-0.5 V\";source=\"a liquor far below\";}");
    double share = dip_value(over, 1, "stripped") / dip_value(over, 1, "before");
    print_message("potential %.0f against %.0f mV: stripped %.4f against %.2g of what was there\n",
                  value_at(over, "orp", 1.0), value_at(plain, "orp", 1.0), share,
                  dip_value(plain, 1, "stripped") / dip_value(plain, 1, "before"));
    assert_between(share, 0.01, 0.05);
    assert_true(dip_value(plain, 1, "stripped") < 1e-3 * dip_value(plain, 1, "before"));
    assert_true(ledger_residual_most(over) < 1e-9);
    run_free(plain);
    run_free(over);
}

/* Bound or folded cloth: outer folds reach half in 3 to 5 min, inner ones in 15 to 40 min or never (practice section
 * 1.3, estimate). So the inner zone is paler, and a longer soak evens it out. */
static void folded_cloth_is_paler_inside(void **state)
{
    (void)state;
    struct rested vat = good_vat();
    double before = 0.0;
    vat.cloth = "{ name = \"cloth\"; fibre = \"cotton\"; each = \"100 g\"; fabric = \"150 g/m2\"; folded = true; }";
    for (int minutes = 4; minutes <= 64; minutes *= 4) {
        struct dips dips = one_dip();
        dips.soak_min = minutes;
        struct vat_run *run = run_dipped(vat, dips, NULL, NULL);
        double outer_share = run->scenario.model.constants[K_FOLDED_OUTER_SHARE].nominal;
        double inner = piece_value(run, 0, "inner") / (1.0 - outer_share);
        double outer = (piece_value(run, 0, "sorbed") - piece_value(run, 0, "inner")) / outer_share;
        print_message("%d min: inner %.2f, outer %.2f g/kg\n", minutes, inner, outer);
        assert_true(inner > 0.0 && inner < outer);
        assert_true(inner / outer > before);
        before = inner / outer;
        run_free(run);
    }
    vat.cloth = good_vat().cloth;
    struct vat_run *flat = run_dipped(vat, one_dip(), NULL, NULL);
    assert_close(piece_value(flat, 0, "inner"), 0.0, 0.0, 0.0);
    run_free(flat);
}

/* Cloth that goes in dry takes 1 to 3 times as long in its first dip (models/sugar-lime.conf, estimate), not after. */
static void dry_cloth_takes_longer(void **state)
{
    (void)state;
    struct rested vat = good_vat();
    const struct dips twice = {.soak_min = 4.0, .air_min = 30.0, .dips = 2, .wring = "hand"};
    struct vat_run *wetted = run_dipped(vat, twice, NULL, NULL);
    vat.cloth = "{ name = \"cloth\"; fibre = \"cotton\"; each = \"100 g\"; fabric = \"150 g/m2\"; wetted = false; }";
    struct vat_run *dry = run_dipped(vat, twice, NULL, NULL);
    double first = dip_value(dry, 0, "sorbed") / dip_value(wetted, 0, "sorbed");
    double second = dip_value(dry, 1, "sorbed") / dip_value(wetted, 1, "sorbed");
    print_message("dry against wetted: first dip %.2f, second %.2f\n", first, second);
    assert_between(first, 0.4, 0.95);
    assert_close(second, 1.0, 0.05, 0.0);
    assert_between(dip_value(dry, 0, "air_in"), 0.3, 1.5); /* row 20, L/kg */
    assert_true(dip_value(wetted, 0, "air_in") < 0.5 * dip_value(dry, 0, "air_in"));
    run_free(wetted);
    run_free(dry);
}

/* Wool and silk are harmed above pH 9.5 and 10 (practice section 1.1: wool 8.5 to 9, silk 9 to 10); cotton is not. */
static void wool_and_silk_are_warned_of(void **state)
{
    (void)state;
    static const struct {
        const char *fibre, *limit;
    } cases[] = {{"wool", "above pH 9.5"}, {"silk", "above pH 10.0"}, {"cotton", NULL}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char cloth[160];
        (void)snprintf(cloth, sizeof cloth, "{ name = \"cloth\"; fibre = \"%s\"; each = \"100 g\"; }", cases[i].fibre);
        struct rested vat = good_vat();
        vat.cloth = cloth;
        struct vat_run *run = run_dipped(vat, one_dip(), NULL, NULL);
        assert_true(has_note(run, "harmed") == (cases[i].limit != NULL));
        assert_true(cases[i].limit == NULL || has_note(run, cases[i].limit));
        assert_close(piece_value(run, 0, "highest_ph"), 11.0, 0.0, 0.1);
        run_free(run);
    }
}

/* Two pieces of heavy cloth, alike but for when they are rinsed. Rinsing at once washes away leuco that is still
 * yellow-green (practice section 1.4 and 9 step 13: oxidise 10 to 20 min, then rinse). */
static void rinsing_at_once_loses_more(void **state)
{
    (void)state;
    struct rested vat = good_vat();
    vat.cloth = HEAVY;
    struct vat_run *at_once =
        run_dipped(vat, one_dip(), "{ after = \"dips\"; delay = \"20 s\"; do = \"rinse\"; cloth = \"cloth\"; }", NULL);
    struct vat_run *aired = run_dipped(
        vat, one_dip(), "{ after = \"dips\"; delay = \"60 min\"; do = \"rinse\"; cloth = \"cloth\"; }", NULL);
    print_message("rinsed at once: %.2f g/kg off, %.3f %% left; after airing %.2f off, %.3f %% left\n",
                  piece_value(at_once, 0, "rinsed_off"), piece_value(at_once, 0, "owf"),
                  piece_value(aired, 0, "rinsed_off"), piece_value(aired, 0, "owf"));
    assert_true(piece_value(at_once, 0, "rinsed_off") > 1.2 * piece_value(aired, 0, "rinsed_off"));
    assert_true(piece_value(at_once, 0, "owf_washed") < 0.95 * piece_value(aired, 0, "owf_washed"));
    run_free(at_once);
    run_free(aired);
}

#define WHEN(hours, action) "{ at = \"+" #hours " h\"; do = \"" action "\"; cloth = \"cloth\"; }"

/* Whatever way it is finished, what is left after the wash is what was foretold before it; the rinse takes a part of
 * what the wash would; more washing and souring take nothing more. */
static void washing_takes_what_was_foretold(void **state)
{
    (void)state;
    static const char *const ways[] = {
        NULL,
        WHEN(3, "rinse"),
        WHEN(3, "wash"),
        WHEN(2, "rinse") ", " WHEN(3, "wash"),
        WHEN(2, "rinse") ", " WHEN(2.5, "sour") ", " WHEN(3, "wash"),
        WHEN(2, "wash") ", " WHEN(2.5, "sour") ", " WHEN(3, "wash"),
    };
    const struct dips twice = {.soak_min = 8.0, .air_min = 30.0, .dips = 2, .wring = "hand"};
    double foretold = 0.0, before = 0.0, rinsed = 0.0;
    for (size_t i = 0; i < sizeof ways / sizeof ways[0]; i++) {
        struct vat_run *run = run_dipped(good_vat(), twice, ways[i], NULL);
        double owf = piece_value(run, 0, "owf");
        if (i == 0) {
            foretold = piece_value(run, 0, "owf_washed");
            before = owf;
        } else if (i == 1) {
            rinsed = owf;
        } else {
            assert_close(owf, foretold, 1e-9, 0.0);
        }
        assert_close(piece_value(run, 0, "owf_washed"), foretold, 1e-9, 0.0);
        assert_close(-ledger_row(run, "indigo", "rinsed_off"), 0.1 * piece_value(run, 0, "rinsed_off"), 1e-9,
                     1e-12); /* g of a piece of 0.1 kg */
        assert_true(ledger_residual_most(run) < 1e-9);
        run_free(run);
    }
    print_message("before %.4f %%, rinsed %.4f, washed %.4f: the wash takes %.1f %%\n", before, rinsed, foretold,
                  100.0 * (1.0 - foretold / before));
    assert_true(before > rinsed && rinsed > foretold);
    /* practice section 1.6: cotton from a clear vat loses 8 to 15 %, a class sheet "about 20 %" */
    assert_between(1.0 - foretold / before, 0.08, 0.20);
}

/* Sour water takes off what a plain rinse does and no more. */
static void sour_takes_nothing(void **state)
{
    (void)state;
    struct vat_run *rinsed = run_dipped(good_vat(), one_dip(), WHEN(2, "rinse"), NULL);
    struct vat_run *soured = run_dipped(good_vat(), one_dip(), WHEN(2, "rinse") ", " WHEN(3, "sour"), NULL);
    assert_close(piece_value(soured, 0, "owf"), piece_value(rinsed, 0, "owf"), 1e-12, 0.0);
    assert_close(piece_value(soured, 0, "rinsed_off"), piece_value(rinsed, 0, "rinsed_off"), 1e-12, 0.0);
    run_free(rinsed);
    run_free(soured);
}

/* Row 19: cloth that touches a bed above a third of the depth is specked, and washes off by 30 to 50 %. Chalk makes the
 * bed, so that the liquor is the same. */
static void bed_specks_cloth(void **state)
{
    (void)state;
    double off[2];
    for (int deep = 0; deep < 2; deep++) {
        struct rested vat = good_vat();
        vat.chalk_g = deep ? 2400.0 : 1200.0; /* of the depth: above a third, below it */
        struct vat_run *run = run_dipped(vat, one_dip(), WHEN(2, "wash"), NULL);
        off[deep] =
            piece_value(run, 0, "rinsed_off") / (piece_value(run, 0, "rinsed_off") + 10.0 * piece_value(run, 0, "owf"));
        print_message("bed %.2f of the depth: %.0f %% washed off\n", value_at(run, "bed_share", 0.0),
                      100.0 * off[deep]);
        assert_int_equal(value_at(run, "bed_share", 0.0) > 1.0 / 3.0, deep);
        assert_int_equal((int)dip_value(run, 0, "bed_touched"), deep);
        assert_int_equal((int)piece_value(run, 0, "specked"), deep);
        run_free(run);
    }
    assert_between(off[1], 0.30, 0.50);
    assert_between(off[0], 0.15, 0.30); /* practice section 1.6, a cloudy vat */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(going_back_too_soon_loses_dye),
        cmocka_unit_test(over_reduced_liquor_strips),
        cmocka_unit_test(folded_cloth_is_paler_inside),
        cmocka_unit_test(dry_cloth_takes_longer),
        cmocka_unit_test(wool_and_silk_are_warned_of),
        cmocka_unit_test(rinsing_at_once_loses_more),
        cmocka_unit_test(washing_takes_what_was_foretold),
        cmocka_unit_test(sour_takes_nothing),
        cmocka_unit_test(bed_specks_cloth),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
