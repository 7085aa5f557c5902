/* constants.c: see constants.h. */
#include "base/constants.h"

#include <stddef.h>

const struct constant_spec constant_specs[CONSTANT_COUNT] = {
#define CONSTANT_ROW(id, name, unit, floor) {name, unit, CONSTANT_##floor},
    CONSTANT_LIST(CONSTANT_ROW)
#undef CONSTANT_ROW
};

const char *constant_refusal(enum constant_id id, double value)
{
    switch (constant_specs[id].floor) {
    case CONSTANT_MORE: return value <= 0.0 ? "expected more than 0, for a law divides by it" : NULL;
    case CONSTANT_ZERO: return value < 0.0 ? "expected 0 or more" : NULL;
    case CONSTANT_ANY: break;
    }
    return NULL;
}
