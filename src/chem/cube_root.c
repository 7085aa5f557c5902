/* cube_root.c: see cube_root.h. A third of the exponent gives it to 4 %, a step of Halley's iteration to 3e-5, and what is left is
 * taken from the series of the cube root of 1 + d. */
#include "chem/cube_root.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#define SMALLEST 1e-200 /* below it and beyond LARGEST, where fourth powers leave the range, the library's own */
#define LARGEST 1e200
#define THIRD_OF_BIAS UINT64_C(0x2a9f7893782da1ce) /* two thirds of the bits of 1.0, less what halves the error */

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
    const double cube = root * root * root;
    root *= (cube + 2.0 * size) / (2.0 * cube + size);
    const double d = (size - root * root * root) / (root * root * root);
    root += root * d * (1.0 / 3.0 - d * (1.0 / 9.0 - 5.0 / 81.0 * d));
    return x < 0.0 ? -root : root;
}
