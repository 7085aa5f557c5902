/* indigo.c: wetting, reduction, holding by sediment and destruction of indigo.
 *
 * Reduction follows the surface law of Vuorema et al. 2008: d(leuco)/dt = k [OH-] S, with S the surface of the solid. The
 * particles shrink: n mol left of q mol in as many spheres of first diameter d have S = (6 Vm / d) q^(1/3) n^(2/3).
 */
#include "process/liquor.h"
#include "process/prepare.h"
#include "process/rates.h"

#include "chem/cube_root.h"

#include <math.h>

#define VUOREMA "Vuorema, John, Keskitalo, Kulandainathan & Marken, Dyes Pigm. 76, 542, 2008 (abstract)"
#define LAST_TRACE 1e-3 /* below this share of the first amount the surface shrinks in step with the amount */

static double at_least_zero(double value)
{
    return value > 0.0 ? value : 0.0;
}

/* Surface in m2 of n mol of indigo left in the particles of q mol. */
static double particle_surface(const struct liquor *liquor, double n, double q)
{
    if (!(n > 0.0)) {
        return 0.0;
    }
    double sum = n + at_least_zero(q);
    double difference = at_least_zero(q) - n;
    double whole = 0.5 * (sum + sqrt(difference * difference + 1e-4 * sum * sum)); /* no fewer particles than amount */
    if (!(whole > 0.0)) {
        return 0.0;
    }
    double volume_per_mol = MOLAR_INDIGOTIN / liquor->k[K_INDIGO_DENSITY];
    double shape = n * cube_root(whole / (n + LAST_TRACE * whole));
    return 6.0 * volume_per_mol / liquor->k[K_INDIGO_DIAMETER] * shape;
}

static double mediator_multiplier(const struct liquor *liquor)
{
    const double *k = liquor->k;
    double plain = at_least_zero(liquor->concentration[S_MEDIATOR]);
    double high_ph = at_least_zero(liquor->concentration[S_MEDIATOR_HIGH_PH]);
    double active = plain;
    if (high_ph > 0.0) { /* lawsone carries electrons above pH 12 only */
        active += high_ph / (1.0 + exp(-(liquor->ions.ph - 12.0) / 0.15));
    }
    return 1.0 + (k[K_MEDIATOR_FACTOR] - 1.0) * active / (active + k[K_MEDIATOR_HALF]);
}

void indigo_prepare_reduction(struct liquor *liquor)
{
    const double *k = liquor->k;
    double donors = at_least_zero(liquor->concentration[S_FRUCTOSE]) + at_least_zero(liquor->concentration[S_GLUCOSE]) +
                    at_least_zero(liquor->concentration[S_REDUCTONE]) + at_least_zero(liquor->concentration[S_RESERVE]);
    liquor->reduction = liquor->at.reduction * liquor->ions.hydroxide * mediator_multiplier(liquor) /
                        (k[K_REDUCTION_SUGAR_HALF] + donors);
}

void indigo_prepare_suspended(struct liquor *liquor)
{
    liquor->surface_suspended =
        particle_surface(liquor, liquor->amount[S_INDIGO_SUSPENDED], liquor->amount[S_PARTICLES_SUSPENDED]);
}

void indigo_prepare_bed(struct liquor *liquor)
{
    liquor->surface_bed = particle_surface(liquor, liquor->amount[S_INDIGO_BED], liquor->amount[S_PARTICLES_BED]);
}

/* Each extent is a mol of donor, which reduces two of indigo. */
static double suspended(const struct liquor *liquor, enum species donor, double factor)
{
    return 0.5 * liquor->reduction * liquor->surface_suspended * factor * liquor->concentration[donor];
}

static double in_bed(const struct liquor *liquor, enum species donor, double factor)
{
    return 0.5 * liquor->k[K_BED_REDUCTION_SHARE] * liquor->reduction * liquor->surface_bed * factor *
           liquor->concentration[donor];
}

