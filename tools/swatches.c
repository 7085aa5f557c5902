/* swatches.c: a picture of 1 to 12 dips on cotton, linen, silk and wool, each from a weak and from a good vat, to be
 * looked at. Undyed cloth stands at the left.
 *
 * Writes a PPM picture to standard output and the colours to standard error. From the top folder:
 *   gcc -std=c17 -O2 -Isrc tools/swatches.c src/chem/kubelka_munk.c src/chem/spectrum.c src/chem/colour.c \
 *       src/chem/shade.c -lm -o swatches && ./swatches > swatches.ppm
 */
#include "chem/kubelka_munk.h"
#include "chem/shade.h"

#include <stdio.h>

#define DIPS 12
#define SIDE 64 /* pixels of a swatch */
#define GAP 6
#define KINDS 8

/* A plausible ladder: each dip adds less than the one before, toward a cap. Estimates, as all of these figures. */
struct kind {
    const char *name;
    struct cloth_look look;
    double first_dip; /* kg/kg */
    double ratio;     /* of a dip's gain to the one before */
    double ring_share;
};
static const struct kind kinds[KINDS] = {
    {"cotton, weak vat", {0.78, 0.86, 660.0, 0.006}, 0.0008, 0.97, 0.25},
    {"cotton", {0.78, 0.86, 660.0, 0.006}, 0.0025, 0.93, 0.25},
    {"linen, weak vat", {0.45, 0.62, 660.0, 0.006}, 0.0006, 0.97, 0.25},
    {"linen", {0.45, 0.62, 660.0, 0.006}, 0.0020, 0.92, 0.25},
    {"silk, weak vat", {0.70, 0.82, 650.0, 0.008}, 0.0012, 0.97, 0.10},
    {"silk", {0.70, 0.82, 650.0, 0.008}, 0.0040, 0.90, 0.10},
    {"wool, weak vat", {0.52, 0.72, 640.0, 0.006}, 0.0015, 0.97, 0.10},
    {"wool", {0.52, 0.72, 640.0, 0.006}, 0.0050, 0.90, 0.10},
};
static const struct indigo_yield yield = {26.5, 0.0135, 0.0225};

static struct swatch swatch_of(const struct kind *kind, int dips)
{
    double owf = 0.0;
    double gain = kind->first_dip;
    for (int i = 0; i < dips; i++) {
        owf += gain;
        gain *= kind->ratio;
    }
    double k_over_s = indigo_k_over_s_660(owf, kind->ring_share, &yield);
    struct spectrum spectrum;
    dyed_cloth_reflectance(&kind->look, k_over_s, yield.k_over_s_limit, &spectrum);
    struct xyz xyz = xyz_of_spectrum(&spectrum);
    struct lab lab = lab_of_xyz(xyz);
    struct swatch swatch = swatch_of_xyz(xyz);
    (void)fprintf(stderr, "%-16s %2d dips  %.2f %% owf  K/S %5.2f  L* %5.1f a* %5.1f b* %5.1f  #%02x%02x%02x  %s, %s\n",
                  kind->name, dips, 100.0 * owf, k_over_s, lab.l, lab.a, lab.b, swatch.red, swatch.green, swatch.blue,
                  shade_name(shade_of_owf(owf)), shade_name(shade_of_lab(lab)));
    return swatch;
}

int main(void)
{
    struct swatch swatches[KINDS][DIPS + 1];
    for (int kind = 0; kind < KINDS; kind++) {
        for (int dips = 0; dips <= DIPS; dips++) {
            swatches[kind][dips] = swatch_of(&kinds[kind], dips);
        }
    }
    const int cell = SIDE + GAP;
    const int width = (DIPS + 1) * cell + GAP;
    const int height = KINDS * cell + GAP;
    (void)printf("P6\n%d %d\n255\n", width, height);
    for (int y = 0; y < height; y++) {
        for (int x = 0; x < width; x++) {
            struct swatch s = {245, 245, 245};
            if (x % cell >= GAP && y % cell >= GAP) {
                s = swatches[y / cell][x / cell];
            }
            (void)putchar(s.red);
            (void)putchar(s.green);
            (void)putchar(s.blue);
        }
    }
    return ferror(stdout) != 0;
}
