/* report.h: results as one self-contained HTML page: the page of src/record/page, the charting library and the data in one file.
 *
 * The page asks nothing of any network. All text of a scenario reaches it as data and is shown as text.
 */
#ifndef VATCAST_RECORD_REPORT_H
#define VATCAST_RECORD_REPORT_H

#include "base/status.h"
#include "sim/result.h"

#include <stdbool.h>
#include <stddef.h>

#define REPORT_RUNS_MOST 8

/* One result of a report. `name` is what it is called beside others. `story` is the summary in lines of
 * `label TAB margin TAB words`; "" for none. All is borrowed. */
struct report_run {
    const struct result *result;
    const char *name;
    const char *story;
};

/* How a ledger row, its underscores already blanks, is said. */
typedef const char *report_phrase(const char *row);

/* What is said of several runs together. */
struct report_words {
    report_phrase *phrase; /* may be NULL: rows as they are called */
    const char *verdict;   /* lines of `label TAB words`; "" or NULL for none */
};

/* Makes the page of one result, the comparison of up to REPORT_RUNS_MOST, or the day of a workshop with its vats side by
 * side, in memory owned by the caller.
 * Errors: STATUS_MEMORY; STATUS_LIMIT (too many results); STATUS_IO (a result without series);
 * STATUS_USAGE (a workshop among others). */
struct status report_make(const struct report_run *runs, size_t count, const struct report_words *words, char **page,
                          size_t *size) MUST_USE;

/* Makes the page and puts it in place whole. An existing file is refused unless `force`. */
struct status report_write(const struct report_run *runs, size_t count, const struct report_words *words, const char *path,
                           bool force) MUST_USE;

#endif
