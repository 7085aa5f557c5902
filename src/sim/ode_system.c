/* ode_system.c: see ode_system.h; which entries there are is found in ode_pattern.c. */
#include "sim/ode_system.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PIVOT_SMALLEST 1e-7 /* of the diagonal it came from: a pivot below has lost too much */

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
    system->integers = calloc((2 * m + terms + 4 * n) * n + 13 * n + 3 * m + 7 + 3 * terms, sizeof *system->integers);
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

/* A row of the matrix times `in`. */
static double row_times(const struct ode_rows *matrix, size_t row, const double *in)
{
    const int *column = matrix->column;
    const double *coefficient = matrix->coefficient;
    double sum = 0.0;
    for (int at = matrix->start[row]; at < matrix->start[row + 1]; at++) {
        sum += coefficient[at] * in[column[at]];
    }
    return sum;
}

/* Gauss's elimination without exchanges, within the pattern. The factors come to stand in the rows of their patterns. */
static int eliminate(struct ode_system *system)
{
    const size_t k = system->variables;
    const int *low = system->lower.column;
    const int *up = system->upper.column;
    double *factors = system->lower.coefficient;
    double *rest = system->upper.coefficient;
    for (size_t p = 0; p < k; p++) {
        const double *pivot = system->matrix + p * k;
        const int first = system->upper.start[p];
        const int end = system->upper.start[p + 1];
        if (!(fabs(pivot[p]) > PIVOT_SMALLEST * system->inverse[p])) { /* where the diagonal was kept */
            return 1;
        }
        const double inverse = 1.0 / pivot[p];
        system->inverse[p] = inverse;
        for (int by = first; by < end; by++) {
            rest[by] = pivot[up[by]];
        }
        for (int at = system->lower.start[p]; at < system->lower.start[p + 1]; at++) {
            double *row = system->matrix + (size_t)low[at] * k;
            const double factor = row[p] * inverse;
            factors[at] = factor;
            for (int by = first; by < end; by++) {
                row[up[by]] -= factor * rest[by];
            }
        }
    }
    return 0;
}

int ode_system_factorise(struct ode_system *system, double shift)
{
    const size_t k = system->variables;
    double *matrix = system->matrix;
    memset(matrix, 0, k * k * sizeof *matrix);
    for (size_t entry = 0; entry < system->filled; entry++) {
        matrix[system->place[entry]] = row_times(&system->sums, entry, system->slopes.coefficient);
    }
    for (size_t p = 0; p < k; p++) {
        matrix[p * k + p] += shift;
    }
    for (size_t p = 0; p < k; p++) {
        system->inverse[p] = fabs(matrix[p * k + p]);
    }
    return eliminate(system);
}

/* out = matrix in */
static void multiply(const struct ode_rows *matrix, size_t rows, const double *in, double *out)
{
    for (size_t row = 0; row < rows; row++) {
        out[row] = row_times(matrix, row, in);
    }
}

void ode_system_read(const struct ode_system *system, const double *w, double *x)
{
    multiply(&system->moves, system->variables, w, x);
}

void ode_system_follow(const struct ode_system *system, const double *x, double *change)
{
    multiply(&system->slopes, system->live, x, change);
}

void ode_system_solve(const struct ode_system *system, double *x)
{
    size_t k = system->variables;
    const int *low = system->lower.column;
    const int *up = system->upper.column;
    const double *factors = system->lower.coefficient;
    const double *rest = system->upper.coefficient;
    for (size_t p = 0; p < k; p++) {
        const double known = x[p];
        for (int at = system->lower.start[p]; at < system->lower.start[p + 1]; at++) {
            x[low[at]] -= factors[at] * known;
        }
    }
    for (size_t p = k; p-- > 0;) {
        const int end = system->upper.start[p + 1];
        double even = x[p]; /* two sums, so that one need not wait for the other */
        double odd = 0.0;
        int at = system->upper.start[p];
        for (; at + 1 < end; at += 2) {
            odd += rest[at] * x[up[at]];
            even -= rest[at + 1] * x[up[at + 1]];
        }
        if (at < end) {
            even -= rest[at] * x[up[at]];
        }
        x[p] = (even - odd) * system->inverse[p];
    }
}

void ode_system_add_extents(const struct ode_system *system, const double *extents, double *to)
{
    for (size_t row = 0; row < system->live; row++) {
        for (int at = system->terms.start[row]; at < system->terms.start[row + 1]; at++) {
            to[system->terms.column[at]] += system->terms.coefficient[at] * extents[row];
        }
    }
}

static void add_variables(const struct ode_system *system, const double *x, double *to)
{
    for (size_t a = 0; a < system->variables; a++) {
        if (system->single[a] >= 0) {
            to[system->single[a]] += x[a];
        }
    }
}

void ode_system_add(const struct ode_system *system, const double *x, const double *extents, double *to)
{
    add_variables(system, x, to);
    for (size_t o = 0; o < system->others; o++) {
        to[system->other[o]] += row_times(&system->other_terms, o, extents);
    }
}

void ode_system_add_following(const struct ode_system *system, const double *x, const double *w, const double *followed,
                              double *to)
{
    const struct ode_rows *terms = &system->other_terms;
    add_variables(system, x, to);
    for (size_t o = 0; o < system->others; o++) {
        for (int at = terms->start[o]; at < terms->start[o + 1]; at++) {
            size_t rate = (size_t)terms->column[at];
            to[system->other[o]] += terms->coefficient[at] * (w[rate] + row_times(&system->slopes, rate, followed));
        }
    }
}
