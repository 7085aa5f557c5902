/* evaporation.c: see evaporation.h. A NaN among the arguments comes out as a NaN. */
#include "chem/evaporation.h"

#include "chem/cube_root.h"
#include "chem/physics.h"
#include "chem/water.h"

#include <math.h>

#define DRY_AIR_GAS_CONSTANT 287.055 /* J/kg/K */
#define VAPOUR_TO_AIR_MASS 0.62198   /* molar mass of water over that of dry air */
#define SECONDS_PER_HOUR 3600.0
#define SHAH_BUOYANCY 35.0   /* kg/m2/h, with kg/m3 */
#define SHAH_PRESSURE 5e-5   /* kg/m2/h/Pa */
#define PRESSURE_BAND 20.0   /* Pa */
#define CORNER_BAND 0.05     /* of the smaller of two formulas */
#define DRAUGHT_FULL 0.3     /* m/s */
#define DIFFERENCE_BAND 0.05 /* K */

/* The larger of two numbers; within `band` of each other the corner is rounded by a parabola, at most band / 4 high. */
static double larger_smooth(double a, double b, double band)
{
    double apart = fabs(a - b);
    double rounding = apart < band ? (band - apart) * (band - apart) / (4.0 * band) : 0.0;
    return fmax(a, b) + rounding;
}

/* x where above `band`, 0 where below 0, and between them a cubic that meets both with their slopes. */
static double positive_smooth(double x, double band)
{
    if (x <= 0.0) {
        return 0.0;
    }
    if (x >= band) {
        return x;
    }
    double s = x / band;
    return band * s * s * (2.0 - s);
}

/* What still air takes, kg/m2/h per Pa of vapour pressure difference. */
static double still_air_conductance(double water_K, double air_K, double surface_vapour, double room_vapour,
                                    double pressure_Pa)
{
    double surface_density = (pressure_Pa - surface_vapour) / (DRY_AIR_GAS_CONSTANT * water_K);
    double room_density = (pressure_Pa - room_vapour) / (DRY_AIR_GAS_CONSTANT * air_K);
    /* (W_w - W_r) / (p_w - p_r), with the common factor taken out so that nothing is divided by a small number */
    double humidity_per_pressure =
        VAPOUR_TO_AIR_MASS * pressure_Pa / ((pressure_Pa - surface_vapour) * (pressure_Pa - room_vapour));
    /* The cube root is steep at equal densities, but there the other formula rules and this one has no say. */
    double lift = cube_root(fmax(room_density - surface_density, 0.0));
    double buoyancy = SHAH_BUOYANCY * surface_density * lift * humidity_per_pressure;
    return larger_smooth(buoyancy, SHAH_PRESSURE, CORNER_BAND * SHAH_PRESSURE);
}

double evaporation_of(const struct surface_water *water, double air_K, double humidity, double pressure_Pa, double wind_m_per_s)
{
    double surface_vapour = water->vapour_pressure;
    double room_vapour = humidity * water_vapour_pressure(air_K);
    double difference = positive_smooth(surface_vapour - room_vapour, PRESSURE_BAND);
    double still = still_air_conductance(water->temperature_K, air_K, surface_vapour, room_vapour, pressure_Pa);

    double wind = wind_m_per_s < 0.0 ? 0.0 : wind_m_per_s;
    /* 0.089 kW/m2/kPa is 0.089 W/m2/Pa */
    double carrier = (0.089 + 0.0782 * wind) / water->latent_heat * SECONDS_PER_HOUR;
    double ramp = fmin(wind / DRAUGHT_FULL, 1.0);
    double share = ramp * ramp * (3.0 - 2.0 * ramp);
    double excess = positive_smooth(carrier - still, CORNER_BAND * SHAH_PRESSURE);
    return (still + share * excess) * difference / SECONDS_PER_HOUR;
}

double evaporation_with_draught(double water_K, double air_K, double humidity, double pressure_Pa, double wind_m_per_s)
{
    const struct surface_water water = {.temperature_K = water_K,
                                        .vapour_pressure = water_vapour_pressure(water_K),
                                        .latent_heat = water_latent_heat(water_K)};
    return evaporation_of(&water, air_K, humidity, pressure_Pa, wind_m_per_s);
}

double evaporation_still_air(double water_K, double air_K, double humidity, double pressure_Pa)
{
    return evaporation_with_draught(water_K, air_K, humidity, pressure_Pa, 0.0);
}

static double free_convection(double coefficient, double difference_K)
{
    return coefficient * cbrt(sqrt(difference_K * difference_K + DIFFERENCE_BAND * DIFFERENCE_BAND));
}

double surface_convection(double difference_K)
{
    return free_convection(1.52, difference_K);
}

double wall_convection(double difference_K)
{
    return free_convection(1.31, difference_K);
}

double surface_radiation(double surface_K, double room_K)
{
    return ROOM_EMISSIVITY * STEFAN_BOLTZMANN * (surface_K * surface_K + room_K * room_K) * (surface_K + room_K);
}

double wall_insulated(double film, double thickness, double conductivity)
{
    return film / (1.0 + film * thickness / conductivity);
}
