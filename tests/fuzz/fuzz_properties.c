/* fuzz_properties.c: any valid scenario, run in several ways that must come to the same, or of which one must come to less.
 *
 * Promised, besides what run_expect.h tells: a run taken in pieces, cut at its events, is the whole run to the last bit; the
 * entries of the calendar in another order are the same run, where no two fall on one moment; what falls on one moment
 * happens in the order that docs/scenario-format.md tells; and rules of one direction (practice): sugar never raises the pH,
 * more air never leaves more leuco.
 */
#include "fuzz/fuzz.h"
#include "fuzz/run_expect.h"
#include "fuzz/valid_scenario.h"

#include "sim/run.h"
#include "sim/series.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define ENTRIES_MOST 32
#define LIME_LEFT 1e-3           /* g */
#define PH_HIGHER_MOST 1e-3      /* pH that a fed vat may stand above, by the tolerance of two calculations */
#define REDUCED_HIGHER_MOST 1e-4 /* share of the indigo, likewise */
#define THIRST_LEAST 0.05

static struct {
    size_t scenarios, cut, permuted, tied, together, fed, aired;
} told;

static void tell(void)
{
    printf("%zu scenarios: %zu run in pieces, %zu with their entries in another order (%zu not, for entries at one "
           "moment), "
           "%zu pairs at one moment in order, %zu fed, %zu aired\n",
           told.scenarios, told.cut, told.permuted, told.tied, told.together, told.fed, told.aired);
}

static void expect(bool holds, const char *text, const char *promise)
{
    if (!holds) {
        (void)fprintf(stderr, "%s\n", text);
        fuzz_expect(false, promise);
    }
}

/* ---- the same, to the last bit ----------------------------------------------------------------------------------- */

static bool is_same_number(double a, double b)
{
    uint64_t bits[2];
    memcpy(&bits[0], &a, sizeof a);
    memcpy(&bits[1], &b, sizeof b);
    return bits[0] == bits[1];
}

static bool is_same_table(const struct table *a, const struct table *b, const char *but)
{
    if (a->rows != b->rows || a->column_count != b->column_count) {
        (void)fprintf(stderr, "%s: %zu rows and %zu\n", a->name, a->rows, b->rows);
        return false;
    }
    for (size_t c = 0; c < a->column_count; c++) {
        const struct column *column = &a->columns[c];
        for (size_t i = 0; strcmp(column->name, but) != 0 && i < a->rows; i++) {
            if (!is_same_number(column->values[i], b->columns[c].values[i])) {
                (void)fprintf(stderr, "%s, row %zu: %s is %.17g and %.17g\n", a->name, i, column->name,
                              column->values[i], b->columns[c].values[i]);
                return false;
            }
        }
    }
    return true;
}

static bool is_same(const struct result *a, const struct result *b, const char *but)
{
    bool same = a->status == b->status && is_same_table(&a->series, &b->series, but) &&
                is_same_table(&a->events, &b->events, but) && is_same_table(&a->dips, &b->dips, but) &&
                is_same_table(&a->pieces, &b->pieces, but) && a->ledger_count == b->ledger_count &&
                a->note_count == b->note_count;
    for (size_t i = 0; same && i < a->ledger_count; i++) {
        same = is_same_table(&a->ledger[i], &b->ledger[i], but);
    }
    for (size_t i = 0; same && i < a->note_count; i++) {
        same = strcmp(a->notes[i].text, b->notes[i].text) == 0;
    }
    return same;
}

static bool is_action(const struct table *events, size_t row, int action)
{
    return (int)table_column(events, "action")->values[row] == action;
}

/* Whether an entry follows, by however many others, what the heater reaching its mark ends: a moment that is only found by
 * passing it. */
static bool rests_on_heat(const struct scenario *scenario, int entry)
{
    const struct event_spec *spec = entry < 0 ? NULL : &scenario->events[entry];
    if (spec == NULL || spec->timing != TIMING_AFTER) {
        return false;
    }
    for (int i = 0; i < (int)scenario->event_count; i++) {
        const struct event_spec *other = &scenario->events[i];
        bool leads = spec->after >= 0 ? spec->after == i : spec->after_action == other->action;
        if (leads && (other->action == ACTION_HEAT || rests_on_heat(scenario, i))) {
            return true;
        }
    }
    return false;
}

