/* scenario.c: a scenario file read whole: settings, overrides, model, parts, cross checks; see read.h. */
#include "scenario/scenario.h"

#include "scenario/read.h"
#include "scenario/lesson.h"
#include "scenario/reader.h"
#include "scenario/words.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define RECORDS_MOST 500000

static const char *const top_keys[] = {"title", "start", "lasts",    "record", "seed",      "rtol",
                                       "vat",   "cloth", "calendar", "places", "constants", "workshop",
                                       "schedules", "schedule", "prices", "ends", "lesson", NULL};

void scenario_free(struct scenario *scenario)
{
    free(scenario->charge);
    free(scenario->places);
    free(scenario->cloth);
    free(scenario->events);
    lesson_free(scenario->lesson);
    free(scenario->scenario_text);
    model_free(&scenario->model);
    *scenario = (struct scenario){0};
}

double dose_indigotin(const struct model *model, const struct dose *dose)
{
    double content = model->materials[dose->material].indigotin;
    return content > 0.0 ? dose->mass * (isnan(dose->purity) ? content : dose->purity) : 0.0;
}

static void start_read(struct reader *reader, const struct setting *root)
{
    const struct setting *start = group_needed(reader, root, "start", SETTING_TEXT, "\"2026-05-04 08:00\"");
    bool has_clock;
    double unix_s = NAN;
    if (start != NULL && !date_read(start->text, &unix_s, &has_clock)) {
        complain(reader, start, "'start' is \"%.60s\", which is no date; expected it as \"2026-05-04 08:00\"",
                 start->text);
    }
    reader->scenario->start_unix = unix_s; /* NAN keeps every time of the calendar from being judged */
}

static void span_read(struct reader *reader, const struct setting *root)
{
    struct scenario *scenario = reader->scenario;
    (void)group_needs(reader, root, "lasts", "\"6 weeks\"");
    scenario->lasts = group_quantity(reader, root, "lasts", &form_duration, 60, DURATION_MOST_S, NAN);
    scenario->record_every = group_quantity(reader, root, "record", &form_duration, 1, DURATION_MOST_S, 30 * 60);
    scenario->seed = (uint64_t)group_whole(reader, root, "seed", 0, 2147483647, 1);
    scenario->rtol = group_quantity(reader, root, "rtol", &form_number, 1e-12, 1e-2, 2e-5);
    const struct setting *record = setting_find(root, "record");
    if (record != NULL && scenario->record_every > scenario->lasts) {
        complain(reader, record, "'record' is longer than 'lasts'; expected a shorter interval, as \"30 min\"");
    } else if (scenario->lasts / scenario->record_every > RECORDS_MOST) {
        complain(reader, record == NULL ? root : record, "there would be %.0f recordings; expected at most %d",
                 scenario->lasts / scenario->record_every, RECORDS_MOST);
    }
}

/* Whether `ends` is said as a moment. */
static bool is_moment(const struct setting *ends)
{
    return ends != NULL && ends->type == SETTING_TEXT && strpbrk(ends->text, "0123456789") != NULL;
}

/* Once the calendar is read, for which `lasts` holds: the run ends at the moment that `ends` says. */
static void end_read(struct reader *reader, const struct setting *root)
{
    struct scenario *scenario = reader->scenario;
    const struct setting *ends = setting_find(root, "ends");
    double end = is_moment(ends) ? time_read(reader, ends, "ends", DAY_AT_START_CLOCK) : (double)NAN;
    if (end < 0 || end > scenario->lasts) {
        complain(reader, ends, "'ends' is \"%.40s\"; expected a moment from the start to the end of 'lasts'", ends->text);
    } else if (!isnan(end)) {
        scenario->lasts = end;
    }
}

