/* test_fermentation_start.c: when fermented vats start, and when they do not.
 *
 * Published inputs and outcomes: chemistry section 9, rows 19 to 29; practice section 8, row 16. Cases of common practice hold
 * within a factor of two. "Usable" is 5 % of the indigotin reduced and a potential below -520 mV. Findings: docs/fermentation.md.
 */
#include "behaviour/ferment.h"

#include "sim/series.h"

#include <math.h>
#include <stdio.h>

/* Ellis & Boutrup 2018 and notes: bran 5, madder 5, soda 25, indigo 2 to 10 g/L, warm, unseeded: day 7 to 14, at most 30. */
static void unseeded_bran_vat(void **state)
{
    (void)state;
    static const double warmths[] = {25.0, 28.0, 32.0};
    for (int i = 0; i < 3; i++) {
        struct live_vat vat = bran_vat(8.0, warmths[i]);
        struct vat_run *run = run_live(&vat, NULL);
        print_message("unseeded at %g degC: day %.1f, pH %.2f then\n", warmths[i], usable_day(run),
                      value_at(run, "ph", 24.0 * usable_day(run)));
        assert_between(usable_day(run), i < 2 ? 7.0 : 4.0, 14.0); /* the warmest within the 4 to 14 days of Aino et al. 2018 */
        run_free(run);
    }
}

/* The same, seeded with old liquor: day 2 to 3; "2-3 days instead of 10-12". Half a day is left either way. */
static void seeded_bran_vat(void **state)
{
    (void)state;
    struct live_vat vat = bran_vat(8.0, 28.0);
    vat.old_liquor = 50.0;
    vat.days = 8.0;
    struct vat_run *run = run_live(&vat, NULL);
    print_message("seeded with 5 %% of old liquor: day %.1f\n", usable_day(run));
    assert_between(usable_day(run), 1.5, 3.5);
    run_free(run);
    vat.old_liquor = 100.0;
    run = run_live(&vat, NULL);
    print_message("seeded with 10 %%: day %.1f\n", usable_day(run));
    assert_between(usable_day(run), 1.5, 3.5);
    run_free(run);
}

/* Row 21, common practice +-2x: 1 oz indigo, 0.5 madder, 0.5 bran, 3 soda ash in 2 gal at 37 degC: day 5 to 10. Holds under a tight
 * lid; finding: under a loose one so little bran cannot keep up with the air. */
static void small_madder_vat_at_37_degC(void **state)
{
    (void)state;
    double day[2];
    for (int loose = 0; loose < 2; loose++) {
        struct live_vat vat = bran_vat(3.7, 37.0);
        vat.fill_L = 7.6;
        vat.diameter_cm = 20.0;
        vat.madder = vat.raw_bran = 1.85;
        vat.soda = 11.2;
        vat.days = 20.0;
        vat.lid = loose ? "loose" : "tight";
        struct vat_run *run = run_live(&vat, NULL);
        day[loose] = usable_day(run);
        run_free(run);
    }
    print_message("madder, bran and soda at 37 degC: day %.1f under a tight lid, %.1f under a loose one\n", day[0], day[1]);
    assert_between(day[0], 2.5, 20.0);
    assert_true(day[1] > 20.0); /* the finding */
}

/* Row 22, Mairet 1916: madder and bran boiled three hours, potash, indigo at lukewarm: two days. Finding: the model takes a week
 * unseeded and meets it with a little old liquor; dyers of old had live vats about. */
static void potash_vat(void **state)
{
    (void)state;
    double day[2];
    for (int seeded = 0; seeded < 2; seeded++) {
        struct live_vat vat = bran_vat(5.0, 32.0);
        vat.water_degC = 40.0;
        vat.raw_bran = 0.0;
        vat.boiled_bran = vat.madder = 4.3;
        vat.soda = 0.0;
        vat.potash = 14.2;
        vat.old_liquor = seeded ? 30.0 : 0.0;
        struct vat_run *run = run_live(&vat, NULL);
        day[seeded] = usable_day(run);
        run_free(run);
    }
    print_message("potash vat: day %.1f unseeded, %.1f with 3 %% of old liquor\n", day[0], day[1]);
    assert_between(day[0], 4.0, 14.0);
    assert_between(day[1], 1.0, 4.0);
}

