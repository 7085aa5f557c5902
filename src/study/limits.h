/* limits.h: what a vat runs out of first, found by taking one want away at a time and dyeing again. */
#ifndef VATCAST_STUDY_LIMITS_H
#define VATCAST_STUDY_LIMITS_H

#include "study/capacity.h"

/* Fills `limit` and `gain` of a period whose heaviest load the plan holds. */
struct status limits_find(const struct scenario *scenario, const struct capacity_question *question,
                          const struct work_plan *plan, struct period_capacity *period) MUST_USE;

#endif
