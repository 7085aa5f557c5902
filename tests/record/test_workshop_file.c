/* test_workshop_file.c: the day of a workshop goes into a result file and comes back; broken ones are refused; the page and
 * the tables of comma-separated text hold it.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "record/fake_result.h"
#include "record/record.h"
#include "record/report.h"
#include "record/same_result.h"
#include "record/scratch.h"

#include <hdf5.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define VATS 3
#define ROWS 7

static void assert_ok(struct status status)
{
    assert_string_equal(status.message, "");
    assert_int_equal(status.code, STATUS_OK);
}

static void fake_workshop(struct result *result)
{
    fake_result(result);
    assert_ok(result_add_workshop(result));
    struct workshop_result *workshop = result->workshop;
    workshop->opens = 36000.0;
    workshop->closes = 57600.0;
    workshop->places = 6.0;
    workshop->story = strdup("Waiting\t\t8 min\nCare\t\tlime burns\n");
    workshop->others = calloc(VATS - 1, sizeof *workshop->others);
    assert_non_null(workshop->others);
    while (workshop->other_count < VATS - 1) {
        fake_result(&workshop->others[workshop->other_count++]);
    }
    assert_ok(table_add_column(&workshop->day, "time", "s", "time since start", NULL));
    assert_ok(table_add_column(&workshop->day, "waiting", "1", "people in line", NULL));
    assert_ok(table_add_column(&workshop->plans, "vats", "1", "number of vats", NULL));
    assert_ok(table_add_column(&workshop->plans, "serves", "1", "whether it serves", "no yes"));
    for (int i = 0; i < ROWS; i++) {
        assert_ok(table_add_row(&workshop->day, (const double[]){36000.0 + 60.0 * i, i % 3}, 2));
        assert_ok(table_add_row(&workshop->plans, (const double[]){i + 1, i > 2}, 2));
    }
}

/* What another vat keeps: its tables; what the file says once is the first vat's. */
static void assert_same_tables(const struct result *a, const struct result *b)
{
    struct result x = *a;
    struct result y = *b;
    struct result *const both[] = {&x, &y};
    for (int i = 0; i < 2; i++) {
        (void)snprintf(both[i]->title, sizeof both[i]->title, "same");
        both[i]->scenario_name[0] = both[i]->failure[0] = '\0';
        both[i]->start_unix = both[i]->rtol = 0.0;
        both[i]->status = RUN_COMPLETE;
        both[i]->seed = 0;
        both[i]->statistics = (struct run_statistics){0};
        both[i]->scenario_text = both[i]->model_text = NULL;
    }
    assert_same_result(&x, &y);
}

static void what_is_written_is_read(void **state)
{
    (void)state;
    char folder[SCRATCH_PATH];
    char path[SCRATCH_PATH + 40];
    struct result written;
    struct result read;
    scratch_make(folder);
    (void)snprintf(path, sizeof path, "%s/day.h5", folder);
    fake_workshop(&written);
    assert_ok(record_write(&written, path, false));
    assert_ok(record_read(path, &read));
    assert_same_result(&written, &read);
    assert_non_null(read.workshop);
    assert_true(read.workshop->opens == 36000.0 && read.workshop->closes == 57600.0 && read.workshop->places == 6.0);
    assert_string_equal(read.workshop->story, written.workshop->story);
    assert_int_equal(read.workshop->other_count, VATS - 1);
    for (size_t i = 0; i < VATS - 1; i++) {
        assert_same_tables(&written.workshop->others[i], &read.workshop->others[i]);
    }
    const struct table *const tables[2][2] = {{&written.workshop->day, &read.workshop->day},
                                              {&written.workshop->plans, &read.workshop->plans}};
    for (int t = 0; t < 2; t++) {
        assert_int_equal(tables[t][1]->rows, ROWS);
        for (size_t c = 0; c < 2; c++) {
            assert_string_equal(tables[t][0]->columns[c].name, tables[t][1]->columns[c].name);
            assert_memory_equal(tables[t][0]->columns[c].values, tables[t][1]->columns[c].values, ROWS * sizeof(double));
        }
    }
    /* All of it also as comma-separated text. */
    assert_ok(record_export_csv(&read, folder, false));
    assert_int_equal(record_table_count(&read), 5 + read.ledger_count + 2 + VATS - 1);
    (void)snprintf(path, sizeof path, "%s/vat_3_series.csv", folder);
    FILE *file = fopen(path, "r");
    assert_non_null(file);
    (void)fclose(file);
    result_free(&read);
    result_free(&written);
    scratch_remove(folder);
}

