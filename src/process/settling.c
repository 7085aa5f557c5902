/* settling.c: solids sinking to the bed, as a well-mixed suspension losing what reaches the bottom. */
#include "process/liquor.h"
#include "process/rates.h"

static double sinking(const struct liquor *l, enum species species, double velocity)
{
    return l->settings->stirring == STIRRING_NONE ? l->amount[species] * velocity / l->height : 0.0;
}

static double indigo(const struct liquor *l)
{
    return sinking(l, S_INDIGO_SUSPENDED, l->at.settle_indigo);
}
static double particles(const struct liquor *l)
{
    return sinking(l, S_PARTICLES_SUSPENDED, l->at.settle_indigo);
}
static double lime(const struct liquor *l)
{
    return sinking(l, S_LIME_SUSPENDED, l->at.settle_lime);
}
static double chalk(const struct liquor *l)
{
    return sinking(l, S_CHALK_SUSPENDED, l->at.settle_chalk);
}

static bool still(const struct settings *settings)
{
    return settings->stirring == STIRRING_NONE;
}

#define SETTLING(suffix, words, from, to, diameter, function, velocity)                                                  \
    {                                                                                                                    \
        .name = "settling_" suffix, .title = "settling of " words, .law = "suspended v(T) / height, none while stirred", \
        .extent_unit = "mol", .source = "Stokes' law (from memory); floc diameters estimates",                           \
        .terms = {{from, -1}, {to, 1}}, .constants = {diameter, K_INDIGO_DENSITY}, .constant_count = 2, .reads = {from},     \
        .reads_count = 1, .volume_power = -1, .warmth = PRODUCT_WARMTH(velocity), .rate = function, .is_live = still     \
    }

const struct process settling_processes[SETTLING_PROCESS_COUNT] = {
    SETTLING("indigo", "indigo", S_INDIGO_SUSPENDED, S_INDIGO_BED, K_INDIGO_FLOC_DIAMETER, indigo, settle_indigo),
    SETTLING("particles", "indigo particles (their number, as first amount)", S_PARTICLES_SUSPENDED, S_PARTICLES_BED,
             K_INDIGO_FLOC_DIAMETER, particles, settle_indigo),
    SETTLING("lime", "lime", S_LIME_SUSPENDED, S_LIME_BED, K_LIME_FLOC_DIAMETER, lime, settle_lime),
    SETTLING("chalk", "chalk", S_CHALK_SUSPENDED, S_CHALK_BED, K_CHALK_FLOC_DIAMETER, chalk, settle_chalk),
};
