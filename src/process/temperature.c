/* temperature.c: see temperature.h. */
#include "process/temperature.h"

#include "chem/lime.h"
#include "chem/oxygen.h"
#include "chem/physics.h"
#include "chem/settling.h"
#include "chem/water.h"
#include "process/liquor.h"
#include "process/prepare.h"

#include <math.h>
#include <string.h>

#define SLOPE_STEP_K 0.01

/* Life has edges far narrower than the steps of a table. */
static void life_at(struct temperature_factors *at, const struct settings *settings)
{
    if (!settings->lifeless) {
        fermentation_factors_at(at, settings->constants);
    } else {
        at->cell_growth = at->spoiler_growth = at->cell_loss = at->feeding = 0.0;
    }
}

/* Arrhenius factor relative to a reference temperature. */
static double arrhenius(double activation, double temperature_K, double reference_K)
{
    return exp(-activation / GAS_CONSTANT * (1.0 / temperature_K - 1.0 / reference_K));
}

void temperature_factors_at(struct temperature_factors *at, const struct settings *settings, double temperature_K)
{
    const double *k = settings->constants;
    struct speciation_parameters parameters = {
        .leuco_pk1 = k[K_LEUCO_PK1],
        .leuco_pk2 = k[K_LEUCO_PK2],
        .fructose_pk = k[K_FRUCTOSE_PK],
        .glucose_pk = k[K_GLUCOSE_PK],
        .hexose_pk_slope = k[K_HEXOSE_PK_SLOPE],
        .calcium_hexose_logk = k[K_CALCIUM_HEXOSE_LOGK],
        .acid_pk = k[K_ACID_PK],
    };
    at->temperature_K = temperature_K;
    at->pressure_atm = settings->pressure_atm;
    speciation_constants_at(&parameters, temperature_K, &at->equilibria);
    at->density = water_density(temperature_K);
    at->reduction = k[K_REDUCTION_RATE_65C] * arrhenius(k[K_REDUCTION_ACTIVATION], temperature_K, 338.15);
    at->enolisation = k[K_ENOLISATION_RATE_25C] * arrhenius(k[K_ENOLISATION_ACTIVATION], temperature_K, 298.15);
    at->reductone_decay =
        k[K_REDUCTONE_DECAY_RATE_25C] * arrhenius(k[K_REDUCTONE_DECAY_ACTIVATION], temperature_K, 298.15);
    at->reserve_decay = k[K_RESERVE_DECAY_RATE_25C] * arrhenius(k[K_RESERVE_DECAY_ACTIVATION], temperature_K, 298.15);
    at->destruction =
        k[K_INDIGO_DESTRUCTION_RATE_30C] * arrhenius(k[K_INDIGO_DESTRUCTION_ACTIVATION], temperature_K, 303.15);
    at->transfer = transfer_at_temperature(1.0, temperature_K);
    at->oxygen_saturation = oxygen_saturation(temperature_K, settings->pressure_atm);
    at->oxygen_diffusivity = oxygen_diffusivity(temperature_K);
    at->settle_indigo = stokes_velocity(k[K_INDIGO_FLOC_DIAMETER], k[K_INDIGO_DENSITY], temperature_K);
    at->settle_lime = stokes_velocity(k[K_LIME_FLOC_DIAMETER], LIME_DENSITY, temperature_K);
    at->settle_chalk = stokes_velocity(k[K_CHALK_FLOC_DIAMETER], CALCITE_DENSITY, temperature_K);
    at->latent_heat = water_latent_heat(temperature_K);
    at->vapour_pressure = water_vapour_pressure(temperature_K);
    at->carbon_dioxide = carbon_dioxide_water_at(temperature_K);
    at->leuco_to_oxygen = k[K_LEUCO_DIFFUSIVITY_25C] / oxygen_diffusivity(298.15);
    at->uptake_rate = pow(k[K_UPTAKE_RATE_PER_10K], (temperature_K - 303.15) / 10.0);
    at->uptake_equilibrium = pow(k[K_UPTAKE_EQUILIBRIUM_PER_10K], (temperature_K - 301.15) / 10.0);
    life_at(at, settings);
}

#define FACTOR_COUNT (sizeof(struct temperature_factors) / sizeof(double))
_Static_assert(sizeof(struct temperature_factors) == FACTOR_COUNT * sizeof(double),
               "the factors are numbers, and no more");

void temperature_table_empty(struct temperature_table *table)
{
    memset(table->known, 0, sizeof table->known);
}

