/* check_dips.c: dips at fixed times: whether the cloth fits the vessel, and whether a piece is wanted twice at once.
 *
 * Dips on condition, and those that follow other events, are not foreseen here; the run meets them as they come.
 */
#include "scenario/reader.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define ACTIVE_MOST 64

struct interval {
    double begin; /* s */
    double end;
    size_t event;
};

struct intervals {
    struct interval *items; /* owned */
    size_t count;
    size_t capacity;
};

static bool intervals_add(struct intervals *intervals, double begin, double end, size_t event)
{
    if (intervals->count == intervals->capacity) {
        size_t capacity = intervals->capacity == 0 ? 64 : intervals->capacity * 2;
        struct interval *items = realloc(intervals->items, capacity * sizeof *items);
        if (items == NULL) {
            return false;
        }
        intervals->items = items;
        intervals->capacity = capacity;
    }
    intervals->items[intervals->count++] = (struct interval){.begin = begin, .end = end, .event = event};
    return true;
}

static int interval_order(const void *left, const void *right)
{
    const struct interval *a = left;
    const struct interval *b = right;
    if (a->begin != b->begin) {
        return a->begin < b->begin ? -1 : 1;
    }
    return a->event < b->event ? -1 : a->event > b->event ? 1 : 0;
}

static bool is_foreseen_dip(const struct event_spec *event)
{
    return event->action == ACTION_DIP && event->condition_count == 0 && event->cloth >= 0 && !isnan(event->at) &&
           (event->timing == TIMING_AT || (event->timing == TIMING_EVERY && event->every > 0)) && event->soak > 0 &&
           event->air >= 0;
}

/* Adds one happening of a dip: each time in the liquor, or the whole of it from first in to last aired. */
static bool happening_add(struct intervals *intervals, const struct event_spec *event, size_t index, double time,
                          bool sessions)
{
    double turn = event->soak + event->air;
    if (sessions) {
        return intervals_add(intervals, time, time + event->dips * turn, index);
    }
    for (int dip = 0; dip < event->dips; dip++) {
        double begin = time + dip * turn;
        if (!intervals_add(intervals, begin, begin + event->soak, index)) {
            return false;
        }
    }
    return true;
}

/* Every time in the liquor, or with `sessions` every dip of pieces named by `first`; sorted. */
static bool intervals_fill(const struct scenario *scenario, bool sessions, struct intervals *intervals)
{
    for (size_t i = 0; i < scenario->event_count; i++) {
        const struct event_spec *event = &scenario->events[i];
        if (!is_foreseen_dip(event) || (sessions && event->first_piece == 0)) {
            continue;
        }
        bool recurs = event->timing == TIMING_EVERY;
        int times = !recurs ? 1 : 0;
        if (recurs && event->until >= event->at) { /* false when either is NAN */
            times = (int)floor((event->until - event->at) / event->every) + 1;
        }
        for (int k = 0; k < times; k++) { /* at most EXPANSIONS_MOST */
            if (!happening_add(intervals, event, i, recurs ? event->at + k * event->every : event->at, sessions)) {
                return false;
            }
        }
    }
    if (intervals->count > 0) {
        qsort(intervals->items, intervals->count, sizeof *intervals->items, interval_order);
    }
    return true;
}

/* Those of the intervals that are still running when another begins. */
struct running {
    const struct interval *items[ACTIVE_MOST];
    size_t count;
};

static void running_advance(struct running *running, double time)
{
    size_t kept = 0;
    for (size_t i = 0; i < running->count; i++) {
        if (running->items[i]->end > time) {
            running->items[kept++] = running->items[i];
        }
    }
    running->count = kept;
}

/* Complains of too many groups or too much cloth once for each event. */
static void liquor_check(struct reader *reader, const struct setting *calendar, const struct intervals *intervals,
                         bool *told)
{
    const struct scenario *scenario = reader->scenario;
    double holds = vessel_area(&scenario->vessel) * scenario->vessel.depth;
    struct running running = {.count = 0};
    for (size_t i = 0; i < intervals->count; i++) {
        const struct interval *interval = &intervals->items[i];
        running_advance(&running, interval->begin);
        if (running.count == ACTIVE_MOST) {
            return;
        }
        running.items[running.count++] = interval;
        double cloth = 0;
        for (size_t k = 0; k < running.count; k++) {
            const struct event_spec *event = &scenario->events[running.items[k]->event];
            cloth += event->pieces * scenario->cloth[event->cloth].each;
        }
        char time[64];
        time_show(scenario, interval->begin, time, sizeof time);
        double room = cloth * WET_CLOTH_M3_PER_KG;
        if (told[interval->event]) {
            continue;
        }
        if (running.count > MAX_SOAKING_GROUPS) {
            told[interval->event] = true;
            complain(reader, &calendar->items[interval->event],
                     "with this dip %zu groups are in the liquor at once on %s; "
                     "expected at most %d",
                     running.count, time, MAX_SOAKING_GROUPS);
        } else if (scenario->fill <= holds && scenario->fill + room > holds) {
            told[interval->event] = true;
            complain(reader, &calendar->items[interval->event],
                     "%.3g kg of cloth on %s take %.3g L beside %.4g L of liquor; "
                     "expected at most the %.4g L that the vessel holds",
                     cloth, time, room * 1e3, scenario->fill * 1e3, holds * 1e3);
        }
    }
}

static bool pieces_shared(const struct event_spec *a, const struct event_spec *b)
{
    return a->cloth == b->cloth && a->first_piece < b->first_piece + b->pieces &&
           b->first_piece < a->first_piece + a->pieces;
}

/* Complains when a piece named by `first` is asked for while it is still being dipped or aired. */
static void pieces_check(struct reader *reader, const struct setting *calendar, const struct intervals *sessions,
                         bool *told)
{
    const struct scenario *scenario = reader->scenario;
    struct running running = {.count = 0};
    for (size_t i = 0; i < sessions->count; i++) {
        const struct interval *session = &sessions->items[i];
        running_advance(&running, session->begin);
        for (size_t k = 0; k < running.count && !told[session->event]; k++) {
            const struct event_spec *earlier = &scenario->events[running.items[k]->event];
            if (pieces_shared(earlier, &scenario->events[session->event])) {
                char time[64];
                time_show(scenario, session->begin, time, sizeof time);
                told[session->event] = true;
                complain(reader, &calendar->items[session->event],
                         "on %s a piece of \"%s\" is still in use by the dip of line "
                         "%d; expected other pieces or a later time",
                         time, scenario->cloth[earlier->cloth].name, earlier->line);
            }
        }
        if (running.count == ACTIVE_MOST) {
            return;
        }
        running.items[running.count++] = session;
    }
}

struct status dips_check(struct reader *reader, const struct setting *calendar)
{
    const struct scenario *scenario = reader->scenario;
    struct intervals soaks = {0};
    struct intervals sessions = {0};
    bool *told = calloc(scenario->event_count * 2 + 1, sizeof *told);
    bool done = told != NULL && intervals_fill(scenario, false, &soaks) && intervals_fill(scenario, true, &sessions);
    if (done) {
        liquor_check(reader, calendar, &soaks, told);
        pieces_check(reader, calendar, &sessions, told + scenario->event_count);
    }
    free(told);
    free(soaks.items);
    free(sessions.items);
    return done ? status_ok() : status_fail(STATUS_MEMORY, "no memory left to check the dips");
}
