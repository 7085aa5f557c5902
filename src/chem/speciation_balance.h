/* speciation_balance.h: the balance of charges in the liquor for two unknowns, and how it moves; between speciation.c and
 * speciation_lanes.c, which solve it, and speciation_slopes.c. Its functions are in balance_numbers.h.
 *
 * Concentrations are mol/L of liquor. The unknowns are u, the natural logarithm of the activity of H+, and the ionic strength.
 */
#ifndef VATCAST_CHEM_SPECIATION_BALANCE_H
#define VATCAST_CHEM_SPECIATION_BALANCE_H

#include "chem/speciation.h"

#define LN10 2.302585092994046

#define CALCIUM_CLOSE 1e-9 /* relative step in free calcium after which round-off is left */
#define CALCIUM_STEPS_MOST 30
#define BOTH_STEPS_MOST 60
#define U_LOW (-SPECIATION_PH_MOST * LN10)
#define U_HIGH 0.0

/* How close a search comes: what a step in u and, relative, in ionic strength leaves goes as itself times all since the slopes were
 * worked out. From nearby the slopes serve again where the unknowns have hardly moved. */
struct closeness {
    double left, same_slopes;
};
#define CLOSE_FROM_NEAR                                                                                                \
    {                                                                                                                  \
        1e-10, 1e-3                                                                                                    \
    }

enum { CARBON, FRUCTOSE, GLUCOSE, LIGAND_COUNT };

#define STRUCT(tag) tag
#define NUMBER double
#include "chem/balance_types.h"
#undef STRUCT
#undef NUMBER

/* How the ratios of the balance change along one unknown, as logarithmic derivatives. */
struct ratios {
    double first, second; /* singly and doubly charged anions over neutral form */
    double first_calcium, second_calcium;
};
struct direction {
    double hydrogen, hydroxide, calcium_hydroxide, acid; /* acid: of neutral form over anion */
    struct ratios ligands[LIGAND_COUNT], leuco;
    double log_g1, ksp_lime, ksp_calcite;
};

/* With u the activity of H+ moves; activity coefficients stay. */
extern const struct direction along_u;

/* With the ionic strength they move: g2 = g1^4. Times d ln g1 / d I. */
extern const struct direction along_g1;

#endif
