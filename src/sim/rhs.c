/* rhs.c: the right-hand side: stoichiometry times rates. Their derivatives are in slopes.c. */
#include "sim/vat.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static bool reads(const struct process *process, int state)
{
    return state == S_WATER || state == S_HEAT || process_reads_amount(process, (enum species)state) ||
           (process_reads_ions(process) && species_touches_equilibrium((enum species)state));
}

static bool is_read(const struct reaction *reaction, int state)
{
    for (size_t j = 0; j < reaction->count; j++) {
        if (reads(reaction->active[j], state)) {
            return true;
        }
    }
    return false;
}

/* The acids enter the equilibria by their sum of charges only, and some of what a vat holds only piles up. */
static void find_readings(struct reaction *reaction)
{
    for (int s = 0; s < STATE_COUNT; s++) {
        const double charges = species_acid_charges((enum species)s);
        reaction->readings[s] = charges > 0.0          ? (struct ode_term){S_LACTATE, charges}
                                : is_read(reaction, s) ? (struct ode_term){s, 1.0}
                                                       : (struct ode_term){-1, 0.0};
    }
    for (size_t j = 0; j < reaction->count; j++) {
        int count = 0;
        for (int s = 0; s < STATE_COUNT; s++) {
            if (reaction->readings[s].state == s && reads(reaction->active[j], s)) {
                reaction->reads[j][count++] = s;
            }
        }
        reaction->reads[j][count] = -1;
        const struct process *process = reaction->active[j];
        reaction->reads_ions[j] = process_reads_ions(process);
        reaction->plain[j] =
            process->partials == NULL && process->ions[0] == ION_NONE && process->shared[0] == SHARED_NONE;
    }
}

/* Cloth that is not in, a heater that is off: zero until the settings change at an event. */
static bool is_live_now(const struct reaction *reaction, size_t rate)
{
    const struct process *process = reaction->active[rate];
    return process->is_live == NULL || process->is_live(reaction->settings);
}

static void mark_shared(bool marks[SHARED_COUNT], const enum shared *list)
{
    for (; *list != SHARED_NONE; list++) {
        marks[*list] = true;
        mark_shared(marks, shared_values[*list].shared);
    }
}

/* Which rates are live under the settings as they are, and what they share. */
static void find_live(struct reaction *reaction)
{
    bool marks[SHARED_COUNT] = {false};
    reaction->live.count = 0;
    for (size_t j = 0; j < reaction->count; j++) {
        if (is_live_now(reaction, j)) {
            reaction->live.rate[reaction->live.count++] = (int)j;
            mark_shared(marks, reaction->active[j]->shared);
        }
    }
    int count = 0;
    for (int shared = SHARED_NONE + 1; shared < SHARED_COUNT; shared++) {
        if (marks[shared]) {
            reaction->shared[shared].reads_ions = shared_reads_ions((enum shared)shared);
            reaction->shared_live[count++] = (enum shared)shared;
        }
    }
    reaction->shared_live[count] = SHARED_NONE;
    reaction->columns.count = 0; /* not found yet */
}

/* Sizes worth telling apart from nothing: 1 mol/m3 of most things, less of those whose small amounts show in a series or steer
 * others. Chosen by trial, so that no series, dip or piece of any shipped scenario errs by more than 1e-4 of its scale
 * (tests/sim/test_accuracy.c). Oxygen may err by far more than its trace in a reduced liquor: leuco, reductone and reserve share it in the proportion of their
 * speeds, whatever course it takes, and what is too much of it is gone in seconds. */
static void find_typical(struct vat *vat)
{
    static const struct {
        enum species species;
        double per_m3;
    } others[] = {
        {S_WATER, 1e3},     {S_HEAT, 4e6},   {S_FRUCTOSE, 0.1},   {S_GLUCOSE, 0.1}, {S_REDUCTONE, 0.005},
        {S_RESERVE, 0.004}, {S_CELLS, 0.01}, {S_SPOILERS, 0.001}, {S_CALCIUM, 0.2}, {S_CHALK_SUSPENDED, 0.2},
        {S_CARBON, 0.1},
    };
    /* Where nothing lives, little of these steers nothing. */
    static const struct {
        enum species species;
        double per_m3;
    } lifeless[] = {{S_LIME_SUSPENDED, 3.0}, {S_REDUCTONE, 0.02}, {S_CARBON, 0.4}};
    double *typical = vat->reaction.typical;
    const double volume = vat->scenario->fill;
    for (int s = 0; s < STATE_COUNT; s++) {
        typical[s] = s >= S_CLOTH_0 && s <= S_CLOTH_7 ? 0.01 * volume : volume;
    }
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        typical[others[i].species] = others[i].per_m3 * volume;
    }
    for (size_t i = 0; i < sizeof lifeless / sizeof lifeless[0] && vat->settings.lifeless; i++) {
        typical[lifeless[i].species] = lifeless[i].per_m3 * volume;
    }
    typical[S_INDIGO_FILM] = 5e-5 * vat->settings.area;
}

