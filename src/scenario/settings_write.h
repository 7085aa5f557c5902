/* settings_write.h: a tree of settings as text again, which reads as the same tree. */
#ifndef VATCAST_SCENARIO_SETTINGS_WRITE_H
#define VATCAST_SCENARIO_SETTINGS_WRITE_H

#include "scenario/settings.h"

#include <stdio.h>

/* Writes a value: a number to its last bit, a text in quotes, a group or list with all in it, on one line. */
void setting_write(FILE *out, const struct setting *value);

/* The same with the members of a group, or the entries of a list, on a line each. */
void setting_write_lines(FILE *out, const struct setting *value);

#endif
