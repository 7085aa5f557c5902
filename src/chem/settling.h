/* settling.h: how fast particles sink in water. */
#ifndef VATCAST_CHEM_SETTLING_H
#define VATCAST_CHEM_SETTLING_H

/* Speed at which a single small sphere sinks in still water, m/s; negative when it rises. Stokes's law, good while
 * speed times diameter over kinematic viscosity is below about 0.5 (lime to 0.1 mm). diameter in m,
 * solid_density in kg/m3. */
double stokes_velocity(double diameter, double solid_density, double temperature_K);

/* What crowding leaves of that speed at a volume share of solids of 0 to 1 (clipped to it). Richardson & Zaki, Trans.
 * Inst. Chem. Eng. 32, 35 (1954), slow flow. */
double hindered_factor(double solid_share);

#endif
