/* dyeing.h: what the tests of cloth share: a vat that holds, dips told in a few numbers, and questions about pieces.
 *
 * Built on behaviour.h. Rows of /pieces count from 0, in the order of the scenario's cloth.
 */
#ifndef VATCAST_TESTS_DYEING_H
#define VATCAST_TESTS_DYEING_H

#include "behaviour/behaviour.h"

/* 18.9 L with 0.999 g/L of leuco at 30 degC and pH 11, all lime dissolved, loose lid, blanket; four hours. It holds
 * eight pieces "cloth" of cotton, 100 g, 150 g/m2, wetted out. */
struct rested good_vat(void);

/* Dips of one piece of "cloth" from five minutes on. */
struct dips {
    double soak_min, air_min;
    int dips;
    const char *wring;
};
/* One dip of 8 min, then 30 min of air, wrung by hand. */
struct dips one_dip(void);
/* `then` holds further entries of the calendar, or NULL. Override as run_rested. */
struct vat_run *run_dipped(struct rested vat, struct dips dips, const char *then, const char *override);

/* The same with the scenario changed after it was read: what --set does not reach. */
typedef void scenario_change(struct scenario *scenario, const void *context);
struct vat_run *run_dipped_changed(struct rested vat, struct dips dips, const char *override, scenario_change *change,
                                   const void *context);

/* A column of /pieces. */
double piece_value(const struct vat_run *run, size_t row, const char *column);
/* A column of /events for an entry of the calendar, from 0, at its `nth` happening, from 0. */
double event_value(const struct vat_run *run, int source, int nth, const char *column);
/* Sum of what dips put on the cloth, g/kg: sorbed and carried. */
double dips_taken(const struct vat_run *run, size_t from, size_t to);
/* Indigo that cloth took from the vat, g: in and on the fibre, loose in it, rinsed off, dripped off. */
double indigo_gone_with_cloth(const struct vat_run *run);

#endif
