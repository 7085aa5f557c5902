/* sweep_keys.c: what is to be varied, as written on a command line; see sweep.h. */
#include "study/sweep.h"

#include "scenario/settings.h"
#include "scenario/words.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define STEPS_MOST 10000

/* "40 degC" as a number and the unit after it; false when it does not begin with a number or the rest is none. */
static bool read_end(const char *text, size_t length, double *value, char *unit, size_t unit_size, bool *is_span)
{
    char copy[80];
    char *end;
    while (length > 0 && isspace((unsigned char)*text)) {
        text++;
        length--;
    }
    if (length == 0 || length >= sizeof copy) {
        return false;
    }
    (void)snprintf(copy, sizeof copy, "%.*s", (int)length, text);
    *value = strtod(copy, &end);
    *is_span = copy[0] == '+';
    if (end == copy || !isfinite(*value) || strpbrk(copy, "xX") == copy + 1) {
        return false;
    }
    end += strspn(end, " \t");
    size_t left = strlen(end);
    while (left > 0 && isspace((unsigned char)end[left - 1])) {
        end[--left] = '\0';
    }
    if (isdigit((unsigned char)*end) || *end == '/' || left >= unit_size) {
        return false; /* "1 1/2 cup" */
    }
    (void)snprintf(unit, unit_size, "%s", left == 0 ? "1" : end);
    return true;
}

static struct status complain(const char *text, bool grid, const char *what)
{
    return status_fail(
        STATUS_USAGE,
        "'--over %.120s' will not do: %s; expected KEY=LOW..HIGH%s, as 'vat.water.temperature=40..60 degC%s'", text,
        what, grid ? ":STEPS" : "", grid ? ":5" : "");
}

/* The steps after the last colon; the text without them. */
static struct status read_steps(const char *text, const char *range, size_t *length, struct drawn *drawn)
{
    const char *colon = strrchr(range, ':');
    char *end = NULL;
    long steps = colon != NULL ? strtol(colon + 1, &end, 10) : 0;
    if (colon == NULL || end == colon + 1 || *end != '\0' || steps < 1 || steps > STEPS_MOST) {
        return complain(text, true, "a grid needs a number of steps, from 1 to 10000, after each range");
    }
    drawn->steps = (int)steps;
    *length = (size_t)(colon - range);
    return status_ok();
}

static struct status read_range(const char *text, const char *range, size_t length, bool grid, struct drawn *drawn)
{
    char low_unit[32];
    char high_unit[32];
    bool low_span;
    const char *dots = strstr(range, "..");
    if (dots == NULL || dots >= range + length) {
        return complain(text, grid, "there are no two dots between a low and a high value");
    }
    const char *after = dots + 2;
    if (!read_end(range, (size_t)(dots - range), &drawn->low, low_unit, sizeof low_unit, &low_span) ||
        !read_end(after, (size_t)(range + length - after), &drawn->high, high_unit, sizeof high_unit,
                  &drawn->is_span)) {
        return complain(text, grid, "low and high must be decimal numbers, with their unit");
    }
    if (strcmp(low_unit, "1") != 0 && strcmp(low_unit, high_unit) != 0) {
        return complain(text, grid, "low and high are in different units");
    }
    if (!(drawn->low <= drawn->high)) {
        return complain(text, grid, "low is above high");
    }
    drawn->is_span = drawn->is_span || low_span;
    drawn->nominal = 0.5 * (drawn->low + drawn->high);
    drawn->how = DRAW_EVENLY;
    (void)snprintf(drawn->unit, sizeof drawn->unit, "%s", high_unit);
    return status_ok();
}

/* Names a key without a dot may have besides those of constants. */
static bool is_top_key(const char *name)
{
    static const char *const keys[] = {"lasts", "record", "seed", "rtol", NULL};
    return word_index(name, keys) >= 0;
}

static struct status complain_name(const char *text, const char *name)
{
    const char *names[CONSTANT_COUNT + 1];
    for (int id = 0; id < CONSTANT_COUNT; id++) {
        names[id] = constant_specs[id].name;
    }
    names[CONSTANT_COUNT] = NULL;
    const char *nearest = word_nearest(name, names);
    if (nearest != NULL) {
        return status_fail(STATUS_USAGE,
                           "'--over %.120s' will not do: there is no constant '%.60s'; did you mean '%s'?", text, name,
                           nearest);
    }
    return status_fail(STATUS_USAGE,
                       "'--over %.120s' will not do: '%.60s' is neither a constant of the model nor a path into the "
                       "scenario, as vat.water.temperature",
                       text, name);
}

