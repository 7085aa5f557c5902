/* settings.c: see settings.h. The only file that calls libconfig.
 *
 * Written for libconfig 1.5 and later: no automatic conversion of types, includes resolved before it sees the text.
 */
#include "scenario/settings.h"

#include "scenario/prescan.h"

#include <libconfig.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct status no_memory(void)
{
    return status_fail(STATUS_MEMORY, "no memory left to read the scenario");
}

void setting_free(struct setting *setting)
{
    for (size_t i = 0; i < setting->count; i++) {
        setting_free(&setting->items[i]); /* no deeper than the scan's NESTING_MOST */
    }
    free(setting->items);
    free(setting->name);
    free(setting->text);
    *setting = (struct setting){0};
}

static bool copy_into(const struct setting *from, struct setting *to)
{
    *to = *from;
    to->items = NULL;
    to->count = 0;
    to->name = from->name == NULL ? NULL : strdup(from->name);
    to->text = from->text == NULL ? NULL : strdup(from->text);
    bool good = (to->name == NULL) == (from->name == NULL) && (to->text == NULL) == (from->text == NULL);
    if (good && from->count > 0) {
        to->items = calloc(from->count, sizeof *to->items);
        good = to->items != NULL;
    }
    for (size_t i = 0; good && i < from->count; i++) {
        good = copy_into(&from->items[i], &to->items[i]);
        to->count = i + 1;
    }
    return good;
}

struct status setting_duplicate(const struct setting *from, struct setting *to)
{
    if (!copy_into(from, to)) {
        setting_free(to);
        return status_fail(STATUS_MEMORY, "no memory left to read the scenario");
    }
    return status_ok();
}

const struct setting *setting_find(const struct setting *group, const char *name)
{
    for (size_t i = 0; i < group->count; i++) {
        if (group->items[i].name != NULL && strcmp(group->items[i].name, name) == 0) {
            return &group->items[i];
        }
    }
    return NULL;
}

const char *setting_type_words(enum setting_type type)
{
    switch (type) {
    case SETTING_GROUP:
        return "a group { ... }";
    case SETTING_LIST:
        return "a list ( ... )";
    case SETTING_TEXT:
        return "a text";
    case SETTING_NUMBER:
        return "a bare number";
    case SETTING_FLAG:
        return "true or false";
    }
    return "nothing";
}

static struct status setting_copy(config_setting_t *from, const struct source *source, int depth, struct setting *to);

static struct status items_copy(config_setting_t *from, const struct source *source, int depth, struct setting *to)
{
    if (depth == NESTING_MOST + 1) {
        return status_fail(STATUS_LIMIT, "settings are nested more than %d deep", NESTING_MOST);
    }
    int length = config_setting_length(from);
    if (length <= 0) {
        return status_ok();
    }
    to->items = calloc((size_t)length, sizeof *to->items);
    if (to->items == NULL) {
        return no_memory();
    }
    for (int i = 0; i < length; i++) {
        to->count++;
        RETURN_IF_FAILED(setting_copy(config_setting_get_elem(from, (unsigned)i), source, depth + 1, &to->items[i]));
    }
    return status_ok();
}

/* Copies a setting of libconfig into a node of ours; what fails half-way is freed with the root. */
static struct status setting_copy(config_setting_t *from, const struct source *source, int depth, struct setting *to)
{
    struct source_line where = source_where(source, (int)config_setting_source_line(from));
    to->file = where.file;
    to->line = where.line;
    const char *name = config_setting_name(from);
    if (name != NULL && !config_setting_is_root(from)) {
        to->name = strdup(name);
        if (to->name == NULL) {
            return no_memory();
        }
    }
    switch (config_setting_type(from)) {
    case CONFIG_TYPE_INT:
        to->type = SETTING_NUMBER;
        to->number = config_setting_get_int(from);
        to->whole = true;
        break;
    case CONFIG_TYPE_INT64:
        to->type = SETTING_NUMBER;
        to->number = (double)config_setting_get_int64(from);
        to->whole = true;
        break;
    case CONFIG_TYPE_FLOAT:
        to->type = SETTING_NUMBER;
        to->number = config_setting_get_float(from);
        break;
    case CONFIG_TYPE_BOOL:
        to->type = SETTING_FLAG;
        to->flag = config_setting_get_bool(from) != 0;
        break;
    case CONFIG_TYPE_STRING:
        to->type = SETTING_TEXT;
        to->text = strdup(config_setting_get_string(from));
        return to->text == NULL ? no_memory() : status_ok();
    case CONFIG_TYPE_GROUP:
        to->type = SETTING_GROUP;
        return items_copy(from, source, depth, to);
    default:
        to->type = SETTING_LIST;
        return items_copy(from, source, depth, to);
    }
    return status_ok();
}

