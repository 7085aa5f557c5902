/* species.h: what the vat holds, as amounts, and what each thing is made of.
 *
 * The first STATE_COUNT species are integrated. Those after it are implied: hydroxide (the charge balance supplies it) and
 * the surroundings. A process names both, so that its reaction balances in every element and in charge.
 */
#ifndef VATCAST_PROCESS_SPECIES_H
#define VATCAST_PROCESS_SPECIES_H

#define MAX_SOAKING_GROUPS 4                     /* groups of cloth in the liquor at once */
#define MAX_SOAKING_ZONES (2 * MAX_SOAKING_GROUPS) /* folded cloth has an outer and an inner zone */

/* X(enum, name, unit, C, H, O, indigo core (C16H8N2O2), Ca, alkali, strong anion, charge[, nitrogen])
 * Indigo's carbon, nitrogen and two oxygens stay together in every process, so they are counted as one core. Nitrogen of the
 * feed and of cells stands last, where there is any. Cells are C5H7O2N, the usual formula of their dry mass. */
#define SPECIES_LIST(X)                                                                                                  \
    X(WATER, "water", "mol", 0, 2, 1, 0, 0, 0, 0, 0)                                                                     \
    X(HEAT, "heat", "J", 0, 0, 0, 0, 0, 0, 0, 0)                                                                         \
    X(INDIGO_DRY, "dry indigo", "mol", 0, 2, 0, 1, 0, 0, 0, 0)                                                           \
    X(INDIGO_SUSPENDED, "suspended indigo", "mol", 0, 2, 0, 1, 0, 0, 0, 0)                                               \
    X(INDIGO_BED, "bed indigo", "mol", 0, 2, 0, 1, 0, 0, 0, 0)                                                           \
    X(INDIGO_FILM, "film indigo", "mol", 0, 2, 0, 1, 0, 0, 0, 0)                                                         \
    X(PARTICLES_SUSPENDED, "suspended particles", "mol", 0, 0, 0, 0, 0, 0, 0, 0)                                         \
    X(PARTICLES_BED, "bed particles", "mol", 0, 0, 0, 0, 0, 0, 0, 0)                                                     \
    X(LEUCO, "leuco", "mol", 0, 4, 0, 1, 0, 0, 0, 0)                                                                     \
    X(LEUCO_HELD, "held leuco", "mol", 0, 4, 0, 1, 0, 0, 0, 0)                                                           \
    X(INDIGO_DESTROYED, "destroyed indigo", "mol", 0, 4, 1, 1, 0, 0, 0, 0)                                               \
    X(FRUCTOSE, "fructose", "mol", 6, 12, 6, 0, 0, 0, 0, 0)                                                              \
    X(GLUCOSE, "glucose", "mol", 6, 12, 6, 0, 0, 0, 0, 0)                                                                \
    X(SUCROSE, "sucrose", "mol", 12, 22, 11, 0, 0, 0, 0, 0)                                                              \
    X(REDUCTONE, "reductone", "mol", 6, 12, 6, 0, 0, 0, 0, 0)                                                            \
    X(RESERVE, "reserve", "mol", 6, 12, 6, 0, 0, 0, 0, 0)                                                                \
    X(LACTATE, "lactate", "mol", 3, 5, 3, 0, 0, 0, 0, -1)                                                                \
    X(SACCHARINATE, "saccharinate", "mol", 6, 11, 6, 0, 0, 0, 0, -1)                                                     \
    X(OXIDATE, "arabinonate with formate", "mol", 6, 10, 8, 0, 0, 0, 0, -2)                                              \
    X(ACID_ADDED, "added acid", "mol", 2, 3, 2, 0, 0, 0, 0, -1)                                                          \
    X(ACETATE, "acetate", "mol", 2, 3, 2, 0, 0, 0, 0, -1)                                                                \
    X(FEED_FAST, "quick feed", "mol", 6, 10, 5, 0, 0, 0, 0, 0)                                                           \
    X(FEED_SLOW, "slow feed", "mol", 6, 10, 5, 0, 0, 0, 0, 0)                                                            \
    X(NITROGEN, "assimilable nitrogen", "mol", 0, 3, 0, 0, 0, 0, 0, 0, 1)                                                \
    X(CELLS, "reducing cells", "mol", 5, 7, 2, 0, 0, 0, 0, 0, 1)                                                         \
    X(SPOILERS, "spoilers", "mol", 5, 7, 2, 0, 0, 0, 0, 0, 1)                                                            \
    X(DEBRIS, "dead cells", "mol", 5, 7, 2, 0, 0, 0, 0, 0, 1)                                                            \
    X(CALCIUM, "calcium", "mol", 0, 0, 0, 0, 1, 0, 0, 2)                                                                 \
    X(LIME_SUSPENDED, "suspended lime", "mol", 0, 2, 2, 0, 1, 0, 0, 0)                                                   \
    X(LIME_BED, "bed lime", "mol", 0, 2, 2, 0, 1, 0, 0, 0)                                                               \
    X(CHALK_SUSPENDED, "suspended chalk", "mol", 1, 0, 3, 0, 1, 0, 0, 0)                                                 \
    X(CHALK_BED, "bed chalk", "mol", 1, 0, 3, 0, 1, 0, 0, 0)                                                             \
    X(CARBON, "carbonate", "mol", 1, 0, 3, 0, 0, 0, 0, -2)                                                               \
    X(ALKALI, "alkali", "mol", 0, 0, 0, 0, 0, 1, 0, 1)                                                                   \
    X(STRONG_ANION, "strong anion", "mol", 0, 0, 0, 0, 0, 0, 1, -1)                                                      \
    X(OXYGEN, "oxygen", "mol", 0, 0, 2, 0, 0, 0, 0, 0)                                                                   \
    X(PEROXIDE, "peroxide", "mol", 0, 2, 2, 0, 0, 0, 0, 0)                                                               \
    X(MEDIATOR, "mediator", "kg", 0, 0, 0, 0, 0, 0, 0, 0)                                                                \
    X(MEDIATOR_HIGH_PH, "high-pH mediator", "kg", 0, 0, 0, 0, 0, 0, 0, 0)                                                \
    X(RESIDUE, "residue", "kg", 0, 0, 0, 0, 0, 0, 0, 0)                                                                  \
    X(CLOTH_0, "cloth 1", "mol", 0, 4, 0, 1, 0, 0, 0, 0)                                                                 \
    X(CLOTH_1, "cloth 2", "mol", 0, 4, 0, 1, 0, 0, 0, 0)                                                                 \
    X(CLOTH_2, "cloth 3", "mol", 0, 4, 0, 1, 0, 0, 0, 0)                                                                 \
    X(CLOTH_3, "cloth 4", "mol", 0, 4, 0, 1, 0, 0, 0, 0)                                                                 \
    X(CLOTH_4, "cloth 5", "mol", 0, 4, 0, 1, 0, 0, 0, 0)                                                                 \
    X(CLOTH_5, "cloth 6", "mol", 0, 4, 0, 1, 0, 0, 0, 0)                                                                 \
    X(CLOTH_6, "cloth 7", "mol", 0, 4, 0, 1, 0, 0, 0, 0)                                                                 \
    X(CLOTH_7, "cloth 8", "mol", 0, 4, 0, 1, 0, 0, 0, 0)                                                                 \
    /* implied */                                                                                                        \
    X(HYDROXIDE, "hydroxide", "mol", 0, 1, 1, 0, 0, 0, 0, -1)                                                            \
    X(AIR_OXYGEN, "oxygen of the air", "mol", 0, 0, 2, 0, 0, 0, 0, 0)                                                    \
    X(AIR_CARBON_DIOXIDE, "carbon dioxide of the air", "mol", 1, 0, 2, 0, 0, 0, 0, 0)                                    \
    X(AIR_WATER, "water vapour of the air", "mol", 0, 2, 1, 0, 0, 0, 0, 0)                                               \
    X(AIR_HYDROGEN, "hydrogen given off", "mol", 0, 2, 0, 0, 0, 0, 0, 0)                                                 \
    X(SURROUNDINGS, "heat of the surroundings", "J", 0, 0, 0, 0, 0, 0, 0, 0)