static void a_page_takes_one_workshop(void **state)
{
    (void)state;
    struct result result;
    char *page;
    size_t size;
    fake_workshop(&result);
    const struct report_words plain = {NULL, NULL};
    const struct report_run run = {&result, "day", ""};
    assert_ok(report_make(&run, 1, &plain, &page, &size));
    assert_non_null(strstr(page, "\"workshop\":{"));
    assert_non_null(strstr(page, "\"vat 3\""));
    assert_null(strstr(page, "\"vat 4\""));
    free(page);
    const struct report_run two[] = {run, run};
    struct status status = report_make(two, 2, &plain, &page, &size);
    assert_int_equal(status.code, STATUS_USAGE);
    assert_null(page);
    result_free(&result);
}

/* ---- broken files ------------------------------------------------------------------------------------------------- */

static void set_number(hid_t file, const char *name, double value)
{
    hid_t group = H5Gopen2(file, "workshop", H5P_DEFAULT);
    hid_t attribute = H5Aopen(group, name, H5P_DEFAULT);
    assert_true(attribute >= 0 && H5Awrite(attribute, H5T_NATIVE_DOUBLE, &value) >= 0);
    (void)H5Aclose(attribute);
    (void)H5Gclose(group);
}

static void close_early(hid_t file)
{
    set_number(file, "closes", 100.0);
}

static void never_open(hid_t file)
{
    set_number(file, "opens", -1.0 / 0.0);
}

static void drop_vats(hid_t file)
{
    assert_true(H5Ldelete(file, "workshop/vats", H5P_DEFAULT) >= 0);
}

static void drop_series_of_vat(hid_t file)
{
    assert_true(H5Ldelete(file, "workshop/vats/vat_2/time", H5P_DEFAULT) >= 0);
}

static void drop_day(hid_t file)
{
    assert_true(H5Ldelete(file, "workshop/day", H5P_DEFAULT) >= 0);
}

static void turn_day_back(hid_t file)
{
    double times[ROWS] = {600.0, 500.0, 400.0, 300.0, 200.0, 100.0, 0.0};
    hid_t dataset = H5Dopen2(file, "workshop/day/time", H5P_DEFAULT);
    assert_true(H5Dwrite(dataset, H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, times) >= 0);
    (void)H5Dclose(dataset);
}

static void drop_story(hid_t file)
{
    assert_true(H5Adelete_by_name(file, "workshop", "story", H5P_DEFAULT) >= 0);
}

static void lead_away(hid_t file)
{
    drop_vats(file);
    assert_true(H5Lcreate_external("elsewhere.h5", "/", file, "workshop/vats", H5P_DEFAULT, H5P_DEFAULT) >= 0);
}

static void broken_ones_are_refused(void **state)
{
    static void (*const harms[])(hid_t) = {close_early, never_open,    drop_vats,  drop_series_of_vat,
                                           drop_day,    turn_day_back, drop_story, lead_away};
    (void)state;
    for (size_t i = 0; i < sizeof harms / sizeof harms[0]; i++) {
        char folder[SCRATCH_PATH];
        char path[SCRATCH_PATH + 40];
        struct result result;
        scratch_make(folder);
        (void)snprintf(path, sizeof path, "%s/day.h5", folder);
        fake_workshop(&result);
        assert_ok(record_write(&result, path, false));
        result_free(&result);
        hid_t file = H5Fopen(path, H5F_ACC_RDWR, H5P_DEFAULT);
        assert_true(file >= 0);
        harms[i](file);
        assert_true(H5Fclose(file) >= 0);
        struct status status = record_read(path, &result);
        print_message("%zu: %s\n", i, status.message);
        assert_int_equal(status.code, STATUS_IO);
        result_free(&result);
        scratch_remove(folder);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_written_is_read),
        cmocka_unit_test(a_page_takes_one_workshop),
        cmocka_unit_test(broken_ones_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
