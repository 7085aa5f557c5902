/* disturbed.c: see disturbed.h. */
#include "study/disturbed.h"

#include "sim/run.h"
#include "sim/series.h"

#include <gsl/gsl_randist.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#define HOUR 3600.0
#define DAY 86400.0
#define KELVIN 273.15
#define STRIP_ERROR 0.08 /* of the mean of two strips, each told beside a shade card to 12 %, as a ratio */
#define PI 3.14159265358979323846

const char *const disturbance_words[] = {"cold",      "sugar spent",      "lime short",
                                         "overlimed", "whipped with air", "idle for two months"};

static struct event_spec plain_event(enum action action, double at)
{
    return (struct event_spec){.action = action,
                               .timing = TIMING_AT,
                               .at = at,
                               .until = INFINITY,
                               .after = -1,
                               .dose = {.material = -1, .mass = NAN, .purity = NAN},
                               .volume = NAN,
                               .to_volume = NAN,
                               .temperature_K = NAN,
                               .duration = NAN,
                               .power = NAN};
}

void disturbed_add(struct disturbed *vat, const struct event_spec *events, size_t count)
{
    assert_true(vat->scenario.event_count + count <= HISTORY_MOST);
    for (size_t i = 0; i < count; i++) {
        vat->events[vat->scenario.event_count++] = events[i];
    }
}

static void stir(struct disturbed *vat, double at, enum stir_kind how, double lasts)
{
    struct event_spec event = plain_event(ACTION_STIR, at);
    event.stir = how;
    event.duration = lasts;
    disturbed_add(vat, &event, 1);
}

static double between(gsl_rng *rng, double low, double high)
{
    return low + (high - low) * gsl_rng_uniform(rng);
}

/* Grams of powder, lime and sugar per litre; the trade's 1:2:3 but for what is out of order. */
static void charge(struct disturbed *vat, struct dose *doses, double powder, double lime, double sugar)
{
    const double grams[] = {powder, lime, sugar};
    for (size_t i = 0; i < 3; i++) {
        doses[i] = vat->scenario.charge[i];
        doses[i].mass = grams[i] * vat->scenario.fill;
    }
    vat->scenario.charge = doses;
}

static void draw(struct disturbed *vat, enum disturbance kind, struct dose *doses, gsl_rng *rng)
{
    struct scenario *s = &vat->scenario;
    double powder = between(rng, 3.0, 6.0);
    double lime = 2.0 * powder;
    double sugar = 3.0 * powder;
    s->fill = between(rng, 16e-3, 50e-3);
    s->vessel.diameter = cbrt(4.0 * s->fill / PI / 0.9);
    s->vessel.depth = 1.15 * s->fill / (0.25 * PI * s->vessel.diameter * s->vessel.diameter);
    vat->place.night_K = KELVIN + between(rng, 12.0, 16.0);
    vat->place.day_K = vat->place.night_K + between(rng, 3.0, 8.0);
    for (int i = 1; i <= 3; i++) {
        stir(vat, i * 1200.0, STIR_GENTLE, 60.0);
    }
    vat->disturbed_at = DAY * (double)(1 + (int)between(rng, 2.0, 5.0)) + between(rng, 0.0, 3.0) * HOUR;
    switch (kind) {
    case DISTURBED_COLD:
        vat->place.night_K = KELVIN + between(rng, 2.0, 6.0);
        vat->place.day_K = vat->place.night_K + between(rng, 2.0, 6.0);
        break;
    case DISTURBED_SUGAR:
        sugar = between(rng, 0.6, 1.5) * powder;
        for (int i = 0; i < 6; i++) {
            stir(vat, vat->disturbed_at - (8.0 - i) * 3.0 * HOUR, STIR_BRISK, 120.0);
        }
        break;
    case DISTURBED_LIME_SHORT:
        lime = between(rng, 0.3, 0.6) * powder;
        break;
    case DISTURBED_OVERLIMED:
        lime = between(rng, 4.0, 7.0) * powder;
        sugar = between(rng, 0.3, 0.8) * powder;
        vat->disturbed_at = DAY + between(rng, 0.0, 24.0) * HOUR;
        break;
    case DISTURBED_WHIPPED:
        s->vessel.lid = LID_NONE;
        stir(vat, vat->disturbed_at - between(rng, 1.0, 2.0) * HOUR, STIR_WHIP, between(rng, 600.0, 1200.0));
        stir(vat, vat->disturbed_at - 0.5 * HOUR, STIR_WHIP, between(rng, 600.0, 1200.0));
        break;
    case DISTURBED_IDLE:
        vat->place.night_K = KELVIN + between(rng, 6.0, 12.0);
        vat->place.day_K = vat->place.night_K + between(rng, 3.0, 7.0);
        vat->disturbed_at = 60.0 * DAY + between(rng, 0.0, 3.0) * HOUR;
        break;
    case DISTURBANCE_COUNT:
        break;
    }
    charge(vat, doses, powder, lime, sugar);
}

