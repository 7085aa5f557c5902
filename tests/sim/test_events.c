/* test_events.c: what is done to a vat comes in the documented order, when its conditions hold, and does what it
 * says. */
#include "trial.h"

#include "support/close.h"

#include <string.h>

#define DAY 86400.0
#define HOUR 3600.0

/* ---- order and conditions ---------------------------------------------------------------------------------------- */

/* At one time things end before things begin, the next dip of a group goes before events, and events go in the
 * order of the file. */
static void events_at_one_time_go_in_order(void **state)
{
    (void)state;
    struct scenario *scenario = trial_read(TRIAL_HEAD("6 hours", "1 h") TRIAL_VAT TRIAL_CLOTH
                                           "calendar = (\n"
                                           "  { at = \"day 1 11:00\"; do = \"read\"; read = \"look\"; },\n"
                                           "  { at = \"day 1 10:45\"; do = \"stir\"; for = \"15 min\"; },\n"
                                           "  { at = \"day 1 10:00\"; do = \"dip\"; cloth = \"strip\"; pieces = 1; "
                                           "soak = \"20 min\"; air = \"20 min\"; dips = 2; },\n"
                                           "  { at = \"day 1 10:20\"; do = \"dip\"; cloth = \"strip\"; pieces = 2; "
                                           "soak = \"20 min\"; air = \"20 min\"; dips = 1; },\n"
                                           "  { at = \"day 1 10:40\"; do = \"skim\"; },\n"
                                           "  { at = \"day 1 11:00\"; do = \"cover\"; lid = \"none\"; },\n"
                                           "  { at = \"day 1 11:00\"; do = \"skim\"; } );\n");
    struct result result = trial_run(scenario);
    /* 10:40: cloth of the second dip out, then the first group in again, then the skimming; 11:00: out, then by the
     * file */
    const struct {
        double hours;
        int action;
    } want[] = {
        {0.0, RUN_ACTION_START},
        {2.0, ACTION_DIP},
        {2.0 + 1.0 / 3.0, RUN_ACTION_CLOTH_OUT},
        {2.0 + 1.0 / 3.0, ACTION_DIP},
        {2.0 + 2.0 / 3.0, RUN_ACTION_CLOTH_OUT},
        {2.0 + 2.0 / 3.0, ACTION_DIP},
        {2.0 + 2.0 / 3.0, ACTION_SKIM},
        {2.75, ACTION_STIR},
        {3.0, RUN_ACTION_CLOTH_OUT},
        {3.0, ACTION_READ},
        {3.0, ACTION_COVER},
        {3.0, ACTION_SKIM},
        {6.0, RUN_ACTION_END},
    };
    assert_int_equal(result.events.rows, sizeof want / sizeof want[0]);
    for (int i = 0; i < (int)result.events.rows; i++) {
        assert_close(trial_value(&result.events, "time", i), want[i].hours * HOUR, 0.0, 1e-6);
        assert_int_equal((int)trial_value(&result.events, "action", i), want[i].action);
        assert_int_equal((int)trial_value(&result.events, "done", i), 1);
    }
    result_free(&result);
    trial_free(scenario);
}

/* What a rule asks for decides whether it is done; each condition must hold; a skipped event changes nothing. */
static void conditions_gate(void **state)
{
    (void)state;
    struct scenario *scenario = trial_read(
        TRIAL_HEAD("12 hours", "1 h") TRIAL_VAT
        "calendar = (\n"
        "  { at = \"day 1 10:00\"; read = \"thermometer\"; when = \"temperature > 70 degC\"; do = \"add\"; what = "
        "\"fructose\"; amount = \"100 g\"; },\n"
        "  { at = \"day 1 11:00\"; read = \"thermometer\"; when = \"temperature < 70 degC\"; do = \"add\"; what = "
        "\"fructose\"; amount = \"30 g\"; },\n"
        "  { at = \"day 1 12:00\"; read = \"strip\"; when = \"temperature < 70 degC and ph < 5\"; do = \"add\"; what = "
        "\"fructose\"; amount = \"200 g\"; },\n"
        "  { at = \"day 1 13:00\"; when = \"level < 60 L\"; do = \"add\"; what = \"fructose\"; amount = \"7 g\"; },\n"
        "  { at = \"day 1 14:00\"; when = \"idle > 1 h\"; do = \"skim\"; } );\n");
    struct result result = trial_run(scenario);
    const int done[] = {0, 1, 0, 1, 1};
    for (int i = 0; i < 5; i++) {
        assert_int_equal((int)trial_value(&result.events, "done", i + 1), done[i]);
        assert_int_equal((int)trial_value(&result.events, "source", i + 1), i);
    }
    assert_close(trial_value(&result.events, "volume_after", 1), trial_value(&result.events, "volume_before", 1), 0.0,
                 0.0);
    const struct material *fructose = &scenario->model.materials[scenario->events[0].dose.material];
    double active = fructose->fructose + fructose->glucose;
    assert_close(trial_ledger(&result, "hexose", "added"), (600.0 + 37.0) * active, 1e-12, 0.0);
    /* the reading stands beside the decision; the thermometer errs by tenths, the strip shows steps of a half */
    assert_close(trial_value(&result.events, "reading_temperature", 1),
                 trial_value(&result.events, "temperature_before", 1), 0.0,
                 5.0 * scenario->model.constants[K_THERMOMETER_NOISE].nominal);
    double strip = trial_value(&result.events, "reading_ph", 3);
    assert_close(2.0 * strip, round(2.0 * strip), 0.0, 1e-12);
    assert_true(isnan(trial_value(&result.events, "reading_ph", 1)));
    result_free(&result);
    trial_free(scenario);
}

