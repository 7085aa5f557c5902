/* redox.h: what electrodes and pH strips show. */
#ifndef VATCAST_CHEM_REDOX_H
#define VATCAST_CHEM_REDOX_H

#define STRIP_LOWEST_PH 1.0
#define STRIP_TOP_PH 14.0
#define STRIP_SATURATES_PH 12.5 /* above it a strip shows its top field; an assumption, from common practice */

/* Nernst slope, V per pH unit (and per tenfold change of a one-electron activity); 0.05916 at 25 degC. */
double nernst_slope(double temperature_K);

/* Potential of the silver/silver chloride electrode in 3 mol/L KCl against the standard hydrogen electrode, V; 0.207 at
 * 25 degC. 5 to 40 degC within 1 mV: a line through a meter manual's table. */
double reference_silver_chloride_3m(double temperature_K);

/* What a pH meter without temperature compensation shows: `temperature_set_K` is the temperature it was set up at.
 * Only the slope of the electrode is meant; the pH of the liquor itself must already be that at temperature_K. */
double meter_reading(double ph_true, double temperature_K, double temperature_set_K);

/* What a strip of range 1 to 14 shows: the nearest field, `step` apart (1 or 0.5; must be above 0).
 * Above pH 12.5 the top field cannot be told from the ones below it and people read 14. Below 1 it shows 1.
 * Strips make no allowance for temperature. This steps: it is for readings, not for rates. */
double strip_reading(double ph, double step);

#endif
