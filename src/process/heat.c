/* heat.c: evaporation and the flows of heat. Heat is counted in J above water at 0 degC. */
#include "process/liquor.h"
#include "process/partials.h"
#include "process/rates.h"

#include "chem/water.h"

#define HOLD_BAND_K 0.5 /* a holding thermostat eases off over this span below its set point */

static double evaporation(const struct liquor *l)
{
    return l->evaporation / WATER_MOLAR_MASS;
}

/* J/kg that leave with the vapour. */
static double vapour_heat(const struct liquor *l)
{
    return l->at.latent_heat + WATER_HEAT_CAPACITY * (l->temperature_K - HEAT_ZERO_K);
}

static double evaporation_heat(const struct liquor *l)
{
    return l->evaporation * vapour_heat(l);
}

static void evaporation_heat_partials(PARTIALS_ARGUMENTS)
{
    (void)value;
    by->shared[SHARED_EVAPORATION] += vapour_heat(l);
    by->temperature += l->evaporation * (by_K->latent_heat + WATER_HEAT_CAPACITY);
}

static double wall_conductance(const struct liquor *l) /* W/K */
{
    /* The bottom stands on something and counts half. */
    double area = l->settings->perimeter * l->height + 0.5 * l->settings->area;
    return l->settings->wall_u * area;
}

static double through_wall(const struct liquor *l)
{
    return wall_conductance(l) * (l->temperature_K - l->air_K);
}

static void through_wall_partials(PARTIALS_ARGUMENTS)
{
    (void)by_K, (void)value;
    by->temperature += wall_conductance(l);
    by->air -= wall_conductance(l);
    by->volume += l->settings->wall_u * l->settings->perimeter / l->settings->area * (l->temperature_K - l->air_K);
}

static double surface_conductance(const struct liquor *l) /* W/K */
{
    return l->settings->surface_u * l->settings->area;
}

static double from_surface(const struct liquor *l)
{
    return surface_conductance(l) * (l->temperature_K - l->air_K);
}

static void from_surface_partials(PARTIALS_ARGUMENTS)
{
    (void)by_K, (void)value;
    by->temperature += surface_conductance(l);
    by->air -= surface_conductance(l);
}

static double sunshine(const struct liquor *l)
{
    return l->sun * l->settings->area;
}

static void sunshine_partials(PARTIALS_ARGUMENTS)
{
    (void)by_K, (void)value;
    by->sun += l->settings->area;
}

/* How far a holding thermostat is below its set point, as a share of the band in which it eases off: 1 without one. */
static double below_set_point(const struct liquor *l)
{
    double share = (l->settings->heater_hold_K - l->temperature_K) / HOLD_BAND_K;
    bool full = !(l->settings->heater_hold_K > 0.0) || share > 1.0;
    return full ? 1.0 : share < 0.0 ? 0.0 : share;
}

static double heater(const struct liquor *l)
{
    double share = below_set_point(l);
    return l->settings->heater_power * share * share * (3.0 - 2.0 * share);
}

static void heater_partials(PARTIALS_ARGUMENTS)
{
    (void)by_K, (void)value;
    double share = below_set_point(l);
    by->temperature -= l->settings->heater_power * 6.0 * share * (1.0 - share) / HOLD_BAND_K;
}

static bool heater_on(const struct settings *settings)
{
    return settings->heater_power > 0.0;
}

static bool sunny(const struct settings *settings)
{
    return settings->sun_gain > 0.0;
}

const struct process heat_processes[HEAT_PROCESS_COUNT] = {
    {.name = "evaporation",
     .title = "evaporation",
     .law = "A E(T, air, humidity, draught) times the lid's factor",
     .extent_unit = "mol",
     .source = "Shah, HVAC&R Res. 8, 125, 2002 (coefficients from memory, checked against its table)",
     .terms = {{S_WATER, -1}, {S_AIR_WATER, 1}},
     .constants = {K_EVAPORATION_LOOSE_LID_FACTOR, K_EVAPORATION_TIGHT_LID_FACTOR},
     .constant_count = 2,
     .reads_count = READS_NONE,
     .shared = {SHARED_EVAPORATION},
     .rate = evaporation},
    {.name = "evaporation_heat",
     .title = "heat leaving with the vapour",
     .law = "evaporation times (latent heat + heat content)",
     .extent_unit = "J",
     .source = "Shah, HVAC&R Res. 8, 125, 2002; latent heat from memory",
     .terms = {{S_HEAT, -1}, {S_SURROUNDINGS, 1}},
     .constants = {K_EVAPORATION_LOOSE_LID_FACTOR, K_EVAPORATION_TIGHT_LID_FACTOR},
     .constant_count = 2,
     .reads_count = READS_NONE,
     .shared = {SHARED_EVAPORATION},
     .partials = evaporation_heat_partials,
     .rate = evaporation_heat},
    {.name = "wall_heat",
     .title = "heat through the wall",
     .law = "U (wetted wall + half the bottom) (T - air)",
     .extent_unit = "J",
     .source = "U derived from a published table of tank heat losses; wood and wraps estimates",
     .terms = {{S_HEAT, -1}, {S_SURROUNDINGS, 1}},
     .constants = {K_WALL_U_PLASTIC, K_WALL_U_METAL, K_WALL_U_WOOD, K_WALL_U_CERAMIC, K_WRAP_U_BLANKET, K_WRAP_U_FOAM},
     .constant_count = 6,
     .reads_count = READS_NONE,
     .partials = through_wall_partials,
     .rate = through_wall},
    {.name = "surface_heat",
     .title = "heat from the surface or the lid, without evaporation",
     .law = "U A (T - air)",
     .extent_unit = "J",
     .source = "U derived from a published table of tank heat losses; lid an estimate",
     .terms = {{S_HEAT, -1}, {S_SURROUNDINGS, 1}},
     .constants = {K_SURFACE_U_OPEN, K_SURFACE_U_LID},
     .constant_count = 2,
     .reads_count = READS_NONE,
     .partials = from_surface_partials,
     .rate = from_surface},
    {.name = "sunshine",
     .title = "heat of the sun",
     .law = "gain at noon times sin^2 of the hour from 06:00 to 18:00",
     .extent_unit = "J",
     .source = "estimate",
     .terms = {{S_HEAT, 1}, {S_SURROUNDINGS, -1}},
     .constants = {K_SUN_GAIN_FULL},
     .constant_count = 1,
     .reads_count = READS_NONE,
     .partials = sunshine_partials,
     .rate = sunshine,
     .is_live = sunny},
    {.name = "heater",
     .title = "heat of the heater",
     .law = "power; while holding it eases off within 0.5 K of the set point",
     .extent_unit = "J",
     .source = "by definition",
     .terms = {{S_HEAT, 1}, {S_SURROUNDINGS, -1}},
     .reads_count = READS_NONE,
     .partials = heater_partials,
     .rate = heater,
     .is_live = heater_on},
};