/* What follows an event comes when that has ended: a dip when its last cloth is out; it does not come after a
 * skipped one. */
static void events_follow_events(void **state)
{
    (void)state;
    struct scenario *scenario =
        trial_read(TRIAL_HEAD("12 hours", "1 h") TRIAL_VAT TRIAL_CLOTH
                   "calendar = (\n"
                   "  { after = \"dip\"; delay = \"15 min\"; do = \"add\"; what = \"fructose\"; amount = \"5 g\"; "
                   "label = \"feed\"; },\n"
                   "  { after = \"feed\"; delay = \"10 min\"; do = \"stir\"; for = \"1 min\"; },\n"
                   "  { at = \"day 1 10:00\"; do = \"dip\"; cloth = \"strip\"; pieces = 1; soak = \"20 min\"; air = "
                   "\"10 min\"; dips = 2; },\n"
                   "  { at = \"day 1 14:00\"; when = \"level < 1 L\"; do = \"skim\"; label = \"never\"; },\n"
                   "  { after = \"never\"; do = \"rack\"; } );\n");
    struct result result = trial_run(scenario);
    int feed = trial_event(&result, ACTION_ADD, 0);
    int stir = trial_event(&result, ACTION_STIR, 0);
    assert_true(feed > 0 && stir > 0);
    assert_close(trial_value(&result.events, "time", feed), (2.0 + 50.0 / 60.0 + 15.0 / 60.0) * HOUR, 0.0, 1e-6);
    assert_close(trial_value(&result.events, "time", stir), (2.0 + 75.0 / 60.0) * HOUR, 0.0, 1e-6);
    assert_int_equal(trial_event(&result, ACTION_ADD, 1), -1);
    assert_int_equal(trial_event(&result, ACTION_RACK, 0), -1);
    result_free(&result);
    trial_free(scenario);
}

/* Stirring has ended after its time, heating when the heater goes off. */
static void what_lasts_is_followed_at_its_end(void **state)
{
    (void)state;
    struct scenario *scenario =
        trial_read(TRIAL_HEAD("12 hours", "1 h") TRIAL_VAT
                   "calendar = (\n"
                   "  { after = \"stir\"; do = \"skim\"; },\n"
                   "  { after = \"heat\"; do = \"read\"; read = \"look\"; },\n"
                   "  { at = \"day 1 10:00\"; do = \"stir\"; for = \"4 min\"; },\n"
                   "  { at = \"day 1 12:00\"; do = \"heat\"; to = \"60 degC\"; for = \"30 min\"; power = \"5 kW\"; } );\n");
    struct result result = trial_run(scenario);
    double stirred = trial_value(&result.events, "time", trial_event(&result, ACTION_STIR, 0));
    double reached = trial_value(&result.events, "time", trial_event(&result, RUN_ACTION_HEATER_REACHED, 0));
    assert_close(trial_value(&result.events, "time", trial_event(&result, ACTION_SKIM, 0)), stirred + 240.0, 0.0, 1e-6);
    assert_close(trial_value(&result.events, "time", trial_event(&result, ACTION_READ, 0)), reached + 1800.0, 0.0, 1e-6);
    result_free(&result);
    trial_free(scenario);
}

