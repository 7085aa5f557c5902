/* ode.c: see ode.h. */
#include "sim/ode.h"

#include "sim/ode_inside.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define SAFETY 0.95
#define SHRINK_MOST 0.1
#define GROW_MOST 30.0
#define FORETOLD_MOST 6.0 /* growth, and below which step: found by trial */
#define FORETOLD_BELOW 300.0
#define ATTEMPTS_MOST 200
#define SINKS_MOST 8 /* times that steps are shortened for sinking below zero: they may only pass on what was there */
#define ERROR_OF_SINKING 16.0 /* that it counts as: about half of it is tried next */
#define FIRST_SHORTEST 1e-3   /* s */
#define FIRST_LONGEST 600.0
#define FIRST_MARGIN 4.0 /* found by trial: few first steps are rejected, few are needlessly short */

struct status ode_create(const struct ode_problem *problem, double relative, const double *absolute, struct ode **out)
{
    size_t n = problem->states;
    size_t m = problem->rates;
    struct ode *ode = calloc(1, sizeof *ode);
    if (ode == NULL) {
        return status_fail(STATUS_MEMORY, "no memory for the integrator");
    }
    ode->problem = *problem;
    ode->relative = relative;
    ode->block = calloc(n * (9 + STAGES) + m * (10 + STAGES), sizeof *ode->block);
    ode->curves = calloc(1, sizeof *ode->curves);
    struct status made = ode->block != NULL && ode->curves != NULL
                             ? status_ok()
                             : status_fail(STATUS_MEMORY, "no memory for the integrator");
    for (int i = 0; i < SYSTEMS_KEPT && status_is_ok(&made); i++) {
        made = ode_system_create(problem, &ode->systems[i]);
    }
    if (!status_is_ok(&made)) {
        ode_free(ode);
        return made;
    }
    ode->system = &ode->systems[0];
    double *next = ode->block;
    double **of_states[] = {&ode->absolute, &ode->early_absolute, &ode->y,          &ode->y0,
                            &ode->trial,    &ode->error,          &ode->staged.sum, &ode->shown};
    for (size_t i = 0; i < sizeof of_states / sizeof of_states[0]; i++, next += n) {
        *of_states[i] = next;
    }
    double **of_rates[] = {&ode->z,        &ode->z0,      &ode->rates0, &ode->by_time,    &ode->r,
                           &ode->staged.w, &ode->extents, &ode->quick,  &ode->quick_left, &ode->shown_extents};
    for (size_t i = 0; i < sizeof of_rates / sizeof of_rates[0]; i++, next += m) {
        *of_rates[i] = next;
    }
    for (int i = 0; i < STAGES; i++, next += n + m) {
        ode->staged.x[i] = next;
        ode->staged.f[i] = next + n;
    }
    memcpy(ode->absolute, absolute, n * sizeof *absolute);
    if (problem->early_absolute != NULL) {
        memcpy(ode->early_absolute, problem->early_absolute, n * sizeof *absolute);
    }
    if (problem->below != NULL) {
        ode->problem.below = memcpy(next, problem->below, n * sizeof *next);
    }
    ode_rodas_set_up(ode);
    *out = ode;
    return status_ok();
}

void ode_free(struct ode *ode)
{
    if (ode == NULL) {
        return;
    }
    for (int i = 0; i < SYSTEMS_KEPT; i++) {
        ode_system_free(&ode->systems[i]);
    }
    free(ode->block);
    free(ode->curves);
    free(ode);
}

static struct status not_finite(const struct ode *ode, double t, const double *y)
{
    char text[STATUS_MESSAGE_SIZE / 2] = "";
    ode->problem.explain(ode->problem.context, t, y, text, sizeof text);
    return status_fail(STATUS_NUMERIC, "the integration stopped at %.6g s: %s", t, text);
}

/* A first step for which the error of the embedded method, which goes as the fourth derivative of the states, is about what is
 * allowed. The derivatives are those of the problem linearised here. */
static double first_step(struct ode *ode)
{
    const struct ode_system *system = ode->system;
    double *x = ode->staged.x[0];
    double *change = ode->staged.w;
    for (size_t j = 0; j < system->live; j++) {
        change[j] = ode->rates0[system->rate[j]];
    }
    for (int order = 1; order < 4; order++) {
        ode_system_read(system, change, x);
        ode_system_follow(system, x, change);
        for (size_t j = 0; order == 1 && j < system->live; j++) {
            change[j] += ode->by_time[system->rate[j]];
        }
    }
    ode_system_read(system, change, x);
    memset(ode->error, 0, ode->problem.states * sizeof *ode->error);
    ode_system_add(system, x, change, ode->error);
    double fourth = ode_error_norm(ode, ode->error, ode->y, ode->y);
    double first = isfinite(fourth) && fourth > 0.0 ? FIRST_MARGIN * pow(fourth, -0.25) : FIRST_LONGEST;
    return fmin(fmax(first, FIRST_SHORTEST), FIRST_LONGEST);
}

