/* fermentation_rates.c: how fast cells grow, feed, reduce and die, and how fast feed is opened up; see fermentation_rates.h.
 *
 * One population stands for all that reduce, another for all that spoil. What they do goes as their mass, times a vigour from 0
 * to 1 that temperature and pH allow (cardinal values: lowest, best, highest), times a saturation in what they need.
 */
#include "process/fermentation_rates.h"

#include "chem/physics.h"
#include "process/prepare.h"

#include <math.h>

#define REFERENCE_K 303.15
#define EDGE_K 0.1         /* K over which growth fades in at a cardinal temperature, so that the law has no corner */
#define EDGE_PH 0.02
#define DEADLY_HEAT_STEP 1.0
#define DEADLY_PH_STEP 0.15
#define ENZYMES_K_STEP 3.0
#define ENZYMES_PH_STEP 0.2
#define CELLS_PER_EXTENT 6.0 /* of the growth reaction */
#define HEXOSE_PER_CELL (5.0 / 6.0) /* built into it */
#define INDIGO_PER_HEXOSE 4.0

static double at_least_zero(double value)
{
    return value > 0.0 ? value : 0.0;
}

static double positive_part(double value, double edge)
{
    double root = sqrt(value * value + edge * edge);
    return value > 0.0 ? 0.5 * (value + root) : 0.5 * edge * edge / (root - value); /* the same, but does not cancel */
}

static double step_up(double value, double width)
{
    return 1.0 / (1.0 + exp(-value / width));
}

/* c/(K + c), odd in c, so that an amount a hair below zero comes back. */
static double saturation(double concentration, double half)
{
    return concentration / (half + fabs(concentration));
}

/* Cardinal temperature model of Rosso, Lobry & Flandrois, J. Theor. Biol. 1993, 162, 447 (from memory). The best temperature must
 * lie above the middle of the range. */
static double cardinal_temperature(double T, const double *k, enum constant_id lowest)
{
    const double least = k[lowest];
    const double best = k[lowest + 1];
    const double most = k[lowest + 2];
    double below = positive_part(T - least, EDGE_K);
    double above = positive_part(most - T, EDGE_K);
    double bottom = (best - least) * ((best - least) * (best - T) + (best - most) * (best + least - 2.0 * T));
    double least_bottom = 0.05 * (best - least) * (best - least) * (most - best);
    return above * below * below / positive_part(bottom, least_bottom);
}

/* Cardinal pH model of Rosso et al., Appl. Environ. Microbiol. 1995, 61, 610 (from memory). */
static double cardinal_ph(double ph, const double *k, enum constant_id lowest)
{
    double inside = positive_part(ph - k[lowest], EDGE_PH) * positive_part(k[lowest + 2] - ph, EDGE_PH);
    double off = ph - k[lowest + 1];
    return inside / (inside + off * off);
}

void fermentation_factors_at(struct temperature_factors *at, const double *k)
{
    const double T = at->temperature_K;
    double inverse = 1.0 / T - 1.0 / REFERENCE_K;
    at->cell_growth = cardinal_temperature(T, k, K_CELL_TEMPERATURE_LOWEST);
    at->spoiler_growth = cardinal_temperature(T, k, K_SPOILER_TEMPERATURE_LOWEST);
    at->feeding = exp(-k[K_FEED_ACTIVATION] / GAS_CONSTANT * inverse) * step_up(k[K_FEED_ENZYMES_HEAT] - T, ENZYMES_K_STEP);
    at->cell_loss = k[K_CELL_DECAY_RATE_30C] * exp(-k[K_CELL_DECAY_ACTIVATION] / GAS_CONSTANT * inverse) +
                    k[K_CELL_DEATH_RATE] * step_up(T - k[K_CELL_TEMPERATURE_HIGHEST] - k[K_CELL_DEADLY_HEAT], DEADLY_HEAT_STEP);
}

void fermentation_prepare(struct liquor *liquor)
{
    const double *k = liquor->k;
    const double ph = liquor->ions.ph;
    liquor->cell_vigour = liquor->at.cell_growth * cardinal_ph(ph, k, K_CELL_PH_LOWEST);
    liquor->spoiler_vigour = liquor->at.spoiler_growth * cardinal_ph(ph, k, K_SPOILER_PH_LOWEST);
    liquor->cell_loss =
        liquor->at.cell_loss + k[K_CELL_DEATH_RATE] * step_up(ph - k[K_CELL_PH_HIGHEST] - k[K_CELL_DEADLY_PH], DEADLY_PH_STEP);
    liquor->spoiler_loss =
        liquor->at.cell_loss + k[K_CELL_DEATH_RATE] * step_up(ph - k[K_SPOILER_PH_HIGHEST] - k[K_CELL_DEADLY_PH], DEADLY_PH_STEP);
}

/* ---- feed -------------------------------------------------------------------------------------------------------- */

/* What opens up feed: a little by the feed's own enzymes, the rest as cells cover it; none of it in strong alkali. */
static double opening(const struct liquor *l)
{
    double cells = MOLAR_CELLS * at_least_zero(l->concentration[S_CELLS] + l->concentration[S_SPOILERS]);
    double own = l->k[K_FEED_OWN_SHARE];
    return l->at.feeding * (own + (1.0 - own) * cells / (cells + l->k[K_FEED_CELLS_HALF])) *
           step_up(l->k[K_FEED_ENZYMES_PH] - l->ions.ph, ENZYMES_PH_STEP);
}

double ferment_fast_feed(const struct liquor *l)
{
    return l->k[K_FEED_FAST_RATE_30C] * opening(l) * l->amount[S_FEED_FAST];
}

