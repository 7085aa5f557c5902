/* test_h5.c: result files: a round trip to the last bit, the same bytes twice, broken files refused, older files
 * kept. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "record/fake_result.h"
#include "record/record.h"
#include "record/same_result.h"
#include "record/scratch.h"
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

struct place {
    char folder[SCRATCH_PATH];
    char path[SCRATCH_PATH + 32];
};

static int make_place(void **state)
{
    struct place *place = calloc(1, sizeof *place);
    if (place == NULL) {
        return -1;
    }
    scratch_make(place->folder);
    (void)snprintf(place->path, sizeof place->path, "%s/result.h5", place->folder);
    *state = place;
    return 0;
}

static int remove_place(void **state)
{
    struct place *place = *state;
    scratch_remove(place->folder);
    free(place);
    return 0;
}

static void assert_ok(struct status status)
{
    assert_string_equal(status.message, "");
    assert_int_equal(status.code, STATUS_OK);
}

static void write_fake(const char *path)
{
    struct result result;
    fake_result(&result);
    assert_ok(record_write(&result, path, true));
    result_free(&result);
}

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

static void assert_refused(const char *path)
{
    struct result result;
    struct status status = record_read(path, &result);
    result_free(&result);
    assert_true(status.code == STATUS_IO || status.code == STATUS_LIMIT);
    assert_true(strlen(status.message) > 10);
    assert_non_null(strstr(status.message, "cannot be read"));
}

static void assert_refused_for(const char *path, const char *reason)
{
    struct result result;
    struct status status = record_read(path, &result);
    result_free(&result);
    if (strstr(status.message, reason) == NULL) {
        assert_string_equal(status.message, reason);
    }
}

static void foreign_files_are_refused(void **state)
{
    struct place *place = *state;
    assert_refused(place->path); /* not there */
    assert_refused(place->folder);
    scratch_write(place->path, "", 0);
    assert_refused(place->path);
    scratch_write(place->path, "title = \"no result\";\n", 21);
    assert_refused(place->path);
    hid_t file = H5Fcreate(place->path, H5F_ACC_TRUNC, H5P_DEFAULT, H5P_DEFAULT);
    assert_true(file >= 0 && H5Fclose(file) >= 0);
    assert_refused(place->path);
}

static void short_files_are_refused(void **state)
{
    struct place *place = *state;
    size_t size;
    write_fake(place->path);
    char *bytes = scratch_read(place->path, &size);
    for (size_t length = 0; length < size; length += 1 + size / 97) {
        scratch_write(place->path, bytes, length);
        assert_refused(place->path);
    }
    free(bytes);
}

typedef void (*mangler)(hid_t file);

static hid_t new_dataset(hid_t file, const char *name, hid_t type, hsize_t rows)
{
    hid_t space = H5Screate_simple(1, &rows, NULL);
    hid_t dataset = H5Dcreate2(file, name, type, space, H5P_DEFAULT, H5P_DEFAULT, H5P_DEFAULT);
    assert_true(space >= 0 && dataset >= 0);
    (void)H5Sclose(space);
    return dataset;
}

static void add_wrong_length(hid_t file)
{
    (void)H5Dclose(new_dataset(file, "extra", H5T_IEEE_F64LE, 3));
}

static void add_huge(hid_t file)
{
    (void)H5Ldelete(file, "time", H5P_DEFAULT);
    (void)H5Dclose(new_dataset(file, "time", H5T_IEEE_F64LE, (hsize_t)1 << 50));
}

static void add_text_dataset(hid_t file)
{
    hid_t type = H5Tcopy(H5T_C_S1);
    (void)H5Tset_size(type, H5T_VARIABLE);
    (void)H5Dclose(new_dataset(file, "extra", type, 673));
    (void)H5Tclose(type);
}

static void add_two_dimensions(hid_t file)
{
    hsize_t size[2] = {673, 1};
    hid_t space = H5Screate_simple(2, size, NULL);
    (void)H5Dclose(H5Dcreate2(file, "extra", H5T_IEEE_F64LE, space, H5P_DEFAULT, H5P_DEFAULT, H5P_DEFAULT));
    (void)H5Sclose(space);
}

static void add_outside_storage(hid_t file)
{
    hsize_t size = 673;
    hid_t space = H5Screate_simple(1, &size, NULL);
    hid_t plan = H5Pcreate(H5P_DATASET_CREATE);
    (void)H5Pset_external(plan, "/etc/passwd", 0, 673 * 8);
    (void)H5Dclose(H5Dcreate2(file, "extra", H5T_IEEE_F64LE, space, H5P_DEFAULT, plan, H5P_DEFAULT));
    (void)H5Pclose(plan);
    (void)H5Sclose(space);
}

