/* ode_system.c: see ode_system.h. */
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
        {&system->moves.start, m + 1},
        {&system->moves.column, terms},
        {&system->other_terms.start, n + 1},
        {&system->other_terms.column, terms},
        {&system->slopes.start, m + 1},
        {&system->slopes.column, m * n},
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
    system->integers = calloc(m * n + 2 * n * n + 12 * n + 4 * m + 6 + 3 * terms, sizeof *system->integers);
    system->numbers = calloc(2 * m * n + n * n + 2 * n + 3 * terms, sizeof *system->numbers);
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

/* The variables that moved states belong to. `place` gets the index of each state's variable, or -1; `weights` its weight
 * there. Moved states that are no variable by themselves are listed. */
static void find_variables(struct ode_system *system, const struct ode_problem *problem, const int *moved, int *place,
                           int *members)
{
    int n = (int)system->states;
    /* `members` counts moved states of the variable that a state stands for: 1 for itself, 2 for another */
    memset(members, 0, (size_t)n * sizeof *members);
    for (int i = 0; i < n; i++) {
        place[i] = problem->readings == NULL ? i : problem->readings[i].state;
        system->weights[i] = problem->readings == NULL ? 1.0 : problem->readings[i].coefficient;
        if (moved[i] && place[i] >= 0) {
            members[place[i]] += place[i] == i ? 1 : 2;
        }
    }
    system->variables = system->others = 0;
    for (int i = 0; i < n; i++) {
        if (members[i] > 0) {
            system->variable[system->variables++] = i;
        }
        if (moved[i] && (place[i] < 0 || members[place[i]] > 1)) {
            system->other[system->others++] = i;
        }
    }
    for (size_t a = 0; a < system->variables; a++) {
        system->single[a] = members[system->variable[a]] == 1 ? system->variable[a] : -1;
    }
}

/* What each live rate moves and reads, in variables, and what moves the others. `index` gets the variable that a state stands
 * for, or -1. */
static void find_rows(struct ode_system *system, const struct ode_problem *problem, const int *place, int *index)
{
    struct ode_rows *slopes = &system->slopes;
    struct ode_rows *moves = &system->moves;
    for (size_t i = 0; i < system->states; i++) {
        index[i] = -1;
    }
    for (size_t a = 0; a < system->variables; a++) {
        index[system->variable[a]] = (int)a;
    }
    moves->start[0] = slopes->start[0] = 0;
    for (size_t row = 0; row < system->live; row++) {
        moves->start[row + 1] = moves->start[row];
        slopes->start[row + 1] = slopes->start[row];
        for (int at = system->terms.start[row]; at < system->terms.start[row + 1]; at++) {
            int state = system->terms.column[at];
            if (place[state] >= 0) {
                rows_add(moves, (int)row, index[place[state]], system->terms.coefficient[at] * system->weights[state]);
            }
        }
        const int *reads = problem->reads != NULL ? problem->reads(problem->context, (size_t)system->rate[row]) : system->variable;
        size_t most = problem->reads != NULL ? SIZE_MAX : system->variables;
        for (size_t i = 0; i < most && reads[i] >= 0; i++) {
            if (index[reads[i]] >= 0) {
                rows_add(slopes, (int)row, index[reads[i]], 0.0);
            }
        }
    }
}

static void find_others(struct ode_system *system, int *index)
{
    for (size_t i = 0; i < system->states; i++) {
        index[i] = -1;
    }
    for (size_t o = 0; o < system->others; o++) {
        index[system->other[o]] = (int)o;
    }
    /* by column: count, then fill */
    struct ode_rows *rows = &system->other_terms;
    memset(rows->start, 0, (system->others + 1) * sizeof *rows->start);
    for (int at = 0; at < system->terms.start[system->live]; at++) {
        int o = index[system->terms.column[at]];
        if (o >= 0) {
            rows->start[o + 1]++;
        }
    }
    for (size_t o = 0; o < system->others; o++) {
        rows->start[o + 1] += rows->start[o];
    }
    for (size_t row = system->live; row-- > 0;) { /* from the back: each start ends where its row begins */
        for (int at = system->terms.start[row]; at < system->terms.start[row + 1]; at++) {
            int o = index[system->terms.column[at]];
            if (o >= 0) {
                int to = --rows->start[o + 1];
                rows->column[to] = (int)row;
                rows->coefficient[to] = system->terms.coefficient[at];
            }
        }
    }
    for (size_t o = 0; o < system->others; o++) { /* each start has come down to where its row begins: move them by one */
        rows->start[o] = rows->start[o + 1];
    }
    rows->start[system->others] = 0;
    for (int at = 0; at < system->terms.start[system->live]; at++) {
        rows->start[system->others] += index[system->terms.column[at]] >= 0;
    }
}

