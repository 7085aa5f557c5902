/* water.c: see water.h. */
#include "chem/water.h"

#include "chem/physics.h"

#include <math.h>

double water_density(double temperature_K)
{
    double t = temperature_K - CELSIUS_ZERO;
    double top = 999.83952 +
                 t * (16.945176 + t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 + t * -280.54253e-12))));
    return top / (1.0 + 16.879850e-3 * t);
}

double water_vapour_pressure(double temperature_K)
{
    double t = temperature_K - CELSIUS_ZERO;
    return 611.21 * exp((18.678 - t / 234.5) * t / (257.14 + t));
}

double water_latent_heat(double temperature_K)
{
    double t = temperature_K - CELSIUS_ZERO;
    return 1000.0 * (2500.8 + t * (-2.36 + t * (0.0016 + t * -0.00006)));
}

double water_viscosity(double temperature_K)
{
    return 2.414e-5 * pow(10.0, 247.8 / (temperature_K - 140.0));
}

double water_permittivity(double temperature_K)
{
    double t = temperature_K - CELSIUS_ZERO;
    return 87.740 + t * (-0.40008 + t * (9.398e-4 + t * -1.410e-6));
}

double water_ion_pk(double temperature_K)
{
    return 4470.99 / temperature_K - 6.0875 + 0.01706 * temperature_K;
}
