/* speciation_balance.c: see speciation_balance.h. */
#include "chem/speciation_balance.h"

#define RATIOS_ALONG_U                                                                                                 \
    {                                                                                                                  \
        .first = -1.0, .second = -2.0, .first_calcium = -1.0, .second_calcium = -2.0                                   \
    }
const struct direction along_u = {.hydrogen = 1.0,
                                  .hydroxide = -1.0,
                                  .calcium_hydroxide = -1.0,
                                  .acid = 1.0,
                                  .ligands = {RATIOS_ALONG_U, RATIOS_ALONG_U, RATIOS_ALONG_U},
                                  .leuco = RATIOS_ALONG_U};
#define RATIOS_ALONG_G1                                                                                                \
    {                                                                                                                  \
        .first = -1.0, .second = -4.0, .first_calcium = 3.0, .second_calcium = 4.0                                     \
    }
const struct direction along_g1 = {.hydrogen = -1.0,
                                   .hydroxide = -1.0,
                                   .calcium_hydroxide = 3.0,
                                   .acid = 1.0,
                                   .ligands = {RATIOS_ALONG_G1, RATIOS_ALONG_G1, RATIOS_ALONG_G1},
                                   .leuco = RATIOS_ALONG_G1,
                                   .log_g1 = 1.0};
