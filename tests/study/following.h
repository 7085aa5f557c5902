/* following.h: advice followed step by step on vats disturbed at random, and what came of it. */
#ifndef VATCAST_TESTS_FOLLOWING_H
#define VATCAST_TESTS_FOLLOWING_H

#include "study/disturbed.h"

/* Five vats of a disturbance, printed one by one; six tests make the thirty of which at least 27 must come to ready. At least
 * `ready_least` here do; none fares worse than left alone. At most `overdosed_most` doses may be more than half again what was
 * needed: the goal is none, and docs/advise.md tells of the few. */
void follow_advice(enum disturbance kind, int ready_least, int overdosed_most);

/* The scenario of tests/study/advise-vat.conf; freed with scenario_free. */
struct scenario following_base(void);

#endif
