/* slopes.c: the derivatives of the rates by the amounts and by time.
 *
 * Processes tell how their rates move with what they read (process/partials.h): amounts, values that several share, ions, the volume,
 * the temperature, the air. What is shared is told likewise, and how the ions move with their totals and the temperature is known
 * exactly (speciation_slopes). The chain rule makes the derivatives by amounts of these.
 */
#include "chem/water.h"
#include "process/products.h"
#include "sim/vat.h"

#include <stddef.h>
#include <string.h>

/* The amounts that the equilibria are worked out from, by total; of the acids, which are one total, one stands for all. */
static const enum species part_of[TOTAL_COUNT] = {
    [TOTAL_CALCIUM] = S_CALCIUM,   [TOTAL_ALKALI] = S_ALKALI,   [TOTAL_STRONG_ANION] = S_STRONG_ANION,
    [TOTAL_ACID] = S_LACTATE,      [TOTAL_CARBON] = S_CARBON,   [TOTAL_LEUCO] = S_LEUCO,
    [TOTAL_FRUCTOSE] = S_FRUCTOSE, [TOTAL_GLUCOSE] = S_GLUCOSE,
};
static const enum species other_acids[] = {S_SACCHARINATE, S_OXIDATE, S_ACID_ADDED, S_ACETATE};
#define OTHER_ACID_COUNT (sizeof other_acids / sizeof other_acids[0])

/* ---- where it goes -------------------------------------------------------------------------------------------------- */

/* The amounts that a shared value reads by itself, those with a column first. */
static void find_entries(const struct columns *columns, const struct shared_value *value, struct shared_slopes *slopes)
{
    int last = value->reads_count;
    slopes->entry_count = 0;
    for (int i = 0; i < value->reads_count; i++) {
        const int column = columns->of[value->reads[i]];
        const int at = column >= 0 ? slopes->entry_count++ : --last;
        slopes->entries[at].species = value->reads[i];
        slopes->entries[at].column = column;
    }
}

/* Where the derivatives by each state go: the same from call to call, mostly. */
static void find_columns(struct reaction *reaction, const int *states, size_t count)
{
    struct columns *columns = &reaction->columns;
    if (columns->count == (int)count && memcmp(columns->states, states, count * sizeof *states) == 0) {
        return;
    }
    columns->count = (int)count;
    memcpy(columns->states, states, count * sizeof *states);
    memset(columns->of, -1, sizeof columns->of);
    for (int a = 0; a < (int)count; a++) {
        columns->of[states[a]] = a;
    }
    for (int total = 0; total < TOTAL_COUNT; total++) {
        columns->of_total[total] = columns->of[part_of[total]];
    }
    columns->other_acids = 0;
    for (size_t i = 0; i < OTHER_ACID_COUNT; i++) {
        columns->other_acids += columns->of[other_acids[i]] >= 0;
    }
    for (const enum shared *shared = reaction->shared_live; *shared != SHARED_NONE; shared++) {
        find_entries(columns, &shared_values[*shared], &reaction->shared[*shared]);
    }
}

/* How volume and temperature move with water and with heat. */
struct water_and_heat {
    int water, heat; /* columns */
    double volume_by_water, warmth_by_water, volume_by_heat, warmth_by_heat;
};

static struct water_and_heat find_water_and_heat(const struct reaction *reaction, const double *y)
{
    const struct liquor *base = &reaction->base;
    const double by_heat = 1.0 / (y[S_WATER] * WATER_MOLAR_MASS * WATER_HEAT_CAPACITY);
    const double by_water = -(base->temperature_K - HEAT_ZERO_K) / y[S_WATER];
    const double swelling = -base->volume * reaction->by_K.density / base->at.density;
    return (struct water_and_heat){.water = reaction->columns.of[S_WATER],
                                   .heat = reaction->columns.of[S_HEAT],
                                   .warmth_by_heat = by_heat,
                                   .warmth_by_water = by_water,
                                   .volume_by_heat = by_heat * swelling,
                                   .volume_by_water = by_water * swelling + base->volume / y[S_WATER]};
}

static inline void put_water_and_heat(const struct water_and_heat *by, double volume, double temperature, double *row)
{
    if (by->water >= 0) {
        row[by->water] = volume * by->volume_by_water + temperature * by->warmth_by_water;
    }
    if (by->heat >= 0) {
        row[by->heat] = volume * by->volume_by_heat + temperature * by->warmth_by_heat;
    }
}

/* ---- ions ------------------------------------------------------------------------------------------------------------ */

