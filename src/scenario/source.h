/* source.h: the text of a settings file with its includes in place, and where each line of it stands. */
#ifndef VATCAST_SCENARIO_SOURCE_H
#define VATCAST_SCENARIO_SOURCE_H

#include "base/status.h"

#include <stddef.h>

#define FILE_BYTES_MOST ((size_t)256 * 1024)
#define FILES_MOST 16

struct source_line {
    const char *file; /* belongs to the source */
    int line;         /* from 1 */
};

struct source {
    char *text; /* owned, NUL-terminated */
    size_t length;
    size_t capacity;
    struct source_line *lines; /* owned; [i] is where line i + 1 of text stands */
    size_t line_count;
    size_t line_capacity;
    char *files[FILES_MOST]; /* owned names */
    size_t file_count;
};

/* Keeps a file's name for the lines to point to. Errors: STATUS_LIMIT, STATUS_MEMORY. */
struct status source_add_name(struct source *source, const char *name, const char **kept) MUST_USE;

/* Appends text whose first byte stands on `line` of `file` (a kept name). */
struct status source_append(struct source *source, const char *file, int line, const char *text,
                            size_t length) MUST_USE;

/* Says where the last line begun stands. */
void source_set_line(struct source *source, const char *file, int line);

/* Where line `line` (from 1) of the joined text stands. */
struct source_line source_where(const struct source *source, int line);

void source_free(struct source *source);

/* A path from the root, by the working folder; owned by the caller. NULL: no memory, or no such folder. */
char *path_from_root(const char *path);

/* Reads a regular file into memory that the caller frees; a NUL is put behind it. Errors: STATUS_IO, STATUS_MEMORY
 * with NULL for the bytes; STATUS_LIMIT when it is longer than FILE_BYTES_MOST, with as many of its bytes. */
struct status file_read_whole(const char *path, char **bytes, size_t *length) MUST_USE;

#endif
