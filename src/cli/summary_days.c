/* summary_days.c: the story day by day: sessions of work, the hour when the vat first was ready, and days of rest
 * folded. */
#include "cli/summary_parts.h"
#include "study/summary_words.h"

#include <math.h>
#include <string.h>

#define SESSION_GAP (3.0 * HOUR_SECONDS) /* work after a longer break is another session */

/* The state at a time as a word, "" when not known. */
static void state_at(const struct story *story, double time, char word[WORD_SIZE])
{
    size_t row = story_row(story, time);
    word[0] = '\0';
    if (row != NOTHING) {
        word_of_code(story->state, row, word);
    }
}

static void print_line(const struct story *story, const char *when, const struct text *text, const char *state)
{
    text_print_wrapped(story->out, &story->style, when, STORY_INDENT, text_string(text), STORY_WIDTH, state);
}

/* Time of the first row whose state is "ready", when the run did not start with it; NAN otherwise. */
static double first_ready(const struct story *story)
{
    char word[WORD_SIZE];
    for (size_t row = 0; row < story->result->series.rows && story->state != NULL; row++) {
        word_of_code(story->state, row, word);
        if (strcmp(word, "ready") == 0) {
            return row > 0 ? story->time->values[row] : (double)NAN;
        }
    }
    return (double)NAN;
}

static void print_ready(const struct story *story, double time)
{
    struct text text = {0};
    char clock[6];
    char when[32];
    story_clock(story, time, clock);
    (void)snprintf(when, sizeof when, "day %2d  %s", story_day(story, time), clock);
    text_add(&text, "ready for the first time");
    story_add_look(story, story_row(story, time), &text);
    print_line(story, when, &text, "ready");
    text_free(&text);
}

/* Lowest and highest value of a column between two times. */
static void range_between(const struct story *story, const struct column *column, double from, double to,
                          double range[2])
{
    range[0] = range[1] = (double)NAN;
    size_t first = story_row(story, from);
    size_t last = story_row(story, to);
    for (size_t row = first == NOTHING ? 0 : first; column != NULL && last != NOTHING && row <= last; row++) {
        double value = column->values[row];
        range[0] = isnan(range[0]) || value < range[0] ? value : range[0];
        range[1] = isnan(range[1]) || value > range[1] ? value : range[1];
    }
}

static void add_range(struct text *text, const char *before, const char *format, const char *after,
                      const double range[2])
{
    char low[32];
    char high[32];
    if (isnan(range[0])) {
        return;
    }
    (void)snprintf(low, sizeof low, format[0] == '1' ? "%.1f" : "%.0f", range[0]);
    (void)snprintf(high, sizeof high, format[0] == '1' ? "%.1f" : "%.0f", range[1]);
    if (strcmp(low, high) == 0) {
        text_join(text, ", ", "%s%s%s", before, low, after);
    } else {
        text_join(text, ", ", "%s%s to %s%s", before, low, high, after);
    }
}

/* What the state became over the days of rest, looked at the end of each. */
static void add_changes(const struct story *story, int first, int last, struct text *text)
{
    char before[WORD_SIZE];
    char now[WORD_SIZE];
    int told = 0;
    state_at(story, (first - 1) * DAY_SECONDS - story->midnight - 1.0, before);
    for (int day = first; day <= last && told < 3; day++) {
        state_at(story, day * DAY_SECONDS - story->midnight - 1.0, now);
        if (before[0] != '\0' && now[0] != '\0' && strcmp(before, now) != 0) {
            text_join(text, ", ", first == last ? "then %s" : "%s from day %d", now, day);
            told++;
        }
        memcpy(before, now, sizeof before);
    }
}

static bool day_changed(const struct story *story, int day)
{
    char before[WORD_SIZE];
    char after[WORD_SIZE];
    state_at(story, (day - 1) * DAY_SECONDS - story->midnight - 1.0, before);
    state_at(story, day * DAY_SECONDS - story->midnight - 1.0, after);
    return strcmp(before, after) != 0;
}

/* What has not been told yet. */
struct telling {
    int rested;    /* first day without a line of its own */
    int stirrings; /* on such days */
    double ready;  /* when the vat first was ready; NAN once told */
};

