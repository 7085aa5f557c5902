/* ode_algebra.h: the linear algebra of a step, written once for numbers and for lanes of numbers.
 *
 * Included with these set: NUMBER, what is reckoned with: a double, or several side by side, each of another run; MARKS, the integers
 * that comparing such gives; SIZE(a), its absolute value; IS_MORE(a, b), all bits where a > b; OF(name), what the functions are called;
 * ON, their attributes; ENTRIES, the struct of ode_inside.h that holds the numbers of a system (ODE_ENTRIES_OF). What is said of the system (which entries there are, the table of processes) is the same for all lanes; the
 * numbers in its entries are not, and are given apart. A lane comes to what a double comes to, to the last bit. Lanes are handed on by
 * their address, since how they are handed on by value is not the same for all processors. No include guard: a file may want both.
 */
#define PIVOT_SMALLEST 1e-7 /* of the diagonal it came from: a pivot below has lost too much */

/* product = a row times `in`. */
ON static inline void OF(row_times)(const struct ode_rows *rows, const NUMBER *entries, size_t row, const NUMBER *in,
                                    NUMBER *product)
{
    const int *column = rows->column;
    const int end = rows->start[row + 1];
    NUMBER sum = {0};
    for (int at = rows->start[row]; at < end; at++) {
        sum += entries[at] * in[column[at]];
    }
    *product = sum;
}

/* The same, where the entries are those of the table of processes. */
ON static inline void OF(plain_row_times)(const struct ode_rows *rows, size_t row, const NUMBER *in, NUMBER *product)
{
    const int *column = rows->column;
    const double *coefficient = rows->coefficient;
    const int end = rows->start[row + 1];
    NUMBER sum = {0};
    for (int at = rows->start[row]; at < end; at++) {
        sum += coefficient[at] * in[column[at]];
    }
    *product = sum;
}

/* Gauss's elimination without exchanges, within the pattern. The factors come to stand in the rows of their patterns. `fit` gets all
 * bits where every pivot was large enough. */
ON static inline void OF(eliminate)(const struct ode_system *system, const ENTRIES *entries, MARKS *fit)
{
    const size_t k = system->variables;
    const int *low = system->lower.column;
    const int *up = system->upper.column;
    NUMBER *factors = entries->lower;
    NUMBER *rest = entries->upper;
    MARKS good = ~(MARKS){0};
    for (size_t p = 0; p < k; p++) {
        const NUMBER *pivot = entries->matrix + p * k;
        const int first = system->upper.start[p];
        const int end = system->upper.start[p + 1];
        good &= IS_MORE(SIZE(pivot[p]), PIVOT_SMALLEST * entries->inverse[p]); /* where the diagonal was kept */
        const NUMBER inverse = 1.0 / pivot[p];
        entries->inverse[p] = inverse;
        for (int by = first; by < end; by++) {
            rest[by] = pivot[up[by]];
        }
        for (int at = system->lower.start[p]; at < system->lower.start[p + 1]; at++) {
            NUMBER *row = entries->matrix + (size_t)low[at] * k;
            const NUMBER factor = row[p] * inverse;
            factors[at] = factor;
            for (int by = first; by < end; by++) {
                row[up[by]] -= factor * rest[by];
            }
        }
    }
    *fit = good;
}

/* Factors I * shift - C S' R from the slopes R. */
ON static inline void OF(factorise)(const struct ode_system *system, const NUMBER *shift, const ENTRIES *entries,
                                    MARKS *fit)
{
    const size_t k = system->variables;
    NUMBER *matrix = entries->matrix;
    for (size_t i = 0; i < system->made; i++) {
        matrix[system->made_at[i]] = (NUMBER){0};
    }
    for (size_t entry = 0; entry < system->filled; entry++) {
        OF(plain_row_times)(&system->sums, entry, entries->slopes, &matrix[system->place[entry]]);
    }
    for (size_t p = 0; p < k; p++) {
        matrix[p * k + p] += *shift;
    }
    for (size_t p = 0; p < k; p++) {
        entries->inverse[p] = SIZE(matrix[p * k + p]);
    }
    OF(eliminate)(system, entries, fit);
}

ON static inline void OF(solve)(const struct ode_system *system, const ENTRIES *entries, NUMBER *x)
{
    const size_t k = system->variables;
    const int *low = system->lower.column;
    const int *up = system->upper.column;
    const NUMBER *factors = entries->lower;
    const NUMBER *rest = entries->upper;
    for (size_t p = 0; p < k; p++) {
        const NUMBER known = x[p];
        for (int at = system->lower.start[p]; at < system->lower.start[p + 1]; at++) {
            x[low[at]] -= factors[at] * known;
        }
    }
    for (size_t p = k; p-- > 0;) {
        const int end = system->upper.start[p + 1];
        NUMBER even = x[p]; /* two sums, so that one need not wait for the other */
        NUMBER odd = {0};
        int at = system->upper.start[p];
        for (; at + 1 < end; at += 2) {
            odd += rest[at] * x[up[at]];
            even -= rest[at + 1] * x[up[at + 1]];
        }
        if (at < end) {
            even -= rest[at] * x[up[at]];
        }
        x[p] = (even - odd) * entries->inverse[p];
    }
}

/* x = C S' w */
ON static inline void OF(read)(const struct ode_system *system, const NUMBER *w, NUMBER *x)
{
    for (size_t a = 0; a < system->variables; a++) {
        OF(plain_row_times)(&system->moves, a, w, &x[a]);
    }
}

/* change = R x */
ON static inline void OF(follow)(const struct ode_system *system, const NUMBER *slopes, const NUMBER *x, NUMBER *change)
{
    for (size_t row = 0; row < system->live; row++) {
        OF(row_times)(&system->slopes, slopes, row, x, &change[row]);
    }
}

/* to (n) += S' extents */
ON static inline void OF(add_extents)(const struct ode_system *system, const NUMBER *extents, NUMBER *to)
{
    for (size_t row = 0; row < system->live; row++) {
        for (int at = system->terms.start[row]; at < system->terms.start[row + 1]; at++) {
            to[system->terms.column[at]] += system->terms.coefficient[at] * extents[row];
        }
    }
}

/* to (n) += u where u is a state by itself */
ON static inline void OF(add_variables)(const struct ode_system *system, const NUMBER *x, NUMBER *to)
{
    for (size_t a = 0; a < system->variables; a++) {
        if (system->single[a] >= 0) {
            to[system->single[a]] += x[a];
        }
    }
}

/* to (n) += u, given by its variables and by the extents w + R followed: only those are worked out that move what is no variable by
 * itself. */
ON static inline void OF(add_following)(const struct ode_system *system, const NUMBER *slopes, const NUMBER *x,
                                        const NUMBER *w, const NUMBER *followed, NUMBER *to)
{
    const struct ode_rows *terms = &system->other_terms;
    OF(add_variables)(system, x, to);
    for (size_t o = 0; o < system->others; o++) {
        for (int at = terms->start[o]; at < terms->start[o + 1]; at++) {
            const size_t rate = (size_t)terms->column[at];
            NUMBER change;
            OF(row_times)(&system->slopes, slopes, rate, followed, &change);
            to[system->other[o]] += terms->coefficient[at] * (w[rate] + change);
        }
    }
}

#undef PIVOT_SMALLEST
