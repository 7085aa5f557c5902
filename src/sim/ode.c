/* ode.c: see ode.h. */
#include "sim/ode.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
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
#define GROW_MOST 10.0
#define ATTEMPTS_MOST 200

struct ode {
    struct ode_problem problem;
    double relative;
    double *absolute;    /* n */
    double t, t0;        /* now, and where the last step began */
    double longest;
    double next_step;
    double *y, *y0;      /* n: now, and at the start of the last step */
    double *z, *z0;      /* m: extents */
    double *rates0;      /* m: rates at the start of the step being tried */
    double *by_state;    /* m x n */
    double *by_time;     /* m */
    double *u[STAGES];   /* n each */
    double *v[STAGES];   /* m each: the same stages in extents */
    double *r, *w, *trial, *packed; /* m, n, n, n */
    double *dense2, *dense3; /* n */
    gsl_matrix *matrix;
    gsl_permutation *permutation;
    int *states;         /* those that a live rate moves, in order */
    int *place;          /* n: index in `states`, or -1 */
    size_t live;         /* how many */
    bool *rate_live;     /* m */
    bool rates_known;    /* rates0 and the derivatives belong to (t, y) */
    double last_error;
    struct ode_statistics statistics;
    double *block;       /* owns all arrays */
};

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
    ode->block = calloc(n * (8 + STAGES) + m * (6 + STAGES) + m * n, sizeof *ode->block);
    ode->matrix = gsl_matrix_alloc(n, n);
    ode->permutation = gsl_permutation_alloc(n);
    ode->states = calloc(2 * n, sizeof *ode->states);
    ode->rate_live = calloc(m, sizeof *ode->rate_live);
    if (ode->block == NULL || ode->matrix == NULL || ode->permutation == NULL || ode->states == NULL ||
        ode->rate_live == NULL) {
        ode_free(ode);
        return status_fail(STATUS_MEMORY, "no memory for the integrator");
    }
    ode->place = ode->states + n;
    double *next = ode->block;
    double **of_states[] = {&ode->absolute, &ode->y, &ode->y0, &ode->w, &ode->trial,
                            &ode->packed, &ode->dense2, &ode->dense3};
    for (size_t i = 0; i < sizeof of_states / sizeof of_states[0]; i++, next += n) {
        *of_states[i] = next;
    }
    double **of_rates[] = {&ode->z, &ode->z0, &ode->rates0, &ode->by_time, &ode->r};
    for (size_t i = 0; i < sizeof of_rates / sizeof of_rates[0]; i++, next += m) {
        *of_rates[i] = next;
    }
    for (int i = 0; i < STAGES; i++, next += n + m) {
        ode->u[i] = next;
        ode->v[i] = next + n;
    }
    ode->by_state = next;
    memcpy(ode->absolute, absolute, n * sizeof *absolute);
    *out = ode;
    return status_ok();
}

void ode_free(struct ode *ode)
{
    if (ode == NULL) {
        return;
    }
    if (ode->matrix != NULL) {
        gsl_matrix_free(ode->matrix);
    }
    if (ode->permutation != NULL) {
        gsl_permutation_free(ode->permutation);
    }
    free(ode->states);
    free(ode->rate_live);
    free(ode->block);
    free(ode);
}

/* to += S' from, scaled. */
static void add_stoichiometry(const struct ode *ode, const double *from, double scale, double *to)
{
    for (size_t j = 0; j < ode->problem.rates; j++) {
        if (!ode->rate_live[j]) {
            continue;
        }
        double extent = scale * from[j];
        for (const struct ode_term *term = ode->problem.terms(ode->problem.context, j); term->state >= 0; term++) {
            to[term->state] += term->coefficient * extent;
        }
    }
}

