/* growth.c: see growth.h. */
#include "scenario/growth.h"

#include "scenario/grammar.h"
#include "scenario/read.h"
#include "scenario/reader.h"
#include "scenario/settings_write.h"
#include "scenario/source.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define RECORDS_ROOM 400000.0 /* rows of series that a session may come to */
#define FILE_ROOM (FILE_BYTES_MOST - 4096)

struct growth {
    struct scenario_template *kept;
    struct document *document;
    struct setting *calendar; /* in the document */
    struct scenario scenario;
    char **lines; /* owned; one for each event that was added */
    size_t line_count;
    size_t of_file;  /* events that the file has */
    size_t size;     /* bytes that the added events take in a file, about */
    size_t settings; /* that they come to */
};

static struct status no_memory(void)
{
    return status_fail(STATUS_MEMORY, "no memory left for the scenario");
}

static void drop_member(struct setting *group, const char *name)
{
    for (size_t i = 0; i < group->count; i++) {
        if (group->items[i].name != NULL && strcmp(group->items[i].name, name) == 0) {
            setting_free(&group->items[i]);
            memmove(&group->items[i], &group->items[i + 1], (group->count - i - 1) * sizeof *group->items);
            group->count--;
            return;
        }
    }
}

static struct status add_member(struct setting *group, const char *name, struct setting member)
{
    return member_add(group, name, member) != NULL ? status_ok() : no_memory();
}

static struct status replace_text(struct setting *root, const char *name, const char *text)
{
    struct setting member = {.type = SETTING_TEXT, .text = strdup(text)};
    drop_member(root, name);
    return member.text == NULL ? no_memory() : add_member(root, name, member);
}

/* A model that stands beside the file is found from wherever the scenario is written. */
static struct status name_model_in_full(struct setting *root, const char *path)
{
    struct setting *vat = member_find(root, "vat");
    struct setting *model = vat == NULL || vat->type != SETTING_GROUP ? NULL : member_find(vat, "model");
    if (model == NULL || model->type != SETTING_TEXT || strchr(model->text, '/') == NULL || model->text[0] == '/') {
        return status_ok();
    }
    const char *slash = strrchr(path, '/');
    size_t size = strlen(path) + strlen(model->text) + 2;
    char *beside = malloc(size);
    if (beside == NULL) {
        return no_memory();
    }
    (void)snprintf(beside, size, "%.*s%s", slash == NULL ? 0 : (int)(slash - path) + 1, path, model->text);
    char *whole = path_from_root(beside);
    free(beside);
    if (whole == NULL) {
        return no_memory();
    }
    free(model->text);
    model->text = whole;
    return status_ok();
}

/* How long it may go on: see growth_options.room. */
static double room_of(const struct scenario *scenario, double room)
{
    return floor(fmin(room, RECORDS_ROOM * scenario->record_every));
}

/* Makes of the document what a session begins with. */
static struct status settings_prepare(struct growth *growth, const char *path, const struct growth_options *options)
{
    struct setting *root = &growth->document->root;
    char text[64];
    if (!options->keeps_calendar) {
        drop_member(root, "calendar");
    }
    static const char *const left_out[] = {"schedules", "schedule", "ends", "workshop"};
    for (size_t i = 0; i < sizeof left_out / sizeof left_out[0]; i++) {
        drop_member(root, left_out[i]);
    }
    struct setting *calendar = member_find(root, "calendar");
    if (calendar == NULL) {
        RETURN_IF_FAILED(add_member(root, "calendar", (struct setting){.type = SETTING_LIST}));
    }
    double room = room_of(&growth->scenario, options->room);
    bool is_days = fmod(room, DAY_S) == 0.0;
    (void)snprintf(text, sizeof text, is_days ? "%.0f days" : "%.0f s", is_days ? room / DAY_S : room);
    RETURN_IF_FAILED(replace_text(root, "lasts", text));
    if (member_find(root, "title") == NULL) { /* else it would be called after its new file */
        RETURN_IF_FAILED(replace_text(root, "title", growth->scenario.title));
    }
    if (options->has_seed) {
        drop_member(root, "seed");
        RETURN_IF_FAILED(
            add_member(root, "seed", (struct setting){.type = SETTING_NUMBER, .whole = true, .number = options->seed}));
    }
    return name_model_in_full(root, path);
}

static struct status open_kept(struct growth *growth, const char *path, const struct growth_options *options,
                               struct complaints *complaints)
{
    RETURN_IF_FAILED(
        scenario_template_open(path, options->process_names, options->models_folder, &growth->kept, complaints));
    growth->document = template_document(growth->kept);
    /* As the file stands first, so that whatever is wrong with it is told in its own words. */
    RETURN_IF_FAILED(scenario_template_make(growth->kept, options->overrides, options->override_count,
                                            &growth->scenario, complaints));
    struct setting *root = &growth->document->root;
    for (size_t i = 0; i < options->override_count; i++) {
        RETURN_IF_FAILED(setting_override(root, options->overrides[i], (int)i + 1, complaints));
    }
    RETURN_IF_FAILED(settings_prepare(growth, path, options));
    scenario_free(&growth->scenario);
    RETURN_IF_FAILED(scenario_template_make(growth->kept, NULL, 0, &growth->scenario, complaints));
    growth->calendar = member_find(root, "calendar");
    growth->of_file = growth->scenario.event_count;
    return status_ok();
}

