/* price.h: what a material costs, as a dyer writes it. */
#ifndef VATCAST_SCENARIO_PRICE_H
#define VATCAST_SCENARIO_PRICE_H

#include "base/status.h"
#include "scenario/scenario.h"

/* Reads "slaked lime=2.50/kg" (also /g, /100 g, /lb, /oz; for water /L and /m3). STATUS_USAGE when it will not do;
 * whether the material exists is for the caller to say. */
struct status price_read(const char *text, struct price *price) MUST_USE;

/* NULL when the model knows every material that has a price (water goes without saying); else the name that it does not
 * know, and in `nearest` a known one that is like it, or NULL. */
const char *price_unknown(const struct price *prices, size_t count, const struct model *model, const char **nearest);

#endif
