/* balance_numbers.h: the balance of charges in the liquor, how it moves, and the search for what balances it from nearby; written
 * once for one liquor and for several side by side. Included with what lists base/lanes.h, STRUCT of balance_types.h, and CONSTANTS and
 * TOTALS, what PART takes the members of struct speciation_constants and of struct liquor_totals from. No include guard.
 */
#define LIGAND struct STRUCT(ligand)
#define BALANCE struct STRUCT(balance)
#define SLOPES struct STRUCT(slopes)
#define ANSWER struct STRUCT(answer)
#define K(member) PART(speciation_constants, constants, member)
#define TOTAL(member) PART(liquor_totals, totals, member)

/* A value of free calcium below what balances it: as if all ligands were as ready to bind as where none is bound. */
ON static inline void OF(calcium_least)(const BALANCE *b, const NUMBER *total, NUMBER *least)
{
    NUMBER most = 1.0 + b->calcium_hydroxide;
    for (int i = 0; i < LIGAND_COUNT; i++) {
        const LIGAND *ligand = &b->ligands[i];
        most += (ligand->p1 + ligand->p2) * ligand->total / (1.0 + ligand->a1 + ligand->a2);
    }
    *least = *total / most;
}

/* Free calcium: Ca (1 + b + sum of complexes) = total. The left side is increasing and concave in Ca, so Newton from a
 * value below the root climbs to it without overshoot. Begins at b->calcium. */
ON static inline void OF(find_calcium)(BALANCE *b, const NUMBER *total)
{
    const NUMBER fixed = 1.0 + b->calcium_hydroxide;
    NUMBER calcium = b->calcium;
    NUMBER least;
    const MARKS useless = ~(IS_MORE(calcium, (NUMBER){0}) & ~IS_MORE(calcium, *total));
    if (IS_ANY(useless)) {
        OF(calcium_least)(b, total, &least);
        calcium = CHOOSE(useless, least, calcium);
    }
    MARKS searching = ~(MARKS){0};
    for (int i = 0; i < CALCIUM_STEPS_MOST && IS_ANY(searching); i++) {
        NUMBER value = calcium * fixed - *total;
        NUMBER slope = fixed;
        for (int k = 0; k < LIGAND_COUNT; k++) {
            const LIGAND *ligand = &b->ligands[k];
            const NUMBER p = ligand->p1 + ligand->p2;
            const NUMBER free = 1.0 + ligand->a1 + ligand->a2;
            const NUMBER share = 1.0 / (free + calcium * p);
            const NUMBER bound = p * ligand->total * share;
            value += calcium * bound;
            slope += bound * free * share;
        }
        NUMBER step = -value / slope;
        const MARKS falls = IS_LESS(step, -0.5 * calcium); /* from above the root the first step may fall too far */
        if (IS_ANY(falls)) {
            OF(calcium_least)(b, total, &least);
            step = CHOOSE(falls, least - calcium, step);
        }
        calcium = CHOOSE(searching, calcium + step, calcium);
        searching &= IS_MORE(SIZE(step), CALCIUM_CLOSE * calcium);
    }
    b->calcium = calcium;
}

/* The activity coefficient of charge 1. */
ON static inline void OF(find_activity)(const NUMBER *a, const NUMBER *ionic_strength, BALANCE *b)
{
    NUMBER root;
    TAKE_ROOT(root, *ionic_strength);
    const NUMBER share = 1.0 / (1.0 + root);
    const NUMBER slope = *a * (DAVIES_LINEAR - 0.5 * share * share / root);
    b->log_g1 = LN10 * (*a * DAVIES(root, share));
    b->g1_slope = slope * LN10;
    TAKE_EXPONENTIAL(b->g1, b->log_g1);
}

/* The ligands at the activity coefficients g1 and g2, per_h and per_h2 what singly and doubly charged anions stand to. */
ON static inline void OF(find_ligands)(const CONSTANTS *constants, const TOTALS *totals, const NUMBER *g2,
                                       const NUMBER *per_h, const NUMBER *per_h2, LIGAND ligands[LIGAND_COUNT])
{
    LIGAND *carbon = &ligands[CARBON];
    carbon->total = TOTAL(carbon) * 1e-3;
    carbon->a1 = K(k1) * *per_h;
    carbon->a2 = K(k1) * K(k2) * *per_h2;
    carbon->p1 = K(calcium_bicarbonate) * *g2 * carbon->a1;
    carbon->p2 = K(calcium_carbonate) * *g2 * *g2 * carbon->a2;
    const NUMBER hexose_total[2] = {TOTAL(fructose) * 1e-3, TOTAL(glucose) * 1e-3};
    const NUMBER hexose_constant[2] = {K(fructose), K(glucose)};
    for (int i = 0; i < 2; i++) {
        LIGAND *hexose = &ligands[FRUCTOSE + i];
        hexose->total = hexose_total[i];
        hexose->a1 = hexose_constant[i] * *per_h;
        hexose->a2 = (NUMBER){0};
        hexose->p1 = K(calcium_hexose) * *g2 * hexose->a1;
        hexose->p2 = (NUMBER){0};
    }
}

