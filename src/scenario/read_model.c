/* read_model.c: model files: constants with ranges and sources, processes; the materials and fibres beside them. */
#include "scenario/read.h"
#include "scenario/reader.h"
#include "scenario/words.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define PATH_SIZE 1024
#define LIKE_DEPTH_MOST 4

static struct status no_memory(void)
{
    return status_fail(STATUS_MEMORY, "no memory left to read the model");
}

void model_free(struct model *model)
{
    free(model->materials);
    free(model->fibres);
    free(model->model_text);
    *model = (struct model){0};
}

struct status model_copy(const struct model *from, struct model *to)
{
    *to = *from;
    to->materials = malloc((from->material_count + 1) * sizeof *to->materials);
    to->fibres = malloc((from->fibre_count + 1) * sizeof *to->fibres);
    to->model_text = from->model_text == NULL ? NULL : strdup(from->model_text);
    if (to->materials == NULL || to->fibres == NULL || (to->model_text == NULL && from->model_text != NULL)) {
        model_free(to);
        return status_fail(STATUS_MEMORY, "no memory left to copy the model");
    }
    if (from->material_count > 0) {
        memcpy(to->materials, from->materials, from->material_count * sizeof *to->materials);
    }
    if (from->fibre_count > 0) {
        memcpy(to->fibres, from->fibres, from->fibre_count * sizeof *to->fibres);
    }
    return status_ok();
}

/* One value of a constant, converted. A temperature here is always a difference, so degC and degF would mislead. */
static double constant_value_read(struct reader *reader, const struct setting *item, const char *key, const char *unit)
{
    char what[96];
    char example[64];
    bool pure = strcmp(unit, "1") == 0;
    (void)snprintf(what, sizeof what, pure ? "a number without a unit" : "a quantity in %s", unit);
    (void)snprintf(example, sizeof example, pure ? "0.5" : "0.5 %s", unit);
    const struct unit_form form = {unit, what, example, pure ? "" : unit, 1, 0};
    double value = setting_quantity(reader, item, key, &form, -INFINITY, INFINITY);
    char written[64];
    double ignored;
    if (item->type == SETTING_TEXT && strcmp(unit, "K") == 0 &&
        quantity_read(reader->quantities, item->text, unit, &ignored, written, sizeof written) == QUANTITY_OK &&
        unit_is_temperature_scale(written)) {
        complain(reader, item, "'%s' is \"%.60s\"; expected a difference of temperature, as \"0.5 K\"", key,
                 item->text);
        return NAN;
    }
    return value;
}

void constant_read(struct reader *reader, const struct setting *group, const char *name, const char *unit,
                   struct constant *constant)
{
    static const char *const keys[] = {"low", "nominal", "high", "source", "about", NULL};
    *constant = (struct constant){.low = NAN, .nominal = NAN, .high = NAN};
    if (group->type != SETTING_GROUP) {
        complain(reader, group, "'%s' is %s; expected { low = ...; nominal = ...; high = ...; source = \"...\"; }",
                 name, setting_type_words(group->type));
        return;
    }
    group_check_keys(reader, group, name, keys);
    double *values[] = {&constant->low, &constant->nominal, &constant->high};
    for (int i = 0; i < 3; i++) {
        const struct setting *item = setting_find(group, keys[i]);
        if (item != NULL) {
            char key[96];
            (void)snprintf(key, sizeof key, "%.60s.%s", name, keys[i]);
            *values[i] = constant_value_read(reader, item, key, unit);
        } else {
            complain(reader, group, "'%s' has no '%s'; expected low, nominal and high", name, keys[i]);
        }
    }
    if (constant->low > constant->nominal || constant->nominal > constant->high || constant->low > constant->high) {
        complain(reader, group, "'%s' runs from %g over %g to %g; expected low <= nominal <= high", name, constant->low,
                 constant->nominal, constant->high);
    }
    group_text(reader, group, "source", constant->source, sizeof constant->source);
    group_text(reader, group, "about", constant->about, sizeof constant->about);
    if (strspn(constant->source, " \t") == strlen(constant->source)) {
        const struct setting *source = setting_find(group, "source");
        if (source == NULL || source->type == SETTING_TEXT) {
            complain(reader, source == NULL ? group : source,
                     "'%s' has no source; expected an author and year, \"common practice, no source\" or \"estimate\"",
                     name);
        }
    }
}

