/* observe.c: see observe.h. */
#include "sim/observe.h"

#include "base/numbers.h"
#include "chem/carbonate.h"
#include "chem/lime.h"
#include "chem/redox.h"
#include "chem/water.h"
#include "sim/observe_life.h"
#include "sim/looks.h"

#include <gsl/gsl_randist.h>
#include <math.h>

#define INDIGO_BULK 1350.0 /* kg/m3 of the solids, for their volume in the bed */
#define RESIDUE_BULK 1500.0
#define STRIP_STEP 0.5
#define METER_SET_K 298.15

#define PH_PER_KELVIN 0.033 /* by which pH falls as the same liquor warms: Bates, Bower & Smith, J. Res. NBS 56, 305, 1956 */
#define FILM_CARRIERS 1.0   /* mol/m3 of leuco, times its share of an O2, for which oxidation_time_film is given */
#define INDIGO_NONE 1e-9    /* mol: what is less is round-off in a vat without indigo, and has no shares */

double observe_orp(const struct liquor *liquor)
{
    const double *k = liquor->k;
    double leuco = at_least_zero(liquor->concentration[S_LEUCO]);
    double reductone = at_least_zero(liquor->concentration[S_REDUCTONE]);
    double half_nernst = 0.5 * nernst_slope(liquor->temperature_K);
    double dye = k[K_ORP_HALF_VAT] + k[K_ORP_PH_SLOPE] * (liquor->ions.ph - 11.0) -
                 half_nernst * log10((leuco + 1e-6) / 1.0);
    double pull = k[K_ORP_SUGAR_PULL] * reductone / (reductone + k[K_ORP_SUGAR_HALF]);
    double carriers = leuco + reductone;
    double half = k[K_ORP_LEUCO_HALF];
    double weight = carriers * carriers / (carriers * carriers + half * half);
    /* Living cells take the oxygen and hold the liquor below an aired one, and the dye below its own potential. */
    double life = life_strength(liquor);
    double aired = k[K_ORP_OXIDISED] + life * (k[K_ORP_CELLS] - k[K_ORP_OXIDISED]);
    return weight * (dye - pull - life * k[K_ORP_CELLS_PULL]) + (1.0 - weight) * aired;
}

static double indigo_total(const struct vat *vat)
{
    const double *n = vat->amount;
    return n[S_INDIGO_DRY] + n[S_INDIGO_SUSPENDED] + n[S_INDIGO_BED] + n[S_INDIGO_FILM] + n[S_LEUCO] + n[S_LEUCO_HELD];
}

double observe_bed_depth(const struct vat *vat)
{
    const double *n = vat->amount;
    double solids = (n[S_INDIGO_BED] + n[S_LEUCO_HELD]) * MOLAR_INDIGOTIN / INDIGO_BULK +
                    n[S_LIME_BED] * MOLAR_LIME / LIME_DENSITY + n[S_CHALK_BED] * MOLAR_CHALK / CALCITE_DENSITY +
                    (n[S_RESIDUE] + (n[S_FEED_FAST] + n[S_FEED_SLOW]) * MOLAR_FEED + n[S_DEBRIS] * MOLAR_CELLS) / RESIDUE_BULK;
    return at_least_zero(solids) / vat->constants[K_BED_SOLID_SHARE] / vat->settings.area;
}

double observe_suspended_mass(const struct vat *vat)
{
    const double *n = vat->amount;
    return (n[S_INDIGO_DRY] + n[S_INDIGO_SUSPENDED]) * MOLAR_INDIGOTIN + n[S_LIME_SUSPENDED] * MOLAR_LIME +
           n[S_CHALK_SUSPENDED] * MOLAR_CHALK;
}

enum look_kind observe_look(const struct vat *vat)
{
    const struct liquor *l = &vat->liquor;
    const double *k = vat->constants;
    double leuco = l->concentration[S_LEUCO];
    if (leuco < k[K_LOOK_BLUE_BELOW] * k[K_USABLE_LEUCO]) {
        return LOOK_BLUE;
    }
    if (leuco >= k[K_USABLE_LEUCO] && l->film_cover >= k[K_FILM_BRONZE_COVER]) {
        return LOOK_BRONZE;
    }
    bool bronze = leuco >= k[K_LOOK_BRONZE_FROM] * k[K_USABLE_LEUCO] && l->film_cover >= k[K_FILM_FAINT_COVER];
    return bronze ? LOOK_FAINT_BRONZE : LOOK_GREEN;
}

