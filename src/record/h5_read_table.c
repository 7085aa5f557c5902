/* h5_read_table.c: groups, attributes and columns of a file that nobody has vouched for.
 *
 * Every size is checked before memory is asked for; only hard links, plain storage and the two filters that the
 * writer uses are accepted, so that a file cannot make the reader open other files, load a plug-in or fill the
 * memory.
 */
#include "record/h5_read.h"

#include "record/h5_common.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define UNPACK_MOST 1100u /* deflate packs 1032 to 1 at the best (zlib's technical details), HDF5 adds its own to each chunk */

static H5_index_t link_order(hid_t group)
{
    unsigned flags = 0;
    hid_t self = H5Gopen2(group, ".", H5P_DEFAULT); /* `group` may be a file, which has no creation list of its own */
    hid_t plan = self < 0 ? H5I_INVALID_HID : H5Gget_create_plist(self);
    bool kept = plan >= 0 && H5Pget_link_creation_order(plan, &flags) >= 0 && (flags & H5P_CRT_ORDER_TRACKED) != 0;
    (void)h5_close(plan);
    (void)h5_close(self);
    return kept ? H5_INDEX_CRT_ORDER : H5_INDEX_NAME;
}

struct status h5_link_count(hid_t group, hsize_t *count)
{
    H5G_info_t about;
    if (H5Gget_info(group, &about) < 0) {
        return h5_fail("looking into the group", "of the file");
    }
    if (about.nlinks > READ_LINKS_MOST) {
        return status_fail(STATUS_LIMIT, "a group holds %llu things; expected at most %u",
                           (unsigned long long)about.nlinks, READ_LINKS_MOST);
    }
    *count = about.nlinks;
    return status_ok();
}

struct status h5_link_name(hid_t group, hsize_t i, char *name, size_t size, H5O_type_t *type)
{
    H5_index_t order = link_order(group);
    H5L_info_t link;
    H5O_info_t object;
    ssize_t length = H5Lget_name_by_idx(group, ".", order, H5_ITER_INC, i, name, size, H5P_DEFAULT);
    if (length < 0 || H5Lget_info_by_idx(group, ".", order, H5_ITER_INC, i, &link, H5P_DEFAULT) < 0) {
        return h5_fail("looking into a group for", "its contents");
    }
    if ((size_t)length >= size) {
        return status_fail(STATUS_IO, "the name '%.40s...' is too long; expected at most %zu characters", name,
                           size - 1);
    }
    if (link.type != H5L_TYPE_HARD) {
        return status_fail(STATUS_IO, "'%s' is a link that leads elsewhere; expected the thing itself", name);
    }
    if (H5Oget_info_by_idx2(group, ".", order, H5_ITER_INC, i, &object, H5O_INFO_BASIC, H5P_DEFAULT) < 0) {
        return h5_fail("looking at", name);
    }
    *type = object.type;
    return status_ok();
}

/* Whether `name` is a hard link of `parent`; anything else (missing, external) is told in words. */
static struct status check_link(hid_t parent, const char *name)
{
    H5L_info_t link;
    htri_t there = H5Lexists(parent, name, H5P_DEFAULT);
    if (there <= 0) {
        return status_fail(STATUS_IO, "'%s' is missing", name);
    }
    if (H5Lget_info(parent, name, &link, H5P_DEFAULT) < 0) {
        return h5_fail("looking at", name);
    }
    if (link.type != H5L_TYPE_HARD) {
        return status_fail(STATUS_IO, "'%s' is a link that leads elsewhere; expected the thing itself", name);
    }
    return status_ok();
}

struct status h5_open_group(hid_t parent, const char *name, hid_t *group)
{
    *group = H5I_INVALID_HID;
    RETURN_IF_FAILED(check_link(parent, name));
    H5O_info_t object;
    if (H5Oget_info_by_name2(parent, name, &object, H5O_INFO_BASIC, H5P_DEFAULT) < 0) {
        return h5_fail("looking at", name);
    }
    if (object.type != H5O_TYPE_GROUP) {
        return status_fail(STATUS_IO, "'%s' is not a group", name);
    }
    *group = H5Gopen2(parent, name, H5P_DEFAULT);
    return *group < 0 ? h5_fail("opening the group", name) : status_ok();
}

