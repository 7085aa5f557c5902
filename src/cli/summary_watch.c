/* summary_watch.c: how the time was spent, what to worry about, and the short cautions for what was handled. */
#include "cli/summary_parts.h"
#include "study/summary_words.h"

#include <math.h>
#include <string.h>

#define STATES_MOST 32
#define WATCH_MOST 6
#define HOT_C 45.0
#define RESIDUAL_MOST 1e-9

static void print_line(const struct story *story, const char *label, const char *words)
{
    text_print_wrapped(story->out, &story->style, label, LABEL_INDENT, words, story->style.width, "");
}

/* "ready 62 % of the time, tired 25 %": the states by their share of the run, longest first. */
static void print_states(const struct story *story)
{
    double spent[STATES_MOST] = {0.0};
    const struct column *state = story->state;
    size_t rows = story->result->series.rows;
    double total = rows > 0 ? story->time->values[rows - 1] - story->time->values[0] : 0.0;
    if (state == NULL || state->flags == NULL || !(total > 0.0)) {
        return;
    }
    for (size_t row = 0; row + 1 < rows; row++) {
        double code = state->values[row];
        if (code >= 0.0 && code < STATES_MOST) {
            spent[(int)code] += story->time->values[row + 1] - story->time->values[row];
        }
    }
    struct text text = {0};
    for (;;) {
        int longest = 0;
        for (int i = 1; i < STATES_MOST; i++) {
            longest = spent[i] > spent[longest] ? i : longest;
        }
        char word[WORD_SIZE];
        double share = spent[longest] / total;
        word_of_list(state->flags, longest, word);
        if (share < 0.005 || word[0] == '\0') {
            break;
        }
        text_join(&text, ", ", "%s %.0f %%%s", word, 100.0 * share, text.size == 0 ? " of the time" : "");
        spent[longest] = 0.0;
    }
    print_line(story, "Vat", text_string(&text));
    text_free(&text);
}

/* A warning with when it came first and last, and how often. */
static void print_warning(const struct story *story, size_t first, const char *label)
{
    const struct result *result = story->result;
    const struct note *note = &result->notes[first];
    int count = 0;
    int last_day = 0;
    for (size_t i = first; i < result->note_count; i++) {
        if (result->notes[i].kind == NOTE_WARNING && strcmp(result->notes[i].text, note->text) == 0) {
            count++;
            last_day = story_day(story, result->notes[i].time);
        }
    }
    struct text text = {0};
    int day = story_day(story, note->time);
    text_add(&text, "day %d", day);
    if (count > 1 && last_day > day) {
        text_add(&text, " to %d, %d times", last_day, count);
    } else if (count > 1) {
        text_add(&text, ", %d times", count);
    }
    text_add(&text, ": %s", note->text);
    print_line(story, label, text_string(&text));
    text_free(&text);
}

static bool note_is_first(const struct result *result, size_t index)
{
    for (size_t i = 0; i < index; i++) {
        if (result->notes[i].kind == result->notes[index].kind &&
            strcmp(result->notes[i].text, result->notes[index].text) == 0) {
            return false;
        }
    }
    return true;
}

static void print_watch(const struct story *story)
{
    const struct result *result = story->result;
    int told = 0;
    int untold = 0;
    for (size_t i = 0; i < result->note_count; i++) {
        if (result->notes[i].kind != NOTE_WARNING || !note_is_first(result, i)) {
            continue;
        }
        if (told == WATCH_MOST) {
            untold++;
            continue;
        }
        print_warning(story, i, told == 0 ? "Watch" : "");
        told++;
    }
    if (untold > 0) {
        char more[WORD_SIZE];
        (void)snprintf(more, sizeof more, "and %d warnings more in the result's notes", untold);
        print_line(story, "", more);
    }
    for (size_t i = 0; i < result->ledger_count; i++) {
        if (result->ledger[i].residual_relative > RESIDUAL_MOST) {
            struct text text = {0};
            text_add(&text,
                     "the books of %s do not close: %.2g of what came in is not accounted for; please report this",
                     result->ledger[i].name, result->ledger[i].residual_relative);
            print_line(story, told++ == 0 ? "Watch" : "", text_string(&text));
            text_free(&text);
        }
    }
}

/* Whether a done event of an action carries one of the words in its label; "" stands for any label. */
static bool handled(const struct result *result, const char *action, const char *const *words)
{
    const struct table *events = &result->events;
    const struct column *actions = table_column(events, "action");
    const struct column *source = table_column(events, "source");
    const struct column *done = table_column(events, "done");
    for (size_t row = 0; row < events->rows && actions != NULL && source != NULL && done != NULL; row++) {
        char word[WORD_SIZE];
        char label[200];
        word_of_code(actions, row, word);
        if (done->values[row] == 0.0 || strcmp(word, action) != 0) {
            continue;
        }
        line_of_list(result->event_labels, source->values[row], label, sizeof label);
        for (size_t i = 0; words[i] != NULL; i++) {
            if (strstr(label, words[i]) != NULL) {
                return true;
            }
        }
    }
    return false;
}

/* Whether the books of a substance saw any come in. */
static bool came_in(const struct result *result, const char *name)
{
    for (size_t i = 0; i < result->ledger_count; i++) {
        const struct column *amount = table_column(&result->ledger[i], "amount");
        if (strcmp(result->ledger[i].name, name) == 0 && amount != NULL && result->ledger[i].rows > 0) {
            return amount->values[0] > 0.0;
        }
    }
    return false;
}

static double hottest(const struct story *story)
{
    double most = -(double)INFINITY;
    for (size_t row = 0; story->temperature != NULL && row < story->result->series.rows; row++) {
        most = fmax(most, story->temperature->values[row]);
    }
    const struct column *after = table_column(&story->result->events, "temperature_after");
    for (size_t row = 0; after != NULL && row < story->result->events.rows; row++) {
        most = fmax(most, after->values[row]);
    }
    return most;
}

static void print_care(const struct story *story)
{
    static const char *const acids[] = {"vinegar", "acid", NULL};
    static const char *const alkalis[] = {"soda", "potash", NULL};
    static const char *const any[] = {"", NULL};
    const struct result *result = story->result;
    struct text text = {0};
    if (came_in(result, "lime")) {
        text_add(&text,
                 "lime burns eyes and skin: sealed goggles, gloves, lime into water and never water onto dry lime");
    }
    if (handled(result, "add", alkalis)) {
        text_join(&text, "; ", "soda and potash irritate eyes and skin: goggles and gloves");
    }
    if (handled(result, "add", acids)) {
        text_join(&text, "; ", "acids go in a little at a time, with goggles: chalk froths up");
    }
    if (hottest(story) > HOT_C) {
        text_join(&text, "; ",
                  "liquor above 45 C scalds: lift little at a time, long gloves, children away; burners outdoors");
    }
    if (handled(result, "rack", any) || handled(result, "skim", any)) {
        text_join(&text, "; ", "what is taken off goes where your local rules say");
    }
    for (size_t i = 0; i < result->note_count; i++) {
        if (result->notes[i].kind == NOTE_CAUTION && note_is_first(result, i)) {
            text_join(&text, "; ", "%s", result->notes[i].text);
        }
    }
    if (text.size > 0) {
        print_line(story, "Care", text_string(&text));
    }
    text_free(&text);
}

void summary_watch(const struct story *story)
{
    print_states(story);
    print_watch(story);
    print_care(story);
}
