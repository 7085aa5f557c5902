/* test_lesson_judge.c: goals of a lesson and the parting of two courses, on tables made by hand. */
#include "rehearse/lesson_judge.h"
#include "sim/series.h"

#include "support/close.h"

#include <stdlib.h>
#include <string.h>

#define HOUR 3600.0

static void add(struct table *table, const char *name, const double *values, size_t count)
{
    struct status status = table_reserve(table, count);
    assert_true(status_is_ok(&status));
    table->rows = count;
    status = table_append_column(table, name, "1", name, values);
    assert_true(status_is_ok(&status));
}

/* Five hours at a vat: leuco rises, is stirred up in the second hour, and is ready from the third. Two pieces of three are
 * dipped. Four things are given: the first by the scenario itself, then 20 g of fructose, 10 g of it 10 min later, and 15 g of
 * lime 40 min after that. */
static void fill(struct result *result)
{
    result_init(result);
    static const double time[] = {0, HOUR, 2 * HOUR, 3 * HOUR, 4 * HOUR, 5 * HOUR};
    static const double leuco[] = {0.10, 0.15, 0.20, 0.30, 0.40, 0.35};
    static const double ph[] = {12.0, 11.6, 11.2, 11.0, 11.1, 11.3};
    static const double state[] = {VAT_STARTING, VAT_STIRRED_UP, VAT_STIRRED_UP, VAT_READY, VAT_READY, VAT_READY};
    add(&result->series, "time", time, 6);
    add(&result->series, "leuco", leuco, 6);
    add(&result->series, "ph", ph, 6);
    add(&result->series, "temperature", ph, 6);
    add(&result->series, "state", state, 6);
    static const double zeros[] = {0, 0, 0};
    static const double dips[] = {3, 2, 0};
    static const double owf[] = {0.48, 0.32, 0.0};
    static const double shade[] = {SHADE_LIGHT, SHADE_PALE, SHADE_HARDLY_TINTED};
    add(&result->pieces, "kind", zeros, 3);
    add(&result->pieces, "dips", dips, 3);
    add(&result->pieces, "owf_washed", owf, 3);
    add(&result->pieces, "shade", shade, 3);
    static const double went_in[] = {0.5 * HOUR, 2.5 * HOUR, 3.5 * HOUR};
    add(&result->dips, "time", went_in, 3);
    static const double when[] = {0.5 * HOUR, HOUR, HOUR + 600, HOUR + 3000, HOUR + 3000};
    static const double action[] = {ACTION_ADD, ACTION_ADD, ACTION_ADD, ACTION_ADD, ACTION_STIR};
    static const double source[] = {0, 1, 2, 3, 4};
    static const double done[] = {1, 1, 1, 1, 1};
    static const double mass[] = {0.1, 0.02, 0.01, 0.015, NAN};
    add(&result->events, "time", when, 5);
    add(&result->events, "action", action, 5);
    add(&result->events, "source", source, 5);
    add(&result->events, "done", done, 5);
    add(&result->events, "mass", mass, 5);
}

static struct material materials[] = {{.name = "fructose", .kind = "sugar"}, {.name = "slaked lime", .kind = "lime"}};
static struct event_spec events[] = {{.action = ACTION_ADD, .dose.material = 0},
                                     {.action = ACTION_ADD, .dose.material = 0},
                                     {.action = ACTION_ADD, .dose.material = 0},
                                     {.action = ACTION_ADD, .dose.material = 1},
                                     {.action = ACTION_STIR}};

struct desk {
    struct scenario scenario;
    struct lesson lesson;
    struct result result;
    struct lesson_course course;
};

static int set_up(void **state)
{
    struct desk *desk = calloc(1, sizeof *desk);
    assert_non_null(desk);
    fill(&desk->result);
    desk->scenario.events = events;
    desk->scenario.event_count = 5;
    desk->scenario.model.materials = materials;
    desk->scenario.model.material_count = 2;
    desk->lesson.begins = HOUR;
    desk->lesson.ends = 5 * HOUR;
    desk->course = (struct lesson_course){&desk->scenario, &desk->lesson, &desk->result, 1};
    *state = desk;
    return 0;
}

static int tear_down(void **state)
{
    struct desk *desk = *state;
    result_free(&desk->result);
    free(desk);
    return 0;
}

