/* test_advise_sugar.c: following advice brings vats that are out of sugar to ready; see following.h. */
#include "study/following.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

static void closes_the_loop(void **state)
{
    (void)state;
    follow_advice(DISTURBED_SUGAR, 4, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(closes_the_loop),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