/* `every` comes at its first time and then in equal steps up to its last. */
static void recurring_events_recur(void **state)
{
    (void)state;
    struct scenario *scenario =
        trial_read(TRIAL_HEAD("6 days", "6 h") TRIAL_VAT "calendar = ( { every = \"1 day\"; from = \"day 2 10:00\"; "
                                                         "until = \"day 5\"; do = \"read\"; read = \"look\"; } );\n");
    struct result result = trial_run(scenario);
    int count = 0;
    for (int row; (row = trial_event(&result, ACTION_READ, count)) >= 0; count++) {
        assert_close(trial_value(&result.events, "time", row), DAY + 2.0 * HOUR + count * DAY, 0.0, 1e-6);
    }
    assert_true(scenario->events[0].until < 5.0 * DAY);
    assert_int_equal(count, 1 + (int)floor((scenario->events[0].until - DAY - 2.0 * HOUR) / DAY));
    assert_in_range(count, 3, 4);
    result_free(&result);
    trial_free(scenario);
}

/* ---- heat, brim -------------------------------------------------------------------------------------------------- */

/* The moment the liquor reaches the set point is found, not stepped over; held, it stays within half a degree below. */
static void heater_stops_at_its_set_point(void **state)
{
    (void)state;
    struct scenario *scenario =
        trial_read(TRIAL_HEAD("12 hours", "5 min") TRIAL_VAT
                   "calendar = ( { at = \"day 1 10:00\"; do = \"heat\"; to = \"52.5 degC\"; },\n"
                   "             { at = \"day 1 14:00\"; do = \"heat\"; to = \"55 degC\"; for = \"2 h\"; } );\n");
    struct result result = trial_run(scenario);
    const double goals[] = {52.5, 55.0};
    for (int i = 0; i < 2; i++) {
        int row = trial_event(&result, RUN_ACTION_HEATER_REACHED, i);
        assert_true(row > 0);
        assert_close(trial_value(&result.events, "temperature_after", row), goals[i], 0.0, 1e-3);
        assert_between(trial_value(&result.events, "time", row), (2.0 + 4.0 * i) * HOUR, (4.0 + 4.0 * i) * HOUR);
    }
    assert_int_equal(trial_event(&result, RUN_ACTION_HEATER_REACHED, 2), -1);
    double reached = trial_value(&result.events, "time", trial_event(&result, RUN_ACTION_HEATER_REACHED, 1));
    double hottest = 0.0;
    for (int r = 0; r < (int)result.series.rows; r++) {
        double time = trial_value(&result.series, "time", r);
        double temperature = trial_value(&result.series, "temperature", r);
        hottest = fmax(hottest, temperature);
        if (time > reached && time < reached + 2.0 * HOUR) {
            assert_between(temperature, 54.5, 55.0 + 1e-3);
        }
    }
    assert_between(hottest, 54.9, 55.0 + 1e-3);
    assert_true(trial_value(&result.series, "temperature", -1) < 54.5); /* and then it cools */
    result_free(&result);
    trial_free(scenario);
}

/* A new order to the heater ends the old one: its holding time is its own. */
static void a_new_set_point_replaces_the_old(void **state)
{
    (void)state;
    struct scenario *scenario =
        trial_read(TRIAL_HEAD("10 hours", "5 min") TRIAL_VAT
                   "calendar = ( { at = \"day 1 10:00\"; do = \"heat\"; to = \"50 degC\"; for = \"2 h\"; },\n"
                   "             { at = \"day 1 11:30\"; do = \"heat\"; to = \"55 degC\"; for = \"3 h\"; },\n"
                   "             { at = \"day 1 17:30\"; do = \"heat\"; to = \"56 degC\"; for = \"3 h\"; },\n"
                   "             { at = \"day 1 17:35\"; do = \"heat off\"; } );\n");
    struct result result = trial_run(scenario);
    int row = trial_event(&result, RUN_ACTION_HEATER_REACHED, 1);
    assert_true(row > 0);
    double reached = trial_value(&result.events, "time", row);
    assert_between(reached, 3.5 * HOUR, 4.5 * HOUR);
    for (int r = 0; r < (int)result.series.rows; r++) {
        double time = trial_value(&result.series, "time", r);
        if (time > reached && time < reached + 3.0 * HOUR) {
            assert_between(trial_value(&result.series, "temperature", r), 54.5, 55.0 + 1e-3);
        }
    }
    assert_int_equal(trial_event(&result, RUN_ACTION_HEATER_REACHED, 2), -1); /* switched off before it got there */
    result_free(&result);
    trial_free(scenario);
}

