/* speciation.c: see speciation.h. Inside, concentrations are mol/L of liquor and the unknown is u = ln of the activity of H+. */
#include "chem/speciation.h"

#include "chem/activity.h"
#include "chem/carbonate.h"
#include "chem/lime.h"
#include "chem/water.h"

#include <math.h>
#include <stdbool.h>

#define LN10 2.302585092994046
#define U_LOW (-SPECIATION_PH_MOST * LN10)
#define U_HIGH 0.0
#define FIRST_STRENGTH 0.05 /* mol/L, where the search begins */
#define CLOSE 1e-8           /* step in u and relative in ionic strength after which round-off is left */
#define CLOSE_FROM_NEAR 1e-6 /* after which 1e-12 is left */
#define ACID_PK 3.9 /* lactic 3.86, saccharinic and acetic acids near it; lumped */

static double power_of_ten(double exponent)
{
    return exp(LN10 * exponent);
}

void speciation_constants_at(const struct speciation_parameters *parameters, double temperature_K,
                             struct speciation_constants *constants)
{
    double shift = parameters->hexose_pk_slope * (temperature_K - 298.15);
    *constants = (struct speciation_constants){
        .temperature_K = temperature_K,
        .debye_huckel_A = debye_huckel_a(temperature_K),
        .kw = power_of_ten(-water_ion_pk(temperature_K)),
        .calcium_hydroxide = power_of_ten(calcium_hydroxide_pair_log_k(temperature_K)),
        .ksp_lime = power_of_ten(lime_log_ksp(temperature_K)),
        .ksp_calcite = power_of_ten(calcite_log_ksp(temperature_K)),
        .k1 = power_of_ten(carbonate_log_k1(temperature_K)),
        .k2 = power_of_ten(carbonate_log_k2(temperature_K)),
        .calcium_bicarbonate = power_of_ten(calcium_bicarbonate_pair_log_k(temperature_K)),
        .calcium_carbonate = power_of_ten(calcium_carbonate_pair_log_k(temperature_K)),
        .leuco1 = power_of_ten(-parameters->leuco_pk1),
        .leuco2 = power_of_ten(-parameters->leuco_pk2),
        .fructose = power_of_ten(-(parameters->fructose_pk + shift)),
        .glucose = power_of_ten(-(parameters->glucose_pk + shift)),
        .calcium_hexose = power_of_ten(parameters->calcium_hexose_logk),
        .acid = power_of_ten(-ACID_PK),
    };
}

/* A weak acid whose anions calcium ties up. Of the undissociated form `neutral`, singly charged anions stand at a1, doubly
 * charged at a2, and calcium complexes at p times free calcium. */
struct ligand {
    double total;
    double a1, a2;
    double p1, p2;  /* calcium complexes of the first and second anion, per mol/L free calcium */
    double neutral_share; /* of all forms */
    double neutral;       /* mol/L */
};

enum { CARBON, FRUCTOSE, GLUCOSE, LIGAND_COUNT };

struct balance {
    double hydrogen, hydroxide; /* mol/L */
    double calcium;             /* free */
    double calcium_hydroxide;   /* ratio of CaOH+ to Ca++ */
    struct ligand ligands[LIGAND_COUNT];
    double leuco, leuco_neutral, leuco1, leuco2; /* mol/L */
    double acid, acid_anion;    /* mol/L */
    double leuco_charge, leuco_strength, acid_anion_share; /* per mol/L of leuco and of acid */
    double charge;         /* residual, mol/L */
    double ionic_strength; /* of these concentrations */
    double g1, g1_slope;   /* activity coefficient of charge 1 and d ln g1 / d ionic strength */
};

/* How the ratios of the balance change with one unknown, as logarithmic derivatives. */
struct direction {
    double hydrogen, hydroxide, first, second; /* H+, OH-, singly and doubly charged anions over neutral form */
    double calcium_hydroxide, first_calcium, second_calcium, acid;
};

/* With u the activity of H+ moves; activity coefficients stay. */
static const struct direction along_u = {1.0, -1.0, -1.0, -2.0, -1.0, -1.0, -2.0, 1.0};
/* With the ionic strength they move: g2 = g1^4. Times d ln g1 / d I. */
static const struct direction along_strength = {-1.0, -1.0, -1.0, -4.0, 3.0, 3.0, 4.0, 1.0};