void reaction_prepare(struct vat *vat)
{
    struct reaction *reaction = &vat->reaction;
    const struct model *model = &vat->scenario->model;
    reaction->settings = &vat->settings;
    reaction->count = 0;
    vat->ferments = false;
    bool lifeless = true;
    for (size_t i = 0; i < process_count(); i++) {
        if (!model->process_on[i]) {
            continue;
        }
        const struct process *process = process_at(i);
        size_t j = reaction->count++;
        reaction->active[j] = process;
        reaction->index[j] = i;
        vat->ferments = vat->ferments || strcmp(process->name, "ferment_growth") == 0;
        lifeless = lifeless && strncmp(process->name, "ferment_", strlen("ferment_")) != 0;
        int kept = 0;
        for (int t = 0; t < PROCESS_TERMS_MOST && process->terms[t].coefficient != 0; t++) {
            if ((int)process->terms[t].species < STATE_COUNT) { /* the implied species are not integrated */
                reaction->terms[j][kept++] = (struct ode_term){.state = (int)process->terms[t].species,
                                                               .coefficient = process->terms[t].coefficient};
            }
        }
        reaction->terms[j][kept].state = -1;
    }

    vat->settings.lifeless = lifeless;
    find_readings(reaction);
    reaction_find_uptake(reaction);
    find_typical(vat);
    temperature_table_empty(&reaction->temperatures);
    reaction->slopes_known = reaction->base_known = reaction->settings_known = false;
    reaction->failed = -1;
}

/* The first of the active processes whose rate, or what else, is not a finite number; -1 when all are. */
static int first_not_finite(const double *values, size_t count)
{
    for (size_t j = 0; j < count; j++) {
        if (!isfinite(values[j])) {
            return (int)j;
        }
    }
    return -1;
}

static int rates_of(const struct reaction *reaction, const struct liquor *liquor, double *rates)
{
    double sum = 0.0;
    memset(rates, 0, reaction->count * sizeof *rates);
    for (int i = 0; i < reaction->live.count; i++) {
        const int j = reaction->live.rate[i];
        rates[j] = reaction->active[j]->rate(liquor);
        sum += rates[j];
    }
    return isfinite(sum) || first_not_finite(rates, reaction->count) < 0 ? 0 : 1;
}

void reaction_look_at_settings(struct reaction *reaction)
{
    if (!reaction->settings_known ||
        memcmp(&reaction->base_settings, reaction->settings, sizeof *reaction->settings) != 0) {
        memcpy(&reaction->base_settings, reaction->settings, sizeof *reaction->settings);
        reaction->settings_known = true;
        reaction->base_known = false;
        find_live(reaction);
    }
}

/* Whether `base` is another liquor than that at (t, y). Takes over the amounts then. */
static bool is_to_be_brought(struct reaction *reaction, double t, const double *y)
{
    if (reaction->base_known && memcmp(&reaction->base.time, &t, sizeof t) == 0 &&
        memcmp(reaction->base_amount, y, sizeof reaction->base_amount) == 0) {
        return false;
    }
    memcpy(reaction->base_amount, y, sizeof reaction->base_amount);
    return true;
}

static void note_base(struct reaction *reaction)
{
    reaction->base_known = reaction->base.failure == 0;
    if (reaction->base_known) { /* the next is near this one, more often than where the slopes were taken */
        reaction->slopes.temperature_K = reaction->base.temperature_K;
        reaction->slopes.totals = reaction->base.totals;
        reaction->slopes.ions = reaction->base.ions;
    }
}

static struct liquor_asked ask_base(struct reaction *reaction, double t)
{
    return (struct liquor_asked){.liquor = &reaction->base,
                                 .settings = reaction->settings,
                                 .time = t,
                                 .amount = reaction->base_amount,
                                 .table = &reaction->temperatures,
                                 .near = reaction->slopes_known ? &reaction->slopes : NULL};
}

int reaction_bring_base(struct reaction *reaction, double t, const double *y)
{
    if (is_to_be_brought(reaction, t, y)) {
        const struct liquor_asked asked = ask_base(reaction, t);
        liquor_from_near(&asked);
        note_base(reaction);
    }
    return reaction->base.failure;
}

/* The rates in `base`. */
static int evaluate_base(struct reaction *reaction, double t, double *rates)
{
    int outcome = rates_of(reaction, &reaction->base, rates);
    if (outcome != 0) {
        reaction->failed = first_not_finite(rates, reaction->count);
        reaction->failed_at = t;
    }
    return outcome;
}

static int evaluate(void *context, double t, const double *y, double *rates)
{
    struct reaction *reaction = context;
    reaction->failed = -1;
    return reaction_bring_base(reaction, t, y) != 0 ? 1 : evaluate_base(reaction, t, rates);
}

