/* getters.c: typed values out of settings, each with its complaint; see reader.h. */
#include "chem/physics.h"
#include "scenario/reader.h"
#include "scenario/words.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

const struct unit_form form_mass = {"kg", "a mass", "40 g", "kg", 1, 0};
const struct unit_form form_volume = {"m3", "a volume", "50 L", "L", 1000, 0};
const struct unit_form form_length = {"m", "a length", "60 cm", "cm", 100, 0};
const struct unit_form form_altitude = {"m", "a height above the sea", "640 m", "m", 1, 0};
const struct unit_form form_duration = {"s", "a length of time", "30 min", "days", 1 / DAY_S, 0};
const struct unit_form form_temperature = {"K", "a temperature", "45 degC", "degC", 1, -CELSIUS_ZERO};
const struct unit_form form_power = {"W", "a power", "1.5 kW", "W", 1, 0};
const struct unit_form form_speed = {"m s-1", "a speed", "0.1 m/s", "m/s", 1, 0};
const struct unit_form form_fabric = {"kg m-2", "a mass per area", "180 g/m2", "g/m2", 1000, 0};
const struct unit_form form_share = {"1", "a share", "55 %", "", 1, 0};
const struct unit_form form_voltage = {"V", "a voltage", "-520 mV", "mV", 1000, 0};
const struct unit_form form_number = {"1", "a number", "10.5", "", 1, 0};

void complain(struct reader *reader, const struct setting *at, const char *format, ...)
{
    char text[COMPLAINT_TEXT_SIZE];
    va_list arguments;
    va_start(arguments, format);
    (void)vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    complaints_add(reader->complaints, at->file, at->line, "%s", text);
}

bool reader_has_complained(const struct reader *reader, size_t since)
{
    return reader->complaints->count + reader->complaints->dropped > since;
}

void complain_unknown(struct reader *reader, const struct setting *at, const char *kind, const char *written,
                      const char *const *known)
{
    const char *nearest = word_nearest(written, known);
    size_t known_count = 0;
    while (known[known_count] != NULL) {
        known_count++;
    }
    char list[220];
    word_list(known, list, sizeof list);
    if (nearest != NULL) {
        complain(reader, at, "%s \"%.80s\" is not known; did you mean \"%s\"?", kind, written, nearest);
    } else if (known[0] == NULL) {
        complain(reader, at, "%s \"%.80s\" is not known; none is described", kind, written);
    } else if (known_count > 12) {
        complain(reader, at, "%s \"%.80s\" is not known; expected one of those described", kind, written);
    } else {
        complain(reader, at, "%s \"%.80s\" is not known; expected %s", kind, written, list);
    }
}

int named_find(struct reader *reader, const struct setting *at, const char *kind, const char *written,
               const void *array, size_t count, size_t element_size)
{
    const char *names[257];
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        const char *name = (const char *)array + i * element_size;
        if (strcmp(name, written) == 0) {
            return (int)i;
        }
        if (name[0] != '\0' && kept + 1 < sizeof names / sizeof names[0]) {
            names[kept++] = name;
        }
    }
    names[kept] = NULL;
    complain_unknown(reader, at, kind, written, names);
    return -1;
}

void group_check_keys(struct reader *reader, const struct setting *group, const char *where, const char *const *known)
{
    for (size_t i = 0; i < group->count; i++) {
        const struct setting *item = &group->items[i];
        if (item->name == NULL || word_index(item->name, known) >= 0) {
            continue;
        }
        const char *nearest = word_nearest(item->name, known);
        if (nearest != NULL) {
            complain(reader, item, "unknown key '%.60s' in %s; did you mean '%s'?", item->name, where, nearest);
            continue;
        }
        char list[260] = "";
        size_t used = 0;
        for (size_t k = 0; known[k] != NULL; k++) {
            int written = snprintf(list + used, sizeof list - used, "%s%s", k == 0 ? "" : ", ", known[k]);
            if (written < 0 || (size_t)written >= sizeof list - used) {
                break;
            }
            used += (size_t)written;
        }
        complain(reader, item, "unknown key '%.60s' in %s; expected one of %s", item->name, where, list);
    }
}

const struct setting *group_typed(struct reader *reader, const struct setting *group, const char *key,
                                  enum setting_type type, const char *example)
{
    const struct setting *item = setting_find(group, key);
    if (item == NULL) {
        return NULL;
    }
    if (item->type != type) {
        complain(reader, item, "'%s' is %s; expected %s, as %s", key, setting_type_words(item->type),
                 setting_type_words(type), example);
        return NULL;
    }
    return item;
}

bool group_needs(struct reader *reader, const struct setting *group, const char *key, const char *example)
{
    if (setting_find(group, key) != NULL) {
        return true;
    }
    complain(reader, group, "'%s' is missing; expected it as %s", key, example);
    return false;
}

const struct setting *group_needed(struct reader *reader, const struct setting *group, const char *key,
                                   enum setting_type type, const char *example)
{
    return group_needs(reader, group, key, example) ? group_typed(reader, group, key, type, example) : NULL;
}

