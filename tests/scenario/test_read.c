/* test_read.c: good scenarios read back field by field, and settings given beside the file.
 *
 * The expected numbers are worked out by hand from the text of tests/data/full.conf; the calendar's day 1 is
 * 2026-02-27, and 2026
 * is no leap year, so that 2026-03-01 is day 3. Conversions of units: see test_quantity.c.
 */
#include "base/complaints.h"
#include "scenario/read.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#define DAY 86400.0
#define CLOCK(hour, minute) ((hour)*3600.0 + (minute)*60.0 - 8 * 3600.0) /* s from an 08:00 start */

static void print_complaints(const struct complaints *complaints)
{
    for (size_t i = 0; i < complaints->count; i++) {
        print_error("%s:%d: %s\n", complaints->items[i].file, complaints->items[i].line, complaints->items[i].text);
    }
}

/* Reads a scenario of tests/data that must be good. */
static void read_good(const char *name, const char *const *overrides, size_t count, struct scenario *scenario)
{
    char path[1024];
    (void)snprintf(path, sizeof path, "%s/%s", TESTS_DATA, name);
    struct complaints complaints;
    complaints_init(&complaints);
    struct status status = scenario_read(path, overrides, count, NULL, MODELS_DIR, scenario, &complaints);
    print_complaints(&complaints);
    assert_int_equal(status.code, STATUS_OK);
    assert_int_equal(complaints.count, 0);
    complaints_free(&complaints);
}

static int open_full(void **state)
{
    struct scenario *scenario = calloc(1, sizeof *scenario);
    if (scenario == NULL) {
        return -1;
    }
    read_good("full.conf", NULL, 0, scenario);
    *state = scenario;
    return 0;
}

static int close_full(void **state)
{
    scenario_free(*state);
    free(*state);
    return 0;
}

static void near(double value, double expected)
{
    if (!(fabs(value - expected) <= 1e-6 * fabs(expected) + 1e-12)) {
        fail_msg("%.10g where %.10g is expected", value, expected);
    }
}

static void top_level(void **state)
{
    const struct scenario *scenario = *state;
    assert_string_equal(scenario->title, "A studio vat, in full");
    near(scenario->start_unix, 1772179200.0); /* date -u -d '2026-02-27 08:00' +%s */
    near(scenario->lasts, 20 * DAY);
    near(scenario->record_every, 3600);
    assert_int_equal(scenario->seed, 42);
    near(scenario->rtol, 1e-7);
    assert_non_null(strstr(scenario->scenario_text, "A studio vat, in full"));
}

static void vessel_and_place(void **state)
{
    const struct scenario *scenario = *state;
    const struct vessel *vessel = &scenario->vessel;
    assert_int_equal(vessel->shape, SHAPE_SQUARE);
    near(vessel->length, 0.508);
    near(vessel->width, 0.30);
    near(vessel->depth, 0.4572);
    near(scenario->fill, 12 * 3.785411784e-3);
    assert_int_equal(vessel->lid, LID_TIGHT);
    assert_int_equal(vessel->wall, WALL_WOOD);
    assert_int_equal(vessel->wrap, WRAP_FOAM);
    near(vessel->heater_power, 1500);
    assert_int_equal(scenario->place_count, 3);
    const struct place *place = &scenario->places[0];
    assert_string_equal(place->name, "studio");
    near(place->night_K, 283.15);
    near(place->day_K, 295.15);
    near(place->altitude, 304.8);
    near(place->humidity, 0.55);
    near(place->draught, 0.2);
    near(place->co2, 600e-6);
    assert_int_equal(place->sun, SUN_HALF);
    assert_string_equal(scenario->places[1].name, "shed");
    near(scenario->places[1].humidity, 0.8);
    assert_string_equal(scenario->places[2].name, "porch");
    assert_int_equal(scenario->places[2].sun, SUN_FULL);
    near(scenario->places[2].night_K, 288.15); /* default */
    near(scenario->water.temperature_K, 322.0388889);
    near(scenario->water.alkalinity, 3.6);
    near(scenario->water.hardness, 1.0); /* 100.087 mg/L of CaCO3 */
}

