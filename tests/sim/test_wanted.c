/* test_wanted.c: a run of which only some series are read: they are those of the whole run, and all else is the same. */
#include "trial.h"

#include "support/close.h"

#include <math.h>
#include <string.h>

/* Stirred up, warmed, dyed in twice and fed. */
#define WORK                                                                                                           \
    "calendar = (\n"                                                                                                   \
    "  { at = \"day 1 08:20\"; do = \"stir\"; how = \"brisk\"; for = \"5 min\"; },\n"                                  \
    "  { at = \"day 1 20:00\"; do = \"heat\"; to = \"40 degC\"; for = \"30 min\"; },\n"                                \
    "  { at = \"day 2 09:00\"; do = \"dip\"; cloth = \"strip\"; pieces = 2; soak = \"10 min\"; dips = 2; },\n"         \
    "  { at = \"day 2 11:00\"; read = \"strip\"; when = \"ph < 13\"; do = \"stir\"; } );\n"

static const char limed[] = TRIAL_HEAD("36 hours", "20 min") TRIAL_VAT TRIAL_CLOTH WORK;

/* With life in it: cells, spoilers, feed. */
static const char living[] = TRIAL_HEAD(
    "36 hours",
    "20 min") "vat = { model = \"bran-soda\";\n"
              "  vessel = { diameter = \"31 cm\"; depth = \"36 cm\"; fill = \"22 L\"; lid = \"loose\"; heater = \"500 "
              "W\"; };\n"
              "  place = { night = \"28 degC\"; day = \"30 degC\"; };\n"
              "  water = { temperature = \"32 degC\"; };\n"
              "  charge = ( { add = \"indigo powder\"; amount = \"110 g\"; },\n"
              "    { add = \"boiled bran\"; amount = \"110 g\"; }, { add = \"soda ash\"; amount = \"180 g\"; },\n"
              "    { add = \"slaked lime\"; amount = \"40 g\"; }, { add = \"fructose\"; amount = \"30 g\"; },\n"
              "    { add = \"old vat liquor\"; amount = \"1.5 kg\"; } ); };\n" TRIAL_CLOTH WORK;

static const char *const names[SERIES_COUNT] = {
#define NAME_OF(id, name, unit, long_name) [SERIES_##id] = name,
    SERIES_LIST(NAME_OF)
#undef NAME_OF
};

static const struct run_wanted everything = {.series = 0};

static struct result run_wanting(const struct scenario *scenario, struct run_wanted wanted)
{
    const struct run_options options = {.wanted = wanted};
    struct result result;
    struct status status = run_scenario(scenario, &options, &result);
    if (!status_is_ok(&status)) {
        fail_msg("%s", status.message);
    }
    return result;
}

static void assert_same_column(const struct result *whole, const struct result *part, const char *name)
{
    const struct column *want = table_column(&whole->series, name);
    const struct column *got = table_column(&part->series, name);
    assert_non_null(got);
    assert_int_equal(part->series.rows, whole->series.rows);
    if (memcmp(got->values, want->values, whole->series.rows * sizeof(double)) != 0) {
        fail_msg("%s by itself is not what the whole run records", name);
    }
}

/* Each series by itself. */
static void one_series_is_that_of_the_whole_run(void **state)
{
    (void)state;
    static const char *const texts[] = {limed, living};
    for (size_t i = 0; i < 2; i++) {
        struct scenario *scenario = trial_read(texts[i]);
        struct result whole = run_wanting(scenario, everything);
        assert_int_equal(whole.series.column_count, SERIES_COUNT);
        for (int id = 0; id < SERIES_COUNT; id++) {
            struct result part = run_wanting(scenario, (struct run_wanted){.series = UINT64_C(1) << id});
            assert_int_equal(part.series.column_count, id == SERIES_TIME ? 1 : 2);
            assert_same_column(&whole, &part, "time");
            assert_same_column(&whole, &part, names[id]);
            trial_same_outcome(&whole, &part);
            result_free(&part);
        }
        result_free(&whole);
        trial_free(scenario);
    }
}

