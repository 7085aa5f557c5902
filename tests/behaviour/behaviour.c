/* behaviour.c: see behaviour.h. */
#include "behaviour/behaviour.h"

#include "process/registry.h"
#include "scenario/read.h"
#include "sim/run.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define TEXT_SIZE (2 * CALENDAR_SIZE)

/* ---- writing
 * ----------------------------------------------------------------------------------------------------- */

struct fresh fresh_vat(double powder_g_per_L, double water_degC, double air_degC)
{
    const double fill = 18.9;
    const double powder = fill * powder_g_per_L;
    return (struct fresh){.indigo = "indigo paste 20 %",
                          .indigo_g = powder * 0.40 / 0.20,
                          .purity = 0.20,
                          .lime_g = 2.0 * powder,
                          .sugar = "fructose",
                          .sugar_g = 3.0 * powder,
                          .fill_L = fill,
                          .diameter_cm = 30.0,
                          .depth_cm = 32.0,
                          .water_degC = water_degC,
                          .air_degC = air_degC,
                          .alkalinity_mg_per_L = 100.0,
                          .hours = 24.0,
                          .record_min = 5.0,
                          .lid = "loose",
                          .wrap = "blanket",
                          .stirred = true};
}

struct rested rested_vat(double liquor_degC, double air_degC)
{
    return (struct rested){.indigotin_g = 38.0,
                           .lime_g = 20.0,
                           .ph = NAN,
                           .acid_mol = NAN,
                           .look = "green",
                           .age = "5 days",
                           .fill_L = 18.9,
                           .diameter_cm = 30.0,
                           .depth_cm = 32.0,
                           .liquor_degC = liquor_degC,
                           .air_degC = air_degC,
                           .hours = 24.0,
                           .record_min = 1.0,
                           .lid = "tight",
                           .wrap = "foam"};
}

/* Adds to a text that holds a string already. */
static void append(char *text, size_t size, const char *format, ...) __attribute__((format(printf, 3, 4)));
static void append(char *text, size_t size, const char *format, ...)
{
    size_t used = strlen(text);
    va_list arguments;
    va_start(arguments, format);
    int length = vsnprintf(text + used, size - used, format, arguments);
    va_end(arguments);
    assert_true(length >= 0 && (size_t)length < size - used);
}

void calendar_add(char calendar[CALENDAR_SIZE], const char *format, ...)
{
    append(calendar, CALENDAR_SIZE, "%s{ ", calendar[0] == '\0' ? "" : ",\n  ");
    size_t used = strlen(calendar);
    va_list arguments;
    va_start(arguments, format);
    int length = vsnprintf(calendar + used, CALENDAR_SIZE - used, format, arguments);
    va_end(arguments);
    assert_true(length >= 0 && (size_t)length < CALENDAR_SIZE - used);
    append(calendar, CALENDAR_SIZE, " }");
}

static void write_head(char *text, size_t size, double hours, double record_min)
{
    text[0] = '\0';
    append(text, size, "title = \"behaviour\";\nstart = \"2026-05-04 08:00\";\nlasts = \"%.17g hours\";\n", hours);
    append(text, size, "record = \"%.17g min\";\n", record_min);
}

static void write_vessel(char *text, size_t size, double diameter_cm, double depth_cm, double fill_L, const char *lid,
                         const char *wrap)
{
    append(text, size,
           "vat = {\n  model = \"sugar-lime\";\n  vessel = { diameter = \"%.17g cm\"; depth = \"%.17g cm\"; ",
           diameter_cm, depth_cm);
    append(text, size, "fill = \"%.17g L\"; lid = \"%s\"; wall = \"plastic\"; wrap = \"%s\"; heater = \"1000 W\"; };\n",
           fill_L, lid, wrap);
}

static void write_place(char *text, size_t size, double air_degC, double water_degC, double alkalinity_mg_per_L)
{
    append(text, size, "  place = { night = \"%.17g degC\"; day = \"%.17g degC\"; };\n", air_degC, air_degC);
    append(text, size,
           "  water = { temperature = \"%.17g degC\"; alkalinity = \"%.17g mg/L\"; hardness = \"%.17g mg/L\"; };\n",
           water_degC, alkalinity_mg_per_L, alkalinity_mg_per_L);
}

static void write_end(char *text, size_t size, const char *cloth, const char *calendar)
{
    append(text, size, "};\n");
    if (cloth != NULL) {
        append(text, size, "cloth = ( %s );\n", cloth);
    }
    if (calendar != NULL && calendar[0] != '\0') {
        append(text, size, "calendar = (\n  %s\n);\n", calendar);
    }
}