/* Opens a scalar attribute and its file type. */
static struct status open_scalar(hid_t object, const char *name, hid_t *attribute, hid_t *type)
{
    *attribute = *type = H5I_INVALID_HID;
    if (H5Aexists(object, name) <= 0) {
        return status_fail(STATUS_IO, "the attribute '%s' is missing", name);
    }
    *attribute = H5Aopen(object, name, H5P_DEFAULT);
    *type = *attribute < 0 ? H5I_INVALID_HID : H5Aget_type(*attribute);
    hid_t space = *attribute < 0 ? H5I_INVALID_HID : H5Aget_space(*attribute);
    bool opened = *type >= 0 && space >= 0;
    bool scalar = opened && H5Sget_simple_extent_npoints(space) == 1;
    (void)h5_close(space);
    if (!opened) {
        return h5_fail("reading the attribute", name);
    }
    return scalar ? status_ok() : status_fail(STATUS_IO, "the attribute '%s' holds a list; expected one value", name);
}

static struct status take_text(hid_t attribute, hid_t type, const char *name, char **text)
{
    if (H5Tget_class(type) != H5T_STRING || H5Tis_variable_str(type) <= 0) {
        return status_fail(STATUS_IO, "the attribute '%s' is no variable-length text", name);
    }
    hid_t memory = H5Tcopy(H5T_C_S1);
    char *read = NULL;
    struct status status = status_ok();
    if (memory < 0 || H5Tset_size(memory, H5T_VARIABLE) < 0 || H5Tset_cset(memory, H5Tget_cset(type)) < 0 ||
        H5Aread(attribute, memory, &read) < 0) {
        status = h5_fail("reading the attribute", name);
    } else if (read != NULL && strlen(read) > READ_TEXT_MOST) {
        status = status_fail(STATUS_LIMIT, "the attribute '%s' is longer than %zu bytes", name, READ_TEXT_MOST);
    } else {
        *text = strdup(read == NULL ? "" : read);
        if (*text == NULL) {
            status = status_fail(STATUS_MEMORY, "no memory left to read the attribute '%s'", name);
        }
    }
    if (read != NULL) {
        (void)H5free_memory(read);
    }
    (void)h5_close(memory);
    return status;
}

struct status h5_read_text(hid_t object, const char *name, char **text)
{
    hid_t attribute;
    hid_t type;
    *text = NULL;
    struct status status = open_scalar(object, name, &attribute, &type);
    if (status_is_ok(&status)) {
        status = take_text(attribute, type, name, text);
    }
    (void)h5_close(type);
    (void)h5_close(attribute);
    return status;
}

struct status h5_read_short_text(hid_t object, const char *name, char *text, size_t size)
{
    char *read;
    RETURN_IF_FAILED(h5_read_text(object, name, &read));
    struct status status = status_ok();
    if (strlen(read) >= size) {
        status = status_fail(STATUS_IO, "the attribute '%s' is too long; expected at most %zu bytes", name, size - 1);
    } else {
        memcpy(text, read, strlen(read) + 1);
    }
    free(read);
    return status;
}

static struct status read_numeric(hid_t object, const char *name, hid_t memory_type, void *value)
{
    hid_t attribute;
    hid_t type;
    struct status status = open_scalar(object, name, &attribute, &type);
    if (status_is_ok(&status)) {
        H5T_class_t kind = H5Tget_class(type);
        if (kind != H5T_FLOAT && kind != H5T_INTEGER) {
            status = status_fail(STATUS_IO, "the attribute '%s' is no number", name);
        } else if (H5Aread(attribute, memory_type, value) < 0) {
            status = h5_fail("reading the attribute", name);
        }
    }
    (void)h5_close(type);
    (void)h5_close(attribute);
    return status;
}

struct status h5_read_number(hid_t object, const char *name, double *value)
{
    return read_numeric(object, name, H5T_NATIVE_DOUBLE, value);
}

struct status h5_read_whole(hid_t object, const char *name, uint64_t *value)
{
    return read_numeric(object, name, H5T_NATIVE_UINT64, value);
}