enum smell observe_smell(const struct vat *vat)
{
    const struct liquor *l = &vat->liquor;
    const double *k = vat->constants;
    if (vat->ferments) {
        return life_smell(vat);
    }
    if (l->ions.ph < k[K_SMELL_SOUR_PH] && l->totals.acid > l->totals.carbon) { /* carbonic acid has no smell */
        return SMELL_SOUR;
    }
    if (l->concentration[S_REDUCTONE] > k[K_SMELL_CARAMEL_REDUCTONE]) {
        return SMELL_CARAMEL;
    }
    if (l->concentration[S_FRUCTOSE] + l->concentration[S_GLUCOSE] > k[K_SMELL_SWEET_SUGAR]) {
        return SMELL_SWEET;
    }
    return l->concentration[S_LIME_SUSPENDED] > k[K_SMELL_LIMEY_LIME] ? SMELL_LIMEY : SMELL_FLAT;
}

double observe_blueing_time(const struct liquor *liquor)
{
    double leuco = at_least_zero(liquor->concentration[S_LEUCO]) / liquor->k[K_LEUCO_PER_OXYGEN];
    double reductone = at_least_zero(liquor->concentration[S_REDUCTONE]);
    return liquor->k[K_OXIDATION_TIME_FILM] * (leuco + reductone) / FILM_CARRIERS;
}

static enum vat_state state_at(const struct vat *vat, double orp)
{
    const struct liquor *l = &vat->liquor;
    const double *k = vat->constants;
    double leuco = l->concentration[S_LEUCO];
    double sugar = l->concentration[S_FRUCTOSE] + l->concentration[S_GLUCOSE] + l->concentration[S_REDUCTONE];
    bool enough = leuco >= k[K_USABLE_LEUCO] && orp <= k[K_USABLE_ORP];
    if (l->temperature_K < k[K_FREEZING_CALLED]) {
        return VAT_FROZEN;
    }
    if (vat->ferments) {
        return life_state(vat, enough, indigo_total(vat) / l->volume < k[K_INDIGO_SPENT],
                          observe_suspended_mass(vat) / l->volume > k[K_CLOUDY_SOLIDS]);
    }
    if (l->ions.ph < k[K_ALKALI_SHORT_PH] && l->concentration[S_LIME_SUSPENDED] < k[K_LIME_DISSOLVING]) {
        return VAT_LIME_SHORT;
    }
    if (enough) {
        if (observe_suspended_mass(vat) / l->volume > k[K_CLOUDY_SOLIDS]) {
            return VAT_STIRRED_UP;
        }
        if (orp < k[K_ORP_OVER_REDUCED]) {
            return VAT_OVER_REDUCED;
        }
        if (l->temperature_K < k[K_WORK_TEMPERATURE_LOWEST]) {
            return VAT_TOO_COLD;
        }
        double ph_25 = l->ions.ph + PH_PER_KELVIN * (l->temperature_K - 298.15); /* brought to room warmth */
        return ph_25 > k[K_LIME_HEAVY_PH] ? VAT_LIME_HEAVY : VAT_READY;
    }
    if (indigo_total(vat) / l->volume < k[K_INDIGO_SPENT]) {
        return VAT_INDIGO_SPENT;
    }
    if (sugar >= k[K_SUGAR_AT_WORK]) {
        return l->temperature_K < k[K_WORK_TEMPERATURE_LOWEST] ? VAT_TOO_COLD : VAT_STARTING;
    }
    if (leuco >= k[K_TIRED_LEUCO_SHARE] * k[K_USABLE_LEUCO]) {
        return VAT_TIRED;
    }
    if (sugar >= k[K_SUGAR_SPENT]) {
        return l->temperature_K < k[K_WORK_TEMPERATURE_LOWEST] ? VAT_TOO_COLD : VAT_STARTING;
    }
    return l->amount[S_OXYGEN] / l->volume > 0.1 * l->at.oxygen_saturation ? VAT_OXIDISED : VAT_SUGAR_SPENT;
}

