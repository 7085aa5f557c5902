/* scratch.c: see scratch.h. Ends the program when the disk does not play along. */
#include "record/scratch.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static void give_up(const char *what)
{
    perror(what);
    exit(70);
}

void scratch_make(char path[SCRATCH_PATH])
{
    const char *top = getenv("TMPDIR");
    (void)snprintf(path, SCRATCH_PATH, "%.200s/vatcast-test-XXXXXX", top != NULL && top[0] != '\0' ? top : ".");
    if (mkdtemp(path) == NULL) {
        give_up(path);
    }
}

size_t scratch_count(const char *path)
{
    DIR *folder = opendir(path);
    if (folder == NULL) {
        give_up(path);
    }
    size_t count = 0;
    for (struct dirent *entry = readdir(folder); entry != NULL; entry = readdir(folder)) {
        count += strcmp(entry->d_name, ".") != 0 && strcmp(entry->d_name, "..") != 0;
    }
    (void)closedir(folder);
    return count;
}

void scratch_remove(const char *path)
{
    DIR *folder = opendir(path);
    if (folder == NULL) {
        give_up(path);
    }
    for (struct dirent *entry = readdir(folder); entry != NULL; entry = readdir(folder)) {
        char name[SCRATCH_PATH + sizeof entry->d_name + 2];
        (void)snprintf(name, sizeof name, "%s/%s", path, entry->d_name);
        if (strcmp(entry->d_name, ".") != 0 && strcmp(entry->d_name, "..") != 0 && unlink(name) != 0) {
            give_up(name);
        }
    }
    (void)closedir(folder);
    if (rmdir(path) != 0) {
        give_up(path);
    }
}

void scratch_write(const char *path, const void *bytes, size_t size)
{
    FILE *file = fopen(path, "wb");
    if (file == NULL || fwrite(bytes, 1, size, file) != size || fclose(file) != 0) {
        give_up(path);
    }
}

char *scratch_read(const char *path, size_t *size)
{
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        return NULL;
    }
    if (fseek(file, 0, SEEK_END) != 0) {
        give_up(path);
    }
    long length = ftell(file);
    rewind(file);
    char *bytes = malloc((size_t)length + 1);
    if (bytes == NULL || fread(bytes, 1, (size_t)length, file) != (size_t)length) {
        give_up(path);
    }
    (void)fclose(file);
    bytes[length] = '\0';
    *size = (size_t)length;
    return bytes;
}
