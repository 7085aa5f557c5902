/* h5_write.c: a result as an HDF5 file, in the shape of docs/result-format.md.
 *
 * The file is laid out in memory (HDF5's core driver) and handed to publish_bytes, so that no HDF5 call ever meets
 * a full disk. Attributes are scalar variable-length UTF-8 strings or numbers; datasets are flat and numeric, as
 * several readers drop string, enum and compound datasets.
 */
#include "record/h5_write.h"
#include "record/h5_common.h"
#include "record/publish.h"
#include "record/record.h"
#include "record/seal.h"

#include <hdf5_hl.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define CHUNK_ROWS 1024u
#define DEFLATE_LEVEL 4
#define IMAGE_STEP ((size_t)1 << 20)
#define CODES_IN_INT8 127u

/* Attributes go through these; the first failure sticks in `status` and the rest do nothing. */
static void write_attribute(struct h5_writer *writer, hid_t object, const char *name, hid_t file_type,
                            hid_t memory_type, hid_t space, const void *value)
{
    if (!status_is_ok(&writer->status)) {
        return;
    }
    hid_t attribute = H5Acreate2(object, name, file_type, space, H5P_DEFAULT, H5P_DEFAULT);
    if (attribute < 0 || H5Awrite(attribute, memory_type, value) < 0) {
        writer->status = h5_fail("writing the attribute", name);
    }
    if (h5_close(attribute) < 0 && status_is_ok(&writer->status)) {
        writer->status = h5_fail("closing the attribute", name);
    }
}

void h5_write_text(struct h5_writer *writer, hid_t object, const char *name, const char *text)
{
    const char *value = text == NULL ? "" : text;
    write_attribute(writer, object, name, writer->string_type, writer->string_type, writer->scalar, &value);
}

void h5_write_number(struct h5_writer *writer, hid_t object, const char *name, double value)
{
    write_attribute(writer, object, name, H5T_IEEE_F64LE, H5T_NATIVE_DOUBLE, writer->scalar, &value);
}

void h5_write_whole(struct h5_writer *writer, hid_t object, const char *name, uint64_t value)
{
    write_attribute(writer, object, name, H5T_STD_U64LE, H5T_NATIVE_UINT64, writer->scalar, &value);
}

/* flag_values 0 ... count-1 in the type of the dataset, and flag_meanings. */
static void write_flags(struct h5_writer *writer, hid_t dataset, const char *flags)
{
    size_t count = count_words(flags);
    if (count > 0 && status_is_ok(&writer->status)) {
        int32_t *values = malloc(count * sizeof *values);
        hsize_t size = count;
        hid_t space = H5Screate_simple(1, &size, NULL);
        if (values == NULL || space < 0) {
            writer->status = status_fail(STATUS_MEMORY, "no memory left for the words of a code");
        } else {
            for (size_t i = 0; i < count; i++) {
                values[i] = (int32_t)i;
            }
            hid_t type = count <= CODES_IN_INT8 ? H5T_STD_I8LE : H5T_STD_I32LE;
            write_attribute(writer, dataset, "flag_values", type, H5T_NATIVE_INT32, space, values);
        }
        (void)h5_close(space);
        free(values);
    }
    h5_write_text(writer, dataset, "flag_meanings", flags);
}

/* No object times, so that equal results are equal bytes. */
static hid_t create_plain(struct h5_writer *writer, hid_t group, const char *name, hid_t type, int rank,
                          const hsize_t *size, const hsize_t *most, const hsize_t *chunk)
{
    if (!status_is_ok(&writer->status)) {
        return H5I_INVALID_HID;
    }
    hid_t space = H5Screate_simple(rank, size, most);
    hid_t plan = H5Pcreate(H5P_DATASET_CREATE);
    hid_t dataset = H5I_INVALID_HID;
    bool planned = space >= 0 && plan >= 0 && H5Pset_obj_track_times(plan, false) >= 0 &&
                   H5Pset_attr_creation_order(plan, H5P_CRT_ORDER_TRACKED | H5P_CRT_ORDER_INDEXED) >= 0 &&
                   H5Pset_chunk(plan, rank, chunk) >= 0 && H5Pset_shuffle(plan) >= 0 &&
                   H5Pset_deflate(plan, DEFLATE_LEVEL) >= 0;
    if (planned) {
        dataset = H5Dcreate2(group, name, type, space, H5P_DEFAULT, plan, H5P_DEFAULT);
    }
    if (dataset < 0) {
        writer->status = h5_fail("making the dataset", name);
    }
    (void)h5_close(space);
    (void)h5_close(plan);
    return dataset;
}

