/* lifetime.h: what comes after a session: the rest it needs, and sessions at a steady pace until the vat is spent. */
#ifndef VATCAST_STUDY_LIFETIME_H
#define VATCAST_STUDY_LIFETIME_H

#include "study/capacity.h"

/* How far a row of sessions goes until a vat, rested and fed, is pale. */
struct stretch {
    double cloth_dips; /* kg */
    int sessions;
    bool is_whole; /* it did not become so pale */
};

struct lifetime {
    struct stretch to_indigo, whole; /* by the share `keep`, and by CAPACITY_LIFE_END */
    struct shade_capacity shade;
};

/* Fills `rest`, `rest_comes_to` and `first_leuco`, from a session and two days after it. */
struct status lifetime_rest(const struct scenario *scenario, const struct work_plan *session,
                            const struct run_options *options, struct capacity *capacity) MUST_USE;

/* Sessions like those of a week, lot after lot dyed to the shade, until the vat is pale and a lot is given up. */
struct status lifetime_run(const struct scenario *scenario, const struct work_plan *week,
                           const struct capacity_question *question, struct lifetime *lifetime) MUST_USE;

/* Dips until a piece has each shade, from pieces that are dipped again and again through a week of sessions. */
struct status lifetime_dips(const struct scenario *scenario, const struct work_plan *week,
                            const struct run_options *options, double dips_to[SHADE_COUNT]) MUST_USE;

#endif
