/* test_compare_orders_1.c: the ranking of three schedules in vats 1 to 10 of forty; see orders.h. */
#include "study/orders.h"

#include "support/close.h"

static void ranking_is_stable(void **state)
{
    (void)state;
    orders_hold(0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(ranking_is_stable)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