/* By central differences, per so many kelvin. */
static void slopes_by_differences(const struct settings *settings, double temperature_K, double per,
                                  struct temperature_factors *slopes)
{
    union temperature_node above, below;
    temperature_factors_at(&above.factors, settings, temperature_K + SLOPE_STEP_K);
    temperature_factors_at(&below.factors, settings, temperature_K - SLOPE_STEP_K);
    for (size_t i = 0; i < FACTOR_COUNT; i++) {
        ((union temperature_node *)slopes)->values[i] =
            (above.values[i] - below.values[i]) * (per / (2.0 * SLOPE_STEP_K));
    }
}

static void find_node(struct temperature_table *table, int node, const struct settings *settings)
{
    const double temperature_K = TEMPERATURE_TABLE_FIRST_K + TEMPERATURE_TABLE_STEP_K * node;
    temperature_factors_at(&table->value[node].factors, settings, temperature_K);
    slopes_by_differences(settings, temperature_K, TEMPERATURE_TABLE_STEP_K,
                          &table->slope[node].factors); /* per step of the table */
    table->known[node] = true;
    table->kind = lanes_best();
}

/* Between which nodes a temperature lies, and how far from the lower one, in steps. Returns false where the table does not reach. */
static inline bool find_place(struct temperature_table *table, const struct settings *settings, double temperature_K,
                              int *node, double *s)
{
    const double place = (temperature_K - TEMPERATURE_TABLE_FIRST_K) / TEMPERATURE_TABLE_STEP_K;
    if (!(place >= 0.0 && place < TEMPERATURE_TABLE_NODES - 1)) {
        return false;
    }
    if (table->pressure_atm < settings->pressure_atm || table->pressure_atm > settings->pressure_atm) {
        temperature_table_empty(table);
        table->pressure_atm = settings->pressure_atm;
    }
    *node = (int)place;
    for (int i = *node; i < *node + 2; i++) {
        if (!table->known[i]) {
            find_node(table, i, settings);
        }
    }
    *s = place - *node;
    return true;
}

/* The sum of two nodes' values and slopes, each with its weight: the same on every processor, sooner on some. */
#define BLEND(name, attributes)                                                                                        \
    attributes static void name(const struct temperature_table *table, int node, const double weights[4],              \
                                struct temperature_factors *out)                                                       \
    {                                                                                                                  \
        double *restrict values = ((union temperature_node *)out)->values;                                             \
        const double *restrict from_low = table->value[node].values;                                                   \
        const double *restrict from_high = table->value[node + 1].values;                                              \
        const double *restrict slope_low = table->slope[node].values;                                                  \
        const double *restrict slope_high = table->slope[node + 1].values;                                             \
        for (size_t i = 0; i < FACTOR_COUNT; i++) {                                                                    \
            values[i] = weights[0] * from_low[i] + weights[1] * from_high[i] + weights[2] * slope_low[i] +             \
                        weights[3] * slope_high[i];                                                                    \
        }                                                                                                              \
    }
BLEND(blend_plainly, )
#ifdef LANES_ON_WIDE
BLEND(blend_widely, LANES_ON_WIDE)
#endif

static void blend(const struct temperature_table *table, int node, const double weights[4],
                  struct temperature_factors *out)
{
#ifdef LANES_ON_WIDE
    if (table->kind >= LANES_WIDE) {
        blend_widely(table, node, weights, out);
        return;
    }
#endif
    blend_plainly(table, node, weights, out);
}

void temperature_table_read(struct temperature_table *table, struct temperature_factors *at,
                            const struct settings *settings, double temperature_K)
{
    int node;
    double s;
    if (!find_place(table, settings, temperature_K, &node, &s)) {
        temperature_factors_at(at, settings, temperature_K);
        return;
    }
    const double r = 1.0 - s;
    const double weights[4] = {r * r * (1.0 + 2.0 * s), s * s * (3.0 - 2.0 * s), s * r * r, -s * s * r};
    blend(table, node, weights, at);
    at->temperature_K = at->equilibria.temperature_K = temperature_K;
    at->pressure_atm = settings->pressure_atm;
    life_at(at, settings);
}

void temperature_table_slopes(struct temperature_table *table, const struct temperature_factors *at,
                              const struct settings *settings, struct temperature_factors *by_K)
{
    int node;
    double s;
    if (find_place(table, settings, at->temperature_K, &node, &s)) {
        const double r = 1.0 - s;
        const double per_K = 1.0 / TEMPERATURE_TABLE_STEP_K;
        const double weights[4] = {-6.0 * s * r * per_K, 6.0 * s * r * per_K, r * (1.0 - 3.0 * s) * per_K,
                                   -s * (2.0 - 3.0 * s) * per_K};
        blend(table, node, weights, by_K);
    } else {
        slopes_by_differences(settings, at->temperature_K, 1.0, by_K);
    }
    if (!settings->lifeless) {
        fermentation_factor_slopes(at, settings->constants, by_K);
    } else {
        by_K->cell_growth = by_K->spoiler_growth = by_K->cell_loss = by_K->feeding = 0.0;
    }
}
