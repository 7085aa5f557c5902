/* fermentation_rates.h: the rate laws of a fermented vat, between fermentation_rates.c (how fast) and fermentation.c (what). */
#ifndef VATCAST_PROCESS_FERMENTATION_RATES_H
#define VATCAST_PROCESS_FERMENTATION_RATES_H

#include "process/partials.h"

/* Each is an extent per second, mol/s, of the process of its name in fermentation.c; zero when what it uses up is gone. */
double ferment_fast_feed(const struct liquor *liquor);
double ferment_slow_feed(const struct liquor *liquor);
double ferment_inversion(const struct liquor *liquor);
double ferment_fructose(const struct liquor *liquor);
double ferment_growth(const struct liquor *liquor);
double ferment_lactate(const struct liquor *liquor);
double ferment_gas(const struct liquor *liquor);
double ferment_reduction_suspended(const struct liquor *liquor);
double ferment_reduction_bed(const struct liquor *liquor);
double ferment_respiration(const struct liquor *liquor);
double ferment_decay_to_feed(const struct liquor *liquor);
double ferment_decay_to_debris(const struct liquor *liquor);
double ferment_spoiler_growth(const struct liquor *liquor);
double ferment_spoiler_acid(const struct liquor *liquor);
double ferment_spoiler_decay(const struct liquor *liquor);
double ferment_spoiler_killing(const struct liquor *liquor);
double ferment_spoiled_suspended(const struct liquor *liquor);
double ferment_spoiled_bed(const struct liquor *liquor);

/* How those of them move that are no products; see partials.h. */
void ferment_inversion_partials(PARTIALS_ARGUMENTS);
void ferment_fructose_partials(PARTIALS_ARGUMENTS);
void ferment_respiration_partials(PARTIALS_ARGUMENTS);

#endif
