/* thinning.h: choosing the rows of long series that a picture needs. */
#ifndef VATCAST_RECORD_THINNING_H
#define VATCAST_RECORD_THINNING_H

#include "base/status.h"
#include "sim/result.h"

#include <stdbool.h>
#include <stddef.h>

/* Sets keep[row] (as many as the series have rows) for about `most` rows: the first and the last, one in each equal stretch,
 * and in each stretch the rows where the liquor is warmest, most alkaline and strongest, and where it is least so. All
 * rows are kept when there are no more than `most`. Returns how many are kept. */
size_t series_thin(const struct table *series, size_t most, bool *keep);

#endif