ON static inline void OF(add_ligands)(BALANCE *b, NUMBER *charge, NUMBER *strength)
{
    for (int i = 0; i < LIGAND_COUNT; i++) {
        LIGAND *l = &b->ligands[i];
        l->neutral_share = 1.0 / (1.0 + l->a1 + l->a2 + b->calcium * (l->p1 + l->p2));
        l->neutral = l->total * l->neutral_share;
        l->charge = b->calcium * l->p1 - l->a1 - 2.0 * l->a2;
        l->strength = b->calcium * l->p1 + l->a1 + 4.0 * l->a2;
        *charge += l->neutral * l->charge;
        *strength += l->neutral * l->strength;
    }
}

/* All concentrations, the charge residual and the ionic strength they make, for the unknowns u and ionic strength. The search for
 * free calcium begins at b->calcium, where that is of any use. */
ON static inline void OF(find_balance)(const CONSTANTS *constants, const TOTALS *totals, const NUMBER *u,
                                       const NUMBER *ionic_strength, BALANCE *b)
{
    OF(find_activity)(&K(debye_huckel_A), ionic_strength, b);
    const NUMBER g1 = b->g1;
    const NUMBER g2 = g1 * g1 * g1 * g1;
    NUMBER h;
    TAKE_EXPONENTIAL(h, *u);
    const NUMBER per_h = 1.0 / (h * g1);
    const NUMBER per_h2 = per_h * per_h / (g1 * g1);
    b->hydrogen = h / g1;
    b->hydroxide = K(kw) * per_h;
    b->calcium_hydroxide = K(calcium_hydroxide) * g2 * b->hydroxide;
    OF(find_ligands)(constants, totals, &g2, &per_h, &per_h2, b->ligands);
    const NUMBER calcium = TOTAL(calcium) * 1e-3;
    OF(find_calcium)(b, &calcium);

    const NUMBER calcium_pair = b->calcium_hydroxide * b->calcium;
    NUMBER charge = b->hydrogen - b->hydroxide + 2.0 * b->calcium + calcium_pair;
    NUMBER strength = b->hydrogen + b->hydroxide + 4.0 * b->calcium + calcium_pair;
    OF(add_ligands)(b, &charge, &strength);

    const NUMBER leuco = TOTAL(leuco) * 1e-3;
    const NUMBER r1 = K(leuco1) * per_h;
    const NUMBER r2 = K(leuco1) * K(leuco2) * per_h2;
    const NUMBER leuco_share = 1.0 / (1.0 + r1 + r2);
    b->leuco_share = leuco_share;
    b->leuco_ratio1 = r1;
    b->leuco_ratio2 = r2;
    b->leuco_charge = leuco_share * (r1 + 2.0 * r2);
    b->leuco_strength = leuco_share * (r1 + 4.0 * r2);
    b->leuco1 = leuco * leuco_share * r1;
    b->leuco2 = leuco * leuco_share * r2;
    b->acid_anion_share = K(acid) / (K(acid) + h * g1);
    b->acid_anion = TOTAL(acid) * 1e-3 * b->acid_anion_share;
    b->charge = charge - b->leuco1 - 2.0 * b->leuco2 - b->acid_anion + (TOTAL(alkali) - TOTAL(strong_anion)) * 1e-3;
    b->ionic_strength =
        0.5 * (strength + b->leuco1 + 4.0 * b->leuco2 + b->acid_anion + (TOTAL(alkali) + TOTAL(strong_anion)) * 1e-3);
}

/* By free calcium; the last is of all calcium. */
ON static inline void OF(find_slopes_by_calcium)(const BALANCE *b, SLOPES *slopes)
{
    NUMBER charge = 2.0 + b->calcium_hydroxide;
    NUMBER strength = 4.0 + b->calcium_hydroxide;
    NUMBER calcium = 1.0 + b->calcium_hydroxide;
    for (int i = 0; i < LIGAND_COUNT; i++) {
        const LIGAND *l = &b->ligands[i];
        const NUMBER p = l->p1 + l->p2;
        const NUMBER fall = p * l->neutral_share;
        charge += l->neutral * (l->p1 - fall * l->charge);
        strength += l->neutral * (l->p1 - fall * l->strength);
        calcium += l->neutral * p * (1.0 - b->calcium * fall);
    }
    slopes->charge = charge;
    slopes->strength = 0.5 * strength;
    slopes->calcium = calcium;
}

