/* sweep_text.h: what the runs of a sweep came to, on a screen. */
#ifndef VATCAST_CLI_SWEEP_TEXT_H
#define VATCAST_CLI_SWEEP_TEXT_H

#include "record/sweep_file.h"

/* Prints what was varied, how many runs became ready, and between which figures they lie. `about` has its members loaded,
 * `percentiles` is as of figures_percentiles; `where` tells where the file lies. */
void sweep_print(const struct sweep_about *about, const struct table *percentiles, const char *where, bool colour);

#endif