void disturbed_make(struct disturbed *vat, const struct scenario *base, enum disturbance kind, gsl_rng *rng)
{
    for (int tries = 0; tries < 50; tries++) {
        struct dose *doses = base->charge + 3; /* room that the caller gave */
        vat->scenario = *base;
        vat->place = base->places[0];
        vat->scenario.event_count = 0;
        vat->scenario.cloth_count = 0;
        draw(vat, kind, doses, rng);
        vat->before = vat->scenario.event_count;
        if (disturbed_look(vat, vat->disturbed_at).state != VAT_READY) {
            return;
        }
    }
    fail_msg("no vat that is %s came out of order", disturbance_words[kind]);
}

static double last(const struct result *result, size_t row, const char *name)
{
    return table_column(&result->series, name)->values[row];
}

static size_t strip_row(const struct result *result)
{
    const double *strips = table_column(&result->events, "reading_strip")->values;
    size_t row = result->events.rows;
    while (row > 0 && isnan(strips[row - 1])) {
        row--;
    }
    assert_true(row > 0);
    return row - 1;
}

struct true_state disturbed_look(const struct disturbed *vat, double time)
{
    struct scenario truth = vat->scenario;
    struct place place = vat->place;
    struct event_spec events[HISTORY_MOST + 1];
    for (size_t i = 0; i < truth.event_count; i++) {
        events[i] = vat->events[i];
    }
    events[truth.event_count] = plain_event(ACTION_READ, time);
    events[truth.event_count++].instrument = INSTRUMENT_TEST_STRIP;
    truth.places = &place;
    truth.place_count = 1;
    truth.events = events;
    truth.lasts = time + SESSION;
    truth.record_every = 900.0;
    truth.rtol = 1e-4;
    truth.scenario_text = NULL;
    truth.model.model_text = NULL;
    while (truth.lasts / truth.record_every > 2000.0) {
        truth.record_every *= 2.0;
    }
    /* Rows must fall on the time asked for. */
    truth.record_every = time / round(time / truth.record_every);
    struct result result;
    struct status status = run_scenario(&truth, NULL, &result);
    if (status.code != STATUS_OK) {
        fail_msg("the true vat failed: %s", status.message);
    }
    const double *times = table_column(&result.series, "time")->values;
    const double *states = table_column(&result.series, "state")->values;
    size_t row = 0;
    while (row + 1 < result.series.rows && times[row + 1] <= time + 1.0) {
        row++;
    }
    bool holds = true;
    for (size_t i = row; i < result.series.rows; i++) {
        holds = holds && (int)states[i] == VAT_READY;
    }
    double volume = last(&result, row, "volume");
    struct true_state state = {
        .ph = last(&result, row, "ph"),
        .temperature = last(&result, row, "temperature"),
        .leuco = last(&result, row, "leuco"),
        .volume = volume,
        .indigo = volume * (last(&result, row, "leuco") + last(&result, row, "leuco_held") +
                            last(&result, row, "indigo_suspended")) +
                  last(&result, row, "indigo_bed") + last(&result, row, "indigo_film"),
        .strip = 1e-3 * table_column(&result.events, "reading_strip")->values[strip_row(&result)],
        .thirst = last(&result, row, "lime_thirst"),
        .state = (int)states[row],
        .look = (int)last(&result, row, "look"),
        .smell = (int)last(&result, row, "smell"),
        .holds = holds,
    };
    result_free(&result);
    return state;
}

struct scenario disturbed_read(const struct disturbed *vat, const struct true_state *now, double time, gsl_rng *rng)
{
    struct scenario seen = vat->scenario;
    seen.charge = NULL;
    seen.charge_count = 0;
    seen.events = NULL;
    seen.event_count = 0;
    seen.fill = 1e-3 * now->volume;
    seen.start_unix += time;
    seen.existing = (struct existing_vat){
        .exists = true,
        .temperature_K = KELVIN + round(now->temperature + gsl_ran_gaussian(rng, 0.5)),
        .ph = round(100.0 * (now->ph + gsl_ran_gaussian(rng, 0.05))) / 100.0,
        .age = time,
        .leuco = NAN,
        .look = (enum look_kind)now->look,
        .indigotin = 1e-3 * now->indigo * between(rng, 0.9, 1.1) / 0.26227,
        .acid = NAN,
        .idle = NAN,
        .strip = now->strip * exp(gsl_ran_gaussian(rng, STRIP_ERROR)),
        .pinch = now->thirst > 0.4   ? PINCH_SUCKED_IN
                 : now->thirst > 0.1 ? PINCH_SLOW
                                     : PINCH_STAYS,
        .smell = (enum smell_kind)(now->smell + 1),
    };
    for (size_t i = 0; i < vat->scenario.event_count; i++) {
        if (vat->events[i].action == ACTION_COVER) {
            seen.vessel.lid = vat->events[i].lid;
        }
    }
    return seen;
}

double disturbed_given(const struct disturbed *vat, int material)
{
    double mass = 0.0;
    for (size_t i = vat->before; i < vat->scenario.event_count; i++) {
        const struct event_spec *event = &vat->events[i];
        mass += event->action == ACTION_ADD && event->dose.material == material ? event->dose.mass : 0.0;
    }
    return mass;
}

struct disturbed disturbed_scaled(const struct disturbed *vat, int material, double share)
{
    struct disturbed scaled = *vat;
    for (size_t i = vat->before; i < vat->scenario.event_count; i++) {
        struct event_spec *event = &scaled.events[i];
        if (event->action == ACTION_ADD && event->dose.material == material) {
            event->dose.mass *= share;
        }
    }
    return scaled;
}