enum vat_state observe_state(const struct vat *vat)
{
    return state_at(vat, observe_orp(&vat->liquor));
}

/* ---- a row of the series --------------------------------------------------------------------------------------- */

static double per_volume(const struct vat *vat, enum species species, double molar_mass)
{
    return vat->liquor.concentration[species] * molar_mass;
}

/* The indigo, the sugar and what comes of it. */
static void see_dye_and_sugar(const struct vat *vat, double *row)
{
    const struct liquor *l = &vat->liquor;
    const double *n = vat->amount;
    double total = indigo_total(vat);
    row[SERIES_LEUCO_HELD] = per_volume(vat, S_LEUCO_HELD, MOLAR_INDIGOTIN);
    row[SERIES_INDIGO_SUSPENDED] =
        per_volume(vat, S_INDIGO_SUSPENDED, MOLAR_INDIGOTIN) + per_volume(vat, S_INDIGO_DRY, MOLAR_INDIGOTIN);
    row[SERIES_INDIGO_BED] = 1e3 * n[S_INDIGO_BED] * MOLAR_INDIGOTIN;
    row[SERIES_INDIGO_FILM] = 1e3 * n[S_INDIGO_FILM] * MOLAR_INDIGOTIN;
    row[SERIES_REDUCED_SHARE] =
        total > INDIGO_NONE ? at_least_zero(n[S_LEUCO] + n[S_LEUCO_HELD]) / total : 0.0;
    row[SERIES_FRUCTOSE] = per_volume(vat, S_FRUCTOSE, MOLAR_HEXOSE);
    row[SERIES_GLUCOSE] = per_volume(vat, S_GLUCOSE, MOLAR_HEXOSE);
    row[SERIES_HEXOSE] = row[SERIES_FRUCTOSE] + row[SERIES_GLUCOSE];
    row[SERIES_REDUCTONE] = l->concentration[S_REDUCTONE];
    row[SERIES_RESERVE] = l->concentration[S_RESERVE];
    row[SERIES_ACID] = l->concentration[S_LACTATE] + l->concentration[S_SACCHARINATE] +
                       2.0 * l->concentration[S_OXIDATE] + l->concentration[S_ACID_ADDED] + l->concentration[S_ACETATE];
    row[SERIES_BLUEING_TIME] = observe_blueing_time(l);
}

/* What is dissolved besides, and what is solid. */
static void see_salts_and_solids(const struct vat *vat, double *row)
{
    const struct liquor *l = &vat->liquor;
    const double *n = vat->amount;
    double bed = observe_bed_depth(vat);
    row[SERIES_CALCIUM] = l->concentration[S_CALCIUM];
    row[SERIES_HYDROXIDE] = l->ions.hydroxide;
    row[SERIES_CARBONATE] = l->concentration[S_CARBON];
    row[SERIES_IONIC_STRENGTH] = l->ions.ionic_strength;
    row[SERIES_LIME_SOLID] = 1e3 * (n[S_LIME_SUSPENDED] + n[S_LIME_BED]) * MOLAR_LIME;
    row[SERIES_LIME_SUSPENDED] = 1e3 * n[S_LIME_SUSPENDED] * MOLAR_LIME;
    row[SERIES_CHALK] = 1e3 * (n[S_CHALK_SUSPENDED] + n[S_CHALK_BED]) * MOLAR_CHALK;
    row[SERIES_OXYGEN] = 1e3 * per_volume(vat, S_OXYGEN, MOLAR_OXYGEN);
    row[SERIES_TURBIDITY] = observe_suspended_mass(vat) / l->volume;
    row[SERIES_BED_DEPTH] = 1e2 * bed;
    row[SERIES_BED_SHARE] = bed / l->height;
    row[SERIES_LIME_THIRST] = at_least_zero(1.0 - cbrt(l->ions.lime_saturation));
}

