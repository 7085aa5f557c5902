/* speciation_lanes_kind.h: for speciation_lanes.c, which includes it once for each kind of processor. No include guard. */
#include "base/number_lanes_kind.h"
#include "chem/balance_types.h"

#include "chem/balance_numbers.h"

/* Of WIDTH liquors at most. */
ON static void OF(speciate)(const struct liquors *liquors, int first, int count)
{
    NUMBER k[CONSTANT_NUMBERS], of_totals[TOTAL_COUNT], told[TOLD_COUNT];
    NUMBER u = {0.0}, strength = {0.0}, steps;
    MARKS found;
    struct STRUCT(balance) b;
    const double *constants[WIDTH], *totals[WIDTH];
    double *answers[WIDTH];
    for (int lane = 0; lane < WIDTH; lane++) {
        const int of = first + (lane < count ? lane : 0); /* lanes without a liquor do as the first does */
        const struct speciation *near = &liquors->near[of];
        constants[lane] = (const double *)liquors->constants[of];
        totals[lane] = (const double *)liquors->totals[of];
        u[lane] = -near->ph * LN10;
        strength[lane] = near->ionic_strength;
        b.calcium[lane] = 1e-3 * near->calcium_free;
    }
    OF(gather)(constants, CONSTANT_NUMBERS, k);
    OF(gather)(totals, TOTAL_COUNT, of_totals);
    OF(find_both)(k, of_totals, &from_near, &u, &strength, &b, &found, &steps);
    OF(tell_balance)(k, &b, &u, &strength, told);
    for (int lane = 0; lane < count; lane++) {
        struct speciation *result = liquors->results[first + lane];
        liquors->failures[first + lane] = found[lane] != 0 ? 0 : -1;
        result->iterations = (int)steps[lane];
        answers[lane] = (double *)result;
    }
    OF(scatter)(told, TOLD_COUNT, count, answers);
}

ON static void OF(speciate_all)(const struct liquors *liquors, int count)
{
    for (int first = 0; first < count; first += WIDTH) {
        OF(speciate)(liquors, first, count - first < WIDTH ? count - first : WIDTH);
    }
}
