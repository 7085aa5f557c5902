/* summary.c: see summary.h. The title, then the days, the books, the worries and where the file lies. */
#include "cli/summary.h"

#include "base/file.h"
#include "cli/summary_parts.h"
#include "study/summary_words.h"
#include "cli/terminal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

int story_day(const struct story *story, double time)
{
    return (int)floor((time + story->midnight) / DAY_SECONDS) + 1;
}

void story_clock(const struct story *story, double time, char clock[6])
{
    int minute = (int)floor(fmod(time + story->midnight, DAY_SECONDS) / 60.0);
    (void)snprintf(clock, 6, "%02u:%02u", (unsigned)(minute / 60) % 24u, (unsigned)(minute % 60) % 60u);
}

size_t story_row(const struct story *story, double time)
{
    size_t low = 0;
    size_t high = story->result->series.rows;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (story->time->values[middle] <= time) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low == 0 ? NOTHING : low - 1;
}

double story_value(const struct column *column, size_t row)
{
    return column == NULL || row == NOTHING ? (double)NAN : column->values[row];
}

void story_add_look(const struct story *story, size_t row, struct text *text)
{
    if (row == NOTHING) {
        return;
    }
    char look[WORD_SIZE];
    word_of_code(story->look, row, look);
    const char *phrase = look_phrase(look);
    if (phrase[0] != '\0') {
        text_join(text, "; ", "%s", phrase);
    }
    double temperature = story_value(story->temperature, row);
    double ph = story_value(story->ph, row);
    if (!isnan(temperature)) {
        text_join(text, phrase[0] != '\0' ? ", " : "; ", "%.0f C", temperature);
    }
    if (!isnan(ph)) {
        text_join(text, ", ", "pH %.1f", ph);
    }
}

static struct story story_of(FILE *out, const struct result *result, bool colour)
{
    const struct table *series = &result->series;
    double days = floor(result->start_unix / DAY_SECONDS);
    return (struct story){
        .out = out,
        .result = result,
        .style = {.colour = colour, .swatches = colour && terminal_has_all_colours(), .width = TEXT_WIDTH},
        .midnight = result->start_unix - days * DAY_SECONDS,
        .time = table_column(series, "time"),
        .temperature = table_column(series, "temperature"),
        .ph = table_column(series, "ph"),
        .volume = table_column(series, "volume"),
        .state = table_column(series, "state"),
        .look = table_column(series, "look"),
        .cloth_dips = table_column(series, "cloth_dips"),
    };
}

void story_line(const struct story *story, const char *label, const struct text *text)
{
    text_print_wrapped(story->out, &story->style, label, LABEL_INDENT, text_string(text), story->style.width, "");
}

static void print_title(const struct story *story)
{
    const struct result *result = story->result;
    struct text title = {0};
    size_t last = result->series.rows - 1;
    double volume = story_value(story->volume, 0);
    text_add(&title, "%s: ", result->title[0] != '\0' ? result->title : result->scenario_name);
    if (!isnan(volume)) {
        text_add(&title, "%.0f L of vat, ", volume);
    }
    double days = story->time->values[last] / DAY_SECONDS;
    if (days >= 1.95) {
        text_add(&title, "%.0f days", days);
    } else {
        text_add(&title, "%.0f hours", days * 24.0);
    }
    text_print_wrapped(story->out, &story->style, "", 0, text_string(&title), story->style.width, "");
    if (result->status != RUN_COMPLETE) {
        /* Only a run that is whole has figures of its own. */
        bool is_whole = result->status == RUN_INTERRUPTED && result->figures.rows > 0;
        text_clear(&title);
        text_add(&title, "%s%s%s%s",
                 is_whole ? "" : "this run did not reach its end: ", run_status_words[result->status],
                 result->failure[0] != '\0' ? "; " : "", result->failure);
        text_print_wrapped(story->out, &story->style, "Stopped", LABEL_INDENT, text_string(&title), story->style.width,
                           "");
    }
    fputc('\n', story->out);
    text_free(&title);
}

/* Says which of the series that the story rests on the file does not have. */
static void print_missing(const struct story *story)
{
    const struct {
        const char *name;
        const struct column *column;
    } needed[] = {{"temperature", story->temperature},
                  {"ph", story->ph},
                  {"volume", story->volume},
                  {"state", story->state},
                  {"look", story->look},
                  {"cloth_dips", story->cloth_dips}};
    struct text text = {0};
    for (size_t i = 0; i < sizeof needed / sizeof needed[0]; i++) {
        if (needed[i].column == NULL) {
            text_join(&text, ", ", "%s", needed[i].name);
        }
    }
    if (text_string(&text)[0] != '\0') {
        text_add(&text, ": the file has no such series, and what they would tell is left out");
        story_line(story, "Missing", &text);
        fputc('\n', story->out);
    }
    text_free(&text);
}

static void tell(const struct story *story)
{
    print_title(story);
    print_missing(story);
    summary_days(story);
    fputc('\n', story->out);
    summary_cloth(story);
    summary_likely(story);
    summary_ledger(story);
    summary_watch(story);
}

/* The answer of a workshop as it was told when the file was written. */
static void print_workshop(FILE *out, const struct text_style *style, const struct workshop_result *workshop)
{
    const char *line = workshop->story;
    while (*line != '\0') {
        size_t length = strcspn(line, "\n");
        const char *tab = memchr(line, '\t', length);
        const char *second = tab != NULL ? memchr(tab + 1, '\t', length - (size_t)(tab + 1 - line)) : NULL;
        char label[40];
        if (second != NULL) {
            char *words = text_copy(second + 1, length - (size_t)(second + 1 - line));
            (void)snprintf(label, sizeof label, "%.*s", (int)(tab - line), line);
            text_print_wrapped(out, style, label, LABEL_INDENT, words, style->width, "");
            free(words);
        }
        line += length + (line[length] == '\n');
    }
}

void summary_print(FILE *out, const struct result *result, const char *where, bool colour)
{
    struct story story = story_of(out, result, colour);
    if (story.time == NULL || result->series.rows == 0) {
        fprintf(out, "The result holds nothing.\n");
        return;
    }
    if (result->workshop != NULL) {
        fprintf(out, "%s\n\n", result->title);
        print_workshop(out, &story.style, result->workshop);
    } else {
        tell(&story);
    }
    text_print_wrapped(out, &story.style, "Result", LABEL_INDENT, where, story.style.width, "");
}

void summary_write_lines(FILE *out, const struct result *result)
{
    struct story story = story_of(out, result, false);
    story.style.lines = true;
    if (result->workshop != NULL) {
        print_workshop(out, &story.style, result->workshop);
    } else if (story.time != NULL && result->series.rows > 0) {
        tell(&story);
    }
}

char *summary_story(const struct result *result)
{
    char *story = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&story, &size);
    if (out == NULL) {
        return NULL;
    }
    summary_write_lines(out, result);
    if (!file_close(out)) {
        free(story);
        return NULL;
    }
    return story;
}
