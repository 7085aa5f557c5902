/* fuzz_run.c: any valid scenario, run for a few hours.
 *
 * Promised: a scenario in order reads; its run ends complete, or as failed in words; the books close to round-off (the
 * same 1e-9 that docs/architecture.md promises), nothing is negative beyond the tolerance of the calculation, time goes
 * forward, everything told is finite.
 */
#include "fuzz/fuzz.h"
#include "fuzz/valid_scenario.h"

#include "process/registry.h"
#include "scenario/read.h"
#include "scenario/reader.h"
#include "sim/run.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define RESIDUAL_MOST 1e-9 /* relative */
#define RTOL 1e-5          /* the scenarios' own; what is all but gone may stand below zero by so much of its largest */
/* and by so much of the unit it is told in (g/L, mmol/L, share), where it never was much: some thirty times the absolute
 * tolerance. Open: once in some 15 000 scenarios oxygen stood at -1.008e-4 mg/L (seed 78, among 10 000 mutants). */
#define NOTHING 1e-4

static struct {
    size_t runs, complete, failed, refused;
} told;

static void tell(void)
{
    printf("%zu scenarios: %zu complete, %zu ended in words, %zu refused\n", told.runs, told.complete, told.failed,
           told.refused);
}

/* What may be below zero, or not apply. */
static bool may_be_negative(const char *name)
{
    static const char *const signed_columns[] = {"temperature", "air_temperature", "orp", "orp_she", "ph_fall"};
    for (size_t i = 0; i < sizeof signed_columns / sizeof signed_columns[0]; i++) {
        if (strcmp(name, signed_columns[i]) == 0) {
            return true;
        }
    }
    return false;
}

static void series_expect(const struct table *series, const char *text)
{
    for (size_t c = 0; c < series->column_count; c++) {
        const struct column *column = &series->columns[c];
        double least = 0;
        for (size_t i = 0; i < series->rows; i++) {
            least = fmin(least, -RTOL * column->values[i]);
        }
        least = may_be_negative(column->name) ? -HUGE_VAL : least - NOTHING;
        for (size_t i = 0; i < series->rows; i++) {
            bool forward = c > 0 || i == 0 || column->values[i] >= column->values[i - 1];
            if (isinf(column->values[i]) || column->values[i] < least || !forward) {
                (void)fprintf(stderr, "%s\n%s is %.17g in row %zu\n", text, column->name, column->values[i], i);
                fuzz_expect(false, "series are finite, forward in time and nowhere negative");
            }
        }
    }
}

static void result_expect(const struct result *result, const char *text)
{
    series_expect(&result->series, text);
    for (size_t i = 0; i < result->ledger_count; i++) {
        if (!(result->ledger[i].residual_relative <= RESIDUAL_MOST)) {
            (void)fprintf(stderr, "%s\nledger of %s: residual %g\n", text, result->ledger[i].name,
                          result->ledger[i].residual_relative);
            fuzz_expect(false, "the books close");
        }
    }
}

static void scenario_try(const struct scenario *scenario, const char *text)
{
    struct result result;
    struct run_options how = {0};
    struct status status = run_scenario(scenario, &how, &result);
    told.runs++;
    told.complete += status_is_ok(&status);
    told.failed += !status_is_ok(&status);
    if (!status_is_ok(&status) && (status.code != STATUS_NUMERIC || status.message[0] == '\0')) {
        (void)fprintf(stderr, "%s\nended with %d: %s\n", text, (int)status.code, status.message);
        fuzz_expect(false, "a run ends complete, or says in words why the vat left the range of the model");
    }
    if (getenv("FUZZ_TELL") != NULL && !status_is_ok(&status)) {
        (void)fprintf(stderr, "ended: %s\n", status.message);
    }
    result_expect(&result, text);
    result_free(&result);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    const char *names[PROCESSES_KNOWN_MOST + 1];
    static char text[VALID_SCENARIO_SIZE];
    struct scenario scenario;
    struct complaints complaints;
    if (told.runs + told.refused == 0 && atexit(tell) != 0) {
        return 0;
    }
    valid_scenario_write(data, size, text);
    process_names(names);
    complaints_init(&complaints);
    const char *path = fuzz_file("valid.conf", (const uint8_t *)text, strlen(text));
    static struct quantities *quantities; /* reading the units takes longer than reading a scenario */
    struct status status = quantities == NULL ? quantities_open(&quantities) : status_ok();
    fuzz_expect(status_is_ok(&status), "the units can be read");
    status = scenario_read_with(quantities, path, NULL, 0, names, MODELS_DIR, &scenario, &complaints);
    if (status_is_ok(&status)) {
        scenario_try(&scenario, text);
    } else {
        told.refused++;
        for (size_t i = 0; i < complaints.count; i++) {
            (void)fprintf(stderr, "%d: %s\n", complaints.items[i].line, complaints.items[i].text);
        }
        (void)fprintf(stderr, "%s\n", text);
        fuzz_expect(false, "a scenario in order reads");
    }
    scenario_free(&scenario);
    complaints_free(&complaints);
    return 0;
}
