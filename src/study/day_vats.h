/* day_vats.h: the vats of a day as runs that are taken a stretch at a time; part of day.h. */
#ifndef VATCAST_STUDY_DAY_VATS_H
#define VATCAST_STUDY_DAY_VATS_H

#include "study/day.h"

/* Zeroed: no chemistry, every vat is always usable. Freed with vats_free. */
struct vats {
    struct scenario variant; /* shared by all: their events are the pieces' dips */
    bool there;
    size_t first_event; /* that of piece 0 */
    struct run_options options;
    struct run *runs[VATS_MOST];
    struct result results[VATS_MOST];
    int count;
};

struct status vats_open(const struct scenario *scenario, const struct day_how *how, struct vats *vats) MUST_USE;

/* Brings a vat up to a time. */
struct status vats_go(struct vats *vats, int vat, double time) MUST_USE;

/* Piece number `piece` (from 0), last dipped in vat `last` (-1: never), goes into vat `vat` at `in` for `soak` s. */
struct status vats_dip(struct vats *vats, int vat, int last, int piece, double in, double soak) MUST_USE;

/* Ends the runs at `until`, and fills what the day tells of its vats and pieces. */
struct status vats_close(struct vats *vats, const struct day_how *how, double until, struct day *day) MUST_USE;
void vats_free(struct vats *vats);

#endif