/* Row 23, a manual of 1853, +-2x: 20 pails of bran, 22 lb soda, 11 lb indigo, 5.5 lb lime, water of 93 degC: 12 to 18 h. Taken as
 * 70 kg of bran in 1500 L. Finding: no life has a part in it; hot alkali turns the bran's sugar against the indigo. */
static void soda_vat_started_near_boiling(void **state)
{
    (void)state;
    char calendar[CALENDAR_SIZE] = "";
    calendar_add(calendar, "every = \"6 h\"; do = \"stir\";");
    struct live_vat vat = {.model = "hot-madder", .fill_L = 1500.0, .diameter_cm = 130.0, .depth_cm = 140.0, .night_degC = 18.0,
                           .day_degC = 18.0, .water_degC = 93.0, .days = 1.5, .record_h = 1.0, .lid = "loose", .wall = "plastic",
                           .indigo = 3.3, .raw_bran = 46.7, .soda = 6.7, .lime = 1.67, .calendar = calendar};
    struct vat_run *run = run_live(&vat, NULL);
    print_message("soda, bran and lime from 93 degC: usable at %.0f h, cells %.2f mg/L\n", 24.0 * usable_day(run),
                  value_at(run, "cells", 24.0 * usable_day(run)));
    assert_between(24.0 * usable_day(run), 6.0, 36.0);
    run_free(run);
}

/* Row 24, Packer after Hellot, +-2x: 8 gal, 5 lb woad, 1 oz madder, a handful of bran, blood-warm; gas after 11 h, then 2 oz of lime;
 * first colour at 12 to 13 h. */
static void small_woad_vat(void **state)
{
    (void)state;
    char calendar[CALENDAR_SIZE] = "";
    calendar_add(calendar, "at = \"+1 min\"; do = \"heat\"; to = \"38 degC\"; for = \"23 h\";");
    calendar_add(calendar, "at = \"+11 h\"; do = \"add\"; what = \"slaked lime\"; amount = \"57 g\";");
    calendar_add(calendar, "at = \"+11 h\"; do = \"stir\";");
    struct live_vat vat = {.model = "hot-madder", .fill_L = 30.0, .diameter_cm = 34.0, .depth_cm = 40.0, .night_degC = 20.0,
                           .day_degC = 20.0, .water_degC = 39.0, .days = 1.0, .record_h = 0.25, .lid = "loose", .wall = "wood",
                           .heater = "300 W", .woad = 75.7, .madder = 0.93, .raw_bran = 1.3, .calendar = calendar};
    struct vat_run *run = run_live(&vat, NULL);
    print_message("small woad vat: cells %.0f mg/L and %.1f mg/L of oxygen before the lime, usable at %.1f h\n",
                  value_at(run, "cells", 10.75), value_at(run, "oxygen", 10.75), 24.0 * usable_day(run));
    assert_true(value_at(run, "cells", 10.75) > 2.0 * value_at(run, "cells", 0.0));
    assert_between(24.0 * usable_day(run), 6.0, 26.0);
    run_free(run);
}

static struct live_vat hot_woad_vat(double degC)
{
    return (struct live_vat){.model = "hot-madder", .fill_L = 100.0, .diameter_cm = 48.0, .depth_cm = 60.0, .night_degC = degC,
                             .day_degC = degC, .water_degC = degC, .days = 6.0, .record_h = 2.0, .lid = "loose", .wall = "plastic",
                             .woad = 80.0, .madder = 3.0, .raw_bran = 3.0, .soda = 1.0, .stirred_daily = true};
}

/* Row 25, Padden et al., Nature 1998, 396, 225: a woad vat at pH 9 and 47 to 50 degC reads -560 to -595 mV against SCE, which is -515
 * to -550 against Ag/AgCl. */
