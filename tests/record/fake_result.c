/* fake_result.c: see fake_result.h. Every number is made up. */
#include "record/fake_result.h"

#include "sim/series.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define DAY 86400.0
#define HOUR 3600.0

static void must(struct status status)
{
    if (!status_is_ok(&status)) {
        fprintf(stderr, "fake_result: %s\n", status.message);
        exit(70);
    }
}

static const char *series_flags(const char *name)
{
    if (strcmp(name, "state") == 0) {
        return STATE_WORDS;
    }
    if (strcmp(name, "smell") == 0) {
        return SMELL_WORDS;
    }
    if (strcmp(name, "liquor_clarity") == 0) {
        return LIQUOR_CLARITY_WORDS;
    }
    if (strcmp(name, "liquor_hue") == 0) {
        return LIQUOR_HUE_WORDS;
    }
    return strcmp(name, "look") == 0 ? LOOK_WORDS : NULL;
}

static void add_columns(struct result *result)
{
#define ADD_SERIES(id, name, unit, long_name)                                                                          \
    must(table_add_column(&result->series, name, unit, long_name, series_flags(name)));
    SERIES_LIST(ADD_SERIES)
#define ADD_EVENT(name, unit, long_name, flags) must(table_add_column(&result->events, name, unit, long_name, flags));
    EVENT_COLUMNS(ADD_EVENT)
#define ADD_DIP(name, unit, long_name, flags) must(table_add_column(&result->dips, name, unit, long_name, flags));
    DIP_COLUMNS(ADD_DIP)
#define ADD_PIECE(name, unit, long_name, flags) must(table_add_column(&result->pieces, name, unit, long_name, flags));
    PIECE_COLUMNS(ADD_PIECE)
}

static char *copy(const char *text)
{
    char *made = strdup(text);
    if (made == NULL) {
        exit(70);
    }
    return made;
}

static void add_texts(struct result *result)
{
    (void)snprintf(result->title, sizeof result->title, "Napkins for the mill fair \xe2\x80\x93 a trial");
    (void)snprintf(result->scenario_name, sizeof result->scenario_name, "mill-napkins.conf");
    result->start_unix = 1777881600.0; /* 2026-05-04 08:00:00 */
    result->seed = 0xfedcba9876543210u;
    result->rtol = 1e-6;
    result->statistics = (struct run_statistics){1234, 56, 7890, 123, 234, 27, 30};
    result->scenario_text = copy("title = \"Napkins for the mill fair\";\n# caf\xc3\xa9\n");
    result->model_text = copy("name = \"sugar-lime\";\n");
    result->piece_names = copy("napkin\nlong runner\n");
    result->event_labels = copy("stir\ndip napkin\nadd fructose\nadd slaked lime\ntop up\ndip long runner\n");
}

static void add_series_row(struct result *result, double t)
{
    double row[SERIES_COUNT];
    double day = t / DAY;
    bool short_of_lime = day > 8.0 && day < 9.25;
    for (size_t i = 0; i < SERIES_COUNT; i++) {
        row[i] = sin((double)i + day) * 0.3 + (double)i / 3.0;
    }
    row[SERIES_TIME] = t;
    row[SERIES_TEMPERATURE] = 18.0 + 30.0 * exp(-day * 1.5) + 3.0 * sin(6.283 * day);
    row[SERIES_PH] = short_of_lime ? 9.9 : 11.6 - 0.03 * day;
    row[SERIES_VOLUME] = 52.0 - 0.4 * day;
    row[SERIES_LEUCO] = day < 0.1 ? 0.0 : 0.8 - 0.02 * day;
    row[SERIES_STATE] = day < 0.1 ? VAT_STARTING : short_of_lime ? VAT_LIME_SHORT : VAT_READY;
    row[SERIES_LOOK] = day < 0.1 ? 1 : 4;
    row[SERIES_LIQUOR_CLARITY] = day < 0.1 ? 3 : 0;
    row[SERIES_LIQUOR_HUE] = day < 0.1 ? 19 : 9;
    row[SERIES_LIQUOR_RED] = 193;
    row[SERIES_LIQUOR_GREEN] = 142;
    row[SERIES_LIQUOR_BLUE] = 44;
    row[SERIES_SMELL] = day < 0.1 ? 2 : 0;
    row[SERIES_CLOTH_DIPS] = day < 1.0 ? 0.0 : 1.3;
    row[SERIES_ORP] = day < 0.02 ? (double)NAN : -560.0;
    must(table_add_row(&result->series, row, sizeof row / sizeof *row));
}

static void add_event(struct result *result, double t, int action, double source, double mass, double water,
                      double read_ph)
{
    double temperature = 18.0 + 30.0 * exp(-t / DAY * 1.5);
    double nan = (double)NAN;
    double row[] = {t,   action, source, 1,           mass,        water, read_ph, nan, nan,
                    nan, nan,    11.0,   11.1,   temperature, temperature, 51,    51,      0.7, 0.7};
    must(table_add_row(&result->events, row, sizeof row / sizeof *row));
}

static void add_dip(struct result *result, double t, int kind, int first, int pieces, int dip, double sorbed)
{
    double row[] = {t, 720, kind, first, pieces, dip, 0.7, 30, 11.2, 3.0 * (dip - 1),
                    sorbed, 1.1, 0.9, 0.05, 0, 3.0 * (dip - 1) + sorbed + 1.1, 3, 0};
    must(table_add_row(&result->dips, row, sizeof row / sizeof *row));
    add_event(result, t + 720, RUN_ACTION_CLOTH_OUT, kind == 0 ? 1 : 5, (double)NAN, -0.25 * pieces, (double)NAN);
}

