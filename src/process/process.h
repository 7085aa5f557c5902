/* process.h: a process is a reaction (or a transfer) with fixed stoichiometry, a rate law and a source.
 *
 * The right-hand side of the vat is nothing but stoichiometry times rates; see design in docs/architecture.md.
 */
#ifndef VATCAST_PROCESS_PROCESS_H
#define VATCAST_PROCESS_PROCESS_H

#include "base/constants.h"
#include "process/species.h"

#include <stdbool.h>
#include <stddef.h>

struct liquor;              /* process/liquor.h */
struct settings;            /* process/liquor.h */
struct temperature_factors; /* process/temperature.h */
struct partials;            /* process/partials.h */

#define PROCESS_TERMS_MOST 8
#define PROCESS_CONSTANTS_MOST 16
#define PROCESS_READS_MOST 8
#define PROCESS_IONS_MOST 4   /* and a last one that ends the list: ION_NONE, SHARED_NONE */
#define PROCESS_SHARED_MOST 4
#define READS_NONE (-1)

/* What rates read of the equilibria. */
enum ion {
    ION_NONE,
    ION_PH,
    ION_HYDROXIDE,
    ION_CALCIUM, /* free */
    ION_CARBONATE,
    ION_CARBON_DIOXIDE,
    ION_LEUCO_ACID,
    ION_LEUCO_MONO,
    ION_FRUCTOSE,
    ION_GLUCOSE,
    ION_LIME,    /* saturation */
    ION_CALCITE, /* product at equilibrium */
    ION_COUNT
};

/* Values that several rates read, worked out once per liquor: see partials.c. */
enum shared {
    SHARED_NONE,
    SHARED_FILM_COVER,
    SHARED_FILM_SHARE,
    SHARED_TRANSFER,
    SHARED_OXYGEN_FLUX,
    SHARED_EVAPORATION,
    SHARED_SURFACE_SUSPENDED,
    SHARED_SURFACE_BED,
    SHARED_REDUCTION,
    SHARED_LIME_GAP,
    SHARED_CELL_VIGOUR,
    SHARED_SPOILER_VIGOUR,
    SHARED_CELL_LOSS,
    SHARED_SPOILER_LOSS,
    SHARED_FEED_OPENING,
    SHARED_CELLS_GROWING,
    SHARED_SPOILERS_GROWING,
    SHARED_CELL_REDUCTION,
    SHARED_COUNT
};

/* Adds the partial derivatives of a law whose value in this liquor is `value`; `by_K` tells how what only temperature decides moves
 * with it. See partials.h. */
#define PARTIALS_ARGUMENTS                                                                                               \
    const struct liquor *l, const struct temperature_factors *by_K, double value, struct partials *by
typedef void (*partials_function)(PARTIALS_ARGUMENTS);

/* A member of struct temperature_factors. */
#define PRODUCT_WARMTH(member) (offsetof(struct temperature_factors, member))

struct process_term {
    enum species species;
    int coefficient; /* per unit of extent; negative: used up; 0 ends the list */
};

struct process {
    const char *name;        /* as in model files, snake_case */
    const char *title;       /* "autoxidation of leuco-indigo to water" */
    const char *law;         /* the rate law in words and symbols, for the printed table */
    const char *extent_unit; /* "mol", "J" or "kg" */
    const char *source;      /* author, title or journal, year; or "common practice, no source"; or "estimate" */
    struct process_term terms[PROCESS_TERMS_MOST];
    enum constant_id constants[PROCESS_CONSTANTS_MOST]; /* those the rate reads */
    int constant_count;
    /* Besides temperature, volume, air and sun a rate depends on the amounts in `reads`, by themselves, on the ions in `ions` and on
     * what it shares with others. tests/process/test_slopes.c holds it to that. */
    enum species reads[PROCESS_READS_MOST];
    int reads_count; /* or READS_NONE */
    enum ion ions[PROCESS_IONS_MOST];
    enum shared shared[PROCESS_SHARED_MOST];
    /* How it moves with them: `partials`; or the rate is in proportion to each, to a power of the volume (with the same amounts: -1 for
     * a rate by an amount and a concentration) and to a factor that only temperature decides, and is a product of these. */
    partials_function partials; /* NULL: a product */
    int volume_power;
    size_t warmth; /* PRODUCT_WARMTH, or 0: none */
    double (*rate)(const struct liquor *liquor); /* extent per second; pure */
    bool (*is_live)(const struct settings *settings); /* false while the rate is zero under these settings; NULL: never */
};

/* Elements and charge made out of nothing per unit of extent, in enum element order; all zero in a sound process. */
void process_imbalance(const struct process *process, int imbalance[ELEMENT_COUNT]);

#endif
