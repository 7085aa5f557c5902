/* test_readings.c: what a dyer's readings say of a vat, which of them cannot be, how doses are measured, and that advice does
 * not depend on the number of threads. */
#include "study/following.h"
#include "study/measures.h"
#include "study/readings.h"

#include "process/species.h"
#include "sim/run.h"
#include "study/variant.h"
#include "support/close.h"

#include <string.h>

#define DAY 86400.0

/* A vat about which little has been said. */
static struct scenario plain_vat(void)
{
    struct scenario vat = following_base();
    vat.charge_count = 0;
    vat.existing = (struct existing_vat){.exists = true,
                                         .temperature_K = 298.15,
                                         .ph = 11.5,
                                         .age = 20 * DAY,
                                         .look = LOOK_GREEN,
                                         .indigotin = 0.12,
                                         .acid = NAN,
                                         .leuco = NAN,
                                         .idle = NAN,
                                         .strip = NAN};
    return vat;
}

static int count_suspects(const struct scenario *vat, bool *ph)
{
    struct suspect suspects[SUSPECTS_MOST];
    int count = readings_suspect(vat, suspects);
    *ph = false;
    for (int i = 0; i < count; i++) {
        *ph = *ph || suspects[i].is_ph;
        assert_true(strlen(suspects[i].text) > 20 && suspects[i].text[strlen(suspects[i].text) - 1] == '.');
    }
    return count;
}

/* Limewater has pH 12.45 at 25 degC and 13.2 at 5 degC (Bates, J. Res. NBS 66A, 179, 1962; tests/data/limewater_ph.csv). */
static void impossible_ph_is_suspect(void **state)
{
    (void)state;
    struct scenario vat = plain_vat();
    bool ph;
    assert_int_equal(count_suspects(&vat, &ph), 0);
    vat.existing.ph = 12.9;
    assert_int_equal(count_suspects(&vat, &ph), 1);
    assert_true(ph);
    vat.existing.temperature_K = 278.15; /* in the cold it can be so */
    vat.existing.ph = 13.0;
    assert_int_equal(count_suspects(&vat, &ph), 0);
    vat.existing.ph = NAN;
    assert_int_equal(count_suspects(&vat, &ph), 0);
    scenario_free(&vat);
}

static void contradictions_are_suspect(void **state)
{
    (void)state;
    struct scenario vat = plain_vat();
    struct existing_vat *seen = &vat.existing;
    const struct existing_vat sound = *seen;
    bool ph;
    seen->smell = SMELLED_SOUR; /* at pH 11.5 */
    assert_int_equal(count_suspects(&vat, &ph), 1);
    assert_true(ph);
    *seen = sound;
    seen->pinch = PINCH_SUCKED_IN;
    seen->ph = 12.3;
    assert_int_equal(count_suspects(&vat, &ph), 1);
    *seen = sound;
    seen->pinch = PINCH_STAYS;
    seen->ph = 9.0;
    assert_int_equal(count_suspects(&vat, &ph), 1);
    *seen = sound;
    seen->idle = 30 * DAY; /* of a vat 20 days old */
    assert_int_equal(count_suspects(&vat, &ph), 1);
    assert_false(ph);
    *seen = sound;
    seen->look = LOOK_BLUE;
    seen->strip = 0.004;
    assert_int_equal(count_suspects(&vat, &ph), 1);
    *seen = sound;
    seen->look = LOOK_BRONZE;
    seen->strip = 0.0001;
    assert_int_equal(count_suspects(&vat, &ph), 1);
    *seen = sound;
    seen->look = LOOK_BRONZE;
    seen->ph = 8.0;
    assert_int_equal(count_suspects(&vat, &ph), 1);
    scenario_free(&vat);
}

static void what_is_stated_is_believed(void **state)
{
    (void)state;
    struct scenario vat = plain_vat();
    struct belief beliefs[BELIEFS_MOST];
    vat.existing.look = LOOK_BLUE;
    vat.existing.sugar_known = vat.existing.lime_known = true;
    vat.existing.hexose = 0.05;
    vat.existing.lime_solid = 0.4;
    assert_int_equal(readings_believe(&vat, NAN, beliefs), 1);
    struct existing_vat under = existing_under(&vat, &beliefs[0]);
    assert_close(under.hexose, 0.05, 1e-12, 0.0);
    assert_close(under.lime_solid, 0.4, 1e-12, 0.0);
    vat.existing.sugar_known = vat.existing.lime_known = false;
    vat.existing.smell = SMELLED_FLAT;
    vat.existing.pinch = PINCH_SUCKED_IN;
    int count = readings_believe(&vat, 0.02, beliefs); /* little sugar and leuco, or a little more of both; no lime */
    assert_int_equal(count, 2);
    assert_true(beliefs[0].leuco < 0.02 && beliefs[1].leuco > 0.02 && beliefs[0].hexose < beliefs[1].hexose);
    assert_close(beliefs[1].lime_solid, 0.0, 0.0, 1e-12);
    scenario_free(&vat);
}

