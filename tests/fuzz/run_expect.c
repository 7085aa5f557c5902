/* run_expect.c: see run_expect.h. */
#include "fuzz/run_expect.h"

#include "fuzz/fuzz.h"

#include "process/registry.h"
#include "scenario/read.h"
#include "scenario/reader.h"
#include "sim/run.h"
#include "sim/vat.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define RESIDUAL_MOST 1e-9 /* relative */
#define ROUND_OFF 1e-12

/* How the amounts stand in the series, in the unit of each: those of the vat, or those of a cubic metre of liquor. */
static const struct {
    const char *series;
    bool by_volume;
    double scale;            /* of a mol, or of a kg, or of a mol in a cubic metre */
    enum species species[4]; /* of which it is the sum; S_WATER ends the list */
} amounts[] = {
    {"leuco", true, MOLAR_INDIGOTIN, {S_LEUCO}},
    {"leuco_held", true, MOLAR_INDIGOTIN, {S_LEUCO_HELD}},
    {"indigo_suspended", true, MOLAR_INDIGOTIN, {S_INDIGO_SUSPENDED, S_INDIGO_DRY}},
    {"indigo_bed", false, 1e3 * MOLAR_INDIGOTIN, {S_INDIGO_BED}},
    {"indigo_film", false, 1e3 * MOLAR_INDIGOTIN, {S_INDIGO_FILM}},
    {"hexose", true, MOLAR_HEXOSE, {S_FRUCTOSE, S_GLUCOSE}},
    {"fructose", true, MOLAR_HEXOSE, {S_FRUCTOSE}},
    {"glucose", true, MOLAR_HEXOSE, {S_GLUCOSE}},
    {"reductone", true, 1.0, {S_REDUCTONE}},
    {"reserve", true, 1.0, {S_RESERVE}},
    {"acid", true, 1.0, {S_LACTATE, S_SACCHARINATE, S_OXIDATE, S_ACETATE}},
    {"calcium", true, 1.0, {S_CALCIUM}},
    {"carbonate", true, 1.0, {S_CARBON}},
    {"lime_solid", false, 1e3 * MOLAR_LIME, {S_LIME_SUSPENDED, S_LIME_BED}},
    {"lime_suspended", false, 1e3 * MOLAR_LIME, {S_LIME_SUSPENDED}},
    {"chalk", false, 1e3 * MOLAR_CHALK, {S_CHALK_SUSPENDED, S_CHALK_BED}},
    {"feed", true, MOLAR_FEED, {S_FEED_FAST, S_FEED_SLOW}},
    {"nitrogen", true, 1.0, {S_NITROGEN}},
    {"cells", true, 1e3 * MOLAR_CELLS, {S_CELLS}},
    {"spoilers", true, 1e3 * MOLAR_CELLS, {S_SPOILERS}},
    {"oxygen", true, 1e3 * MOLAR_OXYGEN, {S_OXYGEN}},
    {"turbidity", true, MOLAR_INDIGOTIN, {S_INDIGO_SUSPENDED, S_INDIGO_DRY, S_LIME_SUSPENDED, S_CHALK_SUSPENDED}},
};

/* How far below zero the amounts of a run may stand, mol or kg. */
struct tolerances {
    double of[STATE_COUNT];
};

static struct tolerances tolerances_of(const struct scenario *scenario)
{
    struct tolerances tolerances;
    struct result result;
    struct vat vat;
    result_init(&result);
    result.rtol = scenario->rtol;
    struct status status = vat_start(&vat, scenario, &result);
    for (int s = 0; s < STATE_COUNT; s++) {
        tolerances.of[s] = status_is_ok(&status) ? BELOW_ZERO_MOST * scenario->rtol * vat.reaction.typical[s] : 0.0;
    }
    vat_free(&vat);
    result_free(&result);
    return tolerances;
}

