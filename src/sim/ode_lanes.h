/* ode_lanes.h: steps of several integrators tried together, side by side in the registers of the processor.
 *
 * The linear algebra of a step is the same for all integrators whose problems have the same table of processes and whose live rates are the
 * same; only the numbers differ. Done for LANES at once it costs little more than for one. The rates are asked of each. What
 * each comes to is what ode_try_step comes to, to the last bit, on whichever processor.
 */
#ifndef VATCAST_SIM_LANES_H
#define VATCAST_SIM_LANES_H

#include "base/lanes.h"
#include "sim/ode.h"

struct ode_lanes;

/* For integrators of as many states and rates as `like` has, on a processor that has `kind` (lanes_has). STATUS_MEMORY. */
struct status ode_lanes_create(const struct ode *like, enum lanes_kind kind, struct ode_lanes **lanes) MUST_USE;
void ode_lanes_free(struct ode_lanes *lanes); /* takes NULL */

/* Whether steps of both may ever be tried together: their problems have the same rates, which move and read the same states. */
bool ode_is_alike(const struct ode *a, const struct ode *b);
/* Whether they may be now, where ode_is_alike: the same rates are live. */
bool ode_is_in_step(const struct ode *a, const struct ode *b);

/* As ode_try_step for `count` integrators, 1 to LANES, all different and in step with the first. */
void ode_try_steps(struct ode_lanes *lanes, struct ode *const ode[], int count);

#endif
