/* ledger.c: see ledger.h.
 *
 * Each substance is a fixed linear combination of the amounts. What a process or a flow did to it follows from the table of
 * processes and the books, so the rows sum to what is left by construction; the residual shows round-off, or a mistake.
 */
#include "sim/ledger.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define ROWS_MOST 32
#define NOTHING_MOST 1e-9 /* in the unit that is told (g, kg, kJ): round-off about a substance that never came in */

struct substance_info {
    const char *name;
    const char *about;
    const char *unit;
    double per_unit; /* printed unit per counted unit */
};

static const struct substance_info substances[LEDGER_COUNT] = {
    [LEDGER_INDIGO] = {"indigo", "indigotin in all forms", "g", 1e3 * MOLAR_INDIGOTIN},
    [LEDGER_HEXOSE] = {"hexose", "fructose, glucose and the reductants made from them, as hexose", "g", 1e3 * MOLAR_HEXOSE},
    [LEDGER_LIME] = {"lime", "alkalinity, as Ca(OH)2", "g", 1e3 * MOLAR_LIME},
    [LEDGER_OXYGEN] = {"oxygen", "dissolved oxygen and peroxide, as O2", "g", 1e3 * MOLAR_OXYGEN},
    [LEDGER_WATER] = {"water", "water of the liquor", "kg", MOLAR_WATER},
    [LEDGER_HEAT] = {"heat", "heat above 0 degC", "kJ", 1e-3},
    [LEDGER_FEED] = {"feed", "carbon of feed, sugars and cells, as hexose", "g", 1e3 * MOLAR_HEXOSE},
    [LEDGER_ALKALI] = {"alkali", "soda, potash, lime and chalk less acids, as Na2CO3; carbon dioxide leaves it as it is", "g", 1e3 * MOLAR_SODA},
};

static bool is_feed(enum species species)
{
    switch (species) {
    case S_FEED_FAST:
    case S_FEED_SLOW:
    case S_FRUCTOSE:
    case S_GLUCOSE:
    case S_SUCROSE:
    case S_REDUCTONE:
    case S_RESERVE:
    case S_CELLS:
    case S_SPOILERS:
    case S_DEBRIS:
        return true;
    default:
        return false;
    }
}

double ledger_weight(enum ledger_substance substance, enum species species)
{
    switch (substance) {
    case LEDGER_INDIGO:
        return species_table[species].composition[ELEMENT_INDIGO];
    case LEDGER_HEXOSE:
        return species == S_FRUCTOSE || species == S_GLUCOSE || species == S_REDUCTONE || species == S_RESERVE;
    case LEDGER_LIME:
        /* Undissolved lime in full; else half the charge, since Ca(OH)2 brings two hydroxide ions. */
        return species == S_LIME_SUSPENDED || species == S_LIME_BED
                   ? 1.0
                   : 0.5 * species_table[species].composition[CHARGE];
    case LEDGER_OXYGEN:
        return species == S_OXYGEN ? 1.0 : species == S_PEROXIDE ? 0.5 : 0.0;
    case LEDGER_WATER:
        return species == S_WATER;
    case LEDGER_HEAT:
        return species == S_HEAT;
    case LEDGER_FEED:
        return is_feed(species) ? species_table[species].composition[ELEMENT_C] / 6.0 : 0.0;
    case LEDGER_ALKALI:
        if (species == S_CHALK_SUSPENDED || species == S_CHALK_BED || species == S_CARBON) {
            return species == S_CARBON ? 0.0 : 1.0;
        }
        return ledger_weight(LEDGER_LIME, species);
    case LEDGER_COUNT:
        break;
    }
    return 0.0;
}

static bool takes_oxygen_for_sugar(const struct process *process)
{
    return strcmp(process->name, "reductone_oxidation") == 0 || strcmp(process->name, "reserve_oxidation") == 0 ||
           strcmp(process->name, "peroxide_on_reductone") == 0;
}