/* A value of free calcium below what balances it: as if all ligands were as ready to bind as where none is bound. */
static double calcium_least(const struct ligand ligands[LIGAND_COUNT], double b, double total)
{
    double most = 1.0 + b;
    for (int k = 0; k < LIGAND_COUNT; k++) {
        const struct ligand *ligand = &ligands[k];
        most += (ligand->p1 + ligand->p2) * ligand->total / (1.0 + ligand->a1 + ligand->a2);
    }
    return total / most;
}

/* Free calcium: Ca (1 + b + sum of complexes) = total. The left side is increasing and concave in Ca, so Newton from a
 * value below the root climbs to it without overshoot. */
static double calcium_free(const struct ligand ligands[LIGAND_COUNT], double b, double total, double guess)
{
    double calcium = guess > 0.0 && guess <= total ? guess : calcium_least(ligands, b, total);
    for (int i = 0; i < 30; i++) {
        double value = calcium * (1.0 + b) - total;
        double slope = 1.0 + b;
        for (int k = 0; k < LIGAND_COUNT; k++) {
            const struct ligand *ligand = &ligands[k];
            double p = ligand->p1 + ligand->p2;
            double free = 1.0 + ligand->a1 + ligand->a2;
            double share = 1.0 / (free + calcium * p);
            double bound = p * ligand->total * share;
            value += calcium * bound;
            slope += bound * free * share;
        }
        double step = -value / slope;
        if (step < -0.5 * calcium) { /* from above the root the first step may fall too far */
            step = calcium_least(ligands, b, total) - calcium;
        }
        calcium += step;
        if (fabs(step) <= 4e-16 * calcium) {
            break;
        }
    }
    return calcium;
}

/* All concentrations, the charge residual and the ionic strength they make, for the unknowns u and ionic strength. */
static void balance_at(const struct speciation_constants *k, const struct liquor_totals *totals, double u,
                       double ionic_strength, struct balance *b)
{
    double root = sqrt(ionic_strength);
    b->g1 = exp(LN10 * davies_log_gamma(k->debye_huckel_A, 1.0, ionic_strength));
    b->g1_slope = -LN10 * k->debye_huckel_A * (0.5 / (root * (1.0 + root) * (1.0 + root)) - 0.3);
    double g1 = b->g1;
    double g2 = g1 * g1 * g1 * g1;
    double h = exp(u);
    double per_h = 1.0 / (h * g1);       /* of singly and doubly charged anions */
    double per_h2 = per_h * per_h / (g1 * g1);
    b->hydrogen = h / g1;
    b->hydroxide = k->kw * per_h;
    b->calcium_hydroxide = k->calcium_hydroxide * g2 * b->hydroxide;

    struct ligand *carbon = &b->ligands[CARBON];
    carbon->total = totals->carbon * 1e-3;
    carbon->a1 = k->k1 * per_h;
    carbon->a2 = k->k1 * k->k2 * per_h2;
    carbon->p1 = k->calcium_bicarbonate * g2 * carbon->a1;
    carbon->p2 = k->calcium_carbonate * g2 * g2 * carbon->a2;
    const double hexose_total[2] = {totals->fructose * 1e-3, totals->glucose * 1e-3};
    const double hexose_constant[2] = {k->fructose, k->glucose};
    for (int i = 0; i < 2; i++) {
        struct ligand *hexose = &b->ligands[FRUCTOSE + i];
        hexose->total = hexose_total[i];
        hexose->a1 = hexose_constant[i] * per_h;
        hexose->a2 = 0.0;
        hexose->p1 = k->calcium_hexose * g2 * hexose->a1;
        hexose->p2 = 0.0;
    }
    b->calcium = calcium_free(b->ligands, b->calcium_hydroxide, totals->calcium * 1e-3, b->calcium);

    double calcium_pair = b->calcium_hydroxide * b->calcium;
    double charge = b->hydrogen - b->hydroxide + 2.0 * b->calcium + calcium_pair;
    double strength = b->hydrogen + b->hydroxide + 4.0 * b->calcium + calcium_pair;
    for (int i = 0; i < LIGAND_COUNT; i++) {
        struct ligand *l = &b->ligands[i];
        l->neutral_share = 1.0 / (1.0 + l->a1 + l->a2 + b->calcium * (l->p1 + l->p2));
        l->neutral = l->total * l->neutral_share;
        charge += l->neutral * (b->calcium * l->p1 - l->a1 - 2.0 * l->a2);
        strength += l->neutral * (b->calcium * l->p1 + l->a1 + 4.0 * l->a2);
    }

    b->leuco = totals->leuco * 1e-3;
    double r1 = k->leuco1 * per_h;
    double r2 = k->leuco1 * k->leuco2 * per_h2;
    double leuco_share = 1.0 / (1.0 + r1 + r2);
    b->leuco_neutral = b->leuco * leuco_share;
    b->leuco_charge = leuco_share * (r1 + 2.0 * r2);
    b->leuco_strength = leuco_share * (r1 + 4.0 * r2);
    b->leuco1 = b->leuco_neutral * r1;
    b->leuco2 = b->leuco_neutral * r2;
    b->acid = totals->acid * 1e-3;
    b->acid_anion_share = 1.0 / (1.0 + h * g1 / k->acid);
    b->acid_anion = b->acid * b->acid_anion_share;
    b->charge = charge - b->leuco1 - 2.0 * b->leuco2 - b->acid_anion + (totals->alkali - totals->strong_anion) * 1e-3;
    b->ionic_strength = 0.5 * (strength + b->leuco1 + 4.0 * b->leuco2 + b->acid_anion +
                               (totals->alkali + totals->strong_anion) * 1e-3);
}

