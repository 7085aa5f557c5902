/* physics.h: the physical constants shared by the chemistry. */
#ifndef VATCAST_CHEM_PHYSICS_H
#define VATCAST_CHEM_PHYSICS_H

#define GAS_CONSTANT 8.314462618        /* J/mol/K, exact by the SI of 2019, cut to ten digits */
#define FARADAY_CONSTANT 96485.33212    /* C/mol */
#define STEFAN_BOLTZMANN 5.670374419e-8 /* W/m2/K4 */
#define CELSIUS_ZERO 273.15             /* K */
#define STANDARD_ATMOSPHERE 101325.0    /* Pa */
#define STANDARD_GRAVITY 9.80665        /* m/s2 */
#define LN_10 2.302585092994046

#endif
