/* prepare.h: values that several rate laws share, worked out once per liquor. How they move is told in partials.h. */
#ifndef VATCAST_PROCESS_PREPARE_H
#define VATCAST_PROCESS_PREPARE_H

#include "process/liquor.h"

/* The film on the surface, and the oxygen that passes it. */
void surface_prepare(struct liquor *liquor);
/* The film only. */
void surface_prepare_looks(struct liquor *liquor);

/* The common factor of the reduction of undissolved indigo, and its surfaces. */
void indigo_prepare(struct liquor *liquor);

/* How far the liquor is from lime saturation. */
void lime_prepare(struct liquor *liquor);

/* What only temperature decides of the life in a vat, how it moves, and the rest of it. */
void fermentation_factors_at(struct temperature_factors *at, const double *constants);
void fermentation_factor_slopes(const struct temperature_factors *at, const double *constants, struct temperature_factors *by_K);
void fermentation_prepare(struct liquor *liquor);

#endif
