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

int lanes_width(enum lanes_kind kind)
{
    static const int width[LANES_KINDS] = {
        [LANES_PLAIN] = LANES_PLAIN_WIDTH,
#ifdef LANES_ON_WIDE
        [LANES_WIDE] = LANES_WIDE_WIDTH,
        [LANES_WIDEST] = LANES_WIDEST_WIDTH,
#endif
    };
    return width[kind];
}

enum lanes_kind lanes_for(enum lanes_kind kind, int count)
{
    int narrower = (int)kind;
    while (narrower > 0 && lanes_width((enum lanes_kind)(narrower - 1)) >= count) {
        narrower--;
    }
    return (enum lanes_kind)narrower;
}
