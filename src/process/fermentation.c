/* fermentation.c: what lives in a fermented vat: feed turned to sugar, sugar to cells and acids, indigo to leuco, and spoilers.
 *
 * Cells are C5H7O2N; five hexoses and six nitrogens make six of them, so growth itself neither reduces nor oxidises. What they
 * burn ends as lactate, or as acetate with carbonate and hydrogen; the electrons of that hydrogen can go to indigo instead, four
 * indigo to a hexose. The rates are in fermentation_rates.c. Every process is named ferment_..., so that a model can switch
 * them off together.
 */
#include "process/fermentation_rates.h"
#include "process/rates.h"

#define CARDINAL "Rosso et al. 1993, 1995 (cardinal values, from memory); isolates: Hirota et al., IJSEM 2008-2018; rate an estimate"
#define VIGOUR_CONSTANTS                                                                                                 \
    K_CELL_TEMPERATURE_LOWEST, K_CELL_TEMPERATURE_BEST, K_CELL_TEMPERATURE_HIGHEST, K_CELL_PH_LOWEST, K_CELL_PH_BEST,    \
        K_CELL_PH_HIGHEST
#define GROWTH_CONSTANTS                                                                                                 \
    K_CELL_GROWTH_RATE, K_CELL_FEED_HALF, K_CELL_NITROGEN_HALF, K_CELL_OXYGEN_HALF, VIGOUR_CONSTANTS
#define LOSS_CONSTANTS K_CELL_DECAY_RATE_30C, K_CELL_DECAY_ACTIVATION, K_CELL_DEATH_RATE, K_CELL_TEMPERATURE_HIGHEST
#define SPOILER_CONSTANTS                                                                                                \
    K_SPOILER_TEMPERATURE_LOWEST, K_SPOILER_TEMPERATURE_BEST, K_SPOILER_TEMPERATURE_HIGHEST, K_SPOILER_PH_LOWEST,        \
        K_SPOILER_PH_BEST, K_SPOILER_PH_HIGHEST

#define FERMENT(suffix, words, law_words, from, count, ...)                                                              \
    .name = "ferment_" #suffix, .title = words, .law = law_words, .extent_unit = "mol", .source = from,                  \
    .constants = {__VA_ARGS__}, .constant_count = count, .rate = ferment_##suffix

