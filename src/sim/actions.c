/* actions.c: see actions.h. */
#include "sim/actions.h"
#include "sim/observe.h"

#include <math.h>
#include <stdio.h>


/* A row of /events as it is filled: what was there before, then what is there after. */
struct event_row {
    double time, action, source, done, mass, water;
    struct reading reading;
    double before[4];
};

static void look_before(const struct vat *vat, struct event_row *row, int action, int source)
{
    *row = (struct event_row){
        .time = vat->time,
        .action = action,
        .source = source,
        .done = 1.0,
        .mass = NAN,
        .water = NAN,
        .reading = {.ph = NAN, .temperature_K = NAN, .orp = NAN, .test_strip = NAN, .look = LOOK_UNKNOWN},
        .before = {vat->liquor.ions.ph, vat->liquor.temperature_K - 273.15, 1e3 * vat->liquor.volume,
                   vat->liquor.concentration[S_LEUCO] * MOLAR_INDIGOTIN},
    };
}

static struct status write_row(struct vat *vat, const struct event_row *row, bool read)
{
    RETURN_IF_FAILED(vat_refresh(vat));
    const struct liquor *l = &vat->liquor;
    const double values[] = {row->time,
                             row->action,
                             row->source,
                             row->done,
                             row->mass,
                             1e3 * row->water,
                             row->reading.ph,
                             read ? row->reading.temperature_K - 273.15 : NAN,
                             1e3 * row->reading.orp,
                             read ? (double)row->reading.look : NAN,
                             1e3 * row->reading.test_strip,
                             row->before[0],
                             l->ions.ph,
                             row->before[1],
                             l->temperature_K - 273.15,
                             row->before[2],
                             1e3 * l->volume,
                             row->before[3],
                             l->concentration[S_LEUCO] * MOLAR_INDIGOTIN};
    return table_add_row(&vat->result->events, values, sizeof values / sizeof *values);
}

struct status action_record_plain(struct vat *vat, int code)
{
    struct event_row row;
    look_before(vat, &row, code, -1);
    return write_row(vat, &row, false);
}

/* Liquor over the brim, told and recorded. */
static struct status run_over(struct vat *vat)
{
    struct event_row row;
    look_before(vat, &row, RUN_ACTION_OVERFLOW, -1);
    double lost = vat_overflow(vat);
    if (lost <= 0.0) {
        return status_ok();
    }
    row.water = -lost;
    RETURN_IF_FAILED(vat_note(vat, NOTE_WARNING, "the vat ran over: %.2g L of liquor lost", 1e3 * lost));
    return write_row(vat, &row, false);
}

/* Events that follow another, put in at its end. */
static struct status put_followers(struct vat *vat, struct calendar *calendar, int event, double end)
{
    const struct scenario *scenario = vat->scenario;
    for (size_t i = 0; i < scenario->event_count; i++) {
        const struct event_spec *spec = &scenario->events[i];
        if (spec->timing != TIMING_AFTER || (int)i == event) {
            continue;
        }
        bool follows = spec->after >= 0 ? spec->after == event : spec->after_action == scenario->events[event].action;
        if (follows) {
            RETURN_IF_FAILED(calendar_put(calendar, end + spec->delay, ENTRY_EVENT, (int)i, (long)i));
        }
    }
    return status_ok();
}

static double stir_time(const struct vat *vat, const struct event_spec *spec)
{
    if (!isnan(spec->duration) && spec->duration > 0.0) {
        return spec->duration;
    }
    return vat->constants[spec->stir == STIR_WHIP ? K_STIR_TIME_WHIP : K_STIR_TIME_GENTLE];
}

