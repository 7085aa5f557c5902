/* oxygen.h: oxygen in water, its passage through the surface, and its speeding-up by what it reacts with.
 *
 * Pure functions, SI units, temperature in K.
 */
#ifndef VATCAST_CHEM_OXYGEN_H
#define VATCAST_CHEM_OXYGEN_H

#define OXYGEN_MOLAR_MASS 0.031998 /* kg/mol */

/* Oxygen in fresh water in balance with moist air, mol/m3. 0 to 40 degC, extrapolated to 60 within about 2 %; pressures
 * above the vapour pressure of the water, to 1.1 atm. Benson & Krause, Limnol. Oceanogr. 29, 620 (1984), in the form of
 * the APHA standard methods. */
double oxygen_saturation(double temperature_K, double pressure_atm);

/* Pressure of the air at an altitude in m, atm. -500 to 5000 m. International standard atmosphere. */
double air_pressure_atm(double altitude_m);

/* Diffusivity of oxygen in water, m2/s; 2.00e-9 at 25 degC. 0 to 95 degC; sources differ by 10 %.
 * Han & Bartels, J. Phys. Chem. 100, 5597 (1996). */
double oxygen_diffusivity(double temperature_K);

/* Schmidt number of oxygen in fresh water, viscosity over density and diffusivity; 570 at 20 degC. 0 to 60 degC. */
double oxygen_schmidt(double temperature_K);

/* The same by the polynomial of Wanninkhof, J. Geophys. Res. 97, 7373 (1992); 530 at 20 degC. 0 to 30 degC ONLY: at
 * 40 degC it comes near zero. */
double oxygen_schmidt_wanninkhof(double temperature_K);

/* Liquid-side transfer coefficient at Schmidt number 600 on open water, m/s, from the wind in m/s (at 10 m height, 0 to
 * 10; less than 0 counts as none). Cole & Caraco, Limnol. Oceanogr. 43, 647 (1998). */
double gas_transfer_cole_caraco(double wind_m_per_s);

/* Carries a transfer coefficient from 20 degC to another temperature, 0 to 35 degC, usable to 60: a factor of 1.024
 * per K. Downing & Truesdale, J. Appl. Chem. 5, 570 (1955). */
double transfer_at_temperature(double k_at_20C, double temperature_K);

/* The most that a reaction can speed up absorption (film theory): 1 + d_ratio c_reactant / (nu c_star).
 * d_ratio: diffusivity of the reactant over that of the gas; stoich_nu: mol of reactant spent per mol of gas;
 * c_reactant in the bulk and c_star, gas at the surface, in the same unit. c_star and stoich_nu above 0. */
double enhancement_instantaneous(double d_ratio, double c_reactant, double stoich_nu, double c_star);

/* Enhancement of absorption by a second-order reaction: the explicit form of DeCoursey, Chem. Eng. Sci. 29, 1867 (1974;
 * reference from memory). 1 at hatta 0, e_instant as hatta grows without end, sqrt(1 + hatta^2) as e_instant does.
 * hatta at least 0; an e_instant below 1 counts as 1. Either may be INFINITY, not both. */
double enhancement_factor(double hatta, double e_instant);

/* How that factor moves with the square of `hatta` and with `room` = e_instant - 1, at least 0. DeCoursey's formula says that
 * room (E^2 - 1) = hatta^2 (1 + room - E). */
void enhancement_slopes(double hatta_square, double room, double enhancement, double *by_square, double *by_room);

#endif
