/* ode_rodas.c: a step of RODAS, with the coefficients as transformed in its authors' implementation (Hairer & Wanner 1996), its
 * embedded error and what lies between its ends. */
#include "sim/ode_inside.h"

#include <math.h>
#include <string.h>

#include "base/number_one.h"
#define OF(name) one_##name
#define ON
#define ENTRIES struct ode_entries
#define STAGED struct ode_staged
#include "sim/ode_algebra.h"
#include "sim/ode_stages.h"

const struct ode_method ode_rodas = {
    .a = {{0.0},
          {1.544},
          {0.9466785280815826, 0.2557011698983284},
          {3.314825187068521, 2.896124015972201, 0.9986419139977817},
          {1.221224509226641, 6.019134481288629, 12.53708332932087, -0.6878860361058950},
          {1.221224509226641, 6.019134481288629, 12.53708332932087, -0.6878860361058950, 1.0}},
    .c = {{0.0},
          {-5.6688},
          {-2.430093356833875, -0.2063599157091915},
          {-0.1073529058151375, -9.594562251023355, -20.47028614809616},
          {7.496443313967647, -10.24680431464352, -33.99990352819905, 11.70890893206160},
          {8.083246795921522, -7.981132988064893, -31.52159432874371, 16.31930543123136, -6.058818238834054}},
    .time = {0.0, 0.386, 0.21, 0.63, 1.0, 1.0},
    .by_time = {0.25, -0.1043, 0.1035, -0.03620000000000023, 0.0, 0.0},
    .whole = {1.221224509226641, 6.019134481288629, 12.53708332932087, -0.6878860361058950, 1.0, 1.0},
    .last = {0.0, 0.0, 0.0, 0.0, 0.0, 1.0},
    .dense = {{10.12623508344586, -7.487995877610167, -34.80091861555747, -7.992771707568823, 1.025137723295662, 0.0},
              {-0.6762803392801253, 6.087714651680015, 16.43084320892478, 24.76722511418386, -6.594389125716872, 0.0}},
};

/* Stage i in extents is v_i = h g (f_i + sum of c_ij v_j / h + R x_i), so that v_i = h sum of spread_ij (f_j + R x_j). */
void ode_rodas_set_up(struct ode *ode)
{
    for (int i = 0; i < STAGES; i++) {
        ode->spread.by[i][i] = ODE_GAMMA;
        for (int j = 0; j < i; j++) {
            for (int k = j; k < i; k++) {
                ode->spread.by[i][j] += ODE_GAMMA * ode_rodas.c[i][k] * ode->spread.by[k][j];
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

int ode_rodas_differentiate(struct ode *ode)
{
    struct ode_system *system = ode->system;
    ode->statistics.jacobians++;
    if (ode->problem.differentiate(ode->problem.context, ode->t, ode->y, ode->rates0, system->variable, system->variables,
                                   system->by_state, ode->by_time) != 0) {
        return 1;
    }
    ode->rates_known = true;
    ode->slopes_taken = false;
    return 0;
}

static int find_rates(struct ode *ode)
{
    ode->statistics.evaluations++;
    if (ode->problem.evaluate(ode->problem.context, ode->t, ode->y, ode->rates0) != 0) {
        return 1;
    }
    return ode_rodas_differentiate(ode);
}

int ode_rodas_prepare(struct ode *ode)
{
    if (!ode->rates_known && find_rates(ode) != 0) {
        return 1;
    }
    if (!ode->slopes_taken) {
        ode_system_set_slopes(ode->system);
        ode->slopes_taken = true;
    }
    return 0;
}

void ode_rodas_place(struct ode *ode, int s, const double *sum, size_t apart)
{
    const struct ode_system *system = ode->system;
    if (s == 1) {
        memcpy(ode->trial, ode->y, ode->problem.states * sizeof *ode->trial);
    }
    for (size_t a = 0; a < system->variables; a++) {
        ode->trial[system->variable[a]] = ode->y[system->variable[a]] + sum[a * apart];
    }
}

/* What stage s is worked out from, when its rates are r (m): into f (live rates). */
static void weigh(const struct ode *ode, int s, double h, const double *r, double *f)
{
    const struct ode_system *system = ode->system;
    const double by_time = h * ode_rodas.by_time[s];
    for (size_t j = 0; j < system->live; j++) {
        f[j] = r[system->rate[j]] + by_time * ode->by_time[system->rate[j]];
    }
}

int ode_rodas_judge(const struct ode *ode, double *error)
{
    if (!all_finite(ode->trial, ode->problem.states)) {
        return 1;
    }
    *error = ode_error_norm(ode, ode->error, ode->y, ode->trial);
    return isfinite(*error) ? 0 : 1;
}

static struct ode_entries entries_of(const struct ode_system *system)
{
    return (struct ode_entries){.slopes = system->slopes.coefficient,
                                .lower = system->lower.coefficient,
                                .upper = system->upper.coefficient,
                                .matrix = system->matrix,
                                .inverse = system->inverse};
}

int ode_rodas_attempt(struct ode *ode, double h, double *error)
{
    const struct ode_system *system = ode->system;
    struct ode_staged *staged = &ode->staged;
    if (ode_rodas_prepare(ode) != 0) {
        return 1;
    }
    const struct ode_entries entries = entries_of(system);
    const double shift = 1.0 / (h * ODE_GAMMA);
    int fit;
    ode->statistics.factorisations++;
    ode->curves->known = false;
    staged->h = h;
    one_factorise(system, &shift, &entries, &fit);
    if (fit == 0) {
        return 1;
    }
    for (int s = 0; s < STAGES; s++) {
        const double *r = ode->rates0;
        if (s > 0) {
            one_find_place(system, staged, ode_rodas.a[s], s);
            ode_rodas_place(ode, s, staged->sum, 1);
            r = ode->r;
            ode->statistics.evaluations++;
            if (ode->problem.evaluate(ode->problem.context, ode->t + ode_rodas.time[s] * h, ode->trial, ode->r) != 0) {
                return 1;
            }
        }
        weigh(ode, s, h, r, staged->f[s]);
        one_solve_stage(system, &entries, staged, ode_rodas.c[s], s);
    }
    const size_t n = ode->problem.states;
    one_sum_extents(system, &entries, staged, &ode->spread, ode_rodas.whole, ode->extents);
    memcpy(ode->trial, ode->y, n * sizeof *ode->trial);
    one_add_extents(system, ode->extents, ode->trial);
    memset(ode->error, 0, n * sizeof *ode->error);
    one_add_stages(system, &entries, staged, &ode->spread, ode_rodas.last, ode->error);
    return ode_rodas_judge(ode, error);
}

/* The terms of the dense output in states, once for each step that is asked about. */
static void find_curves(const struct ode *ode)
{
    struct ode_curves *curves = ode->curves;
    const struct ode_entries entries = entries_of(ode->system);
    for (int k = 0; k < DENSE_TERMS; k++) {
        memset(curves->term[k], 0, ode->problem.states * sizeof *curves->term[k]);
        one_add_stages(ode->system, &entries, &ode->staged, &ode->spread, ode_rodas.dense[k], curves->term[k]);
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
