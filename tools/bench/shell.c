/* shell.c: see shell.h. */
#include "shell.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct status ode_create(const struct ode_problem *problem, double relative, const double *absolute, struct ode **out)
{
    size_t n = problem->states;
    size_t m = problem->rates;
    const char *extents = getenv("VATCAST_BENCH_EXTENTS");
    struct ode *ode = calloc(1, sizeof *ode);
    if (ode == NULL) {
        return status_fail(STATUS_MEMORY, "no memory for the integrator");
    }
    ode->problem = *problem;
    ode->relative = relative;
    ode->extents = extents == NULL || strcmp(extents, "0") != 0;
    ode->states = calloc(2 * n, sizeof *ode->states);
    ode->rate_live = calloc(m, sizeof *ode->rate_live);
    double *block = ode->absolute = calloc(4 * n + 3 * m, sizeof *block);
    if (ode->states == NULL || ode->rate_live == NULL || block == NULL || method_create(ode) != 0) {
        ode_free(ode);
        return status_fail(STATUS_MEMORY, "no memory for the integrator");
    }
    ode->place = ode->states + n;
    ode->y = block + n;
    ode->trial = block + 2 * n;
    ode->packed = block + 3 * n;
    ode->z = block + 4 * n;
    ode->z0 = ode->z + m;
    ode->rates = ode->z + 2 * m;
    memcpy(ode->absolute, absolute, n * sizeof *absolute);
    *out = ode;
    return status_ok();
}

void ode_free(struct ode *ode)
{
    if (ode == NULL) {
        return;
    }
    if (ode->method != NULL) {
        method_free(ode);
    }
    free(ode->states);
    free(ode->rate_live);
    free(ode->absolute);
    free(ode);
}

static void add_counts(struct ode_statistics *to, struct ode_statistics more)
{
    to->steps += more.steps;
    to->rejected += more.rejected;
    to->jacobians += more.jacobians;
    to->factorisations += more.factorisations;
}

static void find_live(struct ode *ode)
{
    for (size_t i = 0; i < ode->problem.states; i++) {
        ode->place[i] = -1;
    }
    for (size_t j = 0; j < ode->problem.rates; j++) {
        ode->rate_live[j] = ode->problem.is_live == NULL || ode->problem.is_live(ode->problem.context, j);
        const struct ode_term *term = ode->problem.terms(ode->problem.context, j);
        for (; ode->rate_live[j] && term->state >= 0; term++) {
            ode->place[term->state] = 0;
        }
    }
    ode->live = 0;
    for (size_t i = 0; i < ode->problem.states; i++) {
        if (ode->place[i] == 0) {
            ode->place[i] = (int)ode->live;
            ode->states[ode->live++] = (int)i;
        }
    }
}

struct status ode_restart(struct ode *ode, double t, const double *y, double longest)
{
    if (ode->begun) {
        add_counts(&ode->before, method_counts(ode));
    }
    ode->begun = false;
    ode->anew = true;
    ode->t = ode->t0 = t;
    ode->longest = longest;
    memmove(ode->y, y, ode->problem.states * sizeof *y);
    memset(ode->z, 0, ode->problem.rates * sizeof *ode->z);
    find_live(ode);
    return status_ok();
}

/* The method goes on as well; what it has counted so far is taken off again. */
/* NOLINTNEXTLINE(readability-redundant-declaration): the frozen commit's interface has none */
void ode_go_on(struct ode *ode);
void ode_go_on(struct ode *ode)
{
    for (size_t j = 0; j < ode->problem.rates; j++) {
        ode->z0[j] -= ode->z[j];
        ode->z[j] = 0.0;
    }
}

struct status ode_step(struct ode *ode, double stop)
{
    ode->t0 = ode->t;
    if (ode->live == 0) {
        ode->t = stop;
        return status_ok();
    }
    if (ode->anew) {
        if (ode->begun) {
            add_counts(&ode->before, method_counts(ode));
        }
        memcpy(ode->z0, ode->z, ode->problem.rates * sizeof *ode->z);
        if (method_begin(ode) != 0) {
            return status_fail(STATUS_NUMERIC, "the integrator from outside cannot begin at %.6g s", ode->t);
        }
        ode->begun = true;
        ode->anew = false;
    }
    double reached = method_step(ode, stop);
    if (!(reached > ode->t0)) {
        char text[STATUS_MESSAGE_SIZE / 2] = "";
        ode->problem.explain(ode->problem.context, ode->t, ode->y, text, sizeof text);
        return status_fail(STATUS_NUMERIC, "the integrator from outside stopped at %.6g s: %s", ode->t, text);
    }
    ode->t = reached;
    return status_ok();
}

