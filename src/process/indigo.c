/* indigo.c: wetting, reduction, holding by sediment and destruction of indigo.
 *
 * Reduction follows the surface law of Vuorema et al. 2008: d(leuco)/dt = k [OH-] S, with S the surface of the solid. The
 * particles shrink: n mol left of q mol in as many spheres of first diameter d have S = (6 Vm / d) q^(1/3) n^(2/3).
 */
#include "process/liquor.h"
#include "process/partials.h"
#include "process/prepare.h"
#include "process/rates.h"

#include "base/numbers.h"
#include "chem/cube_root.h"

#include <math.h>

#define VUOREMA "Vuorema, John, Keskitalo, Kulandainathan & Marken, Dyes Pigm. 76, 542, 2008 (abstract)"
#define LAWSONE_PH_STEP 0.15
#define LAST_TRACE 1e-3 /* below this share of the first amount the surface shrinks in step with the amount */

/* Surface in m2 of n mol of indigo left in the particles of q mol, and how it moves with both, unless `by` is NULL. */
static inline double particle_surface(const struct liquor *liquor, double n, double q, double by[2])
{
    if (!(n >= 0.0)) {
        return 0.0;
    }
    double sum = n + at_least_zero(q);
    double difference = at_least_zero(q) - n;
    double root = sqrt(difference * difference + 1e-4 * sum * sum);
    double whole = 0.5 * (sum + root); /* no fewer particles than amount */
    if (!(whole > 0.0)) {
        if (by != NULL) {
            by[0] = particle_surface(liquor, 1.0, 0.0, NULL); /* from nothing of both in proportion */
        }
        return 0.0;
    }
    double volume_per_mol = MOLAR_INDIGOTIN / liquor->k[K_INDIGO_DENSITY];
    double per_mol = 6.0 * volume_per_mol / liquor->k[K_INDIGO_DIAMETER] * cube_root(whole / (n + LAST_TRACE * whole));
    if (by != NULL) {
        double whole_by_n = 0.5 + 0.5 * (1e-4 * sum - difference) / root;
        double whole_by_q = q >= 0.0 ? 0.5 + 0.5 * (1e-4 * sum + difference) / root : 0.0;
        double third =
            n * per_mol / 3.0 / (n + LAST_TRACE * whole); /* the argument of the cube root moves as a share of it */
        by[0] = per_mol + third * (n / whole * whole_by_n - 1.0);
        by[1] = third * (n / whole) * whole_by_q;
    }
    return n * per_mol;
}

static void surface_partials(const struct liquor *liquor, enum species indigo, enum species particles,
                             struct partials *by)
{
    double slopes[2] = {0.0, 0.0};
    (void)particle_surface(liquor, liquor->amount[indigo], liquor->amount[particles], slopes);
    by->amount[indigo] += slopes[0];
    by->amount[particles] += slopes[1];
}

void surface_suspended_partials(PARTIALS_ARGUMENTS)
{
    (void)by_K, (void)value;
    surface_partials(l, S_INDIGO_SUSPENDED, S_PARTICLES_SUSPENDED, by);
}

void surface_bed_partials(PARTIALS_ARGUMENTS)
{
    (void)by_K, (void)value;
    surface_partials(l, S_INDIGO_BED, S_PARTICLES_BED, by);
}

/* Lawsone carries electrons above pH 12 only. */
static double lawsone_active(const struct liquor *liquor)
{
    return 1.0 / (1.0 + exp(-(liquor->ions.ph - 12.0) / LAWSONE_PH_STEP));
}

static double mediator_active(const struct liquor *liquor)
{
    double high_ph = at_least_zero(liquor->concentration[S_MEDIATOR_HIGH_PH]);
    return at_least_zero(liquor->concentration[S_MEDIATOR]) + (high_ph > 0.0 ? high_ph * lawsone_active(liquor) : 0.0);
}

static double mediator_multiplier(const struct liquor *liquor, double active)
{
    return 1.0 + (liquor->k[K_MEDIATOR_FACTOR] - 1.0) * active / (active + liquor->k[K_MEDIATOR_HALF]);
}

static const enum species donors[] = {S_FRUCTOSE, S_GLUCOSE, S_REDUCTONE, S_RESERVE};
#define DONOR_COUNT (sizeof donors / sizeof donors[0])

static double saturating(const struct liquor *liquor)
{
    double sum = liquor->k[K_REDUCTION_SUGAR_HALF];
    for (size_t i = 0; i < DONOR_COUNT; i++) {
        sum += at_least_zero(liquor->concentration[donors[i]]);
    }
    return sum;
}

static double reduction(const struct liquor *liquor, double speed)
{
    return speed * liquor->ions.hydroxide * mediator_multiplier(liquor, mediator_active(liquor)) / saturating(liquor);
}

void reduction_partials(PARTIALS_ARGUMENTS)
{
    const double *k = l->k;
    const double each_donor = -value / saturating(l);
    for (size_t i = 0; i < DONOR_COUNT; i++) {
        if (l->concentration[donors[i]] >= 0.0) {
            partial_by_concentration(by, l, donors[i], each_donor);
        }
    }
    const double active = mediator_active(l);
    const double half = active + k[K_MEDIATOR_HALF];
    const double by_active =
        value / mediator_multiplier(l, active) * (k[K_MEDIATOR_FACTOR] - 1.0) * k[K_MEDIATOR_HALF] / (half * half);
    const double high_ph = l->concentration[S_MEDIATOR_HIGH_PH];
    if (l->concentration[S_MEDIATOR] >= 0.0) {
        partial_by_concentration(by, l, S_MEDIATOR, by_active);
    }
    if (high_ph >= 0.0) {
        const double share = lawsone_active(l);
        partial_by_concentration(by, l, S_MEDIATOR_HIGH_PH, by_active * share);
        by->ion[ION_PH] += by_active * high_ph * share * (1.0 - share) / LAWSONE_PH_STEP;
    }
    by->ion[ION_HYDROXIDE] += value / l->ions.hydroxide;
    by->temperature += reduction(l, by_K->reduction);
}

