/* kubelka_munk.c: see kubelka_munk.h. */
#include "chem/kubelka_munk.h"

#include <math.h>

double kubelka_munk_reflectance(double k_over_s)
{
    double q = k_over_s > 0.0 ? k_over_s : 0.0;
    return 1.0 / (1.0 + q + sqrt(q * (q + 2.0))); /* the published form, turned over so that it does not cancel */
}

double kubelka_munk_ratio(double reflectance)
{
    double r = fmin(reflectance, 1.0);
    return r > 0.0 ? (1.0 - r) * (1.0 - r) / (2.0 * r) : INFINITY;
}

double reflectance_with_floor(double reflectance, double specular_floor)
{
    return specular_floor + (1.0 - specular_floor) * reflectance;
}

double reflectance_without_floor(double seen, double specular_floor)
{
    return fmax(0.0, (seen - specular_floor) / (1.0 - specular_floor));
}

double indigo_yield_owf(double ring_share, const struct indigo_yield *yield)
{
    return 1.0 / (ring_share / yield->owf_ring + (1.0 - ring_share) / yield->owf_penetrated);
}

double indigo_k_over_s_660(double owf, double ring_share, const struct indigo_yield *yield)
{
    double depth = fmax(0.0, owf) / indigo_yield_owf(ring_share, yield);
    return yield->k_over_s_limit * -expm1(-depth);
}

double indigo_owf(double k_over_s_660, double ring_share, const struct indigo_yield *yield)
{
    double reached = fmin(1.0, fmax(0.0, k_over_s_660) / yield->k_over_s_limit);
    return indigo_yield_owf(ring_share, yield) * -log1p(-reached);
}
