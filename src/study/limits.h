/* limits.h: what a vat runs out of first, found by taking one want away at a time and dyeing again. */
#ifndef VATCAST_STUDY_LIMITS_H
#define VATCAST_STUDY_LIMITS_H

#include "study/capacity.h"

/* What the palest dip of a plan takes, as a share of the first, when the vat has no want of this kind. */
struct status limit_relieved(const struct scenario *scenario, const struct work_plan *plan, enum limit want,
                             const struct run_options *options, double *share) MUST_USE;

/* Fills `limit` of a period from its gains. */
void limit_settle(struct period_capacity *period);

#endif
