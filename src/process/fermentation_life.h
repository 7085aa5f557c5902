/* fermentation_life.h: small laws of what lives in a vat, between fermentation_life.c (what rates share) and fermentation_rates.c. */
#ifndef VATCAST_PROCESS_FERMENTATION_LIFE_H
#define VATCAST_PROCESS_FERMENTATION_LIFE_H

#include "base/numbers.h"
#include "process/partials.h"

#include <math.h>

/* c/(K + c), odd in c, so that an amount a hair below zero comes back. */
static inline double saturation(double concentration, double half)
{
    return concentration / (half + fabs(concentration));
}

static inline double saturation_slope(double concentration, double half)
{
    double all = half + fabs(concentration);
    return half / (all * all);
}

/* kg of reducing cells times their vigour. */
static inline double working_cells(const struct liquor *l)
{
    return MOLAR_CELLS * l->amount[S_CELLS] * l->cell_vigour;
}

/* Of a rate that is `per_cells` times working cells. */
static inline void by_working_cells(const struct liquor *l, double per_cells, struct partials *by)
{
    by->amount[S_CELLS] += per_cells * MOLAR_CELLS * l->cell_vigour;
    by->shared[SHARED_CELL_VIGOUR] += per_cells * MOLAR_CELLS * l->amount[S_CELLS];
}

#endif
