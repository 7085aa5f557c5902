/* h5_read.c: a result file back into memory; what h5_contents.c writes, checked piece by piece. */
#include "record/h5_read.h"

#include "record/guard.h"
#include "record/h5_common.h"
#include "record/journal.h"
#include "record/record.h"
#include "record/seal.h"
#include "record/sweep_file.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

static struct status check_seal(const char *path, size_t size)
{
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        return status_fail(STATUS_IO, "%s", strerror(errno));
    }
    struct status status = seal_check(file, size);
    (void)fclose(file);
    return status;
}

static struct status check_file(const char *path)
{
    struct stat about;
    if (stat(path, &about) != 0) {
        return status_fail(STATUS_IO, "%s", strerror(errno));
    }
    if (!S_ISREG(about.st_mode)) {
        return status_fail(STATUS_IO, "not a file");
    }
    if ((int64_t)about.st_size > READ_FILE_MOST) {
        return status_fail(STATUS_LIMIT, "the file is larger than %lld bytes", (long long)READ_FILE_MOST);
    }
    if (about.st_size == 0) {
        return status_fail(STATUS_IO, "the file is empty");
    }
    return check_seal(path, (size_t)about.st_size);
}

struct status h5_check_version(hid_t file, int version)
{
    uint64_t found = 0;
    RETURN_IF_FAILED(h5_read_whole(file, "format_version", &found));
    if (found > (uint64_t)version) {
        return status_fail(STATUS_IO,
                           "the file has format version %llu, made by a newer program; this one reads version %d. "
                           "Install the newer one to read it",
                           (unsigned long long)found, version);
    }
    return found == (uint64_t)version
               ? status_ok()
               : status_fail(STATUS_IO, "the file has format version %llu; this program reads version %d",
                             (unsigned long long)found, version);
}

static struct status check_format(hid_t file)
{
    char name[sizeof RECORD_FORMAT_NAME + 32];
    struct status status = h5_read_short_text(file, "format_name", name, sizeof name);
    if (status.code == STATUS_MEMORY) {
        return status;
    }
    if (status_is_ok(&status) && strcmp(name, SWEEP_FORMAT_NAME) == 0) {
        return status_fail(STATUS_IO,
                           "it holds the many runs of a sweep, which make no one story; 'vatcast show' tells what "
                           "they came to, docs/sweep.md how to look at them");
    }
    if (!status_is_ok(&status) || strcmp(name, RECORD_FORMAT_NAME) != 0) {
        return status_fail(STATUS_IO, "not a result of vatcast (the attribute 'format_name' does not say so)");
    }
    return h5_check_version(file, RECORD_FORMAT_VERSION);
}

/* A table of rows in order of time, which is its first column. */
static struct status check_times(const struct table *series)
{
    if (series->column_count == 0 || strcmp(series->columns[0].name, "time") != 0 || series->columns[0].flags != NULL) {
        return status_fail(STATUS_IO, "the file does not begin with 'time'");
    }
    for (size_t i = 0; i < series->rows; i++) {
        double time = series->columns[0].values[i];
        if (!isfinite(time) || (i > 0 && time < series->columns[0].values[i - 1])) {
            return status_fail(STATUS_IO, "row %zu of 'time' goes backwards or is no number", i);
        }
    }
    return status_ok();
}

static struct status read_series(hid_t file, struct h5_allowance *allowance, struct result *result)
{
    RETURN_IF_FAILED(h5_read_table(file, (struct h5_shape){.index = NULL}, allowance, &result->series));
    return check_times(&result->series);
}

/* One of the groups of columns; `text` (may be NULL) is a text attribute of the group read along. */
static struct status read_group(hid_t parent, const char *name, const char *index, struct h5_allowance *allowance,
                                struct table *table, const char *text_name, char **text)
{
    hid_t group;
    struct status status = h5_open_group(parent, name, &group);
    if (status_is_ok(&status)) {
        status = h5_read_short_text(group, "comment", table->about, sizeof table->about);
    }
    if (status_is_ok(&status)) {
        status = h5_read_table(group, (struct h5_shape){.index = index}, allowance, table);
    }
    if (status_is_ok(&status) && text != NULL) {
        status = h5_read_text(group, text_name, text);
    }
    (void)h5_close(group);
    return status_is_ok(&status) ? status : status_context(status, "/%s", name);
}

