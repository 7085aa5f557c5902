/* prepare.h: values that several rate laws share, worked out once per liquor. */
#ifndef VATCAST_PROCESS_PREPARE_H
#define VATCAST_PROCESS_PREPARE_H

#include "process/liquor.h"

/* The common factor of the reduction of undissolved indigo, and its surfaces. */
void indigo_prepare_reduction(struct liquor *liquor);
void indigo_prepare_suspended(struct liquor *liquor);
void indigo_prepare_bed(struct liquor *liquor);

/* How far the liquor is from lime saturation. */
void lime_prepare(struct liquor *liquor);

/* What only temperature decides of the life in a vat, and what the pH adds. */
void fermentation_factors_at(struct temperature_factors *at, const double *constants);
void fermentation_prepare(struct liquor *liquor);

/* Parts of a liquor worked out anew: what follows from its ions, and how the film covers it. */
void liquor_update_ions(struct liquor *liquor);
void liquor_update_film(struct liquor *liquor);

#endif
