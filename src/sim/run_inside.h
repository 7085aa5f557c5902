/* run_inside.h: what a run is made of. Private to src/sim/run*.c. */
#ifndef VATCAST_SIM_RUN_INSIDE_H
#define VATCAST_SIM_RUN_INSIDE_H

#include "sim/calendar.h"
#include "sim/run.h"
#include "sim/vat.h"

/* What goes on between two events. */
struct leg {
    bool on;
    double stop;  /* when it ends, unless the heater reaches its set point before */
    bool trying;  /* a step is to be tried */
    bool reached; /* the heater has reached it */
};

struct run {
    struct vat vat;
    struct calendar calendar;
    const struct run_options *options;
    uint64_t seen;   /* the series that are recorded */
    double next_row; /* s */
    double row[SERIES_COUNT];
    struct foreseen rows[LANES]; /* those of a step, worked out together */
    double between[STATE_COUNT];
    struct settings settings; /* of the last leg; zero before the first, as none of a vat are */
    struct leg leg;
    double end;
    bool begun;
};

#define SAME_TIME 1e-6 /* s: times closer than this are one */

/* Goes on, as run_pause, to where a step is to be tried: by who has called, who then goes on again; or to `time`: `to_try` is NULL. */
struct status run_go_on(struct run *run, double time, struct ode **to_try) MUST_USE;

/* run_scenarios on a processor that has `kind` (base/lanes.h). */
void run_scenarios_on(enum lanes_kind kind, const struct scenario *const scenarios[], const struct run_options *options,
                      struct result results[], struct status outcomes[], size_t count);

/* The series that are read of a run with these options, which may be NULL. */
uint64_t run_series_of(const struct run_options *options);
/* Gives a result its columns, those of `seen` among the series. */
struct status run_add_columns(struct result *result, uint64_t seen) MUST_USE;
/* Works out what all rows share, from the vat as it stands at its start. */
void run_record_prepare(struct run *run);
/* Records the rows that fall inside the last step, before `until`. */
struct status run_record_inside(struct run *run, double until) MUST_USE;
/* Records the row that is due now, if one is. */
struct status run_record_due(struct run *run) MUST_USE;
/* Fills what a result has at its end only. */
struct status run_finish(struct run *run, struct status outcome) MUST_USE;

/* One line per scenario event, for people: what it does, with what. Owned by the caller; NULL without memory. */
char *run_event_lines(const struct scenario *scenario);

#endif
