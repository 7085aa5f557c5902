/* price.c: see price.h. */
#include "scenario/price.h"
#include "scenario/words.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* kg per unit; a litre of water is a kilogram. */
static const struct {
    const char *unit;
    double kg;
} units[] = {
    {"kg", 1.0}, {"g", 1e-3}, {"100 g", 0.1}, {"100g", 0.1}, {"lb", 0.45359237}, {"oz", 0.028349523125},
    {"L", 1.0},  {"l", 1.0},  {"m3", 1000.0},
};

struct status price_read(const char *text, struct price *price)
{
    const char *equals = strrchr(text, '=');
    const char *slash = equals != NULL ? strchr(equals, '/') : NULL;
    size_t length = equals != NULL ? (size_t)(equals - text) : 0;
    while (length > 0 && text[length - 1] == ' ') {
        length--;
    }
    if (slash == NULL || length == 0 || length >= sizeof price->material) {
        return status_fail(STATUS_USAGE, "the price \"%.60s\" will not do; expected it as \"slaked lime=2.50/kg\"",
                           text);
    }
    char *end;
    double amount = strtod(equals + 1, &end);
    while (*end == ' ') {
        end++;
    }
    if (end == equals + 1 || end != slash || !(amount >= 0.0) || !isfinite(amount)) {
        return status_fail(STATUS_USAGE, "the price \"%.60s\" has no number; expected it as \"slaked lime=2.50/kg\"",
                           text);
    }
    (void)snprintf(price->material, sizeof price->material, "%.*s", (int)length, text);
    const char *unit = slash + 1 + strspn(slash + 1, " ");
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++) {
        if (strcmp(unit, units[i].unit) == 0) {
            price->per_kg = amount / units[i].kg;
            return status_ok();
        }
    }
    return status_fail(STATUS_USAGE,
                       "the price \"%.60s\" is for an unknown measure; expected /kg, /100 g, /g, /lb or /oz, "
                       "for water /L or /m3",
                       text);
}

const char *price_unknown(const struct price *prices, size_t count, const struct model *model, const char **nearest)
{
    *nearest = NULL;
    for (size_t i = 0; i < count; i++) {
        const char *name = prices[i].material;
        const char *known[] = {"water", NULL};
        bool is_known = word_index(name, known) >= 0;
        for (size_t m = 0; m < model->material_count && !is_known; m++) {
            known[0] = model->materials[m].name;
            is_known = word_index(name, known) >= 0;
            *nearest = *nearest == NULL ? word_nearest(name, known) : *nearest;
        }
        if (!is_known) {
            return name;
        }
        *nearest = NULL;
    }
    return NULL;
}
