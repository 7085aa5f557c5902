/* activity.c: see activity.h. */
#include "chem/activity.h"

#include "chem/water.h"

#include <math.h>

double debye_huckel_a(double temperature_K)
{
    double permittivity_times_T = water_permittivity(temperature_K) * temperature_K;
    return 1.82483e6 * sqrt(water_density(temperature_K) / 1000.0) /
           (permittivity_times_T * sqrt(permittivity_times_T));
}

/* Of charge 1, per unit of A, at an ionic strength of root^2. */
static double davies(double root, double per_one_and_root)
{
    return 0.3 * root * root - root * per_one_and_root;
}

double davies_log_gamma(double a, double charge_squared, double ionic_strength)
{
    double root = sqrt(ionic_strength);
    return a * charge_squared * davies(root, 1.0 / (1.0 + root));
}

double davies_log_gamma_slope(double a, double ionic_strength, double *slope)
{
    double root = sqrt(ionic_strength);
    double share = 1.0 / (1.0 + root);
    *slope = a * (0.3 - 0.5 * share * share / root);
    return a * davies(root, share);
}
