/* liquor.c: see liquor.h. */
#include "process/liquor.h"

#include "base/numbers.h"
#include "chem/speciation_lanes.h"
#include "chem/water.h"
#include "process/prepare.h"
#include "process/surface.h"

#include <gsl/gsl_math.h>
#include <math.h>
#include <stddef.h>

#define SECONDS_OF_DAY 86400.0
#define WARMEST_HOUR 15.0
#define SUNRISE_HOUR 6.0

double temperature_of_heat(double heat, double water_mol)
{
    return HEAT_ZERO_K + heat / (water_mol * WATER_MOLAR_MASS * WATER_HEAT_CAPACITY);
}

double heat_of_temperature(double temperature_K, double water_mol)
{
    return (temperature_K - HEAT_ZERO_K) * water_mol * WATER_MOLAR_MASS * WATER_HEAT_CAPACITY;
}

static double hours_of_day(const struct settings *settings, double time)
{
    double days = (settings->start_of_day + time) / SECONDS_OF_DAY;
    return 24.0 * (days - floor(days));
}

/* Radians of the day since an hour. */
static double phase_of_day(const struct settings *settings, double time, double hour)
{
    return 2.0 * M_PI * (hours_of_day(settings, time) - hour) / 24.0;
}

#define RADIANS_PER_S (2.0 * M_PI / SECONDS_OF_DAY)

double air_temperature(const struct settings *settings, double time)
{
    return 0.5 * (settings->day_K + settings->night_K) +
           0.5 * (settings->day_K - settings->night_K) * cos(phase_of_day(settings, time, WARMEST_HOUR));
}

double air_temperature_slope(const struct settings *settings, double time)
{
    return -0.5 * (settings->day_K - settings->night_K) * RADIANS_PER_S *
           sin(phase_of_day(settings, time, WARMEST_HOUR));
}

double sun_strength(const struct settings *settings, double time)
{
    if (!(settings->sun_gain > 0.0)) {
        return 0.0;
    }
    /* From 06:00 to 18:00, squared so that it starts and ends without a corner. */
    double height = sin(phase_of_day(settings, time, SUNRISE_HOUR));
    return height > 0.0 ? settings->sun_gain * height * height : 0.0;
}

double sun_strength_slope(const struct settings *settings, double time)
{
    if (!(settings->sun_gain > 0.0)) {
        return 0.0;
    }
    double phase = phase_of_day(settings, time, SUNRISE_HOUR);
    double height = sin(phase);
    return height > 0.0 ? settings->sun_gain * 2.0 * height * cos(phase) * RADIANS_PER_S : 0.0;
}

static void concentrate(struct liquor *liquor)
{
    const double per_volume = 1.0 / liquor->volume;
    const double *restrict from = liquor->amount;
    double *restrict to = liquor->concentration;
    for (int s = 0; s < STATE_COUNT; s++) {
        to[s] = from[s] * per_volume;
    }
}

static void prepare_life(struct liquor *liquor)
{
    if (!liquor->settings->lifeless) {
        fermentation_prepare(liquor);
    } else {
        liquor->cell_vigour = 0.0; /* the only one that is read beside the rates */
    }
}

void liquor_update_inert(struct liquor *liquor, const double *amount)
{
    liquor->amount = amount;
    concentrate(liquor);
    surface_prepare(liquor);
    indigo_prepare(liquor);
    prepare_life(liquor);
}

struct liquor_totals liquor_totals_of(const double *amount, double volume)
{
    const double per_volume = 1.0 / volume;
    double acid =
        amount[S_LACTATE] + amount[S_SACCHARINATE] + 2.0 * amount[S_OXIDATE] + amount[S_ACID_ADDED] + amount[S_ACETATE];
    return (struct liquor_totals){
        .calcium = at_least_zero(amount[S_CALCIUM]) * per_volume,
        .alkali = at_least_zero(amount[S_ALKALI]) * per_volume,
        .strong_anion = at_least_zero(amount[S_STRONG_ANION]) * per_volume,
        .acid = at_least_zero(acid) * per_volume,
        .carbon = at_least_zero(amount[S_CARBON]) * per_volume,
        .leuco = at_least_zero(amount[S_LEUCO]) * per_volume,
        .fructose = at_least_zero(amount[S_FRUCTOSE]) * per_volume,
        .glucose = at_least_zero(amount[S_GLUCOSE]) * per_volume,
    };
}

static double foretold(const struct liquor_slopes *near, const double change[TOTAL_COUNT], double warmer, double from, size_t told)
{
    double value = from + near->by.by_temperature[told] * warmer;
    for (int i = 0; i < TOTAL_COUNT; i++) {
        value += near->by.by_total[told][i] * change[i];
    }
    return value;
}

/* What the slopes of a liquor nearby foretell. */
static struct speciation foretell(const struct liquor *liquor, const struct liquor_slopes *near)
{
    const struct liquor_totals *totals = &liquor->totals;
    const struct liquor_totals *at = &near->totals;
    const double change[TOTAL_COUNT] = {
        [TOTAL_CALCIUM] = totals->calcium - at->calcium,
        [TOTAL_ALKALI] = totals->alkali - at->alkali,
        [TOTAL_ACID] = totals->acid - at->acid,
        [TOTAL_STRONG_ANION] = totals->strong_anion - at->strong_anion,
        [TOTAL_CARBON] = totals->carbon - at->carbon,
        [TOTAL_LEUCO] = totals->leuco - at->leuco,
        [TOTAL_FRUCTOSE] = totals->fructose - at->fructose,
        [TOTAL_GLUCOSE] = totals->glucose - at->glucose,
    };
    double warmer = liquor->temperature_K - near->temperature_K;
    const struct speciation *ions = &near->ions;
    struct speciation guess = {
        .ph = foretold(near, change, warmer, ions->ph, TOLD(ph)),
        .ionic_strength = foretold(near, change, warmer, ions->ionic_strength, TOLD(ionic_strength)),
        .calcium_free = foretold(near, change, warmer, ions->calcium_free, TOLD(calcium_free)),
    };
    guess.ionic_strength = fmax(guess.ionic_strength, 0.5 * ions->ionic_strength);
    return guess;
}

