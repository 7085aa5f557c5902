/* actions.h: what an event does to the vat. */
#ifndef VATCAST_SIM_ACTIONS_H
#define VATCAST_SIM_ACTIONS_H

#include "sim/calendar.h"
#include "sim/vat.h"

/* Does one scenario event now, if its conditions hold, and puts what follows from it into the calendar: the end of stirring,
 * cloth coming out, the next occurrence, the events that follow it. */
struct status action_do(struct vat *vat, struct calendar *calendar, int event) MUST_USE;

/* The ends and continuations that actions put in. */
struct status action_cloth_out(struct vat *vat, struct calendar *calendar, int dipping) MUST_USE;
struct status action_cloth_in(struct vat *vat, struct calendar *calendar, int dipping) MUST_USE;
struct status action_stir_end(struct vat *vat) MUST_USE;
struct status action_heater_reached(struct vat *vat, struct calendar *calendar) MUST_USE;
struct status action_heater_off(struct vat *vat, struct calendar *calendar) MUST_USE;

/* Puts the first occurrence of every scenario event in. */
struct status action_schedule_all(struct vat *vat, struct calendar *calendar) MUST_USE;

/* A row of /events for something that happened by itself. `code` is an enum run_action. */
struct status action_record_plain(struct vat *vat, int code) MUST_USE;

#endif