struct status sweep_read_key(const char *text, bool grid, const struct scenario *scenario, struct drawn *drawn)
{
    const char *equals = strchr(text, '=');
    size_t name_length = equals != NULL ? (size_t)(equals - text) : strcspn(text, ":");
    char name[DRAWN_NAME_SIZE];
    if (name_length == 0 || name_length >= sizeof name) {
        return complain(text, grid, "there is no key before the range");
    }
    (void)snprintf(name, sizeof name, "%.*s", (int)name_length, text);
    bool is_constant = drawn_constant(&scenario->model, strncmp(name, "constants.", 10) == 0 ? name + 10 : name, drawn);
    if (!is_constant) {
        *drawn = (struct drawn){.of = DRAW_SETTING, .steps = 1};
        (void)snprintf(drawn->name, sizeof drawn->name, "%s", name);
        if (strchr(name, '.') == NULL && !is_top_key(name)) {
            return complain_name(text, name);
        }
    }
    const char *range = equals != NULL ? equals + 1 : text + name_length;
    size_t length = strlen(range);
    if (grid) {
        RETURN_IF_FAILED(read_steps(text, range, &length, drawn));
    }
    if (equals == NULL) {
        return is_constant ? status_ok() : complain(text, grid, "only a constant has a range of its own");
    }
    char unit[sizeof drawn->unit];
    (void)snprintf(unit, sizeof unit, "%s", drawn->unit);
    RETURN_IF_FAILED(read_range(text, range, length, grid, drawn));
    if (is_constant) {
        if (strcmp(drawn->unit, "1") != 0 && strcmp(drawn->unit, unit) != 0) {
            return status_fail(STATUS_USAGE,
                               "'--over %.120s' will not do: the constant is in %s; write its numbers so, "
                               "without a unit",
                               text, unit);
        }
        const char *expected = constant_refusal((enum constant_id)drawn->which, drawn->low);
        if (expected != NULL) {
            return status_fail(STATUS_USAGE, "'--over %.120s' will not do: the constant goes down to %g; %s", text, drawn->low,
                               expected);
        }
        (void)snprintf(drawn->unit, sizeof drawn->unit, "%s", unit);
    }
    return status_ok();
}

/* ---- whether the scenario takes them --------------------------------------------------------------------------- */

static struct status try_value(struct scenario_template *kept, const char **overrides, size_t count,
                               const struct drawn *drawn, double value, struct complaints *complaints)
{
    char text[DRAWN_OVERRIDE_SIZE];
    struct scenario scenario;
    drawn_write(drawn, value, text);
    overrides[count] = text;
    struct status status = scenario_template_make(kept, overrides, count + 1, &scenario, complaints);
    if (status_is_ok(&status)) {
        scenario_free(&scenario);
    }
    return status;
}

static struct status check_key(struct scenario_template *kept, const char **overrides, size_t count,
                               struct drawn *drawn, struct complaints *complaints)
{
    RETURN_IF_FAILED(try_value(kept, overrides, count, drawn, drawn->low, complaints));
    RETURN_IF_FAILED(try_value(kept, overrides, count, drawn, drawn->high, complaints));
    bool ends_whole =
        strcmp(drawn->unit, "1") == 0 && floor(drawn->low) == drawn->low && floor(drawn->high) == drawn->high;
    if (!ends_whole || !(drawn->high > drawn->low)) {
        return status_ok();
    }
    struct complaints unheard;
    complaints_init(&unheard);
    struct status status = try_value(kept, overrides, count, drawn, drawn->low + 0.5, &unheard);
    complaints_free(&unheard);
    drawn->whole = status.code == STATUS_SCENARIO;
    return status.code == STATUS_SCENARIO ? status_ok() : status;
}

/* A complaint about the override made from a key is about the key. */
static void blame_over(struct complaint *complaint, int override, int key)
{
    if (strcmp(complaint->file, OVERRIDE_FILE) == 0 && complaint->line == override) {
        (void)snprintf(complaint->file, sizeof complaint->file, "--over");
        complaint->line = key;
    }
}

struct status sweep_check_keys(struct scenario_template *kept, const char *const *overrides, size_t override_count,
                               struct drawn *drawn, size_t count, struct complaints *complaints)
{
    const char **texts = calloc(override_count + 2, sizeof *texts);
    if (texts == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to read the command line");
    }
    struct status status = status_ok();
    for (size_t i = 0; i < override_count; i++) {
        texts[i] = overrides[i];
    }
    for (size_t k = 0; k < count && (status_is_ok(&status) || status.code == STATUS_SCENARIO); k++) {
        if (drawn[k].of == DRAW_SETTING) {
            size_t before = complaints->count;
            struct status checked = check_key(kept, texts, override_count, &drawn[k], complaints);
            for (size_t i = before; i < complaints->count; i++) {
                blame_over(&complaints->items[i], (int)override_count + 1, (int)k + 1);
            }
            status = status_is_ok(&status) ? checked : status;
        }
    }
    free(texts);
    return status;
}
