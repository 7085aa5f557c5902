/* sugar.c: what alkali does to fructose and glucose: enolisation, breakdown through a reductone to acids, and a slow reserve.
 *
 * Enolisation is first order in the hexose anion (Anderson et al. 2012); an irreversible share goes on to the reductone,
 * the rest turns one hexose into the other. The reductone ends as two lactates or one saccharinate, in the proportion that
 * gives acid_per_hexose, or stays as slow coloured reductant.
 */
#include "process/liquor.h"
#include "process/partials.h"
#include "process/rates.h"

#define ANDERSON "Anderson et al., J. Chem. Educ. 89, 1425, 2012 (abstract)"
#define DE_BRUIJN "de Bruijn, Kieboom & van Bekkum, Recl. Trav. Chim. Pays-Bas 105, 176, 1986 (abstract, trend)"

static double fructose_breakdown(const struct liquor *l)
{
    return l->at.enolisation * l->k[K_ENOLISATION_IRREVERSIBLE_SHARE] * l->k[K_FRUCTOSE_DEGRADATION_FACTOR] *
           l->ions.fructose_anion * l->volume;
}

static double glucose_breakdown(const struct liquor *l)
{
    return l->at.enolisation * l->k[K_ENOLISATION_IRREVERSIBLE_SHARE] * l->ions.glucose_anion * l->volume;
}

/* Through the common enediol; half of what comes back has changed over. */
static double changing_over(const struct liquor *l, double enolisation)
{
    return 0.5 * enolisation * (1.0 - l->k[K_ENOLISATION_IRREVERSIBLE_SHARE]) * l->volume;
}

static double interconversion(const struct liquor *l)
{
    return changing_over(l, l->at.enolisation) * (l->ions.glucose_anion - l->ions.fructose_anion);
}

static void interconversion_partials(PARTIALS_ARGUMENTS)
{
    by->ion[ION_GLUCOSE] += changing_over(l, l->at.enolisation);
    by->ion[ION_FRUCTOSE] -= changing_over(l, l->at.enolisation);
    by->volume += value / l->volume;
    by->temperature += changing_over(l, by_K->enolisation) * (l->ions.glucose_anion - l->ions.fructose_anion);
}

static double reductone_decay(const struct liquor *l)
{
    return l->at.reductone_decay * l->amount[S_REDUCTONE];
}

static double to_lactate(const struct liquor *l)
{
    return reductone_decay(l) * (1.0 - l->k[K_RESERVE_SHARE]) * (l->k[K_ACID_PER_HEXOSE] - 1.0);
}

static double to_saccharinate(const struct liquor *l)
{
    return reductone_decay(l) * (1.0 - l->k[K_RESERVE_SHARE]) * (2.0 - l->k[K_ACID_PER_HEXOSE]);
}

static double to_reserve(const struct liquor *l)
{
    return reductone_decay(l) * l->k[K_RESERVE_SHARE];
}

static double reserve_decay(const struct liquor *l)
{
    return l->at.reserve_decay * l->amount[S_RESERVE];
}