/* All that comes before the equilibria. Sets `failure` where there are none. */
static void begin(const struct liquor_asked *asked)
{
    struct liquor *liquor = asked->liquor;
    const struct settings *settings = asked->settings;
    const double *amount = asked->amount;
    liquor->settings = settings;
    liquor->k = settings->constants;
    liquor->amount = amount;
    liquor->time = asked->time;
    liquor->failure = 0;
    liquor->temperature_K = temperature_of_heat(amount[S_HEAT], amount[S_WATER]);
    if (!(liquor->temperature_K > 200.0 && liquor->temperature_K < 400.0) || !(amount[S_WATER] > 0.0)) {
        liquor->failure = 1;
        return;
    }
    if (asked->table != NULL) {
        temperature_table_read(asked->table, &liquor->at, settings, liquor->temperature_K);
    } else {
        temperature_factors_at(&liquor->at, settings, liquor->temperature_K);
    }
    liquor->volume = amount[S_WATER] * WATER_MOLAR_MASS / liquor->at.density;
    liquor->height = liquor->volume / settings->area;
    liquor->air_K = air_temperature(settings, asked->time);
    liquor->sun = sun_strength(settings, asked->time);
    liquor->totals = liquor_totals_of(amount, liquor->volume);
}

/* All that comes after them. */
static void finish(const struct liquor_asked *asked)
{
    struct liquor *liquor = asked->liquor;
    if (asked->looks_only) {
        concentrate(liquor);
        surface_prepare_looks(liquor);
        prepare_life(liquor);
    } else {
        lime_prepare(liquor);
        liquor->evaporation = surface_evaporation(liquor);
        liquor_update_inert(liquor, liquor->amount);
    }
}

void liquor_from_near(const struct liquor_asked *asked)
{
    struct liquor *liquor = asked->liquor;
    begin(asked);
    if (liquor->failure != 0) {
        return;
    }
    int outcome = -1;
    if (asked->near != NULL) {
        const struct speciation guess = foretell(liquor, asked->near);
        outcome = speciate_near(&liquor->at.equilibria, &liquor->totals, &guess, &liquor->ions);
    }
    if (outcome != 0 && speciate(&liquor->at.equilibria, &liquor->totals, &liquor->ions) != 0) {
        liquor->failure = 1;
        return;
    }
    finish(asked);
}

/* Those that are near others, in lanes. */
struct liquors_in_lanes {
    const struct liquor_asked *asked[LANES];
    const struct speciation_constants *constants[LANES];
    const struct liquor_totals *totals[LANES];
    struct speciation guess[LANES];
    struct speciation *ions[LANES];
    int count;
};

static void add_lane(struct liquors_in_lanes *lanes, const struct liquor_asked *asked)
{
    struct liquor *liquor = asked->liquor;
    begin(asked);
    if (liquor->failure == 0) {
        const int lane = lanes->count++;
        lanes->asked[lane] = asked;
        lanes->constants[lane] = &liquor->at.equilibria;
        lanes->totals[lane] = &liquor->totals;
        lanes->guess[lane] = foretell(liquor, asked->near);
        lanes->ions[lane] = &liquor->ions;
    }
}

void liquors_from_near(enum lanes_kind kind, const struct liquor_asked asked[], int count)
{
    struct liquors_in_lanes lanes;
    int failures[LANES];
    lanes.count = 0;
    for (int i = 0; i < count; i++) {
        if (asked[i].near != NULL && count > 1) {
            add_lane(&lanes, &asked[i]);
        } else {
            liquor_from_near(&asked[i]);
        }
    }
    if (lanes.count > 0) {
        speciate_near_lanes(kind, lanes.constants, lanes.totals, lanes.guess, lanes.ions, lanes.count, failures);
    }
    for (int lane = 0; lane < lanes.count; lane++) {
        if (failures[lane] != 0 && speciate(lanes.constants[lane], lanes.totals[lane], lanes.ions[lane]) != 0) {
            lanes.asked[lane]->liquor->failure = 1;
        } else {
            finish(lanes.asked[lane]);
        }
    }
}

void liquor_from_amounts(struct liquor *liquor, const struct settings *settings, double time, const double *amount,
                         struct temperature_table *table)
{
    const struct liquor_asked asked = {
        .liquor = liquor, .settings = settings, .time = time, .amount = amount, .table = table};
    liquor_from_near(&asked);
}

bool species_touches_equilibrium(enum species species)
{
    switch (species) {
    case S_WATER:
    case S_HEAT:
    case S_LEUCO:
    case S_FRUCTOSE:
    case S_GLUCOSE:
    case S_LACTATE:
    case S_SACCHARINATE:
    case S_OXIDATE:
    case S_ACID_ADDED:
    case S_ACETATE:
    case S_CALCIUM:
    case S_CARBON:
    case S_ALKALI:
    case S_STRONG_ANION:
        return true;
    default:
        return false;
    }
}

double species_acid_charges(enum species species)
{
    switch (species) {
    case S_LACTATE:
    case S_SACCHARINATE:
    case S_ACID_ADDED:
    case S_ACETATE:
        return 1.0;
    case S_OXIDATE:
        return 2.0;
    default:
        return 0.0;
    }
}
