/* members.h: other vats that the same scenario may be, drawn from the ranges of what is uncertain by a low-discrepancy
 * sequence, so that a few of them cover the ranges evenly.
 */
#ifndef VATCAST_STUDY_MEMBERS_H
#define VATCAST_STUDY_MEMBERS_H

#include "base/status.h"
#include "scenario/scenario.h"

#define MEMBERS_MOST 64       /* kept */
#define MEMBERS_DRAWN_MOST 1000 /* to find them */

/* The value at a share (0 to 1) of a triangular distribution with these corners; in logarithms where the range spans
 * more than a factor of five and is all positive. */
double value_at_share(double low, double nominal, double high, double share);

/* Makes member `number` (from 1): the constants that matter for how much a vat dyes, the fibre of cloth `kind`, and the
 * purity of indigo where the scenario does not state it, each drawn from its range (Sobol' sequence). Freed with
 * scenario_free. Same number, same member. */
struct status member_make(const struct scenario *scenario, int kind, int number, struct scenario *member) MUST_USE;

#endif
