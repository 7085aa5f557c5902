/* ode_inside.h: what an integration holds. Private to src/sim/ode.c, which chooses the steps, and ode_rodas.c, which takes them,
 * and ode_quick.c, which saves some. */
#ifndef VATCAST_SIM_ODE_INSIDE_H
#define VATCAST_SIM_ODE_INSIDE_H

#include "sim/ode.h"
#include "sim/ode_system.h"

#define STAGES 6
#define DENSE_TERMS 2  /* of the dense output, beyond the straight line */
#define SYSTEMS_KEPT 4 /* cloth in or out, stirred or still */

/* What stands in the rows of a system, for numbers of one kind. */
#define ODE_ENTRIES_OF(number)                                                                                         \
    {                                                                                                                  \
        number *slopes, *lower, *upper; /* the derivatives of the rates, and the factors */                            \
        number *matrix;                 /* work of the elimination */                                                  \
        number *inverse;                /* of the pivots */                                                            \
    }

/* The stages of a step. */
#define ODE_STAGED_OF(number)                                                                                          \
    {                                                                                                                  \
        number h;          /* the length of the step */                                                                \
        number *x[STAGES]; /* n each, as many as there are variables: what each stage comes to, in variables */        \
        number *f[STAGES]; /* m each, as many as there are live rates: what each is worked out from */                 \
        number *sum;       /* n: of stages, in variables */                                                            \
        number *w;         /* m: of live rates */                                                                      \
    }
/* The coefficients of the method, as transformed in its authors' implementation. */
#define ODE_GAMMA 0.25
struct ode_method {
    double a[STAGES][STAGES]; /* how earlier stages make up the place of each ... */
    double c[STAGES][STAGES]; /* ... and enter its right-hand side */
    double time[STAGES];      /* of each stage, in steps */
    double by_time[STAGES];   /* weight of the derivatives by time */
    double whole[STAGES];     /* weights of the stages in a step ... */
    double last[STAGES];      /* ... in its error, which is the last of them ... */
    double dense[DENSE_TERMS][STAGES]; /* ... and in the terms of what lies between its ends */
};
extern const struct ode_method ode_rodas;

/* How the f and x of earlier stages enter the extents of each stage. */
struct ode_spread {
    double by[STAGES][STAGES];
};

struct ode_entries ODE_ENTRIES_OF(double);
struct ode_staged ODE_STAGED_OF(double);

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
    struct {
        double stop;  /* that it may not pass */
        double h;     /* its length */
        double error; /* that came out */
        bool last;    /* it ends at `stop` */
        bool failed;  /* nothing came out */
        int count;    /* of what was tried since the last step */
    } tried;             /* the step that is tried now */
    double *y, *y0;      /* n: now, and at the start of the last step */
    double *trial, *error; /* n */
    double *z, *z0;      /* m: extents */
    double *rates0;      /* m: rates at the start of the step being tried */
    double *by_time;     /* m */
    double *r;           /* m */
    double *extents;     /* live rates: of the step last tried */
    struct ode_staged staged; /* of it, unless it was tried in a lane */
    struct ode_spread spread;
    struct ode_curves *curves; /* owned */
    int sinks;           /* steps shortened for sinking below zero since the restart */
    double quick_from;   /* when what was quick at the restart began */
    double quick_over;   /* and when it is over; the same: there was none */
    double *quick;       /* m: its extents */
    double *quick_left;  /* m: work */
    double *shown, *shown_extents; /* n, m: the state as it is told, with what is quick still under way */
    bool rates_known;    /* rates0 and the derivatives belong to (t, y) */
    bool slopes_taken;   /* where they are, by the system */
    struct ode_statistics statistics;
    double *block;       /* owns all arrays */
};

/* What of the method is worked out once. */
void ode_rodas_set_up(struct ode *ode);
/* Rates and their derivatives at the start of a step, once per step. Returns non-zero when they cannot be had. */
int ode_rodas_prepare(struct ode *ode);
/* The derivatives where rates0 are known; the system has still to take its slopes from them. */
int ode_rodas_differentiate(struct ode *ode);
/* Tries a step of length h from (t, y). On success fills trial with the new state; `error` gets its norm. Returns non-zero when
 * the rates cannot be had, or no number comes out. */
int ode_rodas_attempt(struct ode *ode, double h, double *error);
/* Where the rates of stage s, from 1 on, are worked out: into `trial`, from `sum`, by how much it lies from where the step begins, in
 * variables; of each the first of `apart` numbers. */
void ode_rodas_place(struct ode *ode, int s, const double *sum, size_t apart);
/* At the end of a step tried, whose `trial` and `error` are known: the norm of the error. Returns non-zero when no number comes out. */
int ode_rodas_judge(const struct ode *ode, double *error);
/* At a restart: takes what is quick to its end at once, if so little else depends on its course that the tolerance lets it pass. */
void ode_quick_start(struct ode *ode);
/* Takes back from the states y (n) and, unless NULL, from the extents z (m) what of it is still to come at the time t. */
void ode_quick_take_back(const struct ode *ode, double t, double *y, double *z);
/* The root mean square of what `error` (n) is of the tolerance for states between y0 and y1. */
double ode_error_norm(const struct ode *ode, const double *error, const double *y0, const double *y1);
/* The states at the share s, 0 to 1, of the last step. */
void ode_rodas_between(const struct ode *ode, double s, double *y);

#endif
