/* variant.h: a copy of a scenario that a study may change, and events to put into it.
 *
 * A study asks "what if"; the scenario it was given stays as it is. A variant owns all it points to, except that it
 * carries no texts (provenance belongs to what a person wrote) and no lesson.
 */
#ifndef VATCAST_STUDY_VARIANT_H
#define VATCAST_STUDY_VARIANT_H

#include "base/status.h"
#include "scenario/scenario.h"

/* Copies `from` into `variant`; freed with scenario_free. STATUS_MEMORY: `variant` is zeroed. */
struct status variant_make(const struct scenario *from, struct scenario *variant) MUST_USE;

/* An event at a time (s since start) with everything else unset. */
struct event_spec event_at(enum action action, double at);

/* Appends an event; those before it keep their places. */
struct status variant_add_event(struct scenario *variant, const struct event_spec *event) MUST_USE;
/* Appends a dose of a material at a time, with `below_ph` above 0 only when a meter then shows less; nothing for material -1
 * or no mass (kg). */
struct status variant_add_dose(struct scenario *variant, double at, int material, double mass,
                               double below_ph) MUST_USE;
/* Appends a gentle stir of two minutes. */
struct status variant_add_stir(struct scenario *variant, double at) MUST_USE;
/* Appends a kind of cloth; its index is cloth_count - 1 afterwards. */
struct status variant_add_cloth(struct scenario *variant, const struct cloth_kind *kind) MUST_USE;

/* Takes every dip out of the calendar, and everything that begins at `from` (s) or later or follows a dip. The events
 * keep their places. */
void variant_clear_work(struct scenario *variant, double from);

/* Takes every dip, all finishing and what follows them out of the calendar, which keeps its care; what recurs to the
 * scenario's end goes on until `end` (s). */
void variant_clear_dyeing(struct scenario *variant, double end);

/* Switches the errors of instruments off, so that what is read is so. */
void variant_read_truly(struct scenario *variant);

#endif
