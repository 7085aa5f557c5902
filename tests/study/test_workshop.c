/* test_workshop.c: what the days of a workshop come to; other plans; against the trade's arithmetic.
 *
 * Trade figures (common practice, no source): a vat of 18 L holds three pieces at once and does some 21 piece-dips an hour
 * at 6 min and handling; twelve people with two pieces of three dips take over 3 h or stand in line over 40 min at one
 * such vat, and 60 to 90 min at three.
 */
#include "study/workshop.h"
#include "study/workshop_result.h"

#include "asking.h"
#include "sim/series.h"
#include "study/variant.h"

#include <stdlib.h>
#include <string.h>

#define CLASS(vats, more)                                                                                              \
    "title = \"A class\"; start = \"2026-06-01 16:00\"; lasts = \"2 days\"; rtol = 1e-4;\n"                            \
    "vat = { model = \"sugar-lime\";\n"                                                                                \
    "  vessel = { diameter = \"29 cm\"; depth = \"36 cm\"; fill = \"18 L\"; lid = \"loose\"; wrap = \"blanket\"; "     \
    "heater = \"500 W\"; };\n"                                                                                         \
    "  place = { night = \"16 degC\"; day = \"22 degC\"; };\n"                                                         \
    "  water = { temperature = \"50 degC\"; alkalinity = \"120 mg/L\"; };\n"                                           \
    "  charge = ( { add = \"indigo powder\"; amount = \"90 g\"; purity = 0.40; },\n"                                   \
    "             { add = \"slaked lime\"; amount = \"180 g\"; }, { add = \"fructose\"; amount = \"270 g\"; } ); };\n" \
    "cloth = ( { name = \"bandana\"; fibre = \"cotton\"; each = \"30 g\"; fabric = \"110 g/m2\"; target = \"pale\"; "  \
    "} );\n"                                                                                                           \
    "calendar = ( { at = \"day 1 16:20\"; do = \"stir\"; }, { at = \"day 1 17:00\"; do = \"stir\"; },\n"               \
    "  { at = \"day 2 07:00\"; do = \"heat\"; to = \"36 degC\"; },\n"                                                  \
    "  { at = \"day 2 12:00\"; do = \"add\"; what = \"fructose\"; amount = \"9 g\"; } );\n"                            \
    "workshop = { opens = \"day 2 10:00\"; closes = \"day 2 17:00\"; vats = " #vats                                    \
    "; at_once = 3; dips = 3; pieces = 2;\n"                                                                           \
    "  arrive = ( { at = \"day 2 10:00\"; people = 12; } ); soak = \"6 min\"; air = \"15 min\"; " more " };\n"

static struct workshop_question question_of(int days, bool table)
{
    return (struct workshop_question){.days = days,
                                      .table_days = 2,
                                      .seed = 11,
                                      .chemistry = true,
                                      .shade = SHADE_PALE,
                                      .vats_most = 2,
                                      .sizes = {0.018, 0.036},
                                      .size_count = 2,
                                      .table = table,
                                      .after = 3600.0};
}

static double hours_until_last_out(const struct scenario *scenario, struct figures *figures)
{
    struct day_figures_how how = {.days = 6, .seed = 3, .chemistry = true, .shade = SHADE_COUNT};
    struct day first;
    assert_done(day_figures_find(scenario, &how, figures, &first, NULL, NULL));
    double last = 0.0;
    for (size_t i = 0; i < first.visit_count; i++) {
        last = fmax(last, first.visits[i].out);
    }
    day_free(&first);
    return (last - scenario->workshop.opens) / 3600.0;
}

static void the_trade_s_arithmetic(void **state)
{
    (void)state;
    struct scenario scenario;
    struct figures one;
    struct figures three;
    ask_text(CLASS(1, ""), &scenario);
    double hours_one = hours_until_last_out(&scenario, &one);
    scenario.workshop.vats = 3;
    double hours_three = hours_until_last_out(&scenario, &three);
    print_message("one vat: %.2f h until the last dip, nine in ten wait %.0f min; three: %.2f h, %.0f min\n", hours_one,
                  one.wait_p90 / 60.0, hours_three, three.wait_p90 / 60.0);
    assert_true(hours_one > 3.0 || one.wait_p90 > 40.0 * 60.0);
    assert_close(one.places_used * 7.0 * 3.0, 72 * (6.0 + 2.5) / 60.0, 0.1, 0.0); /* place-hours that the dips take */
    assert_between(hours_three, 1.0, 1.5);
    assert_true(three.owf_p50 > one.owf_p50); /* the same work in three times the liquor */
    scenario_free(&scenario);
}