const struct process sugar_processes[SUGAR_PROCESS_COUNT] = {
    {.name = "fructose_breakdown",
     .title = "enolisation of fructose to the reductone",
     .law = "k(T) share f [fructose anion] V",
     .extent_unit = "mol",
     .source = ANDERSON,
     .terms = {{S_FRUCTOSE, -1}, {S_REDUCTONE, 1}},
     .constants = {K_ENOLISATION_RATE_25C, K_ENOLISATION_ACTIVATION, K_ENOLISATION_IRREVERSIBLE_SHARE,
                   K_FRUCTOSE_DEGRADATION_FACTOR, K_FRUCTOSE_PK, K_HEXOSE_PK_SLOPE},
     .constant_count = 6,
     .reads_count = READS_NONE,
     .ions = {ION_FRUCTOSE},
     .volume_power = 1,
     .warmth = PRODUCT_WARMTH(enolisation),
     .rate = fructose_breakdown},
    {.name = "glucose_breakdown",
     .title = "enolisation of glucose to the reductone",
     .law = "k(T) share [glucose anion] V",
     .extent_unit = "mol",
     .source = ANDERSON,
     .terms = {{S_GLUCOSE, -1}, {S_REDUCTONE, 1}},
     .constants = {K_ENOLISATION_RATE_25C, K_ENOLISATION_ACTIVATION, K_ENOLISATION_IRREVERSIBLE_SHARE, K_GLUCOSE_PK,
                   K_HEXOSE_PK_SLOPE},
     .constant_count = 5,
     .reads_count = READS_NONE,
     .ions = {ION_GLUCOSE},
     .volume_power = 1,
     .warmth = PRODUCT_WARMTH(enolisation),
     .rate = glucose_breakdown},
    {.name = "hexose_interconversion",
     .title = "glucose to fructose and back",
     .law = "1/2 k(T) (1 - share) ([glucose anion] - [fructose anion]) V",
     .extent_unit = "mol",
     .source = ANDERSON,
     .terms = {{S_GLUCOSE, -1}, {S_FRUCTOSE, 1}},
     .constants = {K_ENOLISATION_RATE_25C, K_ENOLISATION_ACTIVATION, K_ENOLISATION_IRREVERSIBLE_SHARE},
     .constant_count = 3,
     .reads_count = READS_NONE,
     .ions = {ION_FRUCTOSE, ION_GLUCOSE},
     .partials = interconversion_partials,
     .rate = interconversion},
    {.name = "reductone_to_lactate",
     .title = "breakdown of the reductone to lactate",
     .law = "k(T) reductone (1 - reserve share) (acid per hexose - 1)",
     .extent_unit = "mol",
     .source = DE_BRUIJN,
     .terms = {{S_REDUCTONE, -1}, {S_HYDROXIDE, -2}, {S_LACTATE, 2}, {S_WATER, 2}},
     .constants = {K_REDUCTONE_DECAY_RATE_25C, K_REDUCTONE_DECAY_ACTIVATION, K_ACID_PER_HEXOSE, K_RESERVE_SHARE},
     .constant_count = 4,
     .reads = {S_REDUCTONE},
     .reads_count = 1,
     .warmth = PRODUCT_WARMTH(reductone_decay),
     .rate = to_lactate},
    {.name = "reductone_to_saccharinate",
     .title = "breakdown of the reductone to saccharinate",
     .law = "k(T) reductone (1 - reserve share) (2 - acid per hexose)",
     .extent_unit = "mol",
     .source = DE_BRUIJN,
     .terms = {{S_REDUCTONE, -1}, {S_HYDROXIDE, -1}, {S_SACCHARINATE, 1}, {S_WATER, 1}},
     .constants = {K_REDUCTONE_DECAY_RATE_25C, K_REDUCTONE_DECAY_ACTIVATION, K_ACID_PER_HEXOSE, K_RESERVE_SHARE},
     .constant_count = 4,
     .reads = {S_REDUCTONE},
     .reads_count = 1,
     .warmth = PRODUCT_WARMTH(reductone_decay),
     .rate = to_saccharinate},
    {.name = "reductone_to_reserve",
     .title = "reductone turning into slow coloured reductant",
     .law = "k(T) reductone reserve share",
     .extent_unit = "mol",
     .source = "estimate",
     .terms = {{S_REDUCTONE, -1}, {S_RESERVE, 1}},
     .constants = {K_REDUCTONE_DECAY_RATE_25C, K_REDUCTONE_DECAY_ACTIVATION, K_RESERVE_SHARE},
     .constant_count = 3,
     .reads = {S_REDUCTONE},
     .reads_count = 1,
     .warmth = PRODUCT_WARMTH(reductone_decay),
     .rate = to_reserve},
    {.name = "reserve_decay",
     .title = "slow reductant going on to acid",
     .law = "k(T) reserve",
     .extent_unit = "mol",
     .source = "estimate",
     .terms = {{S_RESERVE, -1}, {S_HYDROXIDE, -1}, {S_SACCHARINATE, 1}, {S_WATER, 1}},
     .constants = {K_RESERVE_DECAY_RATE_25C, K_RESERVE_DECAY_ACTIVATION},
     .constant_count = 2,
     .reads = {S_RESERVE},
     .reads_count = 1,
     .warmth = PRODUCT_WARMTH(reserve_decay),
     .rate = reserve_decay},
};