static double suspended_by_fructose(const struct liquor *l)
{
    return suspended(l, S_FRUCTOSE, l->k[K_FRUCTOSE_REDUCTION_FACTOR]);
}
static double suspended_by_glucose(const struct liquor *l)
{
    return suspended(l, S_GLUCOSE, 1.0);
}
static double suspended_by_reductone(const struct liquor *l)
{
    return suspended(l, S_REDUCTONE, l->k[K_FRUCTOSE_REDUCTION_FACTOR]);
}
static double suspended_by_reserve(const struct liquor *l)
{
    return suspended(l, S_RESERVE, l->k[K_RESERVE_REDUCTION_FACTOR]);
}
static double bed_by_fructose(const struct liquor *l)
{
    return in_bed(l, S_FRUCTOSE, l->k[K_FRUCTOSE_REDUCTION_FACTOR]);
}
static double bed_by_glucose(const struct liquor *l)
{
    return in_bed(l, S_GLUCOSE, 1.0);
}
static double bed_by_reductone(const struct liquor *l)
{
    return in_bed(l, S_REDUCTONE, l->k[K_FRUCTOSE_REDUCTION_FACTOR]);
}
static double bed_by_reserve(const struct liquor *l)
{
    return in_bed(l, S_RESERVE, l->k[K_RESERVE_REDUCTION_FACTOR]);
}

static double wetting(const struct liquor *l)
{
    return l->amount[S_INDIGO_DRY] / l->k[K_INDIGO_WETTING_TIME];
}

/* Leuco goes to the lime sediment in proportion to it, and comes down as the sparingly soluble acid when the liquor turns
 * sour; both ways, toward a target, within the holding time. */
static double holding(const struct liquor *l)
{
    double sediment = at_least_zero(l->concentration[S_LIME_SUSPENDED]) + at_least_zero(l->concentration[S_LIME_BED]) +
                      at_least_zero(l->concentration[S_CHALK_SUSPENDED]) + at_least_zero(l->concentration[S_CHALK_BED]);
    double acid_form = l->ions.leuco_acid * at_least_zero(l->concentration[S_LEUCO]);
    double limit = l->k[K_LEUCO_ACID_SOLUBILITY];
    double excess = acid_form - limit;
    double precipitating = 0.5 * (excess + sqrt(excess * excess + 4e-4 * limit * limit));
    double from_nothing = 0.5 * (-limit + sqrt(limit * limit + 4e-4 * limit * limit));
    double target = l->k[K_LEUCO_HELD_BY_LIME] * sediment * l->amount[S_LEUCO] + (precipitating - from_nothing) * l->volume;
    return (target - l->amount[S_LEUCO_HELD]) / l->k[K_LEUCO_HOLDING_TIME];
}

static double suspended_destruction(const struct liquor *l)
{
    return l->at.destruction * l->amount[S_INDIGO_SUSPENDED];
}
static double bed_destruction(const struct liquor *l)
{
    return l->at.destruction * l->amount[S_INDIGO_BED];
}

