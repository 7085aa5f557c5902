/* ode_inside.h: what an integration holds. Private to src/sim/ode.c, which chooses the steps, and ode_rodas.c, which takes them,
 * and ode_quick.c, which saves some. */
#ifndef VATCAST_SIM_ODE_INSIDE_H
#define VATCAST_SIM_ODE_INSIDE_H

#include "sim/ode.h"
#include "sim/ode_system.h"

#define STAGES 6
#define DENSE_TERMS 2  /* of the dense output, beyond the straight line */
#define SYSTEMS_KEPT 4 /* cloth in or out, stirred or still */

/* What the states do between the ends of the last step, worked out when first asked for: s (1 - s) times a polynomial in s is what
 * lies beside the straight line. */
struct ode_curves {
    bool known; /* of the step last tried */
    double term[DENSE_TERMS][ODE_STATES_MOST]; /* n each: the coefficients of 1, s, s^2 ... */
};

struct ode {
    struct ode_problem problem;
    struct ode_system systems[SYSTEMS_KEPT]; /* of the last sets of live rates */
    struct ode_system *system;               /* the one at work */
    size_t oldest;
    double relative;
    double *absolute, *early_absolute; /* n */
    double t, t0;        /* now, and where the last step began */
    double longest;
    double next_step;
    double last_step, last_error; /* of the step before in this leg; 0: none */
    double *y, *y0;      /* n: now, and at the start of the last step */
    double *trial, *error; /* n */
    double *z, *z0;      /* m: extents */
    double *rates0;      /* m: rates at the start of the step being tried */
    double *by_time;     /* m */
    double *r;           /* m */
    double *w, *extents; /* live rates */
    double *x[STAGES];   /* n each, as many as there are variables: the stages in variables */
    double *f[STAGES];   /* m each, as many as there are live rates: the rates that each stage is worked out from */
    double spread[STAGES][STAGES]; /* how the f and x of earlier stages enter the extents of each */
    double h;            /* of the step last tried, which x and f belong to */
    double *sum;         /* n: of stages, in variables */
    struct ode_curves *curves; /* owned */
    int sinks;           /* steps shortened for sinking below zero since the restart */
    double quick_from;   /* when what was quick at the restart began */
    double quick_over;   /* and when it is over; the same: there was none */
    double *quick;       /* m: its extents */
    double *quick_left;  /* m: work */
    double *shown, *shown_extents; /* n, m: the state as it is told, with what is quick still under way */
    bool rates_known;    /* rates0 and the derivatives belong to (t, y) */
    struct ode_statistics statistics;
    double *block;       /* owns all arrays */
};

/* What of the method is worked out once. */
void ode_rodas_set_up(struct ode *ode);
/* Rates and their derivatives at the start of a step, once per step. Returns non-zero when they cannot be had. */
int ode_rodas_prepare(struct ode *ode);
/* Tries a step of length h from (t, y). On success fills trial with the new state; `error` gets its norm. Returns non-zero when
 * the rates cannot be had, or no number comes out. */
int ode_rodas_attempt(struct ode *ode, double h, double *error);
/* At a restart: takes what is quick to its end at once, if so little else depends on its course that the tolerance lets it pass. */
void ode_quick_start(struct ode *ode);
/* Takes back from the states y (n) and, unless NULL, from the extents z (m) what of it is still to come at the time t. */
void ode_quick_take_back(const struct ode *ode, double t, double *y, double *z);
/* The root mean square of what `error` (n) is of the tolerance for states between y0 and y1. */
double ode_error_norm(const struct ode *ode, const double *error, const double *y0, const double *y1);
/* The states at the share s, 0 to 1, of the last step. */
void ode_rodas_between(const struct ode *ode, double s, double *y);

#endif
