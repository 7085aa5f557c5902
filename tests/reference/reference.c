/* reference.c: see reference.h. Stands in for src/sim/ode.c behind the interface of sim/ode.h; all else of the vat
 * is as it is. */
#include "reference.h"

#include "process/registry.h"
#include "scenario/read.h"
#include "sim/ode.h"
#include "sim/run.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct ode {
    struct ode_problem problem;
    double *absolute, *y, *y0;        /* n */
    double *z, *z0, *rates, *by_time; /* m */
    double *by_state;                 /* m x n */
    int *all;                         /* n: 0, 1, 2 ... */
    double t, t0, longest, stop;
    double asked_stop;     /* of the step to be tried */
    struct status outcome; /* of the one tried last */
    bool begun;
    struct ode_statistics statistics;
};

static const struct reference_integrator *outside; /* of the run that is going on */

static double *numbers(size_t count)
{
    return calloc(count + 1, sizeof(double));
}

struct status ode_create(const struct ode_problem *problem, double relative, const double *absolute, struct ode **out)
{
    (void)relative;
    struct ode *ode = calloc(1, sizeof *ode);
    if (ode == NULL) {
        return status_fail(STATUS_MEMORY, "no memory");
    }
    size_t n = problem->states;
    size_t m = problem->rates;
    *ode = (struct ode){.problem = *problem,
                        .absolute = numbers(n),
                        .y = numbers(n),
                        .y0 = numbers(n),
                        .z = numbers(m),
                        .z0 = numbers(m),
                        .rates = numbers(m),
                        .by_time = numbers(m),
                        .by_state = numbers(m * n),
                        .all = calloc(n, sizeof(int))};
    if (!ode->absolute || !ode->y || !ode->y0 || !ode->z || !ode->z0 || !ode->rates || !ode->by_time ||
        !ode->by_state || !ode->all) {
        ode_free(ode);
        return status_fail(STATUS_MEMORY, "no memory");
    }
    memcpy(ode->absolute, absolute, n * sizeof *absolute);
    for (size_t i = 0; i < n; i++) {
        ode->all[i] = (int)i;
    }
    *out = ode;
    return status_ok();
}

void ode_free(struct ode *ode)
{
    if (ode == NULL) {
        return;
    }
    double *owned[] = {ode->absolute, ode->y, ode->y0, ode->z, ode->z0, ode->rates, ode->by_time, ode->by_state};
    for (size_t i = 0; i < sizeof owned / sizeof owned[0]; i++) {
        free(owned[i]);
    }
    free(ode->all);
    free(ode);
}

struct status ode_restart(struct ode *ode, double t, const double *y, double longest)
{
    memmove(ode->y, y, ode->problem.states * sizeof *y);
    memset(ode->z, 0, ode->problem.rates * sizeof *ode->z);
    ode->t = ode->t0 = t;
    ode->longest = longest;
    ode->begun = false;
    return status_ok();
}

void ode_go_on(struct ode *ode)
{
    memset(ode->z, 0, ode->problem.rates * sizeof *ode->z);
    ode->begun = false;
}

static struct status take_step(struct ode *ode, double stop)
{
    if (!ode->begun || stop < ode->stop || stop > ode->stop) {
        outside->begin(ode, ode->t, stop, ode->y, ode->absolute, ode->longest);
        ode->begun = true;
        ode->stop = stop;
    }
    memcpy(ode->y0, ode->y, ode->problem.states * sizeof *ode->y);
    memcpy(ode->z0, ode->z, ode->problem.rates * sizeof *ode->z);
    ode->t0 = ode->t;
    ode->t = outside->step(ode->y, ode->z);
    ode->statistics.steps++;
    if (!(ode->t > ode->t0)) {
        return status_fail(STATUS_NUMERIC, "the integrator from outside failed at %.6g s", ode->t0);
    }
    return status_ok();
}

/* Tries are not seen from here: each step is taken when it is tried. */
void ode_begin_step(struct ode *ode, double stop)
{
    ode->asked_stop = stop;
}

void ode_try_step(struct ode *ode)
{
    ode->outcome = take_step(ode, ode->asked_stop);
}

struct status ode_end_step(struct ode *ode, bool *taken)
{
    *taken = status_is_ok(&ode->outcome);
    return ode->outcome;
}

struct status ode_step_again(struct ode *ode, double t)
{
    outside->between(t, ode->y, ode->z);
    for (size_t j = 0; j < ode->problem.rates; j++) {
        ode->z[j] += ode->z0[j];
    }
    ode->t = t;
    ode->begun = false;
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
    (void)ode;
    outside->between(t, y, NULL);
}

