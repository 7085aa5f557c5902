/* kubelka_munk.h: how much light cloth gives back, from how strongly it absorbs, and how strongly indigo on it absorbs.
 *
 * K/S is absorption over scattering of a layer too thick to see through. Reflectances are fractions, 0 to 1, at one
 * wavelength.
 */
#ifndef VATCAST_CHEM_KUBELKA_MUNK_H
#define VATCAST_CHEM_KUBELKA_MUNK_H

/* Reflectance of an endless layer, R = 1 + K/S - sqrt((K/S)^2 + 2 K/S). A negative ratio counts as 0.
 * Kubelka & Munk, Z. tech. Phys. 12, 593 (1931), from memory. */
double kubelka_munk_reflectance(double k_over_s);

/* The other way round, K/S = (1 - R)^2 / 2R, for R from 0 (infinite) to 1 (none); R above 1 counts as 1. */
double kubelka_munk_ratio(double reflectance);

/* What is seen when a share `specular_floor` of the light is turned back by the outside of the fibres before it meets
 * any dye: floor + (1 - floor) R. It keeps the darkest cloth from going black: 0.005 to 0.02 for cloth (estimate). A
 * plain floor, not Saunderson's correction: there is no flat outer surface to turn light back in. */
double reflectance_with_floor(double reflectance, double specular_floor);

/* The other way round, for measured reflectances: the floor off before K/S is worked out (Etters's corrected K/S, from
 * memory). A reflectance below the floor counts as 0. */
double reflectance_without_floor(double seen, double specular_floor);

/* How K/S grows with the dye on the fibre; all of it estimate, no published table of K/S against owf could be read. */
struct indigo_yield {
    double k_over_s_limit; /* K/S that no amount of dye exceeds; 25 to 28 */
    double owf_ring;       /* kg/kg at which all but 1/e of it is reached, dye in a thin ring; 0.012 to 0.015 */
    double owf_penetrated; /* kg/kg, the same with the fibre dyed through; 0.020 to 0.025 */
};

/* The owf, kg/kg, that divides owf in the law below. Ring and core give their share of the colour, so the slopes mix,
 * not the amounts. `ring_share` 0 (dyed through) to 1 (all in a ring). */
double indigo_yield_owf(double ring_share, const struct indigo_yield *yield);

/* K/S at the peak of indigo's absorption, 660 nm on cellulose, from indigotin on weight of fibre in kg/kg:
 * limit (1 - exp(-owf / yield_owf)). Negative owf counts as none. */
double indigo_k_over_s_660(double owf, double ring_share, const struct indigo_yield *yield);

/* The other way round, kg/kg; infinite at the limit and beyond. */
double indigo_owf(double k_over_s_660, double ring_share, const struct indigo_yield *yield);

#endif
