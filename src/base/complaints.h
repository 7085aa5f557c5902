/* complaints.h: the list of everything wrong with a set of input files, told in one go.
 *
 * Each complaint prints as `file:line: what is wrong; what is expected`.
 */
#ifndef VATCAST_BASE_COMPLAINTS_H
#define VATCAST_BASE_COMPLAINTS_H

#include "base/status.h"

#include <stddef.h>

#define COMPLAINT_TEXT_SIZE 400
#define COMPLAINTS_MOST 200 /* further ones are counted, not kept */

struct complaint {
    char file[256];
    int line; /* from 1; 0 when the complaint is about the file as a whole */
    char text[COMPLAINT_TEXT_SIZE];
};

struct complaints {
    struct complaint *items; /* owned */
    size_t count;
    size_t capacity;
    size_t dropped; /* complaints beyond COMPLAINTS_MOST, or lost for want of memory */
};

void complaints_init(struct complaints *complaints);
void complaints_free(struct complaints *complaints);

/* Adds one. `format` makes "what is wrong; what is expected". */
void complaints_add(struct complaints *complaints, const char *file, int line, const char *format, ...) PRINTF_LIKE(4, 5);

/* Keeps the first of those that say the same of the same line: a text may be read in more than one setting. */
void complaints_drop_repeated(struct complaints *complaints);

/* Orders by file as first met, then by line, then as added. */
void complaints_sort(struct complaints *complaints);

#endif
