/* test_h5.c: result files: a round trip to the last bit, the same bytes twice, older files kept. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "record/fake_result.h"
#include "record/place.h"
#include "record/record.h"
#include "record/same_result.h"
#include "record/seal.h"
#include "record/sha256.h"

#include <hdf5.h>
#include <math.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

/* FIPS 180-4 examples (the two messages of the standard's example computations), and a million letters a. */
static void digests_are_those_of_the_standard(void **state)
{
    (void)state;
    char hex[SHA256_HEX_SIZE];
    sha256_hex("abc", 3, hex);
    assert_string_equal(hex, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    sha256_hex("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq", 56, hex);
    assert_string_equal(hex, "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    char *letters = malloc(1000000);
    assert_non_null(letters);
    memset(letters, 'a', 1000000);
    sha256_hex(letters, 1000000, hex);
    free(letters);
    assert_string_equal(hex, "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

static void what_is_written_is_read(void **state)
{
    struct place *place = *state;
    struct result written;
    struct result got;
    fake_result(&written);
    assert_ok(record_write(&written, place->path, false));
    assert_int_equal(scratch_count(place->folder), 1);
    assert_ok(record_read(place->path, &got));
    assert_same_result(&written, &got);
    result_free(&got);
    result_free(&written);
}

static void empty_tables_are_read_too(void **state)
{
    struct place *place = *state;
    struct result written;
    struct result got;
    fake_empty_result(&written);
    assert_ok(record_write(&written, place->path, false));
    assert_ok(record_read(place->path, &got));
    assert_same_result(&written, &got);
    result_free(&got);
    result_free(&written);
}

/* Of a run that was stopped before two of its members were done. */
static void figures_without_members_are_read_too(void **state)
{
    struct place *place = *state;
    struct result written;
    struct result got;
    double depth = 0.02;
    fake_result(&written);
    assert_ok(table_add_column(&written.figures, "owf_mean", "1", "depth", NULL));
    assert_ok(table_add_row(&written.figures, &depth, 1));
    assert_ok(record_write(&written, place->path, false));
    assert_ok(record_read(place->path, &got));
    assert_int_equal(got.figures.rows, 1);
    assert_same_result(&written, &got);
    result_free(&got);
    result_free(&written);
}

static void members_and_bands_are_read_too(void **state)
{
    struct place *place = *state;
    struct result written;
    struct result got;
    fake_result(&written);
    assert_ok(table_add_column(&written.members, "drawn_leuco_pk2", "1", "leuco_pk2, as drawn", NULL));
    assert_ok(table_add_column(&written.members, "condition", "1", "how the run ended", "never_ready ready out_of_range"));
    assert_ok(table_add_column(&written.percentiles, "percentile", "1", "per cent below", NULL));
    assert_ok(table_add_column(&written.figures, "owf_mean", "1", "depth", NULL));
    for (int i = 0; i < 3; i++) {
        double member[2] = {12.5 + i, i};
        double percentile = 5.0 * i;
        assert_ok(table_add_row(&written.members, member, 2));
        assert_ok(table_add_row(&written.percentiles, &percentile, 1));
    }
    double depth = NAN;
    assert_ok(table_add_row(&written.figures, &depth, 1));
    double *low = calloc(written.series.rows, sizeof *low);
    assert_non_null(low);
    assert_ok(table_append_column(&written.series, "ph_p05", "1", "pH: 5 % of members are below", low));
    assert_int_equal(table_append_column(&written.series, "ph_p05", "1", "", low).code, STATUS_BUG);
    free(low);
    assert_ok(record_write(&written, place->path, false));
    assert_ok(record_read(place->path, &got));
    assert_same_result(&written, &got);
    result_free(&got);
    result_free(&written);
}

static void same_result_same_bytes(void **state)
{
    struct place *place = *state;
    size_t size[2];
    char *bytes[2];
    for (int i = 0; i < 2; i++) {
        write_fake(place->path);
        bytes[i] = scratch_read(place->path, &size[i]);
        assert_non_null(bytes[i]);
    }
    assert_int_equal(size[0], size[1]);
    assert_memory_equal(bytes[0], bytes[1], size[0]);
    free(bytes[0]);
    free(bytes[1]);
}

static void overwriting_needs_force(void **state)
{
    struct place *place = *state;
    struct result result;
    scratch_write(place->path, "mine", 4);
    fake_result(&result);
    struct status status = record_write(&result, place->path, false);
    assert_int_equal(status.code, STATUS_IO);
    assert_non_null(strstr(status.message, "exists already"));
    size_t size;
    char *kept = scratch_read(place->path, &size);
    assert_string_equal(kept, "mine");
    free(kept);
    assert_ok(record_write(&result, place->path, true));
    kept = scratch_read(place->path, &size);
    assert_true(size > 1000);
    free(kept);
    assert_int_equal(scratch_count(place->folder), 1);
    assert_int_equal(record_write(&result, place->folder, true).code, STATUS_IO);
    result_free(&result);
}

static void missing_folder_is_told(void **state)
{
    struct place *place = *state;
    struct result result;
    char path[SCRATCH_PATH + 32];
    (void)snprintf(path, sizeof path, "%s/nowhere/result.h5", place->folder);
    fake_result(&result);
    struct status status = record_write(&result, path, true);
    assert_int_equal(status.code, STATUS_IO);
    assert_non_null(strstr(status.message, "make it first"));
    result_free(&result);
}

/* A limit on the size of files stands for the full disk: write(2) fails half way through. */
static void failed_write_keeps_the_older_file(void **state)
{
    struct place *place = *state;
    struct rlimit before;
    struct result result;
    scratch_write(place->path, "older", 5);
    fake_result(&result);
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &before), 0);
    void (*handler)(int) = signal(SIGXFSZ, SIG_IGN);
    struct rlimit small = before;
    small.rlim_cur = 20000;
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &small), 0);
    struct status status = record_write(&result, place->path, true);
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &before), 0);
    (void)signal(SIGXFSZ, handler);
    assert_int_equal(status.code, STATUS_IO);
    size_t size;
    char *kept = scratch_read(place->path, &size);
    assert_string_equal(kept, "older");
    free(kept);
    assert_int_equal(scratch_count(place->folder), 1);
    assert_ok(record_write(&result, place->path, true));
    result_free(&result);
}