/* Whether what lives in it can move the pH in a moment is a search for another equilibrium. */
static void see_life(const struct vat *vat, double *row)
{
    const struct liquor *l = &vat->liquor;
    row[SERIES_FEED] = per_volume(vat, S_FEED_FAST, MOLAR_FEED) + per_volume(vat, S_FEED_SLOW, MOLAR_FEED);
    row[SERIES_NITROGEN] = l->concentration[S_NITROGEN];
    row[SERIES_CELLS] = 1e3 * per_volume(vat, S_CELLS, MOLAR_CELLS);
    row[SERIES_SPOILERS] = 1e3 * per_volume(vat, S_SPOILERS, MOLAR_CELLS);
    row[SERIES_PH_FALL] = vat->ferments ? life_ph_fall(l) : 0.0;
    row[SERIES_FLOWER] = vat->ferments ? life_flower(l) : 0.0;
}

static void see_glass(const struct vat *vat, double *row)
{
    struct liquor_colour glass = look_of_liquor(&vat->liquor, &vat->shapes);
    row[SERIES_LIQUOR_RED] = glass.swatch.red;
    row[SERIES_LIQUOR_GREEN] = glass.swatch.green;
    row[SERIES_LIQUOR_BLUE] = glass.swatch.blue;
    row[SERIES_LIQUOR_HAZE] = glass.haze;
    row[SERIES_LIQUOR_CLARITY] = glass.clarity;
    row[SERIES_LIQUOR_HUE] = glass.hue;
}

#define SERIES_OF_DYE_AND_SUGAR                                                                                          \
    (SERIES_BIT(LEUCO_HELD) | SERIES_BIT(INDIGO_SUSPENDED) | SERIES_BIT(INDIGO_BED) | SERIES_BIT(INDIGO_FILM) |          \
     SERIES_BIT(REDUCED_SHARE) | SERIES_BIT(FRUCTOSE) | SERIES_BIT(GLUCOSE) | SERIES_BIT(HEXOSE) |                       \
     SERIES_BIT(REDUCTONE) | SERIES_BIT(RESERVE) | SERIES_BIT(ACID) | SERIES_BIT(BLUEING_TIME))
#define SERIES_OF_SALTS_AND_SOLIDS                                                                                       \
    (SERIES_BIT(CALCIUM) | SERIES_BIT(HYDROXIDE) | SERIES_BIT(CARBONATE) | SERIES_BIT(IONIC_STRENGTH) |                  \
     SERIES_BIT(LIME_SOLID) | SERIES_BIT(LIME_SUSPENDED) | SERIES_BIT(CHALK) | SERIES_BIT(OXYGEN) |                      \
     SERIES_BIT(TURBIDITY) | SERIES_BIT(BED_DEPTH) | SERIES_BIT(BED_SHARE) | SERIES_BIT(LIME_THIRST))
#define SERIES_OF_LIFE                                                                                                   \
    (SERIES_BIT(FEED) | SERIES_BIT(NITROGEN) | SERIES_BIT(CELLS) | SERIES_BIT(SPOILERS) | SERIES_BIT(PH_FALL) |          \
     SERIES_BIT(FLOWER))

/* What is read off at a glance. */
static void see_vat(const struct vat *vat, double *row)
{
    const struct liquor *l = &vat->liquor;
    double cloth_in = 0.0;
    for (int i = 0; i < MAX_SOAKING_ZONES; i++) {
        cloth_in += vat->settings.cloth[i].in ? vat->settings.cloth[i].mass : 0.0;
    }
    row[SERIES_TIME] = vat->time;
    row[SERIES_TEMPERATURE] = l->temperature_K - 273.15;
    row[SERIES_AIR_TEMPERATURE] = l->air_K - 273.15;
    row[SERIES_VOLUME] = 1e3 * l->volume;
    row[SERIES_LEVEL] = 1e2 * l->height;
    row[SERIES_PH] = l->ions.ph;
    row[SERIES_PH_METER] = meter_reading(l->ions.ph, l->temperature_K, METER_SET_K);
    row[SERIES_LEUCO] = per_volume(vat, S_LEUCO, MOLAR_INDIGOTIN);
    row[SERIES_FILM_COVER] = l->film_cover;
    row[SERIES_CLOTH_IN] = cloth_in;
    row[SERIES_CLOTH_DIPS] = vat->cloth_dips;
    row[SERIES_LOOK] = observe_look(vat);
    row[SERIES_SMELL] = observe_smell(vat);
}

