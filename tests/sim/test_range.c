/* test_range.c: where the model ends: each limit ends the run, or warns, in words. */
#include "trial.h"

#include "support/close.h"

#include <stdio.h>
#include <string.h>

#define BUCKET                                                                                                         \
    "vat = { model = \"sugar-lime\"; vessel = { diameter = \"30 cm\"; depth = \"40 cm\"; fill = \"20 L\"; "            \
    "heater = \"3 kW\"; lid = \"loose\"; };\n"
#define LIME "charge = ( { add = \"slaked lime\"; amount = \"100 g\"; } ); };\n"

/* Runs a scenario that must end with these words, and keeps what was before. */
static void ends(const char *text, const char *words)
{
    struct scenario *scenario = trial_read(text);
    struct result result;
    struct status status = run_scenario(scenario, NULL, &result);
    if (status.code != STATUS_NUMERIC || strstr(status.message, words) == NULL) {
        fail_msg("'%s' where '%s' was expected", status.message, words);
    }
    assert_int_equal(result.status, RUN_FAILED);
    assert_string_equal(result.failure, status.message);
    result_free(&result);
    trial_free(scenario);
}

/* How many notes of a run that ends well hold these words. */
static size_t notes_with(const char *text, const char *words)
{
    struct scenario *scenario = trial_read(text);
    struct result result = trial_run(scenario);
    size_t count = 0;
    for (size_t i = 0; i < result.note_count; i++) {
        count += strstr(result.notes[i].text, words) != NULL && result.notes[i].kind == NOTE_WARNING;
    }
    trial_ledgers_close(&result);
    result_free(&result);
    trial_free(scenario);
    return count;
}

static void freezing_and_drying_end(void **state)
{
    (void)state;
    ends(TRIAL_HEAD("10 days", "1 h") BUCKET "place = { night = \"-20 degC\"; day = \"-9 degC\"; };" LIME,
         "the vat freezes on day");
    ends(TRIAL_HEAD("2 days", "1 h") BUCKET LIME
         "calendar = ( { every = \"1 h\"; from = \"day 1 09:00\"; do = \"rack\"; amount = \"8 L\"; } );",
         "the vat has run dry on day 1: top it up");
}

/* Water boils at 88 degC at 3500 m (ICAO standard atmosphere; steam tables), where the place may be moved to. */
static void boiling_ends_where_the_air_is_thin(void **state)
{
    (void)state;
    static const char up[] = TRIAL_HEAD("1 day", "10 min") BUCKET LIME
        "places = ( { name = \"pass\"; altitude = \"3500 m\"; } );\n"
        "calendar = ( { at = \"day 1 08:30\"; do = \"move\"; place = \"pass\"; },\n"
        "  { at = \"day 1 09:00\"; do = \"heat\"; to = \"94 degC\"; } );";
    static const char down[] = TRIAL_HEAD("1 day", "10 min") BUCKET LIME
        "calendar = ( { at = \"day 1 09:00\"; do = \"heat\"; to = \"94 degC\"; } );";
    ends(up, "the vat boils on day 1, at 86 degC");
    assert_int_equal(notes_with(down, "boils"), 0);
}

static void warmth_is_told_once(void **state)
{
    (void)state;
    static const char text[] =
        TRIAL_HEAD("2 days", "10 min") BUCKET LIME "calendar = ( { every = \"1 day\"; from = \"day 1 09:00\"; do = "
                                                   "\"heat\"; to = \"%s degC\"; for = \"1 h\"; } );";
    char warm[1000];
    (void)snprintf(warm, sizeof warm, text, "75");
    assert_int_equal(notes_with(warm, "warmer than the 60 degC that the model is good to"), 1);
    (void)snprintf(warm, sizeof warm, text, "59");
    assert_int_equal(notes_with(warm, "that the model is good to"), 0);
}