static uint64_t bit(int i)
{
    return (uint64_t)1 << i;
}

static int count_bits(uint64_t bits)
{
    bits -= (bits >> 1) & UINT64_C(0x5555555555555555);
    bits = (bits & UINT64_C(0x3333333333333333)) + ((bits >> 2) & UINT64_C(0x3333333333333333));
    bits = (bits + (bits >> 4)) & UINT64_C(0x0f0f0f0f0f0f0f0f);
    return (int)((bits * UINT64_C(0x0101010101010101)) >> 56);
}

/* The pattern of the matrix, and of its columns. */
static void find_pattern(struct ode_system *system, uint64_t *columns)
{
    uint64_t *rows = system->pattern;
    for (size_t a = 0; a < system->variables; a++) {
        rows[a] = columns[a] = bit((int)a);
    }
    for (size_t row = 0; row < system->live; row++) {
        uint64_t reads = 0;
        for (int at = system->slopes.start[row]; at < system->slopes.start[row + 1]; at++) {
            reads |= bit(system->slopes.column[at]);
        }
        for (int at = system->moves.start[row]; at < system->moves.start[row + 1]; at++) {
            rows[system->moves.column[at]] |= reads;
        }
    }
    for (size_t a = 0; a < system->variables; a++) {
        for (size_t b = 0; b < system->variables; b++) {
            columns[b] |= (rows[a] & bit((int)b)) != 0 ? bit((int)a) : 0;
        }
    }
}

/* An order of elimination that makes few new entries: each time the variable whose row and column have the fewest (Markowitz,
 * Management Science 3, 255, 1957). The smallest in number of equals, so that the order is one and the same. */
static void order_variables(struct ode_system *system, uint64_t *columns, int *order)
{
    uint64_t *rows = system->pattern;
    const int k = (int)system->variables;
    uint64_t left = k == 0 ? 0 : ~(uint64_t)0 >> (64 - k);
    for (int p = 0; p < k; p++) {
        int best = -1;
        int least = 0;
        for (int a = 0; a < k; a++) {
            if ((left & bit(a)) != 0) {
                int cost = (count_bits(rows[a] & left) - 1) * (count_bits(columns[a] & left) - 1);
                if (best < 0 || cost < least) {
                    best = a;
                    least = cost;
                }
            }
        }
        left &= ~bit(best);
        order[p] = best;
        const uint64_t row = rows[best] & left;
        const uint64_t column = columns[best] & left;
        for (int a = 0; a < k; a++) {
            if ((column & bit(a)) != 0) {
                rows[a] |= row;
            }
            if ((row & bit(a)) != 0) {
                columns[a] |= column;
            }
        }
    }
}

/* Puts the variables in that order, and lists the entries of the factors. */
static void find_factors(struct ode_system *system, const int *order, int *kept)
{
    const int k = (int)system->variables;
    for (int p = 0; p < k; p++) {
        kept[p] = system->variable[p];
        kept[k + p] = system->single[p];
    }
    for (int p = 0; p < k; p++) {
        system->variable[p] = kept[order[p]];
        system->single[p] = kept[k + order[p]];
    }
    system->lower.start[0] = system->upper.start[0] = 0;
    for (int p = 0; p < k; p++) {
        int low = system->lower.start[p];
        int up = system->upper.start[p];
        for (int i = p + 1; i < k; i++) {
            if ((system->pattern[order[i]] & bit(order[p])) != 0) {
                system->lower.column[low++] = i;
            }
            if ((system->pattern[order[p]] & bit(order[i])) != 0) {
                system->upper.column[up++] = i;
            }
        }
        system->lower.start[p + 1] = low;
        system->upper.start[p + 1] = up;
    }
}

void ode_system_restart(struct ode_system *system, const struct ode_problem *problem)
{
    int *moved = system->marks;
    int *place = moved + system->states;
    int *index = place + system->states;
    int *order = index + system->states;
    int *kept = order + system->states;
    uint64_t columns[ODE_STATES_MOST];
    memset(moved, 0, system->states * sizeof *moved);
    find_terms(system, problem, moved);
    find_variables(system, problem, moved, place, index);
    find_rows(system, problem, place, index);
    find_pattern(system, columns);
    order_variables(system, columns, order);
    find_factors(system, order, kept);
    find_rows(system, problem, place, index);
    find_others(system, index);
}