/* How far below zero a series may stand: what the amounts in it may. */
static double below_zero_most(const struct tolerances *tolerances, const struct table *series,
                              const struct column *column)
{
    static const char *const signed_columns[] = {"temperature", "air_temperature", "orp", "orp_she", "ph_fall"};
    const struct column *volume = table_column(series, "volume");
    double least_volume = HUGE_VAL;
    for (size_t i = 0; i < series->rows; i++) {
        least_volume = fmin(least_volume, 1e-3 * volume->values[i]);
    }
    for (size_t i = 0; i < sizeof signed_columns / sizeof signed_columns[0]; i++) {
        if (strcmp(column->name, signed_columns[i]) == 0) {
            return HUGE_VAL;
        }
    }
    for (size_t i = 0; i < sizeof amounts / sizeof amounts[0]; i++) {
        if (strcmp(column->name, amounts[i].series) != 0) {
            continue;
        }
        double sum = 0.0;
        for (int s = 0; s < 4 && (s == 0 || amounts[i].species[s] != S_WATER); s++) {
            sum += tolerances->of[amounts[i].species[s]];
        }
        return (1.0 + 1e-9) * sum * amounts[i].scale / (amounts[i].by_volume ? least_volume : 1.0);
    }
    return ROUND_OFF;
}

static void series_expect(const struct tolerances *tolerances, const struct table *series, const char *text)
{
    for (size_t c = 0; c < series->column_count; c++) {
        const struct column *column = &series->columns[c];
        double least = -below_zero_most(tolerances, series, column);
        for (size_t i = 0; i < series->rows; i++) {
            bool forward = c > 0 || i == 0 || column->values[i] >= column->values[i - 1];
            if (!isfinite(column->values[i]) || column->values[i] < least || !forward) {
                (void)fprintf(stderr, "%s\n%s is %.17g in row %zu; expected at least %g\n", text, column->name,
                              column->values[i], i, least);
                fuzz_expect(false, "series are finite, forward in time and nowhere negative");
            }
        }
    }
}

static void result_expect(const struct scenario *scenario, const struct result *result, const char *text)
{
    const struct tolerances tolerances = tolerances_of(scenario);
    series_expect(&tolerances, &result->series, text);
    for (size_t i = 0; i < result->ledger_count; i++) {
        if (!(result->ledger[i].residual_relative <= RESIDUAL_MOST)) {
            (void)fprintf(stderr, "%s\nledger of %s: residual %g\n", text, result->ledger[i].name,
                          result->ledger[i].residual_relative);
            fuzz_expect(false, "the books close");
        }
    }
}

struct status run_expect(const struct scenario *scenario, const char *text, struct result *result)
{
    struct run_options how = {0};
    struct status status = run_scenario(scenario, &how, result);
    if (!status_is_ok(&status) && (status.code != STATUS_NUMERIC || status.message[0] == '\0')) {
        (void)fprintf(stderr, "%s\nended with %d: %s\n", text, (int)status.code, status.message);
        fuzz_expect(false, "a run ends complete, or says in words why the vat left the range of the model");
    }
    result_expect(scenario, result, text);
    return status;
}

struct status scenario_of_text(const char *text, struct scenario *scenario)
{
    static struct quantities *quantities; /* reading the units takes longer than reading a scenario */
    const char *names[PROCESSES_KNOWN_MOST + 1];
    struct complaints complaints;
    process_names(names);
    complaints_init(&complaints);
    const char *path = fuzz_file("valid.conf", (const uint8_t *)text, strlen(text));
    struct status status = quantities == NULL ? quantities_open(&quantities) : status_ok();
    fuzz_expect(status_is_ok(&status), "the units can be read");
    status = scenario_read_with(quantities, path, NULL, 0, names, MODELS_DIR, scenario, &complaints);
    for (size_t i = 0; i < complaints.count; i++) {
        (void)fprintf(stderr, "%d: %s\n", complaints.items[i].line, complaints.items[i].text);
    }
    if (!status_is_ok(&status)) {
        (void)fprintf(stderr, "%s\n", text);
    }
    complaints_free(&complaints);
    return status;
}
