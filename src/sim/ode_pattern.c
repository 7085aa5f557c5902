/* ode_pattern.c: which entries the linear system of the integrator has, and in which order it is eliminated; see ode_system.h. */
#include "sim/ode_system.h"

#include <limits.h>
#include <string.h>

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

/* The terms by column: rows of `by_column` for the columns that `index` gives a row, from 0 to `count`; each coefficient is taken
 * times the weight of its state. */
static void transpose_terms(const struct ode_system *system, const int *index, size_t count, const double *weights,
                            struct ode_rows *by_column)
{
    const struct ode_rows *terms = &system->terms;
    int *start = by_column->start;
    memset(start, 0, (count + 1) * sizeof *start);
    for (int at = 0; at < terms->start[system->live]; at++) {
        if (index[terms->column[at]] >= 0) {
            start[index[terms->column[at]] + 1]++;
        }
    }
    for (size_t row = 0; row < count; row++) {
        start[row + 1] += start[row];
    }
    for (size_t row = 0; row < system->live; row++) { /* each start runs to the end of its row ... */
        for (int at = terms->start[row]; at < terms->start[row + 1]; at++) {
            int to = index[terms->column[at]];
            if (to >= 0) {
                by_column->column[start[to]] = (int)row;
                by_column->coefficient[start[to]++] =
                    terms->coefficient[at] * (weights != NULL ? weights[terms->column[at]] : 1.0);
            }
        }
    }
    memmove(start + 1, start, count * sizeof *start); /* ... where the next begins */
    start[0] = 0;
}

/* What each live rate reads and what moves each variable. `index` gets the variable that each state belongs to, or -1. */
static void find_rows(struct ode_system *system, const struct ode_problem *problem, const int *place, int *index,
                      int *stands_for)
{
    struct ode_rows *slopes = &system->slopes;
    for (size_t i = 0; i < system->states; i++) {
        stands_for[i] = -1;
    }
    for (size_t a = 0; a < system->variables; a++) {
        stands_for[system->variable[a]] = (int)a;
    }
    for (size_t i = 0; i < system->states; i++) {
        index[i] = place[i] >= 0 ? stands_for[place[i]] : -1;
    }
    transpose_terms(system, index, system->variables, system->weights, &system->moves);
    slopes->start[0] = 0;
    for (size_t row = 0; row < system->live; row++) {
        slopes->start[row + 1] = slopes->start[row];
        const int *reads = problem->reads != NULL ? problem->reads(problem->context, (size_t)system->rate[row]) : system->variable;
        size_t most = problem->reads != NULL ? SIZE_MAX : system->variables;
        for (size_t i = 0; i < most && reads[i] >= 0; i++) {
            if (stands_for[reads[i]] >= 0) {
                const int at = slopes->start[row + 1]++;
                slopes->column[at] = stands_for[reads[i]];
                system->slope_from[at] = system->rate[row] * (int)system->variables + stands_for[reads[i]];
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
    transpose_terms(system, index, system->others, NULL, &system->other_terms);
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
    for (size_t a = 0; a < system->variables; a++) {
        for (int at = system->moves.start[a]; at < system->moves.start[a + 1]; at++) {
            int row = system->moves.column[at];
            for (int by = system->slopes.start[row]; by < system->slopes.start[row + 1]; by++) {
                rows[a] |= bit(system->slopes.column[by]);
            }
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
        int best = 0;
        int least = INT_MAX;
        for (int a = 0; a < k; a++) {
            if ((left & bit(a)) != 0) {
                int cost = (count_bits(rows[a] & left) - 1) * (count_bits(columns[a] & left) - 1);
                if (cost < least) {
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

/* Which slopes each entry of the matrix is the sum of; marks these entries by row. */
static void find_sums(struct ode_system *system, int *next, uint64_t *summed)
{
    const int k = (int)system->variables;
    const struct ode_rows *moves = &system->moves;
    const struct ode_rows *slopes = &system->slopes;
    struct ode_rows *sums = &system->sums;
    system->filled = 0;
    sums->start[0] = 0;
    for (int a = 0; a < k; a++) {
        summed[a] = 0;
        memset(next, 0, (size_t)k * sizeof *next);
        for (int at = moves->start[a]; at < moves->start[a + 1]; at++) {
            for (int by = slopes->start[moves->column[at]]; by < slopes->start[moves->column[at] + 1]; by++) {
                next[slopes->column[by]]++; /* how many there are ... */
            }
        }
        for (int b = 0; b < k; b++) {
            if (next[b] > 0) {
                const int first = sums->start[system->filled];
                summed[a] |= bit(b);
                system->place[system->filled++] = a * k + b;
                sums->start[system->filled] = first + next[b];
                next[b] = first; /* ... and where the next of them goes */
            }
        }
        for (int at = moves->start[a]; at < moves->start[a + 1]; at++) {
            for (int by = slopes->start[moves->column[at]]; by < slopes->start[moves->column[at] + 1]; by++) {
                const int to = next[slopes->column[by]]++;
                sums->column[to] = by;
                sums->coefficient[to] = -moves->coefficient[at];
            }
        }
    }
}

/* Which entries the elimination makes beside those that are sums. */
static void find_made(struct ode_system *system, const uint64_t *summed)
{
    const int k = (int)system->variables;
    uint64_t *rows = system->pattern;
    for (int p = 0; p < k; p++) {
        rows[p] = bit(p);
    }
    for (int p = 0; p < k; p++) {
        for (int at = system->lower.start[p]; at < system->lower.start[p + 1]; at++) {
            rows[system->lower.column[at]] |= bit(p);
        }
        for (int at = system->upper.start[p]; at < system->upper.start[p + 1]; at++) {
            rows[p] |= bit(system->upper.column[at]);
        }
    }
    system->made = 0;
    for (int a = 0; a < k; a++) {
        for (int b = 0; b < k; b++) {
            if ((rows[a] & ~summed[a] & bit(b)) != 0) {
                system->made_at[system->made++] = a * k + b;
            }
        }
    }
}

bool ode_system_fits(const struct ode_system *system, const struct ode_problem *problem)
{
    size_t row = 0;
    for (size_t j = 0; system->restarted && j < system->rates; j++) {
        if (problem->is_live == NULL || problem->is_live(problem->context, j)) {
            if (row == system->live || system->rate[row] != (int)j) {
                return false;
            }
            row++;
        }
    }
    return system->restarted && row == system->live;
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
    find_rows(system, problem, place, index, kept);
    find_pattern(system, columns);
    order_variables(system, columns, order);
    find_factors(system, order, kept);
    find_rows(system, problem, place, index, kept);
    find_sums(system, kept, columns);
    find_made(system, columns);
    find_others(system, index);
    system->restarted = true;
}
