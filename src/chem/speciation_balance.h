/* speciation_balance.h: the balance of charges in the liquor for two unknowns, and how it moves; between speciation.c, which solves it,
 * and speciation_slopes.c.
 *
 * Concentrations are mol/L of liquor. The unknowns are u, the natural logarithm of the activity of H+, and the ionic strength.
 */
#ifndef VATCAST_CHEM_SPECIATION_BALANCE_H
#define VATCAST_CHEM_SPECIATION_BALANCE_H

#include "chem/speciation.h"

#define LN10 2.302585092994046

/* A weak acid whose anions calcium ties up. Of the undissociated form `neutral`, singly charged anions stand at a1, doubly
 * charged at a2, and calcium complexes at p times free calcium. */
struct ligand {
    double total;
    double a1, a2;
    double p1, p2;           /* calcium complexes of the first and second anion, per mol/L free calcium */
    double neutral_share;    /* of all forms */
    double neutral;          /* mol/L */
    double charge, strength; /* of all forms and, doubled, their share in the ionic strength: per neutral form */
};

enum { CARBON, FRUCTOSE, GLUCOSE, LIGAND_COUNT };

struct balance {
    double hydrogen, hydroxide; /* mol/L */
    double calcium;             /* free */
    double calcium_hydroxide;   /* ratio of CaOH+ to Ca++ */
    struct ligand ligands[LIGAND_COUNT];
    double leuco_share, leuco_ratio1, leuco_ratio2;        /* neutral form of all leuco; anions over it */
    double leuco1, leuco2;                                 /* mol/L of its anions */
    double acid_anion;                                     /* mol/L */
    double leuco_charge, leuco_strength, acid_anion_share; /* per mol/L of leuco and of acid */
    double charge;                                         /* residual, mol/L */
    double ionic_strength;                                 /* of these concentrations */
    double g1, log_g1, g1_slope; /* activity coefficient of charge 1, its logarithm, and d ln g1 / d ionic strength */
};

/* All concentrations, the charge residual and the ionic strength they make, for the unknowns u and ionic strength. The search for
 * free calcium begins at b->calcium, where that is of any use. */
void balance_at(const struct speciation_constants *k, const struct liquor_totals *totals, double u,
                double ionic_strength, struct balance *b);

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

/* Derivatives of the charge residual, of the ionic strength made, and of calcium. */
struct slopes {
    double charge, strength, calcium;
};

/* By free calcium; the last is of all calcium. */
struct slopes slopes_by_calcium(const struct balance *b);

/* Along a direction, with free calcium following from its own balance; the last is of free calcium. */
struct slopes balance_slopes(const struct balance *b, const struct slopes *by_calcium, const struct direction *d);

/* How the unknowns follow what moves the residuals of charge and of ionic strength: the inverse of the slopes. */
struct answer {
    struct slopes by_calcium, by_u, by_g1;
    double charge_i, strength_i, per_determinant; /* of both residuals by ionic strength */
    double g1_slope;
};
struct answer answer_at(const struct balance *b);

/* The step in u that takes residuals away, and with it the one in ionic strength. */
static inline double answer_u(const struct answer *a, double charge, double strength)
{
    return (a->charge_i * strength - charge * a->strength_i) * a->per_determinant;
}

static inline double answer_strength(const struct answer *a, double charge, double strength)
{
    return (a->by_u.strength * charge - a->by_u.charge * strength) * a->per_determinant;
}

#endif
