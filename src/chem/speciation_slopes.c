/* speciation_slopes.c: how the equilibria move with their totals and the temperature: speciation_slopes of speciation.h. */
#include "chem/activity.h"
#include "chem/speciation_balance.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#include "base/number_one.h"
#define STRUCT(tag) tag
#define OF(name) name
#define ON
#define CONSTANTS struct speciation_constants
#define TOTALS struct liquor_totals
#include "chem/balance_numbers.h"

union told {
    struct speciation as;
    double values[TOLD_COUNT];
};

/* How what is told moves along a direction while free calcium stays. */
static union told tell_along(const struct balance *b, const struct speciation *at, const struct direction *d)
{
    double fall[LIGAND_COUNT]; /* of the logarithm of the neutral form */
    for (int i = 0; i < LIGAND_COUNT; i++) {
        const struct ligand *l = &b->ligands[i];
        const struct ratios *r = &d->ligands[i];
        fall[i] = l->neutral_share * (l->a1 * r->first + l->a2 * r->second +
                                      b->calcium * (l->p1 * r->first_calcium + l->p2 * r->second_calcium));
    }
    double anions[2];
    for (int i = 0; i < 2; i++) {
        const struct ligand *l = &b->ligands[FRUCTOSE + i];
        const struct ratios *r = &d->ligands[FRUCTOSE + i];
        double complexed = b->calcium * l->p1;
        anions[i] =
            l->neutral * (l->a1 * r->first + complexed * r->first_calcium - fall[FRUCTOSE + i] * (l->a1 + complexed));
    }
    double leuco = at->leuco_mono * d->leuco.first + at->leuco_di * d->leuco.second;
    return (union told){
        .as = {
            .hydroxide = at->hydroxide * d->hydroxide,
            .calcium_hydroxide_pair = at->calcium_hydroxide_pair * d->calcium_hydroxide,
            .carbonate = at->carbonate * (d->ligands[CARBON].second - fall[CARBON]),
            .carbon_dioxide = -at->carbon_dioxide * fall[CARBON],
            .leuco_acid = -at->leuco_acid * leuco,
            .leuco_mono = at->leuco_mono * (d->leuco.first - leuco),
            .leuco_di = at->leuco_di * (d->leuco.second - leuco),
            .fructose_anion = 1e3 * anions[0],
            .glucose_anion = 1e3 * anions[1],
            .lime_saturation = at->lime_saturation * (6.0 * d->log_g1 + 2.0 * d->hydroxide - d->ksp_lime),
            .calcite_product = at->calcite_product * (d->ksp_calcite - 8.0 * d->log_g1),
        }};
}

/* The same with free calcium, per mol/m3, while all else stays. */
static union told tell_by_calcium(const struct speciation_constants *constants, const struct balance *b,
                                  const struct speciation *at)
{
    double fall[LIGAND_COUNT];
    double anions[2];
    for (int i = 0; i < LIGAND_COUNT; i++) {
        const struct ligand *l = &b->ligands[i];
        fall[i] = 1e-3 * l->neutral_share * (l->p1 + l->p2);
    }
    for (int i = 0; i < 2; i++) {
        const struct ligand *l = &b->ligands[FRUCTOSE + i];
        anions[i] = l->neutral * l->p1 - fall[FRUCTOSE + i] * 1e3 * l->neutral * (l->a1 + b->calcium * l->p1);
    }
    double active = b->g1 * b->g1 * b->g1 * b->hydroxide; /* of OH-, with the activity coefficient of Ca++ */
    return (union told){.as = {
                            .calcium_free = 1.0,
                            .calcium_hydroxide_pair = b->calcium_hydroxide,
                            .carbonate = -at->carbonate * fall[CARBON],
                            .carbon_dioxide = -at->carbon_dioxide * fall[CARBON],
                            .fructose_anion = anions[0],
                            .glucose_anion = anions[1],
                            .lime_saturation = 1e-3 * active * active / constants->ksp_lime,
                        }};
}

/* How the ratios move with the temperature while u and the activity coefficients stay. */
static struct direction along_temperature(const struct speciation_constants *k, const struct speciation_constants *by_K)
{
    const double kw = by_K->kw / k->kw;
    const double k1 = by_K->k1 / k->k1;
    const double k2 = k1 + by_K->k2 / k->k2;
    const double leuco1 = by_K->leuco1 / k->leuco1;
    const double fructose = by_K->fructose / k->fructose;
    const double glucose = by_K->glucose / k->glucose;
    const double calcium_hexose = by_K->calcium_hexose / k->calcium_hexose;
    return (struct direction){
        .hydroxide = kw,
        .calcium_hydroxide = kw + by_K->calcium_hydroxide / k->calcium_hydroxide,
        .acid = -by_K->acid / k->acid,
        .ligands = {[CARBON] = {.first = k1,
                                .second = k2,
                                .first_calcium = k1 + by_K->calcium_bicarbonate / k->calcium_bicarbonate,
                                .second_calcium = k2 + by_K->calcium_carbonate / k->calcium_carbonate},
                    [FRUCTOSE] = {.first = fructose, .first_calcium = fructose + calcium_hexose},
                    [GLUCOSE] = {.first = glucose, .first_calcium = glucose + calcium_hexose}},
        .leuco = {.first = leuco1, .second = leuco1 + by_K->leuco2 / k->leuco2},
        .ksp_lime = by_K->ksp_lime / k->ksp_lime,
        .ksp_calcite = by_K->ksp_calcite / k->ksp_calcite,
    };
}

static const struct ligand *ligand_of(const struct balance *b, enum liquor_total total)
{
    return &b->ligands[total == TOTAL_CARBON ? CARBON : total == TOTAL_FRUCTOSE ? FRUCTOSE : GLUCOSE];
}

