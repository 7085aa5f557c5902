/* models_folder.h: where the models are. */
#ifndef VATCAST_CLI_MODELS_FOLDER_H
#define VATCAST_CLI_MODELS_FOLDER_H

#include <stddef.h>

/* $VATCAST_MODELS when set; else ../share/vatcast/models beside the executable, where they are installed, when it is there; else
 * the folder named at build time. The folder is not promised to exist. */
void models_folder_find(char *path, size_t size);

#endif