/* Makes a 2-D dataset of its final size, in chunks of a few members. */
static hid_t create_block(struct h5_writer *writer, hid_t group, const char *name, hid_t type, size_t members, size_t rows)
{
    hsize_t size[2] = {members, rows};
    hsize_t chunk[2] = {members < H5_BLOCK_MEMBERS ? members : H5_BLOCK_MEMBERS, rows < CHUNK_ROWS ? rows : CHUNK_ROWS};
    return create_plain(writer, group, name, type, 2, size, size, chunk);
}

/* Makes a 1-D dataset of its final size. */
static hid_t create_dataset(struct h5_writer *writer, hid_t group, const char *name, hid_t type, size_t rows)
{
    hsize_t size = rows;
    hsize_t most = rows > 0 ? rows : H5S_UNLIMITED; /* a chunked dataset cannot be fixed at no rows */
    hsize_t chunk = rows > 0 && rows < CHUNK_ROWS ? rows : CHUNK_ROWS;
    return create_plain(writer, group, name, type, 1, &size, &most, &chunk);
}

static void write_values(struct h5_writer *writer, hid_t dataset, const char *name, hid_t memory_type,
                         const void *values, size_t rows)
{
    if (status_is_ok(&writer->status) && rows > 0 &&
        H5Dwrite(dataset, memory_type, H5S_ALL, H5S_ALL, H5P_DEFAULT, values) < 0) {
        writer->status = h5_fail("writing the dataset", name);
    }
}

/* The codes of a column as whole numbers; NAN becomes CODE_NOT_APPLICABLE. */
static int32_t *column_codes(struct h5_writer *writer, const struct column *column, size_t rows)
{
    int32_t *codes = malloc((rows > 0 ? rows : 1) * sizeof *codes);
    if (codes == NULL) {
        writer->status = status_fail(STATUS_MEMORY, "no memory left to write the column '%s'", column->name);
        return NULL;
    }
    double most = (double)count_words(column->flags);
    for (size_t i = 0; i < rows; i++) {
        double value = column->values[i];
        if (isnan(value)) {
            codes[i] = CODE_NOT_APPLICABLE;
        } else if (value >= 0.0 && value < most && value == floor(value)) {
            codes[i] = (int32_t)value;
        } else {
            writer->status = status_fail(STATUS_BUG, "row %zu of '%s' holds %g; expected a code from 0 to %g", i,
                                         column->name, value, most - 1.0);
            break;
        }
    }
    return codes;
}

static void write_units(struct h5_writer *writer, hid_t dataset, const struct column *column)
{
    if (strcmp(column->name, "time") == 0 && strcmp(column->unit, "s") == 0) {
        h5_write_text(writer, dataset, "units", writer->time_units);
        h5_write_text(writer, dataset, "calendar", "proleptic_gregorian");
    } else {
        h5_write_text(writer, dataset, "units", column->unit);
    }
    h5_write_text(writer, dataset, "long_name", column->long_name);
}

