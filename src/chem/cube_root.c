/* cube_root.c: see cube_root.h. A third of the exponent gives it to 4 %, and Halley's iteration triples the figures. */
#include "chem/cube_root.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#define SMALLEST 1e-200 /* below it and beyond LARGEST, where fourth powers leave the range, the library's own */
#define LARGEST 1e200
#define THIRD_OF_BIAS UINT64_C(0x2a9f7893782da1ce) /* two thirds of the bits of 1.0, less what halves the error */

static double closer(double root, double x)
{
    const double cube = root * root * root;
    return root * (cube + 2.0 * x) / (2.0 * cube + x);
}

double cube_root(double x)
{
    const double size = fabs(x);
    if (!(size > SMALLEST && size < LARGEST)) {
        return cbrt(x);
    }
    uint64_t bits;
    double root;
    memcpy(&bits, &size, sizeof bits);
    bits = bits / 3 + THIRD_OF_BIAS;
    memcpy(&root, &bits, sizeof root);
    root = closer(closer(root, size), size);
    root -= (root - size / (root * root)) / 3.0;
    return x < 0.0 ? -root : root;
}
