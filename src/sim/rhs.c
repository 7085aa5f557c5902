/* rhs.c: the right-hand side: stoichiometry times rates, and the derivatives of the rates by differences. */
#include "process/surface.h"
#include "sim/vat.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define DIFFERENCE 1e-7    /* relative; the equilibria are solved to about 1e-13 */
#define TIME_DIFFERENCE 1.0 /* s; only the air and the sun depend on time by itself */

static bool reads(const struct process *process, int state)
{
    if (process->reads_count == 0) {
        return true;
    }
    for (int i = 0; i < process->reads_count; i++) {
        if ((int)process->reads[i] == state) {
            return true;
        }
    }
    return false;
}

static void find_readers(struct reaction *reaction)
{
    for (int s = 0; s < STATE_COUNT; s++) {
        reaction->reader_count[s] = 0;
        for (size_t j = 0; j < reaction->count; j++) {
            if (species_touches_equilibrium((enum species)s) || reads(reaction->active[j], s)) {
                reaction->readers[s][reaction->reader_count[s]++] = (int)j;
            }
        }
    }
}

void reaction_prepare(struct vat *vat)
{
    struct reaction *reaction = &vat->reaction;
    const struct model *model = &vat->scenario->model;
    reaction->settings = &vat->settings;
    reaction->count = 0;
    vat->ferments = false;
    for (size_t i = 0; i < process_count(); i++) {
        if (!model->process_on[i]) {
            continue;
        }
        const struct process *process = process_at(i);
        size_t j = reaction->count++;
        reaction->active[j] = process;
        reaction->index[j] = i;
        vat->ferments = vat->ferments || strcmp(process->name, "ferment_growth") == 0;
        int kept = 0;
        for (int t = 0; t < PROCESS_TERMS_MOST && process->terms[t].coefficient != 0; t++) {
            if ((int)process->terms[t].species < STATE_COUNT) { /* the implied species are not integrated */
                reaction->terms[j][kept++] = (struct ode_term){.state = (int)process->terms[t].species,
                                                               .coefficient = process->terms[t].coefficient};
            }
        }
        reaction->terms[j][kept].state = -1;
    }

    find_readers(reaction);

    /* Typical sizes: 1 mol/m3 of most things, less of the short-lived. */
    double volume = vat->scenario->fill;
    for (int s = 0; s < STATE_COUNT; s++) {
        reaction->typical[s] = volume;
    }
    reaction->typical[S_WATER] = 1e3 * volume;
    reaction->typical[S_HEAT] = 4e6 * volume;
    reaction->typical[S_REDUCTONE] = 0.1 * volume;
    reaction->typical[S_OXYGEN] = 0.01 * volume;
    reaction->typical[S_PEROXIDE] = 0.01 * volume;
    reaction->typical[S_CARBON] = 0.1 * volume;
    reaction->typical[S_CELLS] = 0.01 * volume;
    reaction->typical[S_SPOILERS] = 0.01 * volume;
    reaction->typical[S_INDIGO_FILM] = 1e-4 * vat->settings.area;
    for (int s = S_CLOTH_0; s <= S_CLOTH_7; s++) {
        reaction->typical[s] = 0.1 * volume;
    }
    reaction->factors.temperature_K = 0.0;
}

static int rates_of(const struct reaction *reaction, const struct liquor *liquor, double *rates)
{
    double sum = 0.0;
    for (size_t j = 0; j < reaction->count; j++) {
        rates[j] = reaction->active[j]->rate(liquor);
        sum += rates[j] * 0.0;
    }
    return sum == 0.0 ? 0 : 1;
}

static int evaluate(void *context, double t, const double *y, double *rates)
{
    struct reaction *reaction = context;
    liquor_from_amounts(&reaction->base, reaction->settings, t, y, &reaction->factors);
    if (reaction->base.failure != 0) {
        return 1;
    }
    reaction->factors = reaction->base.at;
    return rates_of(reaction, &reaction->base, rates);
}

