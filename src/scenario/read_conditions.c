/* read_conditions.c: `when` of an event, up to four comparisons joined by "and", and what they are read with. */
#include "chem/shade.h"
#include "scenario/reader.h"
#include "scenario/words.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

static const char *const comparison_words[] = {"<", "<=", ">", ">=", "=", "!=", NULL};
#define CONDITION_FORM "\"ph < 10.5\", \"temperature > 30 degC\" or \"look = faint bronze\""

/* Copies a piece of text without the blanks around it. */
static void trimmed_copy(const char *from, size_t length, char *text, size_t size)
{
    while (length > 0 && isspace((unsigned char)*from)) {
        from++;
        length--;
    }
    while (length > 0 && isspace((unsigned char)from[length - 1])) {
        length--;
    }
    (void)snprintf(text, size, "%.*s", (int)(length < size ? length : size - 1), from);
}

/* A test strip's depth: indigotin on weight of fibre, or a shade word. kg/kg. Paler than a shade is below where it begins;
 * darker is above where the next begins. */
static double strip_value_read(struct reader *reader, const struct setting *when, enum comparison comparison,
                               const char *text)
{
    enum shade shade;
    if (shade_for_word(text, &shade)) {
        bool beyond = comparison == GREATER || comparison == LESS_EQUAL;
        int bound = (int)shade + (beyond ? 1 : 0);
        return bound < SHADE_COUNT ? shade_owf_from((enum shade)bound) : 1.0;
    }
    return text_quantity(reader, when, "when", text, &form_share);
}

/* The value of a comparison, in the units that struct condition says; NAN after a complaint. */
static double value_read(struct reader *reader, const struct setting *when, enum observable observable,
                         enum comparison comparison, const char *text)
{
    double value = NAN;
    switch (observable) {
    case OBSERVE_PH:
        value = text_quantity(reader, when, "when", text, &form_number);
        if (value < 0 || value > 14) {
            complain(reader, when, "'when' compares ph with %g; expected from 0 to 14", value);
        }
        break;
    case OBSERVE_TEMPERATURE:
        value = text_quantity(reader, when, "when", text, &form_temperature);
        break;
    case OBSERVE_ORP:
        value = text_quantity(reader, when, "when", text, &form_voltage);
        break;
    case OBSERVE_LOOK: {
        int look = word_index(text, look_words);
        if (look < 0) {
            complain_unknown(reader, when, "look", text, look_words);
        }
        value = look < 0 ? (double)NAN : look;
        break;
    }
    case OBSERVE_LEVEL:
        value = text_quantity(reader, when, "when", text, &form_volume);
        break;
    case OBSERVE_IDLE:
        value = text_quantity(reader, when, "when", text, &form_duration);
        break;
    case OBSERVE_TEST_STRIP:
        value = strip_value_read(reader, when, comparison, text);
        break;
    case OBSERVE_COUNT:
        break;
    }
    return value;
}

/* "test strip paler than light" is "test strip < light"; "darker than" is ">". Returns `text` or `spelt`. */
static const char *comparison_in_signs(const char *text, char *spelt, size_t size)
{
    static const char *const words[][2] = {{" paler than ", " < "}, {" darker than ", " > "}};
    for (size_t i = 0; i < 2; i++) {
        const char *found = strstr(text, words[i][0]);
        if (found != NULL) {
            (void)snprintf(spelt, size, "%.*s%s%s", (int)(found - text), text, words[i][1], found + strlen(words[i][0]));
            return spelt;
        }
    }
    return text;
}

/* Reads one comparison; false after a complaint. */
static bool condition_read(struct reader *reader, const struct setting *when, const char *text,
                           struct condition *condition)
{
    char spelt[256];
    text = comparison_in_signs(text, spelt, sizeof spelt);
    size_t name_length = strcspn(text, "<>=!");
    size_t sign_length = strspn(text + name_length, "<>=!");
    char name[64];
    char sign[8];
    char value[128];
    trimmed_copy(text, name_length, name, sizeof name);
    trimmed_copy(text + name_length, sign_length, sign, sizeof sign);
    trimmed_copy(text + name_length + sign_length, strlen(text + name_length + sign_length), value, sizeof value);
    if (strcmp(sign, "==") == 0) {
        (void)strcpy(sign, "=");
    }
    int comparison = word_index(sign, comparison_words);
    if (name[0] == '\0' || value[0] == '\0' || comparison < 0) {
        complain(reader, when, "'when' has \"%.60s\", which is no comparison; expected %s", text, CONDITION_FORM);
        return false;
    }
    for (int i = 0; i < OBSERVE_COUNT; i++) {
        if (words_equal_ignoring_case(name, observable_words[i])) {
            *condition =
                (struct condition){.observable = (enum observable)i, .comparison = (enum comparison)comparison};
            condition->value = value_read(reader, when, condition->observable, condition->comparison, value);
            return !isnan(condition->value);
        }
    }
    complain_unknown(reader, when, "observable", name, observable_words);
    return false;
}

