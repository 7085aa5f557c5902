/* test_report.c: the page of a report, its data and the picture of series, as texts. The browser tests are in tests/page. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "record/fake_result.h"
#include "record/plot.h"
#include "record/report.h"
#include "record/report_data.h"
#include "record/thinning.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *shout(const char *row)
{
    return strcmp(row, "added") == 0 ? "PUT IN" : row;
}

static const struct report_words loud = {shout, "Ranking\tmost cloth: 1. <mill>\n"};
static const struct report_words plain = {NULL, NULL};

static void data_of(const struct result *result, char **json)
{
    struct report_run run = {result, "mill", "Dyed\t\tnothing\n"};
    assert_int_equal(report_data_make(&run, 1, &loud, json).code, STATUS_OK);
}

static void hostile_text_cannot_leave_the_data(void **state)
{
    (void)state;
    struct result result;
    fake_result(&result);
    (void)snprintf(result.title, sizeof result.title, "</script><!-- \"quoted\" \\ \x01 & caf\xc3\xa9");
    free(result.piece_names);
    result.piece_names = strdup("bad \xff\xfe bytes\n");
    char *json = NULL;
    data_of(&result, &json);
    assert_null(strchr(json, '<'));
    assert_non_null(strstr(json, "\\u003c/script>\\u003c!-- \\\"quoted\\\" \\\\ \\u0001 & caf\xc3\xa9"));
    assert_non_null(strstr(json, "bad ?? bytes"));
    free(json);

    struct report_run run = {&result, "mill", ""};
    char *page;
    size_t size;
    assert_int_equal(report_make(&run, 1, &loud, &page, &size).code, STATUS_OK);
    assert_non_null(strstr(page, "<title>&lt;/script&gt;&lt;!-- &quot;quoted&quot; \\   &amp; caf\xc3\xa9</title>"));
    assert_int_equal(strlen(page), size);
    free(page);
    result_free(&result);
}

static void numbers_and_phrases_are_told(void **state)
{
    (void)state;
    struct result result;
    fake_result(&result);
    struct column *ph = table_column(&result.series, "ph");
    ph->values[0] = 11.123456789;
    ph->values[1] = (double)NAN;
    char *json = NULL;
    data_of(&result, &json);
    assert_non_null(strstr(json, "\"ph\":{"));
    assert_non_null(strstr(strstr(json, "\"ph\":{"), "\"values\":[11.123,null,"));
    assert_non_null(strstr(json, "\"story\":\"Dyed\\t\\tnothing\\n\""));
    assert_non_null(strstr(json, "\"phrase\":\"PUT IN\""));
    assert_non_null(strstr(json, "\"verdict\":\"Ranking\\tmost cloth: 1. \\u003cmill>\\n\""));
    assert_null(strstr(json, "nan"));
    free(json);
    result_free(&result);
}

static void what_cannot_be_reported_is_refused(void **state)
{
    (void)state;
    struct result result;
    struct report_run runs[REPORT_RUNS_MOST + 1];
    char *page;
    size_t size;
    fake_result(&result);
    for (size_t i = 0; i <= REPORT_RUNS_MOST; i++) {
        runs[i] = (struct report_run){&result, "mill", ""};
    }
    assert_int_equal(report_make(runs, 0, &loud, &page, &size).code, STATUS_LIMIT);
    assert_int_equal(report_make(runs, REPORT_RUNS_MOST + 1, &loud, &page, &size).code, STATUS_LIMIT);
    assert_null(page);
    result.series.rows = 0;
    assert_int_equal(report_make(runs, 1, &loud, &page, &size).code, STATUS_IO);
    result_free(&result);
    fake_empty_result(&result);
    assert_int_equal(report_make(runs, 1, &plain, &page, &size).code, STATUS_OK);
    free(page);
    result_free(&result);
}

static void thinning_keeps_ends_and_extremes(void **state)
{
    (void)state;
    struct table series = {0};
    assert_int_equal(table_add_column(&series, "time", "s", "", NULL).code, STATUS_OK);
    assert_int_equal(table_add_column(&series, "ph", "1", "", NULL).code, STATUS_OK);
    for (int i = 0; i < 20000; i++) {
        double row[] = {60.0 * i, i == 7777 ? 9.1 : i == 12345 ? 12.9 : 11.0 + 0.1 * sin(i / 50.0)};
        assert_int_equal(table_add_row(&series, row, 2).code, STATUS_OK);
    }
    bool *keep = calloc(20000, sizeof *keep);
    assert_non_null(keep);
    size_t kept = series_thin(&series, 1200, keep);
    assert_in_range(kept, 300, 1201);
    assert_true(keep[0] && keep[19999] && keep[7777] && keep[12345]);
    assert_int_equal(series_thin(&series, 20000, keep), 20000);
    assert_true(keep[1]);
    free(keep);
    table_free(&series);
}

static void a_picture_escapes_and_refuses(void **state)
{
    (void)state;
    struct result result;
    const char *names[] = {"ph", "temperature", "air_temperature"};
    const char *wrong[] = {"state"};
    char *svg;
    size_t size;
    fake_result(&result);
    (void)snprintf(result.title, sizeof result.title, "<script>&\"");
    table_column(&result.series, "ph")->values[3] = (double)NAN;
    assert_int_equal(plot_make(&result, names, 3, &svg, &size).code, STATUS_OK);
    assert_null(strstr(svg, "<script"));
    assert_non_null(strstr(svg, "&lt;script&gt;&amp;&quot;"));
    assert_null(strstr(svg, "nan"));
    int lines = 0;
    for (const char *at = svg; (at = strstr(at, "stroke-dasharray")) != NULL; at++) {
        lines++;
    }
    assert_int_equal(lines, 6); /* each curve, and its sign beside its name */
    free(svg);
    assert_int_equal(plot_make(&result, wrong, 1, &svg, &size).code, STATUS_USAGE);
    assert_int_equal(plot_make(&result, names, 0, &svg, &size).code, STATUS_USAGE);
    result_free(&result);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(hostile_text_cannot_leave_the_data),
        cmocka_unit_test(numbers_and_phrases_are_told),
        cmocka_unit_test(what_cannot_be_reported_is_refused),
        cmocka_unit_test(thinning_keeps_ends_and_extremes),
        cmocka_unit_test(a_picture_escapes_and_refuses),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
