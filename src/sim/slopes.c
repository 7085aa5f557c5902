/* slopes.c: the derivatives of the rates by the amounts and by time.
 *
 * How the equilibria move with their totals is known exactly (speciation_slopes). A liquor moved a hair in one thing that rates
 * read (an amount, an ion, the temperature, the volume) is made from the liquor itself, and the rates that read it are taken from
 * both; the chain rule makes the derivatives by amounts of these. */
#include "chem/water.h"
#include "process/prepare.h"
#include "process/surface.h"
#include "sim/vat.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#define DIFFERENCE 1e-8      /* relative; all else is arithmetic, good to round-off */
#define DIFFERENCE_WHOLE 2e-7 /* of volume */
#define DIFFERENCE_K 5e-6    /* the equilibria are solved to about 1e-12 */
#define LEAST 0.01           /* mol/m3 below which a difference shrinks no more */
#define LEAST_TRACE 1e-6     /* of ions that there is little of */
#define TIME_DIFFERENCE 1.0  /* s; only the air and the sun depend on time by itself */

/* Where each ion stands in struct speciation, and below which size a difference of it shrinks no more. */
static const struct {
    size_t at;
    double least;
} ions[ION_COUNT] = {
    [ION_PH] = {offsetof(struct speciation, ph), 1.0},
    [ION_HYDROXIDE] = {offsetof(struct speciation, hydroxide), LEAST},
    [ION_CALCIUM] = {offsetof(struct speciation, calcium_free), LEAST},
    [ION_CARBONATE] = {offsetof(struct speciation, carbonate), LEAST_TRACE},
    [ION_CARBON_DIOXIDE] = {offsetof(struct speciation, carbon_dioxide), LEAST_TRACE},
    [ION_LEUCO_ACID] = {offsetof(struct speciation, leuco_acid), LEAST},
    [ION_LEUCO_MONO] = {offsetof(struct speciation, leuco_mono), LEAST},
    [ION_FRUCTOSE] = {offsetof(struct speciation, fructose_anion), LEAST},
    [ION_GLUCOSE] = {offsetof(struct speciation, glucose_anion), LEAST},
    [ION_LIME] = {offsetof(struct speciation, lime_saturation), LEAST},
    [ION_CALCITE] = {offsetof(struct speciation, calcite_product), LEAST_TRACE},
};

static double *ion_in(struct speciation *speciation, int ion)
{
    return (double *)(void *)((char *)speciation + ions[ion].at);
}