static struct status stir(struct vat *vat, struct calendar *calendar, const struct event_spec *spec)
{
    const double *k = vat->constants;
    static const enum stirring stirrings[] = {
        [STIR_GENTLE] = STIRRING_GENTLE, [STIR_BRISK] = STIRRING_BRISK, [STIR_WHIP] = STIRRING_WHIP};
    bool gentle = spec->stir == STIR_GENTLE;
    vat_resuspend(vat, k[gentle ? K_RESUSPEND_GENTLE : K_RESUSPEND_BRISK]);
    vat_move(vat, S_INDIGO_FILM, S_INDIGO_SUSPENDED, vat->amount[S_INDIGO_FILM]);
    double air = k[gentle ? K_STIR_AIR_GENTLE : K_STIR_AIR_BRISK] * vat->liquor.volume;
    vat_bring_oxygen(vat, FLOW_STIRRED_IN, OXYGEN_BY_STIRRING, air * air_oxygen(vat, vat->liquor.air_K));
    vat->settings.stirring = stirrings[spec->stir];
    calendar_drop(calendar, ENTRY_STIR_END);
    return calendar_put(calendar, vat->time + stir_time(vat, spec), ENTRY_STIR_END, 0, 0);
}

struct status action_stir_end(struct vat *vat)
{
    vat->settings.stirring = STIRRING_NONE;
    return status_ok();
}

static struct status heat(struct vat *vat, struct calendar *calendar, int event)
{
    const struct event_spec *spec = &vat->scenario->events[event];
    double power = isnan(spec->power) ? vat->scenario->vessel.heater_power : spec->power;
    calendar_drop(calendar, ENTRY_HOLD_END);
    vat->settings.heater_power = power;
    vat->settings.heater_hold_K = 0.0;
    vat->heater_goal_K = spec->temperature_K;
    vat->heater_event = event;
    vat->heater_hold_for = isnan(spec->duration) ? 0.0 : spec->duration;
    if (vat->liquor.temperature_K >= spec->temperature_K) {
        return action_heater_reached(vat, calendar);
    }
    return status_ok();
}

struct status action_heater_reached(struct vat *vat, struct calendar *calendar)
{
    double goal = vat->heater_goal_K;
    vat->heater_goal_K = 0.0;
    if (vat->heater_hold_for > 0.0) {
        vat->settings.heater_hold_K = goal;
        return calendar_put(calendar, vat->time + vat->heater_hold_for, ENTRY_HOLD_END, 0, 0);
    }
    return action_heater_off(vat, calendar);
}

struct status action_heater_off(struct vat *vat, struct calendar *calendar)
{
    calendar_drop(calendar, ENTRY_HOLD_END);
    vat->settings.heater_power = 0.0;
    vat->settings.heater_hold_K = 0.0;
    vat->heater_goal_K = 0.0;
    int event = vat->heater_event;
    vat->heater_event = -1;
    return event >= 0 ? put_followers(vat, calendar, event, vat->time) : status_ok();
}

static void top_up(struct vat *vat, const struct event_spec *spec, struct event_row *row)
{
    double temperature = isnan(spec->temperature_K) ? vat->scenario->water.temperature_K : spec->temperature_K;
    double volume = isnan(spec->to_volume) ? spec->volume : fmax(0.0, spec->to_volume - vat->liquor.volume);
    vat_pour_water(vat, FLOW_TOPPED_UP, volume, temperature);
    row->water = volume;
}

static void skim(struct vat *vat, struct event_row *row)
{
    double film = vat->amount[S_INDIGO_FILM];
    row->mass = -film * MOLAR_INDIGOTIN;
    vat_flow(vat, FLOW_SKIMMED, S_INDIGO_FILM, -film);
}

static void rack(struct vat *vat, const struct event_spec *spec, struct event_row *row)
{
    double bed = observe_bed_depth(vat) * vat->settings.area;
    double volume = isnan(spec->volume) ? vat->constants[K_RACK_LIQUOR_PER_BED] * bed : spec->volume;
    volume = fmin(volume, 0.9 * vat->liquor.volume);
    row->water = -volume;
    vat_take_liquor(vat, FLOW_RACKED, volume / vat->liquor.volume, NULL);
    for (int s = 0; s < STATE_COUNT; s++) {
        if (species_is_settled((enum species)s)) {
            vat_flow(vat, FLOW_RACKED, (enum species)s, -vat->amount[s]);
        }
    }
}

