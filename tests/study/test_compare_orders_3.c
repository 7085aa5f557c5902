/* test_compare_orders_3.c: the ranking of three schedules in vats 21 to 30 of forty; see orders.h. */
#include "study/orders.h"

#include "support/close.h"

static void ranking_is_stable(void **state)
{
    (void)state;
    orders_hold(2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(ranking_is_stable)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
