/* report_data.c: see report_data.h. */
#include "record/report_data.h"

#include "record/thinning.h"

#include <jansson.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define SERIES_DIGITS 5
#define TABLE_DIGITS 7
#define ROWS_OF_ALL 3600 /* series rows of all runs together */
#define ROWS_LEAST 450   /* of one run */

/* Series that the page shows; the rest stays in the result file. */
static const char *const shown_series[] = {
    "time",        "temperature", "air_temperature", "volume",      "level",        "ph",          "ph_meter",
    "orp",         "leuco",       "leuco_held",      "indigo_suspended", "reduced_share", "hexose", "fructose",
    "glucose",     "reserve",     "acid",            "lime_solid",  "chalk",        "oxygen",      "turbidity",
    "bed_depth",   "film_cover",  "cloth_dips",      "liquor_red",  "liquor_green", "liquor_blue", "liquor_haze",
    "state",       "look",        "smell",
};

/* ---- values ------------------------------------------------------------------------------------------------------ */

/* Text as JSON; bytes beyond ASCII of a text that is not UTF-8 become '?'. */
static json_t *text_json(const char *text)
{
    json_t *value = json_string(text != NULL ? text : "");
    if (value != NULL || text == NULL) {
        return value;
    }
    char *copy = strdup(text);
    for (char *c = copy; copy != NULL && *c != '\0'; c++) {
        *c = (unsigned char)*c < 0x80 ? *c : '?';
    }
    value = copy != NULL ? json_string(copy) : NULL;
    free(copy);
    return value;
}

/* A number to so many digits; null for what does not apply. */
static json_t *number_json(double value, int digits)
{
    char text[40];
    if (!isfinite(value)) {
        return json_null();
    }
    (void)snprintf(text, sizeof text, "%.*g", digits, value);
    double rounded = strtod(text, NULL);
    if (rounded == floor(rounded) && fabs(rounded) < 1e15) {
        return json_integer((json_int_t)rounded);
    }
    return json_real(rounded);
}

/* ---- tables ------------------------------------------------------------------------------------------------------ */

/* The rows of a column that are kept (all when `keep` is NULL). Times are whole seconds. */
static json_t *values_json(const struct column *column, size_t rows, const bool *keep, int digits)
{
    bool is_time = strcmp(column->name, "time") == 0;
    json_t *values = json_array();
    for (size_t row = 0; row < rows; row++) {
        if (keep != NULL && !keep[row]) {
            continue;
        }
        double value = column->values[row];
        if (json_array_append_new(values, is_time ? number_json(floor(value + 0.5), 15) : number_json(value, digits)) != 0) {
            json_decref(values);
            return NULL;
        }
    }
    return values;
}

static json_t *column_json(const struct column *column, size_t rows, const bool *keep, int digits)
{
    json_t *values = values_json(column, rows, keep, digits);
    json_t *made = json_pack("{s:o, s:o, s:o}", "unit", text_json(column->unit), "long_name",
                             text_json(column->long_name), "values", values);
    if (made != NULL && column->flags != NULL && json_object_set_new(made, "flags", text_json(column->flags)) != 0) {
        json_decref(made);
        return NULL;
    }
    return made;
}

/* {name: {unit, long_name, flags, values}}. */
static json_t *table_json(const struct table *table)
{
    json_t *made = json_object();
    for (size_t i = 0; i < table->column_count; i++) {
        const struct column *column = &table->columns[i];
        if (json_object_set_new(made, column->name, column_json(column, table->rows, NULL, TABLE_DIGITS)) != 0) {
            json_decref(made);
            return NULL;
        }
    }
    return made;
}

/* The bounds of a series' band, where it has members, as "low" and "high" beside its values. */
static bool add_band(const struct table *series, const struct column *column, const bool *keep, json_t *made)
{
    static const char *const ends[2] = {"_p05", "_p95"};
    static const char *const names[2] = {"low", "high"};
    for (int i = 0; i < 2; i++) {
        char name[sizeof column->name + 8];
        (void)snprintf(name, sizeof name, "%s%s", column->name, ends[i]);
        const struct column *bound = table_column(series, name);
        if (bound != NULL &&
            json_object_set_new(made, names[i], values_json(bound, series->rows, keep, SERIES_DIGITS)) != 0) {
            return false;
        }
    }
    return true;
}

