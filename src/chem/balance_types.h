/* balance_types.h: the balance of charges for numbers of one kind: included with NUMBER of base/lanes.h and
 * STRUCT(tag), what the structs are called. No include guard. */

/* A weak acid whose anions calcium ties up. Of the undissociated form `neutral`, singly charged anions stand at a1, doubly
 * charged at a2, and calcium complexes at p times free calcium. */
struct STRUCT(ligand) {
    NUMBER total;
    NUMBER a1, a2;
    NUMBER p1, p2;           /* calcium complexes of the first and second anion, per mol/L free calcium */
    NUMBER neutral_share;    /* of all forms */
    NUMBER neutral;          /* mol/L */
    NUMBER charge, strength; /* of all forms and, doubled, their share in the ionic strength: per neutral form */
};

struct STRUCT(balance) {
    NUMBER hydrogen, hydroxide; /* mol/L */
    NUMBER calcium;             /* free */
    NUMBER calcium_hydroxide;   /* ratio of CaOH+ to Ca++ */
    struct STRUCT(ligand) ligands[LIGAND_COUNT];
    NUMBER leuco_share, leuco_ratio1, leuco_ratio2;        /* neutral form of all leuco; anions over it */
    NUMBER leuco1, leuco2;                                 /* mol/L of its anions */
    NUMBER acid_anion;                                     /* mol/L */
    NUMBER leuco_charge, leuco_strength, acid_anion_share; /* per mol/L of leuco and of acid */
    NUMBER charge;                                         /* residual, mol/L */
    NUMBER ionic_strength;                                 /* of these concentrations */
    NUMBER g1, log_g1, g1_slope; /* activity coefficient of charge 1, its logarithm, and d ln g1 / d ionic strength */
};

/* Derivatives of the charge residual, of the ionic strength made, and of calcium. */
struct STRUCT(slopes) {
    NUMBER charge, strength, calcium;
};

/* How the unknowns follow what moves the residuals of charge and of ionic strength: the inverse of the slopes. */
struct STRUCT(answer) {
    struct STRUCT(slopes) by_calcium, by_u, by_g1;
    NUMBER charge_i, strength_i, per_determinant; /* of both residuals by ionic strength */
    NUMBER g1_slope;
};
