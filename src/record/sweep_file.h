/* sweep_file.h: the result of many runs: what they were, as the heading of a journal, and all of them in one HDF5 file
 * with a dimension `member`. docs/result-format.md tells what is in it.
 */
#ifndef VATCAST_RECORD_SWEEP_FILE_H
#define VATCAST_RECORD_SWEEP_FILE_H

#include "base/status.h"
#include "record/journal.h"
#include "sim/result.h"

#include <stdbool.h>
#include <stdint.h>

#define SWEEP_FORMAT_NAME "vatcast-sweep"
#define SWEEP_FORMAT_VERSION 1

/* A value that was varied. */
struct swept {
    char name[160]; /* path of a setting or name of a constant */
    char unit[32];
    char how[32]; /* "evenly", "grid" ... */
    double low, high;
};

/* What belongs to all runs of a sweep; the same in each of its parts. */
struct sweep_about {
    char title[200];
    char scenario_name[512];
    double start_unix, record_every, rtol;
    uint64_t seed; /* of the draws */
    size_t runs;
    size_t series_rows;  /* recording times; 0: series are not kept */
    struct swept *swept; /* owned */
    size_t swept_count;
    struct table members;             /* the columns of a row, without rows: values drawn, then figures */
    struct table series;              /* the columns of the series, without rows and without the time */
    char *scenario_text, *model_text; /* owned */
};

void sweep_about_free(struct sweep_about *about);

/* As one line of JSON, owned by the caller: equal for equal sweeps of one version of the program; and back. A heading
 * of another version or of another make is refused (STATUS_IO). */
struct status sweep_about_write(const struct sweep_about *about, char **heading) MUST_USE;
struct status sweep_about_read(const char *heading, struct sweep_about *about) MUST_USE;

/* Numbers in a row. */
size_t sweep_about_width(const struct sweep_about *about);

/* Fills about->members with the rows of journals that follow each other and cover all runs. STATUS_IO tells what is
 * missing. */
struct status sweep_load_members(struct sweep_about *about, struct journal *const *journals, size_t count) MUST_USE;

/* Writes the file; `about` has its members loaded, `percentiles` has the column `percentile` and then the figures. Same
 * rows, same bytes, however many journals they come in. */
struct status sweep_file_write(const struct sweep_about *about, struct journal *const *journals, size_t count,
                               const struct table *percentiles, const char *path, bool force) MUST_USE;

/* sweep_read.c: reads a file of either kind, looking once which it is: of a sweep title, what was varied, the members and the
 * percentiles, no series and no provenance; of a result what record_read does. Sets *is_sweep. All three are freed by the caller,
 * also after a failure. Errors: STATUS_IO, STATUS_LIMIT, as record_read. */
struct status sweep_or_result_read(const char *path, struct sweep_about *about, struct table *percentiles,
                                   struct result *result, bool *is_sweep) MUST_USE;

#endif
