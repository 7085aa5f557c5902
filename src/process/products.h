/* products.h: the partial derivatives of rates that are products, from the rate itself, and those of any rate: see process.h and
 * partials.h. Inline, for they are asked for some forty rates in every step of the integrator.
 */
#ifndef VATCAST_PROCESS_PRODUCTS_H
#define VATCAST_PROCESS_PRODUCTS_H

#include "process/partials.h"

static inline double *place_in(void *in, size_t at)
{
    return (double *)(void *)((char *)in + at);
}

static inline double number_at(const void *in, size_t at)
{
    return *(const double *)(const void *)((const char *)in + at);
}

/* A product by one of its factors is the product with 1 in place of it: what there is over the factor, unless that is nothing. */
static inline double product_by_factor(const struct process *process, struct liquor *l, double value, double *factor)
{
    const double kept = *factor;
    if (kept < 0.0 || kept > 0.0) {
        return value / kept;
    }
    *factor = 1.0;
    const double slope = process->rate(l);
    *factor = kept;
    return slope;
}

static inline double product_by_amount(const struct process *process, struct liquor *l, double *amounts, double value,
                                       enum species species)
{
    if (amounts[species] < 0.0 || amounts[species] > 0.0) {
        return value / amounts[species];
    }
    const double kept = l->concentration[species];
    l->concentration[species] = 1.0 / l->volume;
    const double slope = product_by_factor(process, l, value, &amounts[species]);
    l->concentration[species] = kept;
    return slope;
}

static inline double product_by_volume(const struct process *process, const struct liquor *l, double value)
{
    return process->volume_power * value / l->volume;
}

static inline double product_by_temperature(const struct process *process, const struct liquor *l,
                                            const struct temperature_factors *by_K, double value)
{
    /* a rate of nothing stays nothing, and its factor may be nothing too: where nothing settles, say */
    return process->warmth == 0 || !(value < 0.0 || value > 0.0)
               ? 0.0
               : value * number_at(by_K, process->warmth) / number_at(&l->at, process->warmth);
}

/* Adds the partial derivatives of a rate that is `value` in this liquor. `amounts` are the liquor's own. Both are as before when it is
 * done: on the way a factor of a product that is zero is not. */
static inline void process_partials(const struct process *process, struct liquor *l, double *amounts,
                                    const struct temperature_factors *by_K, double value, struct partials *by)
{
    if (process->partials != NULL) {
        process->partials(l, by_K, value, by);
        return;
    }
    for (int i = 0; i < process->reads_count; i++) {
        by->amount[process->reads[i]] += product_by_amount(process, l, amounts, value, process->reads[i]);
    }
    for (const enum ion *ion = process->ions; *ion != ION_NONE; ion++) {
        by->ion[*ion] += product_by_factor(process, l, value, place_in(&l->ions, ion_at[*ion]));
    }
    for (const enum shared *shared = process->shared; *shared != SHARED_NONE; shared++) {
        by->shared[*shared] += product_by_factor(process, l, value, place_in(l, shared_values[*shared].at));
    }
    by->volume += product_by_volume(process, l, value);
    by->temperature += product_by_temperature(process, l, by_K, value);
}

#endif
