/* test_schedules.c: several schedules in one scenario, what is shared and what is chosen, and prices. */
#include "scenario/price.h"
#include "scenario/read.h"

#include "support/close.h"

#include <stdio.h>
#include <string.h>

static void assert_ok(struct status status)
{
    assert_int_equal(status.code, STATUS_OK);
}

static void read_with(const char *override, struct scenario *scenario)
{
    struct complaints complaints;
    complaints_init(&complaints);
    struct status status = scenario_read(TESTS_DATA "/schedules.conf", &override, override != NULL ? 1 : 0, NULL,
                                         MODELS_DIR, scenario, &complaints);
    for (size_t i = 0; i < complaints.count; i++) {
        print_error("%d: %s\n", complaints.items[i].line, complaints.items[i].text);
    }
    complaints_free(&complaints);
    assert_int_equal(status.code, STATUS_OK);
}

/* The common calendar, then the schedule's own; each may follow labels of the other. */
static void the_first_unless_named(void **state)
{
    (void)state;
    struct scenario scenario;
    read_with(NULL, &scenario);
    assert_int_equal(scenario.schedule_count, 2);
    assert_string_equal(scenario.schedules[0].name, "daily");
    assert_string_equal(scenario.schedules[1].name, "once");
    assert_int_equal(scenario.schedule, 0);
    assert_false(scenario.schedule_named);
    assert_true(scenario.ends_when_done);
    assert_string_equal(scenario.title, "A vat in two ways: daily");
    assert_int_equal(scenario.event_count, 5);
    assert_int_equal(scenario.events[1].after, 3); /* the common stir follows the schedule's feed */
    assert_int_equal(scenario.events[4].after, 0); /* the schedule's dip follows the common stir */
    assert_int_equal(scenario.events[4].pick, PICK_PALEST);
    assert_close(scenario.events[3].dose.mass, 0.010, 1e-12, 0.0);
    scenario_free(&scenario);

    read_with("schedule=once", &scenario);
    assert_int_equal(scenario.schedule, 1);
    assert_true(scenario.schedule_named);
    assert_string_equal(scenario.title, "A vat in two ways: once");
    assert_int_equal(scenario.event_count, 4);
    assert_int_equal(scenario.events[1].after, 3);
    assert_close(scenario.events[3].dose.mass, 0.060, 1e-12, 0.0);
    assert_non_null(strstr(scenario.scenario_text, "# --set schedule=once"));
    scenario_free(&scenario);

    read_with("schedules.daily.calendar.feed.amount=15 g", &scenario);
    assert_close(scenario.events[3].dose.mass, 0.015, 1e-12, 0.0);
    scenario_free(&scenario);
}

/* A vessel known by its litres is 1.4 times as deep as wide; topped up, nothing said, it is filled as at the start. */
static void a_vessel_by_its_litres(void **state)
{
    (void)state;
    struct scenario scenario;
    const double pi = 3.14159265358979323846;
    read_with(NULL, &scenario);
    assert_close(scenario.vessel.depth, 1.4 * scenario.vessel.diameter, 1e-12, 0.0);
    assert_close(pi / 4.0 * scenario.vessel.diameter * scenario.vessel.diameter * scenario.vessel.depth, 0.028, 1e-12,
                 0.0);
    assert_close(scenario.events[2].to_volume, 0.020, 1e-12, 0.0);
    scenario_free(&scenario);
    read_with("vat.vessel.depth=40 cm", &scenario);
    assert_close(scenario.vessel.depth, 0.40, 1e-12, 0.0);
    assert_close(pi / 4.0 * scenario.vessel.diameter * scenario.vessel.diameter * 0.40, 0.028, 1e-12, 0.0);
    scenario_free(&scenario);
    read_with("vat.vessel.diameter=30 cm", &scenario);
    assert_close(pi / 4.0 * 0.09 * scenario.vessel.depth, 0.028, 1e-12, 0.0);
    scenario_free(&scenario);
}

static void prices_are_kept(void **state)
{
    (void)state;
    struct scenario scenario;
    const char *nearest;
    read_with(NULL, &scenario);
    assert_int_equal(scenario.price_count, 2);
    assert_string_equal(scenario.prices[0].material, "indigo powder");
    assert_close(scenario.prices[0].per_kg, 90.0, 1e-12, 0.0);
    assert_string_equal(scenario.prices[1].material, "water");
    assert_close(scenario.prices[1].per_kg, 0.004, 1e-12, 0.0);
    assert_null(price_unknown(scenario.prices, 2, &scenario.model, &nearest));
    struct price wrong[] = {scenario.prices[0], {.material = "fructoes"}};
    assert_string_equal(price_unknown(wrong, 2, &scenario.model, &nearest), "fructoes");
    assert_string_equal(nearest, "fructose");
    scenario_free(&scenario);
}

static void prices_are_read(void **state)
{
    (void)state;
    struct price price;
    assert_ok(price_read("slaked lime=2.50/kg", &price));
    assert_string_equal(price.material, "slaked lime");
    assert_close(price.per_kg, 2.5, 1e-12, 0.0);
    assert_ok(price_read("indigo powder = 9 / 100 g", &price));
    assert_string_equal(price.material, "indigo powder");
    assert_close(price.per_kg, 90.0, 1e-12, 0.0);
    assert_ok(price_read("fructose=1/lb", &price));
    assert_close(price.per_kg, 1.0 / 0.45359237, 1e-12, 0.0);
    assert_ok(price_read("water=4/m3", &price));
    assert_close(price.per_kg, 0.004, 1e-12, 0.0);
    static const char *const wrong[] = {"",           "=1/kg",      "lime",         "lime=2",      "lime=/kg",
                                        "lime=x/kg",  "lime=-1/kg", "lime=1/stone", "lime=inf/kg", "lime=nan/kg",
                                        "lime=1 2/kg"};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        if (price_read(wrong[i], &price).code != STATUS_USAGE) {
            fail_msg("'%s' was taken for a price", wrong[i]);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_first_unless_named),
        cmocka_unit_test(a_vessel_by_its_litres),
        cmocka_unit_test(prices_are_kept),
        cmocka_unit_test(prices_are_read),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