static double total_at(const struct liquor_totals *totals, int total)
{
    const double values[TOTAL_COUNT] = {
        [TOTAL_CALCIUM] = totals->calcium,           [TOTAL_ALKALI] = totals->alkali,   [TOTAL_ACID] = totals->acid,
        [TOTAL_STRONG_ANION] = totals->strong_anion, [TOTAL_CARBON] = totals->carbon,   [TOTAL_LEUCO] = totals->leuco,
        [TOTAL_FRUCTOSE] = totals->fructose,         [TOTAL_GLUCOSE] = totals->glucose,
    };
    return values[total];
}

/* How each ion moves with an amount in each total, with the volume, which dilutes them all, and with the temperature. */
static void find_ions(struct reaction *reaction)
{
    const struct liquor_slopes *slopes = &reaction->slopes;
    const double per_volume = 1.0 / reaction->base.volume;
    double dilution[TOTAL_COUNT], factor[TOTAL_COUNT];
    for (int total = 0; total < TOTAL_COUNT; total++) {
        const bool is_there = /* no total is below nothing */
            total == TOTAL_ACID ? slopes->totals.acid > 0.0 : reaction->base_amount[part_of[total]] >= 0.0;
        factor[total] = is_there ? per_volume : 0.0;
        dilution[total] = -total_at(&slopes->totals, total) * per_volume;
    }
    for (int ion = ION_NONE + 1; ion < ION_COUNT; ion++) {
        const size_t told = ion_at[ion] / sizeof(double);
        const double *restrict by_total = slopes->by.by_total[told];
        double *restrict by = reaction->ions[ion];
        double by_volume = 0.0;
        for (int total = 0; total < TOTAL_COUNT; total++) {
            by[total] = factor[total] * by_total[total];
            by_volume += dilution[total] * by_total[total];
        }
        by[BROAD_VOLUME] = by_volume;
        by[BROAD_TEMPERATURE] = slopes->by.by_temperature[told];
    }
}

/* ---- the chain rule -------------------------------------------------------------------------------------------------- */

static inline void add_broad(double *restrict to, double factor, const double *restrict from)
{
    for (int i = 0; i < BROAD_COUNT; i++) {
        to[i] += factor * from[i];
    }
}

/* What is read of the ions and of shared values that read them; else only what moves with volume and temperature. */
static inline void add_shared(const struct shared_slopes *from, double factor, double *broad)
{
    if (from->reads_ions) {
        add_broad(broad, factor, from->broad);
    } else {
        broad[BROAD_VOLUME] += factor * from->broad[BROAD_VOLUME];
        broad[BROAD_TEMPERATURE] += factor * from->broad[BROAD_TEMPERATURE];
    }
}

/* Takes from the partial derivatives all but those by amounts and by what is shared. Returns that by time. */
static inline double take_broad(struct reaction *reaction, const enum ion *ions, const enum shared *shared,
                                double *broad)
{
    struct partials *by = &reaction->partials;
    memset(broad, 0, BROAD_COUNT * sizeof *broad);
    broad[BROAD_VOLUME] = by->volume;
    broad[BROAD_TEMPERATURE] = by->temperature;
    double by_time = by->air * reaction->air_slope + by->sun * reaction->sun_slope;
    by->volume = by->temperature = by->air = by->sun = 0.0;
    for (; *ions != ION_NONE; ions++) {
        add_broad(broad, by->ion[*ions], reaction->ions[*ions]);
        by->ion[*ions] = 0.0;
    }
    for (; *shared != SHARED_NONE; shared++) {
        add_shared(&reaction->shared[*shared], by->shared[*shared], broad);
        by_time += by->shared[*shared] * reaction->shared[*shared].by_time;
    }
    return by_time;
}

/* The values that live rates share, each after those that it shares itself. */
static void find_shared(struct reaction *reaction)
{
    struct partials *by = &reaction->partials;
    for (const enum shared *at = reaction->shared_live; *at != SHARED_NONE; at++) {
        const struct shared_value *value = &shared_values[*at];
        struct shared_slopes *slopes = &reaction->shared[*at];
        value->partials(&reaction->base, &reaction->by_K, number_at(&reaction->base, value->at), by);
        slopes->by_time = take_broad(reaction, value->ions, value->shared, slopes->broad);
        for (const enum shared *other = value->shared; *other != SHARED_NONE; other++) {
            const struct shared_slopes *read = &reaction->shared[*other];
            for (int i = 0; i < read->entry_count; i++) {
                by->amount[read->entries[i].species] += by->shared[*other] * read->entries[i].slope;
            }
            by->shared[*other] = 0.0;
        }
        for (int i = 0; i < value->reads_count; i++) {
            slopes->entries[i].slope = by->amount[slopes->entries[i].species];
            by->amount[slopes->entries[i].species] = 0.0;
        }
    }
}

/* ---- rates ---------------------------------------------------------------------------------------------------------- */

