/* scratch.h: a folder of its own for a test, and whole files in and out. */
#ifndef SCRATCH_H
#define SCRATCH_H

#include <stddef.h>

#define SCRATCH_PATH 256

/* Makes a fresh folder in $TMPDIR (or the working folder) and writes its path. */
void scratch_make(char path[SCRATCH_PATH]);
/* Removes the folder with the files in it (no folders inside). */
void scratch_remove(const char *path);
/* Number of files in the folder. */
size_t scratch_count(const char *path);
void scratch_write(const char *path, const void *bytes, size_t size);
/* The whole file with a final NUL, owned by the caller; NULL when it is not there. */
char *scratch_read(const char *path, size_t *size);

#endif
