/* fermentation_rates.c: the rate laws of a fermented vat; see fermentation_rates.h. What they share is in fermentation_life.c. */
#include "process/fermentation_rates.h"

#include "process/fermentation_life.h"

#define CELLS_PER_EXTENT 6.0        /* of the growth reaction */
#define HEXOSE_PER_CELL (5.0 / 6.0) /* built into it */
#define INDIGO_PER_HEXOSE 4.0

/* ---- feed -------------------------------------------------------------------------------------------------------- */

double ferment_fast_feed(const struct liquor *l)
{
    return l->k[K_FEED_FAST_RATE_30C] * l->feed_opening * l->amount[S_FEED_FAST];
}

double ferment_slow_feed(const struct liquor *l)
{
    return l->k[K_FEED_SLOW_RATE_30C] * l->feed_opening * l->amount[S_FEED_SLOW];
}

static double turnover(const struct liquor *l, enum species sugar)
{
    return l->k[K_CELL_SUGAR_TURNOVER] * working_cells(l) * saturation(l->concentration[sugar], l->k[K_CELL_FEED_HALF]);
}

static void turnover_partials(const struct liquor *l, enum species sugar, struct partials *by)
{
    const double most = l->k[K_CELL_SUGAR_TURNOVER];
    const double half = l->k[K_CELL_FEED_HALF];
    by_working_cells(l, most * saturation(l->concentration[sugar], half), by);
    partial_by_concentration(by, l, sugar, most * working_cells(l) * saturation_slope(l->concentration[sugar], half));
}

double ferment_inversion(const struct liquor *l)
{
    return turnover(l, S_SUCROSE);
}

void ferment_inversion_partials(PARTIALS_ARGUMENTS)
{
    (void)by_K, (void)value;
    turnover_partials(l, S_SUCROSE, by);
}

double ferment_fructose(const struct liquor *l)
{
    return turnover(l, S_FRUCTOSE);
}

void ferment_fructose_partials(PARTIALS_ARGUMENTS)
{
    (void)by_K, (void)value;
    turnover_partials(l, S_FRUCTOSE, by);
}

/* ---- reducing cells ---------------------------------------------------------------------------------------------- */

/* mol of hexose fermented for the energy of a mol of cells. */
static double burnt_per_cell(const struct liquor *l)
{
    return MOLAR_CELLS / (l->k[K_CELL_YIELD] * MOLAR_HEXOSE) - HEXOSE_PER_CELL;
}

double ferment_growth(const struct liquor *l)
{
    return l->cells_growing / CELLS_PER_EXTENT;
}

double ferment_lactate(const struct liquor *l)
{
    return l->cells_growing * burnt_per_cell(l) * l->k[K_CELL_LACTATE_SHARE];
}

double ferment_gas(const struct liquor *l)
{
    return l->cells_growing * burnt_per_cell(l) * (1.0 - l->k[K_CELL_LACTATE_SHARE]);
}

double ferment_respiration(const struct liquor *l)
{
    return 0.5 * l->k[K_CELL_RESPIRATION] * working_cells(l) *
           saturation(l->concentration[S_OXYGEN], l->k[K_CELL_RESPIRATION_HALF]) *
           saturation(at_least_zero(l->concentration[S_GLUCOSE]), l->k[K_CELL_REDUCTION_FEED_HALF]);
}

void ferment_respiration_partials(PARTIALS_ARGUMENTS)
{
    (void)by_K, (void)value;
    const double *k = l->k;
    const double oxygen = l->concentration[S_OXYGEN];
    const double glucose = at_least_zero(l->concentration[S_GLUCOSE]);
    const double breath = saturation(oxygen, k[K_CELL_RESPIRATION_HALF]);
    const double fed = saturation(glucose, k[K_CELL_REDUCTION_FEED_HALF]);
    const double most = 0.5 * k[K_CELL_RESPIRATION] * working_cells(l);
    by_working_cells(l, 0.5 * k[K_CELL_RESPIRATION] * breath * fed, by);
    partial_by_concentration(by, l, S_OXYGEN, most * saturation_slope(oxygen, k[K_CELL_RESPIRATION_HALF]) * fed);
    if (l->concentration[S_GLUCOSE] >= 0.0) {
        partial_by_concentration(by, l, S_GLUCOSE,
                                 most * breath * saturation_slope(glucose, k[K_CELL_REDUCTION_FEED_HALF]));
    }
}

double ferment_reduction_suspended(const struct liquor *l)
{
    return l->cell_reduction * l->concentration[S_INDIGO_SUSPENDED] / INDIGO_PER_HEXOSE;
}

double ferment_reduction_bed(const struct liquor *l)
{
    return l->cell_reduction * l->k[K_BED_REDUCTION_SHARE] * l->concentration[S_INDIGO_BED] / INDIGO_PER_HEXOSE;
}

/* ---- death --------------------------------------------------------------------------------------------------------- */

double ferment_decay_to_feed(const struct liquor *l)
{
    return l->cell_loss * (1.0 - l->k[K_CELL_DEBRIS_SHARE]) * l->amount[S_CELLS] / CELLS_PER_EXTENT;
}

double ferment_decay_to_debris(const struct liquor *l)
{
    return l->cell_loss * l->k[K_CELL_DEBRIS_SHARE] * l->amount[S_CELLS];
}

/* ---- spoilers ---------------------------------------------------------------------------------------------------- */

double ferment_spoiler_growth(const struct liquor *l)
{
    return l->spoilers_growing / CELLS_PER_EXTENT;
}

double ferment_spoiler_acid(const struct liquor *l)
{
    return l->spoilers_growing * burnt_per_cell(l);
}

double ferment_spoiler_decay(const struct liquor *l)
{
    return l->spoiler_loss * l->amount[S_SPOILERS];
}

/* kg/m3 of spoilers times their vigour. */
static double working_spoilers(const struct liquor *l)
{
    return MOLAR_CELLS * at_least_zero(l->concentration[S_SPOILERS]) * l->spoiler_vigour;
}

double ferment_spoiler_killing(const struct liquor *l)
{
    return l->k[K_SPOILER_KILLING] * working_spoilers(l) * l->amount[S_CELLS];
}

double ferment_spoiled_suspended(const struct liquor *l)
{
    return l->k[K_SPOILER_INDIGO_RATE] * working_spoilers(l) * l->amount[S_INDIGO_SUSPENDED];
}

double ferment_spoiled_bed(const struct liquor *l)
{
    return l->k[K_SPOILER_INDIGO_RATE] * working_spoilers(l) * l->amount[S_INDIGO_BED];
}