static void steady_woad_vat_potential(void **state)
{
    (void)state;
    char calendar[CALENDAR_SIZE] = "";
    calendar_add(calendar, "every = \"6 h\"; read = \"meter\"; when = \"ph < 8.9\"; do = \"add\"; what = \"soda ash\"; amount = \"100 g\";");
    struct live_vat vat = hot_woad_vat(48.0);
    vat.calendar = calendar;
    struct vat_run *run = run_live(&vat, NULL);
    print_message("woad vat, day 4 to 6: pH %.2f to %.2f, %.0f to %.0f mV\n", least_of(run, "ph", 96.0, 144.0),
                  most_of(run, "ph", 96.0, 144.0), least_of(run, "orp", 96.0, 144.0), most_of(run, "orp", 96.0, 144.0));
    assert_between(most_of(run, "orp", 96.0, 144.0), -550.0, -515.0);
    assert_between(least_of(run, "orp", 96.0, 144.0), -550.0, -515.0);
    assert_between(value_at(run, "ph", 120.0), 8.7, 9.3);
    run_free(run);
}

/* Row 26, Osimani et al., J. Ind. Microbiol. Biotechnol. 2012, 39, 1309: woad 140 g/L at 2.4 g/L of indigo; reducing by 24 h; without
 * air faster than with a little. Told by the share reduced; by the potential the open vat, whose pH is higher, is first
 * (docs/fermentation.md). */
static void woad_ferments_faster_without_air(void **state)
{
    (void)state;
    char calendar[CALENDAR_SIZE] = "";
    calendar_add(calendar, "every = \"2 h\"; read = \"meter\"; when = \"ph < 9\"; do = \"add\"; what = \"soda ash\"; amount = \"4 g\";");
    double hours[2];
    double leuco[2];
    for (int open = 0; open < 2; open++) {
        struct live_vat vat = hot_woad_vat(47.0);
        vat.fill_L = 2.0;
        vat.diameter_cm = 12.0;
        vat.depth_cm = 22.0;
        vat.woad = 140.0;
        vat.madder = vat.raw_bran = 0.0;
        vat.soda = 2.0;
        vat.indigo = 4.2; /* 1.6 g/L, with 0.84 of the woad */
        vat.days = 3.0;
        vat.record_h = 0.5;
        vat.lid = open ? "none" : "tight";
        vat.stirred_daily = false;
        vat.calendar = calendar;
        struct vat_run *run = run_live(&vat, NULL);
        hours[open] = first_above(run, "reduced_share", 0.05, 0.0);
        assert_true(usable_day(run) <= 1.0);
        leuco[open] = value_at(run, "leuco", 36.0);
        run_free(run);
    }
    print_message("woad 140 g/L: 5 %% reduced at %.1f h without air, %.1f h open; leuco at 36 h %.2f and %.2f g/L\n", hours[0], hours[1],
                  leuco[0], leuco[1]);
    assert_true(hours[0] < hours[1]);
    assert_true(leuco[0] > leuco[1]);
}

/* Row 28: lime to pH 13 stops it, and a vat held above 12 never starts. Common practice. */
static void strong_alkali_stalls(void **state)
{
    (void)state;
    struct live_vat vat = bran_vat(8.0, 28.0);
    vat.lime = 12.0;
    vat.days = 30.0;
    struct vat_run *run = run_live(&vat, NULL);
    print_message("12 g/L of lime in soda: pH %.1f on day 5, cells %.3f mg/L on day 30\n", value_at(run, "ph", 120.0),
                  value_at(run, "cells", 720.0));
    assert_true(value_at(run, "ph", 120.0) > 12.5);
    assert_true(value_at(run, "cells", 720.0) < value_at(run, "cells", 0.0));
    assert_true(most_of(run, "leuco", 24.0 * 5, 720.0) < 0.02);
    assert_true(value_at(run, "state", 240.0) == VAT_STALLED);
    assert_true(has_note(run, "stalled by alkali"));
    run_free(run);

    vat = bran_vat(8.0, 28.0); /* in the swing: seeded, at work, then overlimed */
    char calendar[CALENDAR_SIZE] = "";
    calendar_add(calendar, "at = \"day 6\"; do = \"add\"; what = \"slaked lime\"; amount = \"240 g\";");
    vat.old_liquor = 50.0;
    vat.calendar = calendar;
    run = run_live(&vat, NULL);
    print_message("overlimed at work: cells %.0f before, %.1f mg/L ten days later\n", value_at(run, "cells", 118.0),
                  value_at(run, "cells", 24.0 * 16.0));
    assert_true(value_at(run, "cells", 24.0 * 16.0) < 0.1 * value_at(run, "cells", 118.0));
    run_free(run);
}