static void evaluate_several(enum lanes_kind kind, const struct ode_asked asked[], int count, int failures[])
{
    struct liquor_asked liquors[LANES];
    struct reaction *brought[LANES];
    int brought_count = 0;
    for (int i = 0; i < count; i++) {
        struct reaction *reaction = asked[i].context;
        reaction->failed = -1;
        if (is_to_be_brought(reaction, asked[i].t, asked[i].y)) {
            brought[brought_count] = reaction;
            liquors[brought_count++] = ask_base(reaction, asked[i].t);
        }
    }
    if (brought_count > 0) {
        liquors_from_near(kind, liquors, brought_count);
    }
    for (int i = 0; i < brought_count; i++) {
        note_base(brought[i]);
    }
    for (int i = 0; i < count; i++) {
        struct reaction *reaction = asked[i].context;
        failures[i] = reaction->base.failure != 0 ? 1 : evaluate_base(reaction, asked[i].t, asked[i].r);
    }
}

static const struct ode_term *terms(void *context, size_t rate)
{
    const struct reaction *reaction = context;
    return reaction->terms[rate];
}

static const int *reads_of(void *context, size_t rate)
{
    const struct reaction *reaction = context;
    return reaction->reads[rate];
}

static bool is_live(void *context, size_t rate)
{
    return is_live_now(context, rate);
}

/* Where one of the rates' derivatives at (t, y) is not a number: which, and by which amount, or by time (STATE_COUNT). Returns
 * false when all are. */
static bool find_bad_slope(struct reaction *reaction, double t, const double *y, const double *rates, int *rate,
                           int *state)
{
    double by_state[PROCESSES_KNOWN_MOST] = {0.0}; /* those of live rates are filled in */
    double by_time[PROCESSES_KNOWN_MOST];
    for (*state = 0; *state < STATE_COUNT; (*state)++) {
        if (reaction_differentiate(reaction, t, y, rates, state, 1, by_state, by_time) != 0) {
            return false;
        }
        *rate = first_not_finite(by_state, reaction->count);
        if (*rate >= 0) {
            return true;
        }
    }
    *rate = first_not_finite(by_time, reaction->count);
    return *rate >= 0;
}

/* What is wrong at (t, y), when the last evaluation failed there or a step from there could not be made. */
static void find_fault(struct reaction *reaction, double t, const double *y, char *text, size_t size)
{
    double rates[PROCESSES_KNOWN_MOST];
    int after = reaction->failed; /* of the evaluation that led here */
    int rate;
    int state;
    (void)rates_of(reaction, &reaction->base, rates);
    if ((rate = first_not_finite(rates, reaction->count)) >= 0) {
        (void)snprintf(text, size, "the rate of '%s' is not a number", reaction->active[rate]->name);
    } else if (after >= 0) {
        (void)snprintf(text, size, "the rate of '%s' is not a number from %.9g s on", reaction->active[after]->name,
                       reaction->failed_at);
    } else if (find_bad_slope(reaction, t, y, rates, &rate, &state)) {
        (void)snprintf(text, size, "how the rate of '%s' moves with %s is not a number", reaction->active[rate]->name,
                       state < STATE_COUNT ? species_table[state].name : "time");
    } else {
        (void)snprintf(text, size, "no step was small enough");
    }
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
    liquor_from_amounts(&reaction->base, reaction->settings, t, y, &reaction->temperatures);
    reaction->base_known = false;
    const struct liquor *l = &reaction->base;
    if (l->failure != 0) {
        (void)snprintf(text, size, "no pH from 0 to 14.5 balances the charges (temperature %.4g degC, water %.4g kg)",
                       temperature_of_heat(y[S_HEAT], y[S_WATER]) - HEAT_ZERO_K, y[S_WATER] * MOLAR_WATER);
        return;
    }
    char fault[160];
    find_fault(reaction, t, y, fault, sizeof fault);
    (void)snprintf(text, size, "%s (temperature %.4g degC, pH %.4g, leuco %.3g mol/m3, %.4g L)", fault,
                   l->temperature_K - HEAT_ZERO_K, l->ions.ph, l->concentration[S_LEUCO], 1e3 * l->volume);
}

struct ode_problem reaction_problem(struct reaction *reaction)
{
    return (struct ode_problem){
        .states = (size_t)STATE_COUNT,
        .rates = reaction->count,
        .context = reaction,
        .evaluate = evaluate,
        .evaluate_several = evaluate_several,
        .differentiate = reaction_differentiate,
        .readings = reaction->readings,
        .reads = reads_of,
        .terms = terms,
        .is_live = is_live,
        .quick = reaction->has_uptake ? reaction_uptake : NULL,
        .quick_to_come = reaction_uptake_to_come,
        .explain = explain,
    };
}
