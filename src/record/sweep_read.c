/* sweep_read.c: the file of a sweep back into memory, without the series of its runs. See sweep_file.h. */
#include "record/sweep_file.h"

#include "record/h5_common.h"
#include "record/h5_read.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define DRAWN "drawn_" /* begins the names of columns that tell what was varied */

struct taking {
    struct sweep_about *about;
    struct table *percentiles;
    struct result *result;
    bool trial, is_sweep;
};

/* What belongs to a run stands in one row of numbers; its series have two dimensions, and the time is theirs. */
static bool is_of_members(hid_t file, const char *name)
{
    hid_t dataset = strcmp(name, "time") == 0 ? H5I_INVALID_HID : H5Dopen2(file, name, H5P_DEFAULT);
    hid_t space = dataset < 0 ? H5I_INVALID_HID : H5Dget_space(dataset);
    bool is_row = space >= 0 && H5Sget_simple_extent_ndims(space) == 1;
    (void)h5_close(space);
    (void)h5_close(dataset);
    return is_row;
}

/* What a column was varied by; columns of other names are figures. */
static struct status read_swept(hid_t file, const struct column *column, struct sweep_about *about)
{
    if (strncmp(column->name, DRAWN, strlen(DRAWN)) != 0) {
        return status_ok();
    }
    struct swept *swept = &about->swept[about->swept_count++];
    hid_t dataset = H5Dopen2(file, column->name, H5P_DEFAULT);
    if (dataset < 0) {
        return h5_fail("opening the dataset", column->name);
    }
    (void)snprintf(swept->unit, sizeof swept->unit, "%s", column->unit);
    struct status status = h5_read_short_text(dataset, "setting", swept->name, sizeof swept->name);
    if (status_is_ok(&status)) {
        status = h5_read_short_text(dataset, "drawn", swept->how, sizeof swept->how);
    }
    if (status_is_ok(&status)) {
        status = h5_read_number(dataset, "low", &swept->low);
    }
    if (status_is_ok(&status)) {
        status = h5_read_number(dataset, "high", &swept->high);
    }
    (void)h5_close(dataset);
    return status_is_ok(&status) ? status : status_context(status, "'%s'", column->name);
}

static struct status read_members(hid_t file, struct h5_allowance *allowance, struct sweep_about *about)
{
    struct table *members = &about->members;
    (void)snprintf(members->name, sizeof members->name, "members");
    RETURN_IF_FAILED(
        h5_read_table(file, (struct h5_shape){.index = "member", .takes = is_of_members}, allowance, members));
    if (members->rows == 0) {
        return status_fail(STATUS_IO, "it holds no runs");
    }
    about->runs = members->rows;
    about->swept = calloc(members->column_count, sizeof *about->swept);
    if (about->swept == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to read a sweep");
    }
    size_t last = 0;
    for (size_t i = 0; i < members->column_count; i++) {
        RETURN_IF_FAILED(read_swept(file, &members->columns[i], about));
        last = strncmp(members->columns[i].name, DRAWN, strlen(DRAWN)) == 0 ? i + 1 : last;
    }
    return last == about->swept_count ? status_ok() : status_fail(STATUS_IO, "what was varied does not stand first");
}

static struct status read_percentiles(hid_t file, struct h5_allowance *allowance, struct table *percentiles)
{
    hid_t group;
    struct status status = h5_open_group(file, "percentiles", &group);
    if (status_is_ok(&status)) {
        status = h5_read_table(group, (struct h5_shape){.index = NULL}, allowance, percentiles);
    }
    (void)h5_close(group);
    return status_is_ok(&status) ? status : status_context(status, "/percentiles");
}

static struct status take(hid_t file, void *context)
{
    struct taking *taking = context;
    struct h5_allowance allowance = {.trial = taking->trial};
    char name[sizeof SWEEP_FORMAT_NAME + 32];
    struct status status = h5_read_short_text(file, "format_name", name, sizeof name);
    taking->is_sweep = status_is_ok(&status) && strcmp(name, SWEEP_FORMAT_NAME) == 0;
    if (!taking->is_sweep) {
        return h5_take_result(file, taking->trial, taking->result);
    }
    RETURN_IF_FAILED(h5_check_version(file, SWEEP_FORMAT_VERSION));
    RETURN_IF_FAILED(h5_read_short_text(file, "title", taking->about->title, sizeof taking->about->title));
    RETURN_IF_FAILED(read_members(file, &allowance, taking->about));
    return read_percentiles(file, &allowance, taking->percentiles);
}

static struct status attempt(const char *path)
{
    struct sweep_about about = {.runs = 0};
    struct table percentiles = {.rows = 0};
    struct result result;
    struct taking taking = {.about = &about, .percentiles = &percentiles, .result = &result, .trial = true};
    result_init(&result);
    struct status status = h5_read_file(path, take, &taking);
    sweep_about_free(&about);
    table_free(&percentiles);
    result_free(&result);
    return status;
}

struct status sweep_or_result_read(const char *path, struct sweep_about *about, struct table *percentiles,
                                   struct result *result, bool *is_sweep)
{
    struct taking taking = {.about = about, .percentiles = percentiles, .result = result};
    *about = (struct sweep_about){.runs = 0};
    *percentiles = (struct table){.name = "percentiles"};
    result_init(result);
    struct status status = h5_try_file(path, attempt);
    if (status_is_ok(&status)) {
        status = h5_read_file(path, take, &taking);
    }
    *is_sweep = taking.is_sweep;
    return status_is_ok(&status) ? status : status_context(status, "'%.200s' cannot be read", path);
}
