/* calendar.h: what is still to happen, ordered by time, then by rank, then by the order of the file.
 *
 * Times are kept in whole millionths of a second, so that what is meant for one moment is at one time however it was summed up.
 *
 * At one time, things end (cloth comes out, stirring stops) before things begin. Recurring events put their next occurrence
 * in only when the present one is taken out.
 */
#ifndef VATCAST_SIM_CALENDAR_H
#define VATCAST_SIM_CALENDAR_H

#include "base/status.h"

#include <stdbool.h>
#include <stddef.h>

enum entry_kind {
    ENTRY_CLOTH_OUT,  /* index: a dipping */
    ENTRY_CLOTH_FREE, /* index: a dipping whose last airing ends */
    ENTRY_STIR_END,
    ENTRY_HOLD_END,   /* the heater's holding time is over */
    ENTRY_CLOTH_IN,   /* index: a dipping's next dip */
    ENTRY_EVENT       /* index: a scenario event */
};

struct entry {
    double time;
    enum entry_kind kind; /* its value is the rank */
    int index;
    long order;           /* among equals: first put, first taken */
};

struct calendar {
    struct entry *entries; /* owned: a binary heap */
    size_t count, capacity;
    long put;
};

/* Puts an entry in. `order` sorts entries of equal time and rank; scenario events give their place in the file. */
struct status calendar_put(struct calendar *calendar, double time, enum entry_kind kind, int index, long order) MUST_USE;
/* Time of the next entry; INFINITY when there is none. */
double calendar_next_time(const struct calendar *calendar);
/* Takes the next entry out; false when there is none. */
bool calendar_take(struct calendar *calendar, struct entry *entry);
/* Drops all entries of a kind. */
void calendar_drop(struct calendar *calendar, enum entry_kind kind);
void calendar_free(struct calendar *calendar);

#endif
