/* override.c: PATH=VALUE settings given beside a scenario file; see settings.h. */
#include "scenario/settings.h"
#include "scenario/words.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PATH_DEPTH_MOST 16

static struct status no_memory(void)
{
    return status_fail(STATUS_MEMORY, "no memory left to read the scenario");
}

struct setting *member_find(struct setting *group, const char *name)
{
    const struct setting *found = setting_find(group, name);
    return found != NULL ? &group->items[found - group->items] : NULL;
}

/* An entry of a list by its number from 1, or by its label, its name or (in a charge) what it adds. */
static struct setting *entry_find(struct setting *list, const char *name)
{
    if (strspn(name, "0123456789") == strlen(name) && strlen(name) > 0 && strlen(name) < 7) {
        size_t number = (size_t)strtol(name, NULL, 10);
        return number >= 1 && number <= list->count ? &list->items[number - 1] : NULL;
    }
    static const char *const keys[] = {"label", "name", "add"};
    for (size_t i = 0; i < list->count; i++) {
        for (size_t k = 0; k < sizeof keys / sizeof keys[0]; k++) {
            const struct setting *key =
                list->items[i].type == SETTING_GROUP ? setting_find(&list->items[i], keys[k]) : NULL;
            if (key != NULL && key->type == SETTING_TEXT && strcmp(key->text, name) == 0) {
                return &list->items[i];
            }
        }
    }
    return NULL;
}

struct setting *member_add(struct setting *group, const char *name, struct setting member)
{
    member.name = strdup(name);
    struct setting *items = member.name != NULL ? realloc(group->items, (group->count + 1) * sizeof *items) : NULL;
    if (items == NULL) {
        setting_free(&member);
        return NULL;
    }
    if (member.file == NULL) {
        member.file = group->file;
        member.line = group->line;
    }
    group->items = items;
    items[group->count] = member;
    return &items[group->count++];
}

/* One step along the path; NULL with status OK after a complaint. */
static struct status step(struct setting *from, const char *name, const char *path, int line, struct setting **to,
                          struct complaints *complaints)
{
    *to = NULL;
    if (from->type == SETTING_LIST) {
        *to = entry_find(from, name);
        if (*to == NULL) {
            complaints_add(
                complaints, OVERRIDE_FILE, line,
                "'%s' leads nowhere: the list has no entry '%s'; expected 1 to %zu, or an entry's label or name", path,
                name, from->count);
        }
        return status_ok();
    }
    if (from->type != SETTING_GROUP) {
        complaints_add(complaints, OVERRIDE_FILE, line,
                       "'%s' leads nowhere: '%s' would stand inside %s; expected a group", path, name,
                       setting_type_words(from->type));
        return status_ok();
    }
    *to = member_find(from, name);
    if (*to == NULL) {
        *to = member_add(from, name, (struct setting){.type = SETTING_GROUP, .file = OVERRIDE_FILE, .line = line});
        return *to == NULL ? no_memory() : status_ok();
    }
    return status_ok();
}

struct status setting_override(struct setting *root, const char *override, int line, struct complaints *complaints)
{
    const char *equals = strchr(override, '=');
    char path[256];
    if (equals == NULL || equals == override || (size_t)(equals - override) >= sizeof path) {
        complaints_add(complaints, OVERRIDE_FILE, line,
                       "'%.100s' has no path before '='; expected PATH=VALUE, as "
                       "vat.water.temperature=45 degC",
                       override);
        return status_ok();
    }
    (void)snprintf(path, sizeof path, "%.*s", (int)(equals - override), override);
    struct setting *at = root;
    char *rest = path;
    char whole_path[256];
    (void)snprintf(whole_path, sizeof whole_path, "%s", path);
    for (int depth = 0; rest != NULL; depth++) {
        char *dot = strchr(rest, '.');
        if (dot != NULL) {
            *dot = '\0';
        }
        if (rest[0] == '\0' || depth == PATH_DEPTH_MOST) {
            complaints_add(complaints, OVERRIDE_FILE, line, "'%s' is no path; expected names parted by single dots",
                           whole_path);
            return status_ok();
        }
        struct setting *next;
        RETURN_IF_FAILED(step(at, rest, whole_path, line, &next, complaints));
        if (next == NULL) {
            return status_ok();
        }
        at = next;
        rest = dot == NULL ? NULL : dot + 1;
    }
    struct setting value = {0};
    RETURN_IF_FAILED(setting_from_text(equals + 1, line, &value));
    value.name = at->name; /* the name stays, the rest is replaced */
    at->name = NULL;
    setting_free(at);
    *at = value;
    return status_ok();
}