static struct lesson_goal goal_of(enum lesson_check check)
{
    return (struct lesson_goal){.check = check, .at = NAN, .least = NAN, .most = NAN, .material = -1};
}

static void ready_is_asked_at_its_moment(void **state)
{
    struct desk *desk = *state;
    struct lesson_goal goal = goal_of(LESSON_READY);
    struct goal_found found = lesson_judge(&desk->course, &goal);
    assert_true(found.met);
    assert_close(found.at, 5 * HOUR, 0.0, 0.0);
    goal.at = 3 * HOUR - 1.0; /* the record of the second hour still stands */
    found = lesson_judge(&desk->course, &goal);
    assert_false(found.met);
    assert_int_equal(found.state, VAT_STIRRED_UP);
    assert_close(found.value, 0.20, 0.0, 0.0);
}

static void a_value_keeps_its_bounds(void **state)
{
    struct desk *desk = *state;
    struct lesson_goal goal = goal_of(LESSON_VALUE);
    goal.value = LESSON_PH;
    goal.least = 11.1;
    assert_true(lesson_judge(&desk->course, &goal).met); /* 11.3 at the end */
    goal.always = true;
    struct goal_found found = lesson_judge(&desk->course, &goal);
    assert_false(found.met);
    assert_close(found.value, 11.0, 0.0, 0.0);
    assert_close(found.at, 3 * HOUR, 0.0, 0.0);
    goal.least = NAN;
    goal.most = 11.7; /* 12.0 was before the lesson began */
    assert_true(lesson_judge(&desk->course, &goal).met);
    goal.most = 11.5;
    assert_false(lesson_judge(&desk->course, &goal).met);
}

static void a_bound_may_be_what_was_found(void **state)
{
    struct desk *desk = *state;
    struct lesson_goal goal = goal_of(LESSON_VALUE);
    goal.value = LESSON_LEUCO;
    goal.least_as_found = true;
    struct goal_found found = lesson_judge(&desk->course, &goal);
    assert_true(found.met);
    assert_close(found.least, 0.15, 0.0, 0.0);
    goal = goal_of(LESSON_VALUE);
    goal.value = LESSON_LEUCO;
    goal.most_as_found = true;
    assert_false(lesson_judge(&desk->course, &goal).met);
}

static void cloth_is_counted(void **state)
{
    struct desk *desk = *state;
    struct lesson_goal goal = goal_of(LESSON_SHADE);
    goal.shade = SHADE_LIGHT;
    goal.pieces = 1;
    assert_true(lesson_judge(&desk->course, &goal).met);
    goal.pieces = 2;
    assert_false(lesson_judge(&desk->course, &goal).met);
    goal.check = LESSON_NONE_PALER;
    struct goal_found found = lesson_judge(&desk->course, &goal);
    assert_false(found.met);
    assert_close(found.value, 1.0, 0.0, 0.0);
    assert_close(found.of, 2.0, 0.0, 0.0);
    goal.shade = SHADE_PALE;
    assert_true(lesson_judge(&desk->course, &goal).met);
    goal = goal_of(LESSON_EVEN);
    goal.most = 1.4;
    found = lesson_judge(&desk->course, &goal);
    assert_false(found.met);
    assert_close(found.value, 1.5, 1e-12, 0.0);
    goal.most = 1.6;
    assert_true(lesson_judge(&desk->course, &goal).met);
    goal.cloth = 1; /* a kind of which nothing was dipped */
    found = lesson_judge(&desk->course, &goal);
    assert_false(found.met);
    assert_true(found.nothing_dipped);
}

static void dips_into_a_cloudy_vat_are_counted(void **state)
{
    struct desk *desk = *state;
    struct lesson_goal goal = goal_of(LESSON_CLEAR);
    struct goal_found found = lesson_judge(&desk->course, &goal);
    assert_false(found.met); /* at 2.5 h; that at 0.5 h was before the lesson */
    assert_close(found.value, 1.0, 0.0, 0.0);
    assert_close(found.of, 2.0, 0.0, 0.0);
    desk->lesson.begins = 3 * HOUR;
    assert_true(lesson_judge(&desk->course, &goal).met);
    desk->lesson.begins = 4 * HOUR;
    assert_false(lesson_judge(&desk->course, &goal).met);
}

