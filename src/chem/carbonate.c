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

/* What the liquid passes, m/s, by reaction and by itself. */
static double liquid_passage(const struct carbon_dioxide_water *water, const struct carbon_dioxide_surface *surface)
{
    const double hydroxide = surface->hydroxide < 0.0 ? 0.0 : surface->hydroxide;
    return sqrt(water->reaction * hydroxide + surface->liquid_kl * surface->liquid_kl);
}

double carbon_dioxide_flux_at(const struct carbon_dioxide_water *water, const struct carbon_dioxide_surface *surface)
{
    if (surface->gas_film <= 0.0) {
        return 0.0;
    }
    double at_surface = water->henry * surface->mole_fraction * surface->pressure_atm;
    double liquid = liquid_passage(water, surface);
    return liquid * (at_surface - surface->dissolved) / (1.0 + liquid * water->liquid_per_gas / surface->gas_film);
}

struct carbon_dioxide_slopes carbon_dioxide_flux_slopes(const struct carbon_dioxide_water *water,
                                                        const struct carbon_dioxide_water *by_K,
                                                        const struct carbon_dioxide_surface *surface)
{
    const double liquid = liquid_passage(water, surface);
    if (surface->gas_film <= 0.0 || !(liquid > 0.0)) {
        return (struct carbon_dioxide_slopes){.flux = 0.0};
    }
    const double flux = carbon_dioxide_flux_at(water, surface);
    const double share =
        1.0 / (1.0 + liquid * water->liquid_per_gas / surface->gas_film); /* of the resistance that is the liquid's */
    const double by_liquid = flux * share / liquid;
    return (struct carbon_dioxide_slopes){
        .flux = flux,
        .by_hydroxide = by_liquid * water->reaction / (2.0 * liquid),
        .by_dissolved = -liquid * share,
        .by_liquid_kl = by_liquid * surface->liquid_kl / liquid,
        .by_temperature = by_liquid * by_K->reaction * surface->hydroxide / (2.0 * liquid) +
                          liquid * share * by_K->henry * surface->mole_fraction * surface->pressure_atm -
                          flux * share * liquid * by_K->liquid_per_gas / surface->gas_film,
    };
}

double carbon_dioxide_flux(double temperature_K, double hydroxide, double dissolved_co2, double mole_fraction_in_air,
                           double pressure_atm, double gas_film, double liquid_kl)
{
    const struct carbon_dioxide_water water = carbon_dioxide_water_at(temperature_K);
    const struct carbon_dioxide_surface surface = {.hydroxide = hydroxide,
                                                   .dissolved = dissolved_co2,
                                                   .mole_fraction = mole_fraction_in_air,
                                                   .pressure_atm = pressure_atm,
                                                   .gas_film = gas_film,
                                                   .liquid_kl = liquid_kl};
    return carbon_dioxide_flux_at(&water, &surface);
}