/* Where the next " and " stands; the text's end when there is none. */
static size_t and_find(const char *text)
{
    for (size_t i = 0; text[i] != '\0'; i++) {
        if (isspace((unsigned char)text[i]) && strncmp(text + i + 1, "and", 3) == 0 &&
            isspace((unsigned char)text[i + 4])) {
            return i;
        }
    }
    return strlen(text);
}

static enum instrument instrument_for(enum observable observable)
{
    static const enum instrument instruments[OBSERVE_COUNT] = {
        [OBSERVE_PH] = INSTRUMENT_STRIP,   [OBSERVE_TEMPERATURE] = INSTRUMENT_THERMOMETER,
        [OBSERVE_ORP] = INSTRUMENT_ORP,    [OBSERVE_LOOK] = INSTRUMENT_LOOK,
        [OBSERVE_LEVEL] = INSTRUMENT_NONE, [OBSERVE_IDLE] = INSTRUMENT_NONE,
        [OBSERVE_TEST_STRIP] = INSTRUMENT_TEST_STRIP};
    return instruments[observable];
}

/* The instrument that the conditions need: the pH's when there is one, else the first. */
static enum instrument instrument_needed(const struct event_spec *spec)
{
    enum instrument needed = INSTRUMENT_NONE;
    for (int i = 0; i < spec->condition_count; i++) {
        enum instrument instrument = instrument_for(spec->conditions[i].observable);
        if (instrument == INSTRUMENT_STRIP) {
            return instrument;
        }
        needed = needed == INSTRUMENT_NONE ? instrument : needed;
    }
    return needed;
}

static void instrument_read(struct reader *reader, const struct setting *event, struct event_spec *spec)
{
    const struct setting *read = setting_find(event, "read");
    enum instrument needed = instrument_needed(spec);
    size_t before = reader->complaints->count + reader->complaints->dropped;
    spec->instrument = (enum instrument)group_word(reader, event, "read", instrument_words, (int)needed);
    if (spec->action == ACTION_READ && read == NULL && needed == INSTRUMENT_NONE) {
        spec->instrument = INSTRUMENT_STRIP;
    }
    if (read == NULL || spec->action == ACTION_READ || reader_has_complained(reader, before)) {
        return;
    }
    bool fits = spec->instrument == needed || (needed == INSTRUMENT_STRIP && spec->instrument == INSTRUMENT_METER);
    if (setting_find(event, "when") == NULL) {
        complain(reader, read,
                 "'read' stands without 'when'; expected when = \"ph < 10.5\" beside it, or do = \"read\"");
    } else if (!fits) {
        complain(reader, read, "'read' is \"%s\", which cannot tell what 'when' asks; expected %s", read->text,
                 needed == INSTRUMENT_STRIP ? "\"strip\" or \"meter\"" : instrument_words[needed]);
    }
}

void conditions_read(struct reader *reader, const struct setting *event, struct event_spec *spec)
{
    const struct setting *when = group_typed(reader, event, "when", SETTING_TEXT, "\"ph < 10.5\"");
    bool reads = true;
    for (const char *text = when == NULL ? NULL : when->text; text != NULL;) {
        size_t length = and_find(text);
        char piece[256];
        if (spec->condition_count == CONDITIONS_MOST) {
            complain(reader, when, "'when' has more than %d comparisons; expected at most %d", CONDITIONS_MOST,
                     CONDITIONS_MOST);
            reads = false;
            break;
        }
        trimmed_copy(text, length, piece, sizeof piece);
        reads = condition_read(reader, when, piece, &spec->conditions[spec->condition_count]) && reads;
        spec->condition_count++;
        text = text[length] == '\0' ? NULL : text + length + 5;
    }
    if (reads) {
        instrument_read(reader, event, spec);
    }
}
