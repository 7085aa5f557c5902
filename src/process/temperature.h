/* temperature.h: what only the liquor's temperature decides, worked out or read from a table. */
#ifndef VATCAST_PROCESS_TEMPERATURE_H
#define VATCAST_PROCESS_TEMPERATURE_H

#include "base/lanes.h"
#include "chem/carbonate.h"
#include "chem/speciation.h"

#include <stdbool.h>

struct settings; /* process/liquor.h */

/* Values that depend on temperature alone, kept with the temperature they belong to. */
struct temperature_factors {
    double temperature_K;
    struct speciation_constants equilibria;
    double density;
    double reduction, enolisation, reductone_decay, reserve_decay, destruction; /* rate constants at this temperature */
    double transfer;                                                            /* relative to 20 degC */
    double oxygen_saturation;                                                   /* mol/m3 */
    double oxygen_diffusivity;
    double settle_indigo, settle_lime, settle_chalk; /* m/s */
    double latent_heat, vapour_pressure;
    struct carbon_dioxide_water carbon_dioxide;
    double leuco_to_oxygen;                 /* diffusivity of leuco over that of oxygen, both at 25 degC */
    double uptake_rate, uptake_equilibrium; /* relative to 30 and 28 degC */
    double cell_growth, spoiler_growth;     /* share of the best growth, 0 to 1: see fermentation_rates.c */
    double cell_loss;                       /* 1/s, decay and death by heat */
    double feeding;                         /* of hydrolysis, relative to 30 degC */
    double pressure_atm;                    /* that oxygen_saturation belongs to */
};

/* Works them out. */
void temperature_factors_at(struct temperature_factors *at, const struct settings *settings, double temperature_K);

#define TEMPERATURE_TABLE_FIRST_K 272.0
#define TEMPERATURE_TABLE_STEP_K 0.5
#define TEMPERATURE_TABLE_NODES 201

union temperature_node {
    struct temperature_factors factors;
    double values[sizeof(struct temperature_factors) / sizeof(double)];
};

/* Factors and their slopes at evenly spaced temperatures, worked out when first asked for. Between them a cubic that meets both;
 * within 2e-7 of the factors (tests/process/test_temperature.c), and with slopes of its own that are as smooth. Belongs to one
 * set of constants: empty it when they change. */
struct temperature_table {
    enum lanes_kind kind; /* of the processor, once a node is known */
    double pressure_atm;  /* that the nodes belong to */
    bool known[TEMPERATURE_TABLE_NODES];
    union temperature_node value[TEMPERATURE_TABLE_NODES], slope[TEMPERATURE_TABLE_NODES];
};

void temperature_table_empty(struct temperature_table *table);

/* The same as temperature_factors_at, from the table; worked out where the table does not reach. */
void temperature_table_read(struct temperature_table *table, struct temperature_factors *at,
                            const struct settings *settings, double temperature_K);

/* How what temperature_table_read gave, `at`, moves with the temperature, per K. */
void temperature_table_slopes(struct temperature_table *table, const struct temperature_factors *at,
                              const struct settings *settings, struct temperature_factors *by_K);

#endif
