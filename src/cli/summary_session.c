/* summary_session.c: the events of a few hours in one line: what was read, warmed, fed, dipped. */
#include "cli/summary_parts.h"
#include "study/summary_words.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LABEL_SIZE 160
#define LEAST_POURED_L 0.005 /* a vat that was full already took nothing worth telling */

/* The columns of /events that are told. */
struct happenings {
    const struct story *story;
    const struct column *time, *action, *source, *done, *mass, *water, *temperature_after;
    size_t first, end;
};

static double value_at(const struct column *column, size_t row)
{
    return column == NULL ? (double)NAN : column->values[row];
}

static bool event_is(const struct happenings *events, size_t row, const char *action)
{
    char word[WORD_SIZE];
    if (value_at(events->done, row) == 0.0) {
        return false; /* its conditions did not hold */
    }
    word_of_code(events->action, row, word);
    return strcmp(word, action) == 0;
}

static int count_of(const struct happenings *events, const char *action)
{
    int count = 0;
    for (size_t row = events->first; row < events->end; row++) {
        count += event_is(events, row, action);
    }
    return count;
}

/* Sum of a column over the events of an action; what is not a number counts as nothing. */
static double sum_of(const struct happenings *events, const char *action, const struct column *column)
{
    double sum = 0.0;
    for (size_t row = events->first; row < events->end; row++) {
        double value = value_at(column, row);
        if (event_is(events, row, action) && !isnan(value)) {
            sum += value;
        }
    }
    return sum;
}

/* The label of an event without the action word that begins it: "add fructose" is "fructose". */
static void label_of(const struct happenings *events, size_t row, const char *action, char label[LABEL_SIZE])
{
    char line[LABEL_SIZE];
    line_of_list(events->story->result->event_labels, value_at(events->source, row), line, sizeof line);
    size_t length = strlen(action);
    bool begins = strncmp(line, action, length) == 0 && line[length] == ' ';
    (void)snprintf(label, LABEL_SIZE, "%s", begins ? line + length + 1 : strcmp(line, action) == 0 ? "" : line);
}

static void add_times(struct text *text, int count)
{
    if (count == 2) {
        text_add(text, " twice");
    } else if (count > 2) {
        text_add(text, " %d times", count);
    }
}

static void tell_readings(const struct happenings *events, struct text *text)
{
    static const struct {
        const char *column, *before, *after;
        int digits;
    } readings[] = {{"reading_ph", "pH ", "", 1}, {"reading_temperature", "", " C", 0}, {"reading_orp", "", " mV", 0}};
    const struct table *table = &events->story->result->events;
    struct text read = {0};
    for (size_t i = 0; i < sizeof readings / sizeof readings[0]; i++) {
        const struct column *column = table_column(table, readings[i].column);
        double last = (double)NAN;
        for (size_t row = events->first; row < events->end && column != NULL; row++) {
            bool counts = value_at(events->done, row) != 0.0 && !isnan(column->values[row]);
            last = counts ? column->values[row] : last;
        }
        if (!isnan(last)) {
            text_join(&read, ", ", "%s%.*f%s", readings[i].before, readings[i].digits, last, readings[i].after);
        }
    }
    if (read.size > 0) {
        text_join(text, "; ", "read %s", text_string(&read));
    }
    text_free(&read);
}

static void tell_heat(const struct happenings *events, struct text *text)
{
    double reached = (double)NAN;
    for (size_t row = events->first; row < events->end; row++) {
        if (event_is(events, row, "heater reached")) {
            reached = value_at(events->temperature_after, row);
        }
    }
    if (!isnan(reached)) {
        text_join(text, "; ", "warmed to %.0f C", reached);
    } else if (count_of(events, "heat") > 0) {
        text_join(text, "; ", "heater on");
    }
    if (count_of(events, "heat off") > 0) {
        text_join(text, "; ", "heater off");
    }
}

/* The material of an addition; true when it was measured by spoon, which the label says at its end. */
static bool material_of(const struct happenings *events, size_t row, char label[LABEL_SIZE])
{
    static const char by_spoon[] = " (by spoon)";
    label_of(events, row, "add", label);
    size_t length = strlen(label);
    bool spooned = length >= sizeof by_spoon && strcmp(label + length - (sizeof by_spoon - 1), by_spoon) == 0;
    if (spooned) {
        label[length - (sizeof by_spoon - 1)] = '\0';
    }
    return spooned;
}