/* What one extent of a process does to a substance. */
static double effect(enum ledger_substance substance, const struct process *process)
{
    double sum = 0.0;
    for (int t = 0; t < PROCESS_TERMS_MOST && process->terms[t].coefficient != 0; t++) {
        if ((int)process->terms[t].species < STATE_COUNT) {
            sum += process->terms[t].coefficient * ledger_weight(substance, process->terms[t].species);
        }
    }
    return sum;
}

void ledger_open(struct vat *vat)
{
    struct books *books = &vat->books;
    for (size_t j = 0; j < vat->reaction.count; j++) {
        const struct process *process = vat->reaction.active[j];
        books->hexose_taken[j] = takes_oxygen_for_sugar(process) ? -effect(LEDGER_HEXOSE, process) : 0.0;
        books->oxygen_brought[j] = strcmp(process->name, "oxygen_through_surface") == 0 ? OXYGEN_BY_SURFACE
                                   : strcmp(process->name, "oxygen_whipped_in") == 0    ? OXYGEN_BY_STIRRING
                                                                                        : -1;
    }
}

void ledger_add_leg(struct vat *vat, const double *extents)
{
    struct books *books = &vat->books;
    double met = 0.0;
    double sources[OXYGEN_SOURCE_COUNT];
    memcpy(sources, books->oxygen_pending, sizeof sources);
    memset(books->oxygen_pending, 0, sizeof books->oxygen_pending);
    for (size_t j = 0; j < vat->reaction.count; j++) {
        books->extents[vat->reaction.index[j]] += extents[j];
        met += extents[j] * books->hexose_taken[j];
        if (books->oxygen_brought[j] >= 0) {
            sources[books->oxygen_brought[j]] += fmax(0.0, extents[j]);
        }
    }
    double total = 0.0;
    for (int i = 0; i < OXYGEN_SOURCE_COUNT; i++) {
        total += sources[i];
    }
    for (int i = 0; i < OXYGEN_SOURCE_COUNT; i++) {
        if (total > 0.0) {
            books->oxygen_shares[i] = sources[i] / total;
        }
        books->hexose_met[i] += met * books->oxygen_shares[i];
    }
}

/* ---- rows ----------------------------------------------------------------------------------------------------- */

struct rows {
    int count;
    const char *names[ROWS_MOST];
    enum ledger_part parts[ROWS_MOST];
    double amounts[ROWS_MOST];
};

static void add_to_row(struct rows *rows, const char *name, enum ledger_part part, double amount)
{
    for (int i = 0; i < rows->count; i++) {
        if (strcmp(rows->names[i], name) == 0) {
            rows->amounts[i] += amount;
            return;
        }
    }
    if (rows->count < ROWS_MOST) {
        rows->names[rows->count] = name;
        rows->parts[rows->count] = part;
        rows->amounts[rows->count++] = amount;
    }
}

static const struct {
    const char *name;
    enum ledger_part part;
} flow_rows[FLOW_COUNT] = {
    [FLOW_INITIAL] = {"initial", PART_IN},         [FLOW_ADDED] = {"added", PART_IN},
    [FLOW_TOPPED_UP] = {"water_poured", PART_IN},  [FLOW_CLOTH_BACK] = {"carried_off_on_cloth", PART_OUT},
    [FLOW_CLOTH_IN] = {"brought_by_cloth", PART_IN},
    [FLOW_STIRRED_IN] = {"stirred_in", PART_IN},   [FLOW_STRIPPED] = {"stripped_from_cloth", PART_IN},
    [FLOW_ON_CLOTH] = {"sorbed_by_cloth", PART_OUT}, [FLOW_CARRIED_OFF] = {"carried_off_on_cloth", PART_OUT},
    [FLOW_OVERFLOWED] = {"overflowed", PART_OUT},  [FLOW_SKIMMED] = {"skimmed", PART_OUT},
    [FLOW_RACKED] = {"racked", PART_OUT},
};

