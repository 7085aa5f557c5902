/* evaporation.h: water and heat lost by an open surface and by walls to a room.
 *
 * Meant for use inside an implicit integrator: every function has a continuous first derivative in each argument, and
 * no function returns less than 0. Where a published formula has a switch, the corner is rounded over a narrow band
 * told at the function; outside the band the published value is returned unchanged.
 */
#ifndef VATCAST_CHEM_EVAPORATION_H
#define VATCAST_CHEM_EVAPORATION_H

#define ROOM_EMISSIVITY 0.9 /* of water, and of painted, plastic or wooden walls */

/* Evaporation from undisturbed water to still air, kg/m2/s.
 *
 * The larger of Shah's two formulas, HVAC&R Research 8(1), 125 (2002) and ASHRAE Trans. 118(2) (2012): buoyancy,
 * 35 rho_w (rho_r - rho_w)^(1/3) (W_w - W_r), and 5e-5 (p_w - p_r), both in kg/m2/h. The densities are of DRY air per
 * volume of moist air; with those of moist air the formula loses a sixth. (Both numbers from memory; 35
 * gives all nine points of Shah's table within 0.5 %.)
 * Range: water 7 to 94 degC, air 6 to 35 degC, humidity (a share) 0.28 to 0.95, within about 20 %. pressure_Pa must be
 * above the vapour pressure at the water's temperature.
 * When the room's air holds more vapour than air at the surface the answer is 0: condensation is left out.
 * Rounded corners: while the two formulas are within 5 % of each other (at most 1.3 % high), and for vapour pressure
 * differences below 20 Pa (low; 0 at none). */
double evaporation_still_air(double water_K, double air_K, double humidity, double pressure_Pa);

/* The same with a draught over the surface, wind in m/s (below 0 counts as none).
 *
 * From 0.3 m/s up it is the larger of still air and Carrier's (0.089 + 0.0782 wind)(p_w - p_r)/h_fg (ASHRAE Handbook,
 * HVAC Applications; kW/m2 with kPa; from memory). Carrier's formula does not fall to still air at no wind, so from 0
 * to 0.3 m/s the excess over still air is brought in by a smooth ramp: an assumption. Never below still air.
 * Range: wind 0 to 1.5 m/s, else as for still air. The larger-of has its corner rounded over 5 %. */
double evaporation_with_draught(double water_K, double air_K, double humidity, double pressure_Pa, double wind_m_per_s);

/* The same for water whose vapour pressure (Pa) and latent heat (J/kg) are known already. */
struct surface_water {
    double temperature_K, vapour_pressure, latent_heat;
};
double evaporation_of(const struct surface_water *water, double air_K, double humidity, double pressure_Pa, double wind_m_per_s);

/* Film coefficients of free convection in room air, W/m2/K, from the difference between surface and air in K (either
 * sign): a level surface facing up, and an upright wall. McAdams by way of Holman, Heat Transfer, turbulent forms
 * 1.52 d^(1/3) and 1.31 d^(1/3), difference 1 to 60 K. Rounded below 1 K (within 0.1 % above).
 * A surface colder than the air has less; that is left out. */
double surface_convection(double difference_K);
double wall_convection(double difference_K);

/* Film coefficient of heat radiation between a surface and a room, W/m2/K, emissivity 0.9. */
double surface_radiation(double surface_K, double room_K);

/* Coefficient of a wall with a layer of insulation, W/m2/K: the film coefficient of the bare wall in series with the
 * layer, thickness in m, conductivity in W/m/K (above 0). */
double wall_insulated(double film, double thickness, double conductivity);

#endif