enum species {
#define SPECIES_ENUM(id, name, unit, c, h, o, core, ca, alkali, anion, ...) S_##id,
    SPECIES_LIST(SPECIES_ENUM)
#undef SPECIES_ENUM
    SPECIES_COUNT
};
#define STATE_COUNT ((int)S_HYDROXIDE)

enum element { ELEMENT_C, ELEMENT_H, ELEMENT_O, ELEMENT_INDIGO, ELEMENT_CA, ELEMENT_ALKALI, ELEMENT_ANION, CHARGE,
               ELEMENT_N, ELEMENT_COUNT };

struct species_info {
    const char *name;
    const char *unit;
    int composition[ELEMENT_COUNT];
};
extern const struct species_info species_table[SPECIES_COUNT];
extern const char *const element_names[ELEMENT_COUNT];

/* Molar masses, kg/mol. */
#define MOLAR_INDIGOTIN 0.26227
#define MOLAR_HEXOSE 0.18016
#define MOLAR_SUCROSE 0.34230
#define MOLAR_FEED 0.16214  /* C6H10O5 */
#define MOLAR_CELLS 0.11312 /* C5H7O2N */
#define MOLAR_LIME 0.074093
#define MOLAR_CHALK 0.100087
#define MOLAR_SODA 0.105988
#define MOLAR_POTASH 0.138205
#define MOLAR_OXYGEN 0.031998
#define MOLAR_WATER 0.0180153

#endif
