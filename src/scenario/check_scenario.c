/* check_scenario.c: what only shows when all is read: boiling water, labels, loops of `after`, counts. */
#include "chem/physics.h"
#include "scenario/reader.h"
#include "scenario/words.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

double water_boils_K(double altitude)
{
    /* ICAO standard atmosphere; Clausius-Clapeyron with 40.66 kJ/mol from 373.15 K at 101325 Pa. */
    double pressure_ratio = pow(1 - 2.25577e-5 * altitude, 5.25588);
    return 1 / (1 / 373.15 - 8.314463 * log(pressure_ratio) / 40660);
}

static void boiling_check(struct reader *reader, const struct setting *group, const char *key, double temperature_K)
{
    double boils = water_boils_K(reader->scenario->places[0].altitude);
    const struct setting *item = group == NULL ? NULL : setting_find(group, key);
    if (item != NULL && temperature_K > boils) {
        complain(reader, item, "'%s' is %.4g degC, but water boils at %.3g degC at %g m; expected less", key,
                 temperature_K - CELSIUS_ZERO, boils - CELSIUS_ZERO, reader->scenario->places[0].altitude);
    }
}

static void temperatures_check(struct reader *reader, const struct setting *root, const struct setting *calendar)
{
    const struct scenario *scenario = reader->scenario;
    const struct setting *vat = setting_find(root, "vat");
    boiling_check(reader, setting_find(vat, "water"), "temperature", scenario->water.temperature_K);
    if (scenario->existing.exists) {
        boiling_check(reader, setting_find(vat, "existing"), "temperature", scenario->existing.temperature_K);
    }
    for (size_t i = 0; i < scenario->event_count; i++) {
        const struct event_spec *event = &scenario->events[i];
        boiling_check(reader, &calendar->items[i], event->action == ACTION_HEAT ? "to" : "temperature",
                      event->temperature_K);
    }
}

static void labels_check(struct reader *reader, const struct setting *calendar)
{
    const struct scenario *scenario = reader->scenario;
    for (size_t i = 0; i < scenario->event_count; i++) {
        const char *label = scenario->events[i].label;
        if (label[0] == '\0') {
            continue;
        }
        const struct setting *item = setting_find(&calendar->items[i], "label");
        if (word_index(label, action_words) >= 0) {
            complain(reader, item, "the label \"%s\" is the word of an action; expected another", label);
        }
        for (size_t other = 0; other < i; other++) {
            if (strcmp(scenario->events[other].label, label) == 0) {
                complain(reader, item, "there is a second label \"%s\"; expected each label once", label);
                break;
            }
        }
    }
}

/* How often each event happens at most; found by walking up what it follows. */
struct counting {
    struct reader *reader;
    const struct setting *calendar;
    double *counts; /* NAN: not yet known; -1: being worked out */
};

static bool event_follows(const struct event_spec *event, const struct scenario *scenario, size_t other)
{
    if (event->timing != TIMING_AFTER || event->after_action == ACTION_COUNT) {
        return false;
    }
    return event->after >= 0 ? (size_t)event->after == other : scenario->events[other].action == event->after_action;
}

static void loop_complain(struct counting *counting, size_t event, size_t through)
{
    const struct setting *after = setting_find(&counting->calendar->items[event], "after");
    if (event == through) {
        complain(counting->reader, after,
                 "the event follows itself: 'after' is \"%.40s\"; expected an action that it does not "
                 "do, or the label of another event",
                 after->text);
    } else {
        complain(counting->reader, after,
                 "the event follows itself by way of the event of line %d; expected no such circle",
                 counting->reader->scenario->events[through].line);
    }
}

static double event_count(struct counting *counting, size_t index)
{
    const struct scenario *scenario = counting->reader->scenario;
    const struct event_spec *event = &scenario->events[index];
    if (!isnan(counting->counts[index])) {
        return counting->counts[index];
    }
    double count = 1;
    if (event->timing == TIMING_EVERY) {
        count =
            event->until >= event->at && event->every > 0 ? floor((event->until - event->at) / event->every) + 1 : 0;
    } else if (event->timing == TIMING_AFTER) {
        counting->counts[index] = -1;
        count = 0;
        for (size_t other = 0; other < scenario->event_count; other++) {
            if (!event_follows(event, scenario, other)) {
                continue;
            }
            if (counting->counts[other] == -1) {
                loop_complain(counting, other, index);
                count = 0;
                break;
            }
            count += event_count(counting, other);
        }
    }
    counting->counts[index] = count;
    return count;
}

static struct status counts_check(struct reader *reader, const struct setting *calendar)
{
    const struct scenario *scenario = reader->scenario;
    double *counts = malloc((scenario->event_count + 1) * sizeof *counts);
    if (counts == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to check the calendar");
    }
    for (size_t i = 0; i < scenario->event_count; i++) {
        counts[i] = NAN;
    }
    struct counting counting = {.reader = reader, .calendar = calendar, .counts = counts};
    double total = 0;
    for (size_t i = 0; i < scenario->event_count; i++) {
        const struct event_spec *event = &scenario->events[i];
        total += event_count(&counting, i) * (event->action == ACTION_DIP ? event->dips : 1);
        if (total > EXPANSIONS_MOST) {
            complain(reader, &calendar->items[i],
                     "with this event the calendar comes to %.0f happenings; expected at most %d", total,
                     EXPANSIONS_MOST);
            break;
        }
    }
    free(counts);
    return total > EXPANSIONS_MOST ? status_ok() : dips_check(reader, calendar);
}

struct status scenario_check(struct reader *reader, const struct setting *root, const struct setting *calendar)
{
    temperatures_check(reader, root, calendar);
    if (reader->scenario->event_count == 0) {
        return status_ok();
    }
    labels_check(reader, calendar);
    return counts_check(reader, calendar);
}