void observe_series(const struct vat *vat, uint64_t wanted, double *row)
{
    see_vat(vat, row);
    if ((wanted & (SERIES_BIT(ORP) | SERIES_BIT(ORP_SHE) | SERIES_BIT(STATE))) != 0) {
        double orp = observe_orp(&vat->liquor);
        row[SERIES_ORP] = 1e3 * orp;
        row[SERIES_ORP_SHE] = 1e3 * (orp + reference_silver_chloride_3m(vat->liquor.temperature_K));
        row[SERIES_STATE] = state_at(vat, orp);
    }
    if ((wanted & SERIES_OF_DYE_AND_SUGAR) != 0) {
        see_dye_and_sugar(vat, row);
    }
    if ((wanted & SERIES_OF_SALTS_AND_SOLIDS) != 0) {
        see_salts_and_solids(vat, row);
    }
    if ((wanted & SERIES_OF_LIFE) != 0) {
        see_life(vat, row);
    }
    if ((wanted & SERIES_OF_GLASS) != 0) {
        see_glass(vat, row);
    } else if ((wanted & SERIES_BIT(LIQUOR_HAZE)) != 0) {
        row[SERIES_LIQUOR_HAZE] = haze_of_liquor(&vat->liquor);
    }
}

struct reading observe_reading(struct vat *vat, enum instrument instrument)
{
    const struct liquor *l = &vat->liquor;
    const double *k = vat->constants;
    struct reading reading = {
        .ph = NAN, .temperature_K = NAN, .orp = NAN, .test_strip = NAN, .look = LOOK_UNKNOWN};
    /* A thermometer and the eyes are always at hand. */
    reading.temperature_K = l->temperature_K + gsl_ran_gaussian(vat->rng, k[K_THERMOMETER_NOISE]);
    reading.look = observe_look(vat);
    double noise = gsl_ran_gaussian(vat->rng, 1.0);
    switch (instrument) {
    case INSTRUMENT_STRIP:
        reading.ph = strip_reading(l->ions.ph + k[K_STRIP_NOISE] * noise, STRIP_STEP);
        break;
    case INSTRUMENT_METER:
        reading.ph = l->ions.ph + k[K_METER_NOISE] * noise;
        break;
    case INSTRUMENT_ORP:
        reading.orp = observe_orp(l) + k[K_ORP_NOISE] * noise;
        break;
    case INSTRUMENT_TEST_STRIP:
        reading.test_strip = cloth_test_strip(vat);
        break;
    case INSTRUMENT_NONE:
    case INSTRUMENT_THERMOMETER:
    case INSTRUMENT_LOOK:
    case INSTRUMENT_COUNT:
        break;
    }
    return reading;
}

static bool compare(double left, enum comparison comparison, double right)
{
    switch (comparison) {
    case LESS:
        return left < right;
    case LESS_EQUAL:
        return left <= right;
    case GREATER:
        return left > right;
    case GREATER_EQUAL:
        return left >= right;
    case EQUAL:
        return !(left < right) && !(left > right);
    case NOT_EQUAL:
        return left < right || left > right;
    }
    return false;
}

bool observe_condition(const struct vat *vat, const struct condition *condition, const struct reading *reading)
{
    double value = NAN;
    switch (condition->observable) {
    case OBSERVE_PH:
        value = reading->ph;
        break;
    case OBSERVE_TEMPERATURE:
        value = reading->temperature_K;
        break;
    case OBSERVE_ORP:
        value = reading->orp;
        break;
    case OBSERVE_LOOK:
        value = reading->look;
        break;
    case OBSERVE_LEVEL:
        value = vat->liquor.volume;
        break;
    case OBSERVE_IDLE:
        value = vat->time - vat->last_dip_end;
        break;
    case OBSERVE_TEST_STRIP:
        value = reading->test_strip;
        break;
    case OBSERVE_COUNT:
        break;
    }
    return compare(value, condition->comparison, condition->value);
}
