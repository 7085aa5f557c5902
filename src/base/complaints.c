/* complaints.c: see complaints.h. */
#include "base/complaints.h"

#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void complaints_init(struct complaints *complaints)
{
    *complaints = (struct complaints){0};
}

void complaints_free(struct complaints *complaints)
{
    free(complaints->items);
    complaints_init(complaints);
}

void complaints_add(struct complaints *complaints, const char *file, int line, const char *format, ...)
{
    if (complaints->count == COMPLAINTS_MOST) {
        complaints->dropped++;
        return;
    }
    if (complaints->count == complaints->capacity) {
        size_t capacity = complaints->capacity == 0 ? 8 : complaints->capacity * 2;
        struct complaint *items = realloc(complaints->items, capacity * sizeof *items);
        if (items == NULL) {
            complaints->dropped++;
            return;
        }
        complaints->items = items;
        complaints->capacity = capacity;
    }
    struct complaint *complaint = &complaints->items[complaints->count++];
    (void)snprintf(complaint->file, sizeof complaint->file, "%s", file);
    complaint->line = line;
    va_list arguments;
    va_start(arguments, format);
    (void)vsnprintf(complaint->text, sizeof complaint->text, format, arguments);
    va_end(arguments);
}

void complaints_sort(struct complaints *complaints)
{
    int met[COMPLAINTS_MOST]; /* when a complaint's file was first met */
    for (size_t i = 0; i < complaints->count; i++) {
        size_t first = 0;
        while (strcmp(complaints->items[first].file, complaints->items[i].file) != 0) {
            first++;
        }
        met[i] = (int)first;
    }
    /* Insertion sort: stable, and the list is short. */
    for (size_t i = 1; i < complaints->count; i++) {
        struct complaint moving = complaints->items[i];
        int moving_met = met[i];
        size_t j = i;
        while (j > 0 && (met[j - 1] > moving_met ||
                         (met[j - 1] == moving_met && complaints->items[j - 1].line > moving.line))) {
            complaints->items[j] = complaints->items[j - 1];
            met[j] = met[j - 1];
            j--;
        }
        complaints->items[j] = moving;
        met[j] = moving_met;
    }
}

void complaints_drop_repeated(struct complaints *complaints)
{
    size_t kept = 0;
    for (size_t i = 0; i < complaints->count; i++) {
        const struct complaint *one = &complaints->items[i];
        bool repeated = false;
        for (size_t k = 0; k < kept && !repeated; k++) {
            const struct complaint *other = &complaints->items[k];
            repeated = one->line == other->line && strcmp(one->text, other->text) == 0 && strcmp(one->file, other->file) == 0;
        }
        if (!repeated) {
            complaints->items[kept++] = *one;
        }
    }
    complaints->count = kept;
}
