/* settling.c: see settling.h. */
#include "chem/settling.h"

#include "chem/physics.h"
#include "chem/water.h"

#include <math.h>

double stokes_velocity(double diameter, double solid_density, double temperature_K)
{
    double excess = solid_density - water_density(temperature_K);
    return excess * STANDARD_GRAVITY * diameter * diameter / (18.0 * water_viscosity(temperature_K));
}

double hindered_factor(double solid_share)
{
    if (solid_share <= 0.0) {
        return 1.0;
    }
    return solid_share >= 1.0 ? 0.0 : pow(1.0 - solid_share, 4.65);
}