/* The system of the rates that are live now: one that is kept, or in place of the oldest. */
static void choose_system(struct ode *ode)
{
    for (int i = 0; i < SYSTEMS_KEPT; i++) {
        if (ode_system_fits(&ode->systems[i], &ode->problem)) {
            ode->system = &ode->systems[i];
            return;
        }
    }
    ode->system = &ode->systems[ode->oldest];
    ode->oldest = (ode->oldest + 1) % SYSTEMS_KEPT;
    ode_system_restart(ode->system, &ode->problem);
}

/* The state and the extents as they are told, where they are not those that the steps go by. */
static void show(struct ode *ode)
{
    if (ode_is_quick(ode)) {
        memcpy(ode->shown, ode->y, ode->problem.states * sizeof *ode->shown);
        memcpy(ode->shown_extents, ode->z, ode->problem.rates * sizeof *ode->shown_extents);
        ode_quick_take_back(ode, ode->t, ode->shown, ode->shown_extents);
    }
}

struct status ode_restart(struct ode *ode, double t, const double *y, double longest)
{
    size_t n = ode->problem.states;
    choose_system(ode);
    ode->t = ode->t0 = t;
    ode->longest = longest;
    memmove(ode->y, y, n * sizeof *y);
    memset(ode->z, 0, ode->problem.rates * sizeof *ode->z);
    ode->rates_known = false;
    ode->sinks = 0;
    ode_quick_start(ode);
    memcpy(ode->y0, ode->y, n * sizeof *y);
    show(ode);
    if (ode_rodas_prepare(ode) != 0) {
        return not_finite(ode, t, ode->y);
    }
    ode->next_step = first_step(ode);
    ode->last_step = 0.0;
    return status_ok();
}

void ode_go_on(struct ode *ode)
{
    memset(ode->z, 0, ode->problem.rates * sizeof *ode->z);
}

/* Whether the step just tried takes a state further below zero than it may stand and did. */
static bool sinks_below_zero(const struct ode *ode)
{
    bool sinks = false;
    const double *below = ode->problem.below;
    for (size_t i = 0; below != NULL && i < ode->problem.states; i++) {
        sinks = sinks || (ode->trial[i] < -below[i] && ode->trial[i] < ode->y[i]);
    }
    return sinks;
}

/* Makes the step just tried the last step. */
static void accept(struct ode *ode, double h)
{
    const struct ode_system *system = ode->system;
    size_t n = ode->problem.states;
    memcpy(ode->y0, ode->y, n * sizeof *ode->y);
    memcpy(ode->z0, ode->z, ode->problem.rates * sizeof *ode->z);
    memcpy(ode->y, ode->trial, n * sizeof *ode->y);
    for (size_t j = 0; j < system->live; j++) {
        ode->z[system->rate[j]] += ode->extents[j];
    }
    ode->t0 = ode->t;
    ode->t += h;
    ode->rates_known = false;
    ode->statistics.steps++;
}

/* By how much a step may be longer than the one just accepted. While errors fall from step to step, as something fast dies
 * away, they are expected to go on falling (Gustafsson, ACM Trans. Math. Softw. 20, 496, 1994; he foretells rising errors too). */
static double growth(const struct ode *ode, double h, double error)
{
    double factor = SAFETY * pow(error, -0.25);
    if (ode->last_step > 0.0 && error < ode->last_error && h < FORETOLD_BELOW) {
        double foretold = factor * h / ode->last_step * pow(ode->last_error / error, 0.25);
        factor = fmax(factor, fmin(foretold, FORETOLD_MOST));
    }
    return fmin(fmax(factor, SHRINK_MOST), GROW_MOST);
}

/* How long the step is that is tried next. */
static void choose_length(struct ode *ode)
{
    const double reach = ode->tried.stop - ode->t;
    double h = ode->longest > 0.0 ? fmin(ode->next_step, ode->longest) : ode->next_step;
    ode->tried.last = h >= reach * (1.0 - 1e-9);
    if (ode->tried.last) {
        h = reach;
    } else if (h > 0.5 * reach) {
        h = 0.5 * reach; /* two even steps rather than a long one and a scrap */
    }
    ode->tried.h = h;
}

void ode_begin_step(struct ode *ode, double stop)
{
    ode->tried.stop = stop;
    ode->tried.count = 0;
    choose_length(ode);
}

void ode_try_step(struct ode *ode)
{
    ode->tried.failed = ode_rodas_attempt(ode, ode->tried.h, &ode->tried.error) != 0;
}

