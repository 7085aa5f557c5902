/* oxygen.c: see oxygen.h. */
#include "chem/oxygen.h"

#include "chem/physics.h"
#include "chem/water.h"

#include <math.h>

double oxygen_saturation(double temperature_K, double pressure_atm)
{
    double x = 1.0 / temperature_K;
    double t = temperature_K - CELSIUS_ZERO;
    double mg_per_L = exp(-139.34411 + x * (1.575701e5 + x * (-6.642308e7 + x * (1.243800e10 + x * -8.621949e11))));
    double vapour = exp(11.8571 + x * (-3840.70 + x * -216961.0)); /* atm */
    double theta = 0.000975 + t * (-1.426e-5 + t * 6.436e-8);
    double share = (pressure_atm - vapour) * (1.0 - theta * pressure_atm) / ((1.0 - vapour) * (1.0 - theta));
    return 1e-3 * mg_per_L * share / OXYGEN_MOLAR_MASS;
}

double air_pressure_atm(double altitude_m)
{
    return pow(1.0 - 2.25577e-5 * altitude_m, 5.25588);
}

double oxygen_diffusivity(double temperature_K)
{
    double x = 506.4 / temperature_K;
    return 1e-4 * pow(10.0, -4.410 + 773.8 / temperature_K - x * x);
}

double oxygen_schmidt(double temperature_K)
{
    return water_viscosity(temperature_K) / (water_density(temperature_K) * oxygen_diffusivity(temperature_K));
}

double oxygen_schmidt_wanninkhof(double temperature_K)
{
    double t = temperature_K - CELSIUS_ZERO;
    return 1800.6 + t * (-120.10 + t * (3.7818 + t * -0.047608));
}

double gas_transfer_cole_caraco(double wind_m_per_s)
{
    double wind = wind_m_per_s < 0.0 ? 0.0 : wind_m_per_s;
    double cm_per_h = 2.07 + 0.215 * pow(wind, 1.7);
    return cm_per_h * 0.01 / 3600.0;
}

double transfer_at_temperature(double k_at_20C, double temperature_K)
{
    return k_at_20C * pow(1.024, temperature_K - CELSIUS_ZERO - 20.0);
}

double enhancement_instantaneous(double d_ratio, double c_reactant, double stoich_nu, double c_star)
{
    return 1.0 + d_ratio * c_reactant / (stoich_nu * c_star);
}

double enhancement_factor(double hatta, double e_instant)
{
    double room = e_instant < 1.0 ? 0.0 : e_instant - 1.0;
    double square = hatta * hatta;
    if (isinf(room)) {
        return sqrt(1.0 + square);
    }
    /* DeCoursey's E = -x + sqrt(x^2 + 2 x E_i + 1), x = hatta^2 / (2 (E_i - 1)), with the difference of large numbers
     * turned into a quotient and scaled so that neither limit divides by zero or overflows. */
    double scale = square < room ? room : square;
    if (scale == 0.0) {
        return 1.0;
    }
    double a = isinf(scale) ? 1.0 : square / scale;
    double m = isinf(scale) ? 0.0 : 2.0 * room / scale;
    double limit = room + 1.0;
    return (2.0 * a * limit + m) / (a + sqrt(a * a + 2.0 * a * m * limit + m * m));
}

void enhancement_slopes(double hatta_square, double room, double enhancement, double *by_square, double *by_room)
{
    const double both = 2.0 * room * enhancement + hatta_square;
    *by_square = (room + 1.0 - enhancement) / both;
    *by_room = (hatta_square - enhancement * enhancement + 1.0) / both;
}
