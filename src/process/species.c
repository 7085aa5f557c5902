/* species.c: see species.h. */
#include "process/species.h"

const struct species_info species_table[SPECIES_COUNT] = {
#define SPECIES_ROW(id, name, unit, c, h, o, core, ca, alkali, anion, ...)                                               \
    {name, unit, {c, h, o, core, ca, alkali, anion, __VA_ARGS__}},
    SPECIES_LIST(SPECIES_ROW)
#undef SPECIES_ROW
};

const char *const element_names[ELEMENT_COUNT] = {"C", "H", "O", "indigo core", "Ca", "alkali", "strong anion", "charge",
                                                  "nitrogen"};