static struct status read_substance(hid_t ledger, struct h5_allowance *allowance, struct table *table)
{
    hid_t group;
    struct status status = h5_open_group(ledger, table->name, &group);
    if (status_is_ok(&status)) {
        status = h5_read_short_text(group, "comment", table->about, sizeof table->about);
    }
    if (status_is_ok(&status)) {
        status = h5_read_number(group, "residual_relative", &table->residual_relative);
    }
    if (status_is_ok(&status)) {
        status = h5_read_table(group, (struct h5_shape){.index = "row", .named_rows = true}, allowance, table);
    }
    (void)h5_close(group);
    return status_is_ok(&status) ? status : status_context(status, "/ledger/%s", table->name);
}

static struct status read_ledger(hid_t file, struct h5_allowance *allowance, struct result *result)
{
    hid_t ledger;
    hsize_t count = 0;
    struct status status = h5_open_group(file, "ledger", &ledger);
    if (status_is_ok(&status)) {
        status = h5_link_count(ledger, &count);
    }
    if (status_is_ok(&status) && count > 0) {
        result->ledger = calloc((size_t)count, sizeof *result->ledger);
        if (result->ledger == NULL) {
            status = status_fail(STATUS_MEMORY, "no memory left to read the ledger");
        }
    }
    for (hsize_t i = 0; i < count && status_is_ok(&status); i++) {
        struct table *table = &result->ledger[i];
        H5O_type_t type;
        table->residual_relative = NAN;
        result->ledger_count = (size_t)i + 1;
        status = h5_link_name(ledger, i, table->name, sizeof table->name, &type);
        if (status_is_ok(&status)) {
            status = read_substance(ledger, allowance, table);
        }
    }
    (void)h5_close(ledger);
    return status;
}

/* The lines of `text` onto the rows of `table` as notes. */
static struct status join_notes(const struct table *table, const char *text, struct result *result)
{
    const struct column *time = table_column(table, "time");
    const struct column *kind = table_column(table, "kind");
    if (time == NULL || kind == NULL || kind->flags == NULL || strcmp(kind->flags, NOTE_KIND_FLAGS) != 0) {
        return status_fail(STATUS_IO, "/notes: expected the columns 'time' and 'kind' (" NOTE_KIND_FLAGS ")");
    }
    for (size_t i = 0; i < table->rows; i++) {
        size_t length = strcspn(text, "\n");
        if (text[length] != '\n' || length >= sizeof result->notes[0].text || isnan(kind->values[i])) {
            return status_fail(STATUS_IO, "/notes: line %zu of the text is missing, too long or of no kind", i + 1);
        }
        RETURN_IF_FAILED(
            result_add_note(result, time->values[i], (enum note_kind)(int)kind->values[i], "%.*s", (int)length, text));
        text += length + 1;
    }
    return status_ok();
}

static struct status read_notes(hid_t file, struct h5_allowance *allowance, struct result *result)
{
    struct table table = {.residual_relative = NAN};
    char *text = NULL;
    bool trial = allowance->trial;
    allowance->trial = false; /* the times are needed beside the kinds */
    struct status status = read_group(file, "notes", "note_index", allowance, &table, "text", &text);
    allowance->trial = trial;
    if (status_is_ok(&status)) {
        status = join_notes(&table, text, result);
    }
    free(text);
    table_free(&table);
    return status;
}

/* Everything of a vat but its provenance: the series at `place`, the groups in it. */
static struct status read_vat(hid_t place, struct h5_allowance *allowance, struct result *result)
{
    RETURN_IF_FAILED(read_series(place, allowance, result));
    RETURN_IF_FAILED(
        read_group(place, "events", "event_index", allowance, &result->events, "labels", &result->event_labels));
    RETURN_IF_FAILED(read_group(place, "dips", "dip_index", allowance, &result->dips, NULL, NULL));
    RETURN_IF_FAILED(
        read_group(place, "pieces", "piece_index", allowance, &result->pieces, "kind_names", &result->piece_names));
    RETURN_IF_FAILED(read_ledger(place, allowance, result));
    return read_notes(place, allowance, result);
}

