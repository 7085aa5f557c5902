/* ode_system.h: the linear system of one step of the integrator, cut down to what the rates read. For src/sim/ode.c.
 *
 * The rates read the states y through variables x = C y: most variables are one state, some are a weighted sum of several, and a
 * state that no rate reads belongs to none. Then dr/dy = R C, and (I - h g S'R C) u = h g S'w becomes
 *
 *     (I/(h g) - C S' R) x = C S' w,   v = h g (w + R x),   u = S' v,   C u = x
 *
 * exactly: a system as large as the number of variables that live rates move, and the extents v come with it. Which entries can be
 * other than zero is known at a restart; only these are worked with. The elimination and the solves are in ode_algebra.h.
 */
#ifndef VATCAST_SIM_ODE_SYSTEM_H
#define VATCAST_SIM_ODE_SYSTEM_H

#include "sim/ode.h"

#include <stdint.h>

/* Rows of a sparse matrix, one after the other. */
struct ode_rows {
    int *start;          /* rows + 1 */
    int *column;
    double *coefficient;
};

struct ode_system {
    size_t states, rates;  /* n, m: of the problem */
    bool restarted;
    size_t live;           /* rates that can be other than zero */
    size_t variables;      /* that they move and read */
    size_t others;         /* moved states that are no variable by themselves */
    int *rate;             /* live: which rate of the problem */
    int *variable;         /* variables: the state that stands for each, in the order of elimination */
    int *single;           /* variables: the state that each is by itself, or -1 for a sum */
    int *other;            /* others: which state */
    struct ode_rows terms; /* S, a row per live rate, by state */
    struct ode_rows moves; /* C S', a row per variable, by live rate */
    struct ode_rows other_terms; /* S' for the others, a row per other, by live rate */
    struct ode_rows slopes; /* R, a row per live rate, by variable */
    int *slope_from;       /* where in by_state each of the slopes stands */
    size_t filled;         /* entries of C S' R that can be other than zero */
    int *place;            /* filled: where each stands in the matrix */
    size_t made;           /* entries that come with the elimination only */
    int *made_at;          /* made: where each stands in the matrix */
    struct ode_rows sums;  /* -C S' R: a row per entry, of the slopes that it sums, by their place in `slopes` */
    struct ode_rows lower, upper; /* the factors: by column below the diagonal, by row right of it */
    double *by_state;      /* m x variables: as the problem gives it */
    double *matrix;        /* variables x variables: the system; work of its elimination */
    double *inverse;       /* variables: of the pivots */
    double *weights;       /* n: of each state in its variable */
    int *marks;            /* work: 6 n */
    uint64_t pattern[ODE_STATES_MOST]; /* work: of the matrix, by row */
    int *integers;         /* own all arrays */
    double *numbers;
};

struct status ode_system_create(const struct ode_problem *problem, struct ode_system *system) MUST_USE;
void ode_system_free(struct ode_system *system);

/* Whether it was last restarted with the rates that are live now. */
bool ode_system_fits(const struct ode_system *system, const struct ode_problem *problem);

/* Finds which rates are live, which states they move and which variables they read, and in which order to eliminate these. */
void ode_system_restart(struct ode_system *system, const struct ode_problem *problem);

/* Takes over the derivatives in by_state. */
void ode_system_set_slopes(struct ode_system *system);

/* x = C S' w, and change = R x. */
void ode_system_read(const struct ode_system *system, const double *w, double *x);
void ode_system_follow(const struct ode_system *system, const double *x, double *change);

/* to (n) += S' extents. */
void ode_system_add_extents(const struct ode_system *system, const double *extents, double *to);

/* to (n) += u, where u is given by its variables and its extents. */
void ode_system_add(const struct ode_system *system, const double *x, const double *extents, double *to);

#endif
