/* influence.h: which of the values varied goes with a figure. */
#ifndef VATCAST_STUDY_INFLUENCE_H
#define VATCAST_STUDY_INFLUENCE_H

#include "sim/result.h"

#define INFLUENCES_MOST 3
#define INFLUENCE_RUNS_LEAST 20

struct influence {
    size_t which;       /* column of the members */
    double correlation; /* Spearman's rank correlation, -1 to 1 (gsl_stats_spearman) */
};

/* The first `varied` columns of `members` that go best with `figure` (a column of theirs), the strongest first; only
 * those that chance would hardly give: above the correlation that one of so many unrelated columns passes once in a hundred times, by the normal
 * approximation 1 / sqrt(n - 1) of its spread (M. G. Kendall, Rank Correlation Methods, 1948; from memory) and
 * Bonferroni's division. 0 with fewer than INFLUENCE_RUNS_LEAST runs that have the figure. */
size_t influence_find(const struct table *members, size_t varied, const struct column *figure,
                      struct influence found[INFLUENCES_MOST]);

#endif
