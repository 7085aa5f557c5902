/* observe_life.c: see observe_life.h. */
#include "sim/observe_life.h"

#include "base/numbers.h"
#include "process/fermentation_rates.h"

#define A_MOMENT 3600.0        /* s over which the fall of the pH is told */
#define SECONDS_OF_DAY 86400.0

static double cells_of(const struct liquor *liquor)
{
    return MOLAR_CELLS * at_least_zero(liquor->concentration[S_CELLS]);
}

double life_strength(const struct liquor *liquor)
{
    double cells = cells_of(liquor);
    double airless = at_least_zero(1.0 - at_least_zero(liquor->concentration[S_OXYGEN]) / liquor->at.oxygen_saturation);
    return cells / (cells + liquor->k[K_ORP_CELLS_HALF]) * airless;
}

double life_ph_fall(const struct liquor *liquor)
{
    struct liquor_totals totals = liquor_totals_of(liquor->amount, liquor->volume);
    struct speciation ions;
    double lactate = 2.0 * ferment_lactate(liquor);
    double gas = 2.0 * (ferment_gas(liquor) + ferment_spoiler_acid(liquor) + ferment_respiration(liquor) +
                        ferment_reduction_suspended(liquor) + ferment_reduction_bed(liquor));
    totals.acid += (lactate + gas) * A_MOMENT / liquor->volume;
    totals.carbon += gas * A_MOMENT / liquor->volume;
    if (speciate_near(&liquor->at.equilibria, &totals, &liquor->ions, &ions) != 0 &&
        speciate(&liquor->at.equilibria, &totals, &ions) != 0) {
        return 0.0;
    }
    return (liquor->ions.ph - ions.ph) * SECONDS_OF_DAY / A_MOMENT;
}

double life_flower(const struct liquor *liquor)
{
    double gas = 4.0 * ferment_gas(liquor) / liquor->settings->area;
    return liquor->film_cover * gas / (gas + liquor->k[K_FLOWER_GAS_HALF]);
}

static bool is_putrid(const struct liquor *l)
{
    return MOLAR_CELLS * l->concentration[S_SPOILERS] > l->k[K_SPOILERS_PUTRID] && l->ions.ph < l->k[K_SPOILER_PH_HIGHEST];
}

/* Of a vat that lacks leuco. */
static enum vat_state waiting_state(const struct liquor *l, double leuco)
{
    const double *k = l->k;
    double cells = cells_of(l);
    double sugar = l->concentration[S_GLUCOSE] + l->concentration[S_FRUCTOSE] + l->concentration[S_SUCROSE];
    if (l->temperature_K < k[K_WORK_TEMPERATURE_LOWEST]) {
        return VAT_TOO_COLD;
    }
    bool hungry = cells > k[K_CELLS_FIRST] && sugar < k[K_HUNGRY_SHARE] * k[K_CELL_FEED_HALF];
    if (hungry && leuco >= k[K_TIRED_LEUCO_SHARE] * k[K_USABLE_LEUCO]) {
        return VAT_TIRED;
    }
    return hungry || l->cell_vigour < k[K_ASLEEP_VIGOUR] ? VAT_ASLEEP : VAT_STARTING;
}

enum vat_state life_state(const struct vat *vat, bool enough, bool spent, bool cloudy)
{
    const struct liquor *l = &vat->liquor;
    const double *k = vat->constants;
    if (is_putrid(l)) {
        return VAT_PUTRID;
    }
    if (l->ions.ph > k[K_CELL_PH_HIGHEST] - k[K_STALL_MARGIN]) {
        return VAT_STALLED;
    }
    if (l->ions.ph < k[K_ALKALI_SHORT_PH] + k[K_RUNAWAY_MARGIN] && life_ph_fall(l) > k[K_RUNAWAY_FALL] * SECONDS_OF_DAY) {
        return VAT_RUNAWAY;
    }
    if (l->ions.ph < k[K_ALKALI_SHORT_PH]) {
        return VAT_LIME_SHORT;
    }
    if (enough) {
        return cloudy ? VAT_STIRRED_UP : l->temperature_K < k[K_WORK_TEMPERATURE_LOWEST] ? VAT_TOO_COLD : VAT_READY;
    }
    return spent ? VAT_INDIGO_SPENT : waiting_state(l, l->concentration[S_LEUCO]);
}

enum smell life_smell(const struct vat *vat)
{
    const struct liquor *l = &vat->liquor;
    const double *k = vat->constants;
    if (is_putrid(l)) {
        return SMELL_FETID;
    }
    if (l->ions.ph < k[K_ALKALI_SHORT_PH]) {
        return SMELL_SOUR;
    }
    if (l->ions.ph > k[K_CELL_PH_HIGHEST] - k[K_STALL_MARGIN]) {
        return SMELL_LIMEY;
    }
    if (l->concentration[S_FRUCTOSE] + l->concentration[S_GLUCOSE] > k[K_SMELL_SWEET_SUGAR]) {
        return SMELL_SWEET;
    }
    double cells = cells_of(l);
    return cells > k[K_CELLS_AT_WORK] ? SMELL_SHARP : cells > k[K_CELLS_FIRST] ? SMELL_EARTHY : SMELL_FLAT;
}
