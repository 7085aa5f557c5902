/* ferment.h: fermented vats written down in a few numbers, on top of behaviour.h. Doses are grams per litre of the fill. */
#ifndef VATCAST_TESTS_FERMENT_H
#define VATCAST_TESTS_FERMENT_H

#include "behaviour/behaviour.h"

struct live_vat {
    const char *model;
    double fill_L, diameter_cm, depth_cm;
    double night_degC, day_degC, water_degC;
    double days, record_h;
    const char *lid, *wall, *heater; /* power, or NULL */
    double indigo, leaf, woad;       /* powder of 38 %; composted leaf; couched woad */
    double madder, raw_bran, boiled_bran;
    double soda, potash, ash_lye, lime;
    double old_liquor;
    const char *cloth;
    const char *calendar; /* or NULL */
    bool stirred_daily;
};

/* Bran, madder and soda as in practice section 4.1 A: 5, 5 and 25 g/L with so much indigo powder; 20 L under a loose lid. */
struct live_vat bran_vat(double indigo, double degC);
/* Composted leaf in ash lye with lime: 112 g/L, 880 g/L and 2 g/L, as in practice section 4.1 G; 40 L under a loose lid. */
struct live_vat leaf_vat(double degC);

/* The result is to be freed with run_free. `override` is one "PATH=VALUE" or NULL. */
struct vat_run *run_live(const struct live_vat *vat, const char *override);

/* The calendar of one who keeps a leaf vat: lime when the meter says so, bran and water every week from day 22 on; amounts are
 * for so many litres. */
void keep_leaf_vat(char calendar[CALENDAR_SIZE], double litres, double until_day);

/* Days until 5 % of the indigotin is reduced at a potential below -520 mV ("usable", chemistry section 9); INFINITY when never. */
double usable_day(const struct vat_run *run);

#endif
