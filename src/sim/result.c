/* result.c: see result.h. Growing tables of columns, and the notes of a run. */
#include "sim/result.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define FIRST_ROWS 64u
#define FIRST_NOTES 32u

const char *const run_status_words[] = {"complete", "failed", "interrupted", NULL};

static void table_init(struct table *table, const char *name, const char *about)
{
    memset(table, 0, sizeof *table);
    table->residual_relative = NAN;
    (void)snprintf(table->name, sizeof table->name, "%s", name);
    (void)snprintf(table->about, sizeof table->about, "%s", about);
}

void result_init(struct result *result)
{
    memset(result, 0, sizeof *result);
    table_init(&result->series, "series", "what the vat was like at each recording time");
    table_init(&result->events, "events", "what was done, with the vat just before and after");
    table_init(&result->dips, "dips", "each soak of a group of pieces");
    table_init(&result->pieces, "pieces", "each piece of cloth at the end");
    table_init(&result->members, "members", "other vats that the same scenario may be, and what they came to");
    table_init(&result->percentiles, "percentiles", "percentiles of the figures over the members that have them");
    table_init(&result->figures, "figures", "what the run itself came to");
}

void table_free(struct table *table)
{
    for (size_t i = 0; i < table->column_count; i++) {
        free(table->columns[i].flags);
        free(table->columns[i].values);
    }
    free(table->columns);
    free(table->row_names);
    memset(table, 0, sizeof *table);
    table->residual_relative = NAN;
}

struct status result_add_workshop(struct result *result)
{
    result->workshop = calloc(1, sizeof *result->workshop);
    if (result->workshop == NULL) {
        return status_fail(STATUS_MEMORY, "no memory for a workshop");
    }
    table_init(&result->workshop->day, "day", "people, and what is in use, minute by minute");
    table_init(&result->workshop->plans, "plans", "other plans that were tried");
    return status_ok();
}

static void workshop_result_free(struct workshop_result *workshop)
{
    if (workshop != NULL) {
        table_free(&workshop->day);
        table_free(&workshop->plans);
        for (size_t i = 0; i < workshop->other_count; i++) {
            result_free(&workshop->others[i]);
        }
        free(workshop->others);
        free(workshop->story);
        free(workshop);
    }
}

void result_drop_ledger(struct result *result)
{
    for (size_t i = 0; i < result->ledger_count; i++) {
        table_free(&result->ledger[i]);
    }
    free(result->ledger);
    result->ledger = NULL;
    result->ledger_count = 0;
}

void result_free(struct result *result)
{
    workshop_result_free(result->workshop);
    table_free(&result->series);
    table_free(&result->events);
    table_free(&result->dips);
    table_free(&result->pieces);
    table_free(&result->members);
    table_free(&result->percentiles);
    table_free(&result->figures);
    result_drop_ledger(result);
    free(result->notes);
    free(result->scenario_text);
    free(result->model_text);
    free(result->piece_names);
    free(result->event_labels);
    result_init(result);
}

const char *result_ledger_told(const struct result *result, const char *name)
{
    const char *better = strcmp(name, "hexose") == 0 ? "feed" : strcmp(name, "lime") == 0 ? "alkali" : "";
    for (size_t i = 0; i < result->ledger_count; i++) {
        if (strcmp(result->ledger[i].name, better) == 0) {
            return better;
        }
    }
    return name;
}

static struct status no_memory(const struct table *table)
{
    return status_fail(STATUS_MEMORY, "no memory left for the table '%s' of %zu rows", table->name, table->rows);
}

static bool name_is_plain(const char *name)
{
    if (name[0] < 'a' || name[0] > 'z') {
        return false;
    }
    return name[strspn(name, "abcdefghijklmnopqrstuvwxyz0123456789_")] == '\0';
}

