/* problem.h: small problems for the tests of the integrator. */
#ifndef VATCAST_TESTS_SIM_PROBLEM_H
#define VATCAST_TESTS_SIM_PROBLEM_H

#include "sim/ode.h"

#include <stdbool.h>

#define MOST 8

/* A problem for a test: rates by a function, derivatives by differences or by hand, stoichiometry as a table. */
struct trial {
    void (*rates)(double t, const double *y, double *r);
    size_t states, count;
    struct ode_term terms[MOST][4];
    double typical;      /* size of a state, for the differences */
    double broken_after; /* s; the second rate is NaN from then on */
    bool refuse;         /* and says so, rather than handing the NaN on */
    bool dead[MOST];     /* rates that stay zero */
    const double *below; /* as in struct ode_problem, and so are these */
    double early, early_relative;
    const double *early_absolute;
    double (*quick)(void *context, double t, const double *y, const double *r, bool again, double *extents);
    void (*quick_to_come)(void *context, double elapsed, double *extents);
    int calls;
};

/* An integrator for it, with one absolute tolerance for all states. Free with ode_free. */
struct ode *problem_ode(struct trial *trial, double relative, double absolute);
/* The same with a tolerance for each. */
struct ode *problem_ode_with(struct trial *trial, double relative, const double *absolute);

/* Fails the test, with its message, unless the status is a success. */
void ok(struct status status);
/* Steps to the stop, which must be met exactly. */
void advance(struct ode *ode, double stop);

/* Robertson 1966: A -> B, 2B -> B + C, B + C -> A + C, as three reactions with their stoichiometry. */
struct trial robertson(void);

#endif
