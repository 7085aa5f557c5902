/* report_data.h: what the page of a report is told, as JSON. */
#ifndef VATCAST_RECORD_REPORT_DATA_H
#define VATCAST_RECORD_REPORT_DATA_H

#include "record/report.h"

/* The data of a page as JSON text owned by the caller, fit to stand inside a script element: no '<' in it. Series are
 * rounded to five digits; runs of many rows are thinned, extremes and the rows of events kept. */
struct status report_data_make(const struct report_run *runs, size_t count, const struct report_words *words,
                               char **json) MUST_USE;

#endif
