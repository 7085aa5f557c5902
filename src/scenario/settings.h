/* settings.h: a settings file as a tree of plain nodes, each knowing its file and line.
 *
 * settings.c is the only file that calls libconfig; everything else reads these nodes.
 */
#ifndef VATCAST_SCENARIO_SETTINGS_H
#define VATCAST_SCENARIO_SETTINGS_H

#include "base/complaints.h"
#include "base/status.h"
#include "scenario/source.h"

#include <stdbool.h>
#include <stddef.h>

#define OVERRIDE_FILE "--set"

enum setting_type { SETTING_GROUP, SETTING_LIST, SETTING_TEXT, SETTING_NUMBER, SETTING_FLAG };

struct setting {
    enum setting_type type;
    char *name;            /* owned; NULL for the root and the entries of a list */
    const char *file;      /* belongs to the document's source, or is OVERRIDE_FILE */
    int line;              /* from 1 */
    char *text;            /* owned, TEXT */
    double number;         /* NUMBER */
    bool whole;            /* NUMBER written without point or exponent */
    bool flag;             /* FLAG */
    struct setting *items; /* owned, GROUP and LIST */
    size_t count;
};

struct document {
    struct source source;
    struct setting root; /* a GROUP; empty when the text did not parse */
    bool parsed;
};

/* Reads a file into an empty document. Faults of its text become complaints (and `parsed` stays false).
 * Errors: STATUS_IO when it cannot be read, STATUS_MEMORY. */
struct status document_read(const char *path, struct document *document, struct complaints *complaints) MUST_USE;
void document_free(struct document *document);

/* Applies `PATH=VALUE` to the tree; `line` is kept as its place in OVERRIDE_FILE. A path that leads nowhere is a
 * complaint. */
struct status setting_override(struct setting *root, const char *override, int line, struct complaints *complaints)
    MUST_USE;

/* The member of a group by name; NULL when it is not there. */
const struct setting *setting_find(const struct setting *group, const char *name);

/* "a group", "a text", ... for complaints. */
const char *setting_type_words(enum setting_type type);

/* Reads VALUE of an override: as libconfig reads it where it can, else as a bare text. `item` is empty before. */
struct status setting_from_text(const char *value, int line, struct setting *item) MUST_USE;
/* Copies a setting with all in it; the file names stay those of its document. `to` is zeroed after a failure. */
struct status setting_duplicate(const struct setting *from, struct setting *to) MUST_USE;
void setting_free(struct setting *setting);

/* The member of a group that is to be changed; NULL: there is none of that name. */
struct setting *member_find(struct setting *group, const char *name);
/* Gives a group a member that it does not have; without a file of its own it stands where the group does. The member belongs to
 * the group, or is freed: NULL, no memory. */
struct setting *member_add(struct setting *group, const char *name, struct setting member);

#endif
