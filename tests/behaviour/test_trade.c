/* test_trade.c: the trade's own experience with a 19 L vat, told in trade-experience.conf (common practice, no
 * source). */
#include "behaviour/behaviour.h"

#include <math.h>

#define CLOCK(day, hour, minute) (24.0 * ((day)-1) + (hour)-11.0 + (minute) / 60.0) /* the scenario starts at 11:00 */

static void woken_dyed_out_and_in_need_of_rest(void **state)
{
    (void)state;
    struct vat_run *run = run_file(TESTS_DIR "/behaviour/trade-experience.conf", NULL);
    const double limed = CLOCK(1, 11, 12);
    const double leuco = run->scenario.model.constants[K_USABLE_LEUCO].nominal * 0.26227;

    /* Ready about an hour and a half after the lime: usable leuco, potential below -520 mV, bronze or faintly so. */
    double ready = fmax(first_above(run, "leuco", leuco, limed), first_below(run, "orp", -520.0, limed)) - limed;
    double film_ready = value_at(run, "film_cover", CLOCK(1, 12, 40));
    print_message(
        "warmed to %.1f degC; %.2f g/L of leuco %.2f h after the lime, %.2f g/L and %.0f mV at 12:40, film %.2f\n",
        value_at(run, "temperature", CLOCK(1, 11, 10)), leuco, ready, value_at(run, "leuco", CLOCK(1, 12, 40)),
        value_at(run, "orp", CLOCK(1, 12, 40)), film_ready);
    assert_close(value_at(run, "temperature", CLOCK(1, 11, 10)), 49.0, 0.0, 3.0);
    assert_true(value_at(run, "leuco", CLOCK(1, 12, 40)) >= leuco);
    assert_true(value_at(run, "orp", CLOCK(1, 12, 40)) < -520.0);
    assert_int_equal((int)value_at(run, "state", CLOCK(1, 12, 40)), 0);
    /* Finding, docs/model.md "Ready sooner": an hour and a half after the lime it is ready, as practice has it, but the
     * model passes its mark at 0.7 h, where practice has 1 to 2 h. */
    assert_between(ready, 0.6, 0.85);

    /* The morning's pH reads about 10.4; a strip is good to half a unit. */
    print_message("morning pH %.2f\n", value_at(run, "ph", CLOCK(2, 8, 30)));
    assert_close(value_at(run, "ph", CLOCK(2, 8, 30)), 10.4, 0.0, 0.4);

    /* The level has dropped by litres. */
    double drop = value_at(run, "volume", CLOCK(1, 12, 40)) - value_at(run, "volume", CLOCK(2, 11, 0));
    print_message("level dropped by %.1f L\n", drop);
    assert_true(drop > 2.0);

    /* Two pieces, three dips and two more each; the last still colour. */
    assert_int_equal(run->result.dips.rows, 10);
    for (size_t last = 8; last < 10; last++) {
        double share = dip_taken(run, last) / dip_taken(run, last - 8);
        print_message("last dip of piece %zu: %.2f g/kg, %.2f of its first\n", last - 7, dip_taken(run, last), share);
        assert_true(share >= 0.20);
        assert_true(dip_taken(run, last) >= 0.3);
    }

    /* Film and flower are gone, and the vat must rest. */
    double film_end = most_of(run, "film_cover", CLOCK(2, 10, 45), CLOCK(2, 12, 0));
    print_message("film at the end %.2f\n", film_end);
    assert_true(film_end < 0.5 * film_ready);
    assert_int_not_equal((int)value_at(run, "state", CLOCK(2, 11, 0)), 0);
    assert_int_not_equal((int)value_at(run, "state", CLOCK(2, 23, 0)), 0);
    assert_true(ledger_residual_most(run) < 1e-9);
    run_free(run);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(woken_dyed_out_and_in_need_of_rest),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
