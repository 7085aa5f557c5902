/* fake_result.h: a made-up but plausible result for tests of the record and the program. */
#ifndef FAKE_RESULT_H
#define FAKE_RESULT_H

#include "sim/result.h"

/* Fourteen days of a made-up vat: a fresh start, three days of dips, a spell without lime, feeding. Ends the
 * program when memory is short. Freed with result_free. */
void fake_result(struct result *result);

/* A result with all its columns and not one row but the first of the series. */
void fake_empty_result(struct result *result);

#endif