static void ends_read(struct reader *reader, const struct setting *root)
{
    static const char *const words[] = {"in full", "when done", NULL};
    struct scenario *scenario = reader->scenario;
    const struct setting *ends = group_typed(reader, root, "ends", SETTING_TEXT, "\"when done\"");
    int word = ends == NULL || is_moment(ends) ? 0 : word_index(ends->text, words);
    if (word < 0) {
        complain(reader, ends, "'ends' is \"%.60s\"; expected \"in full\", \"when done\" or a moment, as \"day 3 10:00\"",
                 ends->text);
    }
    scenario->ends_when_done = word == 1;
    bool any = scenario->cloth_count == 0 && setting_find(root, "cloth") != NULL; /* complained of already */
    for (size_t i = 0; i < scenario->cloth_count; i++) {
        any = any || scenario->cloth[i].target[0] != '\0';
    }
    if (scenario->ends_when_done && !any) {
        complain(reader, setting_find(root, "ends"),
                 "'ends' is \"when done\", but no cloth has a shade to come to; expected target = \"mid\" in an entry of "
                 "'cloth'");
    }
}

/* A scenario file as read, to be laid out with different overrides. */
struct scenario_template {
    const struct quantities *quantities;
    struct quantities *own_quantities; /* the same when they are to be closed with it, else NULL */
    struct document document;
    bool is_faulty; /* its text has been complained about */
    char path[sizeof((struct scenario *)NULL)->path];
    const char *const *process_names;
    char *models_folder;
    char *model_name; /* of the model kept; NULL: none yet */
    struct model model;
};

/* Reads a model and keeps it, as other overrides will mostly want the same. */
static struct status model_keep(struct scenario_template *kept, const char *name, struct complaints *complaints)
{
    char folder[sizeof kept->path];
    const char *slash = strrchr(kept->path, '/');
    (void)snprintf(folder, sizeof folder, "%.*s", slash == NULL ? 0 : (int)(slash - kept->path) + 1, kept->path);
    free(kept->model_name);
    kept->model_name = NULL;
    model_free(&kept->model);
    RETURN_IF_FAILED(model_read_with(kept->quantities, name, folder, kept->process_names, kept->models_folder,
                                     &kept->model, complaints));
    kept->model_name = strdup(name);
    return kept->model_name == NULL ? status_fail(STATUS_MEMORY, "no memory left to keep the model") : status_ok();
}

/* Reads the model that the vat names; reader->model stays NULL when it cannot be used. Its complaints are kept apart.
 * */
static struct status vat_model_read(struct reader *reader, const struct setting *vat, struct scenario_template *kept,
                                    struct complaints *model_complaints)
{
    const struct setting *item = group_needed(reader, vat, "model", SETTING_TEXT, "\"sugar-lime\"");
    if (item == NULL) {
        return status_ok();
    }
    bool is_kept = kept->model_name != NULL && strcmp(kept->model_name, item->text) == 0;
    struct status status = is_kept ? status_ok() : model_keep(kept, item->text, model_complaints);
    if (status.code == STATUS_IO) {
        complain(reader, item,
                 "the model \"%.80s\" is not there or cannot be read; expected a model's name, as \"sugar-lime\", "
                 "or a path with a slash that ends in .conf",
                 item->text);
        return status_ok();
    }
    if (status.code == STATUS_SCENARIO) {
        return status_ok();
    }
    if (status.code == STATUS_OK) {
        status = model_copy(&kept->model, &reader->scenario->model);
    }
    reader->model = status.code == STATUS_OK ? &reader->scenario->model : NULL;
    return status;
}

/* The scenario's text and the overrides, for provenance. */
static struct status text_keep(struct scenario *scenario, const struct source *source, const char *const *overrides,
                               size_t override_count)
{
    size_t size = source->length + 2;
    for (size_t i = 0; i < override_count; i++) {
        size += strlen(overrides[i]) + 16;
    }
    scenario->scenario_text = malloc(size);
    if (scenario->scenario_text == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to keep the scenario's text");
    }
    size_t used = source->length;
    (void)snprintf(scenario->scenario_text, size, "%s", source->text == NULL ? "" : source->text);
    for (size_t i = 0; i < override_count; i++) {
        bool new_line = used == 0 || scenario->scenario_text[used - 1] == '\n';
        used += (size_t)snprintf(scenario->scenario_text + used, size - used, "%s# --set %s\n", new_line ? "" : "\n",
                                 overrides[i]);
    }
    return status_ok();
}