/* Complains about a constant that stands below what its law can bear. */
static void check_floor(struct reader *reader, const struct setting *item, int id, double least)
{
    const char *expected = constant_refusal((enum constant_id)id, least);
    if (expected != NULL) {
        complain(reader, item, "'%s' %s %g; %s", constant_specs[id].name, item->type == SETTING_GROUP ? "goes down to" : "is",
                 least, expected);
    }
}

static void constant_names(const char *names[CONSTANT_COUNT + 1])
{
    for (int i = 0; i < CONSTANT_COUNT; i++) {
        names[i] = constant_specs[i].name;
    }
    names[CONSTANT_COUNT] = NULL;
}

/* One complaint that names the first few constants that are not there. */
static void constants_missing(struct reader *reader, const struct setting *constants, const struct model *model)
{
    char list[240] = "";
    size_t used = 0;
    int missing = 0;
    for (int i = 0; i < CONSTANT_COUNT; i++) {
        if (model->constants[i].source[0] != '\0' || setting_find(constants, constant_specs[i].name) != NULL) {
            continue;
        }
        missing++;
        if (missing <= 6) {
            used += (size_t)snprintf(list + used, sizeof list - used, "%s%.36s", missing == 1 ? "" : ", ",
                                     constant_specs[i].name);
        }
    }
    if (missing > 6) {
        (void)snprintf(list + used, sizeof list - used, " and %d more", missing - 6);
    }
    if (missing > 0) {
        complain(reader, constants, "constants are missing: %s; expected all %d", list, (int)CONSTANT_COUNT);
    }
}

static void constants_read(struct reader *reader, const struct setting *root, struct model *model)
{
    const struct setting *constants =
        group_needed(reader, root, "constants", SETTING_GROUP, "{ leuco_pk1 = { ... }; ... }");
    if (constants == NULL) {
        return;
    }
    const char *names[CONSTANT_COUNT + 1];
    constant_names(names);
    for (size_t i = 0; i < constants->count; i++) {
        const struct setting *item = &constants->items[i];
        int index = word_index(item->name, names);
        if (index >= 0) {
            constant_read(reader, item, item->name, constant_specs[index].unit, &model->constants[index]);
            check_floor(reader, item, index, model->constants[index].low);
        } else {
            const char *nearest = word_nearest(item->name, names);
            complain(reader, item, "constant '%.60s' is not known; %s%s%s", item->name,
                     nearest == NULL ? "expected one that the program uses" : "did you mean '",
                     nearest == NULL ? "" : nearest, nearest == NULL ? "" : "'?");
        }
    }
    constants_missing(reader, constants, model);
}

void constants_override(struct reader *reader, const struct setting *root, struct model *model)
{
    const struct setting *constants = group_typed(reader, root, "constants", SETTING_GROUP, "{ leuco_pk1 = 8.1; }");
    const char *names[CONSTANT_COUNT + 1];
    constant_names(names);
    for (size_t i = 0; constants != NULL && i < constants->count; i++) {
        const struct setting *item = &constants->items[i];
        int index = word_index(item->name, names);
        if (index < 0) {
            const char *nearest = word_nearest(item->name, names);
            complain(reader, item, "constant '%.60s' is not known; %s%s%s", item->name,
                     nearest == NULL ? "expected one of the model file" : "did you mean '",
                     nearest == NULL ? "" : nearest, nearest == NULL ? "" : "'?");
            continue;
        }
        struct constant *constant = &model->constants[index];
        if (item->type == SETTING_GROUP) {
            constant_read(reader, item, item->name, constant_specs[index].unit, constant);
            check_floor(reader, item, index, constant->low);
            continue;
        }
        double value = constant_value_read(reader, item, item->name, constant_specs[index].unit);
        check_floor(reader, item, index, value);
        constant->nominal = value;
        constant->low = fmin(constant->low, value);
        constant->high = fmax(constant->high, value);
        (void)snprintf(constant->source, sizeof constant->source, "set in the scenario");
    }
}