static struct status read_other_vats(hid_t vats, struct h5_allowance *allowance, struct workshop_result *workshop)
{
    hsize_t count = 0;
    RETURN_IF_FAILED(h5_link_count(vats, &count));
    workshop->others = calloc((size_t)count + 1, sizeof *workshop->others);
    if (workshop->others == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to read the vats of a workshop");
    }
    for (hsize_t i = 0; i < count; i++) {
        struct result *vat = &workshop->others[i];
        char name[sizeof vat->series.name];
        H5O_type_t type;
        hid_t group;
        result_init(vat);
        workshop->other_count = (size_t)i + 1;
        RETURN_IF_FAILED(h5_link_name(vats, i, name, sizeof name, &type));
        RETURN_IF_FAILED(h5_open_group(vats, name, &group));
        struct status status = read_vat(group, allowance, vat);
        (void)h5_close(group);
        RETURN_IF_FAILED(status_context(status, "/%s", name));
    }
    return status_ok();
}

static struct status read_workshop_of(hid_t group, struct h5_allowance *allowance, struct workshop_result *workshop)
{
    RETURN_IF_FAILED(h5_read_text(group, "story", &workshop->story));
    RETURN_IF_FAILED(h5_read_number(group, "opens", &workshop->opens));
    RETURN_IF_FAILED(h5_read_number(group, "closes", &workshop->closes));
    RETURN_IF_FAILED(h5_read_number(group, "places", &workshop->places));
    if (!(workshop->opens < workshop->closes) || !isfinite(workshop->opens) || !isfinite(workshop->closes)) {
        return status_fail(STATUS_IO, "it closes before it opens");
    }
    RETURN_IF_FAILED(read_group(group, "day", NULL, allowance, &workshop->day, NULL, NULL));
    RETURN_IF_FAILED(check_times(&workshop->day));
    RETURN_IF_FAILED(read_group(group, "plans", "plan_index", allowance, &workshop->plans, NULL, NULL));
    hid_t vats;
    struct status status = h5_open_group(group, "vats", &vats);
    if (status_is_ok(&status)) {
        status = read_other_vats(vats, allowance, workshop);
    }
    (void)h5_close(vats);
    return status;
}

/* The workshop, where the file has one. */
static struct status read_workshop(hid_t file, struct h5_allowance *allowance, struct result *result)
{
    hid_t group;
    if (H5Lexists(file, "workshop", H5P_DEFAULT) <= 0) {
        return status_ok();
    }
    RETURN_IF_FAILED(result_add_workshop(result));
    struct status status = h5_open_group(file, "workshop", &group);
    if (status_is_ok(&status)) {
        status = read_workshop_of(group, allowance, result->workshop);
    }
    (void)h5_close(group);
    return status_is_ok(&status) ? status : status_context(status, "/workshop");
}

static struct status read_provenance_of(hid_t group, struct result *result)
{
    char word[32];
    RETURN_IF_FAILED(h5_read_short_text(group, "status", word, sizeof word));
    int code = 0;
    while (run_status_words[code] != NULL && strcmp(run_status_words[code], word) != 0) {
        code++;
    }
    if (run_status_words[code] == NULL) {
        return status_fail(STATUS_IO, "the status '%s' is unknown", word);
    }
    result->status = (enum run_status)code;
    RETURN_IF_FAILED(h5_read_short_text(group, "failure", result->failure, sizeof result->failure));
    RETURN_IF_FAILED(h5_read_short_text(group, "scenario_name", result->scenario_name, sizeof result->scenario_name));
    RETURN_IF_FAILED(h5_read_number(group, "start_unix", &result->start_unix));
    if (!(fabs(result->start_unix) < 1e12)) {
        return status_fail(STATUS_IO, "the start of the run is no time");
    }
    RETURN_IF_FAILED(h5_read_whole(group, "seed", &result->seed));
    RETURN_IF_FAILED(h5_read_number(group, "rtol", &result->rtol));
    RETURN_IF_FAILED(h5_read_number(group, "steps", &result->statistics.steps));
    RETURN_IF_FAILED(h5_read_number(group, "rejected_steps", &result->statistics.rejected_steps));
    RETURN_IF_FAILED(h5_read_number(group, "rate_evaluations", &result->statistics.rate_evaluations));
    RETURN_IF_FAILED(h5_read_number(group, "jacobians", &result->statistics.jacobians));
    RETURN_IF_FAILED(h5_read_number(group, "factorisations", &result->statistics.factorisations));
    RETURN_IF_FAILED(h5_read_number(group, "events", &result->statistics.events));
    RETURN_IF_FAILED(h5_read_number(group, "legs", &result->statistics.legs));
    RETURN_IF_FAILED(h5_read_text(group, "scenario_text", &result->scenario_text));
    return h5_read_text(group, "model_text", &result->model_text);
}