static void write_fresh(const struct fresh *fresh, char *text, size_t size)
{
    char calendar[CALENDAR_SIZE] = "";
    write_head(text, size, fresh->hours, fresh->record_min);
    write_vessel(text, size, fresh->diameter_cm, fresh->depth_cm, fresh->fill_L, fresh->lid, fresh->wrap);
    write_place(text, size, fresh->air_degC, fresh->water_degC, fresh->alkalinity_mg_per_L);
    append(text, size, "  charge = ( { add = \"%s\"; amount = \"%.17g g\"; purity = %.17g; }", fresh->indigo,
           fresh->indigo_g, fresh->purity);
    if (fresh->lime_g > 0.0) {
        append(text, size, ", { add = \"slaked lime\"; amount = \"%.17g g\"; }", fresh->lime_g);
    }
    if (fresh->sugar_g > 0.0) {
        append(text, size, ", { add = \"%s\"; amount = \"%.17g g\"; }", fresh->sugar, fresh->sugar_g);
    }
    append(text, size, " );\n");
    for (int minute = 15; fresh->stirred && minute <= 45; minute += 15) {
        calendar_add(calendar, "at = \"+%d min\"; do = \"stir\";", minute);
    }
    if (fresh->calendar != NULL && fresh->calendar[0] != '\0') {
        append(calendar, sizeof calendar, "%s%s", calendar[0] == '\0' ? "" : ",\n  ", fresh->calendar);
    }
    write_end(text, size, fresh->cloth, calendar);
}

void write_rested(const struct rested *rested, char *text, size_t size)
{
    write_head(text, size, rested->hours, rested->record_min);
    write_vessel(text, size, rested->diameter_cm, rested->depth_cm, rested->fill_L, rested->lid, rested->wrap);
    write_place(text, size, rested->air_degC, rested->air_degC, 100.0);
    append(text, size, "  existing = { temperature = \"%.17g degC\"; age = \"%s\"; look = \"%s\"; ",
           rested->liquor_degC, rested->age, rested->look);
    if (!isnan(rested->ph)) {
        append(text, size, "ph = %.17g; ", rested->ph);
    }
    if (!isnan(rested->acid_mol)) {
        append(text, size, "acid = \"%.17g mol\"; ", rested->acid_mol);
    }
    append(text, size,
           "indigo = \"%.17g g\"; purity = 1.0; lime = \"%.17g g\"; chalk = \"%.17g g\"; sugar = \"%.17g g\"; ",
           rested->indigotin_g, rested->lime_g, rested->chalk_g, rested->sugar_g);
    append(text, size, "residue = \"50 g\"; };\n");
    write_end(text, size, rested->cloth, rested->calendar);
}

/* ---- running
 * ----------------------------------------------------------------------------------------------------- */

struct vat_run *run_file(const char *path, const char *override)
{
    const char *names[PROCESSES_KNOWN_MOST + 1];
    const char *const overrides[] = {override};
    process_names(names);
    struct vat_run *run = calloc(1, sizeof *run);
    assert_non_null(run);
    struct complaints complaints;
    complaints_init(&complaints);
    struct status status =
        scenario_read(path, overrides, override == NULL ? 0 : 1, names, MODELS_DIR, &run->scenario, &complaints);
    for (size_t i = 0; i < complaints.count; i++) {
        print_error("%s:%d: %s\n", complaints.items[i].file, complaints.items[i].line, complaints.items[i].text);
    }
    complaints_free(&complaints);
    if (status_is_ok(&status)) {
        status = run_scenario(&run->scenario, NULL, &run->result);
    }
    if (!status_is_ok(&status)) {
        fail_msg("%s", status.message);
    }
    assert_int_equal(run->result.status, RUN_COMPLETE);
    return run;
}

/* Writes a text into a fresh file of the working folder, whose path is given back. */
static void write_scratch(const char *text, char path[64])
{
    (void)snprintf(path, 64, "behaviour-XXXXXX");
    int descriptor = mkstemp(path);
    assert_true(descriptor >= 0);
    FILE *file = fdopen(descriptor, "w");
    assert_non_null(file);
    assert_true(fputs(text, file) >= 0);
    assert_int_equal(fclose(file), 0);
}

struct vat_run *run_text(const char *text, const char *override)
{
    char path[64];
    write_scratch(text, path);
    struct vat_run *run = run_file(path, override);
    (void)unlink(path);
    return run;
}

size_t count_complaints(const char *text)
{
    char path[64];
    const char *names[PROCESSES_KNOWN_MOST + 1];
    process_names(names);
    struct scenario scenario;
    struct complaints complaints;
    complaints_init(&complaints);
    write_scratch(text, path);
    struct status status = scenario_read(path, NULL, 0, names, MODELS_DIR, &scenario, &complaints);
    (void)unlink(path);
    size_t count = complaints.count;
    assert_true(status_is_ok(&status) == (count == 0));
    scenario_free(&scenario);
    complaints_free(&complaints);
    return count;
}

struct vat_run *run_fresh(const struct fresh *fresh, const char *override)
{
    char text[TEXT_SIZE];
    write_fresh(fresh, text, sizeof text);
    return run_text(text, override);
}