/* The charge residual, the ionic strength and free calcium per unit of one total while u and the ionic strength stay. */
static struct slopes total_moves(const struct balance *b, enum liquor_total total, const struct slopes *by_calcium)
{
    struct slopes moved = {0.0, 0.0, 0.0};
    switch (total) {
    case TOTAL_CALCIUM:
        moved.calcium = 1.0 / by_calcium->calcium;
        break;
    case TOTAL_ALKALI:
    case TOTAL_STRONG_ANION:
        moved.charge = total == TOTAL_ALKALI ? 1.0 : -1.0;
        moved.strength = 0.5;
        break;
    case TOTAL_ACID:
        moved.charge = -b->acid_anion_share;
        moved.strength = 0.5 * b->acid_anion_share;
        break;
    case TOTAL_LEUCO:
        moved.charge = -b->leuco_charge;
        moved.strength = 0.5 * b->leuco_strength;
        break;
    case TOTAL_CARBON:
    case TOTAL_FRUCTOSE:
    case TOTAL_GLUCOSE: {
        const struct ligand *l = ligand_of(b, total);
        moved.calcium = -b->calcium * (l->p1 + l->p2) * l->neutral_share / by_calcium->calcium;
        moved.charge = l->charge * l->neutral_share;
        moved.strength = 0.5 * l->strength * l->neutral_share;
        break;
    }
    case TOTAL_COUNT:
        break;
    }
    moved.charge += moved.calcium * by_calcium->charge;
    moved.strength += moved.calcium * by_calcium->strength;
    return moved;
}

/* How the unknowns and free calcium (mol/m3) follow a move of the balance and of ln g1 by itself. */
struct followed {
    double u, strength, log_g1, calcium;
};

static struct followed follow(const struct answer *a, const struct slopes *moved, double log_g1)
{
    const double charge = moved->charge + a->by_g1.charge * log_g1;
    const double made = moved->strength + a->by_g1.strength * log_g1;
    struct followed f;
    take_answer(a, &charge, &made, &f.u, &f.strength);
    f.log_g1 = log_g1 + a->g1_slope * f.strength;
    f.calcium = 1e3 * (moved->calcium + a->by_u.calcium * f.u + a->by_g1.calcium * f.log_g1);
    return f;
}

/* What the anions of a total share of it by themselves. */
static void add_own(const struct balance *b, struct speciation_slopes *slopes)
{
    const struct ligand *carbon = ligand_of(b, TOTAL_CARBON);
    const struct ligand *fructose = ligand_of(b, TOTAL_FRUCTOSE);
    const struct ligand *glucose = ligand_of(b, TOTAL_GLUCOSE);
    slopes->by_total[TOLD(carbon_dioxide)][TOTAL_CARBON] += carbon->neutral_share;
    slopes->by_total[TOLD(carbonate)][TOTAL_CARBON] += carbon->neutral_share * carbon->a2;
    slopes->by_total[TOLD(fructose_anion)][TOTAL_FRUCTOSE] +=
        fructose->neutral_share * (fructose->a1 + b->calcium * fructose->p1);
    slopes->by_total[TOLD(glucose_anion)][TOTAL_GLUCOSE] +=
        glucose->neutral_share * (glucose->a1 + b->calcium * glucose->p1);
}

void speciation_slopes(const struct speciation_constants *constants, const struct speciation_constants *by_K,
                       const struct liquor_totals *totals, const struct speciation *at,
                       struct speciation_slopes *slopes)
{
    struct balance b;
    b.calcium = 1e-3 * at->calcium_free;
    const double unknown = -at->ph * LN10;
    struct answer answer;
    find_balance(constants, totals, &unknown, &at->ionic_strength, &b);
    find_answer(&b, &answer);
    const struct direction warmer = along_temperature(constants, by_K);
    union told by_u = tell_along(&b, at, &along_u);
    const union told by_g1 = tell_along(&b, at, &along_g1);
    const union told by_calcium = tell_by_calcium(constants, &b, at);
    const union told by_constants = tell_along(&b, at, &warmer);
    by_u.as.ph = -1.0 / LN10;

    double u[TOTAL_COUNT], log_g1[TOTAL_COUNT], calcium[TOTAL_COUNT];
    for (int i = 0; i < TOTAL_COUNT; i++) {
        const struct slopes moved = total_moves(&b, (enum liquor_total)i, &answer.by_calcium);
        const struct followed f = follow(&answer, &moved, 0.0);
        u[i] = 1e-3 * f.u; /* per mol/m3 */
        log_g1[i] = 1e-3 * f.log_g1;
        calcium[i] = 1e-3 * f.calcium;
        slopes->by_total[TOLD(ionic_strength)][i] = 1e-3 * f.strength;
    }
    struct slopes moved;
    find_slopes(&b, &answer.by_calcium, &warmer, &moved);
    const struct followed f = follow(&answer, &moved, b.log_g1 * by_K->debye_huckel_A / constants->debye_huckel_A);
    for (size_t m = 0; m < TOLD_COUNT; m++) {
        slopes->by_temperature[m] = by_constants.values[m] + f.u * by_u.values[m] + f.log_g1 * by_g1.values[m] +
                                    f.calcium * by_calcium.values[m];
        if (m != TOLD(ionic_strength)) {
            for (int i = 0; i < TOTAL_COUNT; i++) {
                slopes->by_total[m][i] =
                    u[i] * by_u.values[m] + log_g1[i] * by_g1.values[m] + calcium[i] * by_calcium.values[m];
            }
        }
    }
    slopes->by_temperature[TOLD(ionic_strength)] = f.strength;
    add_own(&b, slopes);
}