static void add_external_link(hid_t file)
{
    (void)H5Ldelete(file, "notes", H5P_DEFAULT);
    (void)H5Lcreate_external("other.h5", "/notes", file, "notes", H5P_DEFAULT, H5P_DEFAULT);
}

static void add_soft_link(hid_t file)
{
    (void)H5Lcreate_soft("/ledger", file, "extra", H5P_DEFAULT, H5P_DEFAULT);
}

static void drop_group(hid_t file)
{
    (void)H5Ldelete(file, "provenance", H5P_DEFAULT);
}

static void drop_time(hid_t file)
{
    (void)H5Ldelete(file, "time", H5P_DEFAULT);
}

static void drop_units(hid_t file)
{
    (void)H5Adelete_by_name(file, "ph", "units", H5P_DEFAULT);
}

static void drop_rows_of_ledger(hid_t file)
{
    (void)H5Adelete_by_name(file, "/ledger/indigo/row", "flag_meanings", H5P_DEFAULT);
}

static void drop_notes_text(hid_t file)
{
    (void)H5Adelete_by_name(file, "/notes", "text", H5P_DEFAULT);
}

static void raise_version(hid_t file)
{
    hid_t attribute = H5Aopen(file, "format_version", H5P_DEFAULT);
    uint64_t version = 2;
    (void)H5Awrite(attribute, H5T_NATIVE_UINT64, &version);
    (void)H5Aclose(attribute);
}

static void set_value(hid_t file, const char *name, hid_t type, size_t size, const void *value)
{
    hid_t dataset = H5Dopen2(file, name, H5P_DEFAULT);
    hid_t space = H5Dget_space(dataset);
    hsize_t start = 3;
    hsize_t one = 1;
    hid_t memory = H5Screate_simple(1, &one, NULL);
    (void)size;
    (void)H5Sselect_hyperslab(space, H5S_SELECT_SET, &start, NULL, &one, NULL);
    (void)H5Dwrite(dataset, type, memory, space, H5P_DEFAULT, value);
    (void)H5Sclose(memory);
    (void)H5Sclose(space);
    (void)H5Dclose(dataset);
}

static void set_wrong_code(hid_t file)
{
    int code = 100;
    set_value(file, "look", H5T_NATIVE_INT, sizeof code, &code);
}

static void set_time_back(hid_t file)
{
    double time = 1e7;
    set_value(file, "time", H5T_NATIVE_DOUBLE, sizeof time, &time);
}

static void set_wrong_status(hid_t file)
{
    hid_t group = H5Gopen2(file, "provenance", H5P_DEFAULT);
    hid_t attribute = H5Aopen(group, "status", H5P_DEFAULT);
    hid_t type = H5Aget_type(attribute);
    const char *word = "splendid";
    (void)H5Awrite(attribute, type, &word);
    (void)H5Tclose(type);
    (void)H5Aclose(attribute);
    (void)H5Gclose(group);
}

static void crowd_a_group(hid_t file)
{
    hid_t group = H5Gopen2(file, "dips", H5P_DEFAULT);
    for (int i = 0; i < 900; i++) {
        char name[20];
        (void)snprintf(name, sizeof name, "c%d", i);
        (void)H5Dclose(new_dataset(group, name, H5T_IEEE_F64LE, 10));
    }
    (void)H5Gclose(group);
}

static void seal_again(const char *path)
{
    size_t size;
    char *bytes = scratch_read(path, &size);
    assert_non_null(bytes);
    char *sealed = realloc(bytes, size + SEAL_SIZE);
    assert_non_null(sealed);
    seal_make(sealed, size, sealed + size);
    scratch_write(path, sealed, size + SEAL_SIZE);
    free(sealed);
}

/* A file that another program has written to has lost its seal and is still a result. */
static void files_without_a_seal_are_read(void **state)
{
    struct place *place = *state;
    struct result written;
    struct result got;
    fake_result(&written);
    assert_ok(record_write(&written, place->path, false));
    hid_t file = H5Fopen(place->path, H5F_ACC_RDWR, H5P_DEFAULT);
    assert_true(file >= 0);
    hid_t space = H5Screate(H5S_SCALAR);
    hid_t mark = H5Acreate2(file, "my_own_mark", H5T_IEEE_F64LE, space, H5P_DEFAULT, H5P_DEFAULT);
    assert_true(mark >= 0 && H5Aclose(mark) >= 0 && H5Sclose(space) >= 0 && H5Fclose(file) >= 0);
    assert_ok(record_read(place->path, &got));
    assert_same_result(&written, &got);
    result_free(&got);
    result_free(&written);
}

