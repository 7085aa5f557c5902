/* lime.c: see lime.h. */
#include "chem/lime.h"

#include "chem/physics.h"
#include "chem/water.h"

#include <math.h>

double lime_log_k_portlandite(double temperature_K)
{
    return -11.299363 + 7301.394065 / temperature_K + 3.883957 * log10(temperature_K);
}

double lime_log_ksp(double temperature_K)
{
    return lime_log_k_portlandite(temperature_K) - 2.0 * water_ion_pk(temperature_K);
}

double calcium_hydroxide_pair_log_k(double temperature_K)
{
    double hydrolysis = -12.697 - 64110.0 / (LN_10 * GAS_CONSTANT) * (1.0 / temperature_K - 1.0 / 298.15);
    return hydrolysis + water_ion_pk(temperature_K);
}

double lime_saccharate_calcium(double sucrose_mol_per_m3)
{
    return sucrose_mol_per_m3 < 0.0 ? 0.0 : 0.9 * sucrose_mol_per_m3;
}

double calcium_lactate_solubility(double temperature_K)
{
    double t = temperature_K - CELSIUS_ZERO;
    return 68.96 * exp(0.02606 * (t - 25.0));
}