/* Cut at every event whose time is known beforehand; what runs over does so beside another. */
static void pieces_expect(const struct scenario *scenario, const struct result *whole, const char *text)
{
    struct result result;
    struct run *run;
    const struct table *events = &whole->events;
    const struct column *time = table_column(events, "time");
    const struct column *source = table_column(events, "source");
    struct status status = run_open(scenario, NULL, &result, &run);
    for (size_t i = 0; i < events->rows && status_is_ok(&status); i++) {
        if (!is_action(events, i, RUN_ACTION_HEATER_REACHED) && !is_action(events, i, RUN_ACTION_OVERFLOW) &&
            !rests_on_heat(scenario, (int)source->values[i])) {
            status = run_until(run, time->values[i]);
        }
    }
    if (status_is_ok(&status)) {
        status = run_until(run, scenario->lasts);
    }
    status = run_close(run, status);
    (void)status;
    told.cut++;
    expect(is_same(whole, &result, ""), text, "a run in pieces is the whole run");
    result_free(&result);
}

/* ---- order ------------------------------------------------------------------------------------------------------- */

/* Whether no two entries happened at one moment. On the way: those that did came in the order of the file, but for an entry
 * that follows another without delay, which comes in its turn after it. */
static bool order_expect(const struct scenario *scenario, const struct result *whole, const char *text)
{
    const struct column *time = table_column(&whole->events, "time");
    const struct column *source = table_column(&whole->events, "source");
    const struct column *action = table_column(&whole->events, "action");
    bool untied = true;
    int before = -1; /* the entry that happened before, at this moment */
    for (size_t i = 0; i < whole->events.rows; i++) {
        if (i > 0 && time->values[i] > time->values[i - 1]) {
            before = -1;
        }
        int entry = action->values[i] < ACTION_COUNT ? (int)source->values[i] : -1;
        expect(action->values[i] != RUN_ACTION_CLOTH_OUT || before < 0, text, "cloth comes out before entries begin");
        if (entry < 0) {
            continue;
        }
        const struct event_spec *spec = &scenario->events[entry];
        bool follows = spec->timing == TIMING_AFTER && !(spec->delay > 0.0);
        if (before >= 0) {
            untied = false;
            told.together++;
            expect(entry >= before || follows || spec->action == ACTION_DIP, text,
                   "entries of one moment go in their order");
        }
        before = entry;
    }
    return untied;
}

/* The entries the other way round; what follows one follows it still. */
static void permuted_expect(const struct scenario *scenario, const struct result *whole, const char *text)
{
    struct scenario other = *scenario;
    struct event_spec events[ENTRIES_MOST];
    size_t count = scenario->event_count;
    struct result result;
    if (count < 2 || count > ENTRIES_MOST) {
        return;
    }
    for (size_t i = 0; i < count; i++) {
        events[i] = scenario->events[count - 1 - i];
        events[i].after = events[i].after < 0 ? -1 : (int)count - 1 - events[i].after;
    }
    other.events = events;
    struct status status = run_scenario(&other, NULL, &result);
    (void)status;
    told.permuted++;
    expect(is_same(whole, &result, "source"), text, "the order of the entries in the file does not matter");
    result_free(&result);
}

/* ---- one direction ----------------------------------------------------------------------------------------------- */

/* Whether nothing that is done rests on what was read, so that two runs differ by what is made to differ alone. */
static bool is_unconditional(const struct scenario *scenario)
{
    bool unconditional = !scenario->ends_when_done;
    for (size_t i = 0; i < scenario->event_count; i++) {
        const struct event_spec *spec = &scenario->events[i];
        bool follows_feeding = spec->timing == TIMING_AFTER && spec->after < 0 && spec->after_action == ACTION_ADD;
        unconditional = unconditional && spec->condition_count == 0 && !follows_feeding;
    }
    return unconditional;
}

