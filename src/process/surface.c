/* surface.c: see surface.h. */
#include "process/surface.h"

#include "base/numbers.h"
#include "chem/evaporation.h"
#include "chem/oxygen.h"
#include "chem/physics.h"
#include "process/oxygen_uptake.h"
#include "process/partials.h"
#include "process/prepare.h"

#include <math.h>

#define DIFFERENCE_K 1e-5 /* for how evaporation moves, whose law is of many parts */

/* ---- film ---------------------------------------------------------------------------------------------------------- */

static double film_cover(const struct liquor *liquor)
{
    double cover =
        at_least_zero(liquor->amount[S_INDIGO_FILM]) / (liquor->k[K_FILM_FULL_COVER] * liquor->settings->area);
    return 1.0 - exp(-cover);
}

void film_cover_partials(PARTIALS_ARGUMENTS)
{
    (void)by_K;
    double film = l->amount[S_INDIGO_FILM];
    by->amount[S_INDIGO_FILM] += film < 0.0 ? 0.0 : (1.0 - value) / (l->k[K_FILM_FULL_COVER] * l->settings->area);
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

void film_share_partials(PARTIALS_ARGUMENTS)
{
    (void)by_K;
    if (value > 0.0) {
        double leuco = l->concentration[S_LEUCO];
        double half = l->k[K_FILM_LEUCO_HALF];
        partial_by_concentration(by, l, S_LEUCO, 2.0 * value / leuco * half * half / (leuco * leuco + half * half));
    }
}

/* ---- oxygen -------------------------------------------------------------------------------------------------------- */

/* Warm liquor under cold air overturns and brings fresh liquor to the surface: 1 at equal temperatures, rising smoothly
 * toward kl_warm_most. Under a lid the air is as warm as the liquor. Tells how it rises by the excess, per K. */
static double warm_factor(const struct liquor *liquor, double *rise)
{
    *rise = 0.0;
    if (liquor->settings->covered) {
        return 1.0;
    }
    double excess = liquor->temperature_K - liquor->air_K;
    double root = sqrt(excess * excess + 1.0);
    double warmer = 0.5 * (excess + root);
    double most = liquor->k[K_KL_WARM_MOST] - 1.0;
    double short_of = exp(-liquor->k[K_KL_WARM_PER_K] * warmer / most);
    *rise = liquor->k[K_KL_WARM_PER_K] * short_of * warmer / root; /* warmer / root: of `warmer` by the excess */
    return 1.0 + most * (1.0 - short_of);
}

/* What stirring does; only a still surface keeps its film. */
static double stirring_factor(const struct liquor *liquor)
{
    switch (liquor->settings->stirring) {
    case STIRRING_NONE:
        break;
    case STIRRING_GENTLE:
        return liquor->k[K_KL_GENTLE_FACTOR];
    case STIRRING_BRISK:
    case STIRRING_WHIP:
        return liquor->k[K_KL_BRISK_FACTOR];
    }
    return 1.0 - (1.0 - liquor->k[K_KL_FILM_FACTOR]) * liquor->film_cover;
}

double surface_transfer_coefficient(const struct liquor *liquor)
{
    double rise;
    return liquor->k[K_KL_STILL_20C] * liquor->at.transfer * warm_factor(liquor, &rise) * stirring_factor(liquor) *
           liquor->settings->lid_oxygen;
}

void transfer_partials(PARTIALS_ARGUMENTS)
{
    double rise;
    double warm = warm_factor(l, &rise);
    by->temperature += value * (by_K->transfer / l->at.transfer + rise / warm);
    by->air -= value * rise / warm;
    if (l->settings->stirring == STIRRING_NONE) {
        by->shared[SHARED_FILM_COVER] -= l->k[K_KL_STILL_20C] * l->at.transfer * warm * l->settings->lid_oxygen *
                                         (1.0 - l->k[K_KL_FILM_FACTOR]);
    }
}

/* How fast oxygen is taken up on its way, 1/s, and by how much, mol/m3 of oxygen. */
static double uptake_rate(const struct liquor *liquor)
{
    struct oxygen_taker takers[TAKER_COUNT];
    double rate = 0.0;
    oxygen_takers(liquor->k, takers);
    for (int i = 0; i < TAKER_COUNT; i++) {
        rate += takers[i].rate * at_least_zero(liquor->concentration[takers[i].species]);
    }
    return rate + 1e-12;
}

static double uptake_most(const struct liquor *liquor)
{
    struct oxygen_taker takers[TAKER_COUNT];
    double most = 0.0;
    oxygen_takers(liquor->k, takers);
    for (int i = 0; i < TAKER_COUNT; i++) {
        most += at_least_zero(liquor->concentration[takers[i].species]) / takers[i].per_oxygen;
    }
    return most;
}

double surface_oxygen_flux(const struct liquor *liquor)
{
    double kl = liquor->transfer;
    double saturation = liquor->at.oxygen_saturation;
    double hatta = sqrt(liquor->at.oxygen_diffusivity * uptake_rate(liquor)) / kl;
    double instant = enhancement_instantaneous(liquor->at.leuco_to_oxygen, uptake_most(liquor), 1.0, saturation);
    return kl * enhancement_factor(hatta, instant) * liquor->settings->area *
           (saturation - liquor->concentration[S_OXYGEN]);
}

void oxygen_flux_partials(PARTIALS_ARGUMENTS)
{
    if (!(l->transfer > 0.0)) { /* none comes through, whatever is below */
        return;
    }
    const double saturation = l->at.oxygen_saturation;
    const double drive = saturation - l->concentration[S_OXYGEN];
    const double unenhanced = l->transfer * l->settings->area; /* per drive */
    /* the enhancement depends on the square of the Hatta number and on what it can be at most, less 1 */
    const double per_rate = l->at.oxygen_diffusivity / (l->transfer * l->transfer);
    const double per_most = l->at.leuco_to_oxygen / saturation;
    const double square = per_rate * uptake_rate(l);
    const double room = per_most * uptake_most(l);
    const double enhancement = enhancement_factor(sqrt(square), 1.0 + room);
    double by_square, by_room;
    enhancement_slopes(square, room, enhancement, &by_square, &by_room);
    by_square *= unenhanced * drive;
    by_room *= unenhanced * drive;

    struct oxygen_taker takers[TAKER_COUNT];
    oxygen_takers(l->k, takers);
    for (int i = 0; i < TAKER_COUNT; i++) {
        if (l->concentration[takers[i].species] >= 0.0) {
            partial_by_concentration(by, l, takers[i].species,
                                     by_square * per_rate * takers[i].rate + by_room * per_most * (1.0 / takers[i].per_oxygen));
        }
    }
    partial_by_concentration(by, l, S_OXYGEN, -unenhanced * enhancement);
    by->shared[SHARED_TRANSFER] += (value - 2.0 * by_square * square) / l->transfer;
    by->temperature += unenhanced * enhancement * by_K->oxygen_saturation +
                       by_square * square * by_K->oxygen_diffusivity / l->at.oxygen_diffusivity -
                       by_room * room * by_K->oxygen_saturation / saturation;
}

void surface_prepare_looks(struct liquor *liquor)
{
    liquor->film_cover = film_cover(liquor);
}

void surface_prepare(struct liquor *liquor)
{
    surface_prepare_looks(liquor);
    liquor->film_share = surface_film_share(liquor);
    liquor->transfer = surface_transfer_coefficient(liquor);
    liquor->oxygen_flux = surface_oxygen_flux(liquor);
}

/* ---- water --------------------------------------------------------------------------------------------------------- */

static double evaporation_into(const struct settings *settings, const struct surface_water *water, double air_K)
{
    double flux = evaporation_of(water, air_K, settings->humidity, settings->pressure_atm * STANDARD_ATMOSPHERE,
                                 settings->draught);
    return flux * settings->area * settings->lid_evaporation;
}

static struct surface_water water_of(const struct liquor *liquor)
{
    return (struct surface_water){.temperature_K = liquor->temperature_K,
                                  .vapour_pressure = liquor->at.vapour_pressure,
                                  .latent_heat = liquor->at.latent_heat};
}

double surface_evaporation(const struct liquor *liquor)
{
    const struct surface_water water = water_of(liquor);
    return evaporation_into(liquor->settings, &water, liquor->air_K);
}

void evaporation_partials(PARTIALS_ARGUMENTS)
{
    const struct surface_water water = water_of(l);
    const struct surface_water warmer = {.temperature_K = water.temperature_K + DIFFERENCE_K,
                                         .vapour_pressure =
                                             water.vapour_pressure + DIFFERENCE_K * by_K->vapour_pressure,
                                         .latent_heat = water.latent_heat + DIFFERENCE_K * by_K->latent_heat};
    by->temperature += (evaporation_into(l->settings, &warmer, l->air_K) - value) / DIFFERENCE_K;
    by->air += (evaporation_into(l->settings, &water, l->air_K + DIFFERENCE_K) - value) / DIFFERENCE_K;
}
