/* test_nan.c: a rate that stops being a number, of each process in turn, is found in the step where it does, and told with the
 * process, the time and the state of the vat; what happened before is kept and its books close.
 *
 * The registry is stood in for: this test is linked so that the engine's calls of process_at come to __wrap_process_at.
 */
#include "trial.h"

#include "process/partials.h"
#include "process/registry.h"
#include "support/close.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define FAILS_AT 4000.0      /* s; between events, while cloth hangs in the warmed vat and it is whipped */
#define STIRRED_UNTIL 5400.0 /* s: till then nothing settles, and is not asked how fast */
#define TIME_LOST 1e-3       /* s, where no step is small enough any more */
#define MODELS 4

const struct process *__real_process_at(size_t index);
const struct process *__wrap_process_at(size_t index);

enum fault { IN_THE_RATE, IN_A_SLOPE };

static struct {
    size_t index; /* of the process that fails */
    struct process failing;
    double (*rate)(const struct liquor *liquor);
    double value;
    partials_function partials;
} seam;

static double failing_rate(const struct liquor *liquor)
{
    return liquor->time > FAILS_AT ? seam.value : seam.rate(liquor);
}

static void failing_partials(PARTIALS_ARGUMENTS)
{
    seam.partials(l, by_K, value, by);
    by->volume += l->time > FAILS_AT ? seam.value : 0.0;
}

const struct process *__wrap_process_at(size_t index)
{
    return index == seam.index ? &seam.failing : __real_process_at(index);
}

static void fail_process(size_t index, double value, enum fault fault)
{
    seam.index = index;
    seam.failing = *__real_process_at(index);
    seam.rate = seam.failing.rate;
    seam.partials = seam.failing.partials;
    seam.value = value;
    if (fault == IN_THE_RATE) {
        seam.failing.rate = failing_rate;
    } else {
        assert_non_null(seam.partials);
        seam.failing.partials = failing_partials;
    }
}

static struct scenario *read_with(const char *model)
{
    char text[2000];
    (void)snprintf(
        text, sizeof text,
        TRIAL_HEAD("3 h", "10 min") "vat = { model = \"%s\"; vessel = { diameter = \"40 cm\"; depth = \"48 cm\"; "
                                    "fill = \"40 L\"; heater = \"1 kW\"; }; place = { sun = \"full\"; }; water = { "
                                    "temperature = \"40 degC\"; };\n"
                                    "  charge = ( { add = \"indigo powder\"; amount = \"200 g\"; }, { add = \"slaked "
                                    "lime\"; amount = \"100 g\"; },\n"
                                    "  { add = \"fructose\"; amount = \"300 g\"; }, { add = \"wheat bran\"; amount = "
                                    "\"100 g\"; } ); };\n"
                                    "cloth = ( { name = \"bundle\"; fibre = \"cotton\"; each = \"80 g\"; fabric = "
                                    "\"160 g/m2\"; count = 4; folded = true; } );\n"
                                    "calendar = ( { at = \"+20 min\"; do = \"heat\"; to = \"45 degC\"; for = \"2 h\"; },\n"
                                    "  { every = \"5 min\"; from = \"+30 min\"; until = \"+48 min\"; do = \"dip\"; pieces = 1; "
                                    "soak = \"1 h\"; },\n"
                                    "  { at = \"+50 min\"; do = \"stir\"; how = \"whip\"; for = \"40 min\"; } );\n",
        model);
    return trial_read(text);
}

/* Fails unless the failure names the process, the time and the state, and what came before is there. */
static void told_or_fail(const struct result *result, const struct status *status, const char *name)
{
    char quoted[80];
    const char *when = strstr(status->message, "stopped at ");
    double time = when == NULL ? 0.0 : strtod(when + strlen("stopped at "), NULL);
    double asked = strncmp(name, "settling_", strlen("settling_")) == 0 ? STIRRED_UNTIL : FAILS_AT;
    (void)snprintf(quoted, sizeof quoted, "'%s'", name);
    if (status->code != STATUS_NUMERIC || strstr(status->message, quoted) == NULL ||
        strstr(status->message, "is not a number") == NULL || strstr(status->message, "degC, pH ") == NULL ||
        !(time > asked - TIME_LOST && time < asked + 1e-6)) {
        fail_msg("%s: %s", name, status->message);
    }
    assert_int_equal(result->status, RUN_FAILED);
    assert_string_equal(result->failure, status->message);
    assert_between(trial_value(&result->series, "time", -1), asked - 600.0, asked);
    for (size_t c = 0; c < result->series.column_count; c++) {
        for (size_t i = 0; i < result->series.rows; i++) {
            assert_true(isfinite(result->series.columns[c].values[i]));
        }
    }
    for (size_t i = 0; i < result->ledger_count; i++) {
        assert_true(result->ledger[i].residual_relative <= 1e-9);
    }
}

/* Every process that some model switches on, with what is no number and with what is too large for one. */
static void each_process_is_named(void **state)
{
    (void)state;
    static const char *const models[MODELS] = {"sugar-lime", "bran-soda", "ash-lye", "hot-madder"};
    static const double values[] = {NAN, INFINITY};
    bool seen[PROCESSES_KNOWN_MOST] = {false};
    size_t count = 0;
    for (int m = 0; m < MODELS; m++) {
        struct scenario *scenario = read_with(models[m]);
        for (size_t i = 0; i < process_count(); i++) {
            if (!scenario->model.process_on[i] || seen[i]) {
                continue;
            }
            seen[i] = true;
            count++;
            for (size_t v = 0; v < sizeof values / sizeof values[0]; v++) {
                struct result result;
                fail_process(i, values[v], IN_THE_RATE);
                struct status status = run_scenario(scenario, NULL, &result);
                told_or_fail(&result, &status, seam.failing.name);
                result_free(&result);
            }
        }
        trial_free(scenario);
    }
    print_message("%zu of %zu processes\n", count, process_count());
    assert_int_equal(count, process_count());
}

/* One whose derivative alone is not a number. */
static void a_slope_is_named(void **state)
{
    (void)state;
    struct scenario *scenario = read_with("sugar-lime");
    struct result result;
    size_t index = 0;
    while (strcmp(__real_process_at(index)->name, "hexose_interconversion") != 0) {
        index++;
    }
    fail_process(index, NAN, IN_A_SLOPE);
    struct status status = run_scenario(scenario, NULL, &result);
    assert_int_equal(status.code, STATUS_NUMERIC);
    if (strstr(status.message, "'hexose_interconversion'") == NULL ||
        strstr(status.message, "is not a number") == NULL) {
        fail_msg("%s", status.message);
    }
    trial_ledgers_close(&result);
    result_free(&result);
    trial_free(scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_process_is_named),
        cmocka_unit_test(a_slope_is_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