static void percentiles_are_of_all_days(void **state)
{
    (void)state;
    struct scenario scenario;
    ask_text(CLASS(2, "tubs = 1;"), &scenario);
    struct day_figures_how how = {.days = 9, .seed = 5, .shade = SHADE_COUNT};
    struct figures figures;
    struct figures again;
    struct crowd_row *crowd;
    size_t rows;
    struct day first;
    assert_done(day_figures_find(&scenario, &how, &figures, &first, &crowd, &rows));
    assert_done(day_figures_find(&scenario, &how, &again, NULL, NULL, NULL));
    assert_memory_equal(&figures, &again, sizeof figures); /* whatever thread did which day */
    assert_true(figures.wait_p50 <= figures.wait_p90 && figures.wait_p90 <= figures.wait_longest);
    assert_true(figures.last_p50 <= figures.last_p90 && figures.stay_p50 <= figures.stay_p90);
    assert_close(figures.finished_mean, 1.0, 1e-12, 0.0);
    assert_true(isnan(figures.owf_p50) && isnan(figures.at_shade) && isnan(figures.helpers_used));
    /* By counting: the waits of the nine days, one by one. */
    int longer = 0;
    int all = 0;
    for (int i = 0; i < how.days; i++) {
        struct day_how day_how = {.seed = how.seed + (unsigned long)i};
        struct day day;
        assert_done(day_run(&scenario, &day_how, &day));
        for (size_t v = 0; v < day.visit_count; v++) {
            longer += day_time_queued(&scenario.workshop, &day.visits[v]) > figures.wait_p90 + 1e-6;
            all++;
        }
        day_free(&day);
    }
    assert_int_equal(all, 9 * 72);
    assert_close((double)longer / all, 0.1, 0.0, 2.0 / all);
    for (size_t i = 0; i < rows; i++) {
        assert_true(crowd[i].waiting_p50 <= crowd[i].waiting_p90);
    }
    assert_close(crowd[0].time, first.rows[0].time, 0.0, 1e-9);
    day_free(&first);
    free(crowd);
    scenario_free(&scenario);
}

/* A vat twice as large, with all in proportion, is as strong; with twice the places it serves twice the people. */
static void size_is_in_proportion(void **state)
{
    (void)state;
    struct scenario scenario;
    struct scenario large;
    struct result results[2];
    ask_text(CLASS(1, ""), &scenario);
    assert_done(variant_make(&scenario, &large));
    workshop_resize(&large, 2.0);
    assert_close(large.fill, 0.036, 1e-12, 0.0);
    assert_close(large.vessel.depth, 0.36 * cbrt(2.0), 1e-12, 0.0);
    assert_close(large.charge[0].mass, 0.180, 1e-12, 0.0);
    assert_close(large.vessel.heater_power, 1000.0, 1e-12, 0.0);
    assert_done(run_scenario(&scenario, NULL, &results[0]));
    assert_done(run_scenario(&large, NULL, &results[1]));
    const struct column *small_ph = table_column(&results[0].series, "ph");
    const struct column *large_ph = table_column(&results[1].series, "ph");
    assert_close(large_ph->values[4], small_ph->values[4], 0.0, 0.1); /* it cools more slowly, so not the same */
    result_free(&results[0]);
    result_free(&results[1]);
    scenario_free(&large);
    scenario_free(&scenario);
}