static int differentiate(void *context, double t, const double *y, const double *rates, const int *states, size_t count,
                         double *by_state, double *by_time)
{
    struct reaction *reaction = context;
    const size_t n = (size_t)STATE_COUNT;
    struct liquor *moved = &reaction->moved;
    double *trial = reaction->scratch;
    memcpy(trial, y, n * sizeof *trial);
    liquor_from_amounts(&reaction->base, reaction->settings, t, y, &reaction->factors);
    if (reaction->base.failure != 0) {
        return 1;
    }
    reaction->factors = reaction->base.at;
    memset(by_state, 0, reaction->count * count * sizeof *by_state);
    for (size_t a = 0; a < count; a++) {
        const int i = states[a];
        double by = DIFFERENCE * fmax(fabs(y[i]), reaction->typical[i]);
        trial[i] = y[i] + by;
        by = trial[i] - y[i];
        if (species_touches_equilibrium((enum species)i)) {
            liquor_near(moved, &reaction->base, trial);
            if (moved->failure != 0) {
                return 1;
            }
        } else {
            *moved = reaction->base;
            liquor_update_inert(moved, trial);
        }
        for (int reader = 0; reader < reaction->reader_count[i]; reader++) {
            const int j = reaction->readers[i][reader];
            by_state[(size_t)j * count + a] = (reaction->active[j]->rate(moved) - rates[j]) / by;
        }
        trial[i] = y[i];
    }
    *moved = reaction->base;
    moved->time = t + TIME_DIFFERENCE;
    moved->air_K = air_temperature(reaction->settings, moved->time);
    moved->sun = sun_strength(reaction->settings, moved->time);
    moved->evaporation = surface_evaporation(moved);
    liquor_update_inert(moved, trial);
    if (rates_of(reaction, moved, reaction->rates) != 0) {
        return 1;
    }
    for (size_t j = 0; j < reaction->count; j++) {
        by_time[j] = (reaction->rates[j] - rates[j]) / TIME_DIFFERENCE;
    }
    return 0;
}

static const struct ode_term *terms(void *context, size_t rate)
{
    const struct reaction *reaction = context;
    return reaction->terms[rate];
}

/* Cloth that is not in, a heater that is off: zero until the settings change at an event. */
static bool is_live(void *context, size_t rate)
{
    const struct reaction *reaction = context;
    const struct process *process = reaction->active[rate];
    return process->is_live == NULL || process->is_live(reaction->settings);
}

static void explain(void *context, double t, const double *y, char *text, size_t size)
{
    struct reaction *reaction = context;
    for (int s = 0; s < STATE_COUNT; s++) {
        if (!isfinite(y[s])) {
            (void)snprintf(text, size, "the amount of %s is not a number", species_table[s].name);
            return;
        }
    }
    liquor_from_amounts(&reaction->base, reaction->settings, t, y, &reaction->factors);
    if (reaction->base.failure != 0) {
        (void)snprintf(text, size, "no pH balances the charges (temperature %.4g degC, water %.4g kg)",
                       temperature_of_heat(y[S_HEAT], y[S_WATER]) - HEAT_ZERO_K, y[S_WATER] * MOLAR_WATER);
        return;
    }
    for (size_t j = 0; j < reaction->count; j++) {
        if (!isfinite(reaction->active[j]->rate(&reaction->base))) {
            (void)snprintf(text, size, "the rate of '%s' is not a number", reaction->active[j]->name);
            return;
        }
    }
    (void)snprintf(text, size, "no step was small enough (temperature %.4g degC, pH %.4g, leuco %.3g mol/m3)",
                   reaction->base.temperature_K - HEAT_ZERO_K, reaction->base.ions.ph,
                   reaction->base.concentration[S_LEUCO]);
}

struct ode_problem reaction_problem(struct reaction *reaction)
{
    return (struct ode_problem){
        .states = (size_t)STATE_COUNT,
        .rates = reaction->count,
        .context = reaction,
        .evaluate = evaluate,
        .differentiate = differentiate,
        .terms = terms,
        .is_live = is_live,
        .explain = explain,
    };
}
