/* census.c: see census.h. */
#include "fuzz/census.h"

#include "sim/series.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define NAMES_MOST 64

/* Counts by name, in order of first sight, or of a list of words given. */
struct tally {
    const char *title;
    char names[NAMES_MOST][48];
    size_t counts[NAMES_MOST];
    size_t used;
};

static struct {
    size_t scenarios, rows;
    size_t kinds[3]; /* fresh, living, with schedules */
    struct tally models, materials, fibres, walls, lids, wraps, suns, endings, done, skipped, timings, watched,
        readings, picks, wrings, stirs, states, notes;
    struct {
        double value;
        size_t below, scenario;
    } lowest[SERIES_COUNT];
    char series[SERIES_COUNT][48];
} all = {
    .models = {.title = "models"},
    .materials = {.title = "materials"},
    .fibres = {.title = "fibres"},
    .walls = {.title = "walls"},
    .lids = {.title = "lids at first"},
    .wraps = {.title = "wraps at first"},
    .suns = {.title = "sun"},
    .endings = {.title = "ended"},
    .done = {.title = "events done"},
    .skipped = {.title = "events left out"},
    .timings = {.title = "timing"},
    .watched = {.title = "conditions on"},
    .readings = {.title = "read with"},
    .picks = {.title = "picks"},
    .wrings = {.title = "wrung"},
    .stirs = {.title = "stirred"},
    .states = {.title = "states recorded"},
    .notes = {.title = "warned of"},
};

static void count(struct tally *tally, const char *name)
{
    size_t i = 0;
    while (i < tally->used && strcmp(tally->names[i], name) != 0) {
        i++;
    }
    if (i == NAMES_MOST) {
        return;
    }
    if (i == tally->used) {
        (void)snprintf(tally->names[tally->used++], sizeof tally->names[0], "%.47s", name);
    }
    tally->counts[i]++;
}

/* The `code`-th of words in a row. */
static void count_code(struct tally *tally, const char *words, double code)
{
    char word[48];
    for (int i = 0; i < (int)code; i++) {
        words += strcspn(words, " ");
        words += strspn(words, " ");
    }
    (void)snprintf(word, sizeof word, "%.*s", (int)strcspn(words, " "), words);
    count(tally, word);
}

static void take_events(const struct scenario *scenario)
{
    static const char *const timings[] = {"at a time", "again and again", "after another"};
    for (size_t i = 0; i < scenario->event_count; i++) {
        const struct event_spec *event = &scenario->events[i];
        count(&all.timings, timings[event->timing]);
        for (int c = 0; c < event->condition_count; c++) {
            count(&all.watched, observable_words[event->conditions[c].observable]);
        }
        if (event->condition_count > 0 || event->action == ACTION_READ) {
            count(&all.readings, instrument_words[event->instrument]);
        }
        if (event->action == ACTION_ADD) {
            count(&all.materials, scenario->model.materials[event->dose.material].name);
        } else if (event->action == ACTION_STIR) {
            count(&all.stirs, stir_words[event->stir]);
        } else if (event->action == ACTION_DIP) {
            count(&all.picks, event->first_piece > 0 ? "by number" : pick_words[event->pick]);
            count(&all.wrings, wring_words[event->wring]);
            count(&all.fibres, scenario->model.fibres[scenario->cloth[event->cloth].fibre].name);
        }
    }
}

static void take_scenario(const struct scenario *scenario)
{
    all.kinds[0] += !scenario->existing.exists;
    all.kinds[1] += scenario->existing.exists;
    all.kinds[2] += scenario->schedule_count > 0;
    count(&all.models, scenario->model.name);
    count(&all.walls, wall_words[scenario->vessel.wall]);
    count(&all.lids, lid_words[scenario->vessel.lid]);
    count(&all.wraps, wrap_words[scenario->vessel.wrap]);
    for (size_t i = 0; i < scenario->place_count; i++) {
        count(&all.suns, sun_words[scenario->places[i].sun]);
    }
    for (size_t i = 0; i < scenario->charge_count; i++) {
        count(&all.materials, scenario->model.materials[scenario->charge[i].material].name);
    }
    take_events(scenario);
}

static void take_done(const struct table *events)
{
    const struct column *action = table_column(events, "action");
    const struct column *done = table_column(events, "done");
    for (size_t i = 0; action != NULL && done != NULL && i < events->rows; i++) {
        count_code(done->values[i] > 0.0 ? &all.done : &all.skipped, action->flags, action->values[i]);
    }
}

static void take_series(const struct table *series)
{
    const struct column *state = table_column(series, "state");
    for (size_t i = 0; state != NULL && i < series->rows; i++) {
        count_code(&all.states, state->flags, state->values[i]);
    }
    for (size_t c = 0; c < series->column_count; c++) {
        double least = 0.0;
        for (size_t i = 0; i < series->rows; i++) {
            least = fmin(least, series->columns[c].values[i]);
        }
        (void)snprintf(all.series[c], sizeof all.series[c], "%s", series->columns[c].name);
        all.lowest[c].below += least < 0.0;
        if (least < all.lowest[c].value) {
            all.lowest[c].value = least;
            all.lowest[c].scenario = all.scenarios;
        }
    }
    all.rows += series->rows;
}

/* How it ended, without the numbers in it. */
static void take_ending(const struct status *ended, const struct result *result)
{
    char words[48] = "complete";
    if (!status_is_ok(ended)) {
        (void)snprintf(words, sizeof words, "%.*s", (int)strcspn(ended->message, "0123456789;:"), ended->message);
        if (strncmp(words, "the vat ", strlen("the vat ")) != 0) { /* freezes, boils, has run dry */
            printf("  number %zu: %s\n", all.scenarios, ended->message);
        }
    }
    count(&all.endings, words);
    for (size_t i = 0; i < result->note_count; i++) {
        if (result->notes[i].kind == NOTE_WARNING) {
            (void)snprintf(words, sizeof words, "%.*s", (int)strcspn(result->notes[i].text, "0123456789;:'("),
                           result->notes[i].text);
            count(&all.notes, words);
        }
    }
}

void census_take(const struct scenario *scenario, const struct status *ended, const struct result *result)
{
    all.scenarios++;
    take_scenario(scenario);
    take_done(&result->events);
    take_series(&result->series);
    take_ending(ended, result);
}

static void tell(const struct tally *tally)
{
    printf("  %s:", tally->title);
    for (size_t i = 0; i < tally->used; i++) {
        printf("%s %s %zu", i > 0 ? "," : "", tally->names[i], tally->counts[i]);
    }
    printf("\n");
}

void census_tell(void)
{
    const struct tally *const tallies[] = {&all.models,  &all.materials, &all.fibres, &all.walls,   &all.lids,
                                           &all.wraps,   &all.suns,      &all.done,   &all.skipped, &all.timings,
                                           &all.watched, &all.readings,  &all.picks,  &all.wrings,  &all.stirs,
                                           &all.states,  &all.notes,     &all.endings};
    printf("%zu scenarios (%zu fresh, %zu living already, %zu with schedules), %zu rows recorded\n", all.scenarios,
           all.kinds[0], all.kinds[1], all.kinds[2], all.rows);
    for (size_t i = 0; i < sizeof tallies / sizeof tallies[0]; i++) {
        tell(tallies[i]);
    }
    printf("  lowest below zero:");
    for (size_t c = 0; c < SERIES_COUNT; c++) {
        if (all.lowest[c].below > 0) {
            printf(" %s %.3g (in %zu, most in number %zu)", all.series[c], all.lowest[c].value, all.lowest[c].below,
                   all.lowest[c].scenario);
        }
    }
    printf("\n");
}
