/* models_folder.c: see models_folder.h. */
#include "cli/models_folder.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

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
    const char *named = getenv("VATCAST_MODELS");
    if (named != NULL && named[0] != '\0') {
        (void)snprintf(path, size, "%s", named);
        return;
    }
    char beside[4096 + sizeof "/share/vatcast/models"] = "";
    const char *const folders[] = {beside_program(beside, sizeof beside) ? beside : "", VATCAST_MODELS_BUILT,
                                   VATCAST_MODELS_INSTALLED};
    const char *known = "";
    for (size_t i = 0; i < sizeof folders / sizeof folders[0]; i++) {
        struct stat about;
        known = known[0] == '\0' ? folders[i] : known;
        if (folders[i][0] != '\0' && stat(folders[i], &about) == 0) {
            known = folders[i];
            break;
        }
    }
    (void)snprintf(path, size, "%s", known);
}
