/* constants.c: see constants.h. */
#include "base/constants.h"

const struct constant_spec constant_specs[CONSTANT_COUNT] = {
#define CONSTANT_ROW(id, name, unit) {name, unit},
    CONSTANT_LIST(CONSTANT_ROW)
#undef CONSTANT_ROW
};
