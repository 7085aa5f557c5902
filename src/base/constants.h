/* constants.h: the names and SI units of every model constant, and the least that each may be.
 *
 * The numbers, each with low, nominal, high and source, live in models/NAME.conf. Physical laws with published
 * coefficients (water, gases, solubility products) are code in src/chem and are not listed here.
 * Units are in UDUNITS spelling; "1" is a pure number. The word `share` means a number from 0 to 1.
 */
#ifndef VATCAST_BASE_CONSTANTS_H
#define VATCAST_BASE_CONSTANTS_H

/* X(enum, name in the model file, SI unit, which numbers it may be: see enum constant_floor) */
#define CONSTANT_LIST(X)                                                                                                 \
    /* indigo and leuco */                                                                                               \
    X(LEUCO_PK1, "leuco_pk1", "1", ANY)                                                                                  \
    X(LEUCO_PK2, "leuco_pk2", "1", ANY)                                                                                  \
    X(LEUCO_ACID_SOLUBILITY, "leuco_acid_solubility", "mol m-3", MORE)                                                   \
    X(LEUCO_HELD_BY_LIME, "leuco_held_by_lime", "m3 mol-1", ZERO)                                                        \
    X(LEUCO_HOLDING_TIME, "leuco_holding_time", "s", MORE)                                                               \
    X(REDUCTION_RATE_65C, "reduction_rate_65C", "m s-1", ZERO)                                                           \
    X(REDUCTION_ACTIVATION, "reduction_activation", "J mol-1", ZERO)                                                     \
    X(REDUCTION_SUGAR_HALF, "reduction_sugar_half", "mol m-3", MORE)                                                     \
    X(FRUCTOSE_REDUCTION_FACTOR, "fructose_reduction_factor", "1", ZERO)                                                 \
    X(RESERVE_REDUCTION_FACTOR, "reserve_reduction_factor", "1", ZERO)                                                   \
    X(MEDIATOR_FACTOR, "mediator_factor", "1", ZERO)                                                                     \
    X(MEDIATOR_HALF, "mediator_half", "kg m-3", MORE)                                                                    \
    X(INDIGO_DIAMETER, "indigo_diameter", "m", MORE)                                                                     \
    X(INDIGO_DENSITY, "indigo_density", "kg m-3", MORE)                                                                  \
    X(INDIGO_WETTING_TIME, "indigo_wetting_time", "s", MORE)                                                             \
    X(INDIGO_FLOC_DIAMETER, "indigo_floc_diameter", "m", MORE)                                                           \
    X(BED_REDUCTION_SHARE, "bed_reduction_share", "1", ZERO)                                                             \
    X(INDIGO_DESTRUCTION_RATE_30C, "indigo_destruction_rate_30C", "s-1", ZERO)                                           \
    X(INDIGO_DESTRUCTION_ACTIVATION, "indigo_destruction_activation", "J mol-1", ZERO)                                   \
    /* sugar */                                                                                                          \
    X(GLUCOSE_PK, "glucose_pk", "1", ANY)                                                                                \
    X(FRUCTOSE_PK, "fructose_pk", "1", ANY)                                                                              \
    X(HEXOSE_PK_SLOPE, "hexose_pk_slope", "K-1", ANY)                                                                    \
    X(CALCIUM_HEXOSE_LOGK, "calcium_hexose_logk", "1", ANY)                                                              \
    X(ACID_PK, "acid_pk", "1", ANY)                                                                                      \
    X(ENOLISATION_RATE_25C, "enolisation_rate_25C", "s-1", ZERO)                                                         \
    X(ENOLISATION_ACTIVATION, "enolisation_activation", "J mol-1", ZERO)                                                 \
    X(ENOLISATION_IRREVERSIBLE_SHARE, "enolisation_irreversible_share", "1", ZERO)                                       \
    X(FRUCTOSE_DEGRADATION_FACTOR, "fructose_degradation_factor", "1", ZERO)                                             \
    X(REDUCTONE_DECAY_RATE_25C, "reductone_decay_rate_25C", "s-1", ZERO)                                                 \
    X(REDUCTONE_DECAY_ACTIVATION, "reductone_decay_activation", "J mol-1", ZERO)                                         \
    X(ACID_PER_HEXOSE, "acid_per_hexose", "1", ZERO)                                                                     \
    X(RESERVE_SHARE, "reserve_share", "1", ZERO)                                                                         \
    X(RESERVE_DECAY_RATE_25C, "reserve_decay_rate_25C", "s-1", ZERO)                                                     \
    X(RESERVE_DECAY_ACTIVATION, "reserve_decay_activation", "J mol-1", ZERO)                                             \
    /* oxygen */                                                                                                         \
    X(LEUCO_PER_OXYGEN, "leuco_per_oxygen", "1", MORE)                                                                   \
    X(LEUCO_OXIDATION_RATE, "leuco_oxidation_rate", "m3 mol-1 s-1", ZERO)                                                \
    X(REDUCTONE_OXIDATION_RATE, "reductone_oxidation_rate", "m3 mol-1 s-1", ZERO)                                        \
    X(RESERVE_OXIDATION_RATE, "reserve_oxidation_rate", "m3 mol-1 s-1", ZERO)                                            \
    X(PEROXIDE_DECAY_RATE, "peroxide_decay_rate", "s-1", ZERO)                                                           \
    X(PEROXIDE_REDUCTONE_RATE, "peroxide_reductone_rate", "m3 mol-1 s-1", ZERO)                                          \
    X(KL_STILL_20C, "kl_still_20C", "m s-1", ZERO)                                                                       \
    X(KL_WARM_PER_K, "kl_warm_per_kelvin", "K-1", ZERO)                                                                  \
    X(KL_WARM_MOST, "kl_warm_most", "1", ZERO)                                                                           \
    X(KL_LOOSE_LID_FACTOR, "kl_loose_lid_factor", "1", ZERO)                                                             \
    X(KL_TIGHT_LID_FACTOR, "kl_tight_lid_factor", "1", ZERO)                                                             \
    X(KL_FILM_FACTOR, "kl_film_factor", "1", ZERO)                                                                       \
    X(KL_GENTLE_FACTOR, "kl_gentle_factor", "1", ZERO)                                                                   \
    X(KL_BRISK_FACTOR, "kl_brisk_factor", "1", ZERO)                                                                     \
    X(WHIP_KLA, "whip_kla", "s-1", ZERO)                                                                                 \
    X(LEUCO_DIFFUSIVITY_25C, "leuco_diffusivity_25C", "m2 s-1", ZERO)                                                    \
    X(FILM_LEUCO_SHARE, "film_leuco_share", "1", ZERO)                                                                   \
    X(FILM_LEUCO_HALF, "film_leuco_half", "mol m-3", MORE)                                                               \
    X(FILM_FULL_COVER, "film_full_cover", "mol m-2", MORE)                                                               \
    X(FILM_DISSOLVING_TIME, "film_dissolving_time", "s", MORE)                                                           \
    X(STIR_AIR_GENTLE, "stir_air_gentle", "m3 m-3", ZERO)                                                                \
    X(STIR_AIR_BRISK, "stir_air_brisk", "m3 m-3", ZERO)                                                                  \
    X(DRIP_AIR, "drip_air", "m3 m-3", ZERO)                                                                              \
    /* lime, chalk, carbon dioxide */                                                                                    \
    X(LIME_SUSPENDED_TIME, "lime_suspended_time", "s", MORE)                                                             \
    X(LIME_BED_TRANSFER, "lime_bed_transfer", "m s-1", ZERO)                                                             \
    X(LIME_NUCLEATION_RATE, "lime_nucleation_rate", "s-1", ZERO)                                                         \
    X(LIME_FLOC_DIAMETER, "lime_floc_diameter", "m", MORE)                                                               \
    X(CHALK_RATE, "chalk_rate", "s-1", ZERO)                                                                             \
    X(CHALK_FLOC_DIAMETER, "chalk_floc_diameter", "m", MORE)                                                             \
    X(CO2_GAS_FILM, "co2_gas_film", "m s-1", ZERO)                                                                       \
    X(CO2_LOOSE_LID_FACTOR, "co2_loose_lid_factor", "1", ZERO)                                                           \
    X(CO2_TIGHT_LID_FACTOR, "co2_tight_lid_factor", "1", ZERO)                                                           \
    X(CO2_SKIN_FACTOR, "co2_skin_factor", "1", ZERO)                                                                     \
    /* bed, stirring */                                                                                                  \
    X(BED_SOLID_SHARE, "bed_solid_share", "1", ZERO)                                                                     \
    X(BED_TOUCH_DEPTH, "bed_touch_depth", "1", ZERO)                                                                     \
    X(RACK_LIQUOR_PER_BED, "rack_liquor_per_bed", "1", ZERO)                                                             \
    X(RESUSPEND_GENTLE, "resuspend_gentle", "1", ZERO)                                                                   \
    X(RESUSPEND_BRISK, "resuspend_brisk", "1", ZERO)                                                                     \
    X(RESUSPEND_DIP, "resuspend_dip", "1", ZERO)                                                                         \
    /* heat and water */                                                                                                 \
    X(WALL_U_PLASTIC, "wall_u_plastic", "W m-2 K-1", ZERO)                                                               \
    X(WALL_U_METAL, "wall_u_metal", "W m-2 K-1", ZERO)                                                                   \
    X(WALL_U_WOOD, "wall_u_wood", "W m-2 K-1", ZERO)                                                                     \
    X(WALL_U_CERAMIC, "wall_u_ceramic", "W m-2 K-1", ZERO)                                                               \
    X(WRAP_U_BLANKET, "wrap_u_blanket", "W m-2 K-1", ZERO)                                                               \
    X(WRAP_U_FOAM, "wrap_u_foam", "W m-2 K-1", ZERO)                                                                     \
    X(SURFACE_U_OPEN, "surface_u_open", "W m-2 K-1", ZERO)                                                               \
    X(SURFACE_U_LID, "surface_u_lid", "W m-2 K-1", ZERO)                                                                 \
    X(EVAPORATION_LOOSE_LID_FACTOR, "evaporation_loose_lid_factor", "1", ZERO)                                           \
    X(EVAPORATION_TIGHT_LID_FACTOR, "evaporation_tight_lid_factor", "1", ZERO)                                           \
    X(SUN_GAIN_FULL, "sun_gain_full", "W m-2", ZERO)                                                                     \
    X(CLOTH_HEAT_CAPACITY, "cloth_heat_capacity", "J kg-1 K-1", ZERO)                                                    \
    /* cloth, common to all fibres */                                                                                    \
    X(UPTAKE_HALF_TIME_WEIGHT_POWER, "uptake_half_time_weight_power", "1", ANY)                                          \
    X(UPTAKE_RATE_PER_10K, "uptake_rate_per_10K", "1", MORE)                                                             \
    X(UPTAKE_EQUILIBRIUM_PER_10K, "uptake_equilibrium_per_10K", "1", MORE)                                               \
    X(UPTAKE_DRY_FACTOR, "uptake_dry_factor", "1", ZERO)                                                                 \
    X(UPTAKE_FOLDED_FACTOR, "uptake_folded_factor", "1", ZERO)                                                           \
    X(WETTED_IN_WATER, "wetted_in_water", "1", ZERO)                                                                     \
    X(OXIDATION_TIME_FILM, "oxidation_time_film", "s", ZERO)                                                             \
    X(OXIDATION_TIME_HEAVY, "oxidation_time_heavy", "s", ZERO)                                                           \
    X(FILM_BROKEN_BY_CLOTH, "film_broken_by_cloth", "1", ZERO)                                                           \
    X(CLOTH_DISPLACEMENT, "cloth_displacement", "m3 kg-1", ZERO)                                                         \
    X(STRIP_LOSS_PER_DIP, "strip_loss_per_dip", "1", ZERO)                                                               \
    X(FOLDED_OUTER_SHARE, "folded_outer_share", "1", ZERO)                                                               \
    X(BED_TOUCH_LOOSE_SHARE, "bed_touch_loose_share", "1", ZERO)                                                         \
    X(RINSE_SHARE, "rinse_share", "1", ZERO)                                                                             \
    X(EARLY_RINSE_LOSS, "early_rinse_loss", "1", ZERO)                                                                   \
    X(TEST_STRIP_SOAK, "test_strip_soak", "s", ZERO)                                                                     \
    X(WASH_OFF_CARRIED, "wash_off_carried", "1", ZERO)                                                                   \
    X(WASH_OFF_SORBED, "wash_off_sorbed", "1", ZERO)                                                                     \
    /* life in a fermented vat */                                                                                        \
    X(CELL_GROWTH_RATE, "cell_growth_rate", "s-1", ZERO)                                                                 \
    X(CELL_TEMPERATURE_LOWEST, "cell_temperature_lowest", "K", ANY)                                                      \
    X(CELL_TEMPERATURE_BEST, "cell_temperature_best", "K", ANY)                                                          \
    X(CELL_TEMPERATURE_HIGHEST, "cell_temperature_highest", "K", ANY)                                                    \
    X(CELL_PH_LOWEST, "cell_ph_lowest", "1", ZERO)                                                                       \
    X(CELL_PH_BEST, "cell_ph_best", "1", ZERO)                                                                           \
    X(CELL_PH_HIGHEST, "cell_ph_highest", "1", ZERO)                                                                     \
    X(CELL_FEED_HALF, "cell_feed_half", "mol m-3", MORE)                                                                 \
    X(CELL_NITROGEN_HALF, "cell_nitrogen_half", "mol m-3", MORE)                                                         \
    X(CELL_OXYGEN_HALF, "cell_oxygen_half", "mol m-3", MORE)                                                             \
    X(CELL_YIELD, "cell_yield", "1", MORE)                                                                               \
    X(CELL_LACTATE_SHARE, "cell_lactate_share", "1", ZERO)                                                               \
    X(CELL_DECAY_RATE_30C, "cell_decay_rate_30C", "s-1", ZERO)                                                           \
    X(CELL_DECAY_ACTIVATION, "cell_decay_activation", "J mol-1", ZERO)                                                   \
    X(CELL_DEBRIS_SHARE, "cell_debris_share", "1", ZERO)                                                                 \
    X(CELL_DEATH_RATE, "cell_death_rate", "s-1", ZERO)                                                                   \
    X(CELL_RESPIRATION, "cell_respiration", "mol kg-1 s-1", ZERO)                                                        \
    X(CELL_RESPIRATION_HALF, "cell_respiration_half", "mol m-3", MORE)                                                   \
    X(CELL_SUGAR_TURNOVER, "cell_sugar_turnover", "mol kg-1 s-1", ZERO)                                                  \
    X(CELL_REDUCTION, "cell_reduction", "mol kg-1 s-1", ZERO)                                                            \
    X(CELL_REDUCTION_INDIGO_HALF, "cell_reduction_indigo_half", "mol m-3", MORE)                                         \
    X(CELL_REDUCTION_FEED_HALF, "cell_reduction_feed_half", "mol m-3", MORE)                                             \
    X(CELL_LEUCO_CEILING, "cell_leuco_ceiling", "mol m-3", MORE)                                                         \
    X(CELL_MEDIATOR_FACTOR, "cell_mediator_factor", "1", ZERO)                                                           \
    X(FEED_FAST_RATE_30C, "feed_fast_rate_30C", "s-1", ZERO)                                                             \
    X(FEED_SLOW_RATE_30C, "feed_slow_rate_30C", "s-1", ZERO)                                                             \
    X(FEED_OWN_SHARE, "feed_own_share", "1", ZERO)                                                                       \
    X(FEED_CELLS_HALF, "feed_cells_half", "kg m-3", MORE)                                                                \
    X(FEED_ACTIVATION, "feed_activation", "J mol-1", ZERO)                                                               \
    X(LEAF_INDIGO_SINKING, "leaf_indigo_sinking", "1", ZERO)                                                             \
    X(CELL_DEADLY_HEAT, "cell_deadly_heat", "K", ANY)                                                                    \
    X(CELL_DEADLY_PH, "cell_deadly_ph", "1", ZERO)                                                                       \
    X(FEED_ENZYMES_HEAT, "feed_enzymes_heat", "K", ANY)                                                                  \
    X(FEED_ENZYMES_PH, "feed_enzymes_ph", "1", ZERO)                                                                     \
    X(SPOILER_GROWTH_RATE, "spoiler_growth_rate", "s-1", ZERO)                                                           \
    X(SPOILER_TEMPERATURE_LOWEST, "spoiler_temperature_lowest", "K", ANY)                                                \
    X(SPOILER_TEMPERATURE_BEST, "spoiler_temperature_best", "K", ANY)                                                    \
    X(SPOILER_TEMPERATURE_HIGHEST, "spoiler_temperature_highest", "K", ANY)                                              \
    X(SPOILER_PH_LOWEST, "spoiler_ph_lowest", "1", ZERO)                                                                 \
    X(SPOILER_PH_BEST, "spoiler_ph_best", "1", ZERO)                                                                     \
    X(SPOILER_PH_HIGHEST, "spoiler_ph_highest", "1", ZERO)                                                               \
    X(SPOILER_KILLING, "spoiler_killing", "m3 kg-1 s-1", ZERO)                                                           \
    X(SPOILER_INDIGO_RATE, "spoiler_indigo_rate", "m3 kg-1 s-1", ZERO)                                                   \
    /* colour */                                                                                                         \
    X(SHADE_K_OVER_S_LIMIT, "shade_k_over_s_limit", "1", ZERO)                                                           \
    X(SHADE_OWF_RING, "shade_owf_ring", "1", ZERO)                                                                       \
    X(SHADE_OWF_PENETRATED, "shade_owf_penetrated", "1", ZERO)                                                           \
    X(SHADE_SPECULAR_FLOOR, "shade_specular_floor", "1", ZERO)                                                           \
    X(LIQUOR_LEUCO_ABSORPTION, "liquor_leuco_absorption", "m2 mol-1", ZERO)                                              \
    X(LIQUOR_INDIGO_ABSORPTION, "liquor_indigo_absorption", "m2 kg-1", ZERO)                                             \
    X(LIQUOR_INDIGO_SCATTER, "liquor_indigo_scatter", "m2 kg-1", ZERO)                                                   \
    X(LIQUOR_BROWN_ABSORPTION, "liquor_brown_absorption", "m2 mol-1", ZERO)                                              \
    X(LIQUOR_WHITE_SCATTER, "liquor_white_scatter", "m2 kg-1", ZERO)                                                     \
    X(LIQUOR_LEUCO_PEAK, "liquor_leuco_peak", "m", MORE)                                                                 \
    X(LIQUOR_LEUCO_WIDTH, "liquor_leuco_width", "m-1", MORE)                                                             \
    X(LIQUOR_INDIGO_PEAK, "liquor_indigo_peak", "m", MORE)                                                               \
    X(LIQUOR_FLATTENING, "liquor_flattening", "1", ZERO)                                                                 \
    X(LIQUOR_BROWN_FOLD, "liquor_brown_fold", "m", MORE)                                                                 \
    /* what a dyer reads */                                                                                              \
    X(ORP_HALF_VAT, "orp_half_vat", "V", ANY)                                                                            \
    X(ORP_PH_SLOPE, "orp_ph_slope", "V", ANY)                                                                            \
    X(ORP_SUGAR_PULL, "orp_sugar_pull", "V", ANY)                                                                        \
    X(ORP_SUGAR_HALF, "orp_sugar_half", "mol m-3", MORE)                                                                 \
    X(ORP_OXIDISED, "orp_oxidised", "V", ANY)                                                                            \
    X(ORP_LEUCO_HALF, "orp_leuco_half", "mol m-3", MORE)                                                                 \
    X(ORP_CELLS, "orp_cells", "V", ANY)                                                                                  \
    X(ORP_CELLS_HALF, "orp_cells_half", "kg m-3", MORE)                                                                  \
    X(ORP_CELLS_PULL, "orp_cells_pull", "V", ANY)                                                                        \
    X(ALKALI_SHORT_PH, "alkali_short_ph", "1", ZERO)                                                                     \
    X(WORK_TEMPERATURE_LOWEST, "work_temperature_lowest", "K", ANY)                                                      \
    X(ORP_OVER_REDUCED, "orp_over_reduced", "V", ANY)                                                                    \
    X(ORP_NOISE, "orp_noise", "V", ZERO)                                                                                 \
    X(STRIP_NOISE, "strip_noise", "1", ZERO)                                                                             \
    X(METER_NOISE, "meter_noise", "1", ZERO)                                                                             \
    X(THERMOMETER_NOISE, "thermometer_noise", "K", ZERO)                                                                 \
    X(LOOK_FAINT_SHARE, "look_faint_share", "1", ZERO)                                                                   \
    X(LOOK_BRONZE_SHARE, "look_bronze_share", "1", ZERO)                                                                 \
    X(LOOK_GREEN_SHARE, "look_green_share", "1", ZERO)                                                                   \
    X(USABLE_LEUCO, "usable_leuco", "mol m-3", ZERO)                                                                     \
    X(USABLE_ORP, "usable_orp", "V", ANY)                                                                                \
    X(EXISTING_ACID, "existing_acid", "mol m-3", ZERO)                                                                   \
    X(EXISTING_ACID_MOST, "existing_acid_most", "mol m-3", ZERO)                                                         \
    X(EXISTING_CALCIUM, "existing_calcium", "mol m-3", ZERO)                                                             \
    X(EXISTING_PH, "existing_ph", "1", ZERO)                                                                             \
    X(EXISTING_SUSPENDED_SHARE, "existing_suspended_share", "1", ZERO)                                                   \
    X(EXISTING_FERMENTED, "existing_fermented", "mol m-3", ZERO)                                                         \
    X(EXISTING_CARBONATE, "existing_carbonate", "mol m-3", ZERO)                                                         \
    X(EXISTING_NITROGEN, "existing_nitrogen", "mol m-3", ZERO)                                                           \
    X(EXISTING_SLOW_FEED, "existing_slow_feed", "kg m-3", ZERO)                                                          \
    X(EXISTING_CELLS_LIVE, "existing_cells_live", "kg m-3", ZERO)                                                        \
    X(EXISTING_CELLS_ASLEEP, "existing_cells_asleep", "kg m-3", ZERO)                                                    \
    X(SPOON_ERROR, "spoon_error", "1", ZERO)                                                                             \
    X(TIRED_LEUCO_SHARE, "tired_leuco_share", "1", ZERO)                                                                 \
    X(LIME_HEAVY_PH, "lime_heavy_ph", "1", ZERO)                                                                         \
    X(LIME_DISSOLVING, "lime_dissolving", "mol m-3", ZERO)                                                               \
    X(INDIGO_SPENT, "indigo_spent", "mol m-3", ZERO)                                                                     \
    X(SUGAR_AT_WORK, "sugar_at_work", "mol m-3", ZERO)                                                                   \
    X(SUGAR_SPENT, "sugar_spent", "mol m-3", ZERO)                                                                       \
    X(CLOUDY_SOLIDS, "cloudy_solids", "kg m-3", ZERO)                                                                    \
    X(FREEZING_CALLED, "freezing_called", "K", ANY)                                                                      \
    X(LOOK_BLUE_BELOW, "look_blue_below", "1", ZERO)                                                                     \
    X(LOOK_BRONZE_FROM, "look_bronze_from", "1", ZERO)                                                                   \
    X(FILM_BRONZE_COVER, "film_bronze_cover", "1", ZERO)                                                                 \
    X(FILM_FAINT_COVER, "film_faint_cover", "1", ZERO)                                                                   \
    X(SMELL_SOUR_PH, "smell_sour_ph", "1", ZERO)                                                                         \
    X(SMELL_CARAMEL_REDUCTONE, "smell_caramel_reductone", "mol m-3", ZERO)                                               \
    X(SMELL_SWEET_SUGAR, "smell_sweet_sugar", "mol m-3", ZERO)                                                           \
    X(SMELL_LIMEY_LIME, "smell_limey_lime", "mol m-3", ZERO)                                                             \
    X(STIR_TIME_GENTLE, "stir_time_gentle", "s", ZERO)                                                                   \
    X(STIR_TIME_WHIP, "stir_time_whip", "s", ZERO)                                                                       \
    X(RUNAWAY_FALL, "runaway_fall", "s-1", ZERO)                                                                         \
    X(RUNAWAY_MARGIN, "runaway_margin", "1", ZERO)                                                                       \
    X(STALL_MARGIN, "stall_margin", "1", ZERO)                                                                           \
    X(SPOILERS_PUTRID, "spoilers_putrid", "kg m-3", ZERO)                                                                \
    X(CELLS_AT_WORK, "cells_at_work", "kg m-3", ZERO)                                                                    \
    X(CELLS_FIRST, "cells_first", "kg m-3", ZERO)                                                                        \
    X(ASLEEP_VIGOUR, "asleep_vigour", "1", ZERO)                                                                         \
    X(HUNGRY_SHARE, "hungry_share", "1", ZERO)                                                                           \
    X(FLOWER_GAS_HALF, "flower_gas_half", "mol m-2 s-1", MORE)

enum constant_id {
#define CONSTANT_ENUM(id, name, unit, floor) K_##id,
    CONSTANT_LIST(CONSTANT_ENUM)
#undef CONSTANT_ENUM
    CONSTANT_COUNT
};

/* The least that a constant may be. */
enum constant_floor {
    CONSTANT_ANY,  /* of either sign */
    CONSTANT_ZERO, /* nothing turns off what it stands for */
    CONSTANT_MORE, /* above zero: a law divides by it */
};

struct constant_spec {
    const char *name;
    const char *unit; /* SI, UDUNITS spelling */
    enum constant_floor floor;
};

/* Name, unit and floor of each constant, in enum order. */
extern const struct constant_spec constant_specs[CONSTANT_COUNT];

/* What is expected instead, in words, when a constant cannot be `value` (in any unit of its kind); NULL when it can. */
const char *constant_refusal(enum constant_id id, double value);

#endif