static void new_file_has_the_usual_mode(void **state)
{
    struct place *place = *state;
    mode_t mask = umask(022);
    write_fake(place->path);
    (void)umask(mask);
    struct stat about;
    assert_int_equal(stat(place->path, &about), 0);
    assert_int_equal(about.st_mode & 0777, 0644);
}

static void broken_tables_are_not_written(void **state)
{
    struct place *place = *state;
    struct result result;
    fake_result(&result);
    table_column(&result.series, "look")->values[5] = 99.0;
    assert_int_equal(record_write(&result, place->path, true).code, STATUS_BUG);
    table_column(&result.series, "look")->values[5] = 1.0;
    free(result.ledger[0].row_names);
    result.ledger[0].row_names = strdup("too few");
    assert_int_equal(record_write(&result, place->path, true).code, STATUS_BUG);
    result_free(&result);
    result_init(&result);
    assert_int_equal(record_write(&result, place->path, true).code, STATUS_BUG);
    result_free(&result);
    assert_int_equal(scratch_count(place->folder), 0);
}

int main(void)
{
    (void)H5open();
    (void)H5Eset_auto2(H5E_DEFAULT, NULL, NULL);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(digests_are_those_of_the_standard),
        cmocka_unit_test_setup_teardown(what_is_written_is_read, make_place, remove_place),
        cmocka_unit_test_setup_teardown(empty_tables_are_read_too, make_place, remove_place),
        cmocka_unit_test_setup_teardown(figures_without_members_are_read_too, make_place, remove_place),
        cmocka_unit_test_setup_teardown(members_and_bands_are_read_too, make_place, remove_place),
        cmocka_unit_test_setup_teardown(same_result_same_bytes, make_place, remove_place),
        cmocka_unit_test_setup_teardown(overwriting_needs_force, make_place, remove_place),
        cmocka_unit_test_setup_teardown(missing_folder_is_told, make_place, remove_place),
        cmocka_unit_test_setup_teardown(failed_write_keeps_the_older_file, make_place, remove_place),
        cmocka_unit_test_setup_teardown(new_file_has_the_usual_mode, make_place, remove_place),
        cmocka_unit_test_setup_teardown(broken_tables_are_not_written, make_place, remove_place),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
