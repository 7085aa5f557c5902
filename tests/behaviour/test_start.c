/* test_start.c: a fresh vat coming into reduction: how soon, how far, with too little of something, and by known
 * recipes. */
#include "behaviour/behaviour.h"

#include <math.h>

#define NATURAL_POWDER 0.38   /* and in powder as sold, models/materials.conf */
#define MIDDLE_OF_USABLE 0.15 /* reduced; "usable" is about 5 to 25 % and a potential below -520 mV Ag/AgCl */

static const double strengths[] = {2.0, 5.0, 8.0}; /* g/L of powder */

/* ---- how soon and how far
 * ---------------------------------------------------------------------------------------- */

/* Common practice, +-0: 1:2:3 by weight at 50 degC, usable in 30 to 90 min. */
static void usable_within_the_hour_at_50_degC(void **state)
{
    (void)state;
    for (int i = 0; i < 3; i++) {
        struct fresh fresh = fresh_vat(strengths[i], 50.0, 20.0);
        fresh.hours = 3.0;
        struct vat_run *run = run_fresh(&fresh, NULL);
        double usable = first_usable(run, MIDDLE_OF_USABLE);
        print_message("%g g/L at 50 degC: 15 %% reduced at %.2f h\n", strengths[i], usable);
        assert_between(usable, 0.5, 1.5);
        run_free(run);
    }
}

/* Common practice: at 20 degC usable only after 6 to 48 h. */
static void usable_within_days_at_20_degC(void **state)
{
    (void)state;
    for (int i = 0; i < 3; i++) {
        struct fresh fresh = fresh_vat(strengths[i], 20.0, 20.0);
        fresh.hours = 60.0;
        struct vat_run *run = run_fresh(&fresh, NULL);
        double usable = first_usable(run, MIDDLE_OF_USABLE);
        print_message("%g g/L at 20 degC: 15 %% reduced at %.2f h, 5 %% at %.2f h\n", strengths[i], usable,
                      first_usable(run, 0.05));
        assert_between(usable, 6.0, 48.0);
        run_free(run);
    }
}

/* Finding, docs/model.md "Cold vats": the low end of usable, 5 %, comes at 2 to 3 h at 20 degC, sooner than the 6 h
 * of practice, as Vuorema et al. (Dyes Pigm. 2008, 76, 542, abstract) have it. */
static void cold_vat_passes_5_percent_early(void **state)
{
    (void)state;
    struct fresh fresh = fresh_vat(5.0, 20.0, 20.0);
    fresh.hours = 12.0;
    struct vat_run *run = run_fresh(&fresh, NULL);
    assert_between(first_usable(run, 0.05), 1.5, 3.0);
    run_free(run);
}

/* Common practice: leuco levels off near 0.3, 0.7 and 1 g/L (read as +-35 %), far from in proportion to the
 * pigment. */
static void leuco_levels_off_far_from_proportion(void **state)
{
    (void)state;
    static const double practice[] = {0.3, 0.7, 1.0};
    double level[3];
    for (int i = 0; i < 3; i++) {
        struct fresh fresh = fresh_vat(strengths[i], 50.0, 20.0);
        struct vat_run *run = run_fresh(&fresh, NULL);
        level[i] = most_of(run, "leuco", 0.0, 24.0);
        print_message("%g g/L: leuco levels off at %.3f g/L\n", strengths[i], level[i]);
        assert_close(level[i], practice[i], 0.35, 0.0);
        /* and it is a level: within a tenth of its most from 6 h to 12 h */
        assert_true(least_of(run, "leuco", 6.0, 12.0) > 0.9 * level[i]);
        run_free(run);
    }
    assert_between(level[2] / level[0], 2.0, 5.0);
}

/* Common practice: pH 11.2 to 11.7 while hot (50 to 45 degC), here while the lime is still stirred up, the first
 * two hours. */
static void hot_ph_while_lime_dissolves(void **state)
{
    (void)state;
    for (int i = 0; i < 3; i++) {
        struct fresh fresh = fresh_vat(strengths[i], 50.0, 20.0);
        fresh.hours = 6.0;
        struct vat_run *run = run_fresh(&fresh, NULL);
        print_message("%g g/L: pH %.2f to %.2f in the first two hours, %.2f at 5 h (%.1f degC)\n", strengths[i],
                      least_of(run, "ph", 0.25, 2.0), most_of(run, "ph", 0.25, 2.0), value_at(run, "ph", 5.0),
                      value_at(run, "temperature", 5.0));
        assert_between(least_of(run, "ph", 0.25, 2.0), 11.2, 11.7);
        assert_between(most_of(run, "ph", 0.25, 2.0), 11.2, 11.7);
        if (strengths[i] < 6.0) {
            assert_between(least_of(run, "ph", 2.0, 4.75), 11.2, 11.7);
        }
        run_free(run);
    }
}

