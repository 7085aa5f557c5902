/* read_calendar.c: the calendar of a scenario: what is done, and when. */
#include "chem/physics.h"
#include "scenario/reader.h"
#include "scenario/words.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define KEYS_MOST 32

/* Keys that every event may have; then those of each action, in the order of enum action. */
static const char *const common_keys[] = {"do",    "at",    "every", "from", "until", "after",
                                          "delay", "label", "when",  "read", NULL};
static const char *const action_keys[ACTION_COUNT][10] = {
    {"what", "amount", "purity", "temperature", NULL},
    {"to", "amount", "temperature", NULL},
    {"to", "for", "power", NULL},
    {NULL},
    {"how", "for", NULL},
    {"cloth", "pieces", "first", "soak", "air", "dips", "wring", "pick", NULL},
    {"lid", NULL},
    {"wrap", NULL},
    {"place", NULL},
    {NULL},
    {"amount", NULL},
    {NULL},
    {"cloth", NULL},
    {"cloth", NULL},
    {"cloth", NULL},
};

/* Unknown keys, told apart from keys that belong to another action. */
static void event_check_keys(struct reader *reader, const struct setting *event, enum action action)
{
    const char *known[KEYS_MOST];
    size_t count = 0;
    for (size_t i = 0; common_keys[i] != NULL; i++) {
        known[count++] = common_keys[i];
    }
    for (size_t i = 0; action_keys[action][i] != NULL; i++) {
        known[count++] = action_keys[action][i];
    }
    known[count] = NULL;
    char where[64];
    (void)snprintf(where, sizeof where, "do = \"%s\"", action_words[action]);
    for (size_t i = 0; i < event->count; i++) {
        const char *key = event->items[i].name;
        bool elsewhere = false;
        for (int a = 0; a < ACTION_COUNT && word_index(key, known) < 0; a++) {
            elsewhere = elsewhere || word_index(key, action_keys[a]) >= 0;
        }
        if (elsewhere) {
            char list[160];
            word_list(action_keys[action], list, sizeof list);
            complain(reader, &event->items[i], "'%s' does not belong to %s; expected %s%s", key, where,
                     list[0] == '\0' ? "no key but those of its time" : "at most ", list);
        } else {
            const struct setting alone = {.type = SETTING_GROUP, .items = &event->items[i], .count = 1};
            group_check_keys(reader, &alone, where, known);
        }
    }
}

static void time_check(struct reader *reader, const struct setting *item, const char *key, double time)
{
    const struct scenario *scenario = reader->scenario;
    char shown[64];
    char limit[64];
    if (isnan(time)) {
        return;
    }
    time_show(scenario, time, shown, sizeof shown);
    if (time < 0) {
        time_show(scenario, 0, limit, sizeof limit);
        complain(reader, item, "'%s' is %s, before the start; expected %s or later", key, shown, limit);
    } else if (time > scenario->lasts) {
        time_show(scenario, scenario->lasts, limit, sizeof limit);
        complain(reader, item, "'%s' is %s, after the end; expected %s or earlier", key, shown, limit);
    }
}

/* `every` with `at` as a time of day: the first such time at or after `from`. */
static double first_clock_time(const struct scenario *scenario, double clock, double from)
{
    double first = start_midnight(scenario) + clock;
    return first < from ? first + ceil((from - first) / DAY_S) * DAY_S : first;
}

static void every_read(struct reader *reader, const struct setting *event, struct event_spec *spec)
{
    struct scenario *scenario = reader->scenario;
    const struct setting *at = setting_find(event, "at");
    const struct setting *from = setting_find(event, "from");
    const struct setting *until = setting_find(event, "until");
    spec->timing = TIMING_EVERY;
    spec->every = group_quantity(reader, event, "every", &form_duration, 60, DURATION_MOST_S, NAN);
    double begin = 0;
    if (from != NULL) {
        begin = time_read(reader, from, "from", DAY_BEGINS);
        time_check(reader, from, "from", begin);
    }
    double clock;
    if (at != NULL && at->type == SETTING_TEXT && clock_read(at->text, &clock)) {
        spec->at = first_clock_time(scenario, clock, begin);
    } else if (at != NULL && from != NULL) {
        complain(reader, at, "'at' stands beside 'every' and 'from' and is no time of day; expected it as \"08:30\"");
    } else if (at != NULL) {
        spec->at = time_read(reader, at, "at", DAY_AT_START_CLOCK);
    } else {
        spec->at = from == NULL ? spec->every : begin;
    }
    if (from == NULL || at != NULL) {
        const struct setting *said = at != NULL ? at : setting_find(event, "every");
        if (!isnan(begin) && begin >= 0 && begin <= scenario->lasts) {
            time_check(reader, said, at != NULL ? "at" : "every", spec->at);
        }
    }
    spec->until = scenario->lasts;
    if (until != NULL) {
        double end = time_read(reader, until, "until", DAY_ENDS);
        if (end < spec->at) {
            char shown[64];
            time_show(scenario, spec->at, shown, sizeof shown);
            complain(reader, until, "'until' is \"%.40s\", before the first time, %s; expected a later one",
                     until->text, shown);
        } else if (end - DAY_S > scenario->lasts) {
            time_check(reader, until, "until", end - DAY_S);
        }
        spec->until = fmin(end, scenario->lasts);
    }
}

