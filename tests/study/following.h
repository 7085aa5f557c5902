/* following.h: advice followed step by step on vats disturbed at random, and what came of it. */
#ifndef VATCAST_TESTS_FOLLOWING_H
#define VATCAST_TESTS_FOLLOWING_H

#include "study/disturbed.h"

/* `each` vats of each of two disturbances, printed one by one. Of all, nine in ten must come to ready; none may be given more
 * of a material than half again what it needed, nor fare worse than left alone. */
void follow_advice(enum disturbance one, enum disturbance other, int each);

/* The scenario of tests/study/advise-vat.conf; freed with scenario_free. */
struct scenario following_base(void);

#endif
