/* ode.c: see ode.h. */
#include "sim/ode.h"

#include "sim/ode_system.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Coefficients of RODAS as transformed in its authors' implementation (Hairer & Wanner 1996). */
#define STAGES 6
#define GAMMA 0.25
static const double step_a[STAGES][STAGES] = {
    {0.0},
    {1.544},
    {0.9466785280815826, 0.2557011698983284},
    {3.314825187068521, 2.896124015972201, 0.9986419139977817},
    {1.221224509226641, 6.019134481288629, 12.53708332932087, -0.6878860361058950},
    {1.221224509226641, 6.019134481288629, 12.53708332932087, -0.6878860361058950, 1.0},
};
static const double step_c[STAGES][STAGES] = {
    {0.0},
    {-5.6688},
    {-2.430093356833875, -0.2063599157091915},
    {-0.1073529058151375, -9.594562251023355, -20.47028614809616},
    {7.496443313967647, -10.24680431464352, -33.99990352819905, 11.70890893206160},
    {8.083246795921522, -7.981132988064893, -31.52159432874371, 16.31930543123136, -6.058818238834054},
};
static const double stage_time[STAGES] = {0.0, 0.386, 0.21, 0.63, 1.0, 1.0};
static const double stage_by_time[STAGES] = {0.25, -0.1043, 0.1035, -0.03620000000000023, 0.0, 0.0};
static const double dense[2][STAGES] = {
    {10.12623508344586, -7.487995877610167, -34.80091861555747, -7.992771707568823, 1.025137723295662, 0.0},
    {-0.6762803392801253, 6.087714651680015, 16.43084320892478, 24.76722511418386, -6.594389125716872, 0.0},
};

#define SAFETY 0.9
#define SHRINK_MOST 0.1
#define GROW_MOST 30.0
#define ATTEMPTS_MOST 200
#define SYSTEMS_KEPT 4      /* cloth in or out, stirred or still */
#define FIRST_SHORTEST 1e-3 /* s */
#define FIRST_LONGEST 600.0
#define FIRST_MARGIN 4.0    /* found by trial: few first steps are rejected, few are needlessly short */

struct ode {
    struct ode_problem problem;
    struct ode_system systems[SYSTEMS_KEPT]; /* of the last sets of live rates */
    struct ode_system *system;               /* the one at work */
    size_t oldest;
    double relative;
    double *absolute;    /* n */
    double t, t0;        /* now, and where the last step began */
    double longest;
    double next_step;
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
    bool rates_known;    /* rates0 and the derivatives belong to (t, y) */
    struct ode_statistics statistics;
    double *block;       /* owns all arrays */
};

/* Stage i in extents is v_i = h g (f_i + sum of c_ij v_j / h + R x_i), so that v_i = h sum of spread_ij (f_j + R x_j). */
static void find_spread(struct ode *ode)
{
    for (int i = 0; i < STAGES; i++) {
        ode->spread[i][i] = GAMMA;
        for (int j = 0; j < i; j++) {
            for (int k = j; k < i; k++) {
                ode->spread[i][j] += GAMMA * step_c[i][k] * ode->spread[k][j];
            }
        }
    }
}

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
    ode->block = calloc(n * (6 + STAGES) + m * (7 + STAGES), sizeof *ode->block);
    struct status made = ode->block != NULL ? status_ok() : status_fail(STATUS_MEMORY, "no memory for the integrator");
    for (int i = 0; i < SYSTEMS_KEPT && status_is_ok(&made); i++) {
        made = ode_system_create(problem, &ode->systems[i]);
    }
    if (!status_is_ok(&made)) {
        ode_free(ode);
        return made;
    }
    ode->system = &ode->systems[0];
    double *next = ode->block;
    double **of_states[] = {&ode->absolute, &ode->y, &ode->y0, &ode->trial, &ode->error, &ode->sum};
    for (size_t i = 0; i < sizeof of_states / sizeof of_states[0]; i++, next += n) {
        *of_states[i] = next;
    }
    double **of_rates[] = {&ode->z, &ode->z0, &ode->rates0, &ode->by_time, &ode->r, &ode->w, &ode->extents};
    for (size_t i = 0; i < sizeof of_rates / sizeof of_rates[0]; i++, next += m) {
        *of_rates[i] = next;
    }
    for (int i = 0; i < STAGES; i++, next += n + m) {
        ode->x[i] = next;
        ode->f[i] = next + n;
    }
    memcpy(ode->absolute, absolute, n * sizeof *absolute);
    find_spread(ode);
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
    free(ode);
}

static double error_norm(const struct ode *ode, const double *error, const double *y0, const double *y1)
{
    double sum = 0.0;
    size_t n = ode->problem.states;
    for (size_t i = 0; i < n; i++) {
        double a = fabs(y0[i]);
        double b = fabs(y1[i]);
        double scaled = error[i] / (ode->absolute[i] + ode->relative * (a > b ? a : b));
        sum += scaled * scaled;
    }
    return sqrt(sum / (double)n);
}

