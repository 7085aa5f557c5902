/* core_scenario.h: a scenario compiled in as plain data; its source is written at build time by dump_scenario.c. */
#ifndef VATCAST_TESTS_CORE_SCENARIO_H
#define VATCAST_TESTS_CORE_SCENARIO_H

#include "scenario/scenario.h"

/* The scenario; its arrays are static and must not be freed. */
struct scenario *core_scenario(void);

#endif
