/* partials.c: see partials.h: the table of values that rates share, and what is read through them. */
#include "process/partials.h"

#include <stddef.h>

const size_t ion_at[ION_COUNT] = {
    [ION_PH] = offsetof(struct speciation, ph),
    [ION_HYDROXIDE] = offsetof(struct speciation, hydroxide),
    [ION_CALCIUM] = offsetof(struct speciation, calcium_free),
    [ION_CARBONATE] = offsetof(struct speciation, carbonate),
    [ION_CARBON_DIOXIDE] = offsetof(struct speciation, carbon_dioxide),
    [ION_LEUCO_ACID] = offsetof(struct speciation, leuco_acid),
    [ION_LEUCO_MONO] = offsetof(struct speciation, leuco_mono),
    [ION_FRUCTOSE] = offsetof(struct speciation, fructose_anion),
    [ION_GLUCOSE] = offsetof(struct speciation, glucose_anion),
    [ION_LIME] = offsetof(struct speciation, lime_saturation),
    [ION_CALCITE] = offsetof(struct speciation, calcite_product),
};

/* clang-format off: a row each */
#define SHARED(id, member, ...)                                                                                          \
    [SHARED_##id] = {.name = #member, .at = offsetof(struct liquor, member), .partials = member##_partials, __VA_ARGS__}

const struct shared_value shared_values[SHARED_COUNT] = {
    SHARED(FILM_COVER, film_cover, .reads = {S_INDIGO_FILM}, .reads_count = 1),
    SHARED(FILM_SHARE, film_share, .reads = {S_LEUCO}, .reads_count = 1),
    SHARED(TRANSFER, transfer, .reads = {S_INDIGO_FILM}, .reads_count = 1, .shared = {SHARED_FILM_COVER}),
    SHARED(OXYGEN_FLUX, oxygen_flux, .reads = {S_OXYGEN, S_LEUCO, S_REDUCTONE, S_RESERVE, S_INDIGO_FILM},
           .reads_count = 5, .shared = {SHARED_TRANSFER}),
    SHARED(EVAPORATION, evaporation, .reads_count = 0),
    SHARED(SURFACE_SUSPENDED, surface_suspended, .reads = {S_INDIGO_SUSPENDED, S_PARTICLES_SUSPENDED},
           .reads_count = 2),
    SHARED(SURFACE_BED, surface_bed, .reads = {S_INDIGO_BED, S_PARTICLES_BED}, .reads_count = 2),
    SHARED(REDUCTION, reduction,
           .reads = {S_FRUCTOSE, S_GLUCOSE, S_REDUCTONE, S_RESERVE, S_MEDIATOR, S_MEDIATOR_HIGH_PH}, .reads_count = 6,
           .ions = {ION_HYDROXIDE, ION_PH}),
    SHARED(LIME_GAP, lime_gap, .ions = {ION_LIME}),
    SHARED(CELL_VIGOUR, cell_vigour, .ions = {ION_PH}),
    SHARED(SPOILER_VIGOUR, spoiler_vigour, .ions = {ION_PH}),
    SHARED(CELL_LOSS, cell_loss, .ions = {ION_PH}),
    SHARED(SPOILER_LOSS, spoiler_loss, .ions = {ION_PH}),
    SHARED(FEED_OPENING, feed_opening, .reads = {S_CELLS, S_SPOILERS}, .reads_count = 2, .ions = {ION_PH}),
    SHARED(CELLS_GROWING, cells_growing, .reads = {S_CELLS, S_GLUCOSE, S_NITROGEN, S_OXYGEN}, .reads_count = 4,
           .shared = {SHARED_CELL_VIGOUR}),
    SHARED(SPOILERS_GROWING, spoilers_growing, .reads = {S_SPOILERS, S_GLUCOSE, S_NITROGEN}, .reads_count = 3,
           .shared = {SHARED_SPOILER_VIGOUR}),
    SHARED(CELL_REDUCTION, cell_reduction,
           .reads = {S_CELLS, S_INDIGO_SUSPENDED, S_INDIGO_BED, S_MEDIATOR, S_OXYGEN, S_GLUCOSE, S_LEUCO},
           .reads_count = 7, .shared = {SHARED_CELL_VIGOUR}),
};
/* clang-format on */

static bool lists_species(const enum species *list, int count, enum species species)
{
    for (int i = 0; i < count; i++) {
        if (list[i] == species) {
            return true;
        }
    }
    return false;
}

bool process_reads_amount(const struct process *process, enum species species)
{
    bool reads = lists_species(process->reads, process->reads_count, species);
    for (const enum shared *shared = process->shared; *shared != SHARED_NONE; shared++) {
        reads = reads || lists_species(shared_values[*shared].reads, shared_values[*shared].reads_count, species);
    }
    return reads;
}

bool shared_reads_ions(enum shared shared)
{
    bool reads = shared_values[shared].ions[0] != ION_NONE;
    for (const enum shared *other = shared_values[shared].shared; *other != SHARED_NONE; other++) {
        reads = reads || shared_values[*other].ions[0] != ION_NONE; /* which share nothing that does */
    }
    return reads;
}

bool process_reads_ions(const struct process *process)
{
    bool reads = process->ions[0] != ION_NONE;
    for (const enum shared *shared = process->shared; *shared != SHARED_NONE; shared++) {
        reads = reads || shared_reads_ions(*shared);
    }
    return reads;
}
