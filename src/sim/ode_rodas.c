/* ode_rodas.c: a step of RODAS, with the coefficients as transformed in its authors' implementation (Hairer & Wanner 1996), its
 * embedded error and what lies between its ends. */
#include "sim/ode_inside.h"

#include <math.h>
#include <string.h>

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
static const double dense[DENSE_TERMS][STAGES] = {
    {10.12623508344586, -7.487995877610167, -34.80091861555747, -7.992771707568823, 1.025137723295662, 0.0},
    {-0.6762803392801253, 6.087714651680015, 16.43084320892478, 24.76722511418386, -6.594389125716872, 0.0},
};

/* Stage i in extents is v_i = h g (f_i + sum of c_ij v_j / h + R x_i), so that v_i = h sum of spread_ij (f_j + R x_j). */
void ode_rodas_set_up(struct ode *ode)
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

double ode_error_norm(const struct ode *ode, const double *error, const double *y0, const double *y1)
{
    const bool early = ode->problem.early_absolute != NULL && ode->t < ode->problem.early;
    const double relative = early ? ode->problem.early_relative : ode->relative;
    const double *absolute = early ? ode->early_absolute : ode->absolute;
    double sum = 0.0;
    size_t n = ode->problem.states;
    for (size_t i = 0; i < n; i++) {
        double a = fabs(y0[i]);
        double b = fabs(y1[i]);
        double scaled = error[i] / (absolute[i] + relative * (a > b ? a : b));
        sum += scaled * scaled;
    }
    return sqrt(sum / (double)n);
}

static bool all_finite(const double *values, size_t count)
{
    double sum = 0.0;
    for (size_t i = 0; i < count; i++) {
        sum += values[i] * 0.0;
    }
    return sum == 0.0;
}

int ode_rodas_prepare(struct ode *ode)
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

/* sum += the first `count` vectors of `of`, each times its factor; two at a time, which halves the comings and goings of `sum`. */
static void add_multiples(double *restrict sum, double *const *of, const double *factors, int count, size_t length)
{
    int i = 0;
    for (; i + 1 < count; i += 2) {
        const double *restrict first = of[i];
        const double *restrict second = of[i + 1];
        const double by_first = factors[i];
        const double by_second = factors[i + 1];
        for (size_t k = 0; k < length; k++) {
            sum[k] = sum[k] + by_first * first[k] + by_second * second[k];
        }
    }
    if (i < count) {
        const double *restrict last = of[i];
        const double by_last = factors[i];
        for (size_t k = 0; k < length; k++) {
            sum[k] += by_last * last[k];
        }
    }
}

/* sum = all stages, each times its factor. */
static void sum_stages(double *const of[STAGES], const double factors[STAGES], size_t length, double *restrict sum)
{
    for (size_t k = 0; k < length; k++) {
        double value = 0.0;
        for (int i = 0; i < STAGES; i++) {
            value += factors[i] * of[i][k];
        }
        sum[k] = value;
    }
}

/* By how much the f_j + R x_j enter the sum of the stages, each times its weight, in extents. */
static void spread_weights(const struct ode *ode, const double weights[STAGES], double factors[STAGES])
{
    memset(factors, 0, STAGES * sizeof *factors);
    for (int i = 0; i < STAGES; i++) {
        for (int j = 0; j <= i; j++) {
            factors[j] += ode->h * weights[i] * ode->spread[i][j];
        }
    }
}

/* The sum of the stages, each times its weight: in extents, from the rates and variables of the stages. */
static void sum_extents(const struct ode *ode, const double weights[STAGES], double *x, double *extents)
{
    const struct ode_system *system = ode->system;
    double factors[STAGES];
    spread_weights(ode, weights, factors);
    sum_stages(ode->x, factors, system->variables, x);
    ode_system_follow(system, x, extents);
    add_multiples(extents, ode->f, factors, STAGES, system->live);
}

/* The sum of the stages, each times its weight, in states: `to` += it. */
static void add_stages(const struct ode *ode, const double weights[STAGES], double *to)
{
    const struct ode_system *system = ode->system;
    double followed[ODE_STATES_MOST];
    double factors[STAGES];
    spread_weights(ode, weights, factors);
    sum_stages(ode->x, weights, system->variables, ode->sum);
    sum_stages(ode->x, factors, system->variables, followed);
    sum_stages(ode->f, factors, system->live, ode->w);
    ode_system_add_following(system, ode->sum, ode->w, followed, to);
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

int ode_rodas_attempt(struct ode *ode, double h, double *error)
{
    const struct ode_system *system = ode->system;
    if (ode_rodas_prepare(ode) != 0) {
        return 1;
    }
    ode->statistics.factorisations++;
    ode->h = h;
    ode->curves->known = false;
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
    add_stages(ode, last, ode->error);
    *error = ode_error_norm(ode, ode->error, ode->y, ode->trial);
    return isfinite(*error) ? 0 : 1;
}

/* The terms of the dense output in states, once for each step that is asked about. */
static void find_curves(const struct ode *ode)
{
    struct ode_curves *curves = ode->curves;
    for (int k = 0; k < DENSE_TERMS; k++) {
        memset(curves->term[k], 0, ode->problem.states * sizeof *curves->term[k]);
        add_stages(ode, dense[k], curves->term[k]);
    }
    curves->known = true;
}

/* Draws a state between the ends of the last step toward the straight line between them, so far that nothing stands further
 * below zero than it may. Both keep what the problem conserves, and so does what is between them. */
static void keep_above_zero(const struct ode *ode, double s, double *y)
{
    const double *below = ode->problem.below;
    size_t n = ode->problem.states;
    bool sinks = false;
    double share = 1.0; /* of the way from the line to y that is kept */
    for (size_t i = 0; i < n; i++) {
        sinks = sinks || y[i] < -below[i];
    }
    for (size_t i = 0; i < n && sinks; i++) {
        double line = ode->y0[i] * (1.0 - s) + s * ode->y[i];
        if (y[i] < -below[i] && y[i] < line) {
            share = fmin(share, fmax(line + below[i], 0.0) / (line - y[i]));
        }
    }
    for (size_t i = 0; i < n && share < 1.0; i++) {
        double line = ode->y0[i] * (1.0 - s) + s * ode->y[i];
        y[i] = line + share * (y[i] - line);
    }
}

void ode_rodas_between(const struct ode *ode, double s, double *y)
{
    double(*restrict term)[ODE_STATES_MOST] = ode->curves->term;
    const double *restrict from = ode->y0;
    const double *restrict to = ode->y;
    double *restrict at = y;
    const double r = 1.0 - s;
    const size_t n = ode->problem.states;
    if (!ode->curves->known) {
        find_curves(ode);
    }
    for (size_t i = 0; i < n; i++) {
        double beside = term[DENSE_TERMS - 1][i];
        for (int k = DENSE_TERMS - 2; k >= 0; k--) {
            beside = term[k][i] + s * beside;
        }
        at[i] = r * (from[i] + s * beside) + s * to[i];
    }
    if (ode->problem.below != NULL) {
        keep_above_zero(ode, s, y);
    }
}
