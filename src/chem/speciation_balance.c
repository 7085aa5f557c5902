/* speciation_balance.c: see speciation_balance.h. */
#include "chem/speciation_balance.h"

#include "chem/activity.h"

#include <math.h>

#define CALCIUM_CLOSE 1e-9 /* relative step in free calcium after which round-off is left */

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
        if (fabs(step) <= CALCIUM_CLOSE * calcium) {
            break;
        }
    }
    return calcium;
}

void balance_at(const struct speciation_constants *k, const struct liquor_totals *totals, double u,
                double ionic_strength, struct balance *b)
{
    b->log_g1 = LN10 * davies_log_gamma_slope(k->debye_huckel_A, ionic_strength, &b->g1_slope);
    b->g1_slope *= LN10;
    b->g1 = exp(b->log_g1);
    double g1 = b->g1;
    double g2 = g1 * g1 * g1 * g1;
    double h = exp(u);
    double per_h = 1.0 / (h * g1); /* of singly and doubly charged anions */
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
        l->charge = b->calcium * l->p1 - l->a1 - 2.0 * l->a2;
        l->strength = b->calcium * l->p1 + l->a1 + 4.0 * l->a2;
        charge += l->neutral * l->charge;
        strength += l->neutral * l->strength;
    }

    const double leuco = totals->leuco * 1e-3;
    const double r1 = k->leuco1 * per_h;
    const double r2 = k->leuco1 * k->leuco2 * per_h2;
    const double leuco_share = 1.0 / (1.0 + r1 + r2);
    b->leuco_share = leuco_share;
    b->leuco_ratio1 = r1;
    b->leuco_ratio2 = r2;
    b->leuco_charge = leuco_share * (r1 + 2.0 * r2);
    b->leuco_strength = leuco_share * (r1 + 4.0 * r2);
    b->leuco1 = leuco * leuco_share * r1;
    b->leuco2 = leuco * leuco_share * r2;
    b->acid_anion_share = k->acid / (k->acid + h * g1);
    b->acid_anion = totals->acid * 1e-3 * b->acid_anion_share;
    b->charge = charge - b->leuco1 - 2.0 * b->leuco2 - b->acid_anion + (totals->alkali - totals->strong_anion) * 1e-3;
    b->ionic_strength =
        0.5 * (strength + b->leuco1 + 4.0 * b->leuco2 + b->acid_anion + (totals->alkali + totals->strong_anion) * 1e-3);
}

struct slopes slopes_by_calcium(const struct balance *b)
{
    double charge = 2.0 + b->calcium_hydroxide;
    double strength = 4.0 + b->calcium_hydroxide;
    double calcium = 1.0 + b->calcium_hydroxide;
    for (int i = 0; i < LIGAND_COUNT; i++) {
        const struct ligand *l = &b->ligands[i];
        double p = l->p1 + l->p2;
        double fall = p * l->neutral_share;
        charge += l->neutral * (l->p1 - fall * l->charge);
        strength += l->neutral * (l->p1 - fall * l->strength);
        calcium += l->neutral * p * (1.0 - b->calcium * fall);
    }
    return (struct slopes){charge, 0.5 * strength, calcium};
}

struct slopes balance_slopes(const struct balance *b, const struct slopes *by_calcium, const struct direction *d)
{
    double hydrogen_d = b->hydrogen * d->hydrogen;
    double hydroxide_d = b->hydroxide * d->hydroxide;
    double pair_d = b->calcium_hydroxide * b->calcium * d->calcium_hydroxide;
    double charge = hydrogen_d - hydroxide_d + pair_d;
    double strength = hydrogen_d + hydroxide_d + pair_d;
    double calcium = pair_d;
    for (int i = 0; i < LIGAND_COUNT; i++) {
        const struct ligand *l = &b->ligands[i];
        const struct ratios *r = &d->ligands[i];
        double first_d = l->a1 * r->first;
        double second_d = l->a2 * r->second;
        double complexed_d = b->calcium * l->p1 * r->first_calcium;
        double bound_d = complexed_d + b->calcium * l->p2 * r->second_calcium;
        double fall = (first_d + second_d + bound_d) * l->neutral_share;
        charge += l->neutral * (complexed_d - first_d - 2.0 * second_d - fall * l->charge);
        strength += l->neutral * (complexed_d + first_d + 4.0 * second_d - fall * l->strength);
        calcium += l->neutral * (bound_d - fall * b->calcium * (l->p1 + l->p2));
    }
    double first_d = b->leuco1 * d->leuco.first;
    double second_d = b->leuco2 * d->leuco.second;
    double leuco_d = first_d + second_d;
    charge -= first_d + 2.0 * second_d - leuco_d * b->leuco_charge;
    strength += first_d + 4.0 * second_d - leuco_d * b->leuco_strength;
    double anion_d = -b->acid_anion * (1.0 - b->acid_anion_share) * d->acid;
    charge -= anion_d;
    strength += anion_d;
    double calcium_d = -calcium / by_calcium->calcium;
    return (struct slopes){charge + calcium_d * by_calcium->charge, 0.5 * strength + calcium_d * by_calcium->strength,
                           calcium_d};
}

struct answer answer_at(const struct balance *b)
{
    const struct slopes by_calcium = slopes_by_calcium(b);
    struct answer a = {.by_calcium = by_calcium,
                       .by_u = balance_slopes(b, &by_calcium, &along_u),
                       .by_g1 = balance_slopes(b, &by_calcium, &along_g1),
                       .g1_slope = b->g1_slope};
    a.charge_i = a.by_g1.charge * b->g1_slope;
    a.strength_i = a.by_g1.strength * b->g1_slope - 1.0;
    a.per_determinant = 1.0 / (a.by_u.charge * a.strength_i - a.charge_i * a.by_u.strength);
    return a;
}
