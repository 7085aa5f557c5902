/* carbonate.h: the carbonate system, chalk, and the uptake of carbon dioxide from the air.
 *
 * Equilibrium constants are log10, on the scale of mol/L activities, at a temperature in K; 0 to 90 degC.
 * Plummer & Busenberg, Geochim. Cosmochim. Acta 46, 1011 (1982), with the coefficients of the wateq4f database.
 */
#ifndef VATCAST_CHEM_CARBONATE_H
#define VATCAST_CHEM_CARBONATE_H

#define CALCITE_MOLAR_MASS 0.100087 /* kg/mol of CaCO3 */
#define CALCITE_DENSITY 2710.0      /* kg/m3 */

/* CO2(gas) = CO2(dissolved), mol/kg/atm; -1.468 at 25 degC. */
double carbon_dioxide_log_kh(double temperature_K);

/* CO2 + H2O = H+ + HCO3-; -6.352 at 25 degC. */
double carbonate_log_k1(double temperature_K);

/* HCO3- = H+ + CO3--; -10.329 at 25 degC. */
double carbonate_log_k2(double temperature_K);

/* CaCO3 = Ca2+ + CO3--, as calcite (-8.480 at 25 degC) and as aragonite (-8.336). */
double calcite_log_ksp(double temperature_K);
double aragonite_log_ksp(double temperature_K);

/* Ca2+ + CO3-- = CaCO3 (dissolved pair); 3.224 at 25 degC. */
double calcium_carbonate_pair_log_k(double temperature_K);

/* Ca2+ + HCO3- = CaHCO3+; 1.106 at 25 degC. */
double calcium_bicarbonate_pair_log_k(double temperature_K);

/* Rate constant of CO2 + OH- = HCO3-, m3/mol/s; 8.4 at 25 degC. 0 to 40 degC, extrapolated above.
 * Pinsent, Pearson & Roughton, Trans. Faraday Soc. 52, 1512 (1956). */
double carbon_dioxide_hydroxide_rate(double temperature_K);

/* Diffusivity of CO2 in water, m2/s; 1.92e-9 at 25 degC. 0 to 40 degC, usable to 60.
 * Form of Jähne et al., J. Geophys. Res. 92, 10767 (1987). */
double carbon_dioxide_diffusivity(double temperature_K);

/* Carbon dioxide taken up by an open surface, mol/m2/s; negative when the liquor gives it off.
 *
 * Film theory: the liquid passes sqrt(D k [OH-] + kl^2) (C* - dissolved), in series with the gas film. hydroxide,
 * dissolved_co2: mol/m3 in the bulk, at least 0 (a negative hydroxide counts as none). mole_fraction_in_air: of CO2,
 * e.g. 425e-6. gas_film, liquid_kl: m/s; INFINITY as gas_film means no gas resistance, and 0 as gas_film means no
 * exchange at all. In limewater the reaction rules and liquid_kl hardly matters. */
double carbon_dioxide_flux(double temperature_K, double hydroxide, double dissolved_co2, double mole_fraction_in_air,
                           double pressure_atm, double gas_film, double liquid_kl);

/* What the flux needs of water at one temperature. */
struct carbon_dioxide_water {
    double henry;          /* mol/m3/atm */
    double liquid_per_gas; /* concentration in water over that in air at equilibrium */
    double reaction;       /* diffusivity times rate with hydroxide: m2/s m3/mol/s */
};
struct carbon_dioxide_water carbon_dioxide_water_at(double temperature_K);

/* What it needs besides; see carbon_dioxide_flux. */
struct carbon_dioxide_surface {
    double hydroxide, dissolved, mole_fraction, pressure_atm, gas_film, liquid_kl;
};

/* carbon_dioxide_flux of such water. */
double carbon_dioxide_flux_at(const struct carbon_dioxide_water *water, const struct carbon_dioxide_surface *surface);

/* That flux, and how it moves when the water changes by `by_K` per K. */
struct carbon_dioxide_slopes {
    double flux, by_hydroxide, by_dissolved, by_liquid_kl, by_temperature;
};
struct carbon_dioxide_slopes carbon_dioxide_flux_slopes(const struct carbon_dioxide_water *water,
                                                        const struct carbon_dioxide_water *by_K,
                                                        const struct carbon_dioxide_surface *surface);

#endif
