/* speciation_lanes_kind.h: for speciation_lanes.c, which includes it once for each kind of processor. No include guard. */
#include "base/number_lanes_kind.h"
#include "chem/balance_numbers.h"

ON static void OF(speciate)(const struct speciation_constants *const constants[],
                            const struct liquor_totals *const totals[], const struct speciation near[],
                            struct speciation *const results[], int count, int failures[])
{
    lane_numbers k[CONSTANT_NUMBERS], of_totals[TOTAL_COUNT], told[TOLD_COUNT];
    lane_numbers u = {0.0}, strength = {0.0}, steps;
    lane_marks found;
    struct lanes_balance b;
    for (int lane = 0; lane < LANES; lane++) {
        const int of = lane < count ? lane : 0; /* lanes without a liquor do as the first does */
        lanes_put((const double *)constants[of], CONSTANT_NUMBERS, lane, k);
        lanes_put((const double *)totals[of], TOTAL_COUNT, lane, of_totals);
        u[lane] = -near[of].ph * LN10;
        strength[lane] = near[of].ionic_strength;
        b.calcium[lane] = 1e-3 * near[of].calcium_free;
    }
    OF(find_both)(k, of_totals, &from_near, &u, &strength, &b, &found, &steps);
    OF(tell_balance)(k, &b, &u, &strength, told);
    for (int lane = 0; lane < count; lane++) {
        failures[lane] = found[lane] != 0 ? 0 : -1;
        if (failures[lane] == 0) {
            lanes_take(told, TOLD_COUNT, lane, (double *)results[lane]);
            results[lane]->iterations = (int)steps[lane];
        }
    }
}
