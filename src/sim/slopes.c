/* slopes.c: the derivatives of the rates by the amounts and by time.
 *
 * How the equilibria move with their totals is known exactly (speciation_slopes); a liquor moved a hair along one amount is made
 * from the liquor itself by what that amount touches, and the rates that read it are taken from both.
 */
#include "process/prepare.h"
#include "process/surface.h"
#include "sim/vat.h"

#include <math.h>
#include <string.h>

#define DIFFERENCE 1e-8     /* relative; all else is arithmetic, good to round-off */
#define DIFFERENCE_ALL 2e-7 /* of water and heat: the equilibria are solved to about 1e-12 */
#define LEAST 0.01          /* mol/m3 below which a difference shrinks no more */
#define TIME_DIFFERENCE 1.0 /* s; only the air and the sun depend on time by itself */

/* Moves the ions by a change of one total, to first order. */
static void move_ions(struct speciation *ions, const struct speciation *by, double change)
{
    ions->ph += by->ph * change;
    ions->hydroxide += by->hydroxide * change;
    ions->ionic_strength += by->ionic_strength * change;
    ions->calcium_free += by->calcium_free * change;
    ions->calcium_hydroxide_pair += by->calcium_hydroxide_pair * change;
    ions->carbonate += by->carbonate * change;
    ions->carbon_dioxide += by->carbon_dioxide * change;
    ions->leuco_acid += by->leuco_acid * change;
    ions->leuco_mono += by->leuco_mono * change;
    ions->leuco_di += by->leuco_di * change;
    ions->fructose_anion += by->fructose_anion * change;
    ions->glucose_anion += by->glucose_anion * change;
    ions->lime_saturation += by->lime_saturation * change;
    ions->calcite_saturation += by->calcite_saturation * change;
}

static int total_of(int state)
{
    switch (state) {
    case S_LEUCO:
        return TOTAL_LEUCO;
    case S_FRUCTOSE:
        return TOTAL_FRUCTOSE;
    case S_GLUCOSE:
        return TOTAL_GLUCOSE;
    case S_CALCIUM:
        return TOTAL_CALCIUM;
    case S_CARBON:
        return TOTAL_CARBON;
    case S_ALKALI:
        return TOTAL_ALKALI;
    case S_STRONG_ANION:
        return TOTAL_STRONG_ANION;
    default:
        return TOTAL_ACID;
    }
}

static double total_at(const struct liquor_totals *totals, int total)
{
    const double values[TOTAL_COUNT] = {
        [TOTAL_CALCIUM] = totals->calcium,           [TOTAL_ALKALI] = totals->alkali, [TOTAL_ACID] = totals->acid,
        [TOTAL_STRONG_ANION] = totals->strong_anion, [TOTAL_CARBON] = totals->carbon, [TOTAL_LEUCO] = totals->leuco,
        [TOTAL_FRUCTOSE] = totals->fructose,         [TOTAL_GLUCOSE] = totals->glucose,
    };
    return values[total];
}

/* An amount that the equilibria are worked out from, at the same temperature and volume. */
static void move_total(struct reaction *reaction, int state, const double *trial)
{
    const struct liquor *base = &reaction->base;
    struct liquor *moved = &reaction->moved;
    struct liquor_totals totals = liquor_totals_of(trial, base->volume);
    int total = total_of(state);
    moved->ions = base->ions;
    move_ions(&moved->ions, &reaction->slopes.by_total[total],
              total_at(&totals, total) - total_at(&reaction->slopes.totals, total));
    moved->concentration[state] = trial[state] / base->volume;
    liquor_update_ions(moved);
    if (state == S_LEUCO) {
        moved->oxygen_flux = surface_oxygen_flux(moved);
    }
    indigo_prepare_reduction(moved);
}

/* An amount that no equilibrium depends on. */
static void move_inert(struct reaction *reaction, int state, const double *trial)
{
    struct liquor *moved = &reaction->moved;
    moved->concentration[state] = trial[state] / reaction->base.volume;
    switch (state) {
    case S_INDIGO_FILM:
        liquor_update_film(moved);
        moved->oxygen_flux = surface_oxygen_flux(moved);
        break;
    case S_OXYGEN:
        moved->oxygen_flux = surface_oxygen_flux(moved);
        break;
    case S_REDUCTONE:
    case S_RESERVE:
        moved->oxygen_flux = surface_oxygen_flux(moved);
        indigo_prepare_reduction(moved);
        break;
    case S_INDIGO_SUSPENDED:
    case S_INDIGO_BED:
    case S_PARTICLES_SUSPENDED:
    case S_PARTICLES_BED:
        indigo_prepare_surfaces(moved);
        break;
    case S_MEDIATOR:
    case S_MEDIATOR_HIGH_PH:
        indigo_prepare_reduction(moved);
        break;
    default:
        break;
    }
}