/* A product of amounts alone. */
static void put_plain_product(struct reaction *reaction, const struct water_and_heat *water,
                              const struct process *process, double value, double *row)
{
    for (int i = 0; i < process->reads_count; i++) {
        const int column = reaction->columns.of[process->reads[i]];
        if (column >= 0) {
            row[column] = product_by_amount(process, &reaction->base, reaction->base_amount, value, process->reads[i]);
        }
    }
    put_water_and_heat(water, product_by_volume(process, &reaction->base, value),
                       product_by_temperature(process, &reaction->base, &reaction->by_K, value), row);
}

/* Whatever is added to below. */
static void clear_amounts(const struct reaction *reaction, const struct process *process, double *row)
{
    for (int i = 0; i < process->reads_count; i++) {
        const int column = reaction->columns.of[process->reads[i]];
        if (column >= 0) {
            row[column] = 0.0;
        }
    }
    for (const enum shared *shared = process->shared; *shared != SHARED_NONE; shared++) {
        const struct shared_slopes *slopes = &reaction->shared[*shared];
        for (int i = 0; i < slopes->entry_count; i++) {
            row[slopes->entries[i].column] = 0.0;
        }
    }
}

static void put_totals(const struct columns *columns, const double *restrict broad, double *restrict row)
{
    for (int total = 0; total < TOTAL_COUNT; total++) {
        const int column = columns->of_total[total];
        if (column >= 0) {
            row[column] = broad[total];
        }
    }
    for (size_t i = 0; i < OTHER_ACID_COUNT && columns->other_acids > 0; i++) {
        const int column = columns->of[other_acids[i]];
        if (column >= 0) {
            row[column] = broad[TOTAL_ACID] * species_acid_charges(other_acids[i]);
        }
    }
}

/* Takes away the partial derivatives by amounts and by what is shared. */
static void add_amounts(struct reaction *reaction, const struct process *process, double *row)
{
    struct partials *by = &reaction->partials;
    for (int i = 0; i < process->reads_count; i++) {
        const int column = reaction->columns.of[process->reads[i]];
        if (column >= 0) {
            row[column] += by->amount[process->reads[i]];
        }
        by->amount[process->reads[i]] = 0.0;
    }
    for (const enum shared *shared = process->shared; *shared != SHARED_NONE; shared++) {
        const struct shared_slopes *slopes = &reaction->shared[*shared];
        const double factor = by->shared[*shared];
        for (int i = 0; i < slopes->entry_count; i++) {
            row[slopes->entries[i].column] += factor * slopes->entries[i].slope;
        }
        by->shared[*shared] = 0.0;
    }
}

/* A row of derivatives; returns that by time. */
static double differentiate_rate(struct reaction *reaction, const struct water_and_heat *water, int rate, double value,
                                 double *row)
{
    const struct process *process = reaction->active[rate];
    if (reaction->plain[rate]) {
        put_plain_product(reaction, water, process, value, row);
        return 0.0;
    }
    process_partials(process, &reaction->base, reaction->base_amount, &reaction->by_K, value, &reaction->partials);
    double broad[BROAD_COUNT];
    const double by_time = take_broad(reaction, process->ions, process->shared, broad);
    clear_amounts(reaction, process, row);
    if (reaction->reads_ions[rate]) {
        put_totals(&reaction->columns, broad, row);
    }
    put_water_and_heat(water, broad[BROAD_VOLUME], broad[BROAD_TEMPERATURE], row);
    add_amounts(reaction, process, row);
    return by_time;
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
    temperature_table_slopes(&reaction->temperatures, &base->at, reaction->settings, &reaction->by_K);
    speciation_slopes(&base->at.equilibria, &reaction->by_K.equilibria, &slopes->totals, &base->ions, &slopes->by);
    reaction->slopes_known = true;
    reaction->air_slope = air_temperature_slope(reaction->settings, t);
    reaction->sun_slope = sun_strength_slope(reaction->settings, t);
    return 0;
}

int reaction_differentiate(void *context, double t, const double *y, const double *rates, const int *states,
                           size_t count, double *by_state, double *by_time)
{
    struct reaction *reaction = context;
    if (begin(reaction, t, y) != 0) {
        return 1;
    }
    find_columns(reaction, states, count);
    const struct water_and_heat water = find_water_and_heat(reaction, y);
    find_ions(reaction);
    find_shared(reaction);
    memset(by_time, 0, reaction->count * sizeof *by_time);
    for (int i = 0; i < reaction->live.count; i++) {
        const int rate = reaction->live.rate[i];
        by_time[rate] = differentiate_rate(reaction, &water, rate, rates[rate], by_state + (size_t)rate * count);
    }
    return 0;
}
