/* test_no_constant.c: every constant that may be nothing is set to nothing, one at a time, in a vat of lime and in a fermented one.
 * The days run to their end; a constant that may not be nothing is refused before. */
#include "base/constants.h"
#include "process/registry.h"
#include "scenario/read.h"
#include "sim/run.h"

#include "support/close.h"

#include <gsl/gsl_errno.h>
#include <stdio.h>
#include <string.h>

#define DAYS (3.0 * 86400.0) /* of the calendar that are run */

static struct status run_without(const char *path, enum constant_id id)
{
    const char *names[PROCESSES_KNOWN_MOST + 1];
    char none[100];
    const char *unit = constant_specs[id].unit;
    const char *overrides[] = {none};
    struct complaints complaints;
    struct scenario scenario;
    process_names(names);
    complaints_init(&complaints);
    (void)snprintf(none, sizeof none, "constants.%s=0 %s", constant_specs[id].name, strcmp(unit, "1") == 0 ? "" : unit);
    struct status status = scenario_read(path, overrides, 1, names, MODELS_DIR, &scenario, &complaints);
    if (status_is_ok(&status)) {
        const struct run_options options = {.rtol = 1e-3};
        struct result result;
        scenario.lasts = DAYS;
        status = run_scenario(&scenario, &options, &result);
        result_free(&result);
        scenario_free(&scenario);
    }
    complaints_free(&complaints);
    return status;
}

static void nothing_is_borne_or_refused(void **state)
{
    (void)state;
    (void)gsl_set_error_handler_off();
    static const char *const vats[] = {"valley-sashes", "bran-seeded"};
    int failed = 0;
    for (size_t v = 0; v < sizeof vats / sizeof vats[0]; v++) {
        char path[500];
        (void)snprintf(path, sizeof path, "%s/%s.conf", SCENARIOS_DIR, vats[v]);
        for (int id = 0; id < CONSTANT_COUNT; id++) {
            struct status status = run_without(path, (enum constant_id)id);
            bool refused = constant_refusal((enum constant_id)id, 0.0) != NULL;
            bool as_told = refused ? status.code == STATUS_SCENARIO : status_is_ok(&status);
            if (!as_told) {
                print_error("%s without %s: %s\n", vats[v], constant_specs[id].name, status.message);
                failed++;
            }
        }
    }
    assert_int_equal(failed, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(nothing_is_borne_or_refused)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
