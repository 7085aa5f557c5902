/* calendar.c: see calendar.h. */
#include "sim/calendar.h"

#include <math.h>
#include <stdlib.h>

#define TICKS 1e6 /* per s */

static bool before(const struct entry *a, const struct entry *b)
{
    if (a->time < b->time || a->time > b->time) {
        return a->time < b->time;
    }
    if (a->kind != b->kind) {
        return a->kind < b->kind;
    }
    return a->order < b->order;
}

static void swap(struct entry *a, struct entry *b)
{
    struct entry moving = *a;
    *a = *b;
    *b = moving;
}

static void sift_up(struct calendar *calendar, size_t i)
{
    while (i > 0 && before(&calendar->entries[i], &calendar->entries[(i - 1) / 2])) {
        swap(&calendar->entries[i], &calendar->entries[(i - 1) / 2]);
        i = (i - 1) / 2;
    }
}

static void sift_down(struct calendar *calendar, size_t i)
{
    for (;;) {
        size_t least = i;
        for (size_t child = 2 * i + 1; child <= 2 * i + 2; child++) {
            if (child < calendar->count && before(&calendar->entries[child], &calendar->entries[least])) {
                least = child;
            }
        }
        if (least == i) {
            return;
        }
        swap(&calendar->entries[i], &calendar->entries[least]);
        i = least;
    }
}

struct status calendar_put(struct calendar *calendar, double time, enum entry_kind kind, int index, long order)
{
    if (calendar->count == calendar->capacity) {
        size_t capacity = calendar->capacity == 0 ? 64 : 2 * calendar->capacity;
        struct entry *entries = realloc(calendar->entries, capacity * sizeof *entries);
        if (entries == NULL) {
            return status_fail(STATUS_MEMORY, "no memory for %zu calendar entries", capacity);
        }
        calendar->entries = entries;
        calendar->capacity = capacity;
    }
    const double tick = round(time * TICKS) / TICKS;
    calendar->entries[calendar->count] = (struct entry){.time = tick, .kind = kind, .index = index, .order = order};
    sift_up(calendar, calendar->count++);
    return status_ok();
}

double calendar_next_time(const struct calendar *calendar)
{
    return calendar->count > 0 ? calendar->entries[0].time : INFINITY;
}

bool calendar_take(struct calendar *calendar, struct entry *entry)
{
    if (calendar->count == 0) {
        return false;
    }
    *entry = calendar->entries[0];
    calendar->entries[0] = calendar->entries[--calendar->count];
    sift_down(calendar, 0);
    return true;
}

void calendar_drop(struct calendar *calendar, enum entry_kind kind)
{
    size_t kept = 0;
    for (size_t i = 0; i < calendar->count; i++) {
        if (calendar->entries[i].kind != kind) {
            calendar->entries[kept++] = calendar->entries[i];
        }
    }
    calendar->count = kept;
    for (size_t i = kept / 2; i-- > 0;) {
        sift_down(calendar, i);
    }
}

void calendar_free(struct calendar *calendar)
{
    free(calendar->entries);
    *calendar = (struct calendar){0};
}