static void existing_vat(void **state)
{
    const struct scenario *scenario = *state;
    const struct existing_vat *existing = &scenario->existing;
    assert_true(existing->exists);
    assert_int_equal(scenario->charge_count, 0);
    near(existing->temperature_K, 294.15);
    near(existing->ph, 10.4);
    near(existing->age, 35 * DAY);
    assert_int_equal(existing->look, LOOK_FAINT_BRONZE);
    near(existing->indigotin, 0.040 / 0.26227);
    near(existing->hexose, 1.0);
    near(existing->lime_solid, 1.0);
    near(existing->chalk, 2.0);
    near(existing->acid, 8 * 12 * 3.785411784e-3);
    near(existing->residue, 0.5);
}

static void cloth_and_constants(void **state)
{
    const struct scenario *scenario = *state;
    assert_int_equal(scenario->cloth_count, 2);
    const struct cloth_kind *scarf = &scenario->cloth[0];
    assert_string_equal(scarf->name, "scarf");
    assert_string_equal(scenario->model.fibres[scarf->fibre].name, "silk");
    near(scarf->each, 2 * 0.028349523125);
    near(scarf->fabric, 0.060);
    assert_int_equal(scarf->count, 6);
    assert_false(scarf->wetted);
    assert_true(scarf->folded);
    assert_string_equal(scarf->target, "dark");
    const struct cloth_kind *towel = &scenario->cloth[1];
    assert_string_equal(scenario->model.fibres[towel->fibre].name, "linen");
    near(towel->each, 0.226796185);
    assert_int_equal(towel->count, 1);
    assert_true(towel->wetted);
    near(towel->fabric, 0.15);
    const struct constant *pk = &scenario->model.constants[K_LEUCO_PK1];
    near(pk->nominal, 8.5);
    assert_true(pk->low <= pk->nominal && pk->nominal <= pk->high);
    assert_string_equal(pk->source, "set in the scenario");
    near(scenario->model.constants[K_LEUCO_HOLDING_TIME].nominal, 3 * 3600.0);
}

static const struct event_spec *event_at(const struct scenario *scenario, size_t number, enum action action)
{
    assert_true(number <= scenario->event_count);
    const struct event_spec *event = &scenario->events[number - 1];
    assert_int_equal(event->action, action);
    return event;
}

static void calendar_times(void **state)
{
    const struct scenario *scenario = *state;
    assert_int_equal(scenario->event_count, 17);
    const struct event_spec *stir = event_at(scenario, 1, ACTION_STIR);
    assert_int_equal(stir->timing, TIMING_AT);
    near(stir->at, CLOCK(9, 30));
    assert_string_equal(stir->label, "first stir");
    assert_int_equal(stir->stir, STIR_BRISK);
    near(stir->duration, 180);
    const struct event_spec *heat = event_at(scenario, 2, ACTION_HEAT);
    near(heat->at, 2 * DAY + CLOCK(10, 0));
    near(heat->temperature_K, 318.15);
    near(heat->duration, 7200);
    near(heat->power, 800);
    near(event_at(scenario, 3, ACTION_HEAT_OFF)->at, 5400);
    const struct event_spec *dip = event_at(scenario, 4, ACTION_DIP);
    assert_int_equal(dip->timing, TIMING_EVERY);
    near(dip->at, DAY + CLOCK(10, 0));
    near(dip->every, 2 * DAY);
    near(dip->until, 7 * DAY + CLOCK(24, 0) - 1); /* to the end of day 8 */
    assert_int_equal(dip->cloth, 0);
    assert_int_equal(dip->pieces, 2);
    assert_int_equal(dip->first_piece, 3);
    near(dip->soak, 720);
    near(dip->air, 1200);
    assert_int_equal(dip->dips, 3);
    assert_int_equal(dip->wring, WRING_SPIN);
    const struct event_spec *after_dip = event_at(scenario, 5, ACTION_ADD);
    assert_int_equal(after_dip->timing, TIMING_AFTER);
    assert_int_equal(after_dip->after, -1);
    assert_int_equal(after_dip->after_action, ACTION_DIP);
    near(after_dip->delay, 900);
    near(after_dip->temperature_K, 322.15);
    const struct event_spec *daily = event_at(scenario, 6, ACTION_ADD);
    near(daily->at, DAY + CLOCK(7, 30)); /* 07:30 of day 1 lies before the start */
    near(daily->every, DAY);
    near(daily->until, 20 * DAY);
    const struct event_spec *follows = event_at(scenario, 7, ACTION_TOP_UP);
    assert_int_equal(follows->after, 0);
    near(follows->to_volume, 0.046);
    assert_true(isnan(follows->volume));
    const struct event_spec *top_up = event_at(scenario, 8, ACTION_TOP_UP);
    near(top_up->at, 2 * DAY); /* a day alone: the clock of the start */
    near(top_up->volume, 4.54609e-3);
    assert_true(isnan(top_up->to_volume) && isnan(top_up->temperature_K));
    near(event_at(scenario, 12, ACTION_SKIM)->at, 3 * DAY);           /* neither at nor from: after one interval */
    near(event_at(scenario, 14, ACTION_READ)->at, DAY + CLOCK(0, 0)); /* from a day alone: its beginning */
}