/* Finding, docs/model.md "Strong vats left to settle": with 8 g/L the acids of 24 g/L of sugar outrun what the
 * settled lime gives, and the pH goes below 11.2 before the vat has cooled to 45 degC; stirring the bed brings it
 * back. */
static void strong_vat_falls_below_until_stirred(void **state)
{
    (void)state;
    struct fresh fresh = fresh_vat(8.0, 50.0, 20.0);
    fresh.hours = 6.0;
    struct vat_run *left = run_fresh(&fresh, NULL);
    char calendar[CALENDAR_SIZE] = "";
    calendar_add(calendar, "at = \"+255 min\"; do = \"stir\";");
    fresh.calendar = calendar;
    struct vat_run *stirred = run_fresh(&fresh, NULL);
    print_message("8 g/L at 4.75 h: pH %.2f left, %.2f stirred at 4.25 h\n", value_at(left, "ph", 4.75),
                  value_at(stirred, "ph", 4.75));
    assert_between(value_at(left, "ph", 4.75), 11.0, 11.2);
    assert_between(value_at(stirred, "ph", 4.75), 11.2, 11.7);
    run_free(left);
    run_free(stirred);
}

/* Science 5: cooled, the liquor reads above 12 for as long as lime can still dissolve from the bed; the 10.8 to
 * 11.5 that dyers report belongs to spent, isolated or carbonated lime, or to a hot reading. */
static void cooled_liquor_over_lime_reads_above_12(void **state)
{
    (void)state;
    for (int i = 0; i < 3; i++) {
        char calendar[CALENDAR_SIZE] = "";
        calendar_add(calendar, "at = \"+70 h\"; do = \"stir\"; how = \"brisk\";");
        struct fresh fresh = fresh_vat(strengths[i], 50.0, 20.0);
        fresh.hours = 96.0;
        fresh.record_min = 30.0;
        fresh.calendar = calendar;
        struct vat_run *run = run_fresh(&fresh, NULL);
        print_message("%g g/L: pH %.2f at 24 h over its settled bed (%.0f degC), %.2f once stirred (%.0f degC)\n",
                      strengths[i], value_at(run, "ph", 24.0), value_at(run, "temperature", 24.0),
                      value_at(run, "ph", 72.0), value_at(run, "temperature", 72.0));
        assert_true(value_at(run, "lime_solid", 72.0) > 1.0);
        assert_true(value_at(run, "temperature", 72.0) < 25.0);
        assert_true(least_of(run, "ph", 70.5, 96.0) > 12.0);
        run_free(run);
    }
}

/* ---- too little of something
 * ------------------------------------------------------------------------------------- */

/* Common practice: without sugar it never reduces and the pH stays near that of limewater. */
static void no_sugar_never_reduces(void **state)
{
    (void)state;
    struct fresh fresh = fresh_vat(5.0, 50.0, 20.0);
    fresh.sugar_g = 0.0;
    fresh.hours = 4.0 * 24.0;
    fresh.record_min = 60.0;
    struct vat_run *run = run_fresh(&fresh, NULL);
    assert_true(most_of(run, "reduced_share", 0.0, fresh.hours) < 1e-9);
    assert_true(least_of(run, "orp", 0.0, fresh.hours) > -250.0);
    assert_between(value_at(run, "ph", 72.0), 12.2, 12.7); /* practice: about 12.4 */
    run_free(run);
}

/* A week of work: every day two shirts, three dips each, then a stir and warming to 45 degC. */
static struct vat_run *run_worked_week(double sugar_share)
{
    char calendar[CALENDAR_SIZE] = "";
    for (int day = 0; day < 7; day++) {
        calendar_add(calendar,
                     "at = \"+%d min\"; do = \"dip\"; cloth = \"shirt\"; pieces = 2; dips = 3; soak = \"8 min\"; "
                     "air = \"15 min\";",
                     240 + 1440 * day);
        calendar_add(calendar, "at = \"+%d min\"; do = \"stir\";", 360 + 1440 * day);
        calendar_add(calendar, "at = \"+%d min\"; do = \"heat\"; to = \"45 degC\";", 361 + 1440 * day);
    }
    struct fresh fresh = fresh_vat(5.0, 50.0, 20.0);
    fresh.sugar_g *= sugar_share;
    fresh.hours = 7.0 * 24.0;
    fresh.record_min = 30.0;
    fresh.cloth =
        "{ name = \"shirt\"; fibre = \"cotton\"; each = \"100 g\"; fabric = \"150 g/m2\"; count = 8; wetted = true; }";
    fresh.calendar = calendar;
    return run_fresh(&fresh, NULL);
}

