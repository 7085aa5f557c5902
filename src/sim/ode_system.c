/* ode_system.c: see ode_system.h. */
#include "sim/ode_system.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <stdlib.h>
#include <string.h>

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

struct status ode_system_create(const struct ode_problem *problem, struct ode_system *system)
{
    size_t n = problem->states;
    size_t m = problem->rates;
    size_t terms = count_terms(problem);
    memset(system, 0, sizeof *system);
    system->states = n;
    system->rates = m;
    system->integers = calloc(6 * n + 3 * m + 4 + 3 * terms, sizeof *system->integers);
    system->numbers = calloc(2 * m * n + n + 3 * terms, sizeof *system->numbers);
    system->matrix = gsl_matrix_alloc(n, n);
    system->permutation = gsl_permutation_alloc(n);
    if (system->integers == NULL || system->numbers == NULL || system->matrix == NULL || system->permutation == NULL) {
        ode_system_free(system);
        return status_fail(STATUS_MEMORY, "no memory for the integrator");
    }
    int *integer = system->integers;
    system->rate = integer;
    system->variable = system->rate + m;
    system->other = system->variable + n;
    system->marks = system->other + n;
    system->terms.start = system->marks + 3 * n;
    system->moves.start = system->terms.start + m + 1;
    system->other_terms.start = system->moves.start + m + 1;
    system->terms.column = system->other_terms.start + n + 1;
    system->moves.column = system->terms.column + terms;
    system->other_terms.column = system->moves.column + terms;
    system->by_state = system->numbers;
    system->slopes = system->by_state + m * n;
    system->weights = system->slopes + m * n;
    system->terms.coefficient = system->weights + n;
    system->moves.coefficient = system->terms.coefficient + terms;
    system->other_terms.coefficient = system->moves.coefficient + terms;
    return status_ok();
}

void ode_system_free(struct ode_system *system)
{
    if (system->matrix != NULL) {
        gsl_matrix_free(system->matrix);
    }
    if (system->permutation != NULL) {
        gsl_permutation_free(system->permutation);
    }
    free(system->integers);
    free(system->numbers);
    memset(system, 0, sizeof *system);
}

static void rows_add(struct ode_rows *rows, int row, int column, double coefficient)
{
    int at = rows->start[row + 1]++;
    rows->column[at] = column;
    rows->coefficient[at] = coefficient;
}

/* Live rates with their terms; marks the states that they move. */
static void find_terms(struct ode_system *system, const struct ode_problem *problem, int *moved)
{
    system->live = 0;
    system->terms.start[0] = 0;
    for (size_t j = 0; j < system->rates; j++) {
        if (problem->is_live != NULL && !problem->is_live(problem->context, j)) {
            continue;
        }
        int row = (int)system->live++;
        system->rate[row] = (int)j;
        system->terms.start[row + 1] = system->terms.start[row];
        for (const struct ode_term *term = problem->terms(problem->context, j); term->state >= 0; term++) {
            rows_add(&system->terms, row, term->state, term->coefficient);
            moved[term->state] = 1;
        }
    }
}

/* The variables that moved states belong to, those that are one state alone first. `place` gets the index of each state's
 * variable, or -1; `weights` its weight there. Other moved states are listed. */
static void find_variables(struct ode_system *system, const struct ode_problem *problem, const int *moved, int *place)
{
    int n = (int)system->states;
    int *members = place + n; /* moved states of the variable that a state stands for */
    memset(members, 0, (size_t)n * sizeof *members);
    for (int i = 0; i < n; i++) {
        place[i] = problem->readings == NULL ? i : problem->readings[i].state;
        system->weights[i] = problem->readings == NULL ? 1.0 : problem->readings[i].coefficient;
        if (moved[i] && place[i] >= 0) {
            members[place[i]] += place[i] == i ? 1 : 2;
        }
    }
    system->variables = system->others = 0;
    for (int several = 0; several < 2; several++) {
        for (int i = 0; i < n; i++) {
            if (several ? members[i] > 1 : members[i] == 1) {
                members[i] = -1 - (int)system->variables;
                system->variable[system->variables++] = i;
            }
        }
        system->singles = several ? system->singles : system->variables;
    }
    for (int i = 0; i < n; i++) {
        place[i] = place[i] >= 0 && members[place[i]] < 0 ? -1 - members[place[i]] : -1;
        if (moved[i] && (place[i] < 0 || place[i] >= (int)system->singles)) {
            system->other[system->others++] = i;
        }
    }
}