struct slopes {
    double charge, strength, calcium;
};

/* Derivatives of the charge residual, of the ionic strength made and of free calcium, along one unknown. */
static struct slopes balance_slopes(const struct balance *b, const struct direction *d)
{
    /* of free calcium, from its own balance */
    double by_direction = b->calcium * b->calcium_hydroxide * d->calcium_hydroxide;
    double by_calcium = 1.0 + b->calcium_hydroxide;
    double sum_d[LIGAND_COUNT];
    for (int i = 0; i < LIGAND_COUNT; i++) {
        const struct ligand *l = &b->ligands[i];
        double p = l->p1 + l->p2;
        double p_d = l->p1 * d->first_calcium + l->p2 * d->second_calcium;
        sum_d[i] = l->a1 * d->first + l->a2 * d->second + b->calcium * p_d;
        by_direction += b->calcium * l->neutral * (p_d - p * sum_d[i] * l->neutral_share);
        by_calcium += l->neutral * p * (1.0 - b->calcium * p * l->neutral_share);
    }
    double calcium_d = -by_direction / by_calcium;

    double hydrogen_d = b->hydrogen * d->hydrogen;
    double hydroxide_d = b->hydroxide * d->hydroxide;
    double pair_d = b->calcium_hydroxide * (calcium_d + b->calcium * d->calcium_hydroxide);
    double charge = hydrogen_d - hydroxide_d + 2.0 * calcium_d + pair_d;
    double strength = hydrogen_d + hydroxide_d + 4.0 * calcium_d + pair_d;
    for (int i = 0; i < LIGAND_COUNT; i++) {
        const struct ligand *l = &b->ligands[i];
        double neutral_d = -l->neutral * (sum_d[i] + (l->p1 + l->p2) * calcium_d) * l->neutral_share;
        double complexed = b->calcium * l->p1;
        double complexed_d = calcium_d * l->p1 + complexed * d->first_calcium;
        double first_d = l->a1 * d->first;
        double second_d = l->a2 * d->second;
        charge += neutral_d * (complexed - l->a1 - 2.0 * l->a2) + l->neutral * (complexed_d - first_d - 2.0 * second_d);
        strength += neutral_d * (complexed + l->a1 + 4.0 * l->a2) + l->neutral * (complexed_d + first_d + 4.0 * second_d);
    }
    if (b->leuco > 0.0) {
        double neutral_d = -b->leuco_neutral * (b->leuco1 * d->first + b->leuco2 * d->second) / b->leuco;
        double scale = neutral_d / b->leuco_neutral;
        double first_d = b->leuco1 * (scale + d->first);
        double second_d = b->leuco2 * (scale + d->second);
        charge -= first_d + 2.0 * second_d;
        strength += first_d + 4.0 * second_d;
    }
    if (b->acid > 0.0) {
        double anion_d = -b->acid_anion * (b->acid - b->acid_anion) / b->acid * d->acid;
        charge -= anion_d;
        strength += anion_d;
    }
    return (struct slopes){charge, 0.5 * strength, calcium_d};
}

