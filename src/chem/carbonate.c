/* carbonate.c: see carbonate.h. */
#include "chem/carbonate.h"

#include "chem/physics.h"
#include "chem/water.h"

#include <math.h>

/* The five-term form in which the constants of the carbonate system are published. */
static double log_k_form(double temperature_K, double constant, double linear, double inverse, double logarithm,
                         double inverse_square)
{
    return constant + linear * temperature_K + inverse / temperature_K + logarithm * log10(temperature_K) +
           inverse_square / (temperature_K * temperature_K);
}

double carbon_dioxide_log_kh(double temperature_K)
{
    return log_k_form(temperature_K, 108.3865, 0.01985076, -6919.53, -40.45154, 669365.0);
}

double carbonate_log_k1(double temperature_K)
{
    return log_k_form(temperature_K, -356.3094, -0.06091964, 21834.37, 126.8339, -1684915.0);
}

double carbonate_log_k2(double temperature_K)
{
    return log_k_form(temperature_K, -107.8871, -0.03252849, 5151.79, 38.92561, -563713.9);
}

double calcite_log_ksp(double temperature_K)
{
    return log_k_form(temperature_K, -171.9065, -0.077993, 2839.319, 71.595, 0.0);
}

double aragonite_log_ksp(double temperature_K)
{
    return log_k_form(temperature_K, -171.9773, -0.077993, 2903.293, 71.595, 0.0);
}

double calcium_carbonate_pair_log_k(double temperature_K)
{
    return log_k_form(temperature_K, -1228.732, -0.299444, 35512.75, 485.818, 0.0);
}

double calcium_bicarbonate_pair_log_k(double temperature_K)
{
    return log_k_form(temperature_K, 1209.12, 0.31294, -34765.05, -478.782, 0.0);
}

double carbon_dioxide_hydroxide_rate(double temperature_K)
{
    return 1e-3 * pow(10.0, 13.635 - 2895.0 / temperature_K); /* L/mol to m3/mol */
}

double carbon_dioxide_diffusivity(double temperature_K)
{
    return 5019e-9 * exp(-19510.0 / (GAS_CONSTANT * temperature_K));
}

struct carbon_dioxide_water carbon_dioxide_water_at(double temperature_K)
{
    /* mol/kg/atm to mol/m3/atm */
    double henry = pow(10.0, carbon_dioxide_log_kh(temperature_K)) * water_density(temperature_K);
    return (struct carbon_dioxide_water){
        .henry = henry,
        .liquid_per_gas = henry * GAS_CONSTANT * temperature_K / STANDARD_ATMOSPHERE,
        .reaction = carbon_dioxide_diffusivity(temperature_K) * carbon_dioxide_hydroxide_rate(temperature_K),
    };
}

double carbon_dioxide_flux_at(const struct carbon_dioxide_water *water, double hydroxide, double dissolved_co2,
                              double mole_fraction_in_air, double pressure_atm, double gas_film, double liquid_kl)
{
    if (gas_film <= 0.0) {
        return 0.0;
    }
    double at_surface = water->henry * mole_fraction_in_air * pressure_atm;
    double liquid = sqrt(water->reaction * (hydroxide < 0.0 ? 0.0 : hydroxide) + liquid_kl * liquid_kl);
    return liquid * (at_surface - dissolved_co2) / (1.0 + liquid * water->liquid_per_gas / gas_film);
}

double carbon_dioxide_flux(double temperature_K, double hydroxide, double dissolved_co2, double mole_fraction_in_air,
                           double pressure_atm, double gas_film, double liquid_kl)
{
    struct carbon_dioxide_water water = carbon_dioxide_water_at(temperature_K);
    return carbon_dioxide_flux_at(&water, hydroxide, dissolved_co2, mole_fraction_in_air, pressure_atm, gas_film, liquid_kl);
}
