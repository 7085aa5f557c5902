/* drawn.c: see drawn.h. */
#include "drawn.h"

const struct speciation_parameters usual = {.leuco_pk1 = 8.0,
                                            .leuco_pk2 = 12.7,
                                            .fructose_pk = 12.1,
                                            .glucose_pk = 12.3,
                                            .hexose_pk_slope = -0.02,
                                            .calcium_hexose_logk = 0.4,
                                            .acid_pk = 3.9};

double uniform(uint64_t *seed)
{
    *seed = *seed * 6364136223846793005ULL + 1442695040888963407ULL;
    return (double)(*seed >> 11) / 9007199254740992.0;
}

void draw_totals(uint64_t *seed, double totals[TOTAL_COUNT])
{
    const double most[TOTAL_COUNT] = {
        [TOTAL_CALCIUM] = 40.0, [TOTAL_ALKALI] = 80.0, [TOTAL_STRONG_ANION] = 5.0, [TOTAL_ACID] = 40.0,
        [TOTAL_CARBON] = 40.0,  [TOTAL_LEUCO] = 5.0,   [TOTAL_FRUCTOSE] = 60.0,    [TOTAL_GLUCOSE] = 60.0};
    for (int i = 0; i < TOTAL_COUNT; i++) {
        double share = uniform(seed);
        totals[i] = uniform(seed) < 0.15 ? 0.0 : most[i] * share * share;
    }
}
