/* activity.h: activity coefficients of ions in dilute solution. */
#ifndef VATCAST_CHEM_ACTIVITY_H
#define VATCAST_CHEM_ACTIVITY_H

/* The Debye-Hückel slope A, log10 scale, (kg/mol)^0.5, at a temperature in K, 0 to 100 degC; 0.511 at 25 degC.
 * Standard Debye-Hückel theory with the density and permittivity of water.h. */
double debye_huckel_a(double temperature_K);

/* Davies's law for charge 1, per unit of the slope A, at an ionic strength of root^2, share = 1/(1 + root); for numbers of any kind. */
#define DAVIES_LINEAR 0.3
#define DAVIES(root, share) (DAVIES_LINEAR * (root) * (root) - (root) * (share))

/* log10 of the activity coefficient of an ion, from the slope `a`, the square of its charge and the ionic strength in
 * mol/L (at least 0). Good to about 0.1 mol/L, usable to 0.5. Davies, Ion Association (1962), p. 41. */
double davies_log_gamma(double a, double charge_squared, double ionic_strength);

#endif
