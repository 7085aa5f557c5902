/* spectrum.c: see spectrum.h. */
#include "chem/spectrum.h"

#include "chem/kubelka_munk.h"

#include <math.h>

#define NM_PER_CM 1e7
#define NEARLY_ALL 0.999

double spectrum_wavelength_nm(int i)
{
    return SPECTRUM_FIRST_NM + SPECTRUM_STEP_NM * i;
}

double spectrum_value(const struct spectrum *spectrum, double wavelength_nm)
{
    double place = (wavelength_nm - SPECTRUM_FIRST_NM) / SPECTRUM_STEP_NM;
    if (place <= 0.0) {
        return spectrum->at[0];
    }
    if (place >= SPECTRUM_COUNT - 1) {
        return spectrum->at[SPECTRUM_COUNT - 1];
    }
    int below = (int)place;
    double share = place - below;
    return (1.0 - share) * spectrum->at[below] + share * spectrum->at[below + 1];
}

/* Bands in wavenumbers, cm-1, from the peak: the main band with a steep red side, a broad one under green and blue; the
 * foot of the ultraviolet bands, and a little everywhere. The main band stands so far to the red that the sum has its
 * peak where it is said to be. */
static double bands(double from_peak_per_cm, double from_380_nm)
{
    double from_main = from_peak_per_cm + 130.0;
    double main_band = from_main / (from_main < 0.0 ? 760.0 : 1750.0);
    double green_band = (from_peak_per_cm - 4100.0) / 2350.0;
    return exp(-0.5 * main_band * main_band) + 0.26 * exp(-0.5 * green_band * green_band) +
           0.10 * exp(-from_380_nm / 50.0) + 0.022;
}

double indigo_shape(double wavelength_nm, double peak_nm)
{
    double from_peak_per_cm = NM_PER_CM / wavelength_nm - NM_PER_CM / peak_nm;
    return bands(from_peak_per_cm, wavelength_nm - 380.0) / bands(0.0, peak_nm - 380.0);
}

void undyed_k_over_s(const struct cloth_look *look, struct spectrum *k_over_s)
{
    double at_450 = kubelka_munk_ratio(reflectance_without_floor(look->reflectance_450, look->specular_floor));
    double at_650 = kubelka_munk_ratio(reflectance_without_floor(look->reflectance_650, look->specular_floor));
    double per_nm = at_450 > 0.0 && at_650 > 0.0 ? log(at_450 / at_650) / 200.0 : 0.0;
    for (int i = 0; i < SPECTRUM_COUNT; i++) {
        k_over_s->at[i] = at_450 * exp(-per_nm * (spectrum_wavelength_nm(i) - 450.0));
    }
}

void indigo_k_over_s(double k_over_s_peak, double k_over_s_limit, double peak_nm, struct spectrum *k_over_s)
{
    double reached = fmin(NEARLY_ALL, fmax(0.0, k_over_s_peak) / k_over_s_limit);
    double depth = -log1p(-reached);
    for (int i = 0; i < SPECTRUM_COUNT; i++) {
        k_over_s->at[i] = k_over_s_limit * -expm1(-depth * indigo_shape(spectrum_wavelength_nm(i), peak_nm));
    }
}

void dyed_cloth_reflectance(const struct cloth_look *look, double k_over_s_peak, double k_over_s_limit,
                            struct spectrum *reflectance)
{
    struct spectrum undyed;
    struct spectrum dye;
    undyed_k_over_s(look, &undyed);
    indigo_k_over_s(k_over_s_peak, k_over_s_limit, look->peak_nm, &dye);
    for (int i = 0; i < SPECTRUM_COUNT; i++) {
        double inside = kubelka_munk_reflectance(undyed.at[i] + dye.at[i]);
        reflectance->at[i] = reflectance_with_floor(inside, look->specular_floor);
    }
}
