/* surface.h: what passes through the liquor's surface. */
#ifndef VATCAST_PROCESS_SURFACE_H
#define VATCAST_PROCESS_SURFACE_H

#include "process/liquor.h"

/* Oxygen into the liquor, mol/s, with lid, film, stirring, warmth and chemical enhancement. */
double surface_oxygen_flux(const struct liquor *liquor);

/* Liquid-side transfer coefficient of oxygen, m/s, without chemical enhancement. */
double surface_transfer_coefficient(const struct liquor *liquor);

/* Share of the surface oxygen that makes bronze film, 0 to 1. */
double surface_film_share(const struct liquor *liquor);

/* Water lost to the air, kg/s. */
double surface_evaporation(const struct liquor *liquor);

#endif