static double ion_of(const struct speciation *speciation, int ion)
{
    return *(const double *)(const void *)((const char *)speciation + ions[ion].at);
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

/* What is asked for, and at which rates. */
struct task {
    struct reaction *reaction;
    const double *rates;
    const int *states;
    size_t count;
    double *by_state;
};

static double *slope_at(const struct task *task, int rate, size_t column)
{
    return task->by_state + (size_t)rate * task->count + column;
}

/* Adds the change of the rates that `readers` lists, between the liquor and the moved one, to a column. */
static void add_differences(const struct task *task, const struct readers *readers, size_t column, double by)
{
    const struct reaction *reaction = task->reaction;
    const double per = 1.0 / by;
    for (int i = 0; i < readers->count; i++) {
        const int j = readers->rate[i];
        *slope_at(task, j, column) += (reaction->active[j]->rate(&reaction->moved) - task->rates[j]) * per;
    }
}

/* An amount by itself, with the equilibria as they are. */
static void move_amount(struct reaction *reaction, int state, const double *trial)
{
    struct liquor *moved = &reaction->moved;
    moved->concentration[state] = trial[state] / reaction->base.volume;
    switch (state) {
    case S_INDIGO_FILM:
        liquor_update_film(moved);
        moved->oxygen_flux = surface_oxygen_flux(moved);
        break;
    case S_OXYGEN:
    case S_LEUCO:
        moved->oxygen_flux = surface_oxygen_flux(moved);
        break;
    case S_REDUCTONE:
    case S_RESERVE:
        moved->oxygen_flux = surface_oxygen_flux(moved);
        indigo_prepare_reduction(moved);
        break;
    case S_INDIGO_SUSPENDED:
    case S_PARTICLES_SUSPENDED:
        indigo_prepare_suspended(moved);
        break;
    case S_INDIGO_BED:
    case S_PARTICLES_BED:
        indigo_prepare_bed(moved);
        break;
    case S_FRUCTOSE:
    case S_GLUCOSE:
    case S_MEDIATOR:
    case S_MEDIATOR_HIGH_PH:
        indigo_prepare_reduction(moved);
        break;
    default:
        break;
    }
}

static void move_ion(struct reaction *reaction, int ion, double by)
{
    struct liquor *moved = &reaction->moved;
    *ion_in(&moved->ions, ion) += by;
    if (ion == ION_PH || ion == ION_LIME) {
        liquor_update_ions(moved);
    }
    if (ion == ION_PH || ion == ION_HYDROXIDE) {
        indigo_prepare_reduction(moved);
    }
}

/* Undoes either. */
static void move_back(struct reaction *reaction)
{
    const struct liquor *base = &reaction->base;
    struct liquor *moved = &reaction->moved;
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

static void by_amounts(const struct task *task, double *trial)
{
    struct reaction *reaction = task->reaction;
    for (size_t a = 0; a < task->count; a++) {
        const int i = task->states[a];
        if (reaction->readers[i].count == 0) {
            continue;
        }
        const double kept = trial[i];
        trial[i] = kept + DIFFERENCE * fmax(fabs(kept), LEAST * reaction->base.volume);
        move_amount(reaction, i, trial);
        add_differences(task, &reaction->readers[i], a, trial[i] - kept);
        trial[i] = kept;
        reaction->moved.concentration[i] = reaction->base.concentration[i];
        move_back(reaction);
    }
}

/* The columns of amounts that the equilibria are worked out from, each with how its total goes with it; a total is never below
 * nothing. Returns how many. */
static size_t find_totals(const struct task *task, const double *y, size_t *columns, int *totals, double *factors)
{
    const struct reaction *reaction = task->reaction;
    size_t found = 0;
    for (size_t a = 0; a < task->count; a++) {
        const int i = task->states[a];
        if (i == S_WATER || i == S_HEAT || !species_touches_equilibrium((enum species)i)) {
            continue;
        }
        const double charges = species_acid_charges((enum species)i);
        const bool is_there = charges > 0.0 ? reaction->slopes.totals.acid > 0.0 : y[i] >= 0.0;
        columns[found] = a;
        totals[found] = total_of(i);
        factors[found++] = is_there ? (charges > 0.0 ? charges : 1.0) / reaction->base.volume : 0.0;
    }
    return found;
}

/* Through the ions. */
static void by_totals(const struct task *task, const double *y)
{
    struct reaction *reaction = task->reaction;
    size_t columns[STATE_COUNT];
    int totals[STATE_COUNT];
    double factors[STATE_COUNT], slopes[STATE_COUNT];
    const size_t found = find_totals(task, y, columns, totals, factors);
    for (int ion = 0; ion < ION_COUNT; ion++) {
        const struct readers *readers = &reaction->ion_readers[ion];
        if (readers->count == 0) {
            continue;
        }
        const double kept = ion_of(&reaction->base.ions, ion);
        move_ion(reaction, ion, DIFFERENCE * fmax(fabs(kept), ions[ion].least));
        const double per = 1.0 / (ion_of(&reaction->moved.ions, ion) - kept);
        for (size_t c = 0; c < found; c++) {
            slopes[c] = per * factors[c] * ion_of(&reaction->slopes.by_total[totals[c]], ion);
        }
        for (int i = 0; i < readers->count; i++) {
            const int j = readers->rate[i];
            const double difference = reaction->active[j]->rate(&reaction->moved) - task->rates[j];
            for (size_t c = 0; c < found; c++) {
                *slope_at(task, j, columns[c]) += difference * slopes[c];
            }
        }
        *ion_in(&reaction->moved.ions, ion) = kept;
        move_back(reaction);
    }
}

/* The liquor with as much of everything in a little more volume, at the same temperature. */
static void move_volume(struct reaction *reaction)
{
    const struct liquor *base = &reaction->base;
    struct liquor *moved = &reaction->moved;
    const double thinned = 1.0 / (1.0 + DIFFERENCE_WHOLE);
    moved->volume = base->volume * (1.0 + DIFFERENCE_WHOLE);
    moved->height = base->height * (1.0 + DIFFERENCE_WHOLE);
    for (int s = 0; s < STATE_COUNT; s++) {
        moved->concentration[s] *= thinned;
    }
    for (int total = 0; total < TOTAL_COUNT; total++) {
        const double change = (thinned - 1.0) * total_at(&reaction->slopes.totals, total);
        for (int ion = 0; ion < ION_COUNT; ion++) {
            *ion_in(&moved->ions, ion) += change * ion_of(&reaction->slopes.by_total[total], ion);
        }
    }
    liquor_update_ions(moved);
    moved->oxygen_flux = surface_oxygen_flux(moved);
    indigo_prepare_reduction(moved);
}

/* The liquor a little warmer, in the same volume. Finds how the equilibria go with that. */
static int move_temperature(struct reaction *reaction)
{
    const struct liquor *base = &reaction->base;
    struct liquor *moved = &reaction->moved;
    struct speciation *by = &reaction->slopes.by_temperature;
    moved->temperature_K = base->temperature_K + DIFFERENCE_K;
    const double warmer = moved->temperature_K - base->temperature_K;
    temperature_table_read(&reaction->temperatures, &moved->at, reaction->settings, moved->temperature_K);
    if (speciate_near(&moved->at.equilibria, &reaction->slopes.totals, &base->ions, &moved->ions) != 0) {
        return 1;
    }
    by->ph = (moved->ions.ph - base->ions.ph) / warmer;
    by->ionic_strength = (moved->ions.ionic_strength - base->ions.ionic_strength) / warmer;
    by->calcium_free = (moved->ions.calcium_free - base->ions.calcium_free) / warmer;
    liquor_update_ions(moved);
    moved->evaporation = surface_evaporation(moved);
    moved->oxygen_flux = surface_oxygen_flux(moved);
    indigo_prepare_reduction(moved);
    return 0;
}

/* By water and heat, which change everything through the temperature and the volume. */
static int by_water_and_heat(const struct task *task, const double *y)
{
    struct reaction *reaction = task->reaction;
    const struct liquor *base = &reaction->base;
    double by_volume[PROCESSES_KNOWN_MOST], by_temperature[PROCESSES_KNOWN_MOST];
    reaction->moved = *base;
    move_volume(reaction);
    const double per_volume = 1.0 / (reaction->moved.volume - base->volume);
    for (int i = 0; i < reaction->live.count; i++) {
        const int j = reaction->live.rate[i];
        by_volume[i] = (reaction->active[j]->rate(&reaction->moved) - task->rates[j]) * per_volume;
    }
    reaction->moved = *base;
    if (move_temperature(reaction) != 0) {
        return 1;
    }
    const double per_K = 1.0 / (reaction->moved.temperature_K - base->temperature_K);
    const double swelling = -base->volume * (reaction->moved.at.density - base->at.density) / base->at.density * per_K;
    for (int i = 0; i < reaction->live.count; i++) {
        const int j = reaction->live.rate[i];
        const double moved = (reaction->active[j]->rate(&reaction->moved) - task->rates[j]) * per_K;
        /* NOLINTNEXTLINE(clang-analyzer-core.UndefinedBinaryOperatorResult): filled by the loop above */
        by_temperature[i] = moved + swelling * by_volume[i];
    }
    const double by_heat = 1.0 / (y[S_WATER] * WATER_MOLAR_MASS * WATER_HEAT_CAPACITY);
    const double by_water = -(base->temperature_K - HEAT_ZERO_K) / y[S_WATER];
    for (size_t a = 0; a < task->count; a++) {
        for (int i = 0; i < reaction->live.count && task->states[a] == S_HEAT; i++) {
            *slope_at(task, reaction->live.rate[i], a) = by_heat * by_temperature[i];
        }
        for (int i = 0; i < reaction->live.count && task->states[a] == S_WATER; i++) {
            *slope_at(task, reaction->live.rate[i], a) =
                by_water * by_temperature[i] + base->volume / y[S_WATER] * by_volume[i];
        }
    }
    return 0;
}

static void by_time_alone(const struct task *task, double t, double *by_time)
{
    struct reaction *reaction = task->reaction;
    struct liquor *moved = &reaction->moved;
    moved->time = t + TIME_DIFFERENCE;
    moved->air_K = air_temperature(reaction->settings, moved->time);
    moved->sun = sun_strength(reaction->settings, moved->time);
    moved->evaporation = surface_evaporation(moved);
    moved->oxygen_flux = surface_oxygen_flux(moved);
    memset(by_time, 0, reaction->count * sizeof *by_time);
    for (int i = 0; i < reaction->air_readers.count; i++) {
        const int j = reaction->air_readers.rate[i];
        by_time[j] = (reaction->active[j]->rate(moved) - task->rates[j]) / TIME_DIFFERENCE;
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
    slopes->totals = base->totals;
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
    const struct task task = {.reaction = reaction, .rates = rates, .states = states, .count = count, .by_state = by_state};
    double *trial = reaction->scratch;
    if (begin(reaction, t, y) != 0) {
        return 1;
    }
    for (size_t j = 0; j < reaction->count; j++) {
        memset(by_state + j * count, 0, count * sizeof *by_state);
    }
    memcpy(trial, y, (size_t)STATE_COUNT * sizeof *trial);
    reaction->base.amount = trial;
    if (by_water_and_heat(&task, y) != 0) {
        return 1;
    }
    reaction->moved = reaction->base;
    by_amounts(&task, trial);
    by_totals(&task, y);
    by_time_alone(&task, t, by_time);
    return 0;
}
