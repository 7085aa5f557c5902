/* partials.h: how a rate, or a value that several rates share, moves with each thing that it reads, all else staying.
 *
 * A law that is a product says so in its table and needs nothing more; the others have a function beside them that adds its partial
 * derivatives to a struct of zeros. The chain rule, from what is shared, from the ions, the volume and the temperature to the amounts,
 * is in src/sim/slopes.c; tests/process/test_partials.c holds every partial derivative to differences of its law.
 */
#ifndef VATCAST_PROCESS_PARTIALS_H
#define VATCAST_PROCESS_PARTIALS_H

#include "process/liquor.h"
#include "process/process.h"

#include <stddef.h>

struct partials {
    double amount[STATE_COUNT]; /* in the same volume: what is read as a concentration moves with its amount */
    double ion[ION_COUNT];
    double shared[SHARED_COUNT];
    /* Volume and temperature not near each other: read together after each was written by itself they would be waited for. */
    double volume;      /* with the same amounts, so with concentrations in inverse proportion */
    double air, sun;    /* per K of the air; per W/m2 */
    double temperature; /* per K, of the liquor */
};

/* Adds the derivative by a concentration. */
static inline void partial_by_concentration(struct partials *by, const struct liquor *liquor, enum species species,
                                            double slope)
{
    const double by_amount = slope / liquor->volume;
    by->amount[species] += by_amount;
    by->volume -= by_amount * liquor->concentration[species];
}

/* Where each ion stands in struct speciation. */
extern const size_t ion_at[ION_COUNT];

/* What several rates read and a liquor holds worked out. */
struct shared_value {
    const char *name;
    size_t at; /* in struct liquor */
    enum species reads[PROCESS_READS_MOST];
    int reads_count; /* with those of what it shares itself; 0: none */
    enum ion ions[PROCESS_IONS_MOST];
    enum shared shared[PROCESS_SHARED_MOST]; /* of smaller number than its own */
    partials_function partials;
};
extern const struct shared_value shared_values[SHARED_COUNT];

/* Whether a rate reads an amount by itself or through what it shares; whether it reads the equilibria. */
bool process_reads_amount(const struct process *process, enum species species);
bool process_reads_ions(const struct process *process);
bool shared_reads_ions(enum shared shared);

/* The partial derivatives of what is shared, each beside its law. `value` is its value. */
void film_cover_partials(PARTIALS_ARGUMENTS);
void film_share_partials(PARTIALS_ARGUMENTS);
void transfer_partials(PARTIALS_ARGUMENTS);
void oxygen_flux_partials(PARTIALS_ARGUMENTS);
void evaporation_partials(PARTIALS_ARGUMENTS);
void surface_suspended_partials(PARTIALS_ARGUMENTS);
void surface_bed_partials(PARTIALS_ARGUMENTS);
void reduction_partials(PARTIALS_ARGUMENTS);
void lime_gap_partials(PARTIALS_ARGUMENTS);
void cell_vigour_partials(PARTIALS_ARGUMENTS);
void spoiler_vigour_partials(PARTIALS_ARGUMENTS);
void cell_loss_partials(PARTIALS_ARGUMENTS);
void spoiler_loss_partials(PARTIALS_ARGUMENTS);
void feed_opening_partials(PARTIALS_ARGUMENTS);
void cells_growing_partials(PARTIALS_ARGUMENTS);
void spoilers_growing_partials(PARTIALS_ARGUMENTS);
void cell_reduction_partials(PARTIALS_ARGUMENTS);

#endif