/* Along a direction, with free calcium following from its own balance; the last is of free calcium. */
ON static inline void OF(find_slopes)(const BALANCE *b, const SLOPES *by_calcium, const struct direction *d,
                                      SLOPES *slopes)
{
    const NUMBER hydrogen_d = b->hydrogen * d->hydrogen;
    const NUMBER hydroxide_d = b->hydroxide * d->hydroxide;
    const NUMBER pair_d = b->calcium_hydroxide * b->calcium * d->calcium_hydroxide;
    NUMBER charge = hydrogen_d - hydroxide_d + pair_d;
    NUMBER strength = hydrogen_d + hydroxide_d + pair_d;
    NUMBER calcium = pair_d;
    for (int i = 0; i < LIGAND_COUNT; i++) {
        const LIGAND *l = &b->ligands[i];
        const struct ratios *r = &d->ligands[i];
        const NUMBER first_d = l->a1 * r->first;
        const NUMBER second_d = l->a2 * r->second;
        const NUMBER complexed_d = b->calcium * l->p1 * r->first_calcium;
        const NUMBER bound_d = complexed_d + b->calcium * l->p2 * r->second_calcium;
        const NUMBER fall = (first_d + second_d + bound_d) * l->neutral_share;
        charge += l->neutral * (complexed_d - first_d - 2.0 * second_d - fall * l->charge);
        strength += l->neutral * (complexed_d + first_d + 4.0 * second_d - fall * l->strength);
        calcium += l->neutral * (bound_d - fall * b->calcium * (l->p1 + l->p2));
    }
    const NUMBER first_d = b->leuco1 * d->leuco.first;
    const NUMBER second_d = b->leuco2 * d->leuco.second;
    const NUMBER leuco_d = first_d + second_d;
    charge -= first_d + 2.0 * second_d - leuco_d * b->leuco_charge;
    strength += first_d + 4.0 * second_d - leuco_d * b->leuco_strength;
    const NUMBER anion_d = -b->acid_anion * (1.0 - b->acid_anion_share) * d->acid;
    charge -= anion_d;
    strength += anion_d;
    const NUMBER calcium_d = -calcium / by_calcium->calcium;
    slopes->charge = charge + calcium_d * by_calcium->charge;
    slopes->strength = 0.5 * strength + calcium_d * by_calcium->strength;
    slopes->calcium = calcium_d;
}

ON static inline void OF(find_answer)(const BALANCE *b, ANSWER *a)
{
    OF(find_slopes_by_calcium)(b, &a->by_calcium);
    OF(find_slopes)(b, &a->by_calcium, &along_u, &a->by_u);
    OF(find_slopes)(b, &a->by_calcium, &along_g1, &a->by_g1);
    a->g1_slope = b->g1_slope;
    a->charge_i = a->by_g1.charge * b->g1_slope;
    a->strength_i = a->by_g1.strength * b->g1_slope - 1.0;
    a->per_determinant = 1.0 / (a->by_u.charge * a->strength_i - a->charge_i * a->by_u.strength);
}

/* The steps in u and in ionic strength that take residuals of charge and of ionic strength away. */
ON static inline void OF(take_answer)(const ANSWER *a, const NUMBER *charge, const NUMBER *strength, NUMBER *u,
                                      NUMBER *change)
{
    *u = (a->charge_i * *strength - *charge * a->strength_i) * a->per_determinant;
    *change = (a->by_u.strength * *charge - a->by_u.charge * *strength) * a->per_determinant;
}

/* Slopes worked out anew for those marked. */
ON static inline void OF(renew_answer)(const BALANCE *b, const MARKS *marked, ANSWER *a)
{
    ANSWER anew;
    OF(find_answer)(b, &anew);
    const NUMBER *from = (const NUMBER *)&anew;
    NUMBER *to = (NUMBER *)a;
    for (size_t i = 0; i < sizeof anew / sizeof *from; i++) {
        to[i] = CHOOSE(*marked, from[i], to[i]);
    }
}

/* Newton in both unknowns, u and the ionic strength, until no more is left than `close` allows. `found` marks who came to an answer
 * within the range, `count` gets how many steps each took. */