/* Which row a process belongs to. The first name that begins the process's own name decides. */
struct process_row {
    enum ledger_substance substance;
    const char *begins;
    const char *row;
    enum ledger_part part;
};

static const struct process_row process_rows[] = {
    {LEDGER_INDIGO, "destruction", "destroyed", PART_OUT},
    {LEDGER_HEXOSE, "reduction", "reduced_indigo", PART_OUT},
    {LEDGER_HEXOSE, "reductone_to", "broke_down", PART_OUT},
    {LEDGER_HEXOSE, "reserve_decay", "broke_down", PART_OUT},
    {LEDGER_HEXOSE, "ferment_fast_feed", "opened_from_feed", PART_IN},
    {LEDGER_HEXOSE, "ferment_slow_feed", "opened_from_feed", PART_IN},
    {LEDGER_HEXOSE, "ferment_inversion", "split_from_sucrose", PART_IN},
    {LEDGER_HEXOSE, "ferment_growth", "into_cells", PART_OUT},
    {LEDGER_HEXOSE, "ferment_spoiler_growth", "into_cells", PART_OUT},
    {LEDGER_HEXOSE, "ferment_lactate", "fermented", PART_OUT},
    {LEDGER_HEXOSE, "ferment_gas", "fermented", PART_OUT},
    {LEDGER_HEXOSE, "ferment_reduction", "reduced_indigo", PART_OUT},
    {LEDGER_HEXOSE, "ferment_respiration", "breathed", PART_OUT},
    {LEDGER_HEXOSE, "ferment_spoiler_acid", "soured", PART_OUT},
    {LEDGER_FEED, "reduction", "reduced_indigo", PART_OUT},
    {LEDGER_FEED, "reductone_to", "broke_down", PART_OUT},
    {LEDGER_FEED, "reserve_decay", "broke_down", PART_OUT},
    {LEDGER_FEED, "reductone_oxidation", "met_air", PART_OUT},
    {LEDGER_FEED, "reserve_oxidation", "met_air", PART_OUT},
    {LEDGER_FEED, "peroxide", "met_air", PART_OUT},
    {LEDGER_FEED, "ferment_lactate", "to_lactate", PART_OUT},
    {LEDGER_FEED, "ferment_gas", "to_acetate_and_gas", PART_OUT},
    {LEDGER_FEED, "ferment_reduction", "reduced_indigo", PART_OUT},
    {LEDGER_FEED, "ferment_respiration", "breathed", PART_OUT},
    {LEDGER_FEED, "ferment_spoiler_acid", "soured", PART_OUT},
    {LEDGER_LIME, "ferment_lactate", "acids_of_fermenting", PART_OUT},
    {LEDGER_LIME, "ferment_gas", "acids_of_fermenting", PART_OUT},
    {LEDGER_LIME, "ferment_respiration", "acids_of_breathing", PART_OUT},
    {LEDGER_LIME, "ferment_spoiler_acid", "acids_of_souring", PART_OUT},
    {LEDGER_LIME, "ferment_reduction", "acids_of_reducing", PART_OUT},
    {LEDGER_ALKALI, "ferment_lactate", "acids_of_fermenting", PART_OUT},
    {LEDGER_ALKALI, "ferment_gas", "acids_of_fermenting", PART_OUT},
    {LEDGER_ALKALI, "ferment_respiration", "acids_of_breathing", PART_OUT},
    {LEDGER_ALKALI, "ferment_spoiler_acid", "acids_of_souring", PART_OUT},
    {LEDGER_ALKALI, "ferment_reduction", "acids_of_reducing", PART_OUT},
    {LEDGER_ALKALI, "reduction", "acids_of_reducing", PART_OUT},
    {LEDGER_ALKALI, "reductone_to", "acids_of_breakdown", PART_OUT},
    {LEDGER_ALKALI, "reserve_decay", "acids_of_breakdown", PART_OUT},
    {LEDGER_ALKALI, "reductone_oxidation", "acids_of_air", PART_OUT},
    {LEDGER_ALKALI, "reserve_oxidation", "acids_of_air", PART_OUT},
    {LEDGER_ALKALI, "peroxide", "acids_of_air", PART_OUT},
    {LEDGER_LIME, "reduction", "acids_of_reducing", PART_OUT},
    {LEDGER_LIME, "reductone_to", "acids_of_breakdown", PART_OUT},
    {LEDGER_LIME, "reserve_decay", "acids_of_breakdown", PART_OUT},
    {LEDGER_LIME, "reductone_oxidation", "acids_of_air", PART_OUT},
    {LEDGER_LIME, "reserve_oxidation", "acids_of_air", PART_OUT},
    {LEDGER_LIME, "peroxide", "acids_of_air", PART_OUT},
    {LEDGER_LIME, "carbon_dioxide", "carbon_dioxide_of_air", PART_OUT},
    {LEDGER_OXYGEN, "oxygen_through_surface", "through_surface", PART_IN},
    {LEDGER_OXYGEN, "oxygen_whipped_in", "stirred_in", PART_IN},
    {LEDGER_OXYGEN, "autoxidation", "took_leuco", PART_OUT},
    {LEDGER_OXYGEN, "reductone_oxidation", "took_sugar", PART_OUT},
    {LEDGER_OXYGEN, "reserve_oxidation", "took_sugar", PART_OUT},
    {LEDGER_OXYGEN, "peroxide", "took_sugar", PART_OUT},
    {LEDGER_OXYGEN, "ferment_respiration", "breathed", PART_OUT},
    {LEDGER_WATER, "evaporation", "evaporated", PART_OUT},
    {LEDGER_HEAT, "evaporation_heat", "evaporation", PART_OUT},
    {LEDGER_HEAT, "wall", "wall", PART_OUT},
    {LEDGER_HEAT, "surface", "surface", PART_OUT},
    {LEDGER_HEAT, "sunshine", "sun", PART_IN},
    {LEDGER_HEAT, "heater", "heater", PART_IN},
};

