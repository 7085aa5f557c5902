/* looks.h: what cloth and liquor look like: from amounts to colours and words, by src/chem. */
#ifndef VATCAST_SIM_LOOKS_H
#define VATCAST_SIM_LOOKS_H

#include "chem/colour.h"
#include "chem/liquor_colour.h"
#include "chem/shade.h"
#include "sim/vat.h"

struct cloth_colour {
    double k_over_s; /* of the dye, at its peak */
    struct lab lab;
    struct swatch swatch;
    enum shade shade;
};

/* Cloth of a fibre with an amount of dye, kg indigotin per kg, all of it fast. */
struct cloth_colour look_of_cloth(const double *constants, const struct fibre *fibre, double owf);

/* How strongly what is in the liquor colours it, by a model's constants. */
struct liquor_optics optics_of(const double *k);

/* A glass of the liquor, and its haze alone. */
struct liquor_colour look_of_liquor(const struct liquor *liquor, const struct liquor_shapes *shapes);
double haze_of_liquor(const struct liquor *liquor);

#endif
