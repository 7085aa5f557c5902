/* summary.h: a result told in words, as a dyer would tell it. */
#ifndef VATCAST_CLI_SUMMARY_H
#define VATCAST_CLI_SUMMARY_H

#include "sim/result.h"

#include <stdbool.h>
#include <stdio.h>

/* Prints the whole story of a result that lies in the file `where`. Everything comes from the result alone. */
void summary_print(FILE *out, const struct result *result, const char *where, bool colour);

/* The same for programs: lines of `label TAB margin TAB words`, without the last that names the file; an empty line
 * stands before the first day and after the last. */
void summary_write_lines(FILE *out, const struct result *result);
/* The same as a text owned by the caller; NULL: no memory. */
char *summary_story(const struct result *result);

#endif
