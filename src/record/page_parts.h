/* page_parts.h: the files of src/record/page and the charting library, put into the program by tools/embed_files.sh. */
#ifndef VATCAST_RECORD_PAGE_PARTS_H
#define VATCAST_RECORD_PAGE_PARTS_H

#include <stddef.h>

struct page_part {
    const char *name; /* of the file */
    const unsigned char *bytes; /* a zero follows them */
    size_t size;
};

/* Ends with a zeroed entry. */
extern const struct page_part page_parts[];

#endif
