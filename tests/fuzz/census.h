/* census.h: what a lot of random scenarios has been through, so that what was never tried is seen. */
#ifndef VATCAST_TESTS_FUZZ_CENSUS_H
#define VATCAST_TESTS_FUZZ_CENSUS_H

#include "scenario/scenario.h"
#include "sim/result.h"

/* Counts a scenario that was run and what came of it. */
void census_take(const struct scenario *scenario, const struct status *ended, const struct result *result);

/* Prints all counts to stdout. */
void census_tell(void);

#endif
