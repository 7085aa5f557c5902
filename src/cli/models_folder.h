/* models_folder.h: where the models are. */
#ifndef VATCAST_CLI_MODELS_FOLDER_H
#define VATCAST_CLI_MODELS_FOLDER_H

#include <stddef.h>

/* $VATCAST_MODELS when set; else the first that is there of ../share/vatcast/models beside the executable (which only a mounted
 * /proc can tell), the folder it was built from, unless for a package, and the folder it was to be installed in. When none is
 * there, the first that is known; the folder is not promised to exist. */
void models_folder_find(char *path, size_t size);

#endif