/* A first pH at a fixed ionic strength, by Newton inside a shrinking bracket. The residual rises with u. */
static int first_pass(const struct speciation_constants *constants, const struct liquor_totals *totals, double *u,
                      struct balance *balance)
{
    double low = U_LOW;
    double high = U_HIGH;
    int count = 0;
    for (; count < 80; count++) {
        balance_at(constants, totals, *u, FIRST_STRENGTH, balance);
        double slope = balance_slopes(balance, &along_u).charge;
        if (balance->charge > 0.0) {
            high = *u;
        } else {
            low = *u;
        }
        double next = *u - balance->charge / slope;
        if (!(next > low && next < high)) {
            next = 0.5 * (low + high);
        }
        double step = next - *u;
        *u = next;
        if (fabs(step) < 0.1) {
            break;
        }
    }
    return count;
}

/* Newton in both unknowns until a step is shorter than `close`; what it leaves goes as the square of that. */
static int both_unknowns(const struct speciation_constants *constants, const struct liquor_totals *totals, double close,
                         double *u, double *strength, struct balance *b)
{
    int count = 0;
    bool settled = false;
    for (; count < 60 && !settled; count++) {
        balance_at(constants, totals, *u, *strength, b);
        struct slopes by_u = balance_slopes(b, &along_u);
        struct slopes by_strength = balance_slopes(b, &along_strength);
        double charge_i = by_strength.charge * b->g1_slope;
        double strength_i = by_strength.strength * b->g1_slope - 1.0;
        double gap = b->ionic_strength - *strength;
        double determinant = by_u.charge * strength_i - charge_i * by_u.strength;
        double step = (-b->charge * strength_i + charge_i * gap) / determinant;
        double change = (-by_u.charge * gap + by_u.strength * b->charge) / determinant;
        if (!isfinite(step) || !isfinite(change)) {
            return -1;
        }
        b->calcium += by_u.calcium * step + by_strength.calcium * b->g1_slope * change; /* where its own search begins next */
        *u += fmin(fmax(step, -2.0), 2.0);
        *strength = fmin(fmax(*strength + change, 0.2 * *strength), 5.0 * *strength);
        settled = fabs(step) < close && fabs(change) < close * *strength;
    }
    balance_at(constants, totals, *u, *strength, b);
    return settled && *u > U_LOW && *u < U_HIGH ? count : -1;
}

static void tell(const struct speciation_constants *constants, const struct balance *balance, double u, double strength,
                 struct speciation *result)
{
    const struct balance b = *balance;
    double g1 = b.g1;
    double g2 = g1 * g1 * g1 * g1;
    const struct ligand *carbon = &b.ligands[CARBON];
    double active_hydroxide = g1 * b.hydroxide;
    double carbonate = carbon->neutral * carbon->a2;
    *result = (struct speciation){
        .ph = -u / LN10,
        .hydroxide = 1e3 * b.hydroxide,
        .ionic_strength = strength,
        .calcium_free = 1e3 * b.calcium,
        .calcium_hydroxide_pair = 1e3 * b.calcium * b.calcium_hydroxide,
        .carbonate = 1e3 * carbonate,
        .carbon_dioxide = 1e3 * carbon->neutral,
        .fructose_anion = 1e3 * b.ligands[FRUCTOSE].neutral * (b.ligands[FRUCTOSE].a1 + b.calcium * b.ligands[FRUCTOSE].p1),
        .glucose_anion = 1e3 * b.ligands[GLUCOSE].neutral * (b.ligands[GLUCOSE].a1 + b.calcium * b.ligands[GLUCOSE].p1),
        .lime_saturation = g2 * b.calcium * active_hydroxide * active_hydroxide / constants->ksp_lime,
        .calcite_product = 1e6 * constants->ksp_calcite / (g2 * g2),
    };
    if (b.leuco > 0.0) {
        result->leuco_acid = b.leuco_neutral / b.leuco;
        result->leuco_mono = b.leuco1 / b.leuco;
        result->leuco_di = b.leuco2 / b.leuco;
    } else {
        double h = exp(u);
        double r1 = constants->leuco1 / (h * g1);
        double r2 = constants->leuco1 * constants->leuco2 / (h * h * g2);
        result->leuco_acid = 1.0 / (1.0 + r1 + r2);
        result->leuco_mono = r1 * result->leuco_acid;
        result->leuco_di = r2 * result->leuco_acid;
    }
}

