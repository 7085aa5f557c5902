/* speciation.h: the fast acid-base and calcium equilibria of the liquor, solved from the totals at every call.
 *
 * Charge balance over H, OH, Ca, CaOH, CaHCO3, CaCO3 (pair), Ca-hexose, HCO3, CO3, acid anions, alkali, leuco mono- and
 * di-anion, fructose and glucose anion, with Davies activities. Pure: the same totals give the same bits; nothing is
 * remembered between calls.
 */
#ifndef VATCAST_CHEM_SPECIATION_H
#define VATCAST_CHEM_SPECIATION_H

#include "base/status.h"

#include <stddef.h>

/* The uncertain constants of the equilibria, from the model file. */
struct speciation_parameters {
    double leuco_pk1, leuco_pk2;    /* thermodynamic, taken as constant over 5 to 60 degC */
    double fructose_pk, glucose_pk; /* at 25 degC */
    double hexose_pk_slope;         /* per K */
    double calcium_hexose_logk;     /* Ca2+ + hexose anion, log10 of L/mol */
    double acid_pk;                 /* of the acids from sugar, lumped, taken as constant over 5 to 60 degC */
};

/* Thermodynamic constants at one temperature, as linear values in mol/L units. */
struct speciation_constants {
    double temperature_K;
    double debye_huckel_A;
    double kw;
    double calcium_hydroxide; /* Ca2+ + OH- = CaOH+ */
    double ksp_lime;          /* Ca(OH)2 = Ca2+ + 2 OH- */
    double ksp_calcite;
    double k1, k2;                                 /* carbonic acid */
    double calcium_bicarbonate, calcium_carbonate; /* pairs */
    double leuco1, leuco2;
    double fructose, glucose; /* acid constants */
    double calcium_hexose;
    double acid; /* the lumped sugar acids */
};

/* Totals per volume of liquor, mol/m3; all at least 0. */
struct liquor_totals {
    double calcium;
    double alkali;       /* Na+ and K+ */
    double strong_anion; /* Cl- and the like, charge 1 */
    double acid;         /* acid groups (charge equivalents) of lactic, saccharinic, acetic ... acids */
    double carbon;       /* inorganic */
    double leuco;
    double fructose;
    double glucose;
};

/* The totals in order, for derivatives by each. */
enum liquor_total {
    TOTAL_CALCIUM,
    TOTAL_ALKALI,
    TOTAL_STRONG_ANION,
    TOTAL_ACID,
    TOTAL_CARBON,
    TOTAL_LEUCO,
    TOTAL_FRUCTOSE,
    TOTAL_GLUCOSE,
    TOTAL_COUNT
};

struct speciation {
    double ph;             /* -log10 of the activity of H+ */
    double hydroxide;      /* mol/m3, concentration of free OH- */
    double ionic_strength; /* mol/L */
    double calcium_free;   /* mol/m3 */
    double calcium_hydroxide_pair;
    double carbonate;                        /* mol/m3, free CO3-- */
    double carbon_dioxide;                   /* mol/m3, dissolved CO2 */
    double leuco_acid, leuco_mono, leuco_di; /* shares of the leuco, sum 1 */
    double fructose_anion, glucose_anion;    /* mol/m3, with their calcium complexes */
    double lime_saturation;                  /* IAP over Ksp of Ca(OH)2; 1 at equilibrium */
    double
        calcite_product; /* (mol/m3)^2, of free Ca++ and CO3-- where calcite is at equilibrium: Ksp over activities */
    int iterations;
};

/* Constants at a temperature (K), 273 to 343. */
void speciation_constants_at(const struct speciation_parameters *parameters, double temperature_K,
                             struct speciation_constants *constants);

#define SPECIATION_PH_MOST 14.5 /* the search goes no further */

/* To where the equilibria are good; beyond they are worked out all the same, and rough. They bound the formulas of this folder and
 * are no constants of a model, which could not widen them. */
#define CHEMISTRY_WARMEST 60.0      /* degC, here and in oxygen.h */
#define CHEMISTRY_PH_LOWEST 4.0     /* where the lumped acids still act as one: estimate */
#define CHEMISTRY_PH_HIGHEST 13.5   /* at the ionic strength below a hydroxide solution has no more: estimate */
#define CHEMISTRY_STRENGTH_MOST 0.5 /* mol/L, of the Davies equation: activity.h */

/* Solves the charge balance. Returns 0, or -1 when no pH between 0 and 14.5 balances the charges, none can be found for the
 * strength of the solution, or a total is not finite. Range: ionic strength to 0.3 mol/L (0.5 usable), 0 to 60 degC. */
int speciate(const struct speciation_constants *constants, const struct liquor_totals *totals,
             struct speciation *result);

/* The same from a nearby solution: fewer steps to the same answer, to about 1e-10. The answer depends on `near` in what is left, so a
 * caller that must be pure gives a `near` that depends on the same totals. */
int speciate_near(const struct speciation_constants *constants, const struct liquor_totals *totals,
                  const struct speciation *near, struct speciation *result);

/* The numbers of struct speciation in a row: TOLD(ph) is the index of its pH. */
#define TOLD(member) (offsetof(struct speciation, member) / sizeof(double))
#define TOLD_COUNT TOLD(iterations)

/* How what is told of a solution moves with each total, per mol/m3, and with the temperature, per K. */
struct speciation_slopes {
    double by_total[TOLD_COUNT][TOTAL_COUNT];
    double by_temperature[TOLD_COUNT];
};

/* Of the solution `at` of these totals, by the implicit function theorem, when the constants change with the temperature by `by_K`. */
void speciation_slopes(const struct speciation_constants *constants, const struct speciation_constants *by_K,
                       const struct liquor_totals *totals, const struct speciation *at, struct speciation_slopes *slopes);

#endif
