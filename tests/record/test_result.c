/* test_result.c: the tables of a result in memory. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "sim/result.h"

#include <math.h>
#include <string.h>

static void assert_ok(struct status status)
{
    assert_string_equal(status.message, "");
    assert_int_equal(status.code, STATUS_OK);
}

static void rows_come_back_as_added(void **state)
{
    (void)state;
    struct result result;
    result_init(&result);
    struct table *table = &result.series;
    assert_ok(table_add_column(table, "time", "s", "time since start", NULL));
    assert_ok(table_add_column(table, "look", "1", "look", "unknown blue"));
    for (int i = 0; i < 1000; i++) {
        double row[2] = {i * 0.1, i % 2};
        assert_ok(table_add_row(table, row, sizeof row / sizeof *row));
    }
    assert_int_equal(table->rows, 1000);
    const struct column *time = table_column(table, "time");
    const struct column *look = table_column(table, "look");
    assert_non_null(time);
    assert_non_null(look);
    assert_null(table_column(table, "tim"));
    for (int i = 0; i < 1000; i++) {
        assert_true(time->values[i] == i * 0.1);
        assert_true(look->values[i] == i % 2);
    }
    assert_string_equal(look->flags, "unknown blue");
    result_free(&result);
    assert_int_equal(result.series.rows, 0);
    result_free(&result);
}

static void reserving_keeps_what_is_there(void **state)
{
    (void)state;
    struct table table = {.residual_relative = NAN};
    assert_ok(table_reserve(&table, 10));
    assert_ok(table_add_column(&table, "a", "1", "", NULL));
    double value = 7.0;
    assert_ok(table_add_row(&table, &value, 1));
    assert_ok(table_reserve(&table, 5000));
    assert_ok(table_reserve(&table, 3));
    assert_true(table.columns[0].values[0] == 7.0);
    assert_true(table.capacity >= 5000);
    struct status status = table_reserve(&table, SIZE_MAX / 2);
    assert_int_equal(status.code, STATUS_LIMIT);
    table_free(&table);
}

static void bad_columns_are_refused(void **state)
{
    (void)state;
    struct table table = {.residual_relative = NAN};
    assert_ok(table_add_column(&table, "a", "1", "", NULL));
    static const char *const wrong[] = {
        "a",         "",           "Big",    "1st",
        "with-dash", "with space", "_under", "a_name_that_is_a_little_longer_than_the_forty_seven_allowed"};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        struct status status = table_add_column(&table, wrong[i], "1", "", NULL);
        assert_int_equal(status.code, STATUS_BUG);
    }
    double value = 1.0;
    assert_ok(table_add_row(&table, &value, 1));
    struct status late = table_add_column(&table, "b", "1", "", NULL);
    assert_int_equal(late.code, STATUS_BUG);
    assert_int_equal(table.column_count, 1);
    table_free(&table);
}

static void notes_keep_to_one_line(void **state)
{
    (void)state;
    struct result result;
    result_init(&result);
    char longest[400];
    memset(longest, 'x', sizeof longest - 1);
    longest[sizeof longest - 1] = '\0';
    for (int i = 0; i < 100; i++) {
        assert_ok(result_add_note(&result, i, NOTE_INFO, "line\n%d", i));
    }
    assert_ok(result_add_note(&result, 100.0, NOTE_WARNING, "%s", longest));
    assert_int_equal(result.note_count, 101);
    assert_string_equal(result.notes[99].text, "line 99");
    assert_int_equal(strlen(result.notes[100].text), sizeof result.notes[100].text - 1);
    result_free(&result);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rows_come_back_as_added),
        cmocka_unit_test(reserving_keeps_what_is_there),
        cmocka_unit_test(bad_columns_are_refused),
        cmocka_unit_test(notes_keep_to_one_line),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