static struct status not_finite(const struct ode *ode, double t, const double *y)
{
    char text[STATUS_MESSAGE_SIZE / 2] = "";
    ode->problem.explain(ode->problem.context, t, y, text, sizeof text);
    return status_fail(STATUS_NUMERIC, "the integration stopped at %.6g s: %s", t, text);
}

static bool all_finite(const double *values, size_t count)
{
    double sum = 0.0;
    for (size_t i = 0; i < count; i++) {
        sum += values[i] * 0.0;
    }
    return sum == 0.0;
}

/* Rates and their derivatives at the start of a step, once per step. Returns non-zero when they cannot be had. */
static int prepare(struct ode *ode)
{
    struct ode_system *system = ode->system;
    if (ode->rates_known) {
        return 0;
    }
    ode->statistics.evaluations++;
    if (ode->problem.evaluate(ode->problem.context, ode->t, ode->y, ode->rates0) != 0) {
        return 1;
    }
    ode->statistics.jacobians++;
    if (ode->problem.differentiate(ode->problem.context, ode->t, ode->y, ode->rates0, system->variable, system->variables,
                                   system->by_state, ode->by_time) != 0) {
        return 1;
    }
    ode_system_set_slopes(system);
    ode->rates_known = true;
    return 0;
}

/* A first step for which the error of the embedded method, which goes as the fourth derivative of the states, is about what is
 * allowed. The derivatives are those of the problem linearised here. */