/* Common practice: with the sugar halved it still reduces, but tires sooner. A vat is tired here when its leuco is
 * below 0.21 g/L or its potential above -520 mV. */
static void half_the_sugar_tires_sooner_in_use(void **state)
{
    (void)state;
    struct vat_run *full = run_worked_week(1.0);
    struct vat_run *half = run_worked_week(0.5);
    double tired_full = fmin(first_below(full, "leuco", 0.21, 6.0), first_above(full, "orp", -520.0, 6.0));
    double tired_half = fmin(first_below(half, "leuco", 0.21, 6.0), first_above(half, "orp", -520.0, 6.0));
    print_message("worked daily: tired after %.1f days with all the sugar, %.1f with half\n", tired_full / 24.0,
                  tired_half / 24.0);
    assert_true(most_of(half, "reduced_share", 0.0, 24.0) > MIDDLE_OF_USABLE);
    assert_true(tired_half < tired_full);
    for (double hour = 24.0; hour <= 144.0; hour += 24.0) {
        assert_true(value_at(half, "leuco", hour) < value_at(full, "leuco", hour));
    }
    run_free(full);
    run_free(half);
}

/* Finding, docs/model.md "Half the sugar": practice has 1 to 3 days against 4 to 7; the model, in use, about 3.5
 * against 4, and undisturbed no difference to speak of, as either vat's sugar is gone in half a day at 50 degC. */
static void half_the_sugar_undisturbed_lasts_as_long(void **state)
{
    (void)state;
    double tired[2];
    for (int i = 0; i < 2; i++) {
        struct fresh fresh = fresh_vat(5.0, 50.0, 20.0);
        fresh.sugar_g *= i == 0 ? 1.0 : 0.5;
        fresh.hours = 10.0 * 24.0;
        fresh.record_min = 30.0;
        struct vat_run *run = run_fresh(&fresh, NULL);
        tired[i] = fmin(first_below(run, "leuco", 0.21, 6.0), first_above(run, "orp", -520.0, 6.0)) / 24.0;
        run_free(run);
    }
    print_message("undisturbed: tired after %.1f days with all the sugar, %.1f with half\n", tired[0], tired[1]);
    assert_between(tired[0], 4.0, 7.0); /* practice: 4 to 7 */
    assert_close(tired[1], tired[0], 0.15, 0.0);
}

/* Science 5: with the lime halved the pH is at least 0.5 below the full-lime vat after a warm day, and below 10.5
 * within two at the high end of acid yield. */
static void half_the_lime_sinks_the_ph(void **state)
{
    (void)state;
    struct fresh full = fresh_vat(5.0, 50.0, 45.0); /* kept warm by a room of 45 degC, as by a water bath */
    full.hours = 48.0;
    struct fresh half = full;
    half.lime_g *= 0.5;
    struct vat_run *run_full = run_fresh(&full, NULL);
    struct vat_run *run_half = run_fresh(&half, NULL);
    print_message("after a warm day: pH %.2f with all the lime, %.2f with half\n", value_at(run_full, "ph", 24.0),
                  value_at(run_half, "ph", 24.0));
    assert_true(value_at(run_full, "ph", 24.0) - value_at(run_half, "ph", 24.0) >= 0.5);
    run_free(run_half);
    run_half = run_fresh(&half, "constants.acid_per_hexose=2.0");
    print_message("half the lime at two acids per sugar: below pH 10.5 after %.1f h\n",
                  first_below(run_half, "ph", 10.5, 0.5));
    assert_between(first_below(run_half, "ph", 10.5, 0.5), 0.5, 48.0);
    run_free(run_full);
    run_free(run_half);
}

/* Common practice: without lime the pH ends at 4 to 7 and there is no usable leuco. The water's own alkalinity
 * holds it up: docs/model.md "No lime at all" has how far. */