static const char *const met_rows[OXYGEN_SOURCE_COUNT] = {
    [OXYGEN_BY_SURFACE] = "met_air_at_surface",
    [OXYGEN_BY_STIRRING] = "met_air_stirred_in",
    [OXYGEN_BY_CLOTH] = "met_air_of_cloth",
    [OXYGEN_BY_WATER] = "met_air_of_water",
};

static const struct {
    enum ledger_substance substance;
    const char *row;
    enum species species[8];
    int count;
} left_rows[] = {
    {LEDGER_INDIGO, "in_bed", {S_INDIGO_BED}, 1},
    {LEDGER_INDIGO, "suspended", {S_INDIGO_SUSPENDED, S_INDIGO_DRY}, 2},
    {LEDGER_INDIGO, "leuco", {S_LEUCO}, 1},
    {LEDGER_INDIGO, "held_leuco", {S_LEUCO_HELD}, 1},
    {LEDGER_INDIGO, "film", {S_INDIGO_FILM}, 1},
    {LEDGER_HEXOSE, "fructose", {S_FRUCTOSE}, 1},
    {LEDGER_HEXOSE, "glucose", {S_GLUCOSE}, 1},
    {LEDGER_HEXOSE, "reductone", {S_REDUCTONE}, 1},
    {LEDGER_HEXOSE, "reserve", {S_RESERVE}, 1},
    {LEDGER_FEED, "quick_feed", {S_FEED_FAST}, 1},
    {LEDGER_FEED, "slow_feed", {S_FEED_SLOW}, 1},
    {LEDGER_FEED, "sugars", {S_FRUCTOSE, S_GLUCOSE, S_SUCROSE, S_REDUCTONE, S_RESERVE}, 5},
    {LEDGER_FEED, "cells", {S_CELLS, S_SPOILERS}, 2},
    {LEDGER_FEED, "dead_cells", {S_DEBRIS}, 1},
    {LEDGER_ALKALI, "undissolved", {S_LIME_SUSPENDED, S_LIME_BED}, 2},
    {LEDGER_ALKALI, "chalk", {S_CHALK_SUSPENDED, S_CHALK_BED}, 2},
    {LEDGER_LIME, "undissolved", {S_LIME_SUSPENDED, S_LIME_BED}, 2},
    {LEDGER_OXYGEN, "dissolved", {S_OXYGEN}, 1},
    {LEDGER_OXYGEN, "peroxide", {S_PEROXIDE}, 1},
};