/* A strip dipped into a vat of known leuco tells that leuco. */
static void strip_tells_the_leuco(void **state)
{
    (void)state;
    struct scenario vat = plain_vat();
    struct event_spec reading = event_at(ACTION_READ, 0.0);
    struct result result;
    reading.instrument = INSTRUMENT_TEST_STRIP;
    vat.existing.leuco = 0.015;
    struct scenario dipped = vat; /* borrows */
    dipped.events = &reading;
    dipped.event_count = 1;
    dipped.lasts = 1.0;
    dipped.record_every = 1.0;
    assert_int_equal(run_scenario(&dipped, NULL, &result).code, STATUS_OK);
    const struct column *strips = table_column(&result.events, "reading_strip");
    for (size_t row = 0; row < result.events.rows; row++) {
        vat.existing.strip = isnan(strips->values[row]) ? vat.existing.strip : 1e-3 * strips->values[row];
    }
    result_free(&result);
    vat.existing.leuco = NAN;
    double leuco;
    bool too_blue;
    assert_true(vat.existing.strip > 0.0);
    struct status status = readings_strip(&vat, &leuco, &too_blue);
    assert_int_equal(status.code, STATUS_OK);
    assert_false(too_blue);
    assert_close(leuco, 0.015, 0.02, 0.0);
    vat.existing.strip *= 50.0;
    status = readings_strip(&vat, &leuco, &too_blue);
    assert_int_equal(status.code, STATUS_OK);
    assert_true(too_blue && isnan(leuco));
    scenario_free(&vat);
}

/* Practice, section 7: a tablespoon of slaked lime 7.4 g, of fructose 11.8 g; a cup of vinegar 237 mL. */
static void doses_are_said_in_grams_and_spoons(void **state)
{
    (void)state;
    struct scenario vat = plain_vat();
    struct remedies remedies = remedies_of(&vat);
    const struct material *materials = vat.model.materials;
    char text[80];
    measure_say(&materials[remedies.lime], 0.0148, text, sizeof text);
    assert_string_equal(text, "14.8 g, about 2 tbsp");
    measure_say(&materials[remedies.sugar], 0.0118, text, sizeof text);
    assert_string_equal(text, "11.8 g, about 3 tsp");
    measure_say(&materials[remedies.acid], 0.239, text, sizeof text);
    assert_string_equal(text, "237 mL, about 1 cup");
    assert_close(mass_rounded(0.04449), 0.044, 1e-12, 0.0);
    scenario_free(&vat);
}

static void threads_make_no_difference(void **state)
{
    (void)state;
    struct scenario vat = plain_vat();
    struct advise_options one = {.threads = 1};
    struct advise_options four = {.threads = 4};
    struct advice a;
    struct advice b;
    vat.existing.temperature_K = 283.15;
    vat.existing.smell = SMELLED_FLAT;
    vat.existing.pinch = PINCH_STAYS;
    vat.existing.ph = 12.7;
    struct status status = advise(&vat, &one, &a);
    assert_int_equal(status.code, STATUS_OK);
    status = advise(&vat, &four, &b);
    assert_int_equal(status.code, STATUS_OK);
    assert_int_equal(a.verdict, b.verdict);
    assert_int_equal(a.runs, b.runs);
    assert_int_equal(a.plan.count, b.plan.count);
    assert_true(a.plan.count > 0);
    for (int i = 0; i < a.plan.count; i++) {
        assert_int_equal(a.plan.steps[i].kind, b.plan.steps[i].kind);
        assert_close(a.plan.steps[i].amount, b.plan.steps[i].amount, 0.0, 0.0);
    }
    for (int i = 0; i < COURSE_POINTS; i++) {
        assert_close(a.followed.points[i].leuco, b.followed.points[i].leuco, 0.0, 0.0);
        assert_close(a.nothing.points[i].ph, b.nothing.points[i].ph, 0.0, 0.0);
    }
    scenario_free(&vat);
}

static void a_ready_vat_is_left_alone(void **state)
{
    (void)state;
    struct scenario vat = plain_vat();
    struct advice advice;
    vat.existing.look = LOOK_BRONZE;
    vat.existing.indigotin = 0.3; /* so that even a poor bronze is plenty */
    vat.existing.smell = SMELLED_CARAMEL;
    vat.existing.pinch = PINCH_SLOW;
    vat.existing.temperature_K = 303.15;
    vat.existing.ph = 11.3;
    struct status status = advise(&vat, NULL, &advice);
    assert_int_equal(status.code, STATUS_OK);
    assert_int_equal(advice.verdict, ADVICE_DYE);
    assert_int_equal(advice.plan.count, 0);
    vat.existing.exists = false;
    assert_int_equal(advise(&vat, NULL, &advice).code, STATUS_SCENARIO);
    scenario_free(&vat);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(impossible_ph_is_suspect),           cmocka_unit_test(contradictions_are_suspect),
        cmocka_unit_test(what_is_stated_is_believed),         cmocka_unit_test(strip_tells_the_leuco),
        cmocka_unit_test(doses_are_said_in_grams_and_spoons), cmocka_unit_test(threads_make_no_difference),
        cmocka_unit_test(a_ready_vat_is_left_alone),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
