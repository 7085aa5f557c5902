/* endings.c: see endings.h. */
#include "faults/endings.h"

#include "record/scratch.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define OLD "an older output, which is precious"

_Noreturn void give_up(const char *what)
{
    perror(what);
    exit(70);
}

/* Of the folder out. */
static bool for_files(void (*act)(const char *path, const char *name, void *context), void *context)
{
    DIR *folder = opendir("out");
    if (folder == NULL) {
        return false;
    }
    for (struct dirent *entry = readdir(folder); entry != NULL; entry = readdir(folder)) {
        char path[sizeof entry->d_name + 8];
        (void)snprintf(path, sizeof path, "out/%s", entry->d_name);
        if (strcmp(entry->d_name, ".") != 0 && strcmp(entry->d_name, "..") != 0) {
            act(path, entry->d_name, context);
        }
    }
    return closedir(folder) == 0;
}

static void remove_one(const char *path, const char *name, void *context)
{
    (void)name;
    (void)context;
    if (unlink(path) != 0) {
        give_up(path);
    }
}

static void read_one(const char *path, const char *name, void *context)
{
    struct ending *ending = context;
    if (ending->file_count == FILES_MOST) {
        give_up("too many files");
    }
    struct file *file = &ending->files[ending->file_count++];
    (void)snprintf(file->name, sizeof file->name, "%s", name);
    file->bytes = scratch_read(path, &file->size);
    if (file->bytes == NULL) {
        give_up(path);
    }
}

void ending_read_files(struct ending *ending)
{
    if (!for_files(read_one, ending)) {
        give_up("out");
    }
}

const struct file *file_of(const struct ending *ending, const char *name)
{
    for (size_t i = 0; i < ending->file_count; i++) {
        if (strcmp(ending->files[i].name, name) == 0) {
            return &ending->files[i];
        }
    }
    return NULL;
}

void ending_free(struct ending *ending)
{
    for (size_t i = 0; i < ending->file_count; i++) {
        free(ending->files[i].bytes);
    }
    free(ending->printed);
    free(ending->told);
    *ending = (struct ending){0};
}

void lay_out(const struct ending *older)
{
    if (!for_files(remove_one, NULL)) {
        give_up("out");
    }
    for (size_t i = 0; older != NULL && i < older->file_count; i++) {
        char path[sizeof older->files[i].name + 8];
        (void)snprintf(path, sizeof path, "out/%s", older->files[i].name);
        scratch_write(path, OLD, strlen(OLD));
    }
}

bool is_same(const struct file *one, const struct file *other)
{
    return one != NULL && one->size == other->size && memcmp(one->bytes, other->bytes, one->size) == 0;
}

bool is_older(const struct file *file)
{
    return file->size == strlen(OLD) && memcmp(file->bytes, OLD, file->size) == 0;
}

bool has_all_files(const struct ending *sound, const struct ending *ending)
{
    bool whole = sound->file_count == ending->file_count;
    for (size_t i = 0; i < sound->file_count && whole; i++) {
        whole = is_same(file_of(ending, sound->files[i].name), &sound->files[i]);
    }
    return whole;
}
