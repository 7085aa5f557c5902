/* source.c: files read into memory, and the joined text with where each of its lines stands; see prescan.h. */
#include "scenario/source.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#include <sys/stat.h>

static struct status no_memory(void)
{
    return status_fail(STATUS_MEMORY, "no memory left to read the scenario");
}

static struct status file_read_open(FILE *file, const char *path, char **bytes, size_t *length)
{
    struct stat about;
    if (fstat(fileno(file), &about) != 0 || !S_ISREG(about.st_mode)) {
        return status_fail(STATUS_IO, "'%s' is not a regular file", path);
    }
    char *buffer = malloc(FILE_BYTES_MOST + 2);
    if (buffer == NULL) {
        return no_memory();
    }
    *length = fread(buffer, 1, FILE_BYTES_MOST + 1, file);
    if (ferror(file)) {
        free(buffer);
        return status_fail(STATUS_IO, "reading '%s' failed: %s", path, strerror(errno));
    }
    bool too_long = *length > FILE_BYTES_MOST;
    *length -= too_long ? 1 : 0;
    buffer[*length] = '\0';
    *bytes = buffer;
    return too_long ? status_fail(STATUS_LIMIT, "'%s' is longer than %zu KiB", path, FILE_BYTES_MOST / 1024)
                    : status_ok();
}

struct status file_read_whole(const char *path, char **bytes, size_t *length)
{
    *bytes = NULL;
    *length = 0;
    struct stat about;
    if (stat(path, &about) == 0 && !S_ISREG(about.st_mode)) { /* opening a pipe would wait for its writer */
        return status_fail(STATUS_IO, "'%s' is not a regular file", path);
    }
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        return status_fail(STATUS_IO, "'%s' cannot be opened: %s", path, strerror(errno));
    }
    struct status status = file_read_open(file, path, bytes, length);
    (void)fclose(file);
    return status;
}

struct status source_add_name(struct source *source, const char *name, const char **kept)
{
    size_t most = sizeof source->files / sizeof source->files[0];
    if (source->file_count == most) {
        return status_fail(STATUS_LIMIT, "more than %zu files are included", most - 1);
    }
    char *copy = strdup(name);
    if (copy == NULL) {
        return no_memory();
    }
    source->files[source->file_count++] = copy;
    *kept = copy;
    return status_ok();
}

static struct status source_begin_line(struct source *source, const char *file, int line)
{
    if (source->line_count == source->line_capacity) {
        size_t capacity = source->line_capacity == 0 ? 256 : source->line_capacity * 2;
        struct source_line *lines = realloc(source->lines, capacity * sizeof *lines);
        if (lines == NULL) {
            return no_memory();
        }
        source->lines = lines;
        source->line_capacity = capacity;
    }
    source->lines[source->line_count++] = (struct source_line){.file = file, .line = line};
    return status_ok();
}

struct status source_append(struct source *source, const char *file, int line, const char *text, size_t length)
{
    if (source->length + length + 1 > source->capacity) {
        size_t capacity = (source->length + length + 1) * 2;
        char *longer = realloc(source->text, capacity);
        if (longer == NULL) {
            return no_memory();
        }
        source->text = longer;
        source->capacity = capacity;
    }
    if (source->length == 0) {
        RETURN_IF_FAILED(source_begin_line(source, file, line));
    }
    for (size_t i = 0; i < length; i++) {
        source->text[source->length++] = text[i];
        if (text[i] != '\n') {
            continue;
        }
        line++;
        RETURN_IF_FAILED(source_begin_line(source, file, line));
    }
    source->text[source->length] = '\0';
    return status_ok();
}

void source_set_line(struct source *source, const char *file, int line)
{
    if (source->line_count > 0) {
        source->lines[source->line_count - 1] = (struct source_line){.file = file, .line = line};
    }
}

struct source_line source_where(const struct source *source, int line)
{
    if (source->line_count == 0) {
        return (struct source_line){.file = source->file_count > 0 ? source->files[0] : "", .line = 0};
    }
    size_t index = line < 1 ? 0 : (size_t)line - 1;
    if (index >= source->line_count) {
        index = source->line_count - 1;
    }
    return source->lines[index];
}

void source_free(struct source *source)
{
    free(source->text);
    free(source->lines);
    for (size_t i = 0; i < source->file_count; i++) {
        free(source->files[i]);
    }
    *source = (struct source){0};
}

char *path_from_root(const char *path)
{
    char folder[4096] = "";
    if (path[0] != '/' && getcwd(folder, sizeof folder) == NULL) {
        return NULL;
    }
    size_t size = strlen(folder) + strlen(path) + 2;
    char *whole = malloc(size);
    if (whole != NULL) {
        (void)snprintf(whole, size, "%s%s%s", folder, path[0] == '/' ? "" : "/", path);
    }
    return whole;
}
