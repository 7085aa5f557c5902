/* influence.c: see influence.h. */
#include "study/influence.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_statistics.h>
#include <math.h>
#include <stdlib.h>

static void insert(struct influence found[INFLUENCES_MOST], size_t *count, struct influence one)
{
    size_t place = *count;
    while (place > 0 && fabs(found[place - 1].correlation) < fabs(one.correlation)) {
        place--;
    }
    for (size_t i = INFLUENCES_MOST - 1; i > place; i--) {
        found[i] = found[i - 1];
    }
    if (place < INFLUENCES_MOST) {
        found[place] = one;
        *count += *count < INFLUENCES_MOST;
    }
}

static bool is_one_value(const double *values, size_t count)
{
    for (size_t i = 1; i < count; i++) {
        if (values[i] != values[0]) {
            return false;
        }
    }
    return true;
}

size_t influence_find(const struct table *members, size_t varied, const struct column *figure,
                      struct influence found[INFLUENCES_MOST])
{
    size_t count = 0;
    size_t rows = members->rows;
    double *space = malloc((4 * rows + 1) * sizeof *space); /* x, y, and twice that for the ranks */
    if (space == NULL || figure == NULL) {
        free(space);
        return 0;
    }
    for (size_t k = 0; k < varied; k++) {
        size_t finite = 0;
        for (size_t i = 0; i < rows; i++) {
            if (isfinite(figure->values[i])) {
                space[finite] = members->columns[k].values[i];
                space[rows + finite] = figure->values[i];
                finite++;
            }
        }
        if (finite < INFLUENCE_RUNS_LEAST || is_one_value(space, finite) || is_one_value(space + rows, finite)) {
            continue;
        }
        double correlation = gsl_stats_spearman(space, 1, space + rows, 1, finite, space + 2 * rows);
        double chance = gsl_cdf_ugaussian_Qinv(0.005 / (double)varied) / sqrt((double)finite - 1.0);
        if (fabs(correlation) > chance) {
            insert(found, &count, (struct influence){k, correlation});
        }
    }
    free(space);
    return count;
}