static int material_named(const struct scenario *scenario, const char *name)
{
    for (size_t i = 0; i < scenario->model.material_count; i++) {
        if (strcmp(scenario->model.materials[i].name, name) == 0) {
            return (int)i;
        }
    }
    return -1;
}

/* Whether lime holds the pH: some is left, and the liquor is saturated with it. */
static bool is_limed(const struct result *result, size_t row)
{
    return result->series.columns[SERIES_LIME_SOLID].values[row] > LIME_LEFT &&
           result->series.columns[SERIES_LIME_THIRST].values[row] < THIRST_LEAST;
}

/* The same with 2 g/L of fructose at a quarter of the time. A rule of vats that lime holds: any other loses its alkali to the
 * carbon dioxide of the air, and sugar, which lowers its pH at once, buffers it, so that an hour later it may stand higher. */
static void feeding_expect(const struct scenario *scenario, const struct result *whole, const char *text)
{
    struct scenario other = *scenario;
    struct event_spec events[ENTRIES_MOST + 1];
    size_t count = scenario->event_count;
    struct result fed;
    if (count > ENTRIES_MOST || strcmp(scenario->model.name, "sugar-lime") != 0) {
        return;
    }
    if (count > 0) {
        memcpy(events, scenario->events, count * sizeof *events);
    }
    events[count] = (struct event_spec){
        .action = ACTION_ADD,
        .timing = TIMING_AT,
        .at = 0.25 * scenario->lasts,
        .after = -1,
        .temperature_K = NAN,
        .dose = {.material = material_named(scenario, "fructose"), .mass = 2.0 * scenario->fill, .purity = NAN}};
    other.events = events;
    other.event_count = count + 1;
    struct status status = run_scenario(&other, NULL, &fed);
    (void)status;
    told.fed++;
    for (size_t i = 0; i < whole->series.rows && i < fed.series.rows; i++) {
        double without = whole->series.columns[SERIES_PH].values[i];
        double with = fed.series.columns[SERIES_PH].values[i];
        if (is_limed(whole, i) && is_limed(&fed, i) && !(with <= without + PH_HIGHER_MOST)) {
            (void)fprintf(stderr, "row %zu: pH %.6f fed, %.6f not\n", i, with, without);
            expect(false, text, "sugar never raises the pH");
        }
    }
    result_free(&fed);
}

/* The same with the passage of oxygen through the surface doubled. */
static void air_expect(const struct scenario *scenario, const struct result *whole, const char *text)
{
    static struct scenario other; /* large, for the constants in it */
    struct result aired;
    other = *scenario;
    other.model.constants[K_KL_STILL_20C].nominal *= 2.0;
    struct status status = run_scenario(&other, NULL, &aired);
    (void)status;
    told.aired++;
    for (size_t i = 0; i < whole->series.rows && i < aired.series.rows; i++) {
        double still = whole->series.columns[SERIES_REDUCED_SHARE].values[i];
        double more = aired.series.columns[SERIES_REDUCED_SHARE].values[i];
        if (!(more <= still + REDUCED_HIGHER_MOST)) {
            (void)fprintf(stderr, "row %zu: %.6f reduced with more air, %.6f without\n", i, more, still);
            expect(false, text, "more air never leaves more leuco");
        }
    }
    result_free(&aired);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static char text[VALID_SCENARIO_SIZE];
    struct scenario scenario;
    struct result whole;
    if (told.scenarios == 0) {
        (void)atexit(tell);
    }
    valid_scenario_write(data, size, text);
    struct status status = scenario_of_text(text, &scenario);
    fuzz_expect(status_is_ok(&status), "a scenario in order reads");
    told.scenarios++;
    status = run_expect(&scenario, text, &whole);
    pieces_expect(&scenario, &whole, text);
    if (order_expect(&scenario, &whole, text)) {
        permuted_expect(&scenario, &whole, text);
    } else {
        told.tied++;
    }
    if (is_unconditional(&scenario)) {
        feeding_expect(&scenario, &whole, text);
        air_expect(&scenario, &whole, text);
    }
    result_free(&whole);
    scenario_free(&scenario);
    return 0;
}
