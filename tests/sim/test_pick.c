/* test_pick.c: which pieces a dip takes when it works toward a shade, when it stops, and when the run ends. */
#include "trial.h"

#include "chem/shade.h"
#include "support/close.h"

#define CLOTH                                                                                                          \
    "cloth = ( { name = \"strip\"; fibre = \"cotton\"; each = \"40 g\"; fabric = \"160 g/m2\"; count = 5; "            \
    "target = \"pale\"; } );\n"

#define DIP(at, pick, dips)                                                                                            \
    "{ at = \"" at "\"; do = \"dip\"; pieces = 2; pick = \"" pick                                                      \
    "\"; soak = \"5 min\"; air = \"20 min\"; dips = " dips "; }"

static int dips_of(const struct result *result, int piece)
{
    return (int)trial_value(&result->pieces, "dips", piece);
}

static bool is_pale(const struct result *result, int piece)
{
    return trial_value(&result->pieces, "owf_washed", piece) / 100.0 >= shade_owf_from(SHADE_PALE);
}

/* Lots are finished one after another; a lot that has its shade is not dipped on, and the last lot may be smaller. */
static void unfinished_lots_in_turn(void **state)
{
    (void)state;
    struct scenario *scenario = trial_read(
        TRIAL_HEAD("3 days", "1 h") TRIAL_VAT CLOTH
        "calendar = ( { at = \"day 1 08:30\"; do = \"stir\"; },\n" DIP("day 1 14:00", "unfinished", "20") ",\n" DIP(
            "day 2 01:00", "unfinished", "20") ",\n" DIP("day 2 12:00", "unfinished",
                                                         "20") ",\n" DIP("day 3 00:00", "unfinished", "20") " );\n");
    struct result result = trial_run(scenario);
    for (int piece = 0; piece < 5; piece++) {
        assert_true(is_pale(&result, piece));
        assert_true(dips_of(&result, piece) < 20);
        assert_close(trial_value(&result.pieces, "target", piece), SHADE_PALE, 0.0, 0.0);
        assert_true(trial_value(&result.pieces, "done_at", piece) > 6.0 * 3600.0);
    }
    assert_int_equal(dips_of(&result, 0), dips_of(&result, 1));
    assert_true(trial_value(&result.pieces, "done_at", 4) > trial_value(&result.pieces, "done_at", 0));
    assert_close(trial_value(&result.dips, "pieces", -1), 1.0, 0.0, 0.0); /* the fifth piece by itself */
    /* The last dip but one of a lot was not yet there. */
    int last = dips_of(&result, 0) - 1;
    if (last > 0) {
        assert_true(trial_value(&result.dips, "shade", last - 1) < SHADE_PALE);
    }
    assert_close(trial_value(&result.dips, "shade", last), SHADE_PALE, 0.0, 0.0);
    /* Nothing is left to dip at midnight of day 3, and that is no warning. */
    int skipped = 0;
    for (int nth = 0; trial_event(&result, ACTION_DIP, nth) >= 0; nth++) {
        skipped += trial_value(&result.events, "done", trial_event(&result, ACTION_DIP, nth)) < 0.5;
    }
    assert_int_equal(skipped, 1);
    result_free(&result);
    trial_free(scenario);
}

/* The palest of those still unfinished go first: never the deeper ones. */
static void palest_go_first(void **state)
{
    (void)state;
    struct scenario *scenario = trial_read(
        TRIAL_HEAD("1 day", "1 h") TRIAL_VAT
        "cloth = ( { name = \"strip\"; fibre = \"cotton\"; each = \"40 g\"; count = 4; target = \"dark\"; } );\n"
        "calendar = ( { at = \"day 1 08:30\"; do = \"stir\"; },\n"
        "{ at = \"day 1 14:00\"; do = \"dip\"; first = 1; pieces = 2; soak = \"15 min\"; },\n"
        "{ at = \"day 1 15:00\"; do = \"dip\"; first = 3; pieces = 2; soak = \"1 min\"; },\n" DIP(
            "day 1 16:00", "palest", "1") " );\n");
    struct result result = trial_run(scenario);
    assert_int_equal(dips_of(&result, 0), 1);
    assert_int_equal(dips_of(&result, 1), 1);
    assert_int_equal(dips_of(&result, 2), 2);
    assert_int_equal(dips_of(&result, 3), 2);
    result_free(&result);
    trial_free(scenario);
}

/* A run that ends when done ends some hours after the last piece, with the same cloth as one that goes on. */
static void ends_when_done(void **state)
{
    (void)state;
#define WORK                                                                                                           \
    TRIAL_VAT CLOTH "calendar = ( { at = \"day 1 08:30\"; do = \"stir\"; },\n"                                         \
                    "{ every = \"1 day\"; from = \"day 1 14:00\"; do = \"dip\"; pieces = 3; pick = \"unfinished\"; "   \
                    "soak = \"8 min\"; air = \"20 min\"; dips = 9; } );\n"
    struct scenario *whole = trial_read(TRIAL_HEAD("8 days", "1 h") WORK);
    struct scenario *done = trial_read(TRIAL_HEAD("8 days", "1 h") "ends = \"when done\";\n" WORK);
    struct result in_full = trial_run(whole);
    struct result ended = trial_run(done);
    double last = 0.0;
    for (int piece = 0; piece < 5; piece++) {
        assert_true(is_pale(&ended, piece));
        last = fmax(last, trial_value(&ended.pieces, "done_at", piece));
        assert_close(trial_value(&ended.pieces, "done_at", piece), trial_value(&in_full.pieces, "done_at", piece), 0.0,
                     1.0);
        assert_close(trial_value(&ended.pieces, "owf_washed", piece), trial_value(&in_full.pieces, "owf_washed", piece),
                     1e-3, 0.0);
    }
    assert_close(trial_value(&ended.events, "time", -1), last + 4.0 * 3600.0, 0.0, 1.0);
    assert_close(trial_value(&in_full.events, "time", -1), 8.0 * 86400.0, 0.0, 1.0);
    result_free(&ended);
    result_free(&in_full);
    trial_free(done);
    trial_free(whole);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(unfinished_lots_in_turn),
        cmocka_unit_test(palest_go_first),
        cmocka_unit_test(ends_when_done),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