static void mangled_files_are_refused(void **state)
{
    struct place *place = *state;
    static const struct {
        mangler mangle;
        const char *reason;
    } manglers[] = {
        {add_wrong_length, "'extra' has 3 rows where its neighbours have 673"},
        {add_huge, "'time' has 1125899906842624 rows"},
        {add_text_dataset, "'extra' does not hold plain numbers"},
        {add_two_dimensions, "'extra' has not one dimension"},
        {add_outside_storage, "'extra' keeps its values outside the file"},
        {add_external_link, "'notes' is a link that leads elsewhere"},
        {add_soft_link, "'extra' is a link that leads elsewhere"},
        {drop_group, "'provenance' is missing"},
        {drop_time, "the file does not begin with 'time'"},
        {drop_units, "'ph': the attribute 'units' is missing"},
        {drop_rows_of_ledger, "/ledger/indigo: the attribute 'flag_meanings' is missing"},
        {drop_notes_text, "/notes: the attribute 'text' is missing"},
        {raise_version, "format version 2, made by a newer program; this one reads version 1"},
        {set_wrong_code, "row 3 of 'look' holds the code 100; expected 0 to 4"},
        {set_time_back, "row 4 of 'time' goes backwards"},
        {set_wrong_status, "the status 'splendid' is unknown"},
        {crowd_a_group, "a group holds 919 things; expected at most 768"},
    };
    for (size_t i = 0; i < sizeof manglers / sizeof manglers[0]; i++) {
        write_fake(place->path);
        hid_t file = H5Fopen(place->path, H5F_ACC_RDWR, H5P_DEFAULT);
        assert_true(file >= 0);
        manglers[i].mangle(file);
        assert_true(H5Fclose(file) >= 0);
        assert_refused_for(place->path, manglers[i].reason); /* HDF5 has cut the seal off */
        seal_again(place->path);
        assert_refused_for(place->path, manglers[i].reason);
    }
}

/* Whatever bytes are changed, the seal or the checksum of the first block tells; the seed is fixed and printed. */
static void flipped_bytes_are_found(void **state)
{
    struct place *place = *state;
    uint64_t random = 20260504;
    size_t size;
    print_message("seed %llu\n", (unsigned long long)random);
    write_fake(place->path);
    char *bytes = scratch_read(place->path, &size);
    for (int i = 0; i < 100; i++) {
        char *changed = malloc(size);
        assert_non_null(changed);
        memcpy(changed, bytes, size);
        for (int k = 0; k <= i % 4; k++) {
            random = random * 6364136223846793005u + 1442695040888963407u;
            size_t at = (size_t)(random >> 20) % (i % 2 == 0 ? size : 4096);
            changed[at] = (char)(changed[at] ^ (char)(1 + (random >> 12) % 255));
        }
        scratch_write(place->path, changed, size);
        free(changed);
        assert_refused(place->path);
    }
    free(bytes);
}

int main(void)
{
    (void)H5open();
    (void)H5Eset_auto2(H5E_DEFAULT, NULL, NULL);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(digests_are_those_of_the_standard),
        cmocka_unit_test_setup_teardown(what_is_written_is_read, make_place, remove_place),
        cmocka_unit_test_setup_teardown(empty_tables_are_read_too, make_place, remove_place),
        cmocka_unit_test_setup_teardown(members_and_bands_are_read_too, make_place, remove_place),
        cmocka_unit_test_setup_teardown(same_result_same_bytes, make_place, remove_place),
        cmocka_unit_test_setup_teardown(overwriting_needs_force, make_place, remove_place),
        cmocka_unit_test_setup_teardown(missing_folder_is_told, make_place, remove_place),
        cmocka_unit_test_setup_teardown(failed_write_keeps_the_older_file, make_place, remove_place),
        cmocka_unit_test_setup_teardown(new_file_has_the_usual_mode, make_place, remove_place),
        cmocka_unit_test_setup_teardown(broken_tables_are_not_written, make_place, remove_place),
        cmocka_unit_test_setup_teardown(foreign_files_are_refused, make_place, remove_place),
        cmocka_unit_test_setup_teardown(short_files_are_refused, make_place, remove_place),
        cmocka_unit_test_setup_teardown(mangled_files_are_refused, make_place, remove_place),
        cmocka_unit_test_setup_teardown(files_without_a_seal_are_read, make_place, remove_place),
        cmocka_unit_test_setup_teardown(flipped_bytes_are_found, make_place, remove_place),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
