/* liquor.c: see liquor.h. */
#include "process/liquor.h"

#include "chem/lime.h"
#include "chem/carbonate.h"
#include "chem/oxygen.h"
#include "chem/physics.h"
#include "chem/settling.h"
#include "chem/water.h"
#include "process/prepare.h"
#include "process/surface.h"

#include <gsl/gsl_math.h>
#include <stddef.h>
#include <math.h>

#define SECONDS_OF_DAY 86400.0
#define WARMEST_HOUR 15.0

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
    return fmod(settings->start_of_day + time, SECONDS_OF_DAY) / 3600.0;
}

double air_temperature(const struct settings *settings, double time)
{
    double phase = 2.0 * M_PI * (hours_of_day(settings, time) - WARMEST_HOUR) / 24.0;
    return 0.5 * (settings->day_K + settings->night_K) + 0.5 * (settings->day_K - settings->night_K) * cos(phase);
}

double sun_strength(const struct settings *settings, double time)
{
    /* From 06:00 to 18:00, squared so that it starts and ends without a corner. */
    double height = sin(2.0 * M_PI * (hours_of_day(settings, time) - 6.0) / 24.0);
    return height > 0.0 ? settings->sun_gain * height * height : 0.0;
}

/* Arrhenius factor relative to a reference temperature. */
static double arrhenius(double activation, double temperature_K, double reference_K)
{
    return exp(-activation / GAS_CONSTANT * (1.0 / temperature_K - 1.0 / reference_K));
}

static void factors_at(struct temperature_factors *at, const struct settings *settings, double temperature_K)
{
    const double *k = settings->constants;
    struct speciation_parameters parameters = {
        .leuco_pk1 = k[K_LEUCO_PK1],
        .leuco_pk2 = k[K_LEUCO_PK2],
        .fructose_pk = k[K_FRUCTOSE_PK],
        .glucose_pk = k[K_GLUCOSE_PK],
        .hexose_pk_slope = k[K_HEXOSE_PK_SLOPE],
        .calcium_hexose_logk = k[K_CALCIUM_HEXOSE_LOGK],
    };
    at->temperature_K = temperature_K;
    at->pressure_atm = settings->pressure_atm;
    speciation_constants_at(&parameters, temperature_K, &at->equilibria);
    at->density = water_density(temperature_K);
    at->reduction = k[K_REDUCTION_RATE_65C] * arrhenius(k[K_REDUCTION_ACTIVATION], temperature_K, 338.15);
    at->enolisation = k[K_ENOLISATION_RATE_25C] * arrhenius(k[K_ENOLISATION_ACTIVATION], temperature_K, 298.15);
    at->reductone_decay =
        k[K_REDUCTONE_DECAY_RATE_25C] * arrhenius(k[K_REDUCTONE_DECAY_ACTIVATION], temperature_K, 298.15);
    at->reserve_decay = k[K_RESERVE_DECAY_RATE_25C] * arrhenius(k[K_RESERVE_DECAY_ACTIVATION], temperature_K, 298.15);
    at->destruction =
        k[K_INDIGO_DESTRUCTION_RATE_30C] * arrhenius(k[K_INDIGO_DESTRUCTION_ACTIVATION], temperature_K, 303.15);
    at->transfer = transfer_at_temperature(1.0, temperature_K);
    at->oxygen_saturation = oxygen_saturation(temperature_K, settings->pressure_atm);
    at->oxygen_diffusivity = oxygen_diffusivity(temperature_K);
    at->settle_indigo = stokes_velocity(k[K_INDIGO_FLOC_DIAMETER], k[K_INDIGO_DENSITY], temperature_K);
    at->settle_lime = stokes_velocity(k[K_LIME_FLOC_DIAMETER], LIME_DENSITY, temperature_K);
    at->settle_chalk = stokes_velocity(k[K_CHALK_FLOC_DIAMETER], CALCITE_DENSITY, temperature_K);
    at->latent_heat = water_latent_heat(temperature_K);
    at->uptake_rate = pow(k[K_UPTAKE_RATE_PER_10K], (temperature_K - 303.15) / 10.0);
    fermentation_factors_at(at, k);
    at->uptake_equilibrium = pow(k[K_UPTAKE_EQUILIBRIUM_PER_10K], (temperature_K - 301.15) / 10.0);
}

static double at_least_zero(double value)
{
    return value > 0.0 ? value : 0.0;
}

void liquor_update_inert(struct liquor *liquor, const double *amount)
{
    liquor->amount = amount;
    for (int s = 0; s < STATE_COUNT; s++) {
        liquor->concentration[s] = amount[s] / liquor->volume;
    }
    double cover = at_least_zero(amount[S_INDIGO_FILM]) / (liquor->k[K_FILM_FULL_COVER] * liquor->settings->area);
    liquor->film_cover = 1.0 - exp(-cover);
    liquor->oxygen_flux = surface_oxygen_flux(liquor);
    indigo_prepare(liquor);
}

struct liquor_totals liquor_totals_of(const double *amount, double volume)
{
    const double per_volume = 1.0 / volume;
    double acid = amount[S_LACTATE] + amount[S_SACCHARINATE] + 2.0 * amount[S_OXIDATE] + amount[S_ACID_ADDED] +
                  amount[S_ACETATE];
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

static void liquor_work_out(struct liquor *liquor, const struct settings *settings, double time, const double *amount,
                            const struct temperature_factors *reuse, const struct speciation *near)
{
    liquor->settings = settings;
    liquor->k = settings->constants;
    liquor->amount = amount;
    liquor->time = time;
    liquor->failure = 0;
    liquor->temperature_K = temperature_of_heat(amount[S_HEAT], amount[S_WATER]);
    if (!(liquor->temperature_K > 200.0 && liquor->temperature_K < 400.0) || !(amount[S_WATER] > 0.0)) {
        liquor->failure = 1;
        return;
    }
    if (reuse != NULL && reuse->temperature_K == liquor->temperature_K && reuse->pressure_atm == settings->pressure_atm) {
        liquor->at = *reuse;
    } else {
        factors_at(&liquor->at, settings, liquor->temperature_K);
    }
    liquor->volume = amount[S_WATER] * WATER_MOLAR_MASS / liquor->at.density;
    liquor->height = liquor->volume / settings->area;
    liquor->air_K = air_temperature(settings, time);
    liquor->sun = sun_strength(settings, time);

    struct liquor_totals totals = liquor_totals_of(amount, liquor->volume);
    if ((near != NULL ? speciate_near(&liquor->at.equilibria, &totals, near, &liquor->ions)
                      : speciate(&liquor->at.equilibria, &totals, &liquor->ions)) != 0) {
        liquor->failure = 1;
        return;
    }
    lime_prepare(liquor);
    fermentation_prepare(liquor);
    liquor->evaporation = surface_evaporation(liquor);
    liquor_update_inert(liquor, amount);
}

void liquor_from_amounts(struct liquor *liquor, const struct settings *settings, double time, const double *amount,
                         const struct temperature_factors *reuse)
{
    liquor_work_out(liquor, settings, time, amount, reuse, NULL);
}

void liquor_near(struct liquor *liquor, const struct liquor *base, const double *amount)
{
    const struct speciation near = base->ions;
    liquor_work_out(liquor, base->settings, base->time, amount, &base->at, &near);
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
