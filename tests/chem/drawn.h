/* drawn.h: liquors drawn at random, for the tests of the equilibria. */
#ifndef VATCAST_TESTS_CHEM_DRAWN_H
#define VATCAST_TESTS_CHEM_DRAWN_H

#include "chem/speciation.h"

#include <stdint.h>

/* Any set will do for water, lime and carbonate; these are near the middle of the literature. */
extern const struct speciation_parameters usual;

/* From 0 to 1, the next after the seed. */
double uniform(uint64_t *seed);

/* Totals of any liquor from soured to limed; now and then without one thing or another. */
void draw_totals(uint64_t *seed, double totals[TOTAL_COUNT]);

#endif