/* Storage must be the file's own, unfiltered or by shuffle, deflate and checksum, in chunks of sane size. */
static struct status check_storage(hid_t dataset, const char *name)
{
    hid_t plan = H5Dget_create_plist(dataset);
    if (plan < 0) {
        return h5_fail("looking at the storage of", name);
    }
    struct status status = status_ok();
    H5D_layout_t layout = H5Pget_layout(plan);
    int filters = H5Pget_nfilters(plan);
    if (H5Pget_external_count(plan) != 0 ||
        (layout != H5D_CHUNKED && layout != H5D_CONTIGUOUS && layout != H5D_COMPACT)) {
        status = status_fail(STATUS_IO, "'%s' keeps its values outside the file", name);
    }
    hsize_t chunk = 0;
    if (layout == H5D_CHUNKED && (H5Pget_chunk(plan, 1, &chunk) != 1 || chunk == 0 || chunk > READ_ROWS_MOST)) {
        status = status_fail(STATUS_IO, "'%s' is stored in chunks of impossible size", name);
    }
    for (int i = 0; i < filters && status_is_ok(&status); i++) {
        unsigned flags;
        unsigned config;
        size_t values = 0;
        char about[1];
        H5Z_filter_t filter = H5Pget_filter2(plan, (unsigned)i, &flags, &values, NULL, 0, about, &config);
        if (filter != H5Z_FILTER_SHUFFLE && filter != H5Z_FILTER_DEFLATE && filter != H5Z_FILTER_FLETCHER32) {
            status = status_fail(STATUS_IO, "'%s' is packed with a filter that result files do not use", name);
        }
    }
    (void)h5_close(plan);
    return status;
}

/* What is stored must be able to hold the values: else a small file would unfold into a great many that nobody wrote. */
static struct status check_stored(hid_t dataset, const char *name, size_t rows, struct h5_allowance *allowance)
{
    hsize_t stored = H5Dget_storage_size(dataset);
    if (rows > 0 && stored < rows / UNPACK_MOST + 1) { /* a value takes a byte at the least */
        return status_fail(STATUS_IO, "'%s' has %zu rows, of which most are not in the file", name, rows);
    }
    allowance->stored += stored;
    allowance->cells += rows;
    double most = READ_CELLS_SMALL + READ_CELLS_PER_BYTE * (double)allowance->stored;
    if ((double)allowance->cells > fmin(most, READ_CELLS_MOST)) {
        return status_fail(STATUS_LIMIT, "the file unfolds into more numbers than a sound one of its size");
    }
    return status_ok();
}

/* Opens a dataset after checking that it is one row of plain numbers. */
static struct status open_numbers(hid_t group, const char *name, hid_t *dataset, bool *whole, size_t *rows)
{
    *dataset = H5Dopen2(group, name, H5P_DEFAULT);
    if (*dataset < 0) {
        return h5_fail("opening the dataset", name);
    }
    hid_t space = H5Dget_space(*dataset);
    hid_t type = H5Dget_type(*dataset);
    hsize_t size = 0;
    struct status status;
    H5T_class_t kind = type < 0 ? H5T_NO_CLASS : H5Tget_class(type);
    if (space < 0 || type < 0) {
        status = h5_fail("opening the dataset", name);
    } else if (H5Sget_simple_extent_ndims(space) != 1 || H5Sget_simple_extent_dims(space, &size, NULL) != 1) {
        status = status_fail(STATUS_IO, "'%s' has not one dimension", name);
    } else if ((kind != H5T_FLOAT && kind != H5T_INTEGER) || H5Tget_size(type) > 8) {
        status = status_fail(STATUS_IO, "'%s' does not hold plain numbers", name);
    } else if (size > READ_ROWS_MOST) {
        status = status_fail(STATUS_LIMIT, "'%s' has %llu rows; expected at most %u", name, (unsigned long long)size,
                             READ_ROWS_MOST);
    } else {
        status = check_storage(*dataset, name);
    }
    *whole = kind == H5T_INTEGER;
    *rows = (size_t)size;
    (void)h5_close(space);
    (void)h5_close(type);
    return status;
}

/* Codes become doubles; CODE_NOT_APPLICABLE becomes NAN; anything that has no word is refused. */
static struct status check_codes(const char *name, const char *flags, double *values, size_t rows)
{
    double most = (double)count_words(flags);
    for (size_t i = 0; i < rows; i++) {
        if (values[i] == (double)CODE_NOT_APPLICABLE) {
            values[i] = (double)NAN;
        } else if (!(values[i] >= 0.0 && values[i] < most && values[i] == floor(values[i]))) {
            return status_fail(STATUS_IO, "row %zu of '%s' holds the code %g; expected 0 to %g", i, name, values[i],
                               most - 1.0);
        }
    }
    return status_ok();
}