static json_t *series_json(const struct table *series, const bool *keep)
{
    json_t *made = json_object();
    for (size_t i = 0; i < sizeof shown_series / sizeof shown_series[0]; i++) {
        const struct column *column = table_column(series, shown_series[i]);
        json_t *one = column != NULL ? column_json(column, series->rows, keep, SERIES_DIGITS) : NULL;
        if (column != NULL && (one == NULL || !add_band(series, column, keep, one) ||
                               json_object_set(made, column->name, one) != 0)) {
            json_decref(one);
            json_decref(made);
            return NULL;
        }
        json_decref(one);
    }
    return made;
}

/* ---- ledger, notes, lists ---------------------------------------------------------------------------------------- */

/* Word number `index` of space-separated words, its underscores as blanks, into `word`. */
static void word_at(const char *words, size_t index, char *word, size_t size)
{
    word[0] = '\0';
    for (size_t i = 0; words != NULL && *words != '\0'; i++) {
        words += strspn(words, " ");
        size_t length = strcspn(words, " ");
        if (i == index) {
            (void)snprintf(word, size, "%.*s", (int)length, words);
            break;
        }
        words += length;
    }
    for (char *c = word; *c != '\0'; c++) {
        *c = *c == '_' ? ' ' : *c;
    }
}

static json_t *ledger_json(const struct table *table, report_phrase *phrase)
{
    const struct column *amount = table_column(table, "amount");
    const struct column *part = table_column(table, "part");
    json_t *rows = json_array();
    for (size_t row = 0; amount != NULL && part != NULL && row < table->rows; row++) {
        char name[64];
        char kind[64];
        word_at(table->row_names, row, name, sizeof name);
        word_at(part->flags, part->values[row] >= 0.0 ? (size_t)part->values[row] : SIZE_MAX, kind, sizeof kind);
        json_t *made = json_pack("{s:o, s:o, s:o, s:o}", "name", text_json(name), "phrase",
                                 text_json(phrase != NULL ? phrase(name) : name), "part", text_json(kind), "amount",
                                 number_json(amount->values[row], TABLE_DIGITS));
        if (json_array_append_new(rows, made) != 0) {
            json_decref(rows);
            return NULL;
        }
    }
    return json_pack("{s:o, s:o, s:o}", "name", text_json(table->name), "unit",
                     text_json(amount != NULL ? amount->unit : ""), "rows", rows);
}

/* Those that a better one tells of are left out. */
static json_t *ledgers_json(const struct result *result, report_phrase *phrase)
{
    json_t *made = json_array();
    for (size_t i = 0; i < result->ledger_count; i++) {
        const char *name = result->ledger[i].name;
        if (strcmp(result_ledger_told(result, name), name) == 0 &&
            json_array_append_new(made, ledger_json(&result->ledger[i], phrase)) != 0) {
            json_decref(made);
            return NULL;
        }
    }
    return made;
}

static json_t *notes_json(const struct result *result)
{
    static const char *const kinds[] = {"info", "warning", "caution"};
    json_t *made = json_array();
    for (size_t i = 0; i < result->note_count; i++) {
        const struct note *note = &result->notes[i];
        json_t *item = json_pack("{s:o, s:s, s:o}", "time", number_json(floor(note->time + 0.5), 15), "kind",
                                 kinds[note->kind], "text", text_json(note->text));
        if (json_array_append_new(made, item) != 0) {
            json_decref(made);
            return NULL;
        }
    }
    return made;
}

/* ---- the whole --------------------------------------------------------------------------------------------------- */

static json_t *run_json(const struct report_run *run, size_t rows_most, report_phrase *phrase)
{
    const struct result *result = run->result;
    bool *keep = calloc(result->series.rows + 1, sizeof *keep);
    if (keep == NULL) {
        return NULL;
    }
    size_t kept = series_thin(&result->series, rows_most, keep);
    json_t *series = series_json(&result->series, keep);
    free(keep);
    return json_pack(
        "{s:o, s:o, s:o, s:s, s:o, s:I, s:I, s:I, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o}", "title",
        text_json(result->title), "name", text_json(run->name), "start", number_json(result->start_unix, 15), "status",
        run_status_words[result->status], "failure", text_json(result->failure), "rows_recorded",
        (json_int_t)result->series.rows, "rows_kept", (json_int_t)kept, "members", (json_int_t)result->members.rows, "story", text_json(run->story), "scenario",
        text_json(result->scenario_text), "series", series, "events", table_json(&result->events), "dips",
        table_json(&result->dips), "pieces", table_json(&result->pieces), "ledger", ledgers_json(result, phrase),
        "notes", notes_json(result), "kinds", text_json(result->piece_names), "labels",
        text_json(result->event_labels));
}

