/* test_csv.c: the comma-separated export. Source of the form: RFC 4180, 2005. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "record/fake_result.h"
#include "record/record.h"
#include "record/scratch.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The line number `line` (from 0) of a file with CRLF ends, without its end. */
static char *line_of(const char *folder, const char *name, int line)
{
    char path[2 * SCRATCH_PATH];
    size_t size;
    (void)snprintf(path, sizeof path, "%s/%s", folder, name);
    char *text = scratch_read(path, &size);
    assert_non_null(text);
    char *start = text;
    for (int i = 0; i < line; i++) {
        start = strstr(start, "\r\n");
        assert_non_null(start);
        start += 2;
    }
    char *end = strstr(start, "\r\n");
    assert_non_null(end);
    char *copy = strndup(start, (size_t)(end - start));
    free(text);
    return copy;
}

static void assert_line(const char *folder, const char *name, int line, const char *expected)
{
    char *got = line_of(folder, name, line);
    assert_string_equal(got, expected);
    free(got);
}

static void tables_are_written_as_words_and_numbers(void **state)
{
    (void)state;
    char folder[SCRATCH_PATH];
    scratch_make(folder);
    struct result result;
    fake_result(&result);
    assert_int_equal(record_export_csv(&result, folder, false).code, STATUS_OK);
    char *header = line_of(folder, "series.csv", 0);
    assert_int_equal(strncmp(header, "time (s),temperature (degC),", 28), 0);
    assert_non_null(strstr(header, ",state (word),look (word)"));
    free(header);
    char *row = line_of(folder, "series.csv", 1);
    assert_int_equal(strncmp(row, "0,48,", 5), 0);
    assert_non_null(strstr(row, ",starting,blue,caramel"));
    free(row);
    char *event = line_of(folder, "events.csv", 2);
    assert_int_equal(strncmp(event, "5400,stir,stir,done,,,,,,,", 25), 0);
    free(event);
    char *dip = line_of(folder, "dips.csv", 1);
    assert_int_equal(strncmp(dip, "93600,720,napkin,1,4,1,", 23), 0);
    free(dip);
    char *piece = line_of(folder, "pieces.csv", 13);
    assert_int_equal(strncmp(piece, "long runner,1,0.31", 18), 0);
    free(piece);
    assert_line(folder, "ledger_indigo.csv", 0, "row (word),amount (g),part (word)");
    assert_line(folder, "ledger_indigo.csv", 2, "added,0.29999999999999999,in");
    assert_line(folder, "notes.csv", 2, "691200,warning,no lime left in the liquor for 30 h before it was fed");
    result_free(&result);
    scratch_remove(folder);
}

static void numbers_come_back_to_the_last_bit(void **state)
{
    (void)state;
    char folder[SCRATCH_PATH];
    scratch_make(folder);
    struct result result;
    fake_result(&result);
    assert_int_equal(record_export_csv(&result, folder, false).code, STATUS_OK);
    char *row = line_of(folder, "series.csv", 301);
    const char *field = row;
    for (size_t i = 0; i + 5 < result.series.column_count; i++) {
        double value = strtod(field, NULL);
        assert_memory_equal(&value, &result.series.columns[i].values[300], sizeof value);
        field = strchr(field, ',') + 1;
    }
    free(row);
    result_free(&result);
    scratch_remove(folder);
}

static void awkward_text_is_quoted(void **state)
{
    (void)state;
    char folder[SCRATCH_PATH];
    scratch_make(folder);
    struct result result;
    fake_empty_result(&result);
    struct status status = result_add_note(&result, 1.5, NOTE_INFO, "a \"blue\", blue note");
    assert_int_equal(status.code, STATUS_OK);
    assert_int_equal(record_export_csv(&result, folder, false).code, STATUS_OK);
    assert_line(folder, "notes.csv", 1, "1.5,info,\"a \"\"blue\"\", blue note\"");
    result_free(&result);
    scratch_remove(folder);
}

static void older_files_are_not_overwritten(void **state)
{
    (void)state;
    char folder[SCRATCH_PATH];
    char path[SCRATCH_PATH + 32];
    scratch_make(folder);
    (void)snprintf(path, sizeof path, "%s/ledger_lime.csv", folder);
    scratch_write(path, "mine", 4);
    struct result result;
    fake_result(&result);
    struct status status = record_export_csv(&result, folder, false);
    assert_int_equal(status.code, STATUS_IO);
    assert_non_null(strstr(status.message, "exists already"));
    size_t size;
    char *kept = scratch_read(path, &size);
    assert_string_equal(kept, "mine");
    free(kept);
    (void)snprintf(path, sizeof path, "%s/series.csv", folder);
    assert_null(scratch_read(path, &size)); /* refused before anything was written */
    assert_int_equal(record_export_csv(&result, folder, true).code, STATUS_OK);
    (void)snprintf(path, sizeof path, "%s/ledger_lime.csv/inside", folder);
    assert_int_equal(record_export_csv(&result, path, true).code, STATUS_IO);
    (void)snprintf(result.ledger[0].name, sizeof result.ledger[0].name, "../up");
    assert_int_equal(record_export_csv(&result, folder, true).code, STATUS_IO);
    result_free(&result);
    scratch_remove(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(tables_are_written_as_words_and_numbers),
        cmocka_unit_test(numbers_come_back_to_the_last_bit),
        cmocka_unit_test(awkward_text_is_quoted),
        cmocka_unit_test(older_files_are_not_overwritten),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
