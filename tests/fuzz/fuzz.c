/* fuzz.c: see fuzz.h. */
#include "fuzz/fuzz.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static char folder[256];

static void folder_remove(void)
{
    DIR *open_folder = opendir(folder);
    if (open_folder == NULL) {
        return;
    }
    for (struct dirent *entry = readdir(open_folder); entry != NULL; entry = readdir(open_folder)) {
        (void)unlinkat(dirfd(open_folder), entry->d_name, 0);
    }
    (void)closedir(open_folder);
    (void)rmdir(folder);
}

/* In memory where there is such a place: a million small files need no disk. */
static void folder_make(void)
{
    const char *place = getenv("TMPDIR");
    if (place == NULL) {
        place = access("/dev/shm", W_OK) == 0 ? "/dev/shm" : "/tmp";
    }
    (void)snprintf(folder, sizeof folder, "%.200s/vatcast-fuzz-XXXXXX", place);
    if (mkdtemp(folder) == NULL || atexit(folder_remove) != 0) {
        perror(folder);
        exit(77);
    }
}

const char *fuzz_file(const char *name, const uint8_t *data, size_t size)
{
    static char path[sizeof folder + 64];
    if (folder[0] == '\0') {
        folder_make();
    }
    (void)snprintf(path, sizeof path, "%s/%.60s", folder, name);
    FILE *file = fopen(path, "wb");
    bool written = file != NULL && fwrite(data, 1, size, file) == size;
    if (file == NULL || fclose(file) != 0 || !written) {
        perror(path);
        exit(77);
    }
    return path;
}

char *fuzz_text(const uint8_t *data, size_t size)
{
    char *text = malloc(size + 1);
    fuzz_expect(text != NULL, "memory for the input");
    if (text != NULL) {
        if (size > 0) {
            memcpy(text, data, size);
        }
        text[size] = '\0';
    }
    return text;
}

void fuzz_expect(bool holds, const char *promise)
{
    if (!holds) {
        (void)fprintf(stderr, "BROKEN: %s\n", promise);
        abort();
    }
}