ON static inline void OF(find_both)(const CONSTANTS *constants, const TOTALS *totals, const struct closeness *close,
                                    NUMBER *u, NUMBER *ionic_strength, BALANCE *b, MARKS *found, NUMBER *count)
{
    const NUMBER zero = {0};
    NUMBER calcium = b->calcium;    /* where its own search begins next */
    NUMBER moved = zero + INFINITY; /* since the slopes were worked out */
    MARKS searching = ~(MARKS){0};
    MARKS settled = {0};
    ANSWER a;
    memset(&a, 0, sizeof a);
    *count = zero;
    for (int i = 0; i < BOTH_STEPS_MOST && IS_ANY(searching); i++) {
        b->calcium = calcium;
        OF(find_balance)(constants, totals, u, ionic_strength, b);
        const MARKS stale = IS_MORE(moved, close->same_slopes + zero) & searching;
        if (IS_ANY(stale)) {
            OF(renew_answer)(b, &stale, &a);
            moved = CHOOSE(stale, zero, moved);
        }
        const NUMBER gap = b->ionic_strength - *ionic_strength;
        NUMBER step, change;
        OF(take_answer)(&a, &b->charge, &gap, &step, &change);
        searching &= IS_SAME(step * 0.0, zero) & IS_SAME(change * 0.0, zero); /* finite */
        const NUMBER foretold = b->calcium + (a.by_u.calcium * step + a.by_g1.calcium * a.g1_slope * change);
        calcium = CHOOSE(searching, foretold, calcium);
        const NUMBER share = SIZE(change) / *ionic_strength;
        const NUMBER size = LARGER(SIZE(step), share);
        const NUMBER next_u = *u + SMALLER(LARGER(step, zero - 2.0), zero + 2.0);
        const NUMBER next = SMALLER(LARGER(*ionic_strength + change, 0.2 * *ionic_strength), 5.0 * *ionic_strength);
        *u = CHOOSE(searching, next_u, *u);
        *ionic_strength = CHOOSE(searching, next, *ionic_strength);
        moved += size;
        *count = CHOOSE(searching, *count + 1.0, *count);
        const MARKS ends = IS_LESS(size * moved, close->left + zero) & searching;
        settled |= ends;
        searching &= ~ends;
    }
    b->calcium = calcium;
    OF(find_balance)(constants, totals, u, ionic_strength, b);
    *found = settled & IS_MORE(*u, zero + U_LOW) & IS_LESS(*u, zero + U_HIGH);
}

/* What is told of a balance, in the order of struct speciation. */
ON static inline void OF(tell_balance)(const CONSTANTS *constants, const BALANCE *b, const NUMBER *u,
                                       const NUMBER *ionic_strength, NUMBER told[TOLD_COUNT])
{
    const NUMBER g1 = b->g1;
    const NUMBER g2 = g1 * g1 * g1 * g1;
    const NUMBER active_hydroxide = g1 * b->hydroxide;
    const LIGAND *carbon = &b->ligands[CARBON];
    for (int i = 0; i < 2; i++) { /* with their calcium complexes */
        const LIGAND *hexose = &b->ligands[FRUCTOSE + i];
        told[(i == 0 ? TOLD(fructose_anion) : TOLD(glucose_anion))] =
            1e3 * hexose->neutral * (hexose->a1 + b->calcium * hexose->p1);
    }
    told[TOLD(ph)] = -*u / LN10;
    told[TOLD(hydroxide)] = 1e3 * b->hydroxide;
    told[TOLD(ionic_strength)] = *ionic_strength;
    told[TOLD(calcium_free)] = 1e3 * b->calcium;
    told[TOLD(calcium_hydroxide_pair)] = 1e3 * b->calcium * b->calcium_hydroxide;
    told[TOLD(carbonate)] = 1e3 * (carbon->neutral * carbon->a2);
    told[TOLD(carbon_dioxide)] = 1e3 * carbon->neutral;
    told[TOLD(leuco_acid)] = b->leuco_share;
    told[TOLD(leuco_mono)] = b->leuco_share * b->leuco_ratio1;
    told[TOLD(leuco_di)] = b->leuco_share * b->leuco_ratio2;
    told[TOLD(lime_saturation)] = g2 * b->calcium * active_hydroxide * active_hydroxide / K(ksp_lime);
    told[TOLD(calcite_product)] = 1e6 * K(ksp_calcite) / (g2 * g2);
}

#undef LIGAND
#undef BALANCE
#undef SLOPES
#undef ANSWER
#undef K
#undef TOTAL
