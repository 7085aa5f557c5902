/* test_strip.c: the test strip, a small piece of cotton dipped in the standard way, as a reading and in rules.
 *
 * Sources: practice section 1.3 (one standard dip as the check of a vat's strength, common practice); what a strip
 * takes is what a dip of the same length does to cotton, by construction.
 */
#include "behaviour/dyeing.h"

#include "chem/shade.h"

#include <math.h>
#include <stdio.h>

#define STIRS 3 /* with which a fresh vat's calendar begins */
#define READ_AT(minutes) "{ at = \"+" #minutes " min\"; do = \"read\"; read = \"test strip\"; }"

/* The stronger the liquor the more the strip takes; what it says is g/kg left after rinsing. */
static void strip_rises_with_leuco(void **state)
{
    (void)state;
    double before = 0.0;
    for (double indigotin = 5.0; indigotin < 200.0; indigotin *= 2.0) {
        struct rested vat = good_vat();
        vat.indigotin_g = indigotin;
        vat.calendar = READ_AT(10);
        struct vat_run *run = run_rested(&vat, NULL);
        double reading = event_value(run, 0, 0, "reading_strip");
        print_message("%.3f g/L: %.2f g/kg, %s\n", event_value(run, 0, 0, "leuco_before"), reading,
                      shade_name(shade_of_owf(1e-3 * reading)));
        assert_true(reading > 1.05 * before);
        before = reading;
        run_free(run);
    }
    assert_between(before, 2.0, 12.0);
}

/* Reading takes no dye out of the vat and leaves everything as it was. */
static void strip_takes_nothing(void **state)
{
    (void)state;
    struct rested vat = good_vat();
    struct vat_run *unread = run_rested(&vat, NULL);
    vat.calendar = READ_AT(30) ", " READ_AT(60);
    struct vat_run *read = run_rested(&vat, NULL);
    assert_close(value_at(read, "leuco", 4.0), value_at(unread, "leuco", 4.0), 1e-4, 0.0);
    assert_close(value_at(read, "volume", 4.0), value_at(unread, "volume", 4.0), 1e-6, 0.0);
    run_free(unread);
    run_free(read);
}

/* A strip tells what the next piece of cotton of 150 g/m2 will be after the wash, within 15 %. */
static void strip_foretells_a_dip(void **state)
{
    (void)state;
    struct rested vat = good_vat();
    struct dips dips = one_dip();
    struct vat_run *run = run_dipped(vat, dips, "{ at = \"+4 min\"; do = \"read\"; read = \"test strip\"; }", NULL);
    double told = event_value(run, 1, 0, "reading_strip");
    double came = 10.0 * piece_value(run, 0, "owf_washed");
    print_message("the strip says %.2f g/kg, the piece has %.2f after the wash\n", told, came);
    assert_close(told, came, 0.15, 0.0);
    run_free(run);
}

/* Days of work with a rule in the calendar: it feeds on the days when the strip is paler than light and on no other. */
static void rule_feeds_when_pale(void **state)
{
    (void)state;
    char calendar[CALENDAR_SIZE] = "";
    calendar_add(calendar,
                 "every = \"1 day\"; from = \"+8 h\"; do = \"add\"; what = \"fructose\"; amount = \"20 g\"; when "
                 "= \"test strip paler than light\"; label = \"rule\";");
    calendar_add(calendar, "after = \"rule\"; delay = \"5 min\"; do = \"stir\";");
    calendar_add(
        calendar,
        "every = \"1 day\"; from = \"+4 h\"; do = \"dip\"; cloth = \"cloth\"; pieces = 4; dips = 2; soak = \"10 "
        "min\";");
    calendar_add(calendar, "every = \"1 day\"; from = \"+7.9 h\"; do = \"read\"; read = \"test strip\";");
    struct fresh fresh = fresh_vat(10.0, 50.0, 22.0);
    fresh.hours = 14.0 * 24.0;
    fresh.record_min = 60.0;
    fresh.cloth = "{ name = \"cloth\"; fibre = \"cotton\"; each = \"80 g\"; count = 60; }";
    fresh.calendar = calendar;
    struct vat_run *run = run_fresh(&fresh, NULL);
    int fed = 0;
    int stirred = 0;
    double light = 1e3 * shade_owf_from(SHADE_LIGHT);
    for (int day = 0; day < 14; day++) {
        double reading = event_value(run, STIRS, day, "reading_strip");
        int done = (int)event_value(run, STIRS, day, "done");
        assert_int_equal(done, reading < light);
        assert_close(reading, event_value(run, STIRS + 3, day, "reading_strip"), 0.02, 0.0); /* six minutes before */
        fed += done;
        print_message("%.2f%s ", reading, done ? " fed" : "");
    }
    for (size_t row = 0; row < run->result.events.rows; row++) {
        stirred += (int)table_column(&run->result.events, "source")->values[row] == STIRS + 1;
    }
    print_message("fed on %d of 14 days\n", fed);
    assert_in_range(fed, 1, 13);
    assert_int_equal(stirred, fed); /* what follows a rule follows it only when it was followed */
    assert_close(ledger_row(run, "hexose", "added"), fresh.sugar_g + 20.0 * fed, 1e-6, 0.0);
    run_free(run);
}

/* "darker than", and a bound in per cent, split the readings at the same place. */
static void rules_in_other_words(void **state)
{
    (void)state;
    static const struct {
        const char *when;
        double sign, bound; /* g/kg */
    } rules[] = {{"test strip darker than light", -1.0, 7.5},
                 {"test strip paler than mid", 1.0, 7.5},
                 {"test strip < 0.3 %", 1.0, 3.0},
                 {"test strip >= 0.3 %", -1.0, 3.0},
                 {"test strip < 0.5 %", 1.0, 5.0}};
    for (double indigotin = 40.0; indigotin < 400.0; indigotin *= 2.0) {
        char calendar[CALENDAR_SIZE] = "";
        for (size_t i = 0; i < sizeof rules / sizeof rules[0]; i++) {
            calendar_add(calendar, "at = \"+10 min\"; do = \"stir\"; when = \"%s\";", rules[i].when);
        }
        struct rested vat = good_vat();
        vat.indigotin_g = indigotin;
        vat.calendar = calendar;
        struct vat_run *run = run_rested(&vat, NULL);
        for (size_t i = 0; i < sizeof rules / sizeof rules[0]; i++) {
            double reading = event_value(run, (int)i, 0, "reading_strip");
            assert_int_equal((int)event_value(run, (int)i, 0, "done"),
                             rules[i].sign * reading < rules[i].sign * rules[i].bound);
        }
        print_message("%.0f g of indigotin: %.2f g/kg\n", indigotin, event_value(run, 0, 0, "reading_strip"));
        run_free(run);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(strip_rises_with_leuco), cmocka_unit_test(strip_takes_nothing),
        cmocka_unit_test(strip_foretells_a_dip),  cmocka_unit_test(rule_feeds_when_pale),
        cmocka_unit_test(rules_in_other_words),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
