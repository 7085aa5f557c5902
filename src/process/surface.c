/* surface.c: see surface.h. */
#include "process/surface.h"

#include "chem/evaporation.h"
#include "chem/oxygen.h"
#include "chem/physics.h"

#include <math.h>


static double at_least_zero(double value)
{
    return value > 0.0 ? value : 0.0;
}

/* Warm liquor under cold air overturns and brings fresh liquor to the surface: 1 at equal temperatures, rising smoothly
 * toward kl_warm_most. Under a lid the air is as warm as the liquor. */
static double warm_factor(const struct liquor *liquor)
{
    if (liquor->settings->covered) {
        return 1.0;
    }
    double excess = liquor->temperature_K - liquor->air_K;
    double warmer = 0.5 * (excess + sqrt(excess * excess + 1.0));
    double most = liquor->k[K_KL_WARM_MOST] - 1.0;
    return 1.0 + most * (1.0 - exp(-liquor->k[K_KL_WARM_PER_K] * warmer / most));
}

double surface_transfer_coefficient(const struct liquor *liquor)
{
    const double *k = liquor->k;
    double stirring = 1.0;
    double film = 1.0 - (1.0 - k[K_KL_FILM_FACTOR]) * liquor->film_cover;
    switch (liquor->settings->stirring) {
    case STIRRING_NONE:
        break;
    case STIRRING_GENTLE:
        stirring = k[K_KL_GENTLE_FACTOR];
        film = 1.0;
        break;
    case STIRRING_BRISK:
    case STIRRING_WHIP:
        stirring = k[K_KL_BRISK_FACTOR];
        film = 1.0;
        break;
    }
    return k[K_KL_STILL_20C] * liquor->at.transfer * warm_factor(liquor) * stirring * film * liquor->settings->lid_oxygen;
}

double surface_oxygen_flux(const struct liquor *liquor)
{
    const double *k = liquor->k;
    double kl = surface_transfer_coefficient(liquor);
    double saturation = liquor->at.oxygen_saturation;
    double leuco = at_least_zero(liquor->concentration[S_LEUCO]);
    double reductone = at_least_zero(liquor->concentration[S_REDUCTONE]);
    double reserve = at_least_zero(liquor->concentration[S_RESERVE]);
    double rate = k[K_LEUCO_OXIDATION_RATE] * leuco + k[K_REDUCTONE_OXIDATION_RATE] * reductone +
                  k[K_RESERVE_OXIDATION_RATE] * reserve;
    double hatta = sqrt(liquor->at.oxygen_diffusivity * (rate + 1e-12)) / kl;
    double instant = enhancement_instantaneous(liquor->at.leuco_to_oxygen, leuco / k[K_LEUCO_PER_OXYGEN] + reductone + reserve, 1.0,
                                               saturation);
    double enhancement = enhancement_factor(hatta, instant);
    return kl * enhancement * liquor->settings->area * (saturation - liquor->concentration[S_OXYGEN]);
}

double surface_film_share(const struct liquor *liquor)
{
    if (liquor->settings->stirring != STIRRING_NONE || !(liquor->concentration[S_LEUCO] > 0.0)) {
        return 0.0;
    }
    double leuco = liquor->concentration[S_LEUCO];
    double half = liquor->k[K_FILM_LEUCO_HALF];
    return liquor->k[K_FILM_LEUCO_SHARE] * leuco * leuco / (leuco * leuco + half * half);
}

double surface_evaporation(const struct liquor *liquor)
{
    const struct settings *settings = liquor->settings;
    const struct surface_water water = {.temperature_K = liquor->temperature_K,
                                        .vapour_pressure = liquor->at.vapour_pressure,
                                        .latent_heat = liquor->at.latent_heat};
    double flux = evaporation_of(&water, liquor->air_K, settings->humidity, settings->pressure_atm * STANDARD_ATMOSPHERE,
                                 settings->draught);
    return flux * settings->area * settings->lid_evaporation;
}
