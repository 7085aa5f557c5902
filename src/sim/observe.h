/* observe.h: what a dyer can read off the vat, and the diagnoses that follow from it. All derived, nothing integrated. */
#ifndef VATCAST_SIM_OBSERVE_H
#define VATCAST_SIM_OBSERVE_H

#include "scenario/scenario.h"
#include "sim/series.h"
#include "sim/vat.h"

/* Redox potential in V against Ag/AgCl, 3 mol/L KCl: a mixed potential of the dye couple, pulled down by reductone and up by
 * what oxygen left. Constants orp_*. */
double observe_orp(const struct liquor *liquor);

/* Depth of the settled bed, m. */
double observe_bed_depth(const struct vat *vat);

/* kg of suspended solids in all. */
double observe_suspended_mass(const struct vat *vat);

enum look_kind observe_look(const struct vat *vat);
enum vat_state observe_state(const struct vat *vat);
enum smell observe_smell(const struct vat *vat);

/* Seconds that a film of liquor takes in air from yellow-green to blue: in proportion to what oxygen must first use up. */
double observe_blueing_time(const struct liquor *liquor);

/* The series of the colour of a glass of liquor, for which its spectrum is needed, and vat.shapes. */
#define SERIES_OF_GLASS                                                                                                  \
    (SERIES_BIT(LIQUOR_RED) | SERIES_BIT(LIQUOR_GREEN) | SERIES_BIT(LIQUOR_BLUE) | SERIES_BIT(LIQUOR_CLARITY) |          \
     SERIES_BIT(LIQUOR_HUE))

/* One row of the series, SERIES_COUNT values, from vat.liquor (refreshed by the caller). Those in the set `wanted` are filled in,
 * others may be. */
void observe_series(const struct vat *vat, uint64_t wanted, double *row);

/* What a dyer reads now with an instrument; each reading has its error, drawn from vat.rng. Those not read are NAN. */
struct reading {
    double ph, temperature_K, orp;
    double test_strip;   /* kg/kg */
    enum look_kind look; /* LOOK_UNKNOWN when not looked */
};
struct reading observe_reading(struct vat *vat, enum instrument instrument);

/* Whether a condition holds for a reading; level and idle time need no instrument. */
bool observe_condition(const struct vat *vat, const struct condition *condition, const struct reading *reading);

#endif
