/* fermentation_life.c: what several rates of a fermented vat share: how fit cells are, how fast they grow, reduce and die, and how fast
 * feed is opened up; each with how it moves.
 *
 * One population stands for all that reduce, another for all that spoil. What they do goes as their mass, times a vigour from 0
 * to 1 that temperature and pH allow (cardinal values: lowest, best, highest), times a saturation in what they need.
 */
#include "process/fermentation_life.h"

#include "chem/physics.h"
#include "process/prepare.h"

#include <math.h>

#define REFERENCE_K 303.15
#define EDGE_K 0.1 /* K over which growth fades in at a cardinal temperature, so that the law has no corner */
#define EDGE_PH 0.02
#define DEADLY_HEAT_STEP 1.0
#define DEADLY_PH_STEP 0.15
#define ENZYMES_K_STEP 3.0
#define ENZYMES_PH_STEP 0.2

/* A number where it is above zero, smooth within `edge`, and never quite zero. */
static double positive_part(double value, double edge)
{
    double root = sqrt(value * value + edge * edge);
    return value > 0.0 ? 0.5 * (value + root) : 0.5 * edge * edge / (root - value); /* the same, but does not cancel */
}

static double step_up(double value, double width)
{
    return 1.0 / (1.0 + exp(-value / width));
}

/* Its slope, as a share of it. */
static double positive_part_slope(double value, double edge)
{
    return 1.0 / sqrt(value * value + edge * edge);
}

/* The denominator of the cardinal temperature model before it is kept from nothing, and what it is kept from. */
static double cardinal_bottom(double T, double least, double best, double most)
{
    return (best - least) * ((best - least) * (best - T) + (best - most) * (best + least - 2.0 * T));
}

static double cardinal_least_bottom(double least, double best, double most)
{
    return 0.05 * (best - least) * (best - least) * (most - best);
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
    return above * below * below /
           positive_part(cardinal_bottom(T, least, best, most), cardinal_least_bottom(least, best, most));
}

/* Its slope, as a share of it. */
static double cardinal_temperature_slope(double T, const double *k, enum constant_id lowest)
{
    const double least = k[lowest];
    const double best = k[lowest + 1];
    const double most = k[lowest + 2];
    double by_T = (best - least) * (2.0 * (most - best) - (best - least)); /* of the bottom */
    return 2.0 * positive_part_slope(T - least, EDGE_K) - positive_part_slope(most - T, EDGE_K) -
           by_T * positive_part_slope(cardinal_bottom(T, least, best, most), cardinal_least_bottom(least, best, most));
}

/* Cardinal pH model of Rosso et al., Appl. Environ. Microbiol. 1995, 61, 610 (from memory). */
static double cardinal_ph(double ph, const double *k, enum constant_id lowest)
{
    double inside = positive_part(ph - k[lowest], EDGE_PH) * positive_part(k[lowest + 2] - ph, EDGE_PH);
    double off = ph - k[lowest + 1];
    return inside / (inside + off * off);
}

/* Its slope, as a share of it. */
static double cardinal_ph_slope(double ph, const double *k, enum constant_id lowest)
{
    double inside = positive_part(ph - k[lowest], EDGE_PH) * positive_part(k[lowest + 2] - ph, EDGE_PH);
    double off = ph - k[lowest + 1];
    double rise = positive_part_slope(ph - k[lowest], EDGE_PH) - positive_part_slope(k[lowest + 2] - ph, EDGE_PH);
    return (rise * off * off - 2.0 * off) / (inside + off * off);
}

/* Share of the fastest death that heat brings; share of the feed's enzymes that it leaves. */
static double killed_by_heat(double T, const double *k)
{
    return step_up(T - k[K_CELL_TEMPERATURE_HIGHEST] - k[K_CELL_DEADLY_HEAT], DEADLY_HEAT_STEP);
}

static double enzymes_in_heat(double T, const double *k)
{
    return step_up(k[K_FEED_ENZYMES_HEAT] - T, ENZYMES_K_STEP);
}

