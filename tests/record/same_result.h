/* same_result.h: whether two results hold the same, to the last bit. */
#ifndef SAME_RESULT_H
#define SAME_RESULT_H

#include "sim/result.h"

/* Fails the running test at the first difference. NULL and empty texts count as equal. */
void assert_same_result(const struct result *a, const struct result *b);

#endif