double ferment_slow_feed(const struct liquor *l)
{
    return l->k[K_FEED_SLOW_RATE_30C] * opening(l) * l->amount[S_FEED_SLOW];
}

/* kg of reducing cells times their vigour. */
static double working_cells(const struct liquor *l)
{
    return MOLAR_CELLS * l->amount[S_CELLS] * l->cell_vigour;
}

double ferment_inversion(const struct liquor *l)
{
    return l->k[K_CELL_SUGAR_TURNOVER] * working_cells(l) * saturation(l->concentration[S_SUCROSE], l->k[K_CELL_FEED_HALF]);
}

double ferment_fructose(const struct liquor *l)
{
    return l->k[K_CELL_SUGAR_TURNOVER] * working_cells(l) * saturation(l->concentration[S_FRUCTOSE], l->k[K_CELL_FEED_HALF]);
}

/* ---- reducing cells ---------------------------------------------------------------------------------------------- */

static double oxygen_penalty(const struct liquor *l)
{
    double half = l->k[K_CELL_OXYGEN_HALF];
    return half / (half + at_least_zero(l->concentration[S_OXYGEN]));
}

/* mol of cells per second. */
static double growth(const struct liquor *l)
{
    return l->k[K_CELL_GROWTH_RATE] * l->cell_vigour * oxygen_penalty(l) * l->amount[S_CELLS] *
           saturation(l->concentration[S_GLUCOSE], l->k[K_CELL_FEED_HALF]) *
           saturation(at_least_zero(l->concentration[S_NITROGEN]), l->k[K_CELL_NITROGEN_HALF]);
}

/* mol of hexose fermented for the energy of a mol of cells. */
static double burnt_per_cell(const struct liquor *l)
{
    return MOLAR_CELLS / (l->k[K_CELL_YIELD] * MOLAR_HEXOSE) - HEXOSE_PER_CELL;
}

double ferment_growth(const struct liquor *l)
{
    return growth(l) / CELLS_PER_EXTENT;
}

double ferment_lactate(const struct liquor *l)
{
    return growth(l) * burnt_per_cell(l) * l->k[K_CELL_LACTATE_SHARE];
}

double ferment_gas(const struct liquor *l)
{
    return growth(l) * burnt_per_cell(l) * (1.0 - l->k[K_CELL_LACTATE_SHARE]);
}

double ferment_respiration(const struct liquor *l)
{
    return 0.5 * l->k[K_CELL_RESPIRATION] * working_cells(l) *
           saturation(l->concentration[S_OXYGEN], l->k[K_CELL_RESPIRATION_HALF]) *
           saturation(at_least_zero(l->concentration[S_GLUCOSE]), l->k[K_CELL_REDUCTION_FEED_HALF]);
}

/* mol of indigo reduced per second for a mol/m3 of it within reach. The nearer the leuco comes to the ceiling, the nearer the
 * potential of the dye comes to the lowest that the cells can make, and the less they give to it. */
static double reduction(const struct liquor *l)
{
    const double *k = l->k;
    double suspended = at_least_zero(l->concentration[S_INDIGO_SUSPENDED]);
    double bed = k[K_BED_REDUCTION_SHARE] * at_least_zero(l->concentration[S_INDIGO_BED]);
    double mediator = at_least_zero(l->concentration[S_MEDIATOR]);
    double help = 1.0 + (k[K_CELL_MEDIATOR_FACTOR] - 1.0) * mediator / (mediator + k[K_MEDIATOR_HALF]);
    double full = at_least_zero(l->concentration[S_LEUCO]) / k[K_CELL_LEUCO_CEILING];
    return k[K_CELL_REDUCTION] * working_cells(l) * help * oxygen_penalty(l) / (1.0 + full * full * full * full) *
           saturation(l->concentration[S_GLUCOSE], k[K_CELL_REDUCTION_FEED_HALF]) /
           (k[K_CELL_REDUCTION_INDIGO_HALF] + suspended + bed);
}

double ferment_reduction_suspended(const struct liquor *l)
{
    return reduction(l) * l->concentration[S_INDIGO_SUSPENDED] / INDIGO_PER_HEXOSE;
}

double ferment_reduction_bed(const struct liquor *l)
{
    return reduction(l) * l->k[K_BED_REDUCTION_SHARE] * l->concentration[S_INDIGO_BED] / INDIGO_PER_HEXOSE;
}

double ferment_decay_to_feed(const struct liquor *l)
{
    return l->cell_loss * (1.0 - l->k[K_CELL_DEBRIS_SHARE]) * l->amount[S_CELLS] / CELLS_PER_EXTENT;
}

double ferment_decay_to_debris(const struct liquor *l)
{
    return l->cell_loss * l->k[K_CELL_DEBRIS_SHARE] * l->amount[S_CELLS];
}

/* ---- spoilers ---------------------------------------------------------------------------------------------------- */

static double spoiler_growth(const struct liquor *l)
{
    return l->k[K_SPOILER_GROWTH_RATE] * l->spoiler_vigour * l->amount[S_SPOILERS] *
           saturation(l->concentration[S_GLUCOSE], l->k[K_CELL_FEED_HALF]) *
           saturation(at_least_zero(l->concentration[S_NITROGEN]), l->k[K_CELL_NITROGEN_HALF]);
}

double ferment_spoiler_growth(const struct liquor *l)
{
    return spoiler_growth(l) / CELLS_PER_EXTENT;
}

double ferment_spoiler_acid(const struct liquor *l)
{
    return spoiler_growth(l) * burnt_per_cell(l);
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
