/* file.c: see file.h. */
#include "base/file.h"

bool file_close(FILE *file)
{
    bool is_sound = ferror(file) == 0;
    return fclose(file) == 0 && is_sound;
}
