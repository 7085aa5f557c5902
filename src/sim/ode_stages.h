/* ode_stages.h: the sums over the stages of a step of RODAS, written once for numbers and for lanes of numbers: included after
 * ode_algebra.h, with the same set (see there), and STAGED, the struct of ode_inside.h that holds the
 * numbers of the stages (ODE_STAGED_OF). */

/* sum += the first `count` vectors of `of`, each times its factor; two at a time, which halves the comings and goings of `sum`. */
ON static inline void OF(add_multiples)(NUMBER *restrict sum, NUMBER *const *of, const NUMBER *factors, int count,
                                        size_t length)
{
    int i = 0;
    for (; i + 1 < count; i += 2) {
        const NUMBER *restrict first = of[i];
        const NUMBER *restrict second = of[i + 1];
        const NUMBER by_first = factors[i];
        const NUMBER by_second = factors[i + 1];
        for (size_t k = 0; k < length; k++) {
            sum[k] = sum[k] + by_first * first[k] + by_second * second[k];
        }
    }
    if (i < count) {
        const NUMBER *restrict last = of[i];
        const NUMBER by_last = factors[i];
        for (size_t k = 0; k < length; k++) {
            sum[k] += by_last * last[k];
        }
    }
}

/* sum = all stages, each times its factor. */
ON static inline void OF(sum_stages)(NUMBER *const of[STAGES], const NUMBER factors[STAGES], size_t length,
                                     NUMBER *restrict sum)
{
    for (size_t k = 0; k < length; k++) {
        NUMBER value = {0};
        for (int i = 0; i < STAGES; i++) {
            value += factors[i] * of[i][k];
        }
        sum[k] = value;
    }
}

/* Factors from the table of the method. */
ON static inline void OF(take_weights)(const double *weights, int from, int to, NUMBER factors[STAGES])
{
    for (int i = from; i < to; i++) {
        factors[i] = weights[i] + (NUMBER){0};
    }
}

/* By how much the f_j + R x_j enter the sum of the stages, each times its weight, in extents. */
ON static inline void OF(spread_weights)(const NUMBER *h, const double weights[STAGES], const struct ode_spread *spread,
                                         NUMBER factors[STAGES])
{
    memset(factors, 0, STAGES * sizeof *factors);
    for (int i = 0; i < STAGES; i++) {
        for (int j = 0; j <= i; j++) {
            factors[j] += *h * weights[i] * spread->by[i][j];
        }
    }
}

/* Where the rates of stage s are worked out, as far as they read it: sum = by how much that lies from where the step begins, in
 * variables. */
ON static inline void OF(find_place)(const struct ode_system *system, const STAGED *stages, const double a[STAGES],
                                     int s)
{
    int first = s - 1; /* the last stage begins where the one before it ended */
    NUMBER factors[STAGES];
    if (s < STAGES - 1) {
        memset(stages->sum, 0, system->variables * sizeof *stages->sum);
        first = 0;
    }
    OF(take_weights)(a, first, s, factors);
    OF(add_multiples)(stages->sum, stages->x + first, factors + first, s - first, system->variables);
}

/* Solves for x of stage s, whose f are known. */
ON static inline void OF(solve_stage)(const struct ode_system *system, const ENTRIES *entries, const STAGED *stages,
                                      const double c[STAGES], int s)
{
    NUMBER factors[STAGES];
    for (int i = 0; i < s; i++) {
        factors[i] = c[i] / stages->h;
    }
    OF(read)(system, stages->f[s], stages->x[s]);
    OF(add_multiples)(stages->x[s], stages->x, factors, s, system->variables);
    OF(solve)(system, entries, stages->x[s]);
}

/* The sum of the stages, each times its weight: in extents, from the rates and variables of the stages. */
ON static inline void OF(sum_extents)(const struct ode_system *system, const ENTRIES *entries, const STAGED *stages,
                                      const struct ode_spread *spread, const double weights[STAGES], NUMBER *extents)
{
    NUMBER factors[STAGES];
    OF(spread_weights)(&stages->h, weights, spread, factors);
    OF(sum_stages)(stages->x, factors, system->variables, stages->sum);
    OF(follow)(system, entries->slopes, stages->sum, extents);
    OF(add_multiples)(extents, stages->f, factors, STAGES, system->live);
}

/* The sum of the stages, each times its weight, in states: `to` += it. */
ON static inline void OF(add_stages)(const struct ode_system *system, const ENTRIES *entries, const STAGED *stages,
                                     const struct ode_spread *spread, const double weights[STAGES], NUMBER *to)
{
    NUMBER followed[ODE_STATES_MOST];
    NUMBER factors[STAGES], plain[STAGES];
    OF(take_weights)(weights, 0, STAGES, plain);
    OF(spread_weights)(&stages->h, weights, spread, factors);
    OF(sum_stages)(stages->x, plain, system->variables, stages->sum);
    OF(sum_stages)(stages->x, factors, system->variables, followed);
    OF(sum_stages)(stages->f, factors, system->live, stages->w);
    OF(add_following)(system, entries->slopes, stages->sum, stages->w, followed, to);
}
