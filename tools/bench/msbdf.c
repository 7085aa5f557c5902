/* msbdf.c: the BDF method of the GNU Scientific Library behind shell.h: variable order 1 to 5 with free steps. The
 * library gives neither a Jacobian (forward differences here) nor dense output (cubic Hermite between the ends of a
 * step here, from derivatives that the method has anyway). Extents are not carried: ledgers stay empty. */
#include "shell.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_odeiv2.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define DIFFERENCE 1e-7 /* relative */

struct msbdf {
    gsl_odeiv2_driver **drivers; /* n + 1, by the number of live states, made when first wanted */
    gsl_odeiv2_system *systems;  /* n + 1 */
    gsl_odeiv2_driver *now;
    double *y, *y0, *f0, *f1, *trial; /* n each */
    double step, t0, t1;
    double steps, jacobians;
};

static int derivative(double t, const double *y, double *out, void *ode)
{
    return shell_derivative(ode, t, y, out) == 0 ? GSL_SUCCESS : GSL_EDOM;
}

static int jacobian(double t, const double *y, double *by_state, double *by_time, void *context)
{
    struct ode *ode = context;
    struct msbdf *own = ode->method;
    size_t n = ode->live;
    double *moved = own->trial;
    double *base = moved + n, *column = base + n;
    own->jacobians++;
    memcpy(moved, y, n * sizeof *moved);
    if (shell_derivative(ode, t, y, base) != 0) {
        return GSL_EFAILED;
    }
    for (size_t i = 0; i < n; i++) {
        double typical = ode->absolute[ode->states[i]] / ode->relative;
        moved[i] = y[i] + DIFFERENCE * fmax(fabs(y[i]), typical);
        double by = moved[i] - y[i];
        if (shell_derivative(ode, t, moved, column) != 0) {
            return GSL_EFAILED;
        }
        for (size_t k = 0; k < n; k++) {
            by_state[k * n + i] = (column[k] - base[k]) / by;
        }
        moved[i] = y[i];
    }
    memset(by_time, 0, n * sizeof *by_time); /* the method does not use it */
    return GSL_SUCCESS;
}

int method_create(struct ode *ode)
{
    size_t n = ode->problem.states;
    struct msbdf *own = ode->method = calloc(1, sizeof *own);
    if (own == NULL) {
        return 1;
    }
    own->drivers = calloc(n + 1, sizeof *own->drivers);
    own->systems = calloc(n + 1, sizeof *own->systems);
    own->y = calloc(7 * n, sizeof *own->y);
    own->y0 = own->y + n;
    own->f0 = own->y + 2 * n;
    own->f1 = own->y + 3 * n;
    own->trial = own->y + 4 * n; /* and two more */
    return own->drivers == NULL || own->systems == NULL || own->y == NULL;
}

void method_free(struct ode *ode)
{
    struct msbdf *own = ode->method;
    for (size_t i = 0; own->drivers != NULL && i <= ode->problem.states; i++) {
        if (own->drivers[i] != NULL) {
            gsl_odeiv2_driver_free(own->drivers[i]);
        }
    }
    free(own->drivers);
    free(own->systems);
    free(own->y);
    free(own);
}

int method_begin(struct ode *ode)
{
    struct msbdf *own = ode->method;
    size_t n = ode->live;
    own->steps = own->jacobians = 0.0;
    own->step = 1e-3;
    if (own->drivers[n] != NULL) {
        gsl_odeiv2_driver_free(own->drivers[n]); /* the tolerances belong to these states */
    }
    own->systems[n] = (gsl_odeiv2_system){derivative, jacobian, n, ode};
    shell_pack(ode, ode->absolute, own->trial);
    for (size_t a = 0; a < n; a++) {
        own->trial[a] /= ode->relative;
    }
    own->now = own->drivers[n] = gsl_odeiv2_driver_alloc_scaled_new(&own->systems[n], gsl_odeiv2_step_msbdf, own->step,
                                                                    ode->relative, ode->relative, 1.0, 0.0, own->trial);
    shell_pack(ode, ode->y, own->y);
    own->t1 = ode->t;
    return own->now == NULL;
}

double method_step(struct ode *ode, double stop)
{
    struct msbdf *own = ode->method;
    double t = ode->t;
    memcpy(own->y0, own->y, ode->live * sizeof *own->y);
    if (ode->longest > 0.0) {
        own->step = fmin(own->step, ode->longest);
    }
    if (gsl_odeiv2_evolve_apply(own->now->e, own->now->c, own->now->s, own->now->sys, &t, stop, &own->step, own->y) !=
        GSL_SUCCESS) {
        return NAN;
    }
    memcpy(own->f0, own->now->e->dydt_in, ode->live * sizeof *own->f0);
    memcpy(own->f1, own->now->e->dydt_out, ode->live * sizeof *own->f1);
    own->t0 = ode->t;
    own->t1 = t;
    own->steps++;
    shell_unpack(ode, own->y, ode->y);
    return t;
}

void method_between(struct ode *ode, double t, double *packed, double *extents)
{
    const struct msbdf *own = ode->method;
    double h = own->t1 - own->t0;
    double s = (t - own->t0) / h;
    for (size_t a = 0; packed != NULL && a < ode->live; a++) {
        double rise = own->y[a] - own->y0[a];
        packed[a] =
            own->y0[a] + s * (rise + (1.0 - s) * ((1.0 - s) * (h * own->f0[a] - rise) - s * (h * own->f1[a] - rise)));
    }
    for (size_t j = 0; extents != NULL && j < ode->problem.rates; j++) {
        extents[j] = 0.0;
    }
}

struct ode_statistics method_counts(const struct ode *ode)
{
    const struct msbdf *own = ode->method;
    return (struct ode_statistics){.steps = own->steps,
                                   .rejected = (double)own->now->e->failed_steps,
                                   .jacobians = own->jacobians,
                                   .factorisations = NAN};
}