/* The days up to `last` on which nothing was done but stirring. */
static void print_rest(const struct story *story, struct telling *telling, int last)
{
    int first = telling->rested;
    int stirrings = telling->stirrings;
    struct text text = {0};
    char when[48];
    char state[WORD_SIZE];
    double range[2];
    double from = fmax(0.0, (first - 1) * DAY_SECONDS - story->midnight);
    double to = last * DAY_SECONDS - story->midnight - 1.0;
    if (first > last || (first == last && !day_changed(story, first))) {
        return; /* a day between two days of work is told only when it changed the vat */
    }
    telling->stirrings = 0;
    if (first == last) {
        (void)snprintf(when, sizeof when, "day %2d", first);
    } else {
        (void)snprintf(when, sizeof when, "days %d-%d", first, last);
    }
    text_add(&text, "rested");
    if (stirrings > 0) {
        bool daily = last > first && stirrings >= last - first + 1;
        text_add(&text, ", stirred%s", daily ? " daily" : stirrings == 1 ? " once" : stirrings == 2 ? " twice" : "");
        if (!daily && stirrings > 2) {
            text_add(&text, " %d times", stirrings);
        }
    }
    range_between(story, story->temperature, from, to, range);
    add_range(&text, "", "0", " C", range);
    range_between(story, story->ph, from, to, range);
    add_range(&text, "pH ", "1", "", range);
    add_changes(story, first, last, &text);
    state_at(story, to, state);
    print_line(story, when, &text, state);
    text_free(&text);
}

static void print_start(const struct story *story)
{
    struct text text = {0};
    char clock[6];
    char when[32];
    char state[WORD_SIZE];
    char volume[WORD_SIZE];
    story_clock(story, 0.0, clock);
    (void)snprintf(when, sizeof when, "day %2d  %s", 1, clock);
    say_volume(story_value(story->volume, 0), volume);
    text_add(&text, "begins with %s", volume);
    story_add_look(story, 0, &text);
    state_at(story, story->time->values[0], state);
    print_line(story, when, &text, state);
    text_free(&text);
}

/* One past the last event of the session that begins with row `first`. */
static size_t session_end(const struct story *story, const struct column *time, size_t first)
{
    size_t end = first + 1;
    while (end < story->result->events.rows && time->values[end] - time->values[end - 1] <= SESSION_GAP &&
           story_day(story, time->values[end]) == story_day(story, time->values[first])) {
        end++;
    }
    return end;
}

/* Prints a session when there is more to tell than a stirring; the day's stirring goes with the days of rest. */
static void print_session(const struct story *story, const struct column *time, size_t first, size_t end,
                          struct telling *telling)
{
    struct text text = {0};
    int day = story_day(story, time->values[first]);
    bool told = session_tell(story, first, end, &text);
    if (told && day > 1 && strcmp(text_string(&text), "stirred") == 0) {
        telling->stirrings++;
    } else if (told) {
        char clock[6];
        char when[32];
        char state[WORD_SIZE];
        print_rest(story, telling, day - 1);
        if (!isnan(telling->ready) && telling->ready < time->values[first]) {
            if (story_day(story, telling->ready) >= day) {
                print_ready(story, telling->ready);
            }
            telling->ready = (double)NAN;
        }
        story_clock(story, time->values[first], clock);
        (void)snprintf(when, sizeof when, "day %2d  %s", day, clock);
        story_add_look(story, story_row(story, time->values[end - 1]), &text);
        state_at(story, time->values[end - 1], state);
        print_line(story, when, &text, state);
        telling->rested = day + 1;
        telling->stirrings = 0;
        if (telling->ready <= time->values[end - 1]) {
            telling->ready = (double)NAN; /* the line of the session says so */
        }
    }
    text_free(&text);
}

/* The hour when the vat first was ready, and the rest before it. */
static void print_first_ready(const struct story *story, struct telling *telling)
{
    int day = story_day(story, telling->ready);
    print_rest(story, telling, day - 1);
    print_ready(story, telling->ready);
    telling->rested = day > telling->rested - 1 ? day + 1 : telling->rested;
    telling->stirrings = 0;
    telling->ready = (double)NAN;
}

void summary_days(const struct story *story)
{
    const struct table *events = &story->result->events;
    const struct column *time = table_column(events, "time");
    struct telling telling = {.rested = 2, .ready = first_ready(story)};
    int last = story_day(story, story->time->values[story->result->series.rows - 1] - 1.0);
    print_start(story);
    for (size_t first = 0; time != NULL && first < events->rows;) {
        if (!session_counts(story, first)) {
            first++;
            continue;
        }
        size_t end = session_end(story, time, first);
        if (!isnan(telling.ready) && story_day(story, telling.ready) < story_day(story, time->values[first])) {
            print_first_ready(story, &telling);
        }
        print_session(story, time, first, end, &telling);
        first = end;
    }
    if (!isnan(telling.ready)) {
        print_first_ready(story, &telling);
    }
    print_rest(story, &telling, last);
}