int speciate(const struct speciation_constants *constants, const struct liquor_totals *totals, struct speciation *result)
{
    struct balance b = {.calcium = 0.0};
    double u = -11.0 * LN10;
    double strength = FIRST_STRENGTH;
    int count = first_pass(constants, totals, &u, &b);
    int more = isfinite(b.charge) ? both_unknowns(constants, totals, CLOSE, &u, &strength, &b) : -1;
    if (more < 0) {
        return -1;
    }
    tell(constants, &b, u, strength, result);
    result->iterations = count + more;
    return 0;
}

int speciate_near(const struct speciation_constants *constants, const struct liquor_totals *totals,
                  const struct speciation *near, struct speciation *result)
{
    struct balance b = {.calcium = 1e-3 * near->calcium_free};
    double u = -near->ph * LN10;
    double strength = near->ionic_strength;
    int count = both_unknowns(constants, totals, CLOSE_FROM_NEAR, &u, &strength, &b);
    if (count < 0) {
        return -1;
    }
    tell(constants, &b, u, strength, result);
    result->iterations = count;
    return 0;
}

/* A change of the unknowns and the totals, mol/L. */
struct change {
    double u, log_g1, calcium;
    double ligands[LIGAND_COUNT];
};

/* What is told, along a change. */
static void tell_slopes(const struct speciation_constants *constants, const struct balance *b, const struct change *d,
                        double strength, const struct speciation *at, struct speciation *slope)
{
    const double first = -d->u - d->log_g1; /* of the logarithms of the ratios; see struct direction */
    const double second = -2.0 * d->u - 4.0 * d->log_g1;
    const double first_calcium = 3.0 * d->log_g1 - d->u;
    const double second_calcium = 4.0 * d->log_g1 - 2.0 * d->u;
    double neutral[LIGAND_COUNT];
    for (int i = 0; i < LIGAND_COUNT; i++) {
        const struct ligand *l = &b->ligands[i];
        double sum = l->a1 * first + l->a2 * second + d->calcium * (l->p1 + l->p2) +
                     b->calcium * (l->p1 * first_calcium + l->p2 * second_calcium);
        neutral[i] = (d->ligands[i] - l->neutral * sum) * l->neutral_share;
    }
    double anions[2];
    for (int i = 0; i < 2; i++) {
        const struct ligand *l = &b->ligands[FRUCTOSE + i];
        anions[i] = neutral[FRUCTOSE + i] * (l->a1 + b->calcium * l->p1) +
                    l->neutral * (l->a1 * first + d->calcium * l->p1 + b->calcium * l->p1 * first_calcium);
    }
    const struct ligand *carbon = &b->ligands[CARBON];
    double g2 = b->g1 * b->g1 * b->g1 * b->g1;
    double active = b->g1 * b->hydroxide;
    double carbonate = neutral[CARBON] * carbon->a2 + carbon->neutral * carbon->a2 * second;
    double acid = -at->leuco_acid * (at->leuco_mono * first + at->leuco_di * second);
    double fall = -(at->leuco_mono * first + at->leuco_di * second);
    *slope = (struct speciation){
        .ph = -1e-3 * d->u / LN10,
        .hydroxide = b->hydroxide * first,
        .ionic_strength = 1e-3 * strength,
        .calcium_free = d->calcium,
        .calcium_hydroxide_pair = b->calcium_hydroxide * (d->calcium + b->calcium * first_calcium),
        .carbonate = carbonate,
        .carbon_dioxide = neutral[CARBON],
        .leuco_acid = 1e-3 * acid,
        .leuco_mono = 1e-3 * at->leuco_mono * (first + fall),
        .leuco_di = 1e-3 * at->leuco_di * (second + fall),
        .fructose_anion = anions[0],
        .glucose_anion = anions[1],
        .lime_saturation = 1e-3 * (at->lime_saturation * (4.0 * d->log_g1 - 2.0 * d->u) +
                                   g2 * d->calcium * active * active / constants->ksp_lime),
        .calcite_product = -1e-3 * at->calcite_product * 8.0 * d->log_g1,
    };
}

