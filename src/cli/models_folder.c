/* models_folder.c: see models_folder.h. */
#include "cli/models_folder.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#ifndef VATCAST_MODELS_FOLDER
#define VATCAST_MODELS_FOLDER ""
#endif

void models_folder_find(char *path, size_t size)
{
    struct stat about;
    const char *named = getenv("VATCAST_MODELS");
    if (named != NULL && named[0] != '\0') {
        (void)snprintf(path, size, "%s", named);
        return;
    }
    (void)snprintf(path, size, "%s", VATCAST_MODELS_FOLDER);
    if (path[0] != '\0' && stat(path, &about) == 0) {
        return;
    }
    char program[4096];
    ssize_t length = readlink("/proc/self/exe", program, sizeof program - 1);
    if (length <= 0) {
        return;
    }
    program[length] = '\0';
    for (int i = 0; i < 2; i++) {
        char *slash = strrchr(program, '/');
        if (slash == NULL) {
            return;
        }
        *slash = '\0';
    }
    (void)snprintf(path, size, "%s/share/vatcast/models", program);
}
