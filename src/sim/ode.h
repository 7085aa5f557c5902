/* ode.h: the stiff integrator, behind one small interface.
 *
 * The problem is  dy/dt = S' r(t, y)  with m rates r and a constant stoichiometric matrix S (m x n), and at the same time the
 * extents  dz/dt = r. Every accepted step keeps  y(t1) = y(t0) + S' (z(t1) - z(t0))  to round-off, so what the table of
 * processes conserves is conserved by the integration.
 *
 * Method: RODAS, an L-stable Rosenbrock method of order 4(3) with 6 stages and dense output of order 3 (Hairer & Wanner,
 * Solving Ordinary Differential Equations II, 2nd ed. 1996, section IV.7 and VI.4). One step, no history: a restart after an event costs
 * nothing. Linear algebra on what the rates read (ode_system.h). What an event sets going that is over in
 * seconds is not followed by steps (ode_quick.c).
 */
#ifndef VATCAST_SIM_ODE_H
#define VATCAST_SIM_ODE_H

#include "base/lanes.h"
#include "base/status.h"

#include <stdbool.h>
#include <stddef.h>

struct ode;

struct ode_term {
    int state;
    double coefficient;
};

/* The rates r (m) of a problem at (t, y), asked for together with those of others. */
struct ode_asked {
    void *context; /* of its problem */
    double t;
    const double *y;
    double *r;
};

struct ode_problem {
    size_t states; /* n */
    size_t rates;  /* m */
    void *context;
    /* Rates at (t, y) into r[m]. Returns 0; positive: cannot be evaluated here, try a smaller step. */
    int (*evaluate)(void *context, double t, const double *y, double *r);
    /* The same for `count` problems at once, 1 to LANES, whose `evaluate_several` is this, on a processor that has `kind`: each comes to
     * what it comes to by itself, to the last bit. Into failures what `evaluate` returns. NULL: each is asked by itself. */
    void (*evaluate_several)(enum lanes_kind kind, const struct ode_asked asked[], int count, int failures[]);
    /* At (t, y), where the rates are r: d r / d y by the `count` states listed, into `by_state` (m x count, row by row), and
     * d r / d t into `by_time` (m). What a rate cannot depend on (see `reads`) need not be filled in. */
    int (*differentiate)(void *context, double t, const double *y, const double *r, const int *states, size_t count,
                         double *by_state, double *by_time);
    /* The terms of rate j; a state of -1 ends the list. */
    const struct ode_term *(*terms)(void *context, size_t rate);
    /* How the rates read the states; NULL: each by itself. The i-th entry says that state i enters the rates only as
     * `coefficient` times itself within the sum that state `state` stands for (which enters its own sum once); a state of -1: no
     * rate reads it. What is not read, or read only in sums, is left out of the linear algebra, exactly. */
    const struct ode_term *readings;
    /* The states that stand for what rate j can depend on; a -1 ends the list. NULL: each can depend on all. What it cannot is
     * left out of the work. */
    const int *(*reads)(void *context, size_t rate);
    /* Whether rate j can be other than zero until the next restart. NULL: all can. States that no such rate moves are left
     * out of the linear algebra. */
    bool (*is_live)(void *context, size_t rate);
    /* Before the time `early` the tolerance is `early_relative`, and `early_absolute` (n) for each state. NULL: as later. */
    double early, early_relative;
    const double *early_absolute;
    /* How far below zero each state may stand (n), where what it stands for has nothing below zero: less than an error that the
     * tolerance lets by. A step that takes one lower is shortened, and what is told between the ends of a step keeps to it when
     * they do. NULL: any may go anywhere. */
    const double *below;
    /* What runs its course in far less time than a step should take, by itself, as if all else stood still: its extents from
     * (t, y) to its end, where the rates r were evaluated last, into `extents` (m; zero for rates that have no part in it).
     * Returns how fast it nears its end, 1/s; 0: there is nothing of the kind. `again`: it has been brought near its end by what
     * was told before, and what is left of it is asked for. NULL: there never is. */
    double (*quick)(void *context, double t, const double *y, const double *r, bool again, double *extents);
    /* Of what `quick` told, not again: the extents (m) that are still to come `elapsed` seconds after its begin. */
    void (*quick_to_come)(void *context, double elapsed, double *extents);
    /* Says in words where a value that is not finite came from; writes into `text`. */
    void (*explain)(void *context, double t, const double *y, char *text, size_t size);
};

struct ode_statistics {
    double steps, rejected, evaluations, jacobians, factorisations;
};

/* Makes an integrator of up to ODE_STATES_MOST states. `absolute` holds n absolute tolerances, in the unit of each state. Errors:
 * STATUS_MEMORY, STATUS_LIMIT. */
#define ODE_STATES_MOST 64
struct status ode_create(const struct ode_problem *problem, double relative, const double *absolute,
                         struct ode **ode) MUST_USE;
void ode_free(struct ode *ode);

/* Starts anew at (t, y), after an event or a change of the rates. The extents start from zero. A first step is chosen;
 * `longest` caps all steps (0: no cap). */
struct status ode_restart(struct ode *ode, double t, const double *y, double longest) MUST_USE;

/* Whether what was quick at the restart has not run its course yet: the next leg is to begin by a restart. */
bool ode_is_quick(const struct ode *ode);

/* Begins the next leg where the last ended, neither state nor rates having changed: the extents start from zero again, the steps
 * go on as they were. */
void ode_go_on(struct ode *ode);

/* Takes one accepted step that does not pass `stop`. Errors: STATUS_NUMERIC with time, state and reason. */
struct status ode_step(struct ode *ode, double stop) MUST_USE;

/* The same in parts, for who does something else meanwhile: ode_begin_step, then ode_try_step and ode_end_step in turn until `taken`
 * says that a step was accepted. In place of ode_try_step, steps of several integrators may be tried at once (sim/ode_lanes.h). */
void ode_begin_step(struct ode *ode, double stop);
void ode_try_step(struct ode *ode);
struct status ode_end_step(struct ode *ode, bool *taken) MUST_USE;

/* Goes back to the start of the last step and takes it again to end exactly at `t`, a time inside it. */
struct status ode_step_again(struct ode *ode, double t) MUST_USE;

double ode_time(const struct ode *ode);
const double *ode_state(const struct ode *ode);   /* n values at ode_time */
const double *ode_extents(const struct ode *ode); /* m values since ode_restart or ode_go_on */
double ode_step_start(const struct ode *ode);     /* time at which the last step began */

/* State at a time inside the last step, by the dense output. */
void ode_interpolate(const struct ode *ode, double t, double *y);

struct ode_statistics ode_statistics_of(const struct ode *ode);

/* Where an integration stands between two legs, to be taken back to. */
struct ode_place {
    double t, next_step, last_step, last_error, quick_over;
    int sinks;
    struct ode_statistics statistics;
};
struct ode_place ode_place_of(const struct ode *ode);
/* Stands again where it stood with the states `y` (n, of ode_state then), also for an ode_go_on, with the same counts. What the
 * problem says of live rates must be what it said then. */
void ode_take_back(struct ode *ode, const struct ode_place *place, const double *y);

#endif
