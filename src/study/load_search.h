/* load_search.h: the heaviest load that a plan's sessions bear, by root-finding on the run. */
#ifndef VATCAST_STUDY_LOAD_SEARCH_H
#define VATCAST_STUDY_LOAD_SEARCH_H

#include "study/capacity.h"

/* The heaviest load for which every dip takes the share `keep` of the first and finds a vat fit to dye in, to a relative
 * accuracy: within it, the load returned is borne. Sets the plan's load. A load that the plan brings is the heaviest that
 * is tried; 0: as much as the liquor holds. */
struct status load_search(const struct scenario *scenario, double keep, double accuracy,
                          const struct run_options *options, struct work_plan *plan,
                          struct period_capacity *period) MUST_USE;

#endif
