/* summary.h: a result told in words, as a dyer would tell it. */
#ifndef VATCAST_CLI_SUMMARY_H
#define VATCAST_CLI_SUMMARY_H

#include "sim/result.h"

#include <stdbool.h>
#include <stdio.h>

/* Prints the whole story of a result that lies in the file `where`. Everything comes from the result alone. */
void summary_print(FILE *out, const struct result *result, const char *where, bool colour);

#endif
