/* measures.h: masses as a dyer with scales and a cook without would measure them. */
#ifndef VATCAST_STUDY_MEASURES_H
#define VATCAST_STUDY_MEASURES_H

#include "scenario/model.h"

#include <stddef.h>

/* A mass that scales can weigh: two significant figures, kg in and out. */
double mass_rounded(double mass);

/* "24 g, about 2 tbsp" of a powder, by its bulk density; "0.35 L" of a liquid; "24 g" when it has no bulk density. Spoons
 * and cups are those of the United States (4.93, 14.79 and 237 mL), in quarter teaspoons, half tablespoons and quarter
 * cups. A spoon of powder is worth +-25 % (common practice, no source). */
void measure_say(const struct material *material, double mass, char *text, size_t size);

#endif