struct ode_statistics ode_statistics_of(const struct ode *ode)
{
    return ode->statistics;
}

struct ode_place ode_place_of(const struct ode *ode)
{
    return (struct ode_place){.t = ode->t, .statistics = ode->statistics};
}

void ode_take_back(struct ode *ode, const struct ode_place *place, const double *y)
{
    ode->statistics = place->statistics;
    memcpy(ode->y, y, ode->problem.states * sizeof *y);
    ode->t = ode->t0 = place->t;
    ode_go_on(ode);
}

/* ---- for the integrator ------------------------------------------------------------------------------------------ */

size_t reference_states(void *ode)
{
    return ((struct ode *)ode)->problem.states;
}

size_t reference_rates(void *ode)
{
    return ((struct ode *)ode)->problem.rates;
}

int reference_extent_rates(void *context, double t, const double *y, double *rates)
{
    struct ode *ode = context;
    return ode->problem.evaluate(ode->problem.context, t, y, rates);
}

int reference_derivative(void *context, double t, const double *y, double *derivative)
{
    struct ode *ode = context;
    int failed = reference_extent_rates(ode, t, y, ode->rates);
    for (size_t i = 0; i < ode->problem.states; i++) {
        derivative[i] = failed ? NAN : 0.0;
    }
    for (size_t j = 0; !failed && j < ode->problem.rates; j++) {
        for (const struct ode_term *term = ode->problem.terms(ode->problem.context, j); term->state >= 0; term++) {
            derivative[term->state] += term->coefficient * ode->rates[j];
        }
    }
    return failed;
}

int reference_jacobian(void *context, double t, const double *y, double *jacobian)
{
    struct ode *ode = context;
    size_t n = ode->problem.states;
    memset(jacobian, 0, n * n * sizeof *jacobian);
    memset(ode->by_state, 0, ode->problem.rates * n * sizeof *ode->by_state); /* where nothing is filled in */
    if (reference_extent_rates(ode, t, y, ode->rates) != 0 ||
        ode->problem.differentiate(ode->problem.context, t, y, ode->rates, ode->all, n, ode->by_state, ode->by_time) !=
            0) {
        return 1;
    }
    for (size_t j = 0; j < ode->problem.rates; j++) {
        for (const struct ode_term *term = ode->problem.terms(ode->problem.context, j); term->state >= 0; term++) {
            for (size_t i = 0; i < n; i++) {
                jacobian[(size_t)term->state * n + i] += term->coefficient * ode->by_state[j * n + i];
            }
        }
    }
    return 0;
}

/* ---- the run ----------------------------------------------------------------------------------------------------- */

struct result *reference_run(const char *path, const char *models, const struct reference_integrator *integrator,
                             char *message, size_t size)
{
    (void)gsl_set_error_handler_off();
    struct scenario *scenario = calloc(1, sizeof *scenario);
    struct result *result = calloc(1, sizeof *result);
    struct complaints complaints;
    complaints_init(&complaints);
    const char *names[PROCESSES_KNOWN_MOST + 1];
    process_names(names);
    struct status status = status_fail(STATUS_MEMORY, "no memory");
    if (scenario != NULL && result != NULL) {
        status = scenario_read(path, NULL, 0, names, models, scenario, &complaints);
    }
    if (status_is_ok(&status)) {
        outside = integrator;
        status = run_scenario(scenario, NULL, result);
        outside = NULL;
        scenario_free(scenario);
    }
    complaints_free(&complaints);
    free(scenario);
    if (!status_is_ok(&status)) {
        (void)snprintf(message, size, "%s", status.message);
        reference_free(result);
        return NULL;
    }
    return result;
}

void reference_free(struct result *result)
{
    if (result != NULL) {
        result_free(result);
    }
    free(result);
}

const double *reference_column(const struct result *result, const char *name, const char *column, size_t *rows)
{
    const struct table *tables[] = {&result->series, &result->events, &result->dips, &result->pieces};
    const struct table *found = NULL;
    for (size_t i = 0; i < sizeof tables / sizeof tables[0]; i++) {
        found = strcmp(tables[i]->name, name) == 0 ? tables[i] : found;
    }
    for (size_t i = 0; i < result->ledger_count; i++) {
        if (strncmp(name, "ledger/", 7) == 0 && strcmp(result->ledger[i].name, name + 7) == 0) {
            found = &result->ledger[i];
        }
    }
    const struct column *values = found != NULL ? table_column(found, column) : NULL;
    *rows = values != NULL ? found->rows : 0;
    return values != NULL ? values->values : NULL;
}