static void only_what_the_learner_gave_counts(void **state)
{
    struct desk *desk = *state;
    struct lesson_goal goal = goal_of(LESSON_GIVEN);
    goal.material = 0;
    goal.most = 0.031;
    struct goal_found found = lesson_judge(&desk->course, &goal);
    assert_true(found.met);
    assert_close(found.value, 0.03, 1e-12, 0.0);
    goal.most = 0.029;
    assert_false(lesson_judge(&desk->course, &goal).met);
    goal = goal_of(LESSON_GIVEN);
    (void)strcpy(goal.kind, "lime");
    goal.least = 0.02;
    assert_false(lesson_judge(&desk->course, &goal).met);
    goal.least = 0.01;
    assert_true(lesson_judge(&desk->course, &goal).met);
    struct lesson_figures figures = lesson_figures(&desk->course);
    assert_close(figures.given[1], 0.03, 1e-12, 0.0);
    assert_close(figures.given[2], 0.015, 1e-12, 0.0);
    assert_int_equal(figures.pieces, 2);
    assert_close(figures.owf_low, 0.0032, 1e-12, 0.0);
}

/* Sugar, sugar again, lime: between unlike corrections lie 40 min. */
static void corrections_lie_apart(void **state)
{
    struct desk *desk = *state;
    struct lesson_goal goal = goal_of(LESSON_APART);
    goal.least = 2400.0;
    struct goal_found found = lesson_judge(&desk->course, &goal);
    assert_true(found.met);
    assert_close(found.value, 2400.0, 1e-12, 0.0);
    goal.least = HOUR;
    assert_false(lesson_judge(&desk->course, &goal).met);
    desk->course.own = 3; /* one correction only */
    found = lesson_judge(&desk->course, &goal);
    assert_true(found.met);
    assert_true(isinf(found.value));
}

static void give_ledger(struct result *result, const double *amounts)
{
    static const double parts[] = {PART_IN, PART_IN, PART_OUT, PART_OUT, PART_LEFT};
    result->ledger = calloc(1, sizeof *result->ledger);
    assert_non_null(result->ledger);
    result->ledger_count = 1;
    struct table *ledger = &result->ledger[0];
    (void)strcpy(ledger->name, "hexose");
    add(ledger, "amount", amounts, 5);
    add(ledger, "part", parts, 5);
    ledger->row_names = strdup("initial added broke_down met_air_stirred_in fructose");
}

/* What a result file says of a row's part is read with the codes that the ledgers are written with. */
static void parts_are_called_by_their_codes(void **state)
{
    (void)state;
    static const char *const words[] = {[PART_IN] = "in", [PART_OUT] = "out", [PART_LEFT] = "left"};
    for (size_t part = 0; part < sizeof words / sizeof words[0]; part++) {
        char word[WORD_SIZE];
        word_of_list(PART_WORDS, (double)part, word);
        assert_string_equal(word, words[part]);
    }
}

static void two_courses_part_in_a_row(void **state)
{
    struct desk *desk = *state;
    static const double one[] = {40, 60, -30, -65, 5};
    static const double other[] = {40, 20, -50, -4, 6};
    struct result second;
    result_init(&second);
    struct lesson_course good = {&desk->scenario, &desk->lesson, &second, 1};
    desk->lesson.ledger = 1; /* sugar */
    give_ledger(&desk->result, one);
    give_ledger(&second, other);
    struct lesson_parting parting = lesson_parting(&desk->course, &good);
    assert_string_equal(parting.row, "met air stirred in");
    assert_close(parting.one, 65.0, 0.0, 0.0);
    assert_close(parting.other, 4.0, 0.0, 0.0);
    assert_close(parting.one_in, 100.0, 0.0, 0.0);
    assert_close(parting.other_in, 60.0, 0.0, 0.0);
    parting = lesson_parting(&good, &good);
    assert_string_equal(parting.row, "");
    result_free(&second);
}

int main(void)
{
#define WITH_DESK(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        WITH_DESK(ready_is_asked_at_its_moment),
        WITH_DESK(a_value_keeps_its_bounds),
        WITH_DESK(a_bound_may_be_what_was_found),
        WITH_DESK(cloth_is_counted),
        WITH_DESK(dips_into_a_cloudy_vat_are_counted),
        WITH_DESK(only_what_the_learner_gave_counts),
        WITH_DESK(corrections_lie_apart),
        cmocka_unit_test(parts_are_called_by_their_codes),
        WITH_DESK(two_courses_part_in_a_row),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
