/* record.h: result files (HDF5, CF conventions) and their comma-separated export.
 *
 * A result file is made in memory and then put in place whole: a crash or a full disk never leaves half a file
 * under the final name and never harms an older one. docs/result-format.md tells what is in it.
 */
#ifndef VATCAST_RECORD_RECORD_H
#define VATCAST_RECORD_RECORD_H

#include "base/status.h"
#include "sim/result.h"

#include <stdbool.h>

#define RECORD_FORMAT_NAME "vatcast-result"
#define RECORD_FORMAT_VERSION 1

/* Writes the result to `path`. An existing file is refused unless `force`, and then replaced in one step.
 * The same result gives the same bytes. Errors: STATUS_IO, STATUS_MEMORY, STATUS_BUG (tables of broken shape). */
struct status record_write(const struct result *result, const char *path, bool force) MUST_USE;

/* Reads a result file into `result` (initialised by this function; freed by the caller with result_free, also after
 * a failure). Everything is checked: a file that is cut short, foreign or hostile is refused with STATUS_IO, one
 * that is too large with STATUS_LIMIT. What is read is what was written, to the last bit. */
struct status record_read(const char *path, struct result *result) MUST_USE;

/* Writes every table as comma-separated text (RFC 4180) into `folder`, made when missing: series.csv, events.csv,
 * dips.csv, pieces.csv, notes.csv, ledger_<substance>.csv; of a workshop workshop_day.csv, workshop_plans.csv and for each
 * vat after the first vat_<number>_series.csv. The header row reads `name (unit)`; codes are written as
 * words and then the header reads `name (word)`; what does not apply is left empty. Existing files are refused
 * unless `force`, before anything is written. Errors: STATUS_IO, STATUS_MEMORY. */
struct status record_export_csv(const struct result *result, const char *folder, bool force) MUST_USE;
/* How many files that makes. */
size_t record_table_count(const struct result *result);

#endif