static double group_mass(const struct vat *vat, int dipping)
{
    const struct dipping *d = &vat->dippings[dipping];
    double mass = 0.0;
    for (int i = 0; i < d->count; i++) {
        mass += vat->pieces[vat->group_pieces[d->first + i]].mass;
    }
    return mass;
}

/* Says when the fibre does not stand this liquor. */
static struct status warn_of_damage(struct vat *vat, int kind)
{
    const struct cloth_kind *cloth = &vat->scenario->cloth[kind];
    const struct fibre *fibre = &vat->scenario->model.fibres[cloth->fibre];
    if (!(vat->liquor.ions.ph > fibre->ph_limit)) {
        return status_ok();
    }
    return vat_note(vat, NOTE_WARNING, "%s (%s) in liquor of pH %.1f: above pH %.1f the fibre is harmed", cloth->name,
                    fibre->name, vat->liquor.ions.ph, fibre->ph_limit);
}

static struct status dip(struct vat *vat, struct calendar *calendar, int event, struct event_row *row)
{
    char why[120] = "";
    int dipping = cloth_pick(vat, event, why, sizeof why);
    if (dipping < 0) {
        row->done = 0.0;
        if (why[0] == '\0') {
            return status_ok(); /* nothing left to dip, and that was told */
        }
        return vat_note(vat, NOTE_WARNING, "no dip: %s", why);
    }
    if (!cloth_put_in(vat, dipping, why, sizeof why)) {
        cloth_release(vat, dipping);
        row->done = 0.0;
        return vat_note(vat, NOTE_WARNING, "no dip: %s", why);
    }
    const struct event_spec *spec = &vat->scenario->events[event];
    RETURN_IF_FAILED(warn_of_damage(vat, spec->cloth));
    row->mass = group_mass(vat, dipping);
    return calendar_put(calendar, vat->time + spec->soak, ENTRY_CLOTH_OUT, dipping, dipping);
}

struct status action_cloth_out(struct vat *vat, struct calendar *calendar, int dipping)
{
    struct event_row row;
    struct dipping *d = &vat->dippings[dipping];
    const struct event_spec *spec = &vat->scenario->events[d->event];
    double volume = vat->liquor.volume;
    look_before(vat, &row, RUN_ACTION_CLOTH_OUT, d->event);
    row.mass = group_mass(vat, dipping);
    RETURN_IF_FAILED(cloth_take_out(vat, dipping));
    row.water = vat_volume(vat) - volume;
    RETURN_IF_FAILED(write_row(vat, &row, false));
    if (spec->pick != PICK_FEWEST && cloth_kind_is_done(vat, d->kind)) {
        RETURN_IF_FAILED(vat_note(vat, NOTE_INFO, "all of '%s' are at their shade", vat->scenario->cloth[d->kind].name));
    }
    if (!cloth_group_is_done(vat, dipping)) {
        return calendar_put(calendar, vat->time + spec->air, ENTRY_CLOTH_IN, dipping, dipping);
    }
    RETURN_IF_FAILED(calendar_put(calendar, vat->time + spec->air, ENTRY_CLOTH_FREE, dipping, dipping));
    return put_followers(vat, calendar, d->event, vat->time);
}

struct status action_cloth_in(struct vat *vat, struct calendar *calendar, int dipping)
{
    char why[120] = "";
    struct event_row row;
    struct dipping *d = &vat->dippings[dipping];
    look_before(vat, &row, ACTION_DIP, d->event);
    if (!cloth_put_in(vat, dipping, why, sizeof why)) {
        row.done = 0.0;
        cloth_release(vat, dipping);
        RETURN_IF_FAILED(vat_note(vat, NOTE_WARNING, "a further dip was left out: %s", why));
        return write_row(vat, &row, false);
    }
    row.mass = group_mass(vat, dipping);
    RETURN_IF_FAILED(write_row(vat, &row, false));
    RETURN_IF_FAILED(run_over(vat));
    return calendar_put(calendar, vat->time + vat->scenario->events[d->event].soak, ENTRY_CLOTH_OUT, dipping, dipping);
}

