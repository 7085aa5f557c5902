/* run.h: a scenario run from its start to its end. */
#ifndef VATCAST_SIM_RUN_H
#define VATCAST_SIM_RUN_H

#include "scenario/scenario.h"
#include "sim/result.h"

/* What is read of a run besides its events, dips and ledgers; zeroed: everything. What is not read is not worked out; all else
 * comes out the same to the last bit. */
struct run_wanted {
    uint64_t series;  /* SERIES_BIT of each that is read (sim/series.h), and the time; 0: all. Others are no columns of the
                       * result, and what the rows would show is not noted. */
    bool bare_pieces; /* the colours of the pieces are not read: they are NAN */
};

/* What a caller may watch or steer; every member may be NULL or zero. */
struct run_options {
    void (*progress)(void *context, double done_share); /* called now and then with 0 to 1 */
    void *progress_context;
    const volatile int *stop; /* when it turns non-zero the run ends as RUN_INTERRUPTED; see is_stop_raised */
    double rtol;              /* overrides the scenario's when above 0 */
    struct run_wanted wanted;
};

/* Whether a stop flag (may be NULL) is up. It may be raised by a signal handler or another thread, by
 * __atomic_store_n. */
static inline bool is_stop_raised(const volatile int *stop)
{
    return stop != NULL && __atomic_load_n(stop, __ATOMIC_RELAXED) != 0;
}

/* Runs the scenario and fills `result` (initialised by this function; freed by the caller with result_free). On
 * failure the result holds what happened up to the failure with status RUN_FAILED, and the failure is returned. Same
 * scenario, same result, to the last bit. Errors: STATUS_NUMERIC, STATUS_LIMIT, STATUS_MEMORY, STATUS_INTERRUPTED. */
struct status run_scenario(const struct scenario *scenario, const struct run_options *options, struct result *result)
    MUST_USE;

/* The same for `count` runs that one thread goes on with in turn, a step of each together where that goes (sim/ode_lanes.h): runs of the
 * same processes, as the members of a sweep are, take a good deal less time so than one after the other. Each comes to what it comes
 * to by itself, to the last bit: results[i] and outcomes[i] are those of run_scenario for scenarios[i]. */
#define RUNS_ABREAST 8 /* beyond it nothing more is saved */
void run_scenarios(const struct scenario *const scenarios[], const struct run_options *options, struct result results[],
                   struct status outcomes[], size_t count);

/* ---- a stretch at a time ---------------------------------------------------------------------------------------- */

/* The same for those who decide on the way what is done next, as people do who queue at several vats. */
struct run;

/* Opens a run at time 0; closed with run_close, also after a failure. `scenario`, `options` and `result` are borrowed
 * until then. */
struct status run_open(const struct scenario *scenario, const struct run_options *options, struct result *result,
                       struct run **run) MUST_USE;
/* Goes on to `time` (s since start; at most to the scenario's end), what is due then included. Ends early, without a
 * failure, when the stop flag is up. */
struct status run_until(struct run *run, double time) MUST_USE;
/* Event number `event` of the scenario happens at `time`, not before now, besides what its timing says. */
struct status run_put(struct run *run, int event, double time) MUST_USE;

/* As run_until, but what is put in afterwards at that very time still happens at it: the row of the series that may be due
 * then is recorded when the run goes on. A run that pauses at the times of its scenario's events does what a run without
 * pauses does, to the last bit. */
struct status run_pause(struct run *run, double time) MUST_USE;

/* ---- taking back ------------------------------------------------------------------------------------------------ */

/* Where a run stands, to return to. Of one run; freed before or after it. Marks are made at a pause. */
struct run_mark;
struct status run_mark(const struct run *run, struct run_mark **mark) MUST_USE; /* STATUS_MEMORY */
/* The run stands again where the mark was made, and its result holds what it held then: rows recorded since are dropped. A mark
 * made later than where the run has been since, as after going further back, is returned to only if the run went back for
 * run_aside. Of the scenario, the events that
 * were there then are still there; those added since may have gone. Any number of times, from any later state. */
void run_return(struct run *run, const struct run_mark *mark);
void run_mark_free(struct run_mark *mark); /* takes NULL */

/* What the run does from here on is written into `aside` (initialised here, freed by the caller) until it returns to a mark made
 * before: for looking into what has been without touching its record. STATUS_MEMORY. */
struct status run_aside(struct run *run, struct result *aside) MUST_USE;

/* Fills the result as if the run were closed now; for reading, then run_return to a mark made before. */
struct status run_fill(struct run *run) MUST_USE;

/* ---- looking ---------------------------------------------------------------------------------------------------- */

/* A row of the series as of now: SERIES_COUNT values; those that are not wanted may be NAN. */
void run_row(const struct run *run, double *row);

/* How the vat stands. */
struct run_stand {
    enum lid_kind lid;
    enum wrap_kind wrap;
    int place;             /* index into scenario.places */
    double heater_power;   /* W; 0: off */
    double heater_to_K;    /* set point still to be reached, or held; 0: none */
    bool is_warming;       /* it is still to be reached */
    double capacity;       /* m3 to the brim */
    double last_dip_end;   /* s; minus infinity: never */
    bool ferments;         /* cells live in it */
};
struct run_stand run_stand(const struct run *run);

/* A piece of cloth as one sees it now. */
struct run_piece {
    int kind, number;      /* number from 1 within its kind */
    double mass;           /* kg dry */
    int dips;
    bool busy, soaking, wet, rinsed;
    double yellow;         /* share of the dye on it that has still to turn blue */
    double owf;            /* kg/kg, all that is on it and in it, once blue */
    double owf_washed;     /* kg/kg that it is expected to keep */
};
size_t run_piece_count(const struct run *run);
struct run_piece run_piece(const struct run *run, size_t index);

/* What the vat is like now. */
struct run_look {
    double time;
    int state;            /* enum vat_state of sim/series.h */
    double leuco;         /* kg/m3, dissolved */
    double temperature_K;
    double ph;
    double volume;        /* m3 */
    double test_strip;    /* kg/kg that a cotton strip would keep after a standard dip */
};
struct run_look run_look(const struct run *run);

/* A piece of cloth out of the liquor of one run goes over to another of the same scenario, with the dye and the liquor
 * in it; in the indigo ledgers each vat keeps what is its own. STATUS_BUG when it is in the liquor, or no such piece. */
struct status run_hand_over(struct run *from, struct run *to, int kind, int number) MUST_USE;

/* Ends the run where it stands with this outcome so far, fills the result and frees the run, which may be NULL. */
struct status run_close(struct run *run, struct status outcome) MUST_USE;

#endif