struct status growth_open(const char *path, const struct growth_options *options, struct growth **opened,
                          struct complaints *complaints)
{
    *opened = NULL;
    struct growth *growth = calloc(1, sizeof *growth);
    if (growth == NULL) {
        return no_memory();
    }
    struct status status = open_kept(growth, path, options, complaints);
    if (!status_is_ok(&status)) {
        growth_close(growth);
        return status;
    }
    *opened = growth;
    return status_ok();
}

void growth_close(struct growth *growth)
{
    if (growth == NULL) {
        return;
    }
    for (size_t i = 0; i < growth->line_count; i++) {
        free(growth->lines[i]);
    }
    free(growth->lines);
    scenario_free(&growth->scenario);
    scenario_template_close(growth->kept);
    free(growth);
}

const struct scenario *growth_scenario(const struct growth *growth)
{
    return &growth->scenario;
}

const struct quantities *growth_quantities(const struct growth *growth)
{
    return template_quantities(growth->kept);
}

size_t growth_of_file(const struct growth *growth)
{
    return growth->of_file;
}

/* ---- growing ---------------------------------------------------------------------------------------------------- */

static struct status make_room(struct growth *growth)
{
    size_t count = growth->scenario.event_count + 1;
    struct event_spec *events = realloc(growth->scenario.events, count * sizeof *events);
    growth->scenario.events = events != NULL ? events : growth->scenario.events;
    struct setting *items = realloc(growth->calendar->items, count * sizeof *items);
    growth->calendar->items = items != NULL ? items : growth->calendar->items;
    char **lines = realloc(growth->lines, (growth->line_count + 1) * sizeof *lines);
    growth->lines = lines != NULL ? lines : growth->lines;
    return events == NULL || items == NULL || lines == NULL ? no_memory() : status_ok();
}

static void drop_last(struct growth *growth)
{
    char *line = growth->lines[--growth->line_count];
    struct setting *item = &growth->calendar->items[--growth->calendar->count];
    growth->size -= strlen(line);
    growth->settings -= item->count + 1;
    free(line);
    setting_free(item);
    growth->scenario.event_count--;
}

static struct status check(struct growth *growth, struct complaints *complaints)
{
    struct reader reader = {.quantities = growth_quantities(growth),
                            .complaints = complaints,
                            .model = &growth->scenario.model,
                            .scenario = &growth->scenario};
    size_t before = complaints->count + complaints->dropped;
    calendar_read_last(&reader, growth->calendar);
    if (!reader_has_complained(&reader, before)) {
        RETURN_IF_FAILED(scenario_check(&reader, &growth->document->root, growth->calendar));
    }
    return reader_has_complained(&reader, before) ? status_fail(STATUS_SCENARIO, "the event cannot be") : status_ok();
}

struct status growth_add(struct growth *growth, const char *event, const char *remark, struct complaints *complaints)
{
    struct setting item = {0};
    RETURN_IF_FAILED(make_room(growth));
    RETURN_IF_FAILED(setting_from_text(event, 0, &item));
    size_t size = strlen(event) + strlen(remark) + 16;
    char *kept = malloc(size);
    if (kept == NULL) {
        setting_free(&item);
        return no_memory();
    }
    /* What stands in the file for it: a remark, and the event as it was given. */
    (void)snprintf(kept, size, "%s%s%s  %s", remark[0] != '\0' ? "  # " : "", remark, remark[0] != '\0' ? "\n" : "",
                   event);
    growth->lines[growth->line_count++] = kept;
    growth->calendar->items[growth->calendar->count++] = item;
    growth->size += strlen(kept);
    growth->settings += item.count + 1;
    struct status status = check(growth, complaints);
    if (status_is_ok(&status) &&
        (growth->scenario.event_count > EVENTS_MOST || growth->settings > SETTINGS_MOST * 4 / 5 ||
         growth->size + growth->document->source.length > FILE_ROOM)) {
        status = status_fail(STATUS_LIMIT, "the session is as long as a scenario file may be");
    }
    if (!status_is_ok(&status)) {
        drop_last(growth);
    }
    return status;
}

void growth_cut(struct growth *growth, size_t count)
{
    while (growth->scenario.event_count > count && growth->line_count > 0) {
        drop_last(growth);
    }
}

/* ---- as a file ------------------------------------------------------------------------------------------------- */

struct status growth_write(const struct growth *growth, double end, char **text)
{
    size_t size = 0;
    *text = NULL;
    FILE *out = open_memstream(text, &size);
    if (out == NULL) {
        return no_memory();
    }
    const struct setting *root = &growth->document->root;
    fputs("# A vat worked by hand. Lime burns eyes and skin: goggles and gloves; hot liquor scalds.\n\n", out);
    for (size_t i = 0; i < root->count; i++) {
        if (&root->items[i] != growth->calendar) {
            fprintf(out, "%s = ", root->items[i].name);
            setting_write_lines(out, &root->items[i]);
            fputs(";\n", out);
        }
    }
    fprintf(out, "ends = \"+%.0f s\";\n\ncalendar = (\n", end);
    for (size_t i = 0; i < growth->calendar->count; i++) {
        if (i < growth->of_file) {
            fputs("  ", out);
            setting_write(out, &growth->calendar->items[i]);
        } else {
            fputs(growth->lines[i - growth->of_file], out);
        }
        fputs(i + 1 < growth->calendar->count ? ",\n" : "\n", out);
    }
    fputs(");\n", out);
    bool is_short = ferror(out) != 0;
    if (fclose(out) != 0 || is_short) {
        free(*text);
        *text = NULL;
        return no_memory();
    }
    return status_ok();
}