void ode_system_restart(struct ode_system *system, const struct ode_problem *problem)
{
    int *moved = system->marks;
    int *place = moved + system->states;
    memset(moved, 0, system->states * sizeof *moved);
    find_terms(system, problem, moved);
    find_variables(system, problem, moved, place);
    system->moves.start[0] = 0;
    for (size_t row = 0; row < system->live; row++) {
        system->moves.start[row + 1] = system->moves.start[row];
        for (int at = system->terms.start[row]; at < system->terms.start[row + 1]; at++) {
            int state = system->terms.column[at];
            if (place[state] >= 0) {
                rows_add(&system->moves, (int)row, place[state], system->terms.coefficient[at] * system->weights[state]);
            }
        }
    }
    system->other_terms.start[0] = 0;
    for (size_t o = 0; o < system->others; o++) {
        system->other_terms.start[o + 1] = system->other_terms.start[o];
        for (size_t row = 0; row < system->live; row++) {
            for (int at = system->terms.start[row]; at < system->terms.start[row + 1]; at++) {
                if (system->terms.column[at] == system->other[o]) {
                    rows_add(&system->other_terms, (int)o, (int)row, system->terms.coefficient[at]);
                }
            }
        }
    }
}

void ode_system_set_slopes(struct ode_system *system)
{
    size_t k = system->variables;
    for (size_t row = 0; row < system->live; row++) {
        memcpy(system->slopes + row * k, system->by_state + (size_t)system->rate[row] * k, k * sizeof *system->slopes);
    }
}

int ode_system_factorise(struct ode_system *system, double shift)
{
    size_t k = system->variables;
    if (k == 0) {
        return 0; /* nothing that moves is read */
    }
    double *matrix = system->matrix->data;
    memset(matrix, 0, k * k * sizeof *matrix);
    for (size_t row = 0; row < system->live; row++) {
        const double *slopes = system->slopes + row * k;
        for (int at = system->moves.start[row]; at < system->moves.start[row + 1]; at++) {
            double *to = matrix + (size_t)system->moves.column[at] * k;
            double coefficient = system->moves.coefficient[at];
            for (size_t i = 0; i < k; i++) {
                to[i] -= coefficient * slopes[i];
            }
        }
    }
    for (size_t i = 0; i < k; i++) {
        matrix[i * k + i] += shift;
    }
    gsl_matrix_view view = gsl_matrix_view_array(matrix, k, k);
    gsl_permutation permutation = {.size = k, .data = system->permutation->data};
    int sign = 0;
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

void ode_system_read(const struct ode_system *system, const double *w, double *x)
{
    memset(x, 0, system->variables * sizeof *x);
    for (size_t row = 0; row < system->live; row++) {
        for (int at = system->moves.start[row]; at < system->moves.start[row + 1]; at++) {
            x[system->moves.column[at]] += system->moves.coefficient[at] * w[row];
        }
    }
}

void ode_system_follow(const struct ode_system *system, const double *x, double *change)
{
    size_t k = system->variables;
    for (size_t row = 0; row < system->live; row++) {
        change[row] = dot(system->slopes + row * k, x, k);
    }
}

int ode_system_solve(const struct ode_system *system, double shift, const double *w, double *x, double *v)
{
    size_t k = system->variables;
    ode_system_read(system, w, x);
    if (k > 0) {
        gsl_matrix_view view = gsl_matrix_view_array(system->matrix->data, k, k);
        gsl_permutation permutation = {.size = k, .data = system->permutation->data};
        gsl_vector_view answer = gsl_vector_view_array(x, k);
        if (gsl_linalg_LU_svx(&view.matrix, &permutation, &answer.vector) != GSL_SUCCESS) {
            return 1;
        }
    }
    for (size_t row = 0; row < system->live; row++) {
        v[row] = (w[row] + dot(system->slopes + row * k, x, k)) / shift;
    }
    return 0;
}

void ode_system_add_extents(const struct ode_system *system, const double *extents, double *to)
{
    for (size_t row = 0; row < system->live; row++) {
        for (int at = system->terms.start[row]; at < system->terms.start[row + 1]; at++) {
            to[system->terms.column[at]] += system->terms.coefficient[at] * extents[row];
        }
    }
}

void ode_system_add(const struct ode_system *system, const double *x, const double *extents, double *to)
{
    for (size_t a = 0; a < system->singles; a++) {
        to[system->variable[a]] += x[a];
    }
    for (size_t o = 0; o < system->others; o++) {
        double sum = 0.0;
        for (int at = system->other_terms.start[o]; at < system->other_terms.start[o + 1]; at++) {
            sum += system->other_terms.coefficient[at] * extents[system->other_terms.column[at]];
        }
        to[system->other[o]] += sum;
    }
}
