/* speciation.c: see speciation.h. Inside, concentrations are mol/L of liquor and the unknown is u = ln of the activity of H+. */
#include "chem/speciation.h"

#include "chem/activity.h"
#include "chem/carbonate.h"
#include "chem/lime.h"
#include "chem/water.h"

#include <math.h>

#define LN10 2.302585092994046
#define U_LOW (-14.5 * LN10)
#define U_HIGH 0.0
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
    double neutral; /* mol/L */
};

enum { CARBON, FRUCTOSE, GLUCOSE, LIGAND_COUNT };

struct balance {
    double hydrogen, hydroxide; /* mol/L */
    double calcium;             /* free */
    double calcium_hydroxide;   /* ratio of CaOH+ to Ca++ */
    struct ligand ligands[LIGAND_COUNT];
    double leuco_neutral, leuco1, leuco2; /* mol/L */
    double acid_anion;
    double charge, slope; /* residual, mol/L, and its derivative by u */
    double ionic_strength;
};

static double ligand_sum(const struct ligand *ligand, double calcium)
{
    return 1.0 + ligand->a1 + ligand->a2 + calcium * (ligand->p1 + ligand->p2);
}

/* Free calcium: Ca (1 + b + sum of complexes) = total. The left side is increasing and concave in Ca, so Newton from a
 * value below the root climbs to it without overshoot. */
static double calcium_free(const struct ligand ligands[LIGAND_COUNT], double b, double total)
{
    double most = 1.0 + b;
    for (int k = 0; k < LIGAND_COUNT; k++) {
        const struct ligand *ligand = &ligands[k];
        most += (ligand->p1 + ligand->p2) * ligand->total / (1.0 + ligand->a1 + ligand->a2);
    }
    double calcium = total / most;
    for (int i = 0; i < 30; i++) {
        double value = calcium * (1.0 + b) - total;
        double slope = 1.0 + b;
        for (int k = 0; k < LIGAND_COUNT; k++) {
            const struct ligand *ligand = &ligands[k];
            double p = ligand->p1 + ligand->p2;
            double sum = ligand_sum(ligand, calcium);
            value += calcium * p * ligand->total / sum;
            slope += p * ligand->total * (sum - calcium * p) / (sum * sum);
        }
        double step = -value / slope;
        calcium += step;
        if (fabs(step) <= 1e-15 * calcium) {
            break;
        }
    }
    return calcium;
}

/* Charge residual and its derivative at u for the activity coefficients of the given ionic strength. */
static void balance_at(const struct speciation_constants *k, const struct liquor_totals *totals, double u,
                       double ionic_strength, struct balance *b)
{
    double g1 = exp(LN10 * davies_log_gamma(k->debye_huckel_A, 1.0, ionic_strength));
    double g2 = g1 * g1 * g1 * g1;
    double h = exp(u);
    b->hydrogen = h / g1;
    b->hydroxide = k->kw / (h * g1);
    b->calcium_hydroxide = k->calcium_hydroxide * g2 * b->hydroxide;

    struct ligand *carbon = &b->ligands[CARBON];
    carbon->total = totals->carbon * 1e-3;
    carbon->a1 = k->k1 / (h * g1);
    carbon->a2 = k->k1 * k->k2 / (h * h * g2);
    carbon->p1 = k->calcium_bicarbonate * g2 * carbon->a1;
    carbon->p2 = k->calcium_carbonate * g2 * g2 * carbon->a2;
    const double hexose_total[2] = {totals->fructose * 1e-3, totals->glucose * 1e-3};
    const double hexose_constant[2] = {k->fructose, k->glucose};
    for (int i = 0; i < 2; i++) {
        struct ligand *hexose = &b->ligands[FRUCTOSE + i];
        hexose->total = hexose_total[i];
        hexose->a1 = hexose_constant[i] / (h * g1);
        hexose->a2 = 0.0;
        hexose->p1 = k->calcium_hexose * g2 * hexose->a1;
        hexose->p2 = 0.0;
    }
    b->calcium = calcium_free(b->ligands, b->calcium_hydroxide, totals->calcium * 1e-3);

    /* d(Ca)/du from the calcium balance */
    double by_u = -b->calcium * b->calcium_hydroxide;
    double by_calcium = 1.0 + b->calcium_hydroxide;
    for (int i = 0; i < LIGAND_COUNT; i++) {
        struct ligand *l = &b->ligands[i];
        double sum = ligand_sum(l, b->calcium);
        double p = l->p1 + l->p2;
        double p_u = -(l->p1 + 2.0 * l->p2);
        double sum_u = -(l->a1 + 2.0 * l->a2) + b->calcium * p_u;
        l->neutral = l->total / sum;
        by_u += b->calcium * l->total * (p_u * sum - p * sum_u) / (sum * sum);
        by_calcium += p * l->total * (sum - b->calcium * p) / (sum * sum);
    }
    double calcium_u = -by_u / by_calcium;

    double charge = b->hydrogen - b->hydroxide + (2.0 + b->calcium_hydroxide) * b->calcium;
    double slope = b->hydrogen + b->hydroxide + (2.0 + b->calcium_hydroxide) * calcium_u -
                   b->calcium_hydroxide * b->calcium;
    double strength = b->hydrogen + b->hydroxide + (4.0 + b->calcium_hydroxide) * b->calcium;
    for (int i = 0; i < LIGAND_COUNT; i++) {
        const struct ligand *l = &b->ligands[i];
        double sum = ligand_sum(l, b->calcium);
        double p = l->p1 + l->p2;
        double sum_u = -(l->a1 + 2.0 * l->a2) - b->calcium * (l->p1 + 2.0 * l->p2) + p * calcium_u;
        double neutral_u = -l->neutral * sum_u / sum;
        double signs = b->calcium * l->p1 - l->a1 - 2.0 * l->a2; /* charge carried per neutral form */
        double signs_u = calcium_u * l->p1 - b->calcium * l->p1 + l->a1 + 4.0 * l->a2;
        charge += l->neutral * signs;
        slope += neutral_u * signs + l->neutral * signs_u;
        strength += l->neutral * (b->calcium * l->p1 + l->a1 + 4.0 * l->a2);
    }

    double leuco = totals->leuco * 1e-3;
    double r1 = k->leuco1 / (h * g1);
    double r2 = k->leuco1 * k->leuco2 / (h * h * g2);
    double sum = 1.0 + r1 + r2;
    b->leuco_neutral = leuco / sum;
    b->leuco1 = b->leuco_neutral * r1;
    b->leuco2 = b->leuco_neutral * r2;
    double mean = (r1 + 2.0 * r2) / sum;
    charge -= leuco * mean;
    slope += leuco * ((r1 + 4.0 * r2) / sum - mean * mean);
    strength += b->leuco1 + 4.0 * b->leuco2;

    double acid = totals->acid * 1e-3;
    double ratio = h * g1 / k->acid;
    b->acid_anion = acid / (1.0 + ratio);
    charge -= b->acid_anion;
    slope += acid * ratio / ((1.0 + ratio) * (1.0 + ratio));
    strength += b->acid_anion;

    charge += (totals->alkali - totals->strong_anion) * 1e-3;
    strength += (totals->alkali + totals->strong_anion) * 1e-3;
    b->charge = charge;
    b->slope = slope;
    b->ionic_strength = 0.5 * strength;
}

