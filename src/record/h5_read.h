/* h5_read.h: between h5_read.c (what a result file must hold) and h5_read_table.c (checked reading of any group). */
#ifndef VATCAST_RECORD_H5_READ_H
#define VATCAST_RECORD_H5_READ_H

#include "base/status.h"
#include "sim/result.h"

#include <hdf5.h>
#include <stdint.h>

#define READ_ROWS_MOST 2000000u   /* rows of one table; a run records 500 000 at most */
#define READ_CELLS_MOST 50000000u /* numbers in one file, and no more than are likely in the bytes stored: */
#define READ_CELLS_SMALL 12000000u
#define READ_CELLS_PER_BYTE 8u
#define READ_LINKS_MOST 768u      /* things in one group */
#define READ_TEXT_MOST ((size_t)32 << 20)
#define READ_FILE_MOST ((int64_t)512 << 20)

/* h5_read.c: a file in steps that each kind of file shares. Looks at the file from outside (a regular file, no larger than
 * READ_FILE_MOST, its seal whole) and tries it in a child (guard.h). */
typedef struct status h5_attempt(const char *path);
struct status h5_try_file(const char *path, h5_attempt *attempt) MUST_USE;
/* Opens it, lets `take` read from it what it will, and closes it. */
typedef struct status h5_taker(hid_t file, void *context);
struct status h5_read_file(const char *path, h5_taker *take, void *context) MUST_USE;
/* Fills `result`, initialised, from a file that is open; freed by the caller also after a failure. */
struct status h5_take_result(hid_t file, bool trial, struct result *result) MUST_USE;
/* Refuses another version of the format than this one. */
struct status h5_check_version(hid_t file, int version) MUST_USE;

/* What a whole file has taken so far. In a trial each column is let go once it is checked, all but the first of its table, so
 * that trying takes little memory whatever the file holds. */
struct h5_allowance {
    size_t cells;    /* numbers */
    uint64_t stored; /* bytes that they lie in */
    bool trial;
};

/* Opens a group that must be there and be a group of this file. The caller closes it. */
struct status h5_open_group(hid_t parent, const char *name, hid_t *group) MUST_USE;

/* Text attribute as a string owned by the caller; into a fixed buffer, refused when too long. */
struct status h5_read_text(hid_t object, const char *name, char **text) MUST_USE;
struct status h5_read_short_text(hid_t object, const char *name, char *text, size_t size) MUST_USE;
/* Number attributes; any numeric type of the file is converted. */
struct status h5_read_number(hid_t object, const char *name, double *value) MUST_USE;
struct status h5_read_whole(hid_t object, const char *name, uint64_t *value) MUST_USE;

/* How a group is a table. */
struct h5_shape {
    const char *index;                               /* the dimension scale that is no column; NULL: none */
    bool named_rows;                                 /* its flag meanings become table->row_names */
    bool (*takes)(hid_t group, const char *dataset); /* whether it is a column; NULL: all are */
};

/* Reads the datasets of `group` into `table` (empty, named) in the order they were made. */
struct status h5_read_table(hid_t group, struct h5_shape shape, struct h5_allowance *allowance,
                            struct table *table) MUST_USE;

/* Name of the link number `i` of a group, in the order they were made when that was kept. Links that lead out of
 * the file are refused. */
struct status h5_link_name(hid_t group, hsize_t i, char *name, size_t size, H5O_type_t *type) MUST_USE;
struct status h5_link_count(hid_t group, hsize_t *count) MUST_USE;

#endif