static void calendar_actions(void **state)
{
    const struct scenario *scenario = *state;
    assert_int_equal(event_at(scenario, 9, ACTION_COVER)->lid, LID_LOOSE);
    assert_int_equal(event_at(scenario, 10, ACTION_WRAP)->wrap, WRAP_BLANKET);
    assert_int_equal(event_at(scenario, 11, ACTION_MOVE)->place, 2);
    near(event_at(scenario, 13, ACTION_RACK)->volume, 0.002);
    assert_int_equal(event_at(scenario, 14, ACTION_READ)->instrument, INSTRUMENT_ORP);
    assert_int_equal(event_at(scenario, 1, ACTION_STIR)->instrument, INSTRUMENT_NONE);
}

static void doses(void **state)
{
    const struct scenario *scenario = *state;
    const double tablespoon = 231.0 / 256 * 0.0254 * 0.0254 * 0.0254;
    const struct material *materials = scenario->model.materials;
    const struct dose *honey = &event_at(scenario, 5, ACTION_ADD)->dose;
    assert_string_equal(materials[honey->material].name, "honey");
    near(honey->mass, 1.5 * tablespoon * materials[honey->material].bulk_density);
    assert_true(honey->by_volume);
    const struct dose *lime = &event_at(scenario, 6, ACTION_ADD)->dose;
    assert_string_equal(materials[lime->material].name, "slaked lime");
    near(lime->mass, tablespoon * materials[lime->material].bulk_density);
    assert_true(lime->by_volume);
    const struct dose *vinegar = &event_at(scenario, 15, ACTION_ADD)->dose;
    assert_string_equal(materials[vinegar->material].name, "vinegar");
    near(vinegar->mass, 2.5e-4 * materials[vinegar->material].bulk_density);
    assert_false(vinegar->by_volume); /* a liquid in mL is measured, not spooned */
    assert_true(isnan(vinegar->purity));
    const struct dose *indigo = &event_at(scenario, 16, ACTION_ADD)->dose;
    assert_true(indigo->by_volume);
    near(indigo->purity, 0.45);
    assert_int_equal(indigo->line, event_at(scenario, 16, ACTION_ADD)->line);
}

static void condition_is(const struct condition *condition, enum observable observable, enum comparison comparison,
                         double value)
{
    assert_int_equal(condition->observable, observable);
    assert_int_equal(condition->comparison, comparison);
    near(condition->value, value);
}

static void conditions(void **state)
{
    const struct scenario *scenario = *state;
    const struct event_spec *lime = event_at(scenario, 6, ACTION_ADD);
    assert_int_equal(lime->condition_count, 4);
    assert_int_equal(lime->instrument, INSTRUMENT_METER);
    condition_is(&lime->conditions[0], OBSERVE_PH, LESS_EQUAL, 10.5);
    condition_is(&lime->conditions[1], OBSERVE_TEMPERATURE, GREATER, 303.15);
    condition_is(&lime->conditions[2], OBSERVE_IDLE, GREATER_EQUAL, 2 * DAY);
    condition_is(&lime->conditions[3], OBSERVE_LEVEL, LESS, 0.040);
    const struct event_spec *skim = event_at(scenario, 12, ACTION_SKIM);
    assert_int_equal(skim->instrument, INSTRUMENT_LOOK);
    condition_is(&skim->conditions[0], OBSERVE_LOOK, NOT_EQUAL, LOOK_BRONZE);
    const struct event_spec *stir = event_at(scenario, 17, ACTION_STIR);
    assert_int_equal(stir->instrument, INSTRUMENT_ORP);
    condition_is(&stir->conditions[0], OBSERVE_ORP, GREATER, -0.5);
}

