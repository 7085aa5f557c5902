/* h5_contents.c: what stands in a result file: heading, groups, provenance. See docs/result-format.md. */
#include "record/h5_common.h"
#include "record/h5_write.h"
#include "record/record.h"
#include "record/sha256.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#ifndef VATCAST_VERSION
#define VATCAST_VERSION "0.1.0"
#endif

void h5_time_units(double start_unix, char *text, size_t size)
{
    time_t start = (time_t)llround(start_unix);
    struct tm parts;
    char clock[40] = "1970-01-01 00:00:00";
    if (gmtime_r(&start, &parts) != NULL) {
        (void)strftime(clock, sizeof clock, "%Y-%m-%d %H:%M:%S", &parts);
    }
    (void)snprintf(text, size, "seconds since %s", clock);
}

void h5_write_heading(struct h5_writer *writer, hid_t file, const struct result *result)
{
    h5_write_text(writer, file, "Conventions", "CF-1.10");
    h5_write_text(writer, file, "title", result->title);
    h5_write_text(writer, file, "source", "vatcast " VATCAST_VERSION);
    h5_write_text(writer, file, "format_name", RECORD_FORMAT_NAME);
    h5_write_whole(writer, file, "format_version", RECORD_FORMAT_VERSION);
    h5_write_text(writer, file, "status", run_status_words[result->status]);
    h5_write_text(
        writer, file, "comment",
        "a forecast from a model, not a measurement; at the time of an event the series hold the value after it");
}

static void write_notes(struct h5_writer *writer, hid_t file, const struct result *result)
{
    struct table notes;
    struct status status = notes_to_table(result, &notes);
    char *text = NULL;
    if (status_is_ok(&status)) {
        text = calloc(result->note_count + 1, sizeof result->notes[0].text + 1);
        if (text == NULL) {
            status = status_fail(STATUS_MEMORY, "no memory left to write the notes");
        }
    }
    if (status_is_ok(&status)) {
        char *end = text;
        for (size_t i = 0; i < result->note_count; i++) {
            size_t length = strlen(result->notes[i].text);
            memcpy(end, result->notes[i].text, length);
            end[length] = '\n';
            end += length + 1;
        }
        hid_t group = h5_write_table(writer, file, &notes, "note_index");
        if (group >= 0) {
            h5_write_text(writer, group, "text", text);
        }
        (void)h5_close(group);
    } else if (status_is_ok(&writer->status)) {
        writer->status = status;
    }
    free(text);
    table_free(&notes);
}

/* Another vat: its series, and the groups of any result, in a group of its own. */
static void write_other_vat(struct h5_writer *writer, hid_t parent, const struct result *vat, size_t number)
{
    struct table series = vat->series; /* borrowed, under the vat's name */
    (void)snprintf(series.name, sizeof series.name, "vat_%zu", number);
    hid_t group = h5_write_table(writer, parent, &series, NULL);
    if (group >= 0) {
        h5_write_groups(writer, group, vat);
    }
    (void)h5_close(group);
}

void h5_write_workshop(struct h5_writer *writer, hid_t file, const struct result *result)
{
    const struct workshop_result *workshop = result->workshop;
    hid_t group = workshop != NULL ? h5_create_group(writer, file, "workshop") : H5I_INVALID_HID;
    if (group < 0) {
        return;
    }
    h5_write_text(writer, group, "story", workshop->story);
    h5_write_number(writer, group, "opens", workshop->opens);
    h5_write_number(writer, group, "closes", workshop->closes);
    h5_write_number(writer, group, "places", workshop->places);
    (void)h5_close(h5_write_table(writer, group, &workshop->day, NULL));
    (void)h5_close(h5_write_table(writer, group, &workshop->plans, "plan_index"));
    hid_t vats = h5_create_group(writer, group, "vats");
    for (size_t i = 0; i < workshop->other_count && vats >= 0; i++) {
        write_other_vat(writer, vats, &workshop->others[i], i + 2);
    }
    (void)h5_close(vats);
    (void)h5_close(group);
}

void h5_write_groups(struct h5_writer *writer, hid_t file, const struct result *result)
{
    hid_t events = h5_write_table(writer, file, &result->events, "event_index");
    if (events >= 0) {
        h5_write_text(writer, events, "labels", result->event_labels);
    }
    (void)h5_close(events);
    (void)h5_close(h5_write_table(writer, file, &result->dips, "dip_index"));
    hid_t pieces = h5_write_table(writer, file, &result->pieces, "piece_index");
    if (pieces >= 0) {
        h5_write_text(writer, pieces, "kind_names", result->piece_names);
    }
    (void)h5_close(pieces);
    hid_t ledger = h5_create_group(writer, file, "ledger");
    for (size_t i = 0; i < result->ledger_count && ledger >= 0; i++) {
        hid_t group = h5_write_table(writer, ledger, &result->ledger[i], "row");
        if (group >= 0) {
            h5_write_number(writer, group, "residual_relative", result->ledger[i].residual_relative);
        }
        (void)h5_close(group);
    }
    (void)h5_close(ledger);
    if (result->members.column_count > 0) {
        (void)h5_close(h5_write_table(writer, file, &result->members, "member"));
        (void)h5_close(h5_write_table(writer, file, &result->percentiles, NULL));
    }
    if (result->figures.column_count > 0) {
        (void)h5_close(h5_write_table(writer, file, &result->figures, "run"));
    }
    write_notes(writer, file, result);
}

void h5_write_text_and_digest(struct h5_writer *writer, hid_t group, const char *name, const char *text)
{
    char digest[SHA256_HEX_SIZE];
    char digest_name[64];
    const char *value = text == NULL ? "" : text;
    sha256_hex(value, strlen(value), digest);
    (void)snprintf(digest_name, sizeof digest_name, "%s_sha256", name);
    h5_write_text(writer, group, name, value);
    h5_write_text(writer, group, digest_name, digest);
}

void h5_write_provenance(struct h5_writer *writer, hid_t file, const struct result *result)
{
    hid_t group = h5_create_group(writer, file, "provenance");
    if (group < 0) {
        return;
    }
    h5_write_text(writer, group, "program", "vatcast");
    h5_write_text(writer, group, "program_version", VATCAST_VERSION);
    h5_write_text(writer, group, "status", run_status_words[result->status]);
    h5_write_text(writer, group, "failure", result->failure);
    h5_write_text(writer, group, "scenario_name", result->scenario_name);
    h5_write_number(writer, group, "start_unix", result->start_unix);
    h5_write_whole(writer, group, "seed", result->seed);
    h5_write_number(writer, group, "rtol", result->rtol);
    h5_write_number(writer, group, "steps", result->statistics.steps);
    h5_write_number(writer, group, "rejected_steps", result->statistics.rejected_steps);
    h5_write_number(writer, group, "rate_evaluations", result->statistics.rate_evaluations);
    h5_write_number(writer, group, "jacobians", result->statistics.jacobians);
    h5_write_number(writer, group, "factorisations", result->statistics.factorisations);
    h5_write_number(writer, group, "events", result->statistics.events);
    h5_write_number(writer, group, "legs", result->statistics.legs);
    h5_write_text_and_digest(writer, group, "scenario_text", result->scenario_text);
    h5_write_text_and_digest(writer, group, "model_text", result->model_text);
    (void)h5_close(group);
}