double text_quantity(struct reader *reader, const struct setting *at, const char *key, const char *text,
                     const struct unit_form *form)
{
    double value = NAN;
    char unit[64];
    switch (quantity_read(reader->quantities, text, form->si, &value, unit, sizeof unit)) {
    case QUANTITY_OK:
        return value;
    case QUANTITY_NO_NUMBER:
        complain(reader, at, "'%s' is \"%.80s\", which does not begin with a number; expected %s, as \"%s\"", key, text,
                 form->what, form->example);
        break;
    case QUANTITY_NO_UNIT:
        complain(reader, at, "'%s' is \"%.80s\", without a unit; expected %s, as \"%s\"", key, text, form->what,
                 form->example);
        break;
    case QUANTITY_UNKNOWN_UNIT:
        complain(reader, at, "'%s' has the unknown unit '%.40s'; expected %s, as \"%s\"", key, unit, form->what,
                 form->example);
        break;
    case QUANTITY_OTHER_KIND:
        complain(reader, at, "'%s' is \"%.80s\", which is not %s; expected it as \"%s\"", key, text, form->what,
                 form->example);
        break;
    case QUANTITY_NOT_FINITE:
        complain(reader, at, "'%s' is \"%.80s\", too large a number; expected %s, as \"%s\"", key, text, form->what,
                 form->example);
        break;
    }
    return NAN;
}

/* Writes an SI value in a unit of its size: "40 g", "12 min", "95 degC". */
static void quantity_show(const struct unit_form *form, double value, char *text, size_t size)
{
    static const struct {
        const char *unit;
        double seconds;
    } spans[] = {{"days", DAY_S}, {"h", 3600}, {"min", 60}, {"s", 1}};
    if (strcmp(form->si, "s") == 0) {
        size_t i = 0;
        while (i < 3 && fabs(value) < (i == 0 ? 2 : 1) * spans[i].seconds) {
            i++;
        }
        (void)snprintf(text, size, "%.6g %s", value / spans[i].seconds, spans[i].unit);
    } else if (strcmp(form->si, "kg") == 0 && fabs(value) < 1 && value != 0) {
        (void)snprintf(text, size, "%.6g g", value * 1000);
    } else {
        double shown = round((value * form->factor + form->offset) * 1e6) / 1e6;
        (void)snprintf(text, size, "%.6g%s%s", fabs(shown) > 0 ? shown : value * form->factor + form->offset,
                       form->shown[0] == '\0' ? "" : " ", form->shown);
    }
}

double setting_quantity(struct reader *reader, const struct setting *item, const char *key,
                        const struct unit_form *form, double low, double high)
{
    double value;
    bool pure = strcmp(form->si, "1") == 0;
    if (item->type == SETTING_NUMBER && pure) {
        value = item->number;
    } else if (item->type == SETTING_NUMBER) {
        complain(reader, item, "'%s' is the bare number %g; expected %s with its unit, as \"%s\"", key, item->number,
                 form->what, form->example);
        return NAN;
    } else if (item->type != SETTING_TEXT) {
        complain(reader, item, "'%s' is %s; expected %s, as \"%s\"", key, setting_type_words(item->type), form->what,
                 form->example);
        return NAN;
    } else {
        value = text_quantity(reader, item, key, item->text, form);
    }
    if (value < low || value > high) {
        char shown[3][48];
        quantity_show(form, value, shown[0], sizeof shown[0]);
        quantity_show(form, low, shown[1], sizeof shown[1]);
        quantity_show(form, high, shown[2], sizeof shown[2]);
        complain(reader, item, "'%s' is %s; expected from %s to %s%s", key, shown[0], shown[1], shown[2],
                 form == &form_share && high == 1 ? ", as 0.55 or \"55 %\"" : "");
        return NAN;
    }
    return value;
}

double group_quantity(struct reader *reader, const struct setting *group, const char *key, const struct unit_form *form,
                      double low, double high, double fallback)
{
    const struct setting *item = setting_find(group, key);
    return item == NULL ? fallback : setting_quantity(reader, item, key, form, low, high);
}

long group_whole(struct reader *reader, const struct setting *group, const char *key, long low, long high,
                 long fallback)
{
    const struct setting *item = setting_find(group, key);
    if (item == NULL) {
        return fallback;
    }
    if (item->type != SETTING_NUMBER || !item->whole) {
        if (item->type == SETTING_NUMBER) {
            complain(reader, item, "'%s' is %g; expected a whole number from %ld to %ld", key, item->number, low, high);
        } else {
            complain(reader, item, "'%s' is %s; expected a whole number from %ld to %ld, without quotes", key,
                     setting_type_words(item->type), low, high);
        }
        return fallback;
    }
    if (item->number < (double)low || item->number > (double)high) {
        complain(reader, item, "'%s' is %.0f; expected a whole number from %ld to %ld", key, item->number, low, high);
        return fallback;
    }
    return (long)item->number;
}

int group_word(struct reader *reader, const struct setting *group, const char *key, const char *const *words,
               int fallback)
{
    const struct setting *item = setting_find(group, key);
    if (item == NULL) {
        return fallback;
    }
    char list[220];
    word_list(words, list, sizeof list);
    if (item->type != SETTING_TEXT) {
        complain(reader, item, "'%s' is %s; expected %s", key, setting_type_words(item->type), list);
        return fallback;
    }
    int index = word_index(item->text, words);
    if (index < 0) {
        complain(reader, item, "'%s' is \"%.60s\"; expected %s", key, item->text, list);
        return fallback;
    }
    return index;
}

bool group_flag(struct reader *reader, const struct setting *group, const char *key, bool fallback)
{
    const struct setting *item = group_typed(reader, group, key, SETTING_FLAG, "true");
    return item == NULL ? fallback : item->flag;
}

void group_text(struct reader *reader, const struct setting *group, const char *key, char *text, size_t size)
{
    text[0] = '\0';
    const struct setting *item = group_typed(reader, group, key, SETTING_TEXT, "\"...\"");
    if (item == NULL) {
        return;
    }
    size_t length = strlen(item->text);
    if (length >= size) {
        complain(reader, item, "'%s' is %zu bytes long; expected at most %zu", key, length, size - 1);
        return;
    }
    memcpy(text, item->text, length + 1);
}