static double error_norm(const struct ode *ode, const double *error, const double *y0, const double *y1)
{
    double sum = 0.0;
    size_t n = ode->problem.states;
    for (size_t i = 0; i < n; i++) {
        double size = fmax(fabs(y0[i]), fabs(y1[i]));
        double scaled = error[i] / (ode->absolute[i] + ode->relative * size);
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

/* Finds which rates can be other than zero and which states they move. */
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
    size_t n = ode->problem.states;
    find_live(ode);
    ode->t = ode->t0 = t;
    ode->longest = longest;
    memmove(ode->y, y, n * sizeof *y);
    memcpy(ode->y0, ode->y, n * sizeof *y);
    memset(ode->z, 0, ode->problem.rates * sizeof *ode->z);
    ode->rates_known = false;
    ode->last_error = 1.0;
    ode->statistics.evaluations++;
    if (ode->problem.evaluate(ode->problem.context, t, ode->y, ode->rates0) != 0) {
        return not_finite(ode, t, ode->y);
    }
    /* A first step over which the state, held at its present rate of change, moves by some multiple of its tolerance scale
     * (found by trial: few first steps are rejected); the error test corrects it. */
    memset(ode->w, 0, n * sizeof *ode->w);
    add_stoichiometry(ode, ode->rates0, 1.0, ode->w);
    double speed = error_norm(ode, ode->w, ode->y, ode->y);
    ode->next_step = isfinite(speed) && speed > 0.0 ? 1.0 / (speed * sqrt(ode->relative)) : 1.0;
    ode->next_step = fmin(fmax(ode->next_step, 1e-3), 600.0);
    return status_ok();
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
    if (ode->rates_known) {
        return 0;
    }
    ode->statistics.evaluations++;
    if (ode->problem.evaluate(ode->problem.context, ode->t, ode->y, ode->rates0) != 0) {
        return 1;
    }
    ode->statistics.jacobians++;
    if (ode->problem.differentiate(ode->problem.context, ode->t, ode->y, ode->rates0, ode->states, ode->live,
                                   ode->by_state, ode->by_time) != 0) {
        return 1;
    }
    ode->rates_known = true;
    return 0;
}

/* Factors I / (h gamma) - S' dr/dy. */
static int factorise(struct ode *ode, double h)
{
    size_t n = ode->live;
    if (n == 0) {
        return 0; /* nothing moves */
    }
    gsl_matrix_view view = gsl_matrix_view_array(ode->matrix->data, n, n);
    gsl_permutation permutation = {.size = n, .data = ode->permutation->data};
    gsl_matrix_set_zero(&view.matrix);
    for (size_t j = 0; j < ode->problem.rates; j++) {
        const double *row = ode->by_state + j * n;
        if (!ode->rate_live[j]) {
            continue;
        }
        for (const struct ode_term *term = ode->problem.terms(ode->problem.context, j); term->state >= 0; term++) {
            double *to = gsl_matrix_ptr(&view.matrix, (size_t)ode->place[term->state], 0);
            for (size_t i = 0; i < n; i++) {
                to[i] -= term->coefficient * row[i];
            }
        }
    }
    for (size_t i = 0; i < n; i++) {
        *gsl_matrix_ptr(&view.matrix, i, i) += 1.0 / (h * GAMMA);
    }
    int sign = 0;
    ode->statistics.factorisations++;
    return gsl_linalg_LU_decomp(&view.matrix, &permutation, &sign);
}

/* Four sums side by side, so that one addition need not wait for the last. */
static double dot(const double *a, const double *b, size_t count)
{
    double sums[4] = {0.0, 0.0, 0.0, 0.0};
    size_t i = 0;
    for (; i + 4 <= count; i += 4) {
        for (size_t k = 0; k < 4; k++) {
            sums[k] += a[i + k] * b[i + k];
        }
    }
    for (; i < count; i++) {
        sums[0] += a[i] * b[i];
    }
    return (sums[0] + sums[1]) + (sums[2] + sums[3]);
}

/* One stage: solves for u in states and v in extents. Returns non-zero when the rates cannot be evaluated. */
static int stage(struct ode *ode, int s, double h)
{
    size_t n = ode->problem.states;
    size_t m = ode->problem.rates;
    double *r = ode->r;
    if (s == 0) {
        memcpy(r, ode->rates0, m * sizeof *r);
    } else {
        memcpy(ode->trial, ode->y, n * sizeof *ode->trial);
        for (int j = 0; j < s; j++) {
            double a = step_a[s][j];
            for (size_t i = 0; a != 0.0 && i < n; i++) {
                ode->trial[i] += a * ode->u[j][i];
            }
        }
        ode->statistics.evaluations++;
        if (ode->problem.evaluate(ode->problem.context, ode->t + stage_time[s] * h, ode->trial, r) != 0) {
            return 1;
        }
    }
    double *v = ode->v[s];
    for (size_t j = 0; j < m; j++) {
        v[j] = r[j] + h * stage_by_time[s] * ode->by_time[j];
        for (int i = 0; i < s; i++) {
            v[j] += step_c[s][i] / h * ode->v[i][j];
        }
    }
    size_t live = ode->live;
    memset(ode->w, 0, n * sizeof *ode->w);
    add_stoichiometry(ode, v, 1.0, ode->w);
    for (size_t a = 0; a < live; a++) {
        ode->packed[a] = ode->w[ode->states[a]];
    }
    if (live > 0) {
        gsl_matrix_view view = gsl_matrix_view_array(ode->matrix->data, live, live);
        gsl_permutation permutation = {.size = live, .data = ode->permutation->data};
        gsl_vector_view answer = gsl_vector_view_array(ode->packed, live);
        if (gsl_linalg_LU_svx(&view.matrix, &permutation, &answer.vector) != GSL_SUCCESS) {
            return 1;
        }
    }
    memset(ode->u[s], 0, n * sizeof *ode->u[s]);
    for (size_t a = 0; a < live; a++) {
        ode->u[s][ode->states[a]] = ode->packed[a];
    }
    for (size_t j = 0; j < m; j++) {
        const double *row = ode->by_state + j * live;
        v[j] = ode->rate_live[j] ? h * GAMMA * (v[j] + dot(row, ode->packed, live)) : 0.0;
    }
    return 0;
}

/* Tries a step of length h from (t, y). On success fills trial with the new state; `error` gets its norm. */
static int attempt(struct ode *ode, double h, double *error)
{
    if (prepare(ode) != 0 || factorise(ode, h) != 0) {
        return 1;
    }
    for (int s = 0; s < STAGES; s++) {
        if (stage(ode, s, h) != 0) {
            return 1;
        }
    }
    size_t n = ode->problem.states;
    size_t m = ode->problem.rates;
    /* The last stage is the embedded error; the sum of the extents gives the new state by the table of processes. */
    for (size_t j = 0; j < m; j++) {
        double sum = ode->v[STAGES - 1][j];
        for (int s = 0; s < STAGES - 1; s++) {
            sum += step_a[STAGES - 1][s] * ode->v[s][j];
        }
        ode->r[j] = sum;
    }
    memcpy(ode->trial, ode->y, n * sizeof *ode->trial);
    add_stoichiometry(ode, ode->r, 1.0, ode->trial);
    if (!all_finite(ode->trial, n)) {
        return 1;
    }
    *error = error_norm(ode, ode->u[STAGES - 1], ode->y, ode->trial);
    return isfinite(*error) ? 0 : 1;
}

/* Makes the step just tried the last step. */
static void accept(struct ode *ode, double h)
{
    size_t n = ode->problem.states;
    size_t m = ode->problem.rates;
    for (size_t i = 0; i < n; i++) {
        ode->dense2[i] = 0.0;
        ode->dense3[i] = 0.0;
        for (int s = 0; s < STAGES - 1; s++) {
            ode->dense2[i] += dense[0][s] * ode->u[s][i];
            ode->dense3[i] += dense[1][s] * ode->u[s][i];
        }
    }
    memcpy(ode->y0, ode->y, n * sizeof *ode->y);
    memcpy(ode->z0, ode->z, m * sizeof *ode->z);
    memcpy(ode->y, ode->trial, n * sizeof *ode->y);
    for (size_t j = 0; j < m; j++) {
        ode->z[j] += ode->r[j];
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
    double span = ode->t - ode->t0;
    double s = span > 0.0 ? (t - ode->t0) / span : 1.0;
    if (s >= 1.0) {
        memcpy(y, ode->y, ode->problem.states * sizeof *y);
        return;
    }
    double r = 1.0 - s;
    for (size_t i = 0; i < ode->problem.states; i++) {
        y[i] = ode->y0[i] * r + s * (ode->y[i] + r * (ode->dense2[i] + s * ode->dense3[i]));
    }
}

struct ode_statistics ode_statistics_of(const struct ode *ode)
{
    return ode->statistics;
}