/* All additions of the material added at `row`, unless an earlier row told them. */
static void tell_material(const struct happenings *events, size_t row, struct text *text)
{
    char label[LABEL_SIZE];
    char other[LABEL_SIZE];
    bool spooned = material_of(events, row, label);
    double mass = 0.0;
    for (size_t i = events->first; i < events->end; i++) {
        if (!event_is(events, i, "add")) {
            continue;
        }
        bool by_spoon = material_of(events, i, other);
        if (strcmp(label, other) != 0) {
            continue;
        }
        if (i < row) {
            return;
        }
        spooned = spooned || by_spoon;
        mass += isnan(value_at(events->mass, i)) ? 0.0 : value_at(events->mass, i);
    }
    char weight[WORD_SIZE];
    say_mass(mass, weight);
    text_join(text, ", ", "%s%s %s", spooned ? "about " : "", weight, label[0] != '\0' ? label : "of a material");
}

/* One phrase for each material, in the order first added, with the sum of its masses. */
static void tell_additions(const struct happenings *events, struct text *text)
{
    struct text added = {0};
    for (size_t row = events->first; row < events->end; row++) {
        if (event_is(events, row, "add")) {
            tell_material(events, row, &added);
        }
    }
    if (added.size > 0) {
        text_join(text, "; ", "added %s", text_string(&added));
    }
    text_free(&added);
}

static void tell_water(const struct happenings *events, struct text *text)
{
    char volume[WORD_SIZE];
    double poured = sum_of(events, "top up", events->water);
    if (poured > LEAST_POURED_L) {
        say_volume(poured, volume);
        text_join(text, "; ", "topped up with %s", volume);
    }
    if (count_of(events, "overflow") > 0) {
        say_volume(sum_of(events, "overflow", events->water), volume);
        text_join(text, "; ", "%s ran over the brim", volume);
    }
    if (count_of(events, "skim") > 0) {
        text_join(text, "; ", "skimmed");
    }
    if (count_of(events, "rack") > 0) {
        text_join(text, "; ", "drawn off its bed");
    }
}

/* Lid, wrap, place and finishing: the label says best what was done. */
static void tell_settings(const struct happenings *events, struct text *text)
{
    static const char *const actions[][2] = {{"cover", "lid: "},    {"wrap", "wrap: "},
                                           {"move", "moved to "}, {"rinse", "rinsed: "},
                                           {"sour", "soured: "},  {"wash", "washed: "}};
    for (size_t i = 0; i < sizeof actions / sizeof actions[0]; i++) {
        for (size_t row = events->first; row < events->end; row++) {
            if (event_is(events, row, actions[i][0])) {
                char label[LABEL_SIZE];
                label_of(events, row, actions[i][0], label);
                text_join(text, "; ", "%s%s", actions[i][1], label[0] != '\0' ? label : "changed");
            }
        }
    }
}

/* Stirring is told where it was all that was done, whipping always. */
static void tell_stirring(const struct happenings *events, struct text *text)
{
    int stirs = 0;
    bool whipped = false;
    for (size_t row = events->first; row < events->end; row++) {
        if (event_is(events, row, "stir")) {
            char label[LABEL_SIZE];
            label_of(events, row, "stir", label);
            whipped = whipped || strcmp(label, "whip") == 0;
            stirs++;
        }
    }
    if (whipped) {
        text_join(text, "; ", "whipped");
    } else if (stirs > 0 && text->size == 0) {
        text_add(text, "stirred");
        add_times(text, stirs);
    }
}

/* Mean dry mass of a piece of a kind, from /pieces. */
static double mass_of_kind(const struct result *result, double kind)
{
    const struct column *kinds = table_column(&result->pieces, "kind");
    const struct column *masses = table_column(&result->pieces, "mass");
    double sum = 0.0;
    int count = 0;
    for (size_t row = 0; row < result->pieces.rows && kinds != NULL && masses != NULL; row++) {
        if (kinds->values[row] == kind) {
            sum += masses->values[row];
            count++;
        }
    }
    return count > 0 ? sum / count : 0.0;
}

/* The dips of one kind of cloth between two times. */
struct dips {
    double pieces;      /* different ones */
    double piece_dips;  /* pieces times dips */
    double first, last; /* sorbed, g/kg, of the first and the last group */
    double litres;      /* carried off */
    size_t groups;
};

static bool group_seen(const struct table *table, size_t from, size_t row)
{
    const struct column *kind = table_column(table, "kind");
    const struct column *first = table_column(table, "first_piece");
    for (size_t i = from; i < row; i++) {
        if (kind->values[i] == kind->values[row] && first->values[i] == first->values[row]) {
            return true;
        }
    }
    return false;
}

