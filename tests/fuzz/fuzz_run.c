/* fuzz_run.c: any valid scenario, run for minutes to days.
 *
 * Promised: a scenario in order reads, and its run keeps what run_expect.h tells. An input that begins like a scenario is
 * one, as those kept in regressions/run are; it may be refused, and is not run when it asks for much. With FUZZ_TELL in the
 * environment each scenario is printed.
 */
#include "fuzz/census.h"
#include "fuzz/fuzz.h"
#include "fuzz/run_expect.h"
#include "fuzz/valid_scenario.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LASTS_MOST (5 * 86400.0)
#define EVENTS_MANY 100
#define ROWS_MANY 2000

static void run_text(const char *text, bool must_read)
{
    struct scenario scenario;
    if (getenv("FUZZ_TELL") != NULL) {
        printf("%s\n", text);
    }
    struct status status = scenario_of_text(text, &scenario);
    bool small = status_is_ok(&status) && scenario.lasts <= LASTS_MOST && scenario.event_count <= EVENTS_MANY &&
                 scenario.lasts / scenario.record_every <= ROWS_MANY;
    fuzz_expect(!must_read || status_is_ok(&status), "a scenario in order reads");
    fuzz_expect(!must_read || small, "random scenarios are small");
    if (small) {
        struct result result;
        status = run_expect(&scenario, text, &result);
        census_take(&scenario, &status, &result);
        result_free(&result);
    }
    scenario_free(&scenario);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static bool telling;
    if (!telling) {
        telling = true;
        (void)atexit(census_tell);
    }
    if (size > 6 && memcmp(data, "start ", 6) == 0) {
        char *text = fuzz_text(data, size);
        run_text(text, false);
        free(text);
    } else {
        static char text[VALID_SCENARIO_SIZE];
        valid_scenario_write(data, size, text);
        run_text(text, true);
    }
    return 0;
}