/* Reads when the event happens; what it follows is resolved once all events are read. */
static void timing_read(struct reader *reader, const struct setting *event, struct event_spec *spec)
{
    const struct setting *at = setting_find(event, "at");
    const struct setting *every = setting_find(event, "every");
    const struct setting *after = setting_find(event, "after");
    if (after != NULL && (at != NULL || every != NULL)) {
        complain(reader, after, "'after' stands beside '%s'; expected one of at, every and after",
                 at != NULL ? "at" : "every");
        return;
    }
    if (every == NULL && (setting_find(event, "from") != NULL || setting_find(event, "until") != NULL)) {
        complain(reader, event, "'from' or 'until' stands without 'every'; expected every = \"2 days\" beside it");
    }
    if (after == NULL && setting_find(event, "delay") != NULL) {
        complain(reader, setting_find(event, "delay"),
                 "'delay' stands without 'after'; expected after = \"dip\" beside it");
    }
    if (every != NULL) {
        every_read(reader, event, spec);
    } else if (at != NULL) {
        double clock;
        spec->timing = TIMING_AT;
        if (at->type == SETTING_TEXT && clock_read(at->text, &clock)) {
            complain(reader, at,
                     "'at' is \"%.20s\", a time of day without a day; expected \"day 1 %.20s\", or 'every' beside it",
                     at->text, at->text);
            return;
        }
        spec->at = time_read(reader, at, "at", DAY_AT_START_CLOCK);
        time_check(reader, at, "at", spec->at);
    } else if (after != NULL) {
        spec->timing = TIMING_AFTER;
        spec->delay = group_quantity(reader, event, "delay", &form_duration, 0, DURATION_MOST_S, 0);
    } else {
        complain(reader, event,
                 "the event has no time; expected at = \"day 1 09:30\", every = \"2 days\" or after = \"dip\"");
    }
}

static double liquor_temperature(struct reader *reader, const struct setting *event, const char *key)
{
    return group_quantity(reader, event, key, &form_temperature, CELSIUS_ZERO, CELSIUS_ZERO + 95, NAN);
}

static void heat_read(struct reader *reader, const struct setting *event, struct event_spec *spec)
{
    (void)group_needs(reader, event, "to", "\"45 degC\"");
    spec->temperature_K = liquor_temperature(reader, event, "to");
    spec->duration = group_quantity(reader, event, "for", &form_duration, 0, DURATION_MOST_S, 0);
    spec->power = group_quantity(reader, event, "power", &form_power, 1, 50000, NAN);
    if (setting_find(event, "power") == NULL && reader->scenario->vessel.heater_power == 0) {
        complain(reader, event,
                 "there is no heater to heat with; expected power = \"1.5 kW\" here or 'heater' in the vessel");
    }
}

static void top_up_read(struct reader *reader, const struct setting *event, struct event_spec *spec)
{
    const struct setting *to = setting_find(event, "to");
    bool amount = setting_find(event, "amount") != NULL;
    if (to != NULL && amount) {
        complain(reader, event,
                 "the top-up has both 'to' and 'amount'; expected to = \"50 L\", amount = \"3 L\", or "
                 "neither: up to the vessel's 'fill'");
    }
    double filled = to != NULL || amount ? (double)NAN : reader->scenario->fill;
    spec->to_volume = group_quantity(reader, event, "to", &form_volume, 1e-4, 20, filled);
    spec->volume = group_quantity(reader, event, "amount", &form_volume, 0, 20, NAN);
    spec->temperature_K = liquor_temperature(reader, event, "temperature");
    const struct vessel *vessel = &reader->scenario->vessel;
    double holds = vessel_area(vessel) * vessel->depth;
    if (to != NULL && spec->to_volume > holds) {
        complain(reader, to, "'to' is %.4g L; expected at most the %.4g L that the vessel holds",
                 spec->to_volume * 1e3, holds * 1e3);
    }
}