struct status table_add_column(struct table *table, const char *name, const char *unit, const char *long_name,
                               const char *flags)
{
    if (table->rows > 0) {
        return status_fail(STATUS_BUG, "column '%s' added to the table '%s', which has rows already", name,
                           table->name);
    }
    if (!name_is_plain(name) || strlen(name) >= sizeof table->columns[0].name) {
        return status_fail(STATUS_BUG, "'%.60s' is no name for a column; expected a to z, 0 to 9 and _, at most 47",
                           name);
    }
    if (table_column(table, name) != NULL) {
        return status_fail(STATUS_BUG, "column '%s' added twice to the table '%s'", name, table->name);
    }
    struct column *columns = realloc(table->columns, (table->column_count + 1) * sizeof *columns);
    if (columns == NULL) {
        return no_memory(table);
    }
    table->columns = columns;
    struct column *column = &columns[table->column_count];
    memset(column, 0, sizeof *column);
    (void)snprintf(column->name, sizeof column->name, "%s", name);
    (void)snprintf(column->unit, sizeof column->unit, "%s", unit);
    (void)snprintf(column->long_name, sizeof column->long_name, "%s", long_name);
    if (flags != NULL) {
        column->flags = strdup(flags);
    }
    if (table->capacity > 0) {
        column->values = malloc(table->capacity * sizeof *column->values);
    }
    if ((flags != NULL && column->flags == NULL) || (table->capacity > 0 && column->values == NULL)) {
        free(column->flags);
        free(column->values);
        return no_memory(table);
    }
    table->column_count++;
    return status_ok();
}

struct status table_append_column(struct table *table, const char *name, const char *unit, const char *long_name,
                                  const double *values)
{
    size_t rows = table->rows;
    table->rows = 0; /* as for a table without rows; the new column gets the room that the others have */
    struct status status = table_add_column(table, name, unit, long_name, NULL);
    table->rows = rows;
    if (status_is_ok(&status) && rows > 0) {
        memcpy(table->columns[table->column_count - 1].values, values, rows * sizeof *values);
    }
    return status;
}

struct status table_reserve(struct table *table, size_t rows)
{
    if (rows <= table->capacity) {
        return status_ok();
    }
    if (rows > SIZE_MAX / sizeof(double)) {
        return status_fail(STATUS_LIMIT, "the table '%s' cannot hold %zu rows", table->name, rows);
    }
    for (size_t i = 0; i < table->column_count; i++) {
        double *values = realloc(table->columns[i].values, rows * sizeof *values);
        if (values == NULL) {
            return no_memory(table); /* columns grown so far stay valid: `capacity` still tells the smaller size */
        }
        table->columns[i].values = values;
    }
    table->capacity = rows;
    return status_ok();
}

struct status table_add_row(struct table *table, const double *values, size_t count)
{
    if (count != table->column_count) {
        return status_fail(STATUS_BUG, "a row of %zu values for the %zu columns of '%s'", count, table->column_count,
                           table->name);
    }
    if (table->rows == table->capacity) {
        RETURN_IF_FAILED(table_reserve(table, table->capacity == 0 ? FIRST_ROWS : table->capacity * 2));
    }
    for (size_t i = 0; i < table->column_count; i++) {
        table->columns[i].values[table->rows] = values[i];
    }
    table->rows++;
    return status_ok();
}

struct column *table_column(const struct table *table, const char *name)
{
    for (size_t i = 0; i < table->column_count; i++) {
        if (strcmp(table->columns[i].name, name) == 0) {
            return &table->columns[i];
        }
    }
    return NULL;
}

struct status result_add_note(struct result *result, double time, enum note_kind kind, const char *format, ...)
{
    if (result->note_count == result->note_capacity) {
        size_t capacity = result->note_capacity == 0 ? FIRST_NOTES : result->note_capacity * 2;
        struct note *notes = realloc(result->notes, capacity * sizeof *notes);
        if (notes == NULL) {
            return status_fail(STATUS_MEMORY, "no memory left for the notes of the run");
        }
        result->notes = notes;
        result->note_capacity = capacity;
    }
    struct note *note = &result->notes[result->note_count];
    memset(note, 0, sizeof *note);
    note->time = time;
    note->kind = kind;
    va_list arguments;
    va_start(arguments, format);
    (void)vsnprintf(note->text, sizeof note->text, format, arguments);
    va_end(arguments);
    for (char *c = note->text; *c != '\0'; c++) {
        if (*c == '\n' || *c == '\r') {
            *c = ' '; /* notes are kept one to a line */
        }
    }
    result->note_count++;
    return status_ok();
}