static void parse_complain(const config_t *config, const struct source *source, struct complaints *complaints)
{
    struct source_line where = source_where(source, config_error_line(config));
    const char *text = config_error_text(config);
    if (text != NULL && strcmp(text, "duplicate setting name") == 0) {
        complaints_add(complaints, where.file, where.line,
                       "a key is given a second time here; expected once in its group");
    } else if (text != NULL && strstr(text, "mismatched element type") != NULL) {
        complaints_add(complaints, where.file, where.line,
                       "the entries between [ and ] are of different kinds; expected one kind, or ( ) around them");
    } else {
        complaints_add(
            complaints, where.file, where.line,
            "the text here does not read (%s); expected KEY = VALUE; with lists as ( A, B ) and groups as { ... }",
            text == NULL ? "error" : text);
    }
}

/* Parses a scanned source; the tree is left empty when libconfig does not take it. */
static struct status source_parse(const struct source *source, struct setting *root, bool *parsed,
                                  struct complaints *complaints)
{
    config_t config;
    struct status status = status_ok();
    config_init(&config);
    *parsed = config_read_string(&config, source->text) == CONFIG_TRUE;
    if (*parsed) {
        status = setting_copy(config_root_setting(&config), source, 0, root);
        root->line = 1;
    } else if (complaints != NULL) {
        parse_complain(&config, source, complaints);
    }
    config_destroy(&config);
    return status;
}

struct status document_read(const char *path, struct document *document, struct complaints *complaints)
{
    *document = (struct document){0};
    size_t before = complaints->count + complaints->dropped;
    struct status status = prescan_file(path, &document->source, complaints);
    if (status.code == STATUS_OK && complaints->count + complaints->dropped == before) {
        if (document->source.text == NULL) { /* an empty file */
            document->root = (struct setting){.type = SETTING_GROUP, .file = document->source.files[0], .line = 1};
            document->parsed = true;
            return status;
        }
        status = source_parse(&document->source, &document->root, &document->parsed, complaints);
    }
    if (status.code != STATUS_OK) {
        document_free(document);
    }
    return status;
}

void document_free(struct document *document)
{
    setting_free(&document->root);
    source_free(&document->source);
    *document = (struct document){0};
}

/* Gives every node of an override its place on the command line. */
static void setting_place(struct setting *setting, int line)
{
    setting->file = OVERRIDE_FILE;
    setting->line = line;
    for (size_t i = 0; i < setting->count; i++) {
        setting_place(&setting->items[i], line);
    }
}

struct status setting_from_text(const char *value, int line, struct setting *item)
{
    struct source source = {0};
    struct setting root = {0};
    bool parsed = false;
    struct complaints unheard;
    complaints_init(&unheard);
    static const char form[] = "value = %s;";
    size_t size = strlen(value) + sizeof form;
    char *text = malloc(size);
    if (text == NULL) {
        return no_memory();
    }
    (void)snprintf(text, size, form, value);
    struct status status = prescan_text(OVERRIDE_FILE, text, &source, &unheard);
    free(text);
    if (status.code == STATUS_OK && unheard.dropped > 0 && unheard.count < COMPLAINTS_MOST) {
        status = no_memory();
    }
    if (status.code == STATUS_OK && unheard.count == 0) {
        status = source_parse(&source, &root, &parsed, NULL);
    }
    complaints_free(&unheard);
    if (status.code == STATUS_OK && parsed && root.count == 1) {
        *item = root.items[0];
        free(root.items);
        root.items = NULL;
        root.count = 0;
        free(item->name);
        item->name = NULL;
    } else if (status.code == STATUS_OK) {
        *item = (struct setting){.type = SETTING_TEXT, .text = strdup(value)};
        status = item->text == NULL ? no_memory() : status;
    }
    setting_place(item, line);
    setting_free(&root);
    source_free(&source);
    return status;
}
