/* process.h: a process is a reaction (or a transfer) with fixed stoichiometry, a rate law and a source.
 *
 * The right-hand side of the vat is nothing but stoichiometry times rates; see design in docs/architecture.md.
 */
#ifndef VATCAST_PROCESS_PROCESS_H
#define VATCAST_PROCESS_PROCESS_H

#include "base/constants.h"
#include "process/species.h"

#include <stdbool.h>

struct liquor;   /* process/liquor.h */
struct settings; /* process/liquor.h */

#define PROCESS_TERMS_MOST 8
#define PROCESS_CONSTANTS_MOST 16
#define PROCESS_READS_MOST 8
#define READS_NONE (-1)

/* What rates read of the equilibria. */
enum ion {
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
#define READS_ION(ion) (1U << ION_##ion)

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
    /* Besides temperature and volume a rate depends on the amounts in `reads`, by themselves, and on the ions in `ions`, a sum of
     * READS_ION. tests/process/test_slopes.c holds it to that. */
    enum species reads[PROCESS_READS_MOST];
    int reads_count; /* or READS_NONE */
    unsigned ions;
    bool reads_air;  /* what only time moves: the air's temperature, the sun and what follows from them */
    double (*rate)(const struct liquor *liquor); /* extent per second; pure */
    bool (*is_live)(const struct settings *settings); /* false while the rate is zero under these settings; NULL: never */
};

/* Elements and charge made out of nothing per unit of extent, in enum element order; all zero in a sound process. */
void process_imbalance(const struct process *process, int imbalance[ELEMENT_COUNT]);

#endif
