/* redox.c: see redox.h. */
#include "chem/redox.h"

#include "chem/physics.h"

#include <math.h>

double nernst_slope(double temperature_K)
{
    return LN_10 * GAS_CONSTANT * temperature_K / FARADAY_CONSTANT;
}

double reference_silver_chloride_3m(double temperature_K)
{
    return 0.2244 - 0.705e-3 * (temperature_K - CELSIUS_ZERO);
}

double meter_reading(double ph_true, double temperature_K, double temperature_set_K)
{
    return 7.0 + (ph_true - 7.0) * temperature_K / temperature_set_K;
}

double strip_reading(double ph, double step)
{
    if (ph > STRIP_SATURATES_PH) {
        return STRIP_TOP_PH;
    }
    double field = step * floor(ph / step + 0.5);
    return field < STRIP_LOWEST_PH ? STRIP_LOWEST_PH : field;
}
