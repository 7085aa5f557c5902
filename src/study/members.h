/* members.h: other vats that the same scenario may be, drawn from all that is uncertain about it (draws.h). */
#ifndef VATCAST_STUDY_MEMBERS_H
#define VATCAST_STUDY_MEMBERS_H

#include "base/status.h"
#include "scenario/scenario.h"

#define MEMBERS_MOST 64        /* kept */
#define MEMBERS_DRAWN_MOST 768 /* to find them */

/* Makes member `number` (from 1): every uncertain value drawn from its range, as likely above its nominal value as below
 * (DRAW_AROUND of draws.h), by the scenario's seed. Freed with scenario_free. Same scenario, same number, same member.
 * STATUS_BUG for a number that is none. */
struct status member_make(const struct scenario *scenario, int number, struct scenario *member) MUST_USE;

#endif
