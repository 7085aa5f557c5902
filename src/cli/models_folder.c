/* models_folder.c: see models_folder.h. */
#include "cli/models_folder.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#ifndef VATCAST_MODELS_FOLDER
#define VATCAST_MODELS_FOLDER ""
#endif

/* ../share/vatcast/models beside the executable, where installing puts them; false when that cannot be told. */
static bool beside_program(char *path, size_t size)
{
    char program[4096];
    ssize_t length = readlink("/proc/self/exe", program, sizeof program - 1);
    if (length <= 0) {
        return false;
    }
    program[length] = '\0';
    for (int i = 0; i < 2; i++) {
        char *slash = strrchr(program, '/');
        if (slash == NULL) {
            return false;
        }
        *slash = '\0';
    }
    (void)snprintf(path, size, "%s/share/vatcast/models", program);
    return true;
}

void models_folder_find(char *path, size_t size)
{
    struct stat about;
    const char *named = getenv("VATCAST_MODELS");
    if (named != NULL && named[0] != '\0') {
        (void)snprintf(path, size, "%s", named);
        return;
    }
    const char *built = VATCAST_MODELS_FOLDER;
    if (beside_program(path, size) && (built[0] == '\0' || stat(path, &about) == 0)) {
        return;
    }
    (void)snprintf(path, size, "%s", built);
}
