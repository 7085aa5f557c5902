/* observe_life.h: what a dyer can tell of the life in a fermented vat; part of observe.h, for src/sim/observe.c. */
#ifndef VATCAST_SIM_OBSERVE_LIFE_H
#define VATCAST_SIM_OBSERVE_LIFE_H

#include "sim/series.h"
#include "sim/vat.h"

/* 0 without cells or in an aired liquor, toward 1 with many cells and no oxygen. */
double life_strength(const struct liquor *liquor);

/* pH that fermenting would take in a day if it went on as now; positive when the pH falls. Undissolved lime is not counted. */
double life_ph_fall(const struct liquor *liquor);

/* Flower of fermentation, 0 to 1: bubbles of gas under a blue film. */
double life_flower(const struct liquor *liquor);

/* Diagnosis, from whether there is leuco enough, the indigo is spent, the liquor is cloudy. */
enum vat_state life_state(const struct vat *vat, bool enough, bool spent, bool cloudy);
enum smell life_smell(const struct vat *vat);

#endif