/* Whether an entry means a process: "all", its name, or how its name begins, with a star: "ferment_*". */
static bool process_is_meant(const char *entry, const char *name)
{
    size_t length = strlen(entry);
    if (length > 0 && entry[length - 1] == '*') {
        return strncmp(entry, name, length - 1) == 0;
    }
    return strcmp(entry, "all") == 0 || strcmp(entry, name) == 0;
}

static void processes_read(struct reader *reader, const struct setting *root, const char *const *process_names,
                           struct model *model)
{
    const struct setting *list = group_needed(reader, root, "processes", SETTING_LIST, "[ \"...\", \"...\" ]");
    if (list == NULL || process_names == NULL) {
        return;
    }
    for (size_t i = 0; i < list->count; i++) {
        const struct setting *item = &list->items[i];
        if (item->type != SETTING_TEXT) {
            complain(reader, item, "an entry of 'processes' is %s; expected a name in quotes",
                     setting_type_words(item->type));
            continue;
        }
        bool known = strcmp(item->text, "all") == 0;
        bool off = item->text[0] == '-';
        for (int p = 0; p < PROCESSES_MOST && process_names[p] != NULL; p++) {
            if (process_is_meant(item->text + off, process_names[p])) {
                model->process_on[p] = !off;
                known = true;
            }
        }
        if (!known) {
            complain_unknown(reader, item, "process", item->text, process_names);
        }
    }
}

/* Appends a file's text to what is kept for provenance. */
static struct status text_keep(struct model *model, const char *name, const struct source *source)
{
    size_t before = model->model_text == NULL ? 0 : strlen(model->model_text);
    size_t size = before + strlen(name) + source->length + 32;
    char *longer = realloc(model->model_text, size);
    if (longer == NULL) {
        return no_memory();
    }
    (void)snprintf(longer + before, size - before, "# ---- file %s ----\n%s", name,
                   source->text == NULL ? "" : source->text);
    model->model_text = longer;
    return status_ok();
}

/* The folder of a path with its slash; "" for the working folder. */
static void folder_of(const char *path, char *folder, size_t size)
{
    const char *slash = strrchr(path, '/');
    (void)snprintf(folder, size, "%.*s", slash == NULL ? 0 : (int)(slash - path) + 1, path);
}

static void model_path(const char *name, const char *base_folder, const char *models_folder, char *path, size_t size)
{
    size_t length = strlen(name);
    if (strchr(name, '/') != NULL && length > 5 && strcmp(name + length - 5, ".conf") == 0) {
        bool bare = name[0] == '/' || base_folder == NULL || base_folder[0] == '\0';
        const char *joint = bare || base_folder[strlen(base_folder) - 1] == '/' ? "" : "/";
        (void)snprintf(path, size, "%s%s%s", bare ? "" : base_folder, joint, name);
    } else {
        (void)snprintf(path, size, "%s/%s.conf", models_folder, name);
    }
}

static struct status model_file_read(struct reader *reader, const char *path, const char *const *process_names, int depth,
                                     struct model *model);

/* The model that this one is like: its constants hold wherever this one names none of its own. */
static struct status model_like_read(struct reader *reader, const struct setting *root, const char *path, int depth,
                                     struct model *model)
{
    char name[MODEL_NAME_SIZE] = "";
    char folder[PATH_SIZE];
    char other[PATH_SIZE + MODEL_NAME_SIZE + 8];
    group_text(reader, root, "like", name, sizeof name);
    const struct setting *like = setting_find(root, "like");
    if (like == NULL || name[0] == '\0') {
        return status_ok();
    }
    folder_of(path, folder, sizeof folder);
    (void)snprintf(other, sizeof other, "%s%s.conf", folder, name);
    if (depth >= LIKE_DEPTH_MOST || strchr(name, '/') != NULL || access(other, F_OK) != 0) {
        complain(reader, like, "'like' is \"%s\"; expected another model in the same folder, at most %d deep", name,
                 LIKE_DEPTH_MOST);
        return status_ok();
    }
    return model_file_read(reader, other, NULL, depth + 1, model);
}

