/* h5_common.h: what the writer and the reader of result files share: quiet HDF5 with its own words for a failure,
 * names of the groups, and the notes as a table. The only other files that include hdf5.h are h5_write.c and
 * h5_read*.c.
 */
#ifndef VATCAST_RECORD_H5_COMMON_H
#define VATCAST_RECORD_H5_COMMON_H

#include "base/status.h"
#include "sim/result.h"

#include <hdf5.h>

#define NOTE_KIND_FLAGS "info warning caution"
#define CODE_NOT_APPLICABLE (-1) /* _FillValue of code columns: NAN in memory */

/* Silences HDF5's own printing, remembering what was there. */
struct h5_quiet {
    H5E_auto2_t function;
    void *data;
};
struct h5_quiet h5_quiet_begin(void);
void h5_quiet_end(const struct h5_quiet *quiet);

/* A STATUS_IO failure "doing: HDF5's innermost reason". */
struct status h5_fail(const char *doing, const char *object);

/* Closes whatever kind of id this is; negative ids are ignored. Returns a negative number when closing failed. */
herr_t h5_close(hid_t id);

/* The notes as a table of the columns time and kind; `table` is freed by the caller. */
struct status notes_to_table(const struct result *result, struct table *table) MUST_USE;

/* Number of space-separated words. */
size_t count_words(const char *words);

#endif