static struct status parts_read(struct reader *reader, const struct setting *root, struct scenario_template *kept,
                                struct complaints *model_complaints)
{
    struct scenario *scenario = reader->scenario;
    group_check_keys(reader, root, "the scenario", top_keys);
    group_text(reader, root, "title", scenario->title, sizeof scenario->title);
    if (scenario->title[0] == '\0') {
        const char *slash = strrchr(scenario->path, '/');
        (void)snprintf(scenario->title, sizeof scenario->title, "%.199s", slash == NULL ? scenario->path : slash + 1);
    }
    start_read(reader, root);
    span_read(reader, root);
    const struct setting *vat =
        group_needed(reader, root, "vat", SETTING_GROUP, "{ model = \"sugar-lime\"; vessel = { ... }; ... }");
    const struct setting nothing = {.type = SETTING_GROUP, .file = root->file, .line = root->line};
    if (vat != NULL) {
        RETURN_IF_FAILED(vat_model_read(reader, vat, kept, model_complaints));
        RETURN_IF_FAILED(vat_read(reader, vat));
    }
    RETURN_IF_FAILED(places_read(reader, vat == NULL ? &nothing : vat, root));
    if (reader->model != NULL) {
        constants_override(reader, root, &scenario->model);
    }
    RETURN_IF_FAILED(cloth_read(reader, root));
    workshop_read(reader, root);
    prices_read(reader, root);
    ends_read(reader, root);
    RETURN_IF_FAILED(lesson_read(reader, root));
    RETURN_IF_FAILED(schedules_read(reader, root));
    end_read(reader, root);
    return status_ok();
}

/* Appends the complaints of one list to another. */
static void complaints_append(struct complaints *to, const struct complaints *from)
{
    for (size_t i = 0; i < from->count; i++) {
        complaints_add(to, from->items[i].file, from->items[i].line, "%s", from->items[i].text);
    }
    to->dropped += from->dropped;
}

/* Brings complaints of one file together, files in the order in which they are first met, and sorts each by line. */
static void complaints_gather(struct complaints *complaints)
{
    for (size_t i = 1; i < complaints->count; i++) {
        struct complaint moving = complaints->items[i];
        size_t place = i;
        for (size_t j = i; j > 0; j--) {
            if (strcmp(complaints->items[j - 1].file, moving.file) == 0) {
                place = j;
                break;
            }
        }
        for (size_t j = i; j > place; j--) {
            complaints->items[j] = complaints->items[j - 1];
        }
        complaints->items[place] = moving;
    }
    complaints_sort(complaints);
}

/* `quantities` NULL: opened and closed with the template. */
static struct status template_open(const struct quantities *quantities, const char *path, const char *const *process_names,
                                   const char *models_folder, struct scenario_template **opened,
                                   struct complaints *complaints)
{
    *opened = NULL;
    struct scenario_template *kept = calloc(1, sizeof *kept);
    if (kept == NULL || (kept->models_folder = strdup(models_folder)) == NULL) {
        free(kept);
        return status_fail(STATUS_MEMORY, "no memory left to read '%.100s'", path);
    }
    kept->process_names = process_names;
    struct status status = strlen(path) >= sizeof kept->path
                               ? status_fail(STATUS_IO, "the path '%.60s...' is too long", path)
                               : status_ok();
    if (status_is_ok(&status) && quantities == NULL) {
        status = quantities_open(&kept->own_quantities);
    }
    if (status_is_ok(&status)) {
        kept->quantities = quantities != NULL ? quantities : kept->own_quantities;
        (void)snprintf(kept->path, sizeof kept->path, "%s", path);
        size_t before = complaints->count + complaints->dropped;
        status = document_read(path, &kept->document, complaints);
        kept->is_faulty = complaints->count + complaints->dropped > before;
    }
    if (!status_is_ok(&status)) {
        scenario_template_close(kept);
        return status;
    }
    *opened = kept;
    return status_ok();
}