static const char *row_of_process(enum ledger_substance substance, const struct process *process, enum ledger_part *part)
{
    for (size_t i = 0; i < sizeof process_rows / sizeof process_rows[0]; i++) {
        const struct process_row *row = &process_rows[i];
        if (row->substance == substance && strncmp(process->name, row->begins, strlen(row->begins)) == 0) {
            *part = row->part;
            return row->row;
        }
    }
    *part = PART_OUT;
    return substance == LEDGER_WATER ? "made_by_reactions" : "other";
}

/* What went to cloth and came back is told for indigo by where it lies now. */
static bool is_cloth_flow(int flow)
{
    return flow == FLOW_CLOTH_IN || flow == FLOW_CLOTH_BACK || flow == FLOW_STRIPPED || flow == FLOW_ON_CLOTH ||
           flow == FLOW_CARRIED_OFF;
}

static void collect_cloth(const struct vat *vat, struct rows *rows)
{
    struct cloth_indigo on = cloth_indigo_now(vat);
    const struct cloth_indigo *gone = &vat->books.handed_on;
    add_to_row(rows, "sorbed_by_cloth", PART_OUT, -on.sorbed - gone->sorbed);
    add_to_row(rows, "surface_of_cloth", PART_OUT, -on.carried - gone->carried);
    add_to_row(rows, "loose_in_cloth", PART_OUT, -on.loose - gone->loose);
    add_to_row(rows, "rinsed_off", PART_OUT, -vat->books.indigo_rinsed);
    add_to_row(rows, "dripped_off_cloth", PART_OUT, -vat->books.indigo_dripped);
}

static void collect_in_and_out(const struct vat *vat, enum ledger_substance substance, struct rows *rows)
{
    for (int f = 0; f < FLOW_COUNT; f++) {
        if (substance == LEDGER_INDIGO && is_cloth_flow(f)) {
            continue;
        }
        double sum = 0.0;
        for (int s = 0; s < STATE_COUNT; s++) {
            sum += ledger_weight(substance, (enum species)s) * vat->books.flows[f][s];
        }
        if (sum > 0.0 || sum < 0.0) {
            add_to_row(rows, flow_rows[f].name, flow_rows[f].part, sum);
        }
    }
    if (substance == LEDGER_INDIGO) {
        collect_cloth(vat, rows);
    }
    for (size_t j = 0; j < process_count(); j++) {
        const struct process *process = process_at(j);
        double change = effect(substance, process) * vat->books.extents[j];
        if (!(change > 0.0 || change < 0.0) || (substance == LEDGER_HEXOSE && takes_oxygen_for_sugar(process))) {
            continue;
        }
        enum ledger_part part = PART_OUT;
        const char *name = row_of_process(substance, process, &part);
        add_to_row(rows, name, part, change);
    }
    for (int i = 0; substance == LEDGER_HEXOSE && i < OXYGEN_SOURCE_COUNT; i++) {
        add_to_row(rows, met_rows[i], PART_OUT, -vat->books.hexose_met[i]);
    }
}

