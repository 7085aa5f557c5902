/* asking.h: scenarios for the tests of studies, read from files or from text. */
#ifndef VATCAST_TESTS_STUDY_ASKING_H
#define VATCAST_TESTS_STUDY_ASKING_H

#include "base/status.h"
#include "scenario/scenario.h"
#include "study/work.h"
#include "support/close.h"

/* Reads a scenario with overrides ("PATH=VALUE"); a complaint fails the test. Free with scenario_free. */
void ask_file(const char *path, const char *const *overrides, size_t count, struct scenario *scenario);

/* Reads a scenario from its text. */
void ask_text(const char *text, struct scenario *scenario);

/* A vat of this many litres in a vessel of like shape but so many times as deep, with powder of 40 % indigotin at so many g/L and 1:2:3 lime and
 * fructose, made with water at 50 degC, in a room of 22 degC under a loose lid and a blanket, held at 38 degC by a heater
 * (so that vats of all sizes are as warm), stirred three times; one cotton cloth of 150 g/m2, first dip on day 2, 8 min. */
void ask_vat(double litres, double powder_g_per_L, double depth_times, struct scenario *scenario);

/* One session of so many loads, one every so many seconds, of one piece dipped anew each time; the load is left to say. */
struct work_plan ask_session(const struct scenario *scenario, int loads, double every);

/* Fails the test unless the status is a success, and tells its message. */
void assert_done(struct status status);

#endif
