/* times.h: dates, days and times of day as a dyer writes them. Wall-clock time without zones. */
#ifndef VATCAST_SCENARIO_TIMES_H
#define VATCAST_SCENARIO_TIMES_H

#include "scenario/scenario.h"

#include <stdbool.h>
#include <stddef.h>

#define DAY_S 86400.0

/* Reads "2026-05-04 08:00" or "2026-05-04" into seconds since 1970 UTC; `has_clock` says whether the time of day is
 * given. */
bool date_read(const char *text, double *unix_s, bool *has_clock);
/* Reads "08:30" into seconds since midnight. */
bool clock_read(const char *text, double *seconds);
/* Reads "day 3" or "day 3 10:00" into the day's midnight, s since the start, and the time of day if given. */
bool day_read(const struct scenario *scenario, const char *text, double *midnight, bool *has_clock, double *clock);
/* Writes "day 3 10:00". */
void time_show(const struct scenario *scenario, double time, char *text, size_t size);
/* Midnight before the start, s since the start (so zero or negative). */
double start_midnight(const struct scenario *scenario);

#endif
