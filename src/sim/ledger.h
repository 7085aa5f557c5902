/* ledger.h: where everything came from and went: one balance for each of indigo, hexose, lime, oxygen, water and heat. */
#ifndef VATCAST_SIM_LEDGER_H
#define VATCAST_SIM_LEDGER_H

#include "sim/vat.h"

/* Before the first leg: finds which of the active processes have to do with oxygen. */
void ledger_open(struct vat *vat);

/* Books the extents of a leg that just ended, and what part of the sugar met oxygen of which source. */
void ledger_add_leg(struct vat *vat, const double *extents);

/* Fills result.ledger from the books and the amounts left; on failure there is none. STATUS_MEMORY. */
struct status ledger_fill(struct vat *vat) MUST_USE;

/* How much of a ledger's substance one unit of a species holds. Substances in the order of enum ledger_substance. */
enum ledger_substance { LEDGER_INDIGO, LEDGER_HEXOSE, LEDGER_LIME, LEDGER_OXYGEN, LEDGER_WATER, LEDGER_HEAT,
                        LEDGER_FEED, LEDGER_ALKALI, LEDGER_COUNT }; /* the last two only where cells live */
double ledger_weight(enum ledger_substance substance, enum species species);

#endif
