/* file.h: streams of the C library, where a failing of any call before the last must not be lost. */
#ifndef VATCAST_BASE_FILE_H
#define VATCAST_BASE_FILE_H

#include "base/status.h"

#include <stdio.h>

/* Closes a stream; true when all that was written to it went through, and the closing too. */
bool file_close(FILE *file) MUST_USE;

#endif
