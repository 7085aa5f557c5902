/* ode_quick.c: what an event sets going that is over in seconds: taken to its end at once, where the rest hardly notices.
 *
 * Steps short enough to follow it would cost as much as all that comes after. `quick` tells its extents as if the rest stood still.
 * What the rates of the rest differ by between its begin and its end lasts about 1/speed: so much more or less of them is added, and
 * must be less than the tolerance. The tighter that is, the less is taken this way. What is told of the first seconds is told as
 * it is, with what is still to come taken back.
 */
#include "sim/ode_inside.h"

#include <math.h>
#include <string.h>

#define WORTH_WHILE 0.01 /* of the tolerance: less is left to the steps */
#define REST_MOST 0.5    /* of it, where what the rest differs by is added: the error is of the next order */
#define UNADDED_MOST 0.1 /* where it would take an amount below zero, and is not */
#define DRIFT_MOST 0.003 /* of what is drawn on, in 1/speed */
#define OVER_AFTER 30.0  /* times 1/speed: 1e-13 is left */

/* to += S' extents, these for all rates. */
static void add_extents(const struct ode *ode, const double *extents, double *to)
{
    const struct ode_system *system = ode->system;
    for (size_t j = 0; j < system->live; j++) {
        ode->staged.w[j] = extents[system->rate[j]];
    }
    ode_system_add_extents(system, ode->staged.w, to);
}

/* What extents change, into `error`. */
static void find_change(struct ode *ode, const double *extents)
{
    memset(ode->error, 0, ode->problem.states * sizeof *ode->error);
    add_extents(ode, extents, ode->error);
}

/* Adds extents to those that are taken at once, and what they change, which stands in `error`, to `trial`. */
static void take(struct ode *ode, const double *extents)
{
    for (size_t i = 0; i < ode->problem.states; i++) {
        ode->trial[i] += ode->error[i];
    }
    for (size_t j = 0; j < ode->problem.rates; j++) {
        ode->quick[j] += extents[j];
    }
}

/* Whether what stands in `error` takes an amount of `from` below zero. */
static bool sinks_from(const struct ode *ode, const double *from)
{
    bool sinks = false;
    for (size_t i = 0; i < ode->problem.states; i++) {
        sinks = sinks || (ode->error[i] < 0.0 && from[i] + ode->error[i] < 0.0);
    }
    return sinks;
}

/* Goes on from `trial`, where the rates are r, by what is quick. Returns its speed; 0: there is nothing, or it would take an amount
 * below zero. */
static double follow(struct ode *ode, bool again)
{
    memset(ode->quick_left, 0, ode->problem.rates * sizeof *ode->quick_left);
    double speed = ode->problem.quick(ode->problem.context, ode->t, ode->trial, ode->r, again, ode->quick_left);
    if (!(speed > 0.0)) {
        return 0.0;
    }
    find_change(ode, ode->quick_left);
    if (sinks_from(ode, ode->trial)) {
        return 0.0;
    }
    take(ode, ode->quick_left);
    return speed;
}

/* The rates r at `trial`. */
static bool evaluate(struct ode *ode)
{
    ode->statistics.evaluations++;
    return ode->problem.evaluate(ode->problem.context, ode->t, ode->trial, ode->r) == 0;
}

/* Whether what the rest does otherwise meanwhile is little; adds it. */
static bool follow_rest(struct ode *ode, double speed)
{
    double *rest = ode->quick_left;
    for (size_t j = 0; j < ode->problem.rates; j++) {
        const bool is_quick = ode->quick[j] > 0.0 || ode->quick[j] < 0.0;
        rest[j] = is_quick ? 0.0 : (ode->rates0[j] - ode->r[j]) / speed;
    }
    find_change(ode, rest);
    const double size = ode_error_norm(ode, ode->error, ode->y, ode->trial);
    if (sinks_from(ode, ode->trial) || sinks_from(ode, ode->y)) {
        return size <= UNADDED_MOST;
    }
    take(ode, rest);
    return size <= REST_MOST;
}

/* Whether what the quick part draws on stays as it is while that lasts: at `trial`, where it is nearly at its end and the rates are r.
 * Held against the later tolerances at all times: what is quick itself still moves a little here. */
static bool stands_still(struct ode *ode, double speed)
{
    double now[ODE_STATES_MOST] = {0.0};
    add_extents(ode, ode->r, now);
    find_change(ode, ode->quick);
    bool still = true;
    for (size_t i = 0; i < ode->problem.states; i++) {
        const bool is_drawn_on = ode->error[i] < 0.0;
        still =
            still && (!is_drawn_on || fabs(now[i]) <= speed * (DRIFT_MOST * fabs(ode->trial[i]) + ode->absolute[i]));
    }
    return still;
}

void ode_quick_start(struct ode *ode)
{
    const struct ode_problem *problem = &ode->problem;
    ode->quick_from = ode->quick_over = ode->t;
    memcpy(ode->trial, ode->y, problem->states * sizeof *ode->trial);
    memset(ode->quick, 0, problem->rates * sizeof *ode->quick);
    if (problem->quick == NULL || !evaluate(ode)) {
        return;
    }
    memcpy(ode->rates0, ode->r, problem->rates * sizeof *ode->rates0);
    const double speed = follow(ode, false);
    if (!(speed > 0.0) || ode_error_norm(ode, ode->error, ode->y, ode->trial) < WORTH_WHILE || !evaluate(ode) ||
        !stands_still(ode, speed) || !follow_rest(ode, speed) || !evaluate(ode) || !(follow(ode, true) > 0.0)) {
        return;
    }
    memcpy(ode->y, ode->trial, problem->states * sizeof *ode->y);
    memcpy(ode->z, ode->quick, problem->rates * sizeof *ode->z);
    ode->quick_over = ode->t + OVER_AFTER / speed;
}

void ode_quick_take_back(const struct ode *ode, double t, double *y, double *z)
{
    const struct ode_problem *problem = &ode->problem;
    double *left = ode->quick_left;
    memset(left, 0, problem->rates * sizeof *left);
    problem->quick_to_come(problem->context, t - ode->quick_from, left);
    for (size_t j = 0; j < problem->rates; j++) {
        left[j] = -left[j];
        if (z != NULL) {
            z[j] += left[j];
        }
    }
    add_extents(ode, left, y);
}
