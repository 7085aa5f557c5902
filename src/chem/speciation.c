/* speciation.c: see speciation.h. The balance that is solved is in speciation_balance.c. */
#include "chem/speciation.h"

#include "chem/activity.h"
#include "chem/carbonate.h"
#include "chem/lime.h"
#include "chem/speciation_balance.h"
#include "chem/water.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

#define FIRST_STRENGTH 0.05 /* mol/L, where the search begins */

#include "base/number_one.h"
#define STRUCT(tag) tag
#define OF(name) name
#define ON
#define CONSTANTS struct speciation_constants
#define TOTALS struct liquor_totals
#include "chem/balance_numbers.h"

static const struct closeness to_round_off = {1e-16, 0.0};
static const struct closeness from_near = CLOSE_FROM_NEAR;

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
        const double strength = FIRST_STRENGTH;
        struct slopes by_calcium, slopes;
        find_balance(constants, totals, u, &strength, balance);
        find_slopes_by_calcium(balance, &by_calcium);
        find_slopes(balance, &by_calcium, &along_u, &slopes);
        if (balance->charge > 0.0) {
            high = *u;
        } else {
            low = *u;
        }
        double next = *u - balance->charge / slopes.charge;
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

/* How many steps Newton takes in both unknowns to an answer, which is told; -1 when there is none in the range. */
static int both_unknowns(const struct speciation_constants *constants, const struct liquor_totals *totals,
                         const struct closeness *close, double u, double strength, struct balance *b,
                         struct speciation *result)
{
    double told[TOLD_COUNT];
    double count;
    int found;
    find_both(constants, totals, close, &u, &strength, b, &found, &count);
    if (found == 0) {
        return -1;
    }
    tell_balance(constants, b, &u, &strength, told);
    memcpy(result, told, sizeof told);
    return (int)count;
}

int speciate(const struct speciation_constants *constants, const struct liquor_totals *totals,
             struct speciation *result)
{
    struct balance b = {.calcium = 0.0};
    double u = -11.0 * LN10;
    int count = first_pass(constants, totals, &u, &b);
    int more = isfinite(b.charge) ? both_unknowns(constants, totals, &to_round_off, u, FIRST_STRENGTH, &b, result) : -1;
    if (more < 0) {
        return -1;
    }
    result->iterations = count + more;
    return 0;
}

int speciate_near(const struct speciation_constants *constants, const struct liquor_totals *totals,
                  const struct speciation *near, struct speciation *result)
{
    struct balance b;
    b.calcium = 1e-3 * near->calcium_free;
    int count = both_unknowns(constants, totals, &from_near, -near->ph * LN10, near->ionic_strength, &b, result);
    if (count < 0) {
        return -1;
    }
    result->iterations = count;
    return 0;
}
