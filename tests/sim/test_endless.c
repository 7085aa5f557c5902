/* test_endless.c: a run that takes steps without end is refused in words, with what was done.
 *
 * So many steps take minutes: this test is linked so that the count that the run looks at comes from __wrap_ode_statistics_of.
 */
#include "trial.h"

#include "sim/ode.h"
#include "support/close.h"

#include <string.h>

struct ode_statistics __real_ode_statistics_of(const struct ode *ode);
struct ode_statistics __wrap_ode_statistics_of(const struct ode *ode);

static double steps_per_step = 1.0;

struct ode_statistics __wrap_ode_statistics_of(const struct ode *ode)
{
    struct ode_statistics statistics = __real_ode_statistics_of(ode);
    statistics.steps *= steps_per_step;
    return statistics;
}

static void endless_steps_are_refused(void **state)
{
    (void)state;
    struct scenario *scenario = trial_read(TRIAL_HEAD("20 days", "6 h") TRIAL_VAT);
    struct result whole = trial_run(scenario);
    struct result result;
    steps_per_step = 2e7 / whole.statistics.steps; /* half of the run is too much */
    struct status status = run_scenario(scenario, NULL, &result);
    assert_int_equal(status.code, STATUS_LIMIT);
    assert_non_null(strstr(status.message, "more than 10000000 steps; by day "));
    assert_int_equal(result.status, RUN_FAILED);
    assert_true(result.series.rows > 1 && result.series.rows < whole.series.rows);
    trial_ledgers_close(&result);
    result_free(&whole);
    result_free(&result);
    trial_free(scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(endless_steps_are_refused)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