static bool conditions_hold(struct vat *vat, const struct event_spec *spec, struct event_row *row, bool *read)
{
    *read = spec->condition_count > 0 || spec->action == ACTION_READ;
    if (!*read) {
        return true;
    }
    row->reading = observe_reading(vat, spec->instrument);
    for (int i = 0; i < spec->condition_count; i++) {
        if (!observe_condition(vat, &spec->conditions[i], &row->reading)) {
            return false;
        }
    }
    return true;
}

static struct status perform(struct vat *vat, struct calendar *calendar, int event, struct event_row *row)
{
    const struct event_spec *spec = &vat->scenario->events[event];
    switch (spec->action) {
    case ACTION_ADD:
        row->mass = spec->dose.mass;
        vat_add_dose(vat, &spec->dose, spec->temperature_K);
        break;
    case ACTION_TOP_UP:
        top_up(vat, spec, row);
        break;
    case ACTION_HEAT:
        return heat(vat, calendar, event);
    case ACTION_HEAT_OFF:
        return action_heater_off(vat, calendar);
    case ACTION_STIR:
        return stir(vat, calendar, spec);
    case ACTION_DIP:
        return dip(vat, calendar, event, row);
    case ACTION_COVER:
        vat_set_lid(vat, spec->lid);
        break;
    case ACTION_WRAP:
        vat_set_wrap(vat, spec->wrap);
        break;
    case ACTION_MOVE:
        vat_set_place(vat, spec->place);
        break;
    case ACTION_SKIM:
        skim(vat, row);
        break;
    case ACTION_RACK:
        rack(vat, spec, row);
        break;
    case ACTION_RINSE:
    case ACTION_SOUR:
    case ACTION_WASH:
        row->done = finishing_do(vat, spec->action, spec->cloth) > 0 ? 1.0 : 0.0;
        break;
    case ACTION_READ:
    case ACTION_COUNT:
        break;
    }
    return status_ok();
}

struct status action_do(struct vat *vat, struct calendar *calendar, int event)
{
    const struct event_spec *spec = &vat->scenario->events[event];
    struct event_row row;
    bool read = false;
    look_before(vat, &row, (int)spec->action, event);
    bool hold = conditions_hold(vat, spec, &row, &read);
    if (hold) {
        RETURN_IF_FAILED(perform(vat, calendar, event, &row));
    } else {
        row.done = 0.0;
    }
    RETURN_IF_FAILED(write_row(vat, &row, read));
    RETURN_IF_FAILED(run_over(vat));
    if (spec->timing == TIMING_EVERY && vat->time + spec->every <= spec->until + 1e-6) {
        RETURN_IF_FAILED(calendar_put(calendar, vat->time + spec->every, ENTRY_EVENT, event, event));
    }
    /* A dip ends when the last cloth is out, heating when the heater goes off, stirring after its time; all else at once. */
    if (!(row.done > 0.0) || spec->action == ACTION_DIP || spec->action == ACTION_HEAT) {
        return status_ok();
    }
    double lasts = spec->action == ACTION_STIR ? stir_time(vat, spec) : 0.0;
    return put_followers(vat, calendar, event, vat->time + lasts);
}

struct status action_schedule_all(struct vat *vat, struct calendar *calendar)
{
    for (size_t i = 0; i < vat->scenario->event_count; i++) {
        const struct event_spec *spec = &vat->scenario->events[i];
        if (spec->timing != TIMING_AFTER) {
            RETURN_IF_FAILED(calendar_put(calendar, spec->at, ENTRY_EVENT, (int)i, (long)i));
        }
    }
    return status_ok();
}