/* Row 29 and practice row 16: nights of 12 and days of 18 to 20 degC: nothing after a month; 12 degC: nothing after two weeks, seeded or
 * not. Common practice. */
static void cold_does_not_start(void **state)
{
    (void)state;
    struct live_vat vat = bran_vat(8.0, 16.0);
    vat.night_degC = 12.0;
    vat.day_degC = 20.0;
    vat.days = 31.0;
    struct vat_run *run = run_live(&vat, NULL);
    print_message("12 to 20 degC for a month: reduced %.4f, cells %.2f mg/L\n", value_at(run, "reduced_share", 744.0),
                  value_at(run, "cells", 744.0));
    assert_true(usable_day(run) > 31.0);
    assert_true(most_of(run, "reduced_share", 0.0, 744.0) < 0.01);
    assert_true(has_note(run, "too cold for its cells"));
    run_free(run);
    for (int seeded = 0; seeded < 2; seeded++) {
        vat = leaf_vat(12.0);
        vat.old_liquor = seeded ? 60.0 : 0.0;
        run = run_live(&vat, NULL);
        assert_true(most_of(run, "reduced_share", 0.0, 14.0 * 24.0) < 0.01);
        run_free(run);
    }
}

/* Practice row 16 and chemistry row 27: 40 L of composted leaf at 25 to 30 degC, limed as it works: 7 to 14 days (Aino et al. 2018: 4 to
 * 14), seeded 2 to 4; the potential drops in the first days. */
static void leaf_vat_starts(void **state)
{
    (void)state;
    char calendar[CALENDAR_SIZE] = "";
    keep_leaf_vat(calendar, 40.0, 17.0);
    double day[2];
    for (int warm = 0; warm < 2; warm++) {
        struct live_vat vat = leaf_vat(warm ? 28.0 : 25.0);
        vat.calendar = calendar;
        struct vat_run *run = run_live(&vat, NULL);
        day[warm] = usable_day(run);
        double falls = first_below(run, "orp", -350.0, 0.0) / 24.0;
        print_message("leaf vat at %g degC: potential half way down (-350 mV) on day %.1f, usable on day %.1f\n", vat.day_degC, falls, day[warm]);
        assert_between(falls, 1.0, 4.0);
        assert_between(day[warm], 4.0, 14.0);
        run_free(run);
    }
    struct live_vat vat = leaf_vat(26.0);
    vat.old_liquor = 80.0;
    vat.ash_lye = 800.0;
    vat.calendar = calendar;
    struct vat_run *run = run_live(&vat, NULL);
    print_message("seeded: day %.1f\n", usable_day(run));
    assert_between(usable_day(run), 2.0, 4.0);
    run_free(run);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(unseeded_bran_vat),
        cmocka_unit_test(seeded_bran_vat),
        cmocka_unit_test(small_madder_vat_at_37_degC),
        cmocka_unit_test(potash_vat),
        cmocka_unit_test(soda_vat_started_near_boiling),
        cmocka_unit_test(small_woad_vat),
        cmocka_unit_test(steady_woad_vat_potential),
        cmocka_unit_test(woad_ferments_faster_without_air),
        cmocka_unit_test(strong_alkali_stalls),
        cmocka_unit_test(cold_does_not_start),
        cmocka_unit_test(leaf_vat_starts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