static void add_happenings(struct result *result)
{
    double nan = (double)NAN;
    add_event(result, 0, RUN_ACTION_START, nan, nan, nan, nan);
    add_event(result, 1.5 * HOUR, 4, 0, nan, nan, nan);
    for (int day = 1; day <= 3; day++) {
        double t = day * DAY + 2 * HOUR;
        for (int dip = 1; dip <= 3; dip++) {
            add_event(result, t, 5, 1, nan, nan, nan);
            add_dip(result, t, 0, 4 * (day - 1) + 1, 4, dip, 3.0 - 0.3 * dip - 0.1 * day);
            t += 32 * 60;
        }
        add_event(result, t, 0, 2, 0.024, nan, nan);
    }
    add_event(result, 9 * DAY + 6 * HOUR, 11, nan, nan, nan, 9.9);
    add_event(result, 9 * DAY + 6 * HOUR, 0, 3, 0.0075, nan, 9.9);
    add_event(result, 9 * DAY + 7 * HOUR, 1, 4, nan, 3.0, nan);
    add_event(result, 10 * DAY + 3 * HOUR, 5, 5, nan, nan, nan);
    add_dip(result, 10 * DAY + 3 * HOUR, 1, 1, 1, 1, 2.9);
    add_event(result, 14 * DAY, RUN_ACTION_END, nan, nan, nan, nan);
    for (int i = 1; i <= 12; i++) {
        double row[] = {0, i, 0.095, 3, 6.9 + 0.05 * i, 0, 1.6, 0.85, 0.72 + 0.01 * i, 9.5, 42, -3, -22, 64,
                        102, 138,  4, 0.1,  0,               11.6, 4, 3 * DAY};
        must(table_add_row(&result->pieces, row, sizeof row / sizeof *row));
    }
    for (int i = 1; i <= 2; i++) {
        double row[] = {
            1, i, 0.31, i == 1, i == 1 ? 2.9 : 0.0, 0, i == 1 ? 1.1 : 0.0, i == 1 ? 0.4 : 0.0, i == 1 ? 0.34 : 0.0,
            4, 60, -6, -15, 120, 148, 170, i == 1 ? 3 : 0, 0, 0, 11.2, nan, nan};
        must(table_add_row(&result->pieces, row, sizeof row / sizeof *row));
    }
}

static void add_ledger(struct table *table, const char *name, const char *unit, const char *rows, const double *values,
                       const int *parts, size_t count)
{
    table->residual_relative = 3e-13;
    (void)snprintf(table->name, sizeof table->name, "%s", name);
    (void)snprintf(table->about, sizeof table->about, "where the %s went", name);
    must(table_add_column(table, "amount", unit, "amount; positive came in, negative went out or is left", NULL));
    must(table_add_column(table, "part", "1", "which part of the balance the row belongs to", "in out left"));
    for (size_t i = 0; i < count; i++) {
        double row[] = {values[i], parts[i]};
        must(table_add_row(table, row, sizeof row / sizeof *row));
    }
    table->row_names = copy(rows);
}

static void add_ledgers(struct result *result)
{
    result->ledger_count = 3;
    result->ledger = calloc(result->ledger_count, sizeof *result->ledger);
    if (result->ledger == NULL) {
        exit(70);
    }
    add_ledger(&result->ledger[0], "indigo", "g",
               "initial added sorbed_by_cloth carried_off_on_cloth suspended in_bed destroyed",
               (double[]){98.9, 0.3, -21.0, -3.0, 48.2, 26.0, -1.0}, (int[]){0, 0, 1, 1, 2, 2, 1}, 7);
    add_ledger(&result->ledger[1], "hexose", "g",
               "initial added reduced_indigo met_air_at_surface met_air_of_cloth broke_down fructose",
               (double[]){780.0, 72.0, -34.0, -90.0, -77.0, -606.0, 45.0}, (int[]){0, 0, 1, 1, 1, 1, 2}, 7);
    add_ledger(&result->ledger[2], "lime", "g", "initial added acids_of_breakdown carbon_dioxide_of_air undissolved",
               (double[]){520.0, 7.5, -300.0, -40.5, 187.0}, (int[]){0, 0, 1, 1, 2}, 5);
}

void fake_result(struct result *result)
{
    result_init(result);
    add_texts(result);
    add_columns(result);
    for (int i = 0; i <= 14 * 48; i++) {
        add_series_row(result, 1800.0 * i);
    }
    add_happenings(result);
    add_ledgers(result);
    must(result_add_note(result, 2.4 * HOUR, NOTE_INFO, "ready to dye for the first time"));
    must(result_add_note(result, 8 * DAY, NOTE_WARNING, "no lime left in the liquor for %d h before it was fed", 30));
    must(result_add_note(result, 9.25 * DAY, NOTE_CAUTION, "keep the lid on when children are about"));
}

void fake_empty_result(struct result *result)
{
    result_init(result);
    add_columns(result);
    add_series_row(result, 0.0);
    result->status = RUN_FAILED;
    (void)snprintf(result->failure, sizeof result->failure, "the step size fell below its floor");
    (void)snprintf(result->title, sizeof result->title, "Nothing");
}