/* Writes one column and returns its dataset, to be closed by the caller. `fill` is false for dimension scales. */
static hid_t write_column(struct h5_writer *writer, hid_t group, const struct column *column, size_t rows, bool fill)
{
    hid_t dataset;
    if (column->flags != NULL) {
        bool small = count_words(column->flags) <= CODES_IN_INT8;
        dataset = create_dataset(writer, group, column->name, small ? H5T_STD_I8LE : H5T_STD_I32LE, rows);
        if (dataset >= 0) {
            int32_t *codes = column_codes(writer, column, rows);
            int32_t none = CODE_NOT_APPLICABLE;
            write_values(writer, dataset, column->name, H5T_NATIVE_INT32, codes, rows);
            free(codes);
            write_attribute(writer, dataset, "_FillValue", small ? H5T_STD_I8LE : H5T_STD_I32LE, H5T_NATIVE_INT32,
                            writer->scalar, &none);
            write_flags(writer, dataset, column->flags);
        }
    } else {
        dataset = create_dataset(writer, group, column->name, H5T_IEEE_F64LE, rows);
        if (dataset >= 0) {
            write_values(writer, dataset, column->name, H5T_NATIVE_DOUBLE, column->values, rows);
            if (fill) {
                h5_write_number(writer, dataset, "_FillValue", NAN);
            }
        }
    }
    if (dataset >= 0) {
        write_units(writer, dataset, column);
    }
    return dataset;
}

/* The dimension scale of a group: 0, 1, 2 ...; for a ledger the row names as flag meanings. */
static hid_t write_index(struct h5_writer *writer, hid_t group, const struct table *table, const char *name)
{
    bool named = table->row_names != NULL;
    bool small = named && table->rows <= CODES_IN_INT8;
    if (named && count_words(table->row_names) != table->rows && status_is_ok(&writer->status)) {
        writer->status = status_fail(STATUS_BUG, "the ledger '%s' has %zu rows but %zu row names", table->name,
                                     table->rows, count_words(table->row_names));
    }
    hid_t dataset = create_dataset(writer, group, name, small ? H5T_STD_I8LE : H5T_STD_I32LE, table->rows);
    int32_t *index = malloc((table->rows > 0 ? table->rows : 1) * sizeof *index);
    if (index == NULL) {
        writer->status = status_fail(STATUS_MEMORY, "no memory left to write the table '%s'", table->name);
    } else if (dataset >= 0) {
        for (size_t i = 0; i < table->rows; i++) {
            index[i] = (int32_t)i;
        }
        write_values(writer, dataset, name, H5T_NATIVE_INT32, index, table->rows);
        h5_write_text(writer, dataset, "units", "1");
        h5_write_text(writer, dataset, "long_name", named ? "row of the balance" : "row of the table, from 0");
        if (named) {
            write_flags(writer, dataset, table->row_names);
        }
    }
    free(index);
    return dataset;
}

static void make_scale(struct h5_writer *writer, hid_t dataset, const char *name)
{
    if (status_is_ok(&writer->status) && H5DSset_scale(dataset, name) < 0) {
        writer->status = h5_fail("making a dimension scale of", name);
    }
}

hid_t h5_create_group(struct h5_writer *writer, hid_t parent, const char *name)
{
    if (!status_is_ok(&writer->status)) {
        return H5I_INVALID_HID;
    }
    hid_t plan = H5Pcreate(H5P_GROUP_CREATE);
    hid_t group = H5I_INVALID_HID;
    if (plan >= 0 && H5Pset_obj_track_times(plan, false) >= 0 &&
        H5Pset_link_creation_order(plan, H5P_CRT_ORDER_TRACKED | H5P_CRT_ORDER_INDEXED) >= 0 &&
        H5Pset_attr_creation_order(plan, H5P_CRT_ORDER_TRACKED | H5P_CRT_ORDER_INDEXED) >= 0) {
        group = H5Gcreate2(parent, name, H5P_DEFAULT, plan, H5P_DEFAULT);
    }
    if (group < 0) {
        writer->status = h5_fail("making the group", name);
    }
    (void)h5_close(plan);
    return group;
}

void h5_write_columns(struct h5_writer *writer, hid_t group, const struct table *table, const char *index)
{
    hid_t scale = H5I_INVALID_HID;
    if (index != NULL) {
        scale = write_index(writer, group, table, index);
        make_scale(writer, scale, index);
    }
    for (size_t i = 0; i < table->column_count && status_is_ok(&writer->status); i++) {
        const struct column *column = &table->columns[i];
        bool is_scale = index == NULL && i == 0;
        hid_t dataset = write_column(writer, group, column, table->rows, !is_scale);
        if (is_scale) {
            make_scale(writer, dataset, column->name);
            if (strcmp(column->name, "time") == 0) {
                h5_write_text(writer, dataset, "standard_name", "time");
                h5_write_text(writer, dataset, "axis", "T");
            }
            scale = dataset;
        } else {
            if (status_is_ok(&writer->status) && H5DSattach_scale(dataset, scale, 0) < 0) {
                writer->status = h5_fail("attaching the dimension scale to", column->name);
            }
            (void)h5_close(dataset);
        }
    }
    (void)h5_close(scale);
}