static struct dips gather_dips(const struct result *result, size_t from, size_t to, double which)
{
    const struct table *table = &result->dips;
    const struct column *kind = table_column(table, "kind");
    const struct column *pieces = table_column(table, "pieces");
    const struct column *sorbed = table_column(table, "sorbed");
    const struct column *pickup = table_column(table, "pickup");
    struct dips dips = {0};
    double mass = mass_of_kind(result, which);
    for (size_t row = from; row < to; row++) {
        if (kind->values[row] != which) {
            continue;
        }
        dips.pieces += group_seen(table, from, row) ? 0.0 : pieces->values[row];
        dips.piece_dips += pieces->values[row];
        dips.first = dips.groups == 0 ? sorbed->values[row] : dips.first;
        dips.last = sorbed->values[row];
        dips.litres += isnan(pickup->values[row]) ? 0.0 : pickup->values[row] * mass * pieces->values[row];
        dips.groups++;
    }
    return dips;
}

static void tell_kind(const struct story *story, size_t from, size_t to, double kind, struct text *text)
{
    struct dips dips = gather_dips(story->result, from, to, kind);
    char name[WORD_SIZE];
    char counted[WORD_SIZE + 16];
    char litres[WORD_SIZE];
    line_of_list(story->result->piece_names, kind, name, sizeof name);
    say_count(dips.pieces, name[0] != '\0' ? name : "piece", counted, sizeof counted);
    text_join(text, "; ", "%s dipped", counted);
    if (dips.piece_dips > dips.pieces) {
        text_add(text, ", %.0f dips in all", dips.piece_dips);
    }
    if (dips.groups > 1 && dips.first > 0.0) {
        text_add(text, ", the last took %.0f %% of the first", 100.0 * dips.last / dips.first);
    }
    if (dips.litres > 0.005) {
        say_volume(dips.litres, litres);
        text_add(text, ", %s carried off", litres);
    }
}

static bool dips_are_whole(const struct table *table)
{
    static const char *const needed[] = {"time", "kind", "first_piece", "pieces", "sorbed", "pickup"};
    for (size_t i = 0; i < sizeof needed / sizeof needed[0]; i++) {
        if (table_column(table, needed[i]) == NULL) {
            return false;
        }
    }
    return true;
}

/* The dips that began between two times, kind by kind. True when there were any. */
static bool tell_dips(const struct story *story, double from, double to, struct text *text)
{
    const struct table *table = &story->result->dips;
    const struct column *time = table_column(table, "time");
    const struct column *kind = table_column(table, "kind");
    if (!dips_are_whole(table)) {
        return false;
    }
    size_t first = 0;
    while (first < table->rows && time->values[first] < from - 0.5) {
        first++;
    }
    size_t end = first;
    while (end < table->rows && time->values[end] <= to + 0.5) {
        end++;
    }
    for (size_t row = first; row < end; row++) {
        bool told = false;
        for (size_t i = first; i < row; i++) {
            told = told || kind->values[i] == kind->values[row];
        }
        if (!told) {
            tell_kind(story, first, end, kind->values[row], text);
        }
    }
    return end > first;
}

bool session_counts(const struct story *story, size_t row)
{
    static const char *const silent[] = {"start", "end", "stir end", "heater reached", ""};
    const struct table *table = &story->result->events;
    const struct column *done = table_column(table, "done");
    char word[WORD_SIZE];
    word_of_code(table_column(table, "action"), row, word);
    for (size_t i = 0; i < sizeof silent / sizeof silent[0]; i++) {
        if (strcmp(word, silent[i]) == 0) {
            return false;
        }
    }
    return done == NULL || done->values[row] != 0.0;
}

bool session_tell(const struct story *story, size_t first, size_t end, struct text *text)
{
    const struct table *table = &story->result->events;
    struct happenings events = {
        .story = story,
        .time = table_column(table, "time"),
        .action = table_column(table, "action"),
        .source = table_column(table, "source"),
        .done = table_column(table, "done"),
        .mass = table_column(table, "mass"),
        .water = table_column(table, "water"),
        .temperature_after = table_column(table, "temperature_after"),
        .first = first,
        .end = end,
    };
    struct text work = {0};
    tell_heat(&events, &work);
    tell_water(&events, &work);
    bool dipped = tell_dips(story, events.time->values[first], events.time->values[end - 1], &work);
    tell_additions(&events, &work);
    tell_settings(&events, &work);
    tell_stirring(&events, &work);
    bool told = dipped || work.size > 0;
    if (told) {
        tell_readings(&events, text);
        text_join(text, "; ", "%s", text_string(&work));
    }
    text_free(&work);
    return told;
}