static void sketch_reads(void **state)
{
    (void)state;
    struct scenario scenario;
    read_good("choir-sashes.conf", NULL, 0, &scenario);
    near(scenario.lasts, 42 * DAY);
    near(scenario.record_every, 1800);
    assert_int_equal(scenario.charge_count, 3);
    near(scenario.charge[0].mass, 0.260);
    near(scenario.charge[0].purity, 0.38);
    assert_false(scenario.charge[0].by_volume);
    near(scenario.water.alkalinity, 0.180 / 0.100087 * 2);
    assert_int_equal(scenario.events[3].instrument, INSTRUMENT_STRIP);
    assert_int_equal(scenario.vessel.shape, SHAPE_ROUND);
    assert_string_equal(scenario.places[0].name, "home");
    scenario_free(&scenario);
    assert_null(scenario.events);
    scenario_free(&scenario); /* safe twice */
}

static void overrides_apply(void **state)
{
    (void)state;
    static const char *const overrides[] = {
        "vat.water.temperature=45 degC",
        "calendar.3.amount=20 g",
        "constants.leuco_pk1=8.1",
        "cloth.sash.count=30",
        "seed=7",
        "title=Two words, bare",
        "vat.place.sun=\"full\"",
        "cloth.1.wetted=false",
        "start=2026-06-01 07:00",
        "record=15 min",
        "vat.charge.fructose.amount=600 g",
    };
    struct scenario scenario;
    read_good("choir-sashes.conf", overrides, sizeof overrides / sizeof overrides[0], &scenario);
    near(scenario.water.temperature_K, 318.15);
    near(scenario.events[2].dose.mass, 0.020);
    assert_false(scenario.events[2].dose.by_volume);
    near(scenario.model.constants[K_LEUCO_PK1].nominal, 8.1);
    assert_int_equal(scenario.cloth[0].count, 30);
    assert_int_equal(scenario.seed, 7);
    assert_string_equal(scenario.title, "Two words, bare");
    assert_int_equal(scenario.places[0].sun, SUN_FULL);
    assert_false(scenario.cloth[0].wetted);
    near(scenario.record_every, 900);
    near(scenario.charge[2].mass, 0.600);
    assert_non_null(strstr(scenario.scenario_text, "# --set constants.leuco_pk1=8.1\n"));
    scenario_free(&scenario);
}

static void override_faults(void **state)
{
    (void)state;
    static const char *const overrides[] = {
        "vat.watr.temperature=45 degC", "calendar.9.amount=3 g", "title.x=3",         "no equals",
        "constants.leuco_pk=8",         "vat..lid=tight",        "vat.vessel.fill=52"};
    static const char *const expected[] = {
        "did you mean 'water'?", "has no entry '9'",          "would stand inside a text",
        "no path before '='",    "did you mean 'leuco_pk1'?", "single dots",
        "bare number 52"};
    struct scenario scenario;
    struct complaints complaints;
    complaints_init(&complaints);
    struct status status =
        scenario_read(TESTS_DATA "/choir-sashes.conf", overrides, 7, NULL, MODELS_DIR, &scenario, &complaints);
    assert_int_equal(status.code, STATUS_SCENARIO);
    assert_int_equal(complaints.count, 7);
    for (size_t i = 0; i < complaints.count; i++) {
        assert_string_equal(complaints.items[i].file, "--set");
        assert_int_equal(complaints.items[i].line, (int)i + 1);
        assert_non_null(strstr(complaints.items[i].text, expected[i]));
    }
    complaints_free(&complaints);
}

static void unreadable_files(void **state)
{
    (void)state;
    static const char *const paths[] = {"/no/such/file.conf", TESTS_DATA, "/dev/null"};
    for (size_t i = 0; i < 3; i++) {
        struct scenario scenario;
        struct complaints complaints;
        complaints_init(&complaints);
        struct status status = scenario_read(paths[i], NULL, 0, NULL, MODELS_DIR, &scenario, &complaints);
        assert_int_equal(status.code, STATUS_IO);
        assert_int_equal(complaints.count, 0);
        complaints_free(&complaints);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(top_level),       cmocka_unit_test(vessel_and_place),
        cmocka_unit_test(existing_vat),    cmocka_unit_test(cloth_and_constants),
        cmocka_unit_test(calendar_times),  cmocka_unit_test(calendar_actions),
        cmocka_unit_test(doses),           cmocka_unit_test(conditions),
        cmocka_unit_test(sketch_reads),    cmocka_unit_test(overrides_apply),
        cmocka_unit_test(override_faults), cmocka_unit_test(unreadable_files),
    };
    return cmocka_run_group_tests(tests, open_full, close_full);
}