void fermentation_factors_at(struct temperature_factors *at, const double *k)
{
    const double T = at->temperature_K;
    double inverse = 1.0 / T - 1.0 / REFERENCE_K;
    at->cell_growth = cardinal_temperature(T, k, K_CELL_TEMPERATURE_LOWEST);
    at->spoiler_growth = cardinal_temperature(T, k, K_SPOILER_TEMPERATURE_LOWEST);
    at->feeding = exp(-k[K_FEED_ACTIVATION] / GAS_CONSTANT * inverse) * enzymes_in_heat(T, k);
    at->cell_loss = k[K_CELL_DECAY_RATE_30C] * exp(-k[K_CELL_DECAY_ACTIVATION] / GAS_CONSTANT * inverse) +
                    k[K_CELL_DEATH_RATE] * killed_by_heat(T, k);
}

void fermentation_factor_slopes(const struct temperature_factors *at, const double *k, struct temperature_factors *by_K)
{
    const double T = at->temperature_K;
    const double per_activation = 1.0 / (GAS_CONSTANT * T * T); /* of an Arrhenius factor, as a share of it */
    const double killed = killed_by_heat(T, k);
    const double decay = at->cell_loss - k[K_CELL_DEATH_RATE] * killed;
    by_K->cell_growth = at->cell_growth * cardinal_temperature_slope(T, k, K_CELL_TEMPERATURE_LOWEST);
    by_K->spoiler_growth = at->spoiler_growth * cardinal_temperature_slope(T, k, K_SPOILER_TEMPERATURE_LOWEST);
    by_K->feeding =
        at->feeding * (k[K_FEED_ACTIVATION] * per_activation - (1.0 - enzymes_in_heat(T, k)) / ENZYMES_K_STEP);
    by_K->cell_loss = decay * k[K_CELL_DECAY_ACTIVATION] * per_activation +
                      k[K_CELL_DEATH_RATE] * killed * (1.0 - killed) / DEADLY_HEAT_STEP;
}

/* ---- vigour and loss ----------------------------------------------------------------------------------------------- */

void cell_vigour_partials(PARTIALS_ARGUMENTS)
{
    by->ion[ION_PH] += value * cardinal_ph_slope(l->ions.ph, l->k, K_CELL_PH_LOWEST);
    by->temperature += value * by_K->cell_growth / l->at.cell_growth;
}

void spoiler_vigour_partials(PARTIALS_ARGUMENTS)
{
    by->ion[ION_PH] += value * cardinal_ph_slope(l->ions.ph, l->k, K_SPOILER_PH_LOWEST);
    by->temperature += value * by_K->spoiler_growth / l->at.spoiler_growth;
}

/* Share of the fastest death that a pH above the highest brings. */
static double killed_by_ph(const struct liquor *l, enum constant_id highest)
{
    return step_up(l->ions.ph - l->k[highest] - l->k[K_CELL_DEADLY_PH], DEADLY_PH_STEP);
}

static double loss(const struct liquor *l, enum constant_id highest_ph)
{
    return l->at.cell_loss + l->k[K_CELL_DEATH_RATE] * killed_by_ph(l, highest_ph);
}

static void loss_partials(const struct liquor *l, enum constant_id highest_ph, const struct temperature_factors *by_K,
                          struct partials *by)
{
    const double killed = killed_by_ph(l, highest_ph);
    by->ion[ION_PH] += l->k[K_CELL_DEATH_RATE] * killed * (1.0 - killed) / DEADLY_PH_STEP;
    by->temperature += by_K->cell_loss;
}

void cell_loss_partials(PARTIALS_ARGUMENTS)
{
    (void)value;
    loss_partials(l, K_CELL_PH_HIGHEST, by_K, by);
}

void spoiler_loss_partials(PARTIALS_ARGUMENTS)
{
    (void)value;
    loss_partials(l, K_SPOILER_PH_HIGHEST, by_K, by);
}

/* ---- feed -------------------------------------------------------------------------------------------------------- */

/* kg/m3 of all that lives. */
static double living(const struct liquor *l)
{
    return MOLAR_CELLS * at_least_zero(l->concentration[S_CELLS] + l->concentration[S_SPOILERS]);
}

static double enzymes_in_alkali(const struct liquor *l)
{
    return step_up(l->k[K_FEED_ENZYMES_PH] - l->ions.ph, ENZYMES_PH_STEP);
}

