/* one_run.c: runs a scenario with whatever integrator it is linked with, times it, and prints one line of JSON.
 *
 * one_run SCENARIO MODELS REPEAT [SERIES-FILE [RTOL]]: REPEAT runs, the processor time of each; the recorded series
 * of the last go into the file: a line of column names (coded columns with an asterisk), then the columns as
 * doubles. RTOL: the relative tolerance, if not the scenario's.
 * one_run SCENARIO MODELS rates: what one evaluation of the rates costs, at states that a run goes through, and how
 * much of the run is spent in the integrator (the rates with it) and outside of it (events, recording).
 */
#include "process/registry.h"
#include "scenario/read.h"
#include "sim/ode.h"
#include "sim/run.h"

#include <gsl/gsl_errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define POINTS 8        /* inside a step, where the rates are evaluated */
#define ROUNDS 5        /* over them */
#define STEPS_BETWEEN 7 /* every so many-th step is looked at */

static double processor_time(void)
{
    struct timespec now;
    (void)clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* ---- the rates, timed ------------------------------------------------------------------------------------------ */

/* Linked in the place of these calls (ld --wrap). The frozen commit has ode_step only, the present one tries steps and ends them. */
struct status __real_ode_create(const struct ode_problem *problem, double relative, const double *absolute,
                                struct ode **ode);
struct status __real_ode_restart(struct ode *ode, double t, const double *y, double longest);
struct status __real_ode_step(struct ode *ode, double stop);
struct status __wrap_ode_create(const struct ode_problem *problem, double relative, const double *absolute,
                                struct ode **ode);
struct status __wrap_ode_restart(struct ode *ode, double t, const double *y, double longest);
struct status __wrap_ode_step(struct ode *ode, double stop);
__attribute__((weak)) void __real_ode_try_step(struct ode *ode);
__attribute__((weak)) struct status __real_ode_end_step(struct ode *ode, bool *taken);
void __wrap_ode_try_step(struct ode *ode);
struct status __wrap_ode_end_step(struct ode *ode, bool *taken);

static struct {
    bool on;
    struct ode_problem problem;
    double *states, *rates; /* POINTS x n; m */
    long seen, evaluated;
    double spent;  /* s in those evaluations */
    double inside; /* s in the integrator */
} probe;

struct status __wrap_ode_create(const struct ode_problem *problem, double relative, const double *absolute,
                                struct ode **ode)
{
    if (probe.on) {
        probe.problem = *problem;
        probe.states = calloc(POINTS * problem->states, sizeof *probe.states);
        probe.rates = calloc(problem->rates, sizeof *probe.rates);
        if (probe.states == NULL || probe.rates == NULL) {
            return status_fail(STATUS_MEMORY, "no memory to look at the rates");
        }
    }
    return __real_ode_create(problem, relative, absolute, ode);
}

struct status __wrap_ode_restart(struct ode *ode, double t, const double *y, double longest)
{
    double began = probe.on ? processor_time() : 0.0;
    struct status status = __real_ode_restart(ode, t, y, longest);
    probe.inside += probe.on ? processor_time() - began : 0.0;
    return status;
}

/* After some steps the rates are evaluated at states spread over the step, each at its own temperature. */
static void look_at_step(const struct ode *ode)
{
    if (!probe.on || probe.seen++ % STEPS_BETWEEN != 0) {
        return;
    }
    size_t n = probe.problem.states;
    double from = ode_step_start(ode);
    double by = (ode_time(ode) - from) / POINTS;
    for (int i = 0; i < POINTS; i++) {
        ode_interpolate(ode, from + (i + 1) * by, probe.states + (size_t)i * n);
    }
    double began = processor_time();
    for (int round = 0; round < ROUNDS; round++) {
        for (int i = 0; i < POINTS; i++) {
            (void)probe.problem.evaluate(probe.problem.context, from + (i + 1) * by, probe.states + (size_t)i * n,
                                         probe.rates);
        }
    }
    probe.spent += processor_time() - began;
    probe.evaluated += ROUNDS * POINTS;
}

struct status __wrap_ode_step(struct ode *ode, double stop)
{
    double began = probe.on ? processor_time() : 0.0;
    struct status status = __real_ode_step(ode, stop);
    probe.inside += probe.on ? processor_time() - began : 0.0;
    if (status_is_ok(&status)) {
        look_at_step(ode);
    }
    return status;
}

void __wrap_ode_try_step(struct ode *ode)
{
    double began = probe.on ? processor_time() : 0.0;
    __real_ode_try_step(ode);
    probe.inside += probe.on ? processor_time() - began : 0.0;
}

struct status __wrap_ode_end_step(struct ode *ode, bool *taken)
{
    double began = probe.on ? processor_time() : 0.0;
    struct status status = __real_ode_end_step(ode, taken);
    probe.inside += probe.on ? processor_time() - began : 0.0;
    if (status_is_ok(&status) && *taken) {
        look_at_step(ode);
    }
    return status;
}

/* ---- runs ------------------------------------------------------------------------------------------------------ */

static int write_series(const struct table *series, const char *path)
{
    FILE *file = fopen(path, "wb");
    if (file == NULL) {
        return 1;
    }
    for (size_t i = 0; i < series->column_count; i++) {
        fprintf(file, "%s%s%s", i == 0 ? "" : " ", series->columns[i].name,
                series->columns[i].flags != NULL ? "*" : "");
    }
    fputc('\n', file);
    for (size_t i = 0; i < series->column_count; i++) {
        (void)fwrite(series->columns[i].values, sizeof(double), series->rows, file);
    }
    return ferror(file) | fclose(file);
}

static double worst_residual(const struct result *result)
{
    double worst = 0.0;
    for (size_t i = 0; i < result->ledger_count; i++) {
        double residual = result->ledger[i].residual_relative;
        worst = residual > worst ? residual : worst;
    }
    return worst;
}

static int fail(const char *message)
{
    fprintf(stderr, "one_run: %s\n", message);
    return EXIT_FAILURE;
}

/* The `repeat` runs; `seconds` gets the time of each, `result` the last. */
static struct status run_all(const struct scenario *scenario, double rtol, int repeat, double *seconds,
                             struct result *result)
{
    const struct run_options how = {.rtol = rtol};
    for (int i = 0; i < repeat; i++) {
        double began = processor_time();
        struct status status = run_scenario(scenario, &how, result);
        seconds[i] = processor_time() - began;
        if (!status_is_ok(&status)) {
            result_free(result);
            return status;
        }
        if (i + 1 < repeat) {
            result_free(result);
        }
    }
    return status_ok();
}

static void print_run(const struct result *result, const double *seconds, int repeat)
{
    const struct run_statistics *s = &result->statistics;
    char factorisations[32] = "null"; /* not every method tells */
    if (s->factorisations >= 0.0) {
        (void)snprintf(factorisations, sizeof factorisations, "%.0f", s->factorisations);
    }
    printf("{\"seconds\": [");
    for (int i = 0; i < repeat; i++) {
        printf("%s%.9g", i == 0 ? "" : ", ", seconds[i]);
    }
    printf(
        "], \"steps\": %.0f, \"rejected\": %.0f, \"evaluations\": %.0f, \"jacobians\": %.0f, \"factorisations\": %s, "
        "\"events\": %.0f, \"legs\": %.0f, \"rtol\": %.6g, \"residual\": %.3g}\n",
        s->steps, s->rejected_steps, s->rate_evaluations, s->jacobians, factorisations, s->events, s->legs,
        result->rtol, worst_residual(result));
}

int main(int argc, char **argv)
{
    if (argc < 4) {
        return fail("usage: one_run SCENARIO MODELS REPEAT [SERIES-FILE [RTOL]] | one_run SCENARIO MODELS rates");
    }
    (void)gsl_set_error_handler_off();
    probe.on = strcmp(argv[3], "rates") == 0;
    int repeat = probe.on ? 1 : (int)strtol(argv[3], NULL, 10);
    repeat = repeat < 1 ? 1 : repeat;
    struct scenario *scenario = calloc(1, sizeof *scenario);
    double *seconds = calloc((size_t)repeat, sizeof *seconds);
    if (scenario == NULL || seconds == NULL) {
        exit(fail("no memory"));
    }
    struct complaints complaints;
    complaints_init(&complaints);
    const char *names[PROCESSES_KNOWN_MOST + 1];
    process_names(names);
    struct status status = scenario_read(argv[1], NULL, 0, names, argv[2], scenario, &complaints);
    complaints_free(&complaints);
    if (!status_is_ok(&status)) {
        exit(fail(status.message));
    }
    struct result result;
    status = run_all(scenario, argc > 5 ? strtod(argv[5], NULL) : 0.0, repeat, seconds, &result);
    if (!status_is_ok(&status)) {
        exit(fail(status.message));
    }
    if (probe.on) {
        printf("{\"evaluation\": %.9g, \"evaluated\": %ld, \"inside\": %.9g, \"outside\": %.9g}\n",
               probe.spent / (double)probe.evaluated, probe.evaluated, probe.inside,
               seconds[0] - probe.inside - probe.spent);
    } else {
        print_run(&result, seconds, repeat);
    }
    if (argc > 4 && write_series(&result.series, argv[4]) != 0) {
        exit(fail("the series could not be written"));
    }
    result_free(&result);
    scenario_free(scenario);
    free(scenario);
    free(seconds);
    free(probe.states);
    free(probe.rates);
    return EXIT_SUCCESS;
}
