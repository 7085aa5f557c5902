/* colour.h: from a reflectance or transmittance spectrum to CIE XYZ, CIELAB and a swatch for a screen.
 *
 * Observer and light: CIE 1931 2 degree, D65 (CIE 015, ISO/CIE 11664). XYZ with Y = 100 for a perfect white.
 */
#ifndef VATCAST_CHEM_COLOUR_H
#define VATCAST_CHEM_COLOUR_H

#include "chem/spectrum.h"

struct xyz {
    double x, y, z;
};

struct lab {
    double l, a, b; /* lightness 0 to 100; red against green; yellow against blue */
};

struct swatch {
    unsigned char red, green, blue; /* sRGB, 8 bit */
};

/* XYZ under D65 by plain sums over the 10 nm table, 380 to 780 nm, each sum scaled so that a perfect white comes to the
 * white of CIE 015, 95.047, 100, 108.883. Not ASTM E308's weights, which also mend the width of an instrument's
 * passband. For the 15 test colour samples of CIE 13.3 sums at 5 nm differ by at most 0.13 in X, Y or Z. */
struct xyz xyz_of_spectrum(const struct spectrum *spectrum);

/* CIELAB with that white, and the other way round. CIE 015; ISO/CIE 11664-4. */
struct lab lab_of_xyz(struct xyz xyz);
struct xyz xyz_of_lab(struct lab lab);

/* Red, green and blue of sRGB, encoded, 1.0 for full; outside 0 to 1 when a screen cannot show the colour. IEC
 * 61966-2-1. */
void srgb_of_xyz(struct xyz xyz, double rgb[3]);

/* The same as 8 bit, each channel cut to what a screen can show. */
struct swatch swatch_of_xyz(struct xyz xyz);

/* Chroma, and hue in degrees 0 to 360: about 0 red, 90 yellow, 180 green, 270 blue. */
double lab_chroma(struct lab lab);
double lab_hue_degrees(struct lab lab);

/* CIE 1976 colour difference, the distance in CIELAB; 1 is about what a trained eye sees side by side. */
double colour_difference_1976(struct lab one, struct lab other);

#endif
