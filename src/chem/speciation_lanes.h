/* speciation_lanes.h: the equilibria of several liquors at once: speciate_near of speciation.h for each, to the last bit. */
#ifndef VATCAST_CHEM_SPECIATION_LANES_H
#define VATCAST_CHEM_SPECIATION_LANES_H

#include "base/lanes.h"
#include "chem/speciation.h"

/* For `count` liquors, 1 to LANES, on a processor that has `kind` (lanes_has). Into failures what speciate_near returns for each; the
 * result means something where that is 0. */
void speciate_near_lanes(enum lanes_kind kind, const struct speciation_constants *const constants[],
                         const struct liquor_totals *const totals[], const struct speciation near[],
                         struct speciation *const results[], int count, int failures[]);

#endif
