/* sweep_file.c: many runs as one HDF5 file; see sweep_file.h. */
#include "record/sweep_file.h"

#include "record/h5_common.h"
#include "record/h5_write.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#ifndef VATCAST_VERSION
#define VATCAST_VERSION "0.1.0"
#endif

struct contents {
    const struct sweep_about *about;
    struct journal *const *journals;
    size_t journal_count;
    const struct table *percentiles;
};

/* ---- rows of several journals as one ----------------------------------------------------------------------------- */

static struct status read_row(struct journal *const *journals, size_t count, size_t run, size_t from, size_t numbers,
                              double *values)
{
    for (size_t j = 0; j < count; j++) {
        size_t first = journal_first(journals[j]);
        if (run >= first && run - first < journal_count(journals[j])) {
            return journal_read(journals[j], run - first, from, numbers, values);
        }
    }
    return status_fail(STATUS_BUG, "there is no run %zu", run + 1);
}

static struct status check_cover(const struct sweep_about *about, struct journal *const *journals, size_t count)
{
    size_t next = 0;
    for (size_t j = 0; j < count; j++) {
        size_t first = journal_first(journals[j]);
        if (first < next) {
            return status_fail(STATUS_IO, "runs %zu to %zu are there twice; give each part once", first + 1, next);
        }
        if (first > next) {
            return status_fail(STATUS_IO, "runs %zu to %zu of %zu are missing; give all parts", next + 1, first,
                               about->runs);
        }
        next = first + journal_count(journals[j]);
        if (journal_rows(journals[j]) < journal_count(journals[j])) {
            return status_fail(STATUS_IO, "runs %zu to %zu are still to be done; finish that part first",
                               first + journal_rows(journals[j]) + 1, next);
        }
    }
    if (next != about->runs) {
        return status_fail(STATUS_IO, "runs %zu to %zu of %zu are missing; give all parts", next + 1, about->runs,
                           about->runs);
    }
    return status_ok();
}

struct status sweep_load_members(struct sweep_about *about, struct journal *const *journals, size_t count)
{
    size_t width = about->members.column_count;
    RETURN_IF_FAILED(check_cover(about, journals, count));
    RETURN_IF_FAILED(table_reserve(&about->members, about->runs));
    double *row = malloc((width + 1) * sizeof *row);
    struct status status = row != NULL ? status_ok() : status_fail(STATUS_MEMORY, "no memory left for a sweep");
    for (size_t run = 0; run < about->runs && status_is_ok(&status); run++) {
        status = read_row(journals, count, run, 0, width, row);
        if (status_is_ok(&status)) {
            status = table_add_row(&about->members, row, width);
        }
    }
    free(row);
    return status;
}

/* ---- the file ---------------------------------------------------------------------------------------------------- */

static void write_heading(struct h5_writer *writer, hid_t file, const struct sweep_about *about)
{
    h5_write_text(writer, file, "Conventions", "CF-1.10");
    h5_write_text(writer, file, "title", about->title);
    h5_write_text(writer, file, "source", "vatcast " VATCAST_VERSION);
    h5_write_text(writer, file, "format_name", SWEEP_FORMAT_NAME);
    h5_write_whole(writer, file, "format_version", SWEEP_FORMAT_VERSION);
    h5_write_text(
        writer, file, "comment",
        "forecasts from a model, not measurements; a member is a run with values of its own, the columns drawn_*");
}

static void write_time(struct h5_writer *writer, hid_t file, const struct sweep_about *about)
{
    struct table table = {.residual_relative = NAN};
    struct status status = table_add_column(&table, "time", "s", "time since start", NULL);
    for (size_t row = 0; row < about->series_rows && status_is_ok(&status); row++) {
        double time = (double)row * about->record_every;
        status = table_add_row(&table, &time, 1);
    }
    if (status_is_ok(&status)) {
        h5_write_columns(writer, file, &table, NULL);
    } else if (status_is_ok(&writer->status)) {
        writer->status = status;
    }
    table_free(&table);
}