struct vat_run *run_rested(const struct rested *rested, const char *override)
{
    char text[TEXT_SIZE];
    write_rested(rested, text, sizeof text);
    return run_text(text, override);
}

void run_free(struct vat_run *run)
{
    result_free(&run->result);
    scenario_free(&run->scenario);
    free(run);
}

/* ---- asking
 * ------------------------------------------------------------------------------------------------------ */

static const double *values_of(const struct table *table, const char *name)
{
    const struct column *column = table_column(table, name);
    if (column == NULL) {
        fail_msg("no column '%s' in '%s'", name, table->name);
        return NULL;
    }
    return column->values;
}

double value_at(const struct vat_run *run, const char *series, double hour)
{
    const double *time = values_of(&run->result.series, "time");
    const double *values = values_of(&run->result.series, series);
    size_t nearest = 0;
    for (size_t i = 0; i < run->result.series.rows; i++) {
        nearest = fabs(time[i] - 3600.0 * hour) < fabs(time[nearest] - 3600.0 * hour) ? i : nearest;
    }
    assert_true(fabs(time[nearest] - 3600.0 * hour) <= run->scenario.record_every);
    return values[nearest];
}

static double extreme(const struct vat_run *run, const char *series, double from_hour, double to_hour, double sign)
{
    const double *time = values_of(&run->result.series, "time");
    const double *values = values_of(&run->result.series, series);
    double best = -INFINITY;
    for (size_t i = 0; i < run->result.series.rows; i++) {
        if (time[i] >= 3600.0 * from_hour - 1.0 && time[i] <= 3600.0 * to_hour + 1.0) {
            best = fmax(best, sign * values[i]);
        }
    }
    return sign * best;
}

double most_of(const struct vat_run *run, const char *series, double from_hour, double to_hour)
{
    return extreme(run, series, from_hour, to_hour, 1.0);
}

double least_of(const struct vat_run *run, const char *series, double from_hour, double to_hour)
{
    return extreme(run, series, from_hour, to_hour, -1.0);
}

static double first_beyond(const struct vat_run *run, const char *series, double limit, double from_hour, double sign)
{
    const double *time = values_of(&run->result.series, "time");
    const double *values = values_of(&run->result.series, series);
    for (size_t i = 0; i < run->result.series.rows; i++) {
        if (time[i] >= 3600.0 * from_hour - 1.0 && sign * values[i] >= sign * limit) {
            return time[i] / 3600.0;
        }
    }
    return INFINITY;
}

double first_above(const struct vat_run *run, const char *series, double limit, double from_hour)
{
    return first_beyond(run, series, limit, from_hour, 1.0);
}

double first_below(const struct vat_run *run, const char *series, double limit, double from_hour)
{
    return first_beyond(run, series, limit, from_hour, -1.0);
}

double first_usable(const struct vat_run *run, double reduced_share)
{
    const double *time = values_of(&run->result.series, "time");
    const double *share = values_of(&run->result.series, "reduced_share");
    const double *orp = values_of(&run->result.series, "orp");
    for (size_t i = 0; i < run->result.series.rows; i++) {
        if (share[i] >= reduced_share && orp[i] < -520.0) {
            return time[i] / 3600.0;
        }
    }
    return INFINITY;
}

double dip_value(const struct vat_run *run, size_t row, const char *column)
{
    assert_true(row < run->result.dips.rows);
    return values_of(&run->result.dips, column)[row];
}

double dip_taken(const struct vat_run *run, size_t row)
{
    return dip_value(run, row, "sorbed") + dip_value(run, row, "carried");
}

double ledger_row(const struct vat_run *run, const char *substance, const char *row)
{
    size_t length = strlen(row);
    for (size_t i = 0; i < run->result.ledger_count; i++) {
        const struct table *ledger = &run->result.ledger[i];
        if (strcmp(ledger->name, substance) != 0) {
            continue;
        }
        const char *name = ledger->row_names;
        for (size_t r = 0; r < ledger->rows; r++) {
            if (strncmp(name, row, length) == 0 && (name[length] == ' ' || name[length] == '\0')) {
                return values_of(ledger, "amount")[r];
            }
            const char *space = strchr(name, ' ');
            name = space == NULL ? "" : space + 1;
        }
        return 0.0;
    }
    fail_msg("no ledger of %s", substance);
    return NAN;
}

double ledger_residual_most(const struct vat_run *run)
{
    double most = 0.0;
    for (size_t i = 0; i < run->result.ledger_count; i++) {
        most = fmax(most, run->result.ledger[i].residual_relative);
    }
    return most;
}

bool has_note(const struct vat_run *run, const char *words)
{
    for (size_t i = 0; i < run->result.note_count; i++) {
        if (strstr(run->result.notes[i].text, words) != NULL) {
            return true;
        }
    }
    return false;
}
