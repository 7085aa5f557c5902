/* test_h5_refused.c: files that are no results, damaged or made to do harm are refused, with the reason. */
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

#include <hdf5.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

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
        cmocka_unit_test_setup_teardown(foreign_files_are_refused, make_place, remove_place),
        cmocka_unit_test_setup_teardown(short_files_are_refused, make_place, remove_place),
        cmocka_unit_test_setup_teardown(mangled_files_are_refused, make_place, remove_place),
        cmocka_unit_test_setup_teardown(files_without_a_seal_are_read, make_place, remove_place),
        cmocka_unit_test_setup_teardown(flipped_bytes_are_found, make_place, remove_place),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