static void cloth_named_read(struct reader *reader, const struct setting *event, struct event_spec *spec)
{
    const struct scenario *scenario = reader->scenario;
    const struct setting *cloth = group_typed(reader, event, "cloth", SETTING_TEXT, "\"scarf\"");
    if (cloth != NULL) {
        spec->cloth = named_find(reader, cloth, "cloth", cloth->text, scenario->cloth, scenario->cloth_count,
                                 sizeof *scenario->cloth);
    } else if (setting_find(event, "cloth") == NULL && scenario->cloth_count == 1) {
        spec->cloth = 0;
    } else if (setting_find(event, "cloth") == NULL) {
        complain(reader, event,
                 "the event does not say which cloth; expected cloth = \"...\", a name from the scenario's 'cloth'");
    }
}

static void dip_read(struct reader *reader, const struct setting *event, struct event_spec *spec)
{
    const struct scenario *scenario = reader->scenario;
    cloth_named_read(reader, event, spec);
    (void)group_needs(reader, event, "soak", "\"12 min\"");
    spec->pieces = (int)group_whole(reader, event, "pieces", 1, PIECES_MOST, 1);
    spec->first_piece = (int)group_whole(reader, event, "first", 1, PIECES_MOST, 0);
    spec->soak = group_quantity(reader, event, "soak", &form_duration, 1, 7 * DAY_S, NAN);
    spec->air = group_quantity(reader, event, "air", &form_duration, 0, 30 * DAY_S, 15 * 60);
    spec->dips = (int)group_whole(reader, event, "dips", 1, DIPS_MOST, 1);
    spec->wring = (enum wring_kind)group_word(reader, event, "wring", wring_words, WRING_HAND);
    spec->pick = (enum pick_kind)group_word(reader, event, "pick", pick_words, PICK_FEWEST);
    if (spec->cloth < 0) {
        return;
    }
    const struct cloth_kind *kind = &scenario->cloth[spec->cloth];
    if (spec->pick != PICK_FEWEST && spec->first_piece > 0) {
        complain(reader, setting_find(event, "pick"), "'pick' stands beside 'first'; expected one of the two");
    } else if (spec->pick != PICK_FEWEST && kind->target[0] == '\0') {
        complain(
            reader, setting_find(event, "pick"),
            "'pick' is \"%s\", but \"%s\" has no shade to come to; expected target = \"mid\" in its entry of 'cloth'",
            pick_words[spec->pick], kind->name);
    }
    int last = (spec->first_piece == 0 ? 1 : spec->first_piece) + spec->pieces - 1;
    if (last > kind->count) {
        const struct setting *said = setting_find(event, "pieces");
        complain(reader, said != NULL ? said : event,
                 "the dip takes \"%s\" up to piece %d, but 'count' is %d; expected fewer pieces", kind->name, last,
                 kind->count);
    }
}

static void action_read(struct reader *reader, const struct setting *event, struct event_spec *spec)
{
    struct scenario *scenario = reader->scenario;
    switch (spec->action) {
    case ACTION_ADD:
        dose_read(reader, event, "what", &spec->dose);
        spec->temperature_K = liquor_temperature(reader, event, "temperature");
        break;
    case ACTION_TOP_UP:
        top_up_read(reader, event, spec);
        break;
    case ACTION_HEAT:
        heat_read(reader, event, spec);
        break;
    case ACTION_STIR:
        spec->stir = (enum stir_kind)group_word(reader, event, "how", stir_words, STIR_GENTLE);
        spec->duration = group_quantity(reader, event, "for", &form_duration, 1, DAY_S, 2 * 60);
        break;
    case ACTION_DIP:
        dip_read(reader, event, spec);
        break;
    case ACTION_COVER:
        (void)group_needs(reader, event, "lid", "\"tight\"");
        spec->lid = (enum lid_kind)group_word(reader, event, "lid", lid_words, LID_LOOSE);
        break;
    case ACTION_WRAP:
        (void)group_needs(reader, event, "wrap", "\"blanket\"");
        spec->wrap = (enum wrap_kind)group_word(reader, event, "wrap", wrap_words, WRAP_NONE);
        break;
    case ACTION_MOVE: {
        const struct setting *place = group_needed(reader, event, "place", SETTING_TEXT, "\"shed\"");
        if (place != NULL) {
            spec->place = named_find(reader, place, "place", place->text, scenario->places, scenario->place_count,
                                     sizeof *scenario->places);
        }
        break;
    }
    case ACTION_RACK:
        spec->volume = group_quantity(reader, event, "amount", &form_volume, 0, 20, NAN);
        break;
    case ACTION_RINSE:
    case ACTION_SOUR:
    case ACTION_WASH:
        cloth_named_read(reader, event, spec);
        break;
    case ACTION_HEAT_OFF:
    case ACTION_SKIM:
    case ACTION_READ:
    case ACTION_COUNT:
        break;
    }
}