/* Stirring that begins before another has ended lasts its own time. */
static void a_new_stirring_replaces_the_old(void **state)
{
    (void)state;
    double stirred_in[2];
    for (int i = 0; i < 2; i++) {
        struct scenario *scenario =
            trial_read(TRIAL_HEAD("4 hours", "1 h") TRIAL_VAT
                       "calendar = ( { at = \"day 1 10:00\"; do = \"stir\"; for = \"10 min\"; },\n"
                       "             { at = \"day 1 10:05\"; do = \"stir\"; how = \"whip\"; for = \"20 min\"; } );\n");
        if (i == 0) {
            scenario->events[0].duration = 240.0; /* ended before the whipping begins */
        }
        struct result result = trial_run(scenario);
        stirred_in[i] = trial_ledger(&result, "oxygen", "stirred_in");
        result_free(&result);
        trial_free(scenario);
    }
    assert_close(stirred_in[1], stirred_in[0], 0.01, 0.0);
}

/* Above the brim the liquor runs over, with what is in it; the loss is told. */
static void overflow_is_recorded(void **state)
{
    (void)state;
    struct scenario *scenario = trial_read(TRIAL_HEAD(
        "4 hours", "1 h") TRIAL_VAT "calendar = ( { at = \"day 1 10:00\"; do = \"top up\"; amount = \"30 L\"; } );\n");
    struct result result = trial_run(scenario);
    double capacity = 1e3 * 0.25 * 3.14159265358979 * 0.40 * 0.40 * 0.48; /* L */
    int top_up = trial_event(&result, ACTION_TOP_UP, 0);
    int over = trial_event(&result, RUN_ACTION_OVERFLOW, 0);
    assert_int_equal(over, top_up + 1);
    assert_close(trial_value(&result.events, "time", over), 2.0 * HOUR, 0.0, 1e-6);
    double full = trial_value(&result.events, "volume_after", top_up);
    assert_true(full > capacity + 5.0);
    assert_close(trial_value(&result.events, "volume_after", over), capacity, 1e-9, 0.0);
    assert_close(trial_value(&result.events, "water", over), capacity - full, 1e-9, 0.0);
    assert_true(trial_ledger(&result, "water", "overflowed") < 0.0);
    assert_true(trial_ledger(&result, "hexose", "overflowed") < 0.0);
    bool told = false;
    for (size_t i = 0; i < result.note_count; i++) {
        told = told || (result.notes[i].kind == NOTE_WARNING && strstr(result.notes[i].text, "ran over") != NULL);
    }
    assert_true(told);
    result_free(&result);
    trial_free(scenario);
}

/* ---- cloth ------------------------------------------------------------------------------------------------------- */

/* The pieces with the fewest dips go first, the lowest number first among them; those named go as named. */
static void fewest_dips_go_first(void **state)
{
    (void)state;
    struct scenario *scenario =
        trial_read(TRIAL_HEAD("12 hours", "1 h") TRIAL_VAT TRIAL_CLOTH
                   "calendar = (\n"
                   "  { at = \"day 1 09:00\"; do = \"dip\"; cloth = \"strip\"; pieces = 1; first = 3; soak = \"5 "
                   "min\"; air = \"5 min\"; dips = 1; },\n"
                   "  { every = \"30 min\"; from = \"day 1 10:00\"; until = \"day 1 12:00\"; do = \"dip\"; cloth = "
                   "\"strip\"; pieces = 2; soak = \"5 min\"; air = \"5 min\"; dips = 1; } );\n");
    struct result result = trial_run(scenario);
    /* 3 is dipped; then 1 2, then 4 5, then 6 and of all with one dip the lowest, 1; then 2 3, then 4 5 */
    const int first[] = {3, 1, 4, 6, 2, 4};
    assert_int_equal(result.dips.rows, 6);
    for (int i = 0; i < 6; i++) {
        assert_int_equal((int)trial_value(&result.dips, "first_piece", i), first[i]);
    }
    const int dips[] = {2, 2, 2, 2, 2, 1};
    assert_int_equal(result.pieces.rows, 6);
    for (int i = 0; i < 6; i++) {
        assert_int_equal((int)trial_value(&result.pieces, "number", i), i + 1);
        assert_int_equal((int)trial_value(&result.pieces, "dips", i), dips[i]);
    }
    result_free(&result);
    trial_free(scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(events_at_one_time_go_in_order),
        cmocka_unit_test(conditions_gate),
        cmocka_unit_test(events_follow_events),
        cmocka_unit_test(what_lasts_is_followed_at_its_end),
        cmocka_unit_test(recurring_events_recur),
        cmocka_unit_test(heater_stops_at_its_set_point),
        cmocka_unit_test(a_new_set_point_replaces_the_old),
        cmocka_unit_test(a_new_stirring_replaces_the_old),
        cmocka_unit_test(overflow_is_recorded),
        cmocka_unit_test(fewest_dips_go_first),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
