/* csv.c: every table of a result as comma-separated text, RFC 4180 (CRLF line ends, quotes doubled), one file per
 * table. */
#include "record/publish.h"
#include "record/record.h"

#include <errno.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

/* A growing text; `failed` sticks. */
struct text {
    char *bytes;
    size_t size;
    size_t capacity;
    bool failed;
};

static void text_add(struct text *text, const char *bytes, size_t size)
{
    if (text->failed || size == 0) {
        return;
    }
    if (text->size + size > text->capacity) {
        size_t capacity = (text->size + size) * 2 + 4096;
        char *grown = realloc(text->bytes, capacity);
        if (grown == NULL) {
            text->failed = true;
            return;
        }
        text->bytes = grown;
        text->capacity = capacity;
    }
    memcpy(text->bytes + text->size, bytes, size);
    text->size += size;
}

/* A field, quoted when it holds a comma, a quote, a line end, or blanks at its ends. */
static void text_add_field(struct text *text, const char *field, size_t length)
{
    bool plain = true;
    for (size_t i = 0; i < length; i++) {
        if (strchr(",\"\r\n", field[i]) != NULL || (field[i] == ' ' && (i == 0 || i + 1 == length))) {
            plain = false;
        }
    }
    if (plain) {
        text_add(text, field, length);
        return;
    }
    text_add(text, "\"", 1);
    for (size_t i = 0; i < length; i++) {
        text_add(text, field + i, 1);
        if (field[i] == '"') {
            text_add(text, "\"", 1);
        }
    }
    text_add(text, "\"", 1);
}

static void text_add_number(struct text *text, double value)
{
    char number[40];
    if (!isnan(value)) {
        int length = snprintf(number, sizeof number, "%.17g", value);
        text_add(text, number, (size_t)length);
    }
}

/* Writes item number `value` of a list whose items end with any of `ends`; nothing when there is no such item. */
static void text_add_item(struct text *text, const char *list, const char *ends, double value, bool spaces)
{
    if (isnan(value) || value < 0.0) {
        return;
    }
    double i = 0.0;
    while (i < value && *list != '\0') {
        list += strcspn(list, ends);
        list += *list != '\0';
        i += 1.0;
    }
    size_t length = strcspn(list, ends);
    char *copy = strndup(list, length);
    if (copy == NULL) {
        text->failed = true;
        return;
    }
    for (char *c = copy; spaces && *c != '\0'; c++) {
        *c = *c == '_' ? ' ' : *c;
    }
    text_add_field(text, copy, length);
    free(copy);
}

/* Which list of names, one to a line, an uncoded column points into, or NULL. */
static const char *names_of(const struct result *result, const struct table *table, const struct column *column)
{
    if (strcmp(column->name, "kind") == 0 && (table == &result->dips || table == &result->pieces)) {
        return result->piece_names;
    }
    if (strcmp(column->name, "source") == 0 && table == &result->events) {
        return result->event_labels;
    }
    return NULL;
}

static void add_header(struct text *text, const struct result *result, const struct table *table)
{
    if (table->row_names != NULL) {
        text_add(text, "row (word),", 11);
    }
    for (size_t i = 0; i < table->column_count; i++) {
        const struct column *column = &table->columns[i];
        bool words = column->flags != NULL || names_of(result, table, column) != NULL;
        char header[sizeof column->name + sizeof column->unit + 8];
        int length = snprintf(header, sizeof header, "%s (%s)", column->name, words ? "word" : column->unit);
        text_add(text, ",", i > 0 ? 1 : 0);
        text_add_field(text, header, (size_t)length);
    }
    text_add(text, "\r\n", 2);
}

static void add_table(struct text *text, const struct result *result, const struct table *table)
{
    add_header(text, result, table);
    for (size_t row = 0; row < table->rows; row++) {
        if (table->row_names != NULL) {
            text_add_item(text, table->row_names, " ", (double)row, true);
            text_add(text, ",", 1);
        }
        for (size_t i = 0; i < table->column_count; i++) {
            const struct column *column = &table->columns[i];
            const char *names = names_of(result, table, column);
            text_add(text, ",", i > 0 ? 1 : 0);
            if (column->flags != NULL) {
                text_add_item(text, column->flags, " ", column->values[row], true);
            } else if (names != NULL) {
                text_add_item(text, names, "\n", column->values[row], false);
            } else {
                text_add_number(text, column->values[row]);
            }
        }
        text_add(text, "\r\n", 2);
    }
}