/* Tries are not seen from here: each step is taken when it is tried. The frozen commit's interface has only ode_step. */
/* NOLINTBEGIN(readability-redundant-declaration) */
void ode_begin_step(struct ode *ode, double stop);
void ode_try_step(struct ode *ode);
struct status ode_end_step(struct ode *ode, bool *taken);
/* NOLINTEND(readability-redundant-declaration) */

void ode_begin_step(struct ode *ode, double stop)
{
    ode->stop = stop;
}

void ode_try_step(struct ode *ode)
{
    ode->outcome = ode_step(ode, ode->stop);
}

struct status ode_end_step(struct ode *ode, bool *taken)
{
    *taken = status_is_ok(&ode->outcome);
    return ode->outcome;
}

/* The state at `t` is taken from the dense output; a further step starts anew from there. */
struct status ode_step_again(struct ode *ode, double t)
{
    method_between(ode, t, ode->packed, ode->extents ? ode->rates : NULL);
    shell_unpack(ode, ode->packed, ode->y);
    for (size_t j = 0; ode->extents && j < ode->problem.rates; j++) {
        ode->z[j] = ode->z0[j] + ode->rates[j];
    }
    ode->anew = true;
    ode->t = t;
    return status_ok();
}

double ode_time(const struct ode *ode)
{
    return ode->t;
}

bool ode_is_quick(const struct ode *ode)
{
    (void)ode; /* all is followed by steps */
    return false;
}

const double *ode_state(const struct ode *ode)
{
    return ode->y;
}

const double *ode_extents(const struct ode *ode)
{
    return ode->z;
}

double ode_step_start(const struct ode *ode)
{
    return ode->t0;
}

void ode_interpolate(const struct ode *ode, double t, double *y)
{
    memcpy(y, ode->y, ode->problem.states * sizeof *y);
    if (ode->begun && t < ode->t) {
        method_between((struct ode *)ode, t, ode->packed, NULL);
        shell_unpack(ode, ode->packed, y);
    }
}

struct ode_statistics ode_statistics_of(const struct ode *ode)
{
    struct ode_statistics sum = ode->before;
    if (ode->begun) {
        add_counts(&sum, method_counts(ode));
    }
    sum.evaluations = ode->evaluations;
    return sum;
}

/* ---- for a method ------------------------------------------------------------------------------------------------ */

void shell_pack(const struct ode *ode, const double *full, double *packed)
{
    for (size_t a = 0; a < ode->live; a++) {
        packed[a] = full[ode->states[a]];
    }
}

void shell_unpack(const struct ode *ode, const double *packed, double *full)
{
    for (size_t a = 0; a < ode->live; a++) {
        full[ode->states[a]] = packed[a];
    }
}

int shell_rates(struct ode *ode, double t, const double *packed, double *rates)
{
    memcpy(ode->trial, ode->y, ode->problem.states * sizeof *ode->trial); /* the states that stand still */
    shell_unpack(ode, packed, ode->trial);
    ode->evaluations++;
    return ode->problem.evaluate(ode->problem.context, t, ode->trial, rates) != 0 ? 1 : 0;
}

int shell_derivative(struct ode *ode, double t, const double *packed, double *derivative)
{
    if (shell_rates(ode, t, packed, ode->rates) != 0) {
        return 1;
    }
    memset(derivative, 0, ode->live * sizeof *derivative);
    for (size_t j = 0; j < ode->problem.rates; j++) {
        if (!ode->rate_live[j]) {
            continue;
        }
        for (const struct ode_term *term = ode->problem.terms(ode->problem.context, j); term->state >= 0; term++) {
            derivative[ode->place[term->state]] += term->coefficient * ode->rates[j];
        }
    }
    return 0;
}
