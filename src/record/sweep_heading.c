/* sweep_heading.c: what the runs of a sweep have in common, as one line of JSON and back; see sweep_file.h. */
#include "record/sweep_file.h"

#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#ifndef VATCAST_VERSION
#define VATCAST_VERSION "0.1.0"
#endif

#define COLUMNS_MOST 4096

void sweep_about_free(struct sweep_about *about)
{
    free(about->swept);
    table_free(&about->members);
    table_free(&about->series);
    free(about->scenario_text);
    free(about->model_text);
    *about = (struct sweep_about){0};
}

size_t sweep_about_width(const struct sweep_about *about)
{
    return about->members.column_count + about->series.column_count * about->series_rows;
}

static json_t *columns_write(const struct table *table)
{
    json_t *list = json_array();
    for (size_t i = 0; i < table->column_count; i++) {
        const struct column *column = &table->columns[i];
        json_t *item = json_pack("[s, s, s, s?]", column->name, column->unit, column->long_name, column->flags);
        if (json_array_append_new(list, item) != 0) {
            json_decref(list);
            return NULL;
        }
    }
    return list;
}

static json_t *swept_write(const struct sweep_about *about)
{
    json_t *list = json_array();
    for (size_t i = 0; i < about->swept_count; i++) {
        const struct swept *swept = &about->swept[i];
        json_t *item = json_pack("[s, s, s, f, f]", swept->name, swept->unit, swept->how, swept->low, swept->high);
        if (json_array_append_new(list, item) != 0) {
            json_decref(list);
            return NULL;
        }
    }
    return list;
}

struct status sweep_about_write(const struct sweep_about *about, char **heading)
{
    json_t *tree =
        json_pack("{s:s, s:s, s:s, s:f, s:f, s:f, s:I, s:I, s:I, s:o, s:o, s:o, s:s, s:s}", "version", VATCAST_VERSION,
                  "title", about->title, "scenario_name", about->scenario_name, "start_unix", about->start_unix,
                  "record_every", about->record_every, "rtol", about->rtol, "seed", (json_int_t)about->seed, "runs",
                  (json_int_t)about->runs, "series_rows", (json_int_t)about->series_rows, "swept", swept_write(about),
                  "members", columns_write(&about->members), "series", columns_write(&about->series), "scenario_text",
                  about->scenario_text, "model_text", about->model_text);
    *heading = tree != NULL ? json_dumps(tree, JSON_COMPACT | JSON_SORT_KEYS) : NULL;
    json_decref(tree);
    return *heading != NULL
               ? status_ok()
               : status_fail(STATUS_MEMORY, "no memory left for the heading of a sweep, or a text in it is "
                                            "not UTF-8");
}

/* ---- back -------------------------------------------------------------------------------------------------------- */

static bool text_into(char *to, size_t size, const char *text)
{
    return text != NULL && (size_t)snprintf(to, size, "%s", text) < size;
}

static struct status bad(void)
{
    return status_fail(STATUS_IO, "the heading of the sweep does not read");
}

static struct status columns_read(const json_t *list, struct table *table)
{
    size_t i;
    json_t *item;
    if (!json_is_array(list) || json_array_size(list) > COLUMNS_MOST) {
        return bad();
    }
    json_array_foreach(list, i, item)
    {
        const char *name;
        const char *unit;
        const char *long_name;
        json_t *flags;
        if (json_unpack(item, "[s, s, s, o]", &name, &unit, &long_name, &flags) != 0) {
            return bad();
        }
        RETURN_IF_FAILED(table_add_column(table, name, unit, long_name, json_string_value(flags)));
    }
    return status_ok();
}

static struct status swept_read(const json_t *list, struct sweep_about *about)
{
    size_t i;
    json_t *item;
    if (!json_is_array(list) || json_array_size(list) > COLUMNS_MOST) {
        return bad();
    }
    about->swept = calloc(json_array_size(list) + 1, sizeof *about->swept);
    if (about->swept == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to read a sweep");
    }
    json_array_foreach(list, i, item)
    {
        struct swept *swept = &about->swept[about->swept_count++];
        const char *name = NULL;
        const char *unit = NULL;
        const char *how = NULL;
        if (json_unpack(item, "[s, s, s, F, F]", &name, &unit, &how, &swept->low, &swept->high) != 0 ||
            !text_into(swept->name, sizeof swept->name, name) || !text_into(swept->unit, sizeof swept->unit, unit) ||
            !text_into(swept->how, sizeof swept->how, how)) {
            return bad();
        }
    }
    return status_ok();
}

static struct status read_tree(json_t *tree, struct sweep_about *about)
{
    const char *version = NULL;
    const char *title = NULL;
    const char *name = NULL;
    const char *scenario = NULL;
    const char *model = NULL;
    json_int_t seed;
    json_int_t runs;
    json_int_t rows;
    json_t *swept;
    json_t *members;
    json_t *series;
    if (json_unpack(tree, "{s:s}", "version", &version) != 0 || strcmp(version, VATCAST_VERSION) != 0) {
        return status_fail(STATUS_IO, "the sweep was made by version %.20s of the program; expected " VATCAST_VERSION,
                           version == NULL ? "unknown" : version);
    }
    if (json_unpack(tree, "{s:s, s:s, s:F, s:F, s:F, s:I, s:I, s:I, s:o, s:o, s:o, s:s, s:s}", "title", &title,
                    "scenario_name", &name, "start_unix", &about->start_unix, "record_every", &about->record_every,
                    "rtol", &about->rtol, "seed", &seed, "runs", &runs, "series_rows", &rows, "swept", &swept,
                    "members", &members, "series", &series, "scenario_text", &scenario, "model_text", &model) != 0 ||
        runs < 0 || rows < 0 || !text_into(about->title, sizeof about->title, title) ||
        !text_into(about->scenario_name, sizeof about->scenario_name, name)) {
        return bad();
    }
    about->seed = (uint64_t)seed;
    about->runs = (size_t)runs;
    about->series_rows = (size_t)rows;
    about->scenario_text = strdup(scenario);
    about->model_text = strdup(model);
    if (about->scenario_text == NULL || about->model_text == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to read a sweep");
    }
    RETURN_IF_FAILED(swept_read(swept, about));
    RETURN_IF_FAILED(columns_read(members, &about->members));
    return columns_read(series, &about->series);
}

struct status sweep_about_read(const char *heading, struct sweep_about *about)
{
    *about = (struct sweep_about){0};
    json_t *tree = json_loads(heading, JSON_REJECT_DUPLICATES, NULL);
    if (tree == NULL) {
        return bad();
    }
    struct status status = read_tree(tree, about);
    json_decref(tree);
    if (!status_is_ok(&status)) {
        sweep_about_free(about);
    }
    return status;
}
