/* test_advise_overlimed.c: following advice brings vats that are overlimed to ready; see following.h. */
#include "study/following.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

static void closes_the_loop(void **state)
{
    (void)state;
    follow_advice(DISTURBED_OVERLIMED, 4, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(closes_the_loop),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
