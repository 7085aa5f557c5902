/* option_values.c: see option_values.h. */
#include "cli/option_values.h"

#include "cli/verbs.h"
#include "scenario/quantity.h"
#include "scenario/words.h"

#include <stdlib.h>
#include <string.h>

struct status option_quantity(const struct call *call, const char *name, const char *si_unit, double least, double most,
                              const char *example, double *value)
{
    const char *text = option_value(call, name, NULL);
    if (text == NULL) {
        return status_ok();
    }
    struct quantities *quantities;
    char unit[32];
    double read = 0.0;
    RETURN_IF_FAILED(quantities_open(&quantities));
    enum quantity_result result = quantity_read(quantities, text, si_unit, &read, unit, sizeof unit);
    quantities_close(quantities);
    if (result != QUANTITY_OK || !(read >= least && read <= most)) {
        return status_fail(STATUS_USAGE, "'--%s=%.40s' will not do; expected it as --%s '%s', within reason", name,
                           text, name, example);
    }
    *value = read;
    return status_ok();
}

struct status option_whole(const struct call *call, const char *name, int least, int most, int *value)
{
    const char *text = option_value(call, name, NULL);
    if (text == NULL) {
        return status_ok();
    }
    char *end;
    long read = strtol(text, &end, 10);
    if (end == text || *end != '\0' || read < least || read > most) {
        return status_fail(STATUS_USAGE, "'--%s=%.40s' will not do; expected a whole number from %d to %d", name, text,
                           least, most);
    }
    *value = (int)read;
    return status_ok();
}

struct status option_word(const struct call *call, const char *name, const char *const *words, int *index)
{
    const char *text = option_value(call, name, NULL);
    if (text == NULL) {
        return status_ok();
    }
    int found = word_index(text, words);
    if (found < 0) {
        char list[200];
        word_list(words, list, sizeof list);
        return status_fail(STATUS_USAGE, "'--%s=%.40s' is not known; expected %s", name, text, list);
    }
    *index = found;
    return status_ok();
}

struct status option_shade(const struct call *call, const char *name, enum shade *shade)
{
    const char *text = option_value(call, name, NULL);
    if (text != NULL && !shade_for_word(text, shade)) {
        return status_fail(STATUS_USAGE,
                           "'--%s=%.40s' is no shade; expected palest, pale, light, mid, dark, navy or near black",
                           name, text);
    }
    return status_ok();
}

struct status option_tolerance(const struct call *call, double *rtol)
{
    const char *text = option_value(call, "rtol", NULL);
    *rtol = 0.0;
    if (text == NULL) {
        return status_ok();
    }
    char *end;
    *rtol = strtod(text, &end);
    if (end == text || *end != '\0' || !(*rtol >= 1e-12 && *rtol <= 1e-2)) {
        return status_fail(STATUS_USAGE, "'--rtol=%.40s' will not do; expected a number from 1e-12 to 0.01", text);
    }
    return status_ok();
}

struct status option_texts(const struct call *call, const char *name, const char ***texts, size_t *count)
{
    *count = 0;
    *texts = calloc(call->given_count + 1, sizeof **texts);
    if (*texts == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to read the command line");
    }
    for (size_t i = 0; i < call->given_count; i++) {
        if (strcmp(call->given[i].spec->name, name) == 0) {
            (*texts)[(*count)++] = call->given[i].value;
        }
    }
    return status_ok();
}

struct status option_scenario_with(const struct call *call, const char *path, const char *schedule,
                                   struct scenario *scenario)
{
    char chosen[NAME_SIZE + 16];
    const char **overrides;
    size_t count;
    RETURN_IF_FAILED(option_texts(call, "set", &overrides, &count));
    if (schedule != NULL) {
        (void)snprintf(chosen, sizeof chosen, "schedule=\"%s\"", schedule);
        overrides[count++] = chosen;
    }
    struct status status = load_scenario(call, path, overrides, count, scenario);
    free(overrides);
    return status;
}

struct status option_scenario(const struct call *call, const char *path, struct scenario *scenario)
{
    return option_scenario_with(call, path, NULL, scenario);
}