hid_t h5_write_table(struct h5_writer *writer, hid_t parent, const struct table *table, const char *index)
{
    hid_t group = h5_create_group(writer, parent, table->name);
    if (group >= 0) {
        h5_write_text(writer, group, "comment", table->about);
        h5_write_columns(writer, group, table, index);
    }
    return group;
}

static hid_t open_image(struct h5_writer *writer, const char *path)
{
    hid_t access = H5Pcreate(H5P_FILE_ACCESS);
    hid_t plan = H5Pcreate(H5P_FILE_CREATE);
    hid_t file = H5I_INVALID_HID;
    if (access >= 0 && plan >= 0 && H5Pset_fapl_core(access, IMAGE_STEP, false) >= 0 &&
        H5Pset_libver_bounds(access, H5F_LIBVER_V18, H5F_LIBVER_V18) >= 0 &&
        H5Pset_fclose_degree(access, H5F_CLOSE_SEMI) >= 0 && H5Pset_obj_track_times(plan, false) >= 0 &&
        H5Pset_link_creation_order(plan, H5P_CRT_ORDER_TRACKED | H5P_CRT_ORDER_INDEXED) >= 0 &&
        H5Pset_attr_creation_order(plan, H5P_CRT_ORDER_TRACKED | H5P_CRT_ORDER_INDEXED) >= 0) {
        /* the name is never used on disk; a fixed one keeps a file of the same name from being looked at */
        file = H5Fcreate("vatcast-image", H5F_ACC_TRUNC, plan, access);
    }
    if (file < 0) {
        writer->status = h5_fail("laying out", path);
    }
    (void)h5_close(access);
    (void)h5_close(plan);
    return file;
}

/* The finished and sealed file as bytes, owned by the caller; NULL when it failed. */
static void *take_image(struct h5_writer *writer, hid_t file, const char *path, size_t *size)
{
    if (!status_is_ok(&writer->status)) {
        return NULL;
    }
    ssize_t length = H5Fflush(file, H5F_SCOPE_GLOBAL) < 0 ? -1 : H5Fget_file_image(file, NULL, 0);
    if (length <= 0) {
        writer->status = h5_fail("laying out", path);
        return NULL;
    }
    char *image = malloc((size_t)length + SEAL_SIZE);
    if (image == NULL) {
        writer->status = status_fail(STATUS_MEMORY, "no memory left to write '%.200s'", path);
        return NULL;
    }
    if (H5Fget_file_image(file, image, (size_t)length) != length) {
        writer->status = h5_fail("laying out", path);
        free(image);
        return NULL;
    }
    seal_renew_checksum(image, (size_t)length);
    seal_make(image, (size_t)length, image + length);
    *size = (size_t)length + SEAL_SIZE;
    return image;
}

/* ---- many members ------------------------------------------------------------------------------------------------ */

hid_t h5_create_block(struct h5_writer *writer, hid_t group, const struct column *column, size_t members, size_t rows)
{
    hid_t type = column->flags == NULL ? H5T_IEEE_F64LE
                 : count_words(column->flags) <= CODES_IN_INT8 ? H5T_STD_I8LE : H5T_STD_I32LE;
    hid_t dataset = create_block(writer, group, column->name, type, members, rows);
    if (dataset < 0) {
        return dataset;
    }
    if (column->flags != NULL) {
        int32_t none = CODE_NOT_APPLICABLE;
        write_attribute(writer, dataset, "_FillValue", type, H5T_NATIVE_INT32, writer->scalar, &none);
        write_flags(writer, dataset, column->flags);
    } else {
        h5_write_number(writer, dataset, "_FillValue", NAN);
    }
    write_units(writer, dataset, column);
    return dataset;
}