static void add_notes(struct text *text, const struct result *result)
{
    static const char *const kinds[] = {"info", "warning", "caution"};
    static const char header[] = "time (s),kind (word),text (words)\r\n";
    text_add(text, header, sizeof header - 1);
    for (size_t i = 0; i < result->note_count; i++) {
        const struct note *note = &result->notes[i];
        text_add_number(text, note->time);
        text_add(text, ",", 1);
        text_add(text, kinds[note->kind], strlen(kinds[note->kind]));
        text_add(text, ",", 1);
        text_add_field(text, note->text, strlen(note->text));
        text_add(text, "\r\n", 2);
    }
}

#define TABLES_FIRST 8

/* The tables in the order of their files; NULL stands for the notes. Tables of an ensemble that is none have no columns.
 * Of the other vats of a workshop, the series. */
static const struct table *table_at(const struct result *result, size_t i, char prefix[24])
{
    const struct table *const first[TABLES_FIRST] = {&result->series,  &result->events,      &result->dips,    &result->pieces,
                                                     &result->members, &result->percentiles, &result->figures, NULL};
    size_t ledgers = TABLES_FIRST + result->ledger_count;
    (void)snprintf(prefix, 24, "%s", i < TABLES_FIRST ? "" : i < ledgers ? "ledger_" : "workshop_");
    if (i < ledgers) {
        return i < TABLES_FIRST ? first[i] : &result->ledger[i - TABLES_FIRST];
    }
    if (i < ledgers + 2) {
        return i == ledgers ? &result->workshop->day : &result->workshop->plans;
    }
    (void)snprintf(prefix, 24, "vat_%zu_", i - ledgers);
    return &result->workshop->others[i - ledgers - 2].series;
}

static size_t places_for_tables(const struct result *result)
{
    return TABLES_FIRST + result->ledger_count + (result->workshop != NULL ? 2 + result->workshop->other_count : 0);
}

/* Of an ensemble that is none there are tables without columns, which make no file. */
static bool makes_file(size_t i, const struct table *table)
{
    return i < 4 || table == NULL || table->column_count > 0;
}

size_t record_table_count(const struct result *result)
{
    char prefix[24];
    size_t count = 0;
    for (size_t i = 0; i < places_for_tables(result); i++) {
        count += makes_file(i, table_at(result, i, prefix));
    }
    return count;
}

static char *file_path(const char *folder, const char *prefix, const char *name)
{
    size_t size = strlen(folder) + strlen(prefix) + strlen(name) + 8;
    char *path = malloc(size);
    if (path != NULL) {
        (void)snprintf(path, size, "%s/%s%s.csv", folder, prefix, name);
    }
    return path;
}

/* Checks (`write` false) or writes the file of table number `i`. */
static struct status export_one(const struct result *result, const char *folder, size_t i, bool force, bool write)
{
    char prefix[24];
    const struct table *table = table_at(result, i, prefix);
    if (!makes_file(i, table)) {
        return status_ok();
    }
    const char *name = table == NULL ? "notes" : strncmp(prefix, "vat_", 4) == 0 ? "series" : table->name;
    char *path = file_path(folder, prefix, name);
    if (path == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to export the result");
    }
    struct status status = publish_check(path, force);
    if (status_is_ok(&status) && write) {
        struct text text = {0};
        if (table == NULL) {
            add_notes(&text, result);
        } else {
            add_table(&text, result, table);
        }
        if (text.failed) {
            status = status_fail(STATUS_MEMORY, "no memory left to write '%.200s'", path);
        } else {
            status = publish_bytes(path, text.bytes, text.size, force);
        }
        free(text.bytes);
    }
    free(path);
    return status;
}

static bool name_is_safe(const char *name)
{
    return name[0] != '\0' &&
           name[strspn(name, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-")] == '\0';
}

struct status record_export_csv(const struct result *result, const char *folder, bool force)
{
    for (size_t i = 0; i < result->ledger_count; i++) {
        if (!name_is_safe(result->ledger[i].name)) {
            return status_fail(STATUS_IO,
                               "the ledger '%.60s' makes no name for a file; expected letters, digits, - and _",
                               result->ledger[i].name);
        }
    }
    if (mkdir(folder, 0777) != 0 && errno != EEXIST) {
        return status_fail(STATUS_IO, "the folder '%.200s' could not be made: %s", folder, strerror(errno));
    }
    size_t count = places_for_tables(result);
    for (size_t i = 0; i < count; i++) {
        RETURN_IF_FAILED(export_one(result, folder, i, force, false));
    }
    for (size_t i = 0; i < count; i++) {
        RETURN_IF_FAILED(export_one(result, folder, i, force, true));
    }
    return status_ok();
}