static void event_read(struct reader *reader, const struct setting *event, struct event_spec *spec)
{
    *spec = (struct event_spec){.line = event->line,
                                .at = NAN,
                                .every = NAN,
                                .until = NAN,
                                .after = -1,
                                .volume = NAN,
                                .to_volume = NAN,
                                .temperature_K = NAN,
                                .power = NAN,
                                .place = -1,
                                .cloth = -1};
    spec->dose = (struct dose){.material = -1, .mass = NAN, .purity = NAN};
    spec->action = ACTION_COUNT;
    if (group_needs(reader, event, "do", "\"stir\"")) {
        const struct setting *what = setting_find(event, "do");
        int action = what->type == SETTING_TEXT ? word_index(what->text, action_words) : -1;
        if (what->type != SETTING_TEXT) {
            (void)group_word(reader, event, "do", action_words, 0);
        } else if (action < 0) {
            complain_unknown(reader, what, "action", what->text, action_words);
        } else {
            spec->action = (enum action)action;
        }
    }
    group_text(reader, event, "label", spec->label, sizeof spec->label);
    timing_read(reader, event, spec);
    if (spec->action != ACTION_COUNT) {
        event_check_keys(reader, event, spec->action);
        action_read(reader, event, spec);
        conditions_read(reader, event, spec);
    }
}

/* Finds what each `after` names: a label first, else an action. */
static void after_resolve(struct reader *reader, const struct setting *event, struct event_spec *spec)
{
    const struct setting *after = group_typed(reader, event, "after", SETTING_TEXT, "\"dip\"");
    if (spec->timing != TIMING_AFTER || after == NULL) {
        return;
    }
    const struct scenario *scenario = reader->scenario;
    const char *known[ACTION_COUNT + 65];
    size_t count = 0;
    for (size_t i = 0; i < scenario->event_count; i++) {
        if (scenario->events[i].label[0] == '\0') {
            continue;
        }
        if (strcmp(scenario->events[i].label, after->text) == 0) {
            spec->after = (int)i;
            spec->after_action = scenario->events[i].action;
            return;
        }
        if (count < 64) {
            known[count++] = scenario->events[i].label;
        }
    }
    int action = word_index(after->text, action_words);
    spec->after_action = action < 0 ? ACTION_COUNT : (enum action)action;
    for (int i = 0; i < ACTION_COUNT; i++) {
        known[count++] = action_words[i];
    }
    known[count] = NULL;
    bool happens = false;
    for (size_t i = 0; i < scenario->event_count; i++) {
        happens = happens || (action >= 0 && scenario->events[i].action == spec->after_action);
    }
    if (action < 0) {
        complain_unknown(reader, after, "label or action", after->text, known);
    } else if (!happens) {
        complain(reader, after,
                 "'after' is \"%.40s\", but no event does that; expected the action or label of an event", after->text);
    }
}

static void entry_read(struct reader *reader, const struct setting *item, struct event_spec *spec)
{
    if (item->type == SETTING_GROUP) {
        event_read(reader, item, spec);
    } else {
        *spec = (struct event_spec){.action = ACTION_COUNT, .at = NAN, .after = -1, .cloth = -1, .place = -1};
        complain(reader, item, "an entry of 'calendar' is %s; expected a group { ... }",
                 setting_type_words(item->type));
    }
}

void calendar_read_last(struct reader *reader, const struct setting *list)
{
    const struct setting *item = &list->items[list->count - 1];
    struct event_spec *spec = &reader->scenario->events[reader->scenario->event_count++];
    entry_read(reader, item, spec);
    if (item->type == SETTING_GROUP) {
        after_resolve(reader, item, spec);
    }
}

struct status calendar_read(struct reader *reader, const struct setting *list)
{
    struct scenario *scenario = reader->scenario;
    if (list->count == 0) {
        return status_ok();
    }
    if (list->count > EVENTS_MOST) {
        complain(reader, list, "the calendar has %zu entries; expected at most %d", list->count, EVENTS_MOST);
        return status_ok();
    }
    scenario->events = calloc(list->count, sizeof *scenario->events);
    if (scenario->events == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to read the calendar");
    }
    for (size_t i = 0; i < list->count; i++) {
        entry_read(reader, &list->items[i], &scenario->events[scenario->event_count++]);
    }
    for (size_t i = 0; i < list->count; i++) {
        if (list->items[i].type == SETTING_GROUP) {
            after_resolve(reader, &list->items[i], &scenario->events[i]);
        }
    }
    return status_ok();
}