static double first_step(struct ode *ode)
{
    const struct ode_system *system = ode->system;
    double *x = ode->x[0];
    double *change = ode->w;
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
    double fourth = error_norm(ode, ode->error, ode->y, ode->y);
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

struct status ode_restart(struct ode *ode, double t, const double *y, double longest)
{
    size_t n = ode->problem.states;
    choose_system(ode);
    ode->t = ode->t0 = t;
    ode->longest = longest;
    memmove(ode->y, y, n * sizeof *y);
    memcpy(ode->y0, ode->y, n * sizeof *y);
    memset(ode->z, 0, ode->problem.rates * sizeof *ode->z);
    ode->rates_known = false;
    if (prepare(ode) != 0) {
        return not_finite(ode, t, ode->y);
    }
    ode->next_step = first_step(ode);
    return status_ok();
}

/* sum += the first `count` vectors of `of`, each times its factor. */
static void add_multiples(double *sum, double *const *of, const double *factors, int count, size_t length)
{
    for (int i = 0; i < count; i++) {
        const double factor = factors[i];
        const double *restrict from = of[i];
        double *restrict to = sum;
        for (size_t k = 0; k < length; k++) {
            to[k] += factor * from[k];
        }
    }
}

/* The sum of the stages, each times its weight: in extents, from the rates and variables of the stages. */
static void sum_extents(const struct ode *ode, const double weights[STAGES], double *x, double *extents)
{
    const struct ode_system *system = ode->system;
    double factors[STAGES] = {0.0};
    for (int i = 0; i < STAGES; i++) {
        for (int j = 0; j <= i; j++) {
            factors[j] += ode->h * weights[i] * ode->spread[i][j];
        }
    }
    memset(x, 0, system->variables * sizeof *x);
    add_multiples(x, ode->x, factors, STAGES, system->variables);
    ode_system_follow(system, x, extents);
    add_multiples(extents, ode->f, factors, STAGES, system->live);
}

/* Where the rates of a stage are worked out, as far as they read it. */
static void stage_state(struct ode *ode, int s)
{
    const struct ode_system *system = ode->system;
    int first = s - 1; /* the last stage begins where the one before it ended */
    if (s < STAGES - 1) {
        memset(ode->sum, 0, system->variables * sizeof *ode->sum);
        memcpy(ode->trial, ode->y, ode->problem.states * sizeof *ode->trial);
        first = 0;
    }
    add_multiples(ode->sum, ode->x + first, step_a[s] + first, s - first, system->variables);
    for (size_t a = 0; a < system->variables; a++) {
        ode->trial[system->variable[a]] = ode->y[system->variable[a]] + ode->sum[a];
    }
}

/* One stage: solves for x in variables. Returns non-zero when the rates cannot be evaluated. */
static int stage(struct ode *ode, int s, double h)
{
    const struct ode_system *system = ode->system;
    const double *r = ode->rates0;
    if (s > 0) {
        stage_state(ode, s);
        ode->statistics.evaluations++;
        if (ode->problem.evaluate(ode->problem.context, ode->t + stage_time[s] * h, ode->trial, ode->r) != 0) {
            return 1;
        }
        r = ode->r;
    }
    double *f = ode->f[s];
    const double by_time = h * stage_by_time[s];
    for (size_t j = 0; j < system->live; j++) {
        f[j] = r[system->rate[j]] + by_time * ode->by_time[system->rate[j]];
    }
    double factors[STAGES];
    for (int i = 0; i < s; i++) {
        factors[i] = step_c[s][i] / h;
    }
    ode_system_read(system, f, ode->x[s]);
    add_multiples(ode->x[s], ode->x, factors, s, system->variables);
    ode_system_solve(system, ode->x[s]);
    return 0;
}

/* Tries a step of length h from (t, y). On success fills trial with the new state; `error` gets its norm. */
static int attempt(struct ode *ode, double h, double *error)
{
    const struct ode_system *system = ode->system;
    if (prepare(ode) != 0) {
        return 1;
    }
    ode->statistics.factorisations++;
    ode->h = h;
    if (ode_system_factorise(ode->system, 1.0 / (h * GAMMA)) != 0) {
        return 1;
    }
    for (int s = 0; s < STAGES; s++) {
        if (stage(ode, s, h) != 0) {
            return 1;
        }
    }
    /* The last stage is the embedded error; the sum of the extents gives the new state by the table of processes. */
    double all[STAGES], last[STAGES] = {0.0};
    memcpy(all, step_a[STAGES - 1], sizeof all); /* what the last stage began from, and the last stage */
    all[STAGES - 1] = last[STAGES - 1] = 1.0;
    size_t n = ode->problem.states;
    sum_extents(ode, all, ode->sum, ode->extents);
    memcpy(ode->trial, ode->y, n * sizeof *ode->trial);
    ode_system_add_extents(system, ode->extents, ode->trial);
    if (!all_finite(ode->trial, n)) {
        return 1;
    }
    memset(ode->error, 0, n * sizeof *ode->error);
    sum_extents(ode, last, ode->sum, ode->w);
    ode_system_add(system, ode->x[STAGES - 1], ode->w, ode->error);
    *error = error_norm(ode, ode->error, ode->y, ode->trial);
    return isfinite(*error) ? 0 : 1;
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

struct status ode_step(struct ode *ode, double stop)
{
    double reach = stop - ode->t;
    double shortest = 1e-13 * fmax(fabs(stop), 1.0);
    for (int tries = 0; tries < ATTEMPTS_MOST; tries++) {
        double h = ode->longest > 0.0 ? fmin(ode->next_step, ode->longest) : ode->next_step;
        bool last = h >= reach * (1.0 - 1e-9);
        if (last) {
            h = reach;
        } else if (h > 0.5 * reach) {
            h = 0.5 * reach; /* two even steps rather than a long one and a scrap */
        }
        double error = 0.0;
        if (attempt(ode, h, &error) != 0) {
            ode->statistics.rejected++;
            if (h <= shortest) {
                return not_finite(ode, ode->t, ode->y);
            }
            ode->next_step = 0.2 * h;
            continue;
        }
        double factor = SAFETY * pow(fmax(error, 1e-10), -0.25);
        if (error <= 1.0) {
            accept(ode, h);
            if (last) {
                ode->t = stop;
            }
            /* A step cut short by `stop` must not shrink the one after it. */
            double grown = h * fmin(fmax(factor, SHRINK_MOST), GROW_MOST);
            ode->next_step = last || h < ode->next_step ? fmax(grown, ode->next_step) : grown;
            if (factor < 1.0) {
                ode->next_step = h * factor;
            }
            return status_ok();
        }
        ode->statistics.rejected++;
        if (h <= shortest) {
            return not_finite(ode, ode->t, ode->y);
        }
        ode->next_step = h * fmax(factor, SHRINK_MOST);
    }
    return status_fail(STATUS_NUMERIC, "the integration made no headway at %.6g s after %d attempts", ode->t, ATTEMPTS_MOST);
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
    if (attempt(ode, h, &error) != 0) {
        return not_finite(ode, ode->t, ode->y);
    }
    accept(ode, h);
    ode->t = t;
    ode->next_step = next;
    return status_ok();
}

double ode_time(const struct ode *ode)
{
    return ode->t;
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
    const struct ode_system *system = ode->system;
    size_t n = ode->problem.states;
    double span = ode->t - ode->t0;
    double s = span > 0.0 ? (t - ode->t0) / span : 1.0;
    if (s >= 1.0) {
        memcpy(y, ode->y, n * sizeof *y);
        return;
    }
    double r = 1.0 - s;
    for (size_t i = 0; i < n; i++) {
        y[i] = ode->y0[i] * r + s * ode->y[i];
    }
    double weights[STAGES] = {0.0};
    for (int i = 0; i < STAGES - 1; i++) {
        weights[i] = s * r * (dense[0][i] + s * dense[1][i]);
    }
    sum_extents(ode, weights, ode->sum, ode->w);
    ode_system_add_extents(system, ode->w, y);
}

struct ode_statistics ode_statistics_of(const struct ode *ode)
{
    return ode->statistics;
}