/* The step just tried was too long: one of the length `next` is tried next, if that may be. */
static struct status try_shorter(struct ode *ode, double next)
{
    const double shortest = 1e-13 * fmax(fabs(ode->tried.stop), 1.0);
    ode->statistics.rejected++;
    if (ode->tried.h <= shortest) {
        return not_finite(ode, ode->t, ode->y);
    }
    ode->next_step = next;
    if (++ode->tried.count >= ATTEMPTS_MOST) {
        return status_fail(STATUS_NUMERIC, "the integration made no headway at %.6g s after %d attempts", ode->t,
                           ATTEMPTS_MOST);
    }
    choose_length(ode);
    return status_ok();
}

struct status ode_end_step(struct ode *ode, bool *taken)
{
    const double h = ode->tried.h;
    double error = ode->tried.error;
    *taken = false;
    if (ode->tried.failed) {
        return try_shorter(ode, 0.2 * h);
    }
    if (error <= 1.0 && ode->sinks < SINKS_MOST && sinks_below_zero(ode)) {
        error = ERROR_OF_SINKING;
        ode->sinks++;
    }
    error = fmax(error, 1e-10);
    if (error > 1.0) {
        return try_shorter(ode, h * fmax(SAFETY * pow(error, -0.25), SHRINK_MOST));
    }
    accept(ode, h);
    if (ode->tried.last) {
        ode->t = ode->tried.stop;
    }
    show(ode);
    double factor = growth(ode, h, error);
    /* A step cut short by `stop` must not shrink the one after it. */
    ode->next_step =
        (ode->tried.last || h < ode->next_step) && factor >= 1.0 ? fmax(h * factor, ode->next_step) : h * factor;
    ode->last_step = h;
    ode->last_error = error;
    *taken = true;
    return status_ok();
}

struct status ode_step(struct ode *ode, double stop)
{
    bool taken = false;
    ode_begin_step(ode, stop);
    while (!taken) {
        ode_try_step(ode);
        RETURN_IF_FAILED(ode_end_step(ode, &taken));
    }
    return status_ok();
}

struct status ode_step_again(struct ode *ode, double t)
{
    double next = ode->next_step;
    ode->t = ode->t0;
    memcpy(ode->y, ode->y0, ode->problem.states * sizeof *ode->y);
    memcpy(ode->z, ode->z0, ode->problem.rates * sizeof *ode->z);
    ode->rates_known = false;
    double error = 0.0;
    double h = t - ode->t0;
    if (ode_rodas_attempt(ode, h, &error) != 0) {
        return not_finite(ode, ode->t, ode->y);
    }
    accept(ode, h);
    ode->t = t;
    show(ode);
    ode->next_step = next;
    return status_ok();
}

double ode_time(const struct ode *ode)
{
    return ode->t;
}

bool ode_is_quick(const struct ode *ode)
{
    return ode->t < ode->quick_over;
}

const double *ode_state(const struct ode *ode)
{
    return ode_is_quick(ode) ? ode->shown : ode->y;
}

const double *ode_extents(const struct ode *ode)
{
    return ode_is_quick(ode) ? ode->shown_extents : ode->z;
}

double ode_step_start(const struct ode *ode)
{
    return ode->t0;
}

void ode_interpolate(const struct ode *ode, double t, double *y)
{
    double span = ode->t - ode->t0;
    double s = span > 0.0 ? (t - ode->t0) / span : 1.0;
    if (s >= 1.0) {
        memcpy(y, ode_state(ode), ode->problem.states * sizeof *y);
        return;
    }
    ode_rodas_between(ode, s, y);
    if (t < ode->quick_over) {
        ode_quick_take_back(ode, t, y, NULL);
    }
}

struct ode_statistics ode_statistics_of(const struct ode *ode)
{
    return ode->statistics;
}

struct ode_place ode_place_of(const struct ode *ode)
{
    return (struct ode_place){ode->t,          ode->next_step, ode->last_step, ode->last_error,
                              ode->quick_over, ode->sinks,     ode->statistics};
}

void ode_take_back(struct ode *ode, const struct ode_place *place, const double *y)
{
    choose_system(ode);
    ode->t = ode->t0 = place->t;
    ode->next_step = place->next_step;
    ode->last_step = place->last_step;
    ode->last_error = place->last_error;
    ode->sinks = place->sinks;
    ode->statistics = place->statistics;
    memcpy(ode->y, y, ode->problem.states * sizeof *y);
    ode->rates_known = false;
    ode->quick_over = place->quick_over; /* if it is not over, a restart follows */
    memcpy(ode->shown, y, ode->problem.states * sizeof *y);
}