static struct status read_provenance(hid_t file, struct result *result)
{
    hid_t group;
    struct status status = h5_open_group(file, "provenance", &group);
    if (status_is_ok(&status)) {
        status = read_provenance_of(group, result);
    }
    (void)h5_close(group);
    return status_is_ok(&status) ? status : status_context(status, "/provenance");
}

struct status h5_take_result(hid_t file, bool trial, struct result *result)
{
    struct h5_allowance allowance = {.trial = trial};
    RETURN_IF_FAILED(check_format(file));
    RETURN_IF_FAILED(h5_read_short_text(file, "title", result->title, sizeof result->title));
    RETURN_IF_FAILED(read_provenance(file, result));
    RETURN_IF_FAILED(read_vat(file, &allowance, result));
    if (H5Lexists(file, "members", H5P_DEFAULT) > 0) {
        RETURN_IF_FAILED(read_group(file, "members", "member", &allowance, &result->members, NULL, NULL));
        RETURN_IF_FAILED(read_group(file, "percentiles", NULL, &allowance, &result->percentiles, NULL, NULL));
    }
    if (H5Lexists(file, "figures", H5P_DEFAULT) > 0) {
        RETURN_IF_FAILED(read_group(file, "figures", "run", &allowance, &result->figures, NULL, NULL));
    }
    return read_workshop(file, &allowance, result);
}

struct status h5_read_file(const char *path, h5_taker *take, void *context)
{
    struct status status;
    struct h5_quiet quiet = h5_quiet_begin();
    hid_t access = H5Pcreate(H5P_FILE_ACCESS);
    hid_t file = H5I_INVALID_HID;
    if (access >= 0 && H5Pset_fclose_degree(access, H5F_CLOSE_STRONG) >= 0) {
        file = H5Fopen(path, H5F_ACC_RDONLY, access);
    }
    if (file < 0) {
        status = h5_fail("opening", "as a result file");
    } else {
        status = take(file, context);
    }
    (void)h5_close(file);
    (void)h5_close(access);
    h5_quiet_end(&quiet);
    return status;
}

struct taking {
    struct result *result;
    bool trial;
};

static struct status take_result(hid_t file, void *context)
{
    const struct taking *taking = context;
    return h5_take_result(file, taking->trial, taking->result);
}

static struct status attempt(const char *path)
{
    struct result result;
    result_init(&result);
    struct taking taking = {.result = &result, .trial = true};
    struct status status = h5_read_file(path, take_result, &taking);
    result_free(&result);
    return status;
}

struct status h5_try_file(const char *path, h5_attempt *attempted)
{
    RETURN_IF_FAILED(check_file(path));
    if (journal_is_at(path)) {
        return status_fail(
            STATUS_IO, "it is a part of a sweep: 'vatcast merge' puts parts together, and what a stopped sweep left is "
                       "finished by the command that began it");
    }
    return guard_try(attempted, path);
}

struct status record_read(const char *path, struct result *result)
{
    struct taking taking = {.result = result};
    result_init(result);
    struct status status = h5_try_file(path, attempt);
    if (status_is_ok(&status)) {
        status = h5_read_file(path, take_result, &taking);
    }
    return status_is_ok(&status) ? status : status_context(status, "'%.200s' cannot be read", path);
}
