/* ode_system.c: see ode_system.h; which entries there are is found in ode_pattern.c. */
#include "sim/ode_inside.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/number_one.h"
#define OF(name) one_##name
#define ON
#define ENTRIES struct ode_entries
#include "sim/ode_algebra.h"

static size_t count_terms(const struct ode_problem *problem)
{
    size_t count = 0;
    for (size_t j = 0; j < problem->rates; j++) {
        for (const struct ode_term *term = problem->terms(problem->context, j); term->state >= 0; term++) {
            count++;
        }
    }
    return count;
}

/* Hands out the parts of the two blocks. */
static void lay_out(struct ode_system *system, size_t terms)
{
    const size_t n = system->states;
    const size_t m = system->rates;
    int *integer = system->integers;
    double *number = system->numbers;
    const struct {
        int **to;
        size_t size;
    } integers[] = {
        {&system->rate, m},
        {&system->variable, n},
        {&system->single, n},
        {&system->other, n},
        {&system->marks, 6 * n},
        {&system->terms.start, m + 1},
        {&system->terms.column, terms},
        {&system->moves.start, n + 1},
        {&system->moves.column, terms},
        {&system->other_terms.start, n + 1},
        {&system->other_terms.column, terms},
        {&system->slopes.start, m + 1},
        {&system->slopes.column, m * n},
        {&system->slope_from, m * n},
        {&system->place, n * n},
        {&system->made_at, n * n},
        {&system->sums.start, n * n + 1},
        {&system->sums.column, terms * n},
        {&system->lower.start, n + 1},
        {&system->lower.column, n * n},
        {&system->upper.start, n + 1},
        {&system->upper.column, n * n},
    };
    const struct {
        double **to;
        size_t size;
    } numbers[] = {
        {&system->by_state, m * n},
        {&system->matrix, n * n},
        {&system->inverse, n},
        {&system->weights, n},
        {&system->terms.coefficient, terms},
        {&system->moves.coefficient, terms},
        {&system->other_terms.coefficient, terms},
        {&system->slopes.coefficient, m * n},
        {&system->sums.coefficient, terms * n},
        {&system->lower.coefficient, n * n},
        {&system->upper.coefficient, n * n},
    };
    for (size_t i = 0; i < sizeof integers / sizeof integers[0]; i++) {
        *integers[i].to = integer;
        integer += integers[i].size;
    }
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++) {
        *numbers[i].to = number;
        number += numbers[i].size;
    }
}

struct status ode_system_create(const struct ode_problem *problem, struct ode_system *system)
{
    size_t n = problem->states;
    size_t m = problem->rates;
    size_t terms = count_terms(problem);
    memset(system, 0, sizeof *system);
    if (n > ODE_STATES_MOST) {
        return status_fail(STATUS_LIMIT, "%zu states are more than the integrator takes (%d)", n, ODE_STATES_MOST);
    }
    system->states = n;
    system->rates = m;
    system->integers = calloc((2 * m + terms + 5 * n) * n + 13 * n + 3 * m + 7 + 3 * terms, sizeof *system->integers);
    system->numbers = calloc(2 * m * n + (terms + 3 * n) * n + 2 * n + 3 * terms, sizeof *system->numbers);
    if (system->integers == NULL || system->numbers == NULL) {
        ode_system_free(system);
        return status_fail(STATUS_MEMORY, "no memory for the integrator");
    }
    lay_out(system, terms);
    return status_ok();
}

void ode_system_free(struct ode_system *system)
{
    free(system->integers);
    free(system->numbers);
    memset(system, 0, sizeof *system);
}

void ode_system_set_slopes(struct ode_system *system)
{
    const int *from = system->slope_from;
    double *slopes = system->slopes.coefficient;
    const int end = system->slopes.start[system->live];
    for (int at = 0; at < end; at++) {
        slopes[at] = system->by_state[from[at]];
    }
}

void ode_system_read(const struct ode_system *system, const double *w, double *x)
{
    one_read(system, w, x);
}

void ode_system_follow(const struct ode_system *system, const double *x, double *change)
{
    one_follow(system, system->slopes.coefficient, x, change);
}

void ode_system_add_extents(const struct ode_system *system, const double *extents, double *to)
{
    one_add_extents(system, extents, to);
}

void ode_system_add(const struct ode_system *system, const double *x, const double *extents, double *to)
{
    one_add_variables(system, x, to);
    for (size_t o = 0; o < system->others; o++) {
        double sum;
        one_plain_row_times(&system->other_terms, o, extents, &sum);
        to[system->other[o]] += sum;
    }
}