static void making_moves_with_the_lead(void **state)
{
    (void)state;
    struct scenario scenario;
    struct scenario moved;
    ask_text(CLASS(1, ""), &scenario);
    assert_done(variant_make(&scenario, &moved));
    workshop_make_before(&moved, 4.0 * 3600.0); /* at 06:00: 14 h later */
    assert_close(moved.start_unix - scenario.start_unix, 14.0 * 3600.0, 0.0, 1e-6);
    assert_close(moved.workshop.opens, 4.0 * 3600.0, 0.0, 1e-6);
    assert_close(moved.workshop.closes, 11.0 * 3600.0, 0.0, 1e-6);
    assert_close(moved.workshop.arrivals[0].at, 4.0 * 3600.0, 0.0, 1e-6);
    assert_close(moved.events[0].at, 1200.0, 0.0, 1e-6);       /* stirs belong to the making */
    assert_close(moved.events[2].at, 3600.0, 0.0, 1e-6);       /* heat at 07:00 stays on the clock */
    assert_close(moved.events[3].at, 6.0 * 3600.0, 0.0, 1e-6); /* food at 12:00 too */
    scenario_free(&moved);
    assert_done(variant_make(&scenario, &moved));
    workshop_make_before(&moved, 2.0 * 3600.0); /* at 08:00, after the heat */
    assert_true(moved.events[2].at > moved.lasts);
    scenario_free(&moved);
    scenario_free(&scenario);
}

static void feeding_replaces_what_is_written(void **state)
{
    (void)state;
    struct scenario scenario;
    struct scenario fed;
    ask_text(CLASS(1, "breaks = ( { at = \"day 2 13:00\"; for = \"1 h\"; } );"), &scenario);
    static const enum feeding ways[] = {FEED_AS_WRITTEN, FEED_NOT, FEED_BREAKS, FEED_MIDDLE};
    const double grams[] = {9.0, 0.0, 18.0, 18.0};
    for (int i = 0; i < 4; i++) {
        double sugar = 0.0;
        assert_done(variant_make(&scenario, &fed));
        assert_done(workshop_feed(&fed, ways[i]));
        for (size_t e = 0; e < fed.event_count; e++) {
            const struct event_spec *event = &fed.events[e];
            if (event->action == ACTION_ADD && event->at >= fed.workshop.opens && event->at <= fed.workshop.closes &&
                strcmp(fed.model.materials[event->dose.material].name, "fructose") == 0) {
                sugar += 1e3 * event->dose.mass;
            }
        }
        assert_close(sugar, grams[i], 1e-9, 1e-9);
        scenario_free(&fed);
    }
    scenario_free(&scenario);
}

static void answers_the_whole_question(void **state)
{
    (void)state;
    struct scenario scenario;
    struct workshop_question question = question_of(3, true);
    static struct workshop_answer answer; /* large */
    ask_text(CLASS(1, "wait = \"20 min\";"), &scenario);
    assert_done(workshop_find(&scenario, &question, &answer));
    assert_int_equal(answer.cell_count, 4);
    assert_false(answer.met[GOAL_WAIT]); /* one vat of 18 L: see above */
    assert_int_equal(answer.limit, MEANS_PLACE);
    assert_true(answer.gains[MEANS_PLACE].wait_p90 < answer.bare.wait_p90);
    assert_false(answer.gains[MEANS_HELPER].there);
    int best = answer.best;
    assert_true(best >= 0 && answer.cells[best].serves && answer.cells[best].vats >= 2);
    for (int i = 0; i < answer.cell_count; i++) { /* none with less liquor would do */
        const struct workshop_cell *cell = &answer.cells[i];
        assert_true(!cell->serves || cell->vats < 2 ||
                    cell->vats * cell->volume >= answer.cells[best].vats * answer.cells[best].volume - 1e-9);
        assert_int_equal(cell->at_once, cell->volume > 0.02 ? 6 : 3);
    }
    assert_true(answer.cells[1].figures.wait_p90 < answer.cells[0].figures.wait_p90);
    assert_true(answer.making_count >= 5 && answer.feeding_count == 3);
    struct result result;
    assert_done(workshop_result_make(&scenario, &answer, "Waiting\t\tlong\n", &result));
    assert_non_null(result.workshop);
    assert_int_equal(result.workshop->other_count, 0);
    assert_int_equal(result.pieces.rows, 24);
    assert_int_equal(result.workshop->plans.rows, 4);
    assert_true(result.workshop->day.rows > 60);
    assert_string_equal(result.scenario_text, scenario.scenario_text);
    result_free(&result);
    workshop_free(&answer);
    scenario_free(&scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_trade_s_arithmetic),
        cmocka_unit_test(percentiles_are_of_all_days),
        cmocka_unit_test(size_is_in_proportion),
        cmocka_unit_test(making_moves_with_the_lead),
        cmocka_unit_test(feeding_replaces_what_is_written),
        cmocka_unit_test(answers_the_whole_question),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