static struct status model_file_read(struct reader *reader, const char *path, const char *const *process_names, int depth,
                                     struct model *model)
{
    static const char *const keys[] = {"name", "about", "like", "processes", "constants", NULL};
    struct document document;
    RETURN_IF_FAILED(document_read(path, &document, reader->complaints));
    struct status status = status_ok();
    if (document.parsed) {
        group_check_keys(reader, &document.root, "the model", keys);
        status = model_like_read(reader, &document.root, path, depth, model);
        (void)group_needs(reader, &document.root, "name", "\"sugar-lime\"");
        group_text(reader, &document.root, "name", model->name, sizeof model->name);
        group_text(reader, &document.root, "about", model->about, sizeof model->about);
        processes_read(reader, &document.root, process_names, model);
        constants_read(reader, &document.root, model);
        if (status.code == STATUS_OK) {
            status = text_keep(model, path, &document.source);
        }
    }
    document_free(&document);
    return status;
}

/* Reads materials.conf or fibres.conf beside the model, or from the models folder. */
static struct status table_read(struct reader *reader, const char *model_file, const char *models_folder,
                                const char *name,
                                struct status (*read)(struct reader *, const struct setting *, struct model *),
                                struct model *model)
{
    char folder[PATH_SIZE];
    char path[PATH_SIZE + 64];
    folder_of(model_file, folder, sizeof folder);
    (void)snprintf(path, sizeof path, "%s%s", folder, name);
    if (access(path, F_OK) != 0) {
        (void)snprintf(path, sizeof path, "%s/%s", models_folder, name);
    }
    struct document document;
    struct status status = document_read(path, &document, reader->complaints);
    if (status.code == STATUS_IO) {
        complaints_add(reader->complaints, path, 0,
                       "the file cannot be read; expected it beside the model or in the "
                       "program's models folder");
        return status_ok();
    }
    if (status.code == STATUS_OK && document.parsed) {
        status = read(reader, &document.root, model);
    }
    if (status.code == STATUS_OK && document.parsed) {
        status = text_keep(model, path, &document.source);
    }
    document_free(&document);
    return status;
}

struct status model_read_with(const struct quantities *quantities, const char *name, const char *base_folder,
                              const char *const *process_names, const char *models_folder, struct model *model,
                              struct complaints *complaints)
{
    *model = (struct model){0};
    char path[PATH_SIZE];
    model_path(name, base_folder, models_folder, path, sizeof path);
    if (access(path, F_OK) != 0) {
        return status_fail(STATUS_IO, "there is no model '%.100s': '%.300s' is not there", name, path);
    }
    (void)snprintf(model->path, sizeof model->path, "%.511s", path);
    struct reader reader = {.quantities = quantities, .complaints = complaints};
    size_t before = complaints->count + complaints->dropped;
    struct status status = model_file_read(&reader, path, process_names, 0, model);
    if (status.code == STATUS_OK) {
        status = table_read(&reader, path, models_folder, "materials.conf", materials_read, model);
    }
    if (status.code == STATUS_OK) {
        status = table_read(&reader, path, models_folder, "fibres.conf", fibres_read, model);
    }
    if (status.code == STATUS_OK && reader_has_complained(&reader, before)) {
        status = status_fail(STATUS_SCENARIO, "the model '%.100s' has %zu faults", name,
                             complaints->count + complaints->dropped - before);
    }
    if (status.code != STATUS_OK) {
        model_free(model);
    }
    return status;
}

struct status model_read(const char *name, const char *base_folder, const char *const *process_names,
                         const char *models_folder, struct model *model, struct complaints *complaints)
{
    *model = (struct model){0};
    struct quantities *quantities;
    RETURN_IF_FAILED(quantities_open(&quantities));
    struct status status =
        model_read_with(quantities, name, base_folder, process_names, models_folder, model, complaints);
    quantities_close(quantities);
    return status;
}
