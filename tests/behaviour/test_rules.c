/* test_rules.c: rules of one direction (practice section 8 row 26) over vats drawn at random: what warmth, air,
 * stirring and feeding may never do. */
#include "behaviour/behaviour.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define VATS_USUAL 6 /* for each rule; two dozen in all */

/* A small generator of its own, so that the same seed draws the same vats everywhere. */
static double draw(uint64_t *seed, double low, double high)
{
    *seed = *seed * 6364136223846793005u + 1442695040888963407u;
    return low + (high - low) * (double)(*seed >> 11) / 9007199254740992.0;
}

static uint64_t first_seed(void)
{
    const char *given = getenv("VATCAST_SEED");
    uint64_t seed = given == NULL ? 20260504u : strtoull(given, NULL, 10);
    print_message("seed %llu (VATCAST_SEED to change)\n", (unsigned long long)seed);
    return seed;
}

static int vats(void)
{
    const char *given = getenv("VATCAST_VATS");
    return given == NULL ? VATS_USUAL : (int)strtol(given, NULL, 10);
}

/* 5 to 60 L, 1 to 10 g/L of powder, 1 to 3 parts of lime and 1.5 to 4 of sugar. */
static struct fresh draw_vat(uint64_t *seed, double temperature_degC)
{
    struct fresh fresh = fresh_vat(1.0, temperature_degC, temperature_degC);
    fresh.fill_L = draw(seed, 5.0, 60.0);
    fresh.diameter_cm = 10.0 * cbrt(fresh.fill_L) * draw(seed, 1.0, 1.4);
    fresh.depth_cm = 1.2 * 1e3 * fresh.fill_L / (0.785398 * fresh.diameter_cm * fresh.diameter_cm);
    double powder = fresh.fill_L * draw(seed, 1.0, 10.0);
    fresh.indigo_g = 2.0 * powder;
    fresh.lime_g = powder * draw(seed, 1.0, 3.0);
    fresh.sugar_g = powder * draw(seed, 1.5, 4.0);
    fresh.alkalinity_mg_per_L = draw(seed, 20.0, 300.0);
    fresh.hours = 6.0;
    return fresh;
}

/* Hotter (20 to 50 degC) never slows reduction: the time to 3 % reduced never grows. */
static void warmth_never_slows_reduction(void **state)
{
    (void)state;
    uint64_t seed = first_seed();
    for (int vat = 0; vat < vats(); vat++) {
        struct fresh fresh = draw_vat(&seed, 20.0);
        double before = INFINITY;
        for (int step = 0; step < 4; step++) {
            fresh.water_degC = fresh.air_degC = 20.0 + 10.0 * step;
            struct vat_run *run = run_fresh(&fresh, NULL);
            double time = first_above(run, "reduced_share", 0.03, 0.0);
            assert_true(time <= before);
            before = time;
            run_free(run);
        }
        assert_true(before < 6.0);
    }
}

/* More air never helps: as the passage of oxygen through the surface rises from its low to its high, no vat has
 * more leuco at any time. */
static void air_never_helps(void **state)
{
    (void)state;
    static const char *const passages[] = {"constants.kl_still_20C=0.5 cm/h", "constants.kl_still_20C=2 cm/h"};
    uint64_t seed = first_seed() + 1;
    for (int vat = 0; vat < vats(); vat++) {
        struct fresh fresh = draw_vat(&seed, draw(&seed, 20.0, 50.0));
        fresh.hours = 12.0;
        fresh.record_min = 30.0;
        fresh.lid = "none";
        double before[25] = {0};
        for (int step = 0; step < 2; step++) {
            struct vat_run *run = run_fresh(&fresh, passages[step]);
            for (int row = 0; row <= 24; row++) {
                double reduced = value_at(run, "reduced_share", 0.5 * row);
                assert_true(step == 0 || reduced <= before[row] + 1e-4);
                before[row] = reduced;
            }
            run_free(run);
        }
    }
}

/* A deeper stir lifts more of the bed; what it lifts settles again. */
static void stirring_clouds_and_clears(void **state)
{
    (void)state;
    static const char *const ways[] = {"gentle", "brisk"};
    uint64_t seed = first_seed() + 2;
    for (int vat = 0; vat < vats(); vat++) {
        struct fresh fresh = draw_vat(&seed, draw(&seed, 20.0, 50.0));
        fresh.hours = 12.0;
        fresh.record_min = 1.0;
        double cloud = 0.0;
        for (int way = 0; way < 2; way++) {
            char calendar[CALENDAR_SIZE] = "";
            calendar_add(calendar, "at = \"+6 h\"; do = \"stir\"; how = \"%s\";", ways[way]);
            fresh.calendar = calendar;
            struct vat_run *run = run_fresh(&fresh, NULL);
            double clear = value_at(run, "turbidity", 6.0 - 1.0 / 60.0);
            double stirred = value_at(run, "turbidity", 6.0 + 1.0 / 60.0);
            assert_true(stirred > clear);
            assert_true(stirred > cloud);
            assert_true(value_at(run, "turbidity", 12.0) < stirred);
            cloud = stirred;
            run_free(run);
        }
    }
}

/* Feeding sugar never raises the pH, against the same vat stirred the same. */
static void feeding_never_raises_ph(void **state)
{
    (void)state;
    static const char *const sugars[] = {"fructose", "glucose", "honey", "dates"};
    uint64_t seed = first_seed() + 3;
    for (int vat = 0; vat < vats(); vat++) {
        struct fresh fresh = draw_vat(&seed, draw(&seed, 20.0, 50.0));
        fresh.hours = 14.0;
        double before[97] = {0};
        for (int fed = 0; fed < 2; fed++) {
            char calendar[CALENDAR_SIZE] = "";
            if (fed) {
                calendar_add(
                    calendar,
                    "at = \"+6 h\"; do = \"add\"; what = \"%s\"; amount = \"%g g\"; temperature = \"%g degC\";",
                    sugars[vat % 4], 1.0 * fresh.fill_L, fresh.water_degC);
            }
            calendar_add(calendar, "at = \"+365 min\"; do = \"stir\";");
            fresh.calendar = calendar;
            struct vat_run *run = run_fresh(&fresh, NULL);
            for (int row = 0; row < 97; row++) {
                double ph = value_at(run, "ph", 6.0 + row / 12.0);
                assert_true(fed == 0 || ph <= before[row] + 1e-3);
                before[row] = ph;
            }
            run_free(run);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(warmth_never_slows_reduction),
        cmocka_unit_test(air_never_helps),
        cmocka_unit_test(stirring_clouds_and_clears),
        cmocka_unit_test(feeding_never_raises_ph),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
