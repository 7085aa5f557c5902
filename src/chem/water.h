/* water.h: properties of water and of water vapour in air.
 *
 * Pure functions of the temperature in kelvin. Each gives a finite number for any temperature above 140 K, but is only
 * as good as its source within the range told.
 */
#ifndef VATCAST_CHEM_WATER_H
#define VATCAST_CHEM_WATER_H

#define WATER_HEAT_CAPACITY 4180.0 /* J/kg/K; 4178 to 4192 between 10 and 60 degC */
#define WATER_MOLAR_MASS 0.0180153 /* kg/mol */

/* Density of air-free water, kg/m3, 0 to 100 degC. Kell, J. Chem. Eng. Data 20, 97 (1975). */
double water_density(double temperature_K);

/* Vapour pressure over pure water, Pa, 0 to 80 degC. Buck's equation of 1996. */
double water_vapour_pressure(double temperature_K);

/* Latent heat of evaporation, J/kg, 0 to 60 degC (within 0.3 %). Rogers & Yau, A Short Course in Cloud Physics. */
double water_latent_heat(double temperature_K);

/* Dynamic viscosity, Pa s, 0 to 100 degC (within 2.5 %). Vogel's form. */
double water_viscosity(double temperature_K);

/* Relative permittivity, 0 to 100 degC. Malmberg & Maryott, J. Res. NBS 56, 1 (1956). */
double water_permittivity(double temperature_K);

/* pKw, -log10 of the ion product of water, 0 to 60 degC. Harned & Robinson, Trans. Faraday Soc. 36, 973 (1940). */
double water_ion_pk(double temperature_K);

#endif