/* Undoes either. */
static void move_back(struct reaction *reaction, int state)
{
    const struct liquor *base = &reaction->base;
    struct liquor *moved = &reaction->moved;
    moved->ions = base->ions;
    moved->concentration[state] = base->concentration[state];
    moved->film_cover = base->film_cover;
    moved->oxygen_flux = base->oxygen_flux;
    moved->surface_suspended = base->surface_suspended;
    moved->surface_bed = base->surface_bed;
    moved->reduction = base->reduction;
    moved->lime_gap = base->lime_gap;
    moved->cell_vigour = base->cell_vigour;
    moved->spoiler_vigour = base->spoiler_vigour;
    moved->cell_loss = base->cell_loss;
    moved->spoiler_loss = base->spoiler_loss;
}

/* Water and heat change everything. */
static void move_all(struct reaction *reaction, int state, const double *trial)
{
    struct liquor *moved = &reaction->moved;
    const struct liquor *base = &reaction->base;
    liquor_from_near(moved, reaction->settings, base->time, trial, &reaction->temperatures, &reaction->slopes);
    if (state == S_HEAT) {
        double warmer = moved->temperature_K - base->temperature_K;
        struct speciation *by = &reaction->slopes.by_temperature;
        by->ph = (moved->ions.ph - base->ions.ph) / warmer;
        by->ionic_strength = (moved->ions.ionic_strength - base->ions.ionic_strength) / warmer;
        by->calcium_free = (moved->ions.calcium_free - base->ions.calcium_free) / warmer;
    }
}

static void by_time_alone(struct reaction *reaction, double t, const double *rates, double *by_time)
{
    struct liquor *moved = &reaction->moved;
    moved->time = t + TIME_DIFFERENCE;
    moved->air_K = air_temperature(reaction->settings, moved->time);
    moved->sun = sun_strength(reaction->settings, moved->time);
    moved->evaporation = surface_evaporation(moved);
    moved->oxygen_flux = surface_oxygen_flux(moved);
    for (size_t j = 0; j < reaction->count; j++) {
        by_time[j] = (reaction->active[j]->rate(moved) - rates[j]) / TIME_DIFFERENCE;
    }
}

/* The liquor at (t, y), as evaluate left it or worked out, and the slopes of its equilibria. */
static int begin(struct reaction *reaction, double t, const double *y)
{
    const struct liquor *base = &reaction->base;
    if (reaction_bring_base(reaction, t, y) != 0) {
        return 1;
    }
    struct liquor_slopes *slopes = &reaction->slopes;
    slopes->temperature_K = base->temperature_K;
    slopes->totals = liquor_totals_of(y, base->volume);
    slopes->ions = base->ions;
    speciation_slopes(&base->at.equilibria, &slopes->totals, &base->ions, slopes->by_total);
    slopes->by_temperature = (struct speciation){0};
    reaction->slopes_known = true;
    return 0;
}

int reaction_differentiate(void *context, double t, const double *y, const double *rates, const int *states, size_t count,
                           double *by_state, double *by_time)
{
    struct reaction *reaction = context;
    double *trial = reaction->scratch;
    if (begin(reaction, t, y) != 0) {
        return 1;
    }
    memcpy(trial, y, (size_t)STATE_COUNT * sizeof *trial);
    reaction->moved = reaction->base;
    for (size_t a = 0; a < count; a++) {
        const int i = states[a];
        const bool all = i == S_HEAT || i == S_WATER;
        double by = (all ? DIFFERENCE_ALL : DIFFERENCE) * fmax(fabs(y[i]), LEAST * reaction->base.volume);
        trial[i] = y[i] + by;
        by = trial[i] - y[i];
        reaction->moved.amount = trial;
        if (all) {
            move_all(reaction, i, trial);
        } else if (species_touches_equilibrium((enum species)i)) {
            move_total(reaction, i, trial);
        } else {
            move_inert(reaction, i, trial);
        }
        if (reaction->moved.failure != 0) {
            return 1;
        }
        for (int reader = 0; reader < reaction->reader_count[i]; reader++) {
            const int j = reaction->readers[i][reader];
            by_state[(size_t)j * count + a] = (reaction->active[j]->rate(&reaction->moved) - rates[j]) / by;
        }
        trial[i] = y[i];
        if (all) {
            reaction->moved = reaction->base;
        } else {
            move_back(reaction, i);
        }
    }
    by_time_alone(reaction, t, rates, by_time);
    return 0;
}