void h5_write_block(struct h5_writer *writer, hid_t dataset, const struct column *column, size_t first, size_t members,
                    size_t rows)
{
    hsize_t start[2] = {first, 0};
    hsize_t count[2] = {members, rows};
    hid_t memory = H5Screate_simple(2, count, NULL);
    hid_t space = dataset >= 0 ? H5Dget_space(dataset) : H5I_INVALID_HID;
    int32_t *codes = column->flags != NULL ? column_codes(writer, column, members * rows) : NULL;
    hid_t type = codes != NULL ? H5T_NATIVE_INT32 : H5T_NATIVE_DOUBLE;
    const void *values = codes != NULL ? (const void *)codes : (const void *)column->values;
    if (status_is_ok(&writer->status) &&
        (memory < 0 || space < 0 || H5Sselect_hyperslab(space, H5S_SELECT_SET, start, NULL, count, NULL) < 0 ||
         H5Dwrite(dataset, type, memory, space, H5P_DEFAULT, values) < 0)) {
        writer->status = h5_fail("writing the dataset", column->name);
    }
    free(codes);
    (void)h5_close(memory);
    (void)h5_close(space);
}

void h5_attach_scales(struct h5_writer *writer, hid_t file, hid_t dataset, const char *const *scales, unsigned count)
{
    for (unsigned i = 0; i < count && status_is_ok(&writer->status); i++) {
        hid_t scale = H5Dopen2(file, scales[i], H5P_DEFAULT);
        if (scale < 0 || H5DSattach_scale(dataset, scale, i) < 0) {
            writer->status = h5_fail("attaching the dimension scale", scales[i]);
        }
        (void)h5_close(scale);
    }
}

static struct status check_shape(const struct result *result)
{
    const struct column *time = result->series.column_count > 0 ? &result->series.columns[0] : NULL;
    if (time == NULL || strcmp(time->name, "time") != 0 || time->flags != NULL) {
        return status_fail(STATUS_BUG, "the series of a result must begin with the column 'time'");
    }
    return status_ok();
}

struct status h5_write_file(const char *path, bool force, double start_unix,
                            void (*fill)(struct h5_writer *writer, hid_t file, const void *contents),
                            const void *contents)
{
    RETURN_IF_FAILED(publish_check(path, force));
    struct h5_quiet quiet = h5_quiet_begin();
    struct h5_writer writer = {.status = status_ok()};
    writer.scalar = H5Screate(H5S_SCALAR);
    writer.string_type = H5Tcopy(H5T_C_S1);
    h5_time_units(start_unix, writer.time_units, sizeof writer.time_units);
    if (writer.scalar < 0 || writer.string_type < 0 || H5Tset_size(writer.string_type, H5T_VARIABLE) < 0 ||
        H5Tset_cset(writer.string_type, H5T_CSET_UTF8) < 0) {
        writer.status = h5_fail("laying out", path);
    }
    hid_t file = status_is_ok(&writer.status) ? open_image(&writer, path) : H5I_INVALID_HID;
    if (file >= 0) {
        fill(&writer, file, contents);
    }
    size_t size = 0;
    void *image = file >= 0 ? take_image(&writer, file, path, &size) : NULL;
    if (h5_close(file) < 0 && status_is_ok(&writer.status)) {
        writer.status = h5_fail("closing", path);
    }
    (void)h5_close(writer.string_type);
    (void)h5_close(writer.scalar);
    h5_quiet_end(&quiet);
    if (status_is_ok(&writer.status)) {
        writer.status = publish_bytes(path, image, size, force);
    }
    free(image);
    return writer.status;
}

static void fill_result(struct h5_writer *writer, hid_t file, const void *contents)
{
    const struct result *result = contents;
    h5_write_heading(writer, file, result);
    h5_write_columns(writer, file, &result->series, NULL);
    h5_write_groups(writer, file, result);
    h5_write_workshop(writer, file, result);
    h5_write_provenance(writer, file, result);
}

struct status record_write(const struct result *result, const char *path, bool force)
{
    RETURN_IF_FAILED(check_shape(result));
    return h5_write_file(path, force, result->start_unix, fill_result, result);
}