/* One vat of a workshop as a run of its own; what was dyed is told for all vats together. */
static json_t *vat_json(const struct report_run *run, const struct result *vat, size_t number, size_t rows_most,
                        report_phrase *phrase)
{
    char name[24];
    struct result alone = *vat; /* borrowed */
    (void)snprintf(name, sizeof name, "vat %zu", number);
    (void)snprintf(alone.title, sizeof alone.title, "%s", run->result->title);
    alone.dips.column_count = 0;
    alone.pieces.column_count = 0;
    alone.scenario_text = number == 1 ? run->result->scenario_text : NULL;
    alone.start_unix = run->result->start_unix;
    alone.status = run->result->status;
    return run_json(&(struct report_run){&alone, name, ""}, rows_most, phrase);
}

static json_t *vats_json(const struct report_run *run, report_phrase *phrase)
{
    const struct workshop_result *workshop = run->result->workshop;
    size_t rows_most = ROWS_OF_ALL / (workshop->other_count + 1);
    json_t *list = json_array();
    for (size_t i = 0; i <= workshop->other_count; i++) {
        const struct result *vat = i == 0 ? run->result : &workshop->others[i - 1];
        if (json_array_append_new(list, vat_json(run, vat, i + 1, rows_most > ROWS_LEAST ? rows_most : ROWS_LEAST,
                                                 phrase)) != 0) {
            json_decref(list);
            return NULL;
        }
    }
    return list;
}

static json_t *workshop_json(const struct report_run *run)
{
    const struct result *result = run->result;
    const struct workshop_result *workshop = result->workshop;
    return json_pack("{s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o}", "name", text_json(run->name), "title",
                     text_json(result->title), "start", number_json(result->start_unix, 15), "opens",
                     number_json(floor(workshop->opens + 0.5), 15), "closes",
                     number_json(floor(workshop->closes + 0.5), 15), "places", number_json(workshop->places, 7),
                     "series", table_json(&workshop->day), "plans", table_json(&workshop->plans), "dips",
                     table_json(&result->dips), "pieces", table_json(&result->pieces), "story",
                     text_json(workshop->story));
}

/* '<' stands inside strings only, where it may as well be written by its number. */
static char *without_angles(const char *json)
{
    size_t count = 0;
    for (const char *c = json; *c != '\0'; c++) {
        count += *c == '<';
    }
    char *made = malloc(strlen(json) + 5 * count + 1);
    char *to = made;
    for (const char *c = json; made != NULL && *c != '\0'; c++) {
        if (*c == '<') {
            memcpy(to, "\\u003c", 6);
            to += 6;
        } else {
            *to++ = *c;
        }
    }
    if (made != NULL) {
        *to = '\0';
    }
    return made;
}

struct status report_data_make(const struct report_run *runs, size_t count, const struct report_words *words,
                               char **json)
{
    *json = NULL;
    size_t rows_most = ROWS_OF_ALL / count > ROWS_LEAST ? ROWS_OF_ALL / count : ROWS_LEAST;
    bool is_workshop = runs[0].result->workshop != NULL;
    json_t *list = is_workshop ? vats_json(&runs[0], words->phrase) : json_array();
    for (size_t i = 0; i < count && list != NULL && !is_workshop; i++) {
        if (json_array_append_new(list, run_json(&runs[i], rows_most, words->phrase)) != 0) {
            json_decref(list);
            list = NULL;
        }
    }
    json_t *whole = list != NULL ? json_pack("{s:o, s:o}", "runs", list, "verdict", text_json(words->verdict)) : NULL;
    if (is_workshop && whole != NULL && json_object_set_new(whole, "workshop", workshop_json(&runs[0])) != 0) {
        json_decref(whole);
        whole = NULL;
    }
    char *text = whole != NULL ? json_dumps(whole, JSON_COMPACT | JSON_REAL_PRECISION(15)) : NULL;
    json_decref(whole);
    if (text != NULL) {
        *json = without_angles(text);
    }
    free(text);
    return *json != NULL ? status_ok() : status_fail(STATUS_MEMORY, "no memory left to put the report together");
}
