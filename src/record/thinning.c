/* thinning.c: see thinning.h. */
#include "record/thinning.h"

#include <math.h>

/* Series whose extremes are kept; each adds up to two rows to a stretch. */
static const char *const watched[] = {"temperature", "ph", "leuco"};
#define WATCHED_COUNT (sizeof watched / sizeof watched[0])
#define ROWS_PER_STRETCH (1 + 2 * WATCHED_COUNT)

static void keep_extremes(const struct column *column, size_t first, size_t end, bool *keep)
{
    size_t lowest = first;
    size_t highest = first;
    for (size_t row = first; row < end; row++) {
        double value = column->values[row];
        lowest = value < column->values[lowest] ? row : lowest;
        highest = value > column->values[highest] ? row : highest;
    }
    keep[lowest] = true;
    keep[highest] = true;
}

size_t series_thin(const struct table *series, size_t most, bool *keep)
{
    size_t rows = series->rows;
    bool all = rows <= most;
    for (size_t row = 0; row < rows; row++) {
        keep[row] = all;
    }
    if (all) {
        return rows;
    }
    size_t stretches = most / ROWS_PER_STRETCH > 0 ? most / ROWS_PER_STRETCH : 1;
    for (size_t i = 0; i < stretches; i++) {
        size_t first = (size_t)((double)i * (double)rows / (double)stretches);
        size_t end = (size_t)((double)(i + 1) * (double)rows / (double)stretches);
        end = end > rows ? rows : end;
        if (first >= end) {
            continue;
        }
        keep[first] = true;
        for (size_t k = 0; k < WATCHED_COUNT; k++) {
            const struct column *column = table_column(series, watched[k]);
            if (column != NULL) {
                keep_extremes(column, first, end, keep);
            }
        }
    }
    keep[rows - 1] = true;
    size_t kept = 0;
    for (size_t row = 0; row < rows; row++) {
        kept += keep[row];
    }
    return kept;
}