static void write_one_series(struct h5_writer *writer, hid_t file, const struct contents *contents, size_t which,
                             double *block)
{
    static const char *const scales[] = {"member", "time"};
    const struct sweep_about *about = contents->about;
    size_t rows = about->series_rows;
    struct column column = about->series.columns[which];
    column.values = block;
    hid_t dataset = h5_create_block(writer, file, &column, about->runs, rows);
    for (size_t first = 0; first < about->runs && status_is_ok(&writer->status); first += H5_BLOCK_MEMBERS) {
        size_t members = about->runs - first < H5_BLOCK_MEMBERS ? about->runs - first : H5_BLOCK_MEMBERS;
        for (size_t m = 0; m < members && status_is_ok(&writer->status); m++) {
            writer->status = read_row(contents->journals, contents->journal_count, first + m,
                                      about->members.column_count + which * rows, rows, block + m * rows);
        }
        h5_write_block(writer, dataset, &column, first, members, rows);
    }
    h5_attach_scales(writer, file, dataset, scales, 2);
    (void)h5_close(dataset);
}

static void write_series(struct h5_writer *writer, hid_t file, const struct contents *contents)
{
    const struct sweep_about *about = contents->about;
    double *block = malloc(H5_BLOCK_MEMBERS * (about->series_rows + 1) * sizeof *block);
    if (block == NULL) {
        writer->status = status_fail(STATUS_MEMORY, "no memory left to write the series of a sweep");
        return;
    }
    write_time(writer, file, about);
    for (size_t i = 0; i < about->series.column_count; i++) {
        write_one_series(writer, file, contents, i, block);
    }
    free(block);
}

/* What was varied, on the columns that hold it. */
static void describe_drawn(struct h5_writer *writer, hid_t file, const struct sweep_about *about)
{
    for (size_t i = 0; i < about->swept_count && status_is_ok(&writer->status); i++) {
        const struct swept *swept = &about->swept[i];
        hid_t dataset = H5Dopen2(file, about->members.columns[i].name, H5P_DEFAULT);
        h5_write_text(writer, dataset, "setting", swept->name);
        h5_write_text(writer, dataset, "drawn", swept->how);
        h5_write_number(writer, dataset, "low", swept->low);
        h5_write_number(writer, dataset, "high", swept->high);
        (void)h5_close(dataset);
    }
}

static void write_provenance(struct h5_writer *writer, hid_t file, const struct sweep_about *about)
{
    hid_t group = h5_create_group(writer, file, "provenance");
    if (group < 0) {
        return;
    }
    h5_write_text(writer, group, "program", "vatcast");
    h5_write_text(writer, group, "program_version", VATCAST_VERSION);
    h5_write_text(writer, group, "scenario_name", about->scenario_name);
    h5_write_number(writer, group, "start_unix", about->start_unix);
    h5_write_whole(writer, group, "seed", about->seed);
    h5_write_number(writer, group, "rtol", about->rtol);
    h5_write_text_and_digest(writer, group, "scenario_text", about->scenario_text);
    h5_write_text_and_digest(writer, group, "model_text", about->model_text);
    (void)h5_close(group);
}

static void fill(struct h5_writer *writer, hid_t file, const void *given)
{
    const struct contents *contents = given;
    const struct sweep_about *about = contents->about;
    write_heading(writer, file, about);
    h5_write_columns(writer, file, &about->members, "member");
    describe_drawn(writer, file, about);
    if (about->series_rows > 0) {
        write_series(writer, file, contents);
    }
    (void)h5_close(h5_write_table(writer, file, contents->percentiles, NULL));
    write_provenance(writer, file, about);
}

struct status sweep_file_write(const struct sweep_about *about, struct journal *const *journals, size_t count,
                               const struct table *percentiles, const char *path, bool force)
{
    struct contents contents = {
        .about = about, .journals = journals, .journal_count = count, .percentiles = percentiles};
    return h5_write_file(path, force, about->start_unix, fill, &contents);
}