#define REDUCTION(place, PLACE, donor, DONOR, extra, words)                                                              \
    {                                                                                                                    \
        .name = "reduction_" #place "_by_" #donor, .title = "reduction of " words " indigo by " #donor,                  \
        .law = "1/2 k(T) [OH-] S f m c/(K + sum of donors)" extra, .extent_unit = "mol", .source = VUOREMA,              \
        .terms = {{S_INDIGO_##PLACE, -2}, {S_##DONOR, -1}, {S_HYDROXIDE, -2}, {S_LEUCO, 2}, {S_OXIDATE, 1}},             \
        .constants = {K_REDUCTION_RATE_65C, K_REDUCTION_ACTIVATION, K_REDUCTION_SUGAR_HALF, K_INDIGO_DIAMETER,           \
                      K_INDIGO_DENSITY, K_FRUCTOSE_REDUCTION_FACTOR, K_RESERVE_REDUCTION_FACTOR, K_MEDIATOR_FACTOR,      \
                      K_MEDIATOR_HALF, K_BED_REDUCTION_SHARE},                                                           \
        .reads = {S_INDIGO_##PLACE, S_PARTICLES_##PLACE, S_REDUCTONE, S_RESERVE, S_MEDIATOR, S_MEDIATOR_HIGH_PH, \
                  S_FRUCTOSE, S_GLUCOSE},                                                                                \
        .reads_count = 8, .ions = READS_ION(HYDROXIDE) | READS_ION(PH), .constant_count = 10, .rate = place##_by_##donor \
    }

const struct process indigo_processes[INDIGO_PROCESS_COUNT] = {
    {.name = "wetting",
     .title = "wetting of dry indigo powder",
     .law = "dry indigo / wetting time",
     .extent_unit = "mol",
     .source = "estimate",
     .terms = {{S_INDIGO_DRY, -1}, {S_INDIGO_SUSPENDED, 1}, {S_PARTICLES_SUSPENDED, 1}},
     .constants = {K_INDIGO_WETTING_TIME},
     .constant_count = 1,
     .reads = {S_INDIGO_DRY},
     .reads_count = 1,
     .rate = wetting},
    REDUCTION(suspended, SUSPENDED, fructose, FRUCTOSE, "", "suspended"),
    REDUCTION(suspended, SUSPENDED, glucose, GLUCOSE, "", "suspended"),
    REDUCTION(suspended, SUSPENDED, reductone, REDUCTONE, "", "suspended"),
    REDUCTION(suspended, SUSPENDED, reserve, RESERVE, "", "suspended"),
    REDUCTION(bed, BED, fructose, FRUCTOSE, " times the bed's share", "settled"),
    REDUCTION(bed, BED, glucose, GLUCOSE, " times the bed's share", "settled"),
    REDUCTION(bed, BED, reductone, REDUCTONE, " times the bed's share", "settled"),
    REDUCTION(bed, BED, reserve, RESERVE, " times the bed's share", "settled"),
    {.name = "leuco_holding",
     .title = "leuco held by lime sediment or precipitated as its acid",
     .law = "(target - held) / holding time; target = a [sediment] leuco + V ([leuco acid] over its solubility)",
     .extent_unit = "mol",
     .source = "estimate",
     .terms = {{S_LEUCO, -1}, {S_LEUCO_HELD, 1}},
     .constants = {K_LEUCO_HELD_BY_LIME, K_LEUCO_HOLDING_TIME, K_LEUCO_ACID_SOLUBILITY},
     .constant_count = 3,
     .reads = {S_LIME_SUSPENDED, S_LIME_BED, S_CHALK_SUSPENDED, S_CHALK_BED, S_LEUCO_HELD, S_LEUCO},
     .reads_count = 6,
     .ions = READS_ION(LEUCO_ACID),
     .rate = holding},
    {.name = "destruction_suspended",
     .title = "slow destruction of suspended indigo",
     .law = "k(T) suspended indigo",
     .extent_unit = "mol",
     .source = "estimate",
     .terms = {{S_INDIGO_SUSPENDED, -1}, {S_WATER, -1}, {S_INDIGO_DESTROYED, 1}},
     .constants = {K_INDIGO_DESTRUCTION_RATE_30C, K_INDIGO_DESTRUCTION_ACTIVATION},
     .constant_count = 2,
     .reads = {S_INDIGO_SUSPENDED},
     .reads_count = 1,
     .rate = suspended_destruction},
    {.name = "destruction_bed",
     .title = "slow destruction of settled indigo",
     .law = "k(T) bed indigo",
     .extent_unit = "mol",
     .source = "estimate",
     .terms = {{S_INDIGO_BED, -1}, {S_WATER, -1}, {S_INDIGO_DESTROYED, 1}},
     .constants = {K_INDIGO_DESTRUCTION_RATE_30C, K_INDIGO_DESTRUCTION_ACTIVATION},
     .constant_count = 2,
     .reads = {S_INDIGO_BED},
     .reads_count = 1,
     .rate = bed_destruction},
};