/* What opens up feed: a little by the feed's own enzymes, the rest as cells cover it; none of it in strong alkali. */
static double feed_opening(const struct liquor *l)
{
    double own = l->k[K_FEED_OWN_SHARE];
    return l->at.feeding * (own + (1.0 - own) * saturation(living(l), l->k[K_FEED_CELLS_HALF])) * enzymes_in_alkali(l);
}

void feed_opening_partials(PARTIALS_ARGUMENTS)
{
    const double left = enzymes_in_alkali(l);
    const double by_living = l->at.feeding * (1.0 - l->k[K_FEED_OWN_SHARE]) *
                             saturation_slope(living(l), l->k[K_FEED_CELLS_HALF]) * left * MOLAR_CELLS;
    if (l->concentration[S_CELLS] + l->concentration[S_SPOILERS] >= 0.0) {
        partial_by_concentration(by, l, S_CELLS, by_living);
        partial_by_concentration(by, l, S_SPOILERS, by_living);
    }
    by->ion[ION_PH] -= value * (1.0 - left) / ENZYMES_PH_STEP;
    by->temperature += value * by_K->feeding / l->at.feeding;
}

/* ---- growth -------------------------------------------------------------------------------------------------------- */

static double oxygen_penalty(const struct liquor *l)
{
    double half = l->k[K_CELL_OXYGEN_HALF];
    return half / (half + at_least_zero(l->concentration[S_OXYGEN]));
}

/* Of a rate in proportion to it. */
static void by_oxygen_penalty(const struct liquor *l, double value, struct partials *by)
{
    if (l->concentration[S_OXYGEN] >= 0.0) {
        partial_by_concentration(by, l, S_OXYGEN, -value / (l->k[K_CELL_OXYGEN_HALF] + l->concentration[S_OXYGEN]));
    }
}

/* What a mol of cells with all that they need makes, mol/s, with as much sugar and nitrogen as there is. */
static double by_what_there_is(const struct liquor *l)
{
    return saturation(l->concentration[S_GLUCOSE], l->k[K_CELL_FEED_HALF]) *
           saturation(at_least_zero(l->concentration[S_NITROGEN]), l->k[K_CELL_NITROGEN_HALF]);
}

static void by_what_there_is_partials(const struct liquor *l, double per_saturation, struct partials *by)
{
    const double glucose = l->concentration[S_GLUCOSE];
    const double nitrogen = at_least_zero(l->concentration[S_NITROGEN]);
    const double feed_half = l->k[K_CELL_FEED_HALF];
    const double nitrogen_half = l->k[K_CELL_NITROGEN_HALF];
    partial_by_concentration(
        by, l, S_GLUCOSE, per_saturation * saturation_slope(glucose, feed_half) * saturation(nitrogen, nitrogen_half));
    if (l->concentration[S_NITROGEN] >= 0.0) {
        partial_by_concentration(by, l, S_NITROGEN,
                                 per_saturation * saturation(glucose, feed_half) *
                                     saturation_slope(nitrogen, nitrogen_half));
    }
}

/* mol of cells per second. */
static double cells_growing(const struct liquor *l)
{
    return l->k[K_CELL_GROWTH_RATE] * l->cell_vigour * oxygen_penalty(l) * l->amount[S_CELLS] * by_what_there_is(l);
}

void cells_growing_partials(PARTIALS_ARGUMENTS)
{
    (void)by_K;
    const double per_cell = l->k[K_CELL_GROWTH_RATE] * l->cell_vigour * oxygen_penalty(l);
    by->amount[S_CELLS] += per_cell * by_what_there_is(l);
    by->shared[SHARED_CELL_VIGOUR] += value / l->cell_vigour;
    by_oxygen_penalty(l, value, by);
    by_what_there_is_partials(l, per_cell * l->amount[S_CELLS], by);
}

static double spoilers_growing(const struct liquor *l)
{
    return l->k[K_SPOILER_GROWTH_RATE] * l->spoiler_vigour * l->amount[S_SPOILERS] * by_what_there_is(l);
}

void spoilers_growing_partials(PARTIALS_ARGUMENTS)
{
    (void)by_K;
    const double per_cell = l->k[K_SPOILER_GROWTH_RATE] * l->spoiler_vigour;
    by->amount[S_SPOILERS] += per_cell * by_what_there_is(l);
    by->shared[SHARED_SPOILER_VIGOUR] += value / l->spoiler_vigour;
    by_what_there_is_partials(l, per_cell * l->amount[S_SPOILERS], by);
}