/* A first pH at a fixed ionic strength, by Newton inside a shrinking bracket. The residual rises with u. */
static int first_pass(const struct speciation_constants *constants, const struct liquor_totals *totals, double *u,
                      struct balance *balance)
{
    double low = U_LOW;
    double high = U_HIGH;
    int count = 0;
    for (; count < 80; count++) {
        balance_at(constants, totals, *u, 0.05, balance);
        if (balance->charge > 0.0) {
            high = *u;
        } else {
            low = *u;
        }
        double next = *u - balance->charge / balance->slope;
        if (!(next > low && next < high)) {
            next = 0.5 * (low + high);
        }
        double step = next - *u;
        *u = next;
        if (fabs(step) < 1e-3) {
            break;
        }
    }
    return count;
}

int speciate(const struct speciation_constants *constants, const struct liquor_totals *totals, struct speciation *result)
{
    struct balance b;
    double u = -11.0 * LN10;
    int count = first_pass(constants, totals, &u, &b);
    if (!isfinite(b.charge) || !isfinite(b.slope)) {
        return -1;
    }

    /* Newton in u with the ionic strength following at each step: its error shrinks about tenfold a step. */
    double strength = b.ionic_strength;
    int settled = 0;
    for (int i = 0; i < 60 && settled < 2; i++, count++) {
        balance_at(constants, totals, u, strength, &b);
        double step = -b.charge / b.slope;
        double change = b.ionic_strength - strength;
        strength = b.ionic_strength;
        if (!isfinite(step)) {
            return -1;
        }
        u += fmin(fmax(step, -2.0), 2.0);
        settled = fabs(step) < 1e-13 * 30.0 && fabs(change) < 1e-14 + 1e-13 * strength ? settled + 1 : 0;
    }
    balance_at(constants, totals, u, strength, &b);
    if (!(u > U_LOW && u < U_HIGH)) {
        return -1;
    }

    double g1 = exp(LN10 * davies_log_gamma(constants->debye_huckel_A, 1.0, strength));
    double g2 = g1 * g1 * g1 * g1;
    const struct ligand *carbon = &b.ligands[CARBON];
    double leuco = totals->leuco * 1e-3;
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
        .calcite_saturation = g2 * g2 * b.calcium * carbonate / constants->ksp_calcite,
        .iterations = count,
    };
    if (leuco > 0.0) {
        result->leuco_acid = b.leuco_neutral / leuco;
        result->leuco_mono = b.leuco1 / leuco;
        result->leuco_di = b.leuco2 / leuco;
    } else {
        double h = exp(u);
        double r1 = constants->leuco1 / (h * g1);
        double r2 = constants->leuco1 * constants->leuco2 / (h * h * g2);
        result->leuco_acid = 1.0 / (1.0 + r1 + r2);
        result->leuco_mono = r1 * result->leuco_acid;
        result->leuco_di = r2 * result->leuco_acid;
    }
    return 0;
}