void indigo_prepare(struct liquor *liquor)
{
    const double *amount = liquor->amount;
    liquor->reduction = reduction(liquor, liquor->at.reduction);
    liquor->surface_suspended =
        particle_surface(liquor, amount[S_INDIGO_SUSPENDED], amount[S_PARTICLES_SUSPENDED], NULL);
    liquor->surface_bed = particle_surface(liquor, amount[S_INDIGO_BED], amount[S_PARTICLES_BED], NULL);
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

static const enum species sediments[] = {S_LIME_SUSPENDED, S_LIME_BED, S_CHALK_SUSPENDED, S_CHALK_BED};
#define SEDIMENT_COUNT (sizeof sediments / sizeof sediments[0])

/* Part of the leuco that sediment would hold. */
static double held_share(const struct liquor *l)
{
    double sediment = 0.0;
    for (size_t i = 0; i < SEDIMENT_COUNT; i++) {
        sediment += at_least_zero(l->concentration[sediments[i]]);
    }
    return l->k[K_LEUCO_HELD_BY_LIME] * sediment;
}

/* mol/m3 of leuco acid beyond its solubility, (excess + sqrt(excess^2 + (limit/50)^2))/2 less what that is without acid, written so that
 * it does not cancel; and its slope by the acid's concentration. */
static double acid_beyond(const struct liquor *l, double *slope)
{
    double limit = l->k[K_LEUCO_ACID_SOLUBILITY];
    double acid = l->ions.leuco_acid * at_least_zero(l->concentration[S_LEUCO]);
    double excess = acid - limit;
    double root = sqrt(excess * excess + 4e-4 * limit * limit);
    double root_of_none = sqrt(1.0 + 4e-4) * limit;
    *slope = 0.5 + 0.5 * excess / root;
    return acid * (0.5 + 0.5 * (acid - 2.0 * limit) / (root + root_of_none));
}

/* Leuco goes to the lime sediment in proportion to it, and comes down as the sparingly soluble acid when the liquor turns
 * sour; both ways, toward a target, within the holding time. */
static double holding(const struct liquor *l)
{
    double slope;
    double target = held_share(l) * l->amount[S_LEUCO] + acid_beyond(l, &slope) * l->volume;
    return (target - l->amount[S_LEUCO_HELD]) / l->k[K_LEUCO_HOLDING_TIME];
}

static void holding_partials(PARTIALS_ARGUMENTS)
{
    (void)by_K, (void)value;
    const double speed = 1.0 / l->k[K_LEUCO_HOLDING_TIME];
    for (size_t i = 0; i < SEDIMENT_COUNT; i++) {
        if (l->concentration[sediments[i]] >= 0.0) {
            partial_by_concentration(by, l, sediments[i], l->k[K_LEUCO_HELD_BY_LIME] * l->amount[S_LEUCO] * speed);
        }
    }
    double slope;
    by->volume += acid_beyond(l, &slope) * speed;
    slope *= l->volume * speed;
    if (l->concentration[S_LEUCO] >= 0.0) {
        partial_by_concentration(by, l, S_LEUCO, slope * l->ions.leuco_acid);
        by->ion[ION_LEUCO_ACID] += slope * l->concentration[S_LEUCO];
    }
    by->amount[S_LEUCO] += held_share(l) * speed;
    by->amount[S_LEUCO_HELD] -= speed;
}

static double suspended_destruction(const struct liquor *l)
{
    return l->at.destruction * l->amount[S_INDIGO_SUSPENDED];
}
static double bed_destruction(const struct liquor *l)
{
    return l->at.destruction * l->amount[S_INDIGO_BED];
}

#define REDUCTION(place, PLACE, donor, DONOR, extra, words)                                                            \
    {                                                                                                                  \
        .name = "reduction_" #place "_by_" #donor, .title = "reduction of " words " indigo by " #donor,                \
        .law = "1/2 k(T) [OH-] S f m c/(K + sum of donors)" extra, .extent_unit = "mol", .source = VUOREMA,            \
        .terms = {{S_INDIGO_##PLACE, -2}, {S_##DONOR, -1}, {S_HYDROXIDE, -2}, {S_LEUCO, 2}, {S_OXIDATE, 1}},           \
        .constants =                                                                                                   \
            {K_REDUCTION_RATE_65C, K_REDUCTION_ACTIVATION,      K_REDUCTION_SUGAR_HALF,     K_INDIGO_DIAMETER,         \
             K_INDIGO_DENSITY,     K_FRUCTOSE_REDUCTION_FACTOR, K_RESERVE_REDUCTION_FACTOR, K_MEDIATOR_FACTOR,         \
             K_MEDIATOR_HALF,      K_BED_REDUCTION_SHARE},                                                             \
        .constant_count = 10, .reads = {S_##DONOR}, .reads_count = 1,                                                  \
        .shared = {SHARED_REDUCTION, SHARED_SURFACE_##PLACE}, .volume_power = -1, .rate = place##_by_##donor           \
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
     .ions = {ION_LEUCO_ACID},
     .partials = holding_partials,
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
     .warmth = PRODUCT_WARMTH(destruction),
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
     .warmth = PRODUCT_WARMTH(destruction),
     .rate = bed_destruction},
};