static void no_lime_turns_sour_without_leuco(void **state)
{
    (void)state;
    static const struct {
        double air_degC, alkalinity_mg_per_L, low, high;
    } cases[] = {
        {20.0, 100.0, 7.0, 7.5}, /* finding: a cooling vat of ordinary tap water stays just above 7 */
        {45.0, 100.0, 4.0, 7.0},
        {45.0, 10.0, 4.0, 7.0},
    };
    for (int i = 0; i < 3; i++) {
        struct fresh fresh = fresh_vat(5.0, 50.0, cases[i].air_degC);
        fresh.lime_g = 0.0;
        fresh.hours = 48.0;
        fresh.alkalinity_mg_per_L = cases[i].alkalinity_mg_per_L;
        struct vat_run *run = run_fresh(&fresh, NULL);
        print_message("no lime, %g mg/L alkalinity, room %g degC: pH %.2f after two days\n",
                      cases[i].alkalinity_mg_per_L, cases[i].air_degC, value_at(run, "ph", 48.0));
        assert_true(most_of(run, "leuco", 0.0, 48.0) < 1e-3);
        assert_between(value_at(run, "ph", 48.0), cases[i].low, cases[i].high);
        run_free(run);
    }
}

/* ---- recipes and sugars
 * ------------------------------------------------------------------------------------------ */

/* A recipe by weight of powder as sold, ground wet beforehand as recipes ask (hence brought in as paste). */
static struct fresh recipe(double powder_g, double lime_g, double fructose_g, double fill_L, double water_degC)
{
    struct fresh fresh = fresh_vat(1.0, water_degC, 20.0);
    fresh.indigo_g = powder_g * NATURAL_POWDER / fresh.purity;
    fresh.lime_g = lime_g;
    fresh.sugar_g = fructose_g;
    fresh.fill_L = fill_L;
    fresh.diameter_cm = fresh.depth_cm = 12.5 * cbrt(fill_L);
    fresh.hours = 3.0;
    fresh.record_min = 1.0;
    return fresh;
}

/* Common practice, +-2x: 50 g indigo, 100 g lime, 150 g fructose in about 8 L at 50 degC; usable at 1 h, yellow-
 * green, bronze film. */
static void recipe_of_a_small_bucket(void **state)
{
    (void)state;
    struct fresh fresh = recipe(50.0, 100.0, 150.0, 8.0, 50.0);
    struct vat_run *run = run_fresh(&fresh, NULL);
    print_message("50/100/150 g in 8 L: 15 %% reduced at %.2f h, bronze at %.2f h\n",
                  first_usable(run, MIDDLE_OF_USABLE), first_above(run, "look", LOOK_BRONZE, 0.0));
    assert_between(first_usable(run, MIDDLE_OF_USABLE), 0.5, 2.0);
    assert_between(first_above(run, "look", LOOK_BRONZE, 0.0), 0.25, 2.0);
    run_free(run);
}

/* Common practice, +-2x: 15/30/45 g in 0.4 L in a hot water bath; visibly reducing over about 15 min, pH 11+. The
 * pH is taken as dyers read it, on a meter set at 25 degC. A jar is stirred as one watches it, here every 5 min.
 * Finding, docs/model.md "The jar": left to settle, its lime lies out of reach and it reads below 11. */
static void recipe_of_a_jar_in_a_water_bath(void **state)
{
    (void)state;
    double meter[2];
    for (int stirred = 0; stirred < 2; stirred++) {
        char calendar[CALENDAR_SIZE] = "";
        calendar_add(calendar,
                     "at = \"+0 min\"; do = \"heat\"; to = \"65 degC\"; for = \"2 hours\"; power = \"300 W\";");
        if (stirred) {
            calendar_add(calendar, "every = \"5 min\"; do = \"stir\";");
        }
        struct fresh fresh = recipe(15.0, 30.0, 45.0, 0.4, 65.0);
        fresh.stirred = false;
        fresh.calendar = calendar;
        struct vat_run *run = run_fresh(&fresh, NULL);
        meter[stirred] = value_at(run, "ph_meter", 14.0 / 60.0);
        print_message("15/30/45 g in 0.4 L, %s: at 14 min leuco %.2f g/L, pH %.2f, %.2f on a plain meter\n",
                      stirred ? "stirred" : "left", value_at(run, "leuco", 14.0 / 60.0),
                      value_at(run, "ph", 14.0 / 60.0), meter[stirred]);
        assert_true(first_above(run, "look", LOOK_GREEN, 0.0) <= 0.5);
        assert_true(value_at(run, "leuco", 14.0 / 60.0) > 0.21);
        assert_true(value_at(run, "orp", 14.0 / 60.0) < -520.0);
        run_free(run);
    }
    assert_true(meter[1] >= 11.0);
    assert_between(meter[0], 10.3, 11.0);
}