const struct process fermentation_processes[FERMENTATION_PROCESS_COUNT] = {
    {FERMENT(fast_feed, "quick feed turning to sugar",
             "k(T, pH) quick feed (own share + (1 - own share) [cells]/(K + [cells]))", "estimate", 4, K_FEED_FAST_RATE_30C, K_FEED_OWN_SHARE, K_FEED_CELLS_HALF, K_FEED_ACTIVATION),
     .reads = {S_FEED_FAST}, .reads_count = 1, .shared = {SHARED_FEED_OPENING},
     .terms = {{S_FEED_FAST, -1}, {S_WATER, -1}, {S_GLUCOSE, 1}}},
    {FERMENT(slow_feed, "slow feed turning to sugar", "as of quick feed",
             "estimate; bran feeders take over at about a month: Tu, Lopes, Narihiro & Yumoto 2021", 4, K_FEED_SLOW_RATE_30C,
             K_FEED_OWN_SHARE, K_FEED_CELLS_HALF, K_FEED_ACTIVATION),
     .reads = {S_FEED_SLOW}, .reads_count = 1, .shared = {SHARED_FEED_OPENING},
     .terms = {{S_FEED_SLOW, -1}, {S_WATER, -1}, {S_GLUCOSE, 1}}},
    {FERMENT(inversion, "sucrose split by cells", "q cells vigour [sucrose]/(K + [sucrose])", "estimate", 8,
             K_CELL_SUGAR_TURNOVER, K_CELL_FEED_HALF, VIGOUR_CONSTANTS),
     .reads = {S_SUCROSE, S_CELLS}, .reads_count = 2, .shared = {SHARED_CELL_VIGOUR}, .partials = ferment_inversion_partials,
     .terms = {{S_SUCROSE, -1}, {S_WATER, -1}, {S_GLUCOSE, 1}, {S_FRUCTOSE, 1}}},
    {FERMENT(fructose, "fructose taken up by cells, counted from there as glucose",
             "q cells vigour [fructose]/(K + [fructose])", "estimate", 8, K_CELL_SUGAR_TURNOVER, K_CELL_FEED_HALF,
             VIGOUR_CONSTANTS),
     .reads = {S_CELLS, S_FRUCTOSE}, .reads_count = 2, .shared = {SHARED_CELL_VIGOUR}, .partials = ferment_fructose_partials,
     .terms = {{S_FRUCTOSE, -1}, {S_GLUCOSE, 1}}},
    {FERMENT(growth, "growth of the cells that reduce",
             "1/6 mu cells vigour(T, pH) K_O/(K_O + [O2]) [glucose]/(K + [glucose]) [N]/(K_N + [N])", CARDINAL, 10,
             GROWTH_CONSTANTS),
     .reads_count = READS_NONE, .shared = {SHARED_CELLS_GROWING},
     .terms = {{S_GLUCOSE, -5}, {S_NITROGEN, -6}, {S_CELLS, 6}, {S_WATER, 18}}},
    {FERMENT(lactate, "sugar fermented to lactate", "growth (1/yield - 5/6) lactate share",
             "lactate share: Halolactibacillus, Biotechnol. Lett. 33, 1429, 2011 (abstract); yield from memory", 12,
             K_CELL_YIELD, K_CELL_LACTATE_SHARE, GROWTH_CONSTANTS),
     .reads_count = READS_NONE, .shared = {SHARED_CELLS_GROWING},
     .terms = {{S_GLUCOSE, -1}, {S_HYDROXIDE, -2}, {S_LACTATE, 2}, {S_WATER, 2}}},
    {FERMENT(gas, "sugar fermented to acetate, carbonate and hydrogen", "growth (1/yield - 5/6) (1 - lactate share)",
             "gases of a woad vat: Padden et al., Nature 396, 225, 1998; share an estimate", 12, K_CELL_YIELD,
             K_CELL_LACTATE_SHARE, GROWTH_CONSTANTS),
     .reads_count = READS_NONE, .shared = {SHARED_CELLS_GROWING},
     .terms = {{S_GLUCOSE, -1}, {S_HYDROXIDE, -6}, {S_ACETATE, 2}, {S_CARBON, 2}, {S_WATER, 2}, {S_AIR_HYDROGEN, 4}}},
    {FERMENT(reduction_suspended, "reduction of suspended indigo by cells",
             "1/4 q cells vigour m K_O/(K_O + [O2]) [glucose]/(K + [glucose]) [indigo]/(K_i + [indigo in reach]) / "
             "(1 + ([leuco]/ceiling)^4)",
             "madder as mediator: Nicholson & John, Appl. Microbiol. Biotechnol. 68, 117, 2005; rate an estimate", 14,
             K_CELL_REDUCTION, K_CELL_REDUCTION_INDIGO_HALF, K_CELL_REDUCTION_FEED_HALF, K_CELL_LEUCO_CEILING,
             K_CELL_MEDIATOR_FACTOR, K_MEDIATOR_HALF, K_CELL_OXYGEN_HALF, K_BED_REDUCTION_SHARE, VIGOUR_CONSTANTS),
     .reads = {S_INDIGO_SUSPENDED}, .reads_count = 1, .shared = {SHARED_CELL_REDUCTION}, .volume_power = -1,
     .terms = {{S_GLUCOSE, -1}, {S_INDIGO_SUSPENDED, -4}, {S_HYDROXIDE, -6}, {S_LEUCO, 4}, {S_ACETATE, 2}, {S_CARBON, 2},
               {S_WATER, 2}}},
    {FERMENT(reduction_bed, "reduction of settled indigo by cells", "as of suspended, times the bed's share",
             "estimate", 14, K_CELL_REDUCTION, K_CELL_REDUCTION_INDIGO_HALF, K_CELL_REDUCTION_FEED_HALF, K_CELL_LEUCO_CEILING,
             K_CELL_MEDIATOR_FACTOR, K_MEDIATOR_HALF, K_CELL_OXYGEN_HALF, K_BED_REDUCTION_SHARE, VIGOUR_CONSTANTS),
     .reads = {S_INDIGO_BED}, .reads_count = 1, .shared = {SHARED_CELL_REDUCTION}, .volume_power = -1,
     .terms = {{S_GLUCOSE, -1}, {S_INDIGO_BED, -4}, {S_HYDROXIDE, -6}, {S_LEUCO, 4}, {S_ACETATE, 2}, {S_CARBON, 2},
               {S_WATER, 2}}},
    {FERMENT(respiration, "oxygen breathed by cells", "1/2 q cells vigour [O2]/(K + [O2]) [glucose]/(K_g + [glucose])",
             "estimate", 9, K_CELL_RESPIRATION, K_CELL_RESPIRATION_HALF, K_CELL_REDUCTION_FEED_HALF, VIGOUR_CONSTANTS),
     .reads = {S_CELLS, S_OXYGEN, S_GLUCOSE}, .reads_count = 3, .shared = {SHARED_CELL_VIGOUR},
     .partials = ferment_respiration_partials,
     .terms = {{S_GLUCOSE, -1}, {S_OXYGEN, -2}, {S_HYDROXIDE, -6}, {S_ACETATE, 2}, {S_CARBON, 2}, {S_WATER, 6}}},
    {FERMENT(decay_to_feed, "dead cells feeding the others", "1/6 loss(T, pH) cells (1 - debris share)", "estimate", 6,
             LOSS_CONSTANTS, K_CELL_PH_HIGHEST, K_CELL_DEBRIS_SHARE),
     .reads = {S_CELLS}, .reads_count = 1, .shared = {SHARED_CELL_LOSS},
     .terms = {{S_CELLS, -6}, {S_WATER, -13}, {S_FEED_SLOW, 5}, {S_NITROGEN, 6}}},
    {FERMENT(decay_to_debris, "dead cells sinking to the bed", "loss(T, pH) cells debris share", "estimate", 6,
             LOSS_CONSTANTS, K_CELL_PH_HIGHEST, K_CELL_DEBRIS_SHARE),
     .reads = {S_CELLS}, .reads_count = 1, .shared = {SHARED_CELL_LOSS},
     .terms = {{S_CELLS, -1}, {S_DEBRIS, 1}}},
    {FERMENT(spoiler_growth, "growth of spoilers",
             "1/6 mu spoilers vigour(T, pH) [glucose]/(K + [glucose]) [N]/(K_N + [N])",
             "below pH 9 to 9.5: common practice, no source; rate an estimate", 9, K_SPOILER_GROWTH_RATE, K_CELL_FEED_HALF,
             K_CELL_NITROGEN_HALF, SPOILER_CONSTANTS),
     .reads_count = READS_NONE, .shared = {SHARED_SPOILERS_GROWING},
     .terms = {{S_GLUCOSE, -5}, {S_NITROGEN, -6}, {S_SPOILERS, 6}, {S_WATER, 18}}},
    {FERMENT(spoiler_acid, "sugar soured by spoilers", "spoiler growth (1/yield - 5/6)", "estimate", 10, K_CELL_YIELD,
             K_SPOILER_GROWTH_RATE, K_CELL_FEED_HALF, K_CELL_NITROGEN_HALF, SPOILER_CONSTANTS),
     .reads_count = READS_NONE, .shared = {SHARED_SPOILERS_GROWING},
     .terms = {{S_GLUCOSE, -1}, {S_HYDROXIDE, -6}, {S_ACETATE, 2}, {S_CARBON, 2}, {S_WATER, 2}, {S_AIR_HYDROGEN, 4}}},
    {FERMENT(spoiler_decay, "death of spoilers", "loss(T, pH) spoilers", "estimate", 5, LOSS_CONSTANTS,
             K_SPOILER_PH_HIGHEST),
     .reads = {S_SPOILERS}, .reads_count = 1, .shared = {SHARED_SPOILER_LOSS},
     .terms = {{S_SPOILERS, -1}, {S_DEBRIS, 1}}},
    {FERMENT(spoiler_killing, "reducing cells killed by spoilers", "k [spoilers] vigour cells",
             "estimate; spoilers bloom as a vat declines: Tu, Lopes, Igarashi & Yumoto, J. Ind. Microbiol. Biotechnol. 46, "
             "1657, 2019",
             7, K_SPOILER_KILLING, SPOILER_CONSTANTS),
     .reads = {S_SPOILERS, S_CELLS}, .reads_count = 2, .shared = {SHARED_SPOILER_VIGOUR}, .volume_power = -1,
     .terms = {{S_CELLS, -1}, {S_DEBRIS, 1}}},
    {FERMENT(spoiled_suspended, "suspended indigo eaten in a foul vat", "k [spoilers] vigour suspended indigo", "estimate", 7,
             K_SPOILER_INDIGO_RATE, SPOILER_CONSTANTS),
     .reads = {S_SPOILERS, S_INDIGO_SUSPENDED}, .reads_count = 2, .shared = {SHARED_SPOILER_VIGOUR}, .volume_power = -1,
     .terms = {{S_INDIGO_SUSPENDED, -1}, {S_WATER, -1}, {S_INDIGO_DESTROYED, 1}}},
    {FERMENT(spoiled_bed, "settled indigo eaten in a foul vat", "k [spoilers] vigour bed indigo", "estimate", 7,
             K_SPOILER_INDIGO_RATE, SPOILER_CONSTANTS),
     .reads = {S_SPOILERS, S_INDIGO_BED}, .reads_count = 2, .shared = {SHARED_SPOILER_VIGOUR}, .volume_power = -1,
     .terms = {{S_INDIGO_BED, -1}, {S_WATER, -1}, {S_INDIGO_DESTROYED, 1}}},
};
