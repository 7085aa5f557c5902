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

double davies_log_gamma(double a, double charge_squared, double ionic_strength)
{
    double root = sqrt(ionic_strength);
    return a * charge_squared * DAVIES(root, 1.0 / (1.0 + root));
}