struct document *template_document(struct scenario_template *kept)
{
    return &kept->document;
}

const struct quantities *template_quantities(const struct scenario_template *kept)
{
    return kept->quantities;
}

struct status scenario_template_open(const char *path, const char *const *process_names, const char *models_folder,
                                     struct scenario_template **opened, struct complaints *complaints)
{
    return template_open(NULL, path, process_names, models_folder, opened, complaints);
}

void scenario_template_close(struct scenario_template *kept)
{
    if (kept == NULL) {
        return;
    }
    document_free(&kept->document);
    if (kept->own_quantities != NULL) {
        quantities_close(kept->own_quantities);
    }
    model_free(&kept->model);
    free(kept->model_name);
    free(kept->models_folder);
    free(kept);
}

/* Lays the settings and overrides out into reader->scenario. */
static struct status lay_out(struct scenario_template *kept, const char *const *overrides, size_t override_count,
                             struct reader *reader, struct complaints *model_complaints)
{
    struct setting root = {0};
    struct status status = text_keep(reader->scenario, &kept->document.source, overrides, override_count);
    if (status_is_ok(&status) && kept->document.parsed) {
        status = setting_duplicate(&kept->document.root, &root);
        for (size_t i = 0; i < override_count && status_is_ok(&status); i++) {
            status = setting_override(&root, overrides[i], (int)i + 1, reader->complaints);
        }
        if (status_is_ok(&status)) {
            status = parts_read(reader, &root, kept, model_complaints);
        }
    }
    setting_free(&root);
    return status;
}

struct status scenario_template_make(struct scenario_template *kept, const char *const *overrides,
                                     size_t override_count, struct scenario *scenario, struct complaints *complaints)
{
    *scenario = (struct scenario){0};
    (void)snprintf(scenario->path, sizeof scenario->path, "%s", kept->path);
    struct reader reader = {.quantities = kept->quantities, .complaints = complaints, .scenario = scenario};
    struct complaints model_complaints;
    complaints_init(&model_complaints);
    size_t before = complaints->count + complaints->dropped;
    struct status status = lay_out(kept, overrides, override_count, &reader, &model_complaints);
    complaints_append(complaints, &model_complaints);
    complaints_free(&model_complaints);
    if (status.code == STATUS_OK && (kept->is_faulty || reader_has_complained(&reader, before))) {
        complaints_gather(complaints);
        complaints_drop_repeated(complaints);
        status = status_fail(STATUS_SCENARIO, "'%.300s' cannot be run: %zu complaints", kept->path,
                             complaints->count + complaints->dropped - before);
    }
    if (status.code != STATUS_OK) {
        scenario_free(scenario);
    }
    return status;
}

struct status scenario_read_with(const struct quantities *quantities, const char *path, const char *const *overrides,
                                 size_t override_count, const char *const *process_names, const char *models_folder,
                                 struct scenario *scenario, struct complaints *complaints)
{
    *scenario = (struct scenario){0};
    struct scenario_template *kept;
    size_t before = complaints->count + complaints->dropped;
    RETURN_IF_FAILED(template_open(quantities, path, process_names, models_folder, &kept, complaints));
    struct status status = scenario_template_make(kept, overrides, override_count, scenario, complaints);
    scenario_template_close(kept);
    if (status.code == STATUS_SCENARIO) {
        status = status_fail(STATUS_SCENARIO, "'%.300s' cannot be run: %zu complaints", path,
                             complaints->count + complaints->dropped - before);
    }
    return status;
}

struct status scenario_read(const char *path, const char *const *overrides, size_t override_count,
                            const char *const *process_names, const char *models_folder, struct scenario *scenario,
                            struct complaints *complaints)
{
    return scenario_read_with(NULL, path, overrides, override_count, process_names, models_folder, scenario, complaints);
}
