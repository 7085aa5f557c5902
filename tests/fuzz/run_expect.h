/* run_expect.h: what every run keeps to, whatever the scenario.
 *
 * Its books close to round-off (the 1e-9 of docs/architecture.md), time goes forward, everything told is finite, and
 * nothing is negative beyond the tolerance of the calculation.
 */
#ifndef VATCAST_TESTS_FUZZ_RUN_EXPECT_H
#define VATCAST_TESTS_FUZZ_RUN_EXPECT_H

#include "scenario/scenario.h"
#include "sim/result.h"

/* Runs the scenario and ends the program, showing `text`, when a promise is broken. Returns how the run ended: complete, or
 * in words. `result` is freed by the caller. */
struct status run_expect(const struct scenario *scenario, const char *text, struct result *result);

/* Reads a text as a scenario; the complaints go to stderr with the text when it is refused. Freed with scenario_free. */
struct status scenario_of_text(const char *text, struct scenario *scenario);

#endif