/* Free calcium, the charge residual and the ionic strength per unit of one total while u and the ionic strength stay. */
static void total_moves(const struct balance *b, enum liquor_total total, double by_calcium, const double by_free[2],
                        struct change *d, double *charge, double *strength)
{
    *d = (struct change){0};
    *charge = *strength = 0.0;
    switch (total) {
    case TOTAL_CALCIUM:
        d->calcium = 1.0 / by_calcium;
        break;
    case TOTAL_ALKALI:
    case TOTAL_STRONG_ANION:
        *charge = total == TOTAL_ALKALI ? 1.0 : -1.0;
        *strength = 0.5;
        break;
    case TOTAL_ACID:
        *charge = -b->acid_anion_share;
        *strength = 0.5 * b->acid_anion_share;
        break;
    case TOTAL_LEUCO:
        *charge = -b->leuco_charge;
        *strength = 0.5 * b->leuco_strength;
        break;
    case TOTAL_CARBON:
    case TOTAL_FRUCTOSE:
    case TOTAL_GLUCOSE: {
        int i = total == TOTAL_CARBON ? CARBON : total == TOTAL_FRUCTOSE ? FRUCTOSE : GLUCOSE;
        const struct ligand *l = &b->ligands[i];
        d->ligands[i] = 1.0;
        d->calcium = -b->calcium * (l->p1 + l->p2) * l->neutral_share / by_calcium;
        *charge = (b->calcium * l->p1 - l->a1 - 2.0 * l->a2) * l->neutral_share;
        *strength = 0.5 * (b->calcium * l->p1 + l->a1 + 4.0 * l->a2) * l->neutral_share;
        break;
    }
    case TOTAL_COUNT:
        break;
    }
    *charge += d->calcium * by_free[0];
    *strength += d->calcium * by_free[1];
}

void speciation_slopes(const struct speciation_constants *constants, const struct liquor_totals *totals,
                       const struct speciation *at, struct speciation slopes[TOTAL_COUNT])
{
    struct balance b = {.calcium = 1e-3 * at->calcium_free};
    balance_at(constants, totals, -at->ph * LN10, at->ionic_strength, &b);
    struct slopes by_u = balance_slopes(&b, &along_u);
    struct slopes by_strength = balance_slopes(&b, &along_strength);
    double charge_i = by_strength.charge * b.g1_slope;
    double strength_i = by_strength.strength * b.g1_slope - 1.0;
    double determinant = by_u.charge * strength_i - charge_i * by_u.strength;
    /* by free calcium alone */
    double by_calcium = 1.0 + b.calcium_hydroxide;
    double by_free[2] = {2.0 + b.calcium_hydroxide, 4.0 + b.calcium_hydroxide};
    for (int i = 0; i < LIGAND_COUNT; i++) {
        const struct ligand *l = &b.ligands[i];
        double p = l->p1 + l->p2;
        by_calcium += l->neutral * p * (1.0 - b.calcium * p * l->neutral_share);
        by_free[0] += l->neutral * (l->p1 - p * (b.calcium * l->p1 - l->a1 - 2.0 * l->a2) * l->neutral_share);
        by_free[1] += l->neutral * (l->p1 - p * (b.calcium * l->p1 + l->a1 + 4.0 * l->a2) * l->neutral_share);
    }
    by_free[1] *= 0.5;
    for (int i = 0; i < TOTAL_COUNT; i++) {
        struct change d;
        double charge, strength;
        total_moves(&b, (enum liquor_total)i, by_calcium, by_free, &d, &charge, &strength);
        d.u = (-charge * strength_i + charge_i * strength) / determinant;
        double change = (-by_u.charge * strength + by_u.strength * charge) / determinant;
        d.log_g1 = b.g1_slope * change;
        d.calcium += by_u.calcium * d.u + by_strength.calcium * d.log_g1;
        tell_slopes(constants, &b, &d, change, at, &slopes[i]);
    }
}
