/* h5_write.h: between h5_write.c (how things are written) and h5_contents.c (what is written). */
#ifndef VATCAST_RECORD_H5_WRITE_H
#define VATCAST_RECORD_H5_WRITE_H

#include "base/status.h"
#include "sim/result.h"

#include <hdf5.h>
#include <stdbool.h>
#include <stdint.h>

/* A file being laid out. The first failure stays in `status`; later writes then do nothing. */
struct h5_writer {
    struct status status;
    hid_t string_type; /* variable-length UTF-8 */
    hid_t scalar;
    char time_units[64]; /* "seconds since 2026-05-04 08:00:00" */
};

void h5_write_text(struct h5_writer *writer, hid_t object, const char *name, const char *text);
void h5_write_number(struct h5_writer *writer, hid_t object, const char *name, double value);
void h5_write_whole(struct h5_writer *writer, hid_t object, const char *name, uint64_t value);
/* Both return a group that the caller closes, or a negative id. */
hid_t h5_create_group(struct h5_writer *writer, hid_t parent, const char *name);
/* The columns of a table into `group`, all on one dimension scale: the first column when `index` is NULL, else a
 * dataset of that name counting the rows. */
void h5_write_columns(struct h5_writer *writer, hid_t group, const struct table *table, const char *index);
hid_t h5_write_table(struct h5_writer *writer, hid_t parent, const struct table *table, const char *index);

/* A dataset of `members` x `rows`, closed by the caller, and the values of some members, one after another in
 * column->values. Best written H5_BLOCK_MEMBERS at a time. */
#define H5_BLOCK_MEMBERS 16u
hid_t h5_create_block(struct h5_writer *writer, hid_t group, const struct column *column, size_t members, size_t rows);
void h5_write_block(struct h5_writer *writer, hid_t dataset, const struct column *column, size_t first, size_t members,
                    size_t rows);
void h5_attach_scales(struct h5_writer *writer, hid_t file, hid_t dataset, const char *const *scales, unsigned count);

/* Lays a file out in memory by `fill`, seals it, and puts it in place whole. */
struct status h5_write_file(const char *path, bool force, double start_unix,
                            void (*fill)(struct h5_writer *writer, hid_t file, const void *contents),
                            const void *contents) MUST_USE;

/* In h5_contents.c. */
void h5_write_text_and_digest(struct h5_writer *writer, hid_t group, const char *name, const char *text);
void h5_time_units(double start_unix, char *text, size_t size);
void h5_write_heading(struct h5_writer *writer, hid_t file, const struct result *result);
void h5_write_groups(struct h5_writer *writer, hid_t file, const struct result *result);
void h5_write_workshop(struct h5_writer *writer, hid_t file, const struct result *result);
void h5_write_provenance(struct h5_writer *writer, hid_t file, const struct result *result);

#endif