/* The trial is one in which the series that are worked out apart hold something. */
static void the_series_hold_something(void **state)
{
    (void)state;
    static const char *const apart[] = {"orp",         "lime_thirst", "indigo_bed", "bed_depth",
                                        "liquor_haze", "liquor_red",  "liquor_hue", "hexose"};
    static const char *const alive[] = {"cells", "ph_fall", "flower", "feed"};
    struct scenario *scenario = trial_read(limed);
    struct scenario *other = trial_read(living);
    struct result lime = run_wanting(scenario, everything);
    struct result life = run_wanting(other, everything);
    for (size_t i = 0; i < sizeof apart / sizeof apart[0]; i++) {
        assert_true(fabs(trial_value(&lime.series, apart[i], -20)) > 0.0);
    }
    for (size_t i = 0; i < sizeof alive / sizeof alive[0]; i++) {
        assert_true(fabs(trial_value(&life.series, alive[i], -20)) > 0.0);
    }
    result_free(&lime);
    result_free(&life);
    trial_free(scenario);
    trial_free(other);
}

/* Of several, the columns stand in the order of the list; what the rows would show is not told. */
static void some_series_stand_in_their_order(void **state)
{
    (void)state;
    struct scenario *scenario = trial_read(limed);
    struct result whole = run_wanting(scenario, everything);
    const struct run_wanted wanted = {.series = SERIES_BIT(STATE) | SERIES_BIT(PH) | SERIES_BIT(LIQUOR_HAZE)};
    struct result part = run_wanting(scenario, wanted);
    assert_int_equal(part.series.column_count, 4);
    assert_string_equal(part.series.columns[1].name, "ph");
    assert_string_equal(part.series.columns[2].name, "liquor_haze");
    assert_string_equal(part.series.columns[3].name, "state");
    assert_non_null(part.series.columns[3].flags);
    for (size_t c = 0; c < part.series.column_count; c++) {
        assert_same_column(&whole, &part, part.series.columns[c].name);
    }
    assert_true(part.note_count < whole.note_count);
    result_free(&part);
    result_free(&whole);
    trial_free(scenario);
}

/* Pieces without their colours: all else of them is there. */
static void bare_pieces_lack_their_colour(void **state)
{
    (void)state;
    static const char *const colours[] = {"k_over_s", "lightness", "lab_a", "lab_b", "red", "green", "blue"};
    struct scenario *scenario = trial_read(limed);
    struct result whole = run_wanting(scenario, everything);
    struct result bare = run_wanting(scenario, (struct run_wanted){.bare_pieces = true});
    trial_same_table(&whole.series, &bare.series);
    assert_int_equal(whole.note_count, bare.note_count);
    assert_int_equal(whole.pieces.column_count, bare.pieces.column_count);
    size_t missing = 0;
    for (size_t c = 0; c < whole.pieces.column_count; c++) {
        bool is_colour = false;
        for (size_t i = 0; i < sizeof colours / sizeof colours[0]; i++) {
            is_colour = is_colour || strcmp(whole.pieces.columns[c].name, colours[i]) == 0;
        }
        missing += is_colour;
        for (size_t r = 0; r < whole.pieces.rows; r++) {
            const double *got = &bare.pieces.columns[c].values[r];
            assert_true(is_colour ? isnan(*got) : memcmp(got, &whole.pieces.columns[c].values[r], sizeof *got) == 0);
        }
    }
    assert_int_equal(missing, sizeof colours / sizeof colours[0]);
    result_free(&bare);
    result_free(&whole);
    trial_free(scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_series_is_that_of_the_whole_run),
        cmocka_unit_test(the_series_hold_something),
        cmocka_unit_test(some_series_stand_in_their_order),
        cmocka_unit_test(bare_pieces_lack_their_colour),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
