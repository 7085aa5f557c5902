/* lanes.c: see lanes.h. */
#include "base/lanes.h"

bool lanes_has(enum lanes_kind kind)
{
    switch (kind) {
    case LANES_PLAIN:
        return true;
#ifdef __x86_64__
    case LANES_WIDE:
        return __builtin_cpu_supports("avx2") != 0;
    case LANES_WIDEST:
        return __builtin_cpu_supports("avx512f") != 0;
#endif
    default:
        return false;
    }
}

enum lanes_kind lanes_best(void)
{
    int kind = LANES_KINDS - 1;
    while (!lanes_has((enum lanes_kind)kind)) {
        kind--;
    }
    return (enum lanes_kind)kind;
}
