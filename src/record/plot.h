/* plot.h: a few series of a result as one picture (SVG or PNG) for a handout or a paper.
 *
 * The charting libraries for C on hand end the program on errors or bring a windowing system with them; lines over a time
 * axis need neither, so these few are drawn here. The page of the report uses a library.
 */
#ifndef VATCAST_RECORD_PLOT_H
#define VATCAST_RECORD_PLOT_H

#include "base/status.h"
#include "sim/result.h"

#include <stdbool.h>
#include <stddef.h>

#define PLOT_SERIES_MOST 8

/* Draws the named series of a result over its days: series of one unit share a panel. The picture carries a title and
 * a description for those who do not see it. Owned by the caller.
 * Errors: STATUS_USAGE (a name is no series, is a code, or too many), STATUS_IO (no rows), STATUS_MEMORY. */
struct status plot_make(const struct result *result, const char *const *names, size_t count, char **svg,
                        size_t *size) MUST_USE;

enum plot_format { PLOT_SVG, PLOT_PNG };

/* Draws and puts the file in place whole. An existing file is refused unless `force`. Errors: those of plot_make,
 * STATUS_IO. */
struct status plot_write(const struct result *result, const char *const *names, size_t count, enum plot_format format,
                         const char *path, bool force) MUST_USE;

#endif