void ode_system_set_slopes(struct ode_system *system)
{
    struct ode_rows *slopes = &system->slopes;
    for (size_t row = 0; row < system->live; row++) {
        const double *from = system->by_state + (size_t)system->rate[row] * system->variables;
        for (int at = slopes->start[row]; at < slopes->start[row + 1]; at++) {
            slopes->coefficient[at] = from[slopes->column[at]];
        }
    }
}

/* Gauss's elimination without exchanges, within the pattern. */
static int eliminate(struct ode_system *system)
{
    const size_t k = system->variables;
    const struct ode_rows *lower = &system->lower;
    const struct ode_rows *upper = &system->upper;
    for (size_t p = 0; p < k; p++) {
        const double *pivot = system->matrix + p * k;
        if (!(fabs(pivot[p]) > PIVOT_SMALLEST * system->inverse[p])) { /* where the diagonal was kept */
            return 1;
        }
        const double inverse = 1.0 / pivot[p];
        system->inverse[p] = inverse;
        for (int at = lower->start[p]; at < lower->start[p + 1]; at++) {
            double *row = system->matrix + (size_t)lower->column[at] * k;
            const double factor = row[p] * inverse;
            row[p] = factor;
            for (int by = upper->start[p]; by < upper->start[p + 1]; by++) {
                row[upper->column[by]] -= factor * pivot[upper->column[by]];
            }
        }
    }
    return 0;
}

int ode_system_factorise(struct ode_system *system, double shift)
{
    const size_t k = system->variables;
    const struct ode_rows *slopes = &system->slopes;
    double *matrix = system->matrix;
    for (size_t p = 0; p < k; p++) {
        for (int at = system->lower.start[p]; at < system->lower.start[p + 1]; at++) {
            matrix[(size_t)system->lower.column[at] * k + p] = 0.0;
        }
        for (int at = system->upper.start[p]; at < system->upper.start[p + 1]; at++) {
            matrix[p * k + (size_t)system->upper.column[at]] = 0.0;
        }
        matrix[p * k + p] = shift;
    }
    for (size_t row = 0; row < system->live; row++) {
        for (int at = system->moves.start[row]; at < system->moves.start[row + 1]; at++) {
            double *to = matrix + (size_t)system->moves.column[at] * k;
            const double coefficient = system->moves.coefficient[at];
            for (int by = slopes->start[row]; by < slopes->start[row + 1]; by++) {
                to[slopes->column[by]] -= coefficient * slopes->coefficient[by];
            }
        }
    }
    for (size_t p = 0; p < k; p++) {
        system->inverse[p] = fabs(matrix[p * k + p]);
    }
    return eliminate(system);
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
    const struct ode_rows *slopes = &system->slopes;
    for (size_t row = 0; row < system->live; row++) {
        double sum = 0.0;
        for (int at = slopes->start[row]; at < slopes->start[row + 1]; at++) {
            sum += slopes->coefficient[at] * x[slopes->column[at]];
        }
        change[row] = sum;
    }
}

void ode_system_solve(const struct ode_system *system, double shift, const double *w, double *x, double *v)
{
    size_t k = system->variables;
    ode_system_read(system, w, x);
    const struct ode_rows *lower = &system->lower;
    const struct ode_rows *upper = &system->upper;
    for (size_t p = 0; p < k; p++) {
        const double known = x[p];
        for (int at = lower->start[p]; at < lower->start[p + 1]; at++) {
            x[lower->column[at]] -= system->matrix[(size_t)lower->column[at] * k + p] * known;
        }
    }
    for (size_t p = k; p-- > 0;) {
        const double *row = system->matrix + p * k;
        double sum = x[p];
        for (int at = upper->start[p]; at < upper->start[p + 1]; at++) {
            sum -= row[upper->column[at]] * x[upper->column[at]];
        }
        x[p] = sum * system->inverse[p];
    }
    const double unshift = 1.0 / shift;
    ode_system_follow(system, x, v);
    for (size_t row = 0; row < system->live; row++) {
        v[row] = (w[row] + v[row]) * unshift;
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

void ode_system_add(const struct ode_system *system, const double *x, const double *extents, double *to)
{
    for (size_t a = 0; a < system->variables; a++) {
        if (system->single[a] >= 0) {
            to[system->single[a]] += x[a];
        }
    }
    for (size_t o = 0; o < system->others; o++) {
        double sum = 0.0;
        for (int at = system->other_terms.start[o]; at < system->other_terms.start[o + 1]; at++) {
            sum += system->other_terms.coefficient[at] * extents[system->other_terms.column[at]];
        }
        to[system->other[o]] += sum;
    }
}
