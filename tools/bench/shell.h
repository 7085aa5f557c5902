/* shell.h: the common half of the integrators from outside: takes the place of src/sim/ode.c behind the interface of
 * src/sim/ode.h, so that legs, events, guards, recording and ledgers are the program's own. One method (cvode.c,
 * msbdf.c, arkode.c) is linked with it.
 *
 * A method sees only the states that a live rate moves, packed side by side, as the program's own integrator does.
 */
#ifndef VATCAST_BENCH_SHELL_H
#define VATCAST_BENCH_SHELL_H

#include "sim/ode.h"

struct ode {
    struct ode_problem problem;
    double relative;
    double *absolute;  /* n */
    double *y, *trial; /* n: now, and what the rates are evaluated at */
    double *z, *z0;    /* m: extents now, and when the method last began */
    double *rates;     /* m */
    double *packed;    /* n: room for a method's own use */
    int *states;       /* those that a live rate moves, in order */
    int *place;        /* n: index in `states`, or -1 */
    size_t live;       /* how many */
    bool *rate_live;   /* m */
    bool extents;      /* whether the extents are wanted; without them the ledgers stay empty */
    bool begun;        /* the method's last step is there to be looked into */
    bool anew;         /* the next step begins from y, whatever the method has */
    double t, t0, longest;
    double stop;                  /* that the step to be tried may not pass */
    struct status outcome;        /* of the step tried last */
    struct ode_statistics before; /* of what a method counted before it last began */
    double evaluations;
    void *method; /* of the method, made by method_create */
};

/* d/dt of the packed states. Returns 0; positive: cannot be had here, try a smaller step. */
int shell_derivative(struct ode *ode, double t, const double *packed, double *derivative);
/* All m rates at packed states. Returns as shell_derivative. */
int shell_rates(struct ode *ode, double t, const double *packed, double *rates);
void shell_pack(const struct ode *ode, const double *full, double *packed);
void shell_unpack(const struct ode *ode, const double *packed, double *full);

/* ---- what a method gives ------------------------------------------------------------------------------------- */

/* Makes ode->method. Returns 0, else there is no memory. */
int method_create(struct ode *ode);
void method_free(struct ode *ode);
/* Starts anew from ode->t and ode->y, with ode->live states, none of its steps longer than ode->longest. Returns 0. */
int method_begin(struct ode *ode);
/* One step, not past `stop`: fills ode->y, ode->z when extents are wanted, and returns the time; NAN on failure. */
double method_step(struct ode *ode, double stop);
/* Packed states inside the last step, and the extents since the method began; either may be NULL. */
void method_between(struct ode *ode, double t, double *packed, double *extents);
/* Counts since the method last began; evaluations are counted by the shell. */
struct ode_statistics method_counts(const struct ode *ode);

#endif
