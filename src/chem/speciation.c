/* speciation.c: see speciation.h. The balance that is solved is in speciation_balance.c. */
#include "chem/speciation.h"

#include "chem/activity.h"
#include "chem/carbonate.h"
#include "chem/lime.h"
#include "chem/speciation_balance.h"
#include "chem/water.h"

#include <math.h>
#include <stdbool.h>

#define U_LOW (-SPECIATION_PH_MOST * LN10)
#define U_HIGH 0.0
#define FIRST_STRENGTH 0.05 /* mol/L, where the search begins */

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
        .acid = power_of_ten(-parameters->acid_pk),
    };
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
        struct slopes by_calcium = slopes_by_calcium(balance);
        double slope = balance_slopes(balance, &by_calcium, &along_u).charge;
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

/* How close a search comes: what a step in u and, relative, in ionic strength leaves goes as itself times all since the slopes were
 * worked out. From nearby the slopes serve again where the unknowns have hardly moved. */
struct closeness {
    double left, same_slopes;
};
static const struct closeness to_round_off = {1e-16, 0.0};
static const struct closeness from_near = {1e-10, 1e-3};

/* Newton in both unknowns until no more is left. */
static int both_unknowns(const struct speciation_constants *constants, const struct liquor_totals *totals,
                         const struct closeness *close, double *u, double *strength, struct balance *b)
{
    struct answer a = {.g1_slope = 0.0};
    double moved = INFINITY; /* since the slopes were worked out */
    int count = 0;
    bool settled = false;
    for (; count < 60 && !settled; count++) {
        balance_at(constants, totals, *u, *strength, b);
        if (moved > close->same_slopes) {
            a = answer_at(b);
            moved = 0.0;
        }
        const double gap = b->ionic_strength - *strength;
        const double step = answer_u(&a, b->charge, gap);
        const double change = answer_strength(&a, b->charge, gap);
        if (!isfinite(step) || !isfinite(change)) {
            return -1;
        }
        /* where its own search begins next */
        b->calcium += a.by_u.calcium * step + a.by_g1.calcium * a.g1_slope * change;
        const double size = fmax(fabs(step), fabs(change) / *strength);
        *u += fmin(fmax(step, -2.0), 2.0);
        *strength = fmin(fmax(*strength + change, 0.2 * *strength), 5.0 * *strength);
        moved += size;
        settled = size * moved < close->left;
    }
    balance_at(constants, totals, *u, *strength, b);
    return settled && *u > U_LOW && *u < U_HIGH ? count : -1;
}

static void tell(const struct speciation_constants *constants, const struct balance *b, double u, double strength,
                 struct speciation *result)
{
    const double g1 = b->g1;
    const double g2 = g1 * g1 * g1 * g1;
    const double active_hydroxide = g1 * b->hydroxide;
    const struct ligand *carbon = &b->ligands[CARBON];
    double anions[2]; /* with their calcium complexes */
    for (int i = 0; i < 2; i++) {
        const struct ligand *hexose = &b->ligands[FRUCTOSE + i];
        anions[i] = 1e3 * hexose->neutral * (hexose->a1 + b->calcium * hexose->p1);
    }
    result->ph = -u / LN10;
    result->hydroxide = 1e3 * b->hydroxide;
    result->ionic_strength = strength;
    result->calcium_free = 1e3 * b->calcium;
    result->calcium_hydroxide_pair = 1e3 * b->calcium * b->calcium_hydroxide;
    result->carbonate = 1e3 * (carbon->neutral * carbon->a2);
    result->carbon_dioxide = 1e3 * carbon->neutral;
    result->leuco_acid = b->leuco_share;
    result->leuco_mono = b->leuco_share * b->leuco_ratio1;
    result->leuco_di = b->leuco_share * b->leuco_ratio2;
    result->fructose_anion = anions[0];
    result->glucose_anion = anions[1];
    result->lime_saturation = g2 * b->calcium * active_hydroxide * active_hydroxide / constants->ksp_lime;
    result->calcite_product = 1e6 * constants->ksp_calcite / (g2 * g2);
}

int speciate(const struct speciation_constants *constants, const struct liquor_totals *totals,
             struct speciation *result)
{
    struct balance b = {.calcium = 0.0};
    double u = -11.0 * LN10;
    double strength = FIRST_STRENGTH;
    int count = first_pass(constants, totals, &u, &b);
    int more = isfinite(b.charge) ? both_unknowns(constants, totals, &to_round_off, &u, &strength, &b) : -1;
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
    struct balance b;
    b.calcium = 1e-3 * near->calcium_free;
    double u = -near->ph * LN10;
    double strength = near->ionic_strength;
    int count = both_unknowns(constants, totals, &from_near, &u, &strength, &b);
    if (count < 0) {
        return -1;
    }
    tell(constants, &b, u, strength, result);
    result->iterations = count;
    return 0;
}