static struct status read_column(hid_t dataset, const char *name, bool whole, size_t rows, struct table *table)
{
    char unit[sizeof table->columns[0].unit];
    char long_name[sizeof table->columns[0].long_name];
    char *units = NULL;
    char *flags = NULL;
    RETURN_IF_FAILED(status_context(h5_read_text(dataset, "units", &units), "'%s'", name));
    /* NOLINTNEXTLINE(clang-analyzer-core.NonNullParamChecker): what was read well is there */
    bool is_time = strncmp(units, "seconds since ", 14) == 0;
    bool fits = is_time || strlen(units) < sizeof unit;
    (void)snprintf(unit, sizeof unit, "%s", is_time ? "s" : units);
    free(units);
    if (!fits) {
        return status_fail(STATUS_IO, "the units of '%s' are too long", name);
    }
    RETURN_IF_FAILED(
        status_context(h5_read_short_text(dataset, "long_name", long_name, sizeof long_name), "'%s'", name));
    if (whole) {
        RETURN_IF_FAILED(status_context(h5_read_text(dataset, "flag_meanings", &flags), "'%s'", name));
    }
    struct status status = table_add_column(table, name, unit, long_name, flags);
    if (status.code == STATUS_BUG) {
        status.code = STATUS_IO; /* the file's fault, not the program's */
    }
    if (status_is_ok(&status) && table->column_count == 1) {
        status = table_reserve(table, rows);
    }
    if (status_is_ok(&status) && rows > 0) {
        double *values = table->columns[table->column_count - 1].values;
        if (H5Dread(dataset, H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, values) < 0) {
            status = h5_fail("reading the dataset", name);
        } else if (flags != NULL) {
            status = check_codes(name, flags, values, rows);
        }
    }
    free(flags);
    return status;
}

static struct status read_dataset(hid_t group, const char *name, bool is_index, bool named_rows,
                                  struct h5_allowance *allowance, bool *first, size_t *rows, struct table *table)
{
    hid_t dataset;
    bool whole = false;
    size_t size = 0;
    struct status status = open_numbers(group, name, &dataset, &whole, &size);
    if (status_is_ok(&status) && !*first && size != *rows) {
        status = status_fail(STATUS_IO, "'%s' has %zu rows where its neighbours have %zu", name, size, *rows);
    }
    if (status_is_ok(&status)) {
        status = check_stored(dataset, name, size, allowance);
    }
    if (status_is_ok(&status)) {
        *first = false;
        *rows = size;
        if (!is_index) {
            status = read_column(dataset, name, whole, size, table);
            if (allowance->trial && table->column_count > 1) {
                struct column *column = &table->columns[table->column_count - 1];
                free(column->values);
                column->values = NULL;
            }
        } else if (named_rows) {
            status = h5_read_text(dataset, "flag_meanings", &table->row_names);
        }
    }
    (void)h5_close(dataset);
    return status;
}

/* The i-th thing in the group, where it is a dataset that belongs to the table. */
static struct status read_link(hid_t group, hsize_t i, struct h5_shape shape, struct h5_allowance *allowance, bool *first,
                               size_t *rows, struct table *table)
{
    char name[sizeof table->columns[0].name];
    H5O_type_t type = H5O_TYPE_UNKNOWN;
    RETURN_IF_FAILED(h5_link_name(group, i, name, sizeof name, &type));
    if (type != H5O_TYPE_DATASET || (shape.takes != NULL && !shape.takes(group, name))) {
        return status_ok();
    }
    bool is_index = shape.index != NULL && strcmp(name, shape.index) == 0;
    return read_dataset(group, name, is_index, shape.named_rows, allowance, first, rows, table);
}

struct status h5_read_table(hid_t group, struct h5_shape shape, struct h5_allowance *allowance, struct table *table)
{
    hsize_t count = 0;
    size_t rows = 0;
    bool first = true;
    RETURN_IF_FAILED(h5_link_count(group, &count));
    for (hsize_t i = 0; i < count; i++) {
        RETURN_IF_FAILED(read_link(group, i, shape, allowance, &first, &rows, table));
    }
    if (table->row_names != NULL && count_words(table->row_names) != rows) {
        return status_fail(STATUS_IO, "the table has %zu rows but %zu row names", rows, count_words(table->row_names));
    }
    table->rows = table->column_count > 0 ? rows : 0;
    return status_ok();
}