/* Common practice, +-2x: 10/20/30 g in 3 L, started at about 80 degC; in order in 30 min. */
static void recipe_started_very_hot(void **state)
{
    (void)state;
    struct fresh fresh = recipe(10.0, 20.0, 30.0, 3.0, 80.0);
    struct vat_run *run = run_fresh(&fresh, NULL);
    print_message("10/20/30 g in 3 L from 80 degC: %.3f reduced at 30 min, potential %.0f mV\n",
                  value_at(run, "reduced_share", 0.5), value_at(run, "orp", 0.5));
    assert_true(first_usable(run, 0.05) <= 1.0);
    assert_between(value_at(run, "reduced_share", 0.5), 0.05, 0.25);
    run_free(run);
}

/* Finding, docs/model.md "Very hot starts": the same recipe with powder strewn in dry misses it, as at 80 degC the
 * sugar is burnt before the powder is wet. */
static void recipe_started_very_hot_with_dry_powder(void **state)
{
    (void)state;
    struct fresh fresh = recipe(10.0, 20.0, 30.0, 3.0, 80.0);
    fresh.indigo = "indigo powder";
    fresh.indigo_g = 10.0;
    fresh.purity = NATURAL_POWDER;
    struct vat_run *run = run_fresh(&fresh, NULL);
    print_message("the same strewn in dry: %.3f reduced at 30 min\n", value_at(run, "reduced_share", 0.5));
    assert_between(value_at(run, "reduced_share", 0.5), 0.01, 0.05);
    run_free(run);
}

/* Practice: 1.25 to 1.4 times as much honey as fructose for the same reducing sugar (White et al. 1962); white
 * sugar does not reduce. Half of honey's sugar is glucose, which reduces more slowly: hence "within a fifth", an
 * estimate. */
static void honey_does_and_white_sugar_does_not(void **state)
{
    (void)state;
    struct fresh fresh = fresh_vat(5.0, 50.0, 20.0);
    struct vat_run *fructose = run_fresh(&fresh, NULL);
    double sugar = value_at(fructose, "hexose", 0.0);
    double leuco = most_of(fructose, "leuco", 0.0, 24.0);
    run_free(fructose);

    fresh.sugar = "honey";
    fresh.sugar_g *= 1.32;
    struct vat_run *honey = run_fresh(&fresh, NULL);
    double ratio = 1.32 * sugar / value_at(honey, "hexose", 0.0);
    print_message("honey for fructose: %.3f times as much; leuco %.3f against %.3f g/L\n", ratio,
                  most_of(honey, "leuco", 0.0, 24.0), leuco);
    assert_between(ratio, 1.25, 1.4);
    assert_close(most_of(honey, "leuco", 0.0, 24.0), leuco, 0.2, 0.0);
    run_free(honey);

    fresh.sugar = "white sugar";
    struct vat_run *white = run_fresh(&fresh, NULL);
    assert_true(most_of(white, "leuco", 0.0, 24.0) < 1e-3);
    run_free(white);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(usable_within_the_hour_at_50_degC),
        cmocka_unit_test(usable_within_days_at_20_degC),
        cmocka_unit_test(cold_vat_passes_5_percent_early),
        cmocka_unit_test(leuco_levels_off_far_from_proportion),
        cmocka_unit_test(hot_ph_while_lime_dissolves),
        cmocka_unit_test(strong_vat_falls_below_until_stirred),
        cmocka_unit_test(cooled_liquor_over_lime_reads_above_12),
        cmocka_unit_test(no_sugar_never_reduces),
        cmocka_unit_test(half_the_sugar_tires_sooner_in_use),
        cmocka_unit_test(half_the_sugar_undisturbed_lasts_as_long),
        cmocka_unit_test(half_the_lime_sinks_the_ph),
        cmocka_unit_test(no_lime_turns_sour_without_leuco),
        cmocka_unit_test(recipe_of_a_small_bucket),
        cmocka_unit_test(recipe_of_a_jar_in_a_water_bath),
        cmocka_unit_test(recipe_started_very_hot),
        cmocka_unit_test(recipe_started_very_hot_with_dry_powder),
        cmocka_unit_test(honey_does_and_white_sugar_does_not),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