static void strong_liquor_is_told_once(void **state)
{
    (void)state;
    static const char words[] = "mol/L, above 0.5) that pH and what rests on it are rough";
    assert_int_equal(notes_with(TRIAL_HEAD("6 h", "10 min") BUCKET
                                "charge = ( { add = \"soda ash\"; amount = \"900 g\"; } ); };",
                                words),
                     1);
    assert_int_equal(notes_with(TRIAL_HEAD("6 h", "10 min") BUCKET
                                "charge = ( { add = \"soda ash\"; amount = \"100 g\"; } ); };",
                                words),
                     0);
}

static void acid_and_caustic_are_told(void **state)
{
    (void)state;
    static const char words[] = "outside the 4 to 13.5 that the model is made for";
    assert_int_equal(notes_with(TRIAL_HEAD("6 h", "10 min") BUCKET
                                "charge = ( { add = \"citric acid\"; amount = \"300 g\"; } ); };",
                                words),
                     1);
    assert_int_equal(notes_with(TRIAL_HEAD("6 h", "10 min") BUCKET LIME, words), 0);
    /* lime turns so much potash to caustic that no pH of the model is left */
    ends(TRIAL_HEAD("6 h", "10 min") BUCKET
         "water = { temperature = \"2 degC\"; };\n"
         "charge = ( { add = \"potash\"; amount = \"40 kg\"; }, { add = \"slaked lime\"; amount = \"30 kg\"; } ); };",
         "balances the charges");
}

/* Hot for a quarter of an hour, sour for a minute, strong for a minute: over again when the next row is recorded. */
static void what_passes_between_rows_is_told(void **state)
{
    (void)state;
    static const char hot[] = "that the model is good to";
    assert_int_equal(notes_with(TRIAL_HEAD("1 day", "12 h") BUCKET LIME
                                "calendar = ( { at = \"day 1 09:00\"; do = \"heat\"; to = \"64 degC\"; } );",
                                hot),
                     1);
    assert_int_equal(notes_with(TRIAL_HEAD("1 day", "12 h") BUCKET LIME
                                "calendar = ( { at = \"day 1 09:00\"; do = \"heat\"; to = \"58 degC\"; } );",
                                hot),
                     0);
    assert_int_equal(
        notes_with(TRIAL_HEAD("1 day", "12 h") BUCKET
                   "charge = ( ); };\n"
                   "calendar = ( { at = \"day 1 09:00\"; do = \"add\"; what = \"citric acid\"; amount = \"300 g\"; },\n"
                   "  { at = \"day 1 09:01\"; do = \"add\"; what = \"slaked lime\"; amount = \"300 g\"; } );",
                   "outside the 4 to 13.5 that the model is made for"),
        1);
    assert_int_equal(
        notes_with(TRIAL_HEAD("1 day", "12 h") BUCKET LIME
                   "calendar = ( { at = \"day 1 09:00\"; do = \"add\"; what = \"soda ash\"; amount = \"900 g\"; },\n"
                   "  { at = \"day 1 09:01\"; do = \"rack\"; amount = \"16 L\"; },\n"
                   "  { at = \"day 1 09:02\"; do = \"top up\"; amount = \"20 L\"; } );",
                   "that pH and what rests on it are rough"),
        1);
}

static void a_brimful_vat_runs_over(void **state)
{
    (void)state;
    assert_int_equal(notes_with(TRIAL_HEAD("6 h", "10 min") BUCKET LIME
                                "calendar = ( { at = \"day 1 10:00\"; do = \"top up\"; amount = \"20 L\"; } );",
                                "the vat ran over: 12 L of liquor lost"),
                     1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(freezing_and_drying_end),   cmocka_unit_test(boiling_ends_where_the_air_is_thin),
        cmocka_unit_test(warmth_is_told_once),       cmocka_unit_test(strong_liquor_is_told_once),
        cmocka_unit_test(acid_and_caustic_are_told), cmocka_unit_test(what_passes_between_rows_is_told),
        cmocka_unit_test(a_brimful_vat_runs_over),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