static void collect_left(const struct vat *vat, enum ledger_substance substance, struct rows *rows)
{
    bool told[STATE_COUNT] = {false};
    for (size_t i = 0; i < sizeof left_rows / sizeof left_rows[0]; i++) {
        for (int n = 0; left_rows[i].substance == substance && n < left_rows[i].count; n++) {
            enum species species = left_rows[i].species[n];
            told[species] = true;
            add_to_row(rows, left_rows[i].row, PART_LEFT, ledger_weight(substance, species) * vat->amount[species]);
        }
    }
    /* Destroyed indigo lies in the vat but is lost to it: the row "destroyed" has it. */
    for (int s = 0; s < STATE_COUNT; s++) {
        double amount = ledger_weight(substance, (enum species)s) * vat->amount[s];
        if (told[s] || !(amount > 0.0 || amount < 0.0)) {
            continue;
        }
        add_to_row(rows, substance == LEDGER_INDIGO ? "in_soaking_cloth" : "in_liquor", PART_LEFT, amount);
    }
}

/* Destroyed indigo: the processes keep the core, so its loss is booked from the amount itself. */
static void move_destroyed(const struct vat *vat, struct rows *rows)
{
    double destroyed = vat->amount[S_INDIGO_DESTROYED];
    if (destroyed > 0.0) {
        add_to_row(rows, "destroyed", PART_OUT, -destroyed);
        add_to_row(rows, "in_soaking_cloth", PART_LEFT, -destroyed);
    }
}

static struct status fill_table(struct table *table, const struct substance_info *info, const struct rows *rows)
{
    (void)snprintf(table->name, sizeof table->name, "%s", info->name);
    (void)snprintf(table->about, sizeof table->about, "%s", info->about);
#define LEDGER_UNIT info->unit
#define ADD_COLUMN(name, unit, long_name, flags) RETURN_IF_FAILED(table_add_column(table, name, unit, long_name, flags));
    LEDGER_COLUMNS(ADD_COLUMN)
#undef ADD_COLUMN
#undef LEDGER_UNIT
    size_t length = 1;
    double in = 0.0;
    double out = 0.0;
    double left = 0.0;
    for (int i = 0; i < rows->count; i++) {
        const double row[] = {rows->amounts[i] * info->per_unit, rows->parts[i]};
        RETURN_IF_FAILED(table_add_row(table, row, sizeof row / sizeof *row));
        length += strlen(rows->names[i]) + 1;
        *(rows->parts[i] == PART_LEFT ? &left : rows->amounts[i] > 0.0 ? &in : &out) += rows->amounts[i];
    }
    double larger = fmax(in, fmax(-out, fabs(left)));
    bool something = larger * info->per_unit > NOTHING_MOST;
    table->residual_relative = something ? fabs(in + out - left) / larger : 0.0;
    table->row_names = calloc(length, 1);
    if (table->row_names == NULL) {
        return status_fail(STATUS_MEMORY, "no memory for the ledger");
    }
    char *at = table->row_names;
    for (int i = 0; i < rows->count; i++) {
        size_t left_over = length - (size_t)(at - table->row_names);
        at += snprintf(at, left_over, "%s%s", i > 0 ? " " : "", rows->names[i]);
    }
    return status_ok();
}

struct status ledger_fill(struct vat *vat)
{
    struct result *result = vat->result;
    result->ledger = calloc(LEDGER_COUNT, sizeof *result->ledger);
    if (result->ledger == NULL) {
        return status_fail(STATUS_MEMORY, "no memory for the ledger");
    }
    const int count = vat->ferments ? LEDGER_COUNT : LEDGER_FEED;
    result->ledger_count = (size_t)count;
    struct status status = status_ok();
    for (int i = 0; i < count && status_is_ok(&status); i++) {
        struct rows rows = {0};
        collect_in_and_out(vat, (enum ledger_substance)i, &rows);
        collect_left(vat, (enum ledger_substance)i, &rows);
        if (i == LEDGER_INDIGO) {
            move_destroyed(vat, &rows);
        }
        status = fill_table(&result->ledger[i], &substances[i], &rows);
    }
    if (!status_is_ok(&status)) {
        result_drop_ledger(result); /* half of it would not be read again */
    }
    return status;
}