/* ---- reduction ----------------------------------------------------------------------------------------------------- */

/* mol/m3 of indigo that fills the cells' hands, beyond which more of it does not help. */
static double in_reach(const struct liquor *l)
{
    return l->k[K_CELL_REDUCTION_INDIGO_HALF] + at_least_zero(l->concentration[S_INDIGO_SUSPENDED]) +
           l->k[K_BED_REDUCTION_SHARE] * at_least_zero(l->concentration[S_INDIGO_BED]);
}

static double mediator_help(const struct liquor *l)
{
    return 1.0 + (l->k[K_CELL_MEDIATOR_FACTOR] - 1.0) *
                     saturation(at_least_zero(l->concentration[S_MEDIATOR]), l->k[K_MEDIATOR_HALF]);
}

/* (leuco over the ceiling)^4 */
static double fullness(const struct liquor *l)
{
    double full = at_least_zero(l->concentration[S_LEUCO]) / l->k[K_CELL_LEUCO_CEILING];
    return full * full * full * full;
}

/* The rate of the fed, per kg of working cells. */
static double reduction_of_the_fed(const struct liquor *l)
{
    return l->k[K_CELL_REDUCTION] * mediator_help(l) * oxygen_penalty(l) / ((1.0 + fullness(l)) * in_reach(l));
}

/* mol of indigo reduced per second for a mol/m3 of it within reach. The nearer the leuco comes to the ceiling, the nearer the
 * potential of the dye comes to the lowest that the cells can make, and the less they give to it. */
static double cell_reduction(const struct liquor *l)
{
    return working_cells(l) * reduction_of_the_fed(l) *
           saturation(l->concentration[S_GLUCOSE], l->k[K_CELL_REDUCTION_FEED_HALF]);
}

void cell_reduction_partials(PARTIALS_ARGUMENTS)
{
    (void)by_K;
    const double *k = l->k;
    const double *c = l->concentration;
    const double fed = reduction_of_the_fed(l);
    by_working_cells(l, fed * saturation(c[S_GLUCOSE], k[K_CELL_REDUCTION_FEED_HALF]), by);
    partial_by_concentration(by, l, S_GLUCOSE,
                             working_cells(l) * fed * saturation_slope(c[S_GLUCOSE], k[K_CELL_REDUCTION_FEED_HALF]));
    by_oxygen_penalty(l, value, by);
    if (c[S_MEDIATOR] >= 0.0) {
        partial_by_concentration(by, l, S_MEDIATOR,
                                 value / mediator_help(l) * (k[K_CELL_MEDIATOR_FACTOR] - 1.0) *
                                     saturation_slope(c[S_MEDIATOR], k[K_MEDIATOR_HALF]));
    }
    if (c[S_LEUCO] > 0.0) {
        partial_by_concentration(by, l, S_LEUCO, -value * 4.0 * fullness(l) / (1.0 + fullness(l)) / c[S_LEUCO]);
    }
    if (c[S_INDIGO_SUSPENDED] >= 0.0) {
        partial_by_concentration(by, l, S_INDIGO_SUSPENDED, -value / in_reach(l));
    }
    if (c[S_INDIGO_BED] >= 0.0) {
        partial_by_concentration(by, l, S_INDIGO_BED, -value * k[K_BED_REDUCTION_SHARE] / in_reach(l));
    }
}

void fermentation_prepare(struct liquor *liquor)
{
    const double ph = liquor->ions.ph;
    liquor->cell_vigour = liquor->at.cell_growth * cardinal_ph(ph, liquor->k, K_CELL_PH_LOWEST);
    liquor->spoiler_vigour = liquor->at.spoiler_growth * cardinal_ph(ph, liquor->k, K_SPOILER_PH_LOWEST);
    liquor->cell_loss = loss(liquor, K_CELL_PH_HIGHEST);
    liquor->spoiler_loss = loss(liquor, K_SPOILER_PH_HIGHEST);
    liquor->feed_opening = feed_opening(liquor);
    liquor->cells_growing = cells_growing(liquor);
    liquor->spoilers_growing = spoilers_growing(liquor);
    liquor->cell_reduction = cell_reduction(liquor);
}
