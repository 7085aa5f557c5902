/* valid_scenario.c: see valid_scenario.h. */
#include "fuzz/valid_scenario.h"

#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>

#define EVENTS 6
#define COUNT(list) (sizeof(list) / sizeof(list)[0])

struct choices {
    const uint8_t *data;
    size_t size;
    size_t at;
    char *text;
    size_t used;
    double lasts; /* min */
};

static unsigned next(struct choices *choices)
{
    return choices->at < choices->size ? choices->data[choices->at++] : 0u;
}

static size_t below(struct choices *choices, size_t most)
{
    return next(choices) % most;
}

static bool yes(struct choices *choices)
{
    return next(choices) % 2 != 0;
}

/* A number from low to high in 255 steps. */
static double from_to(struct choices *choices, double low, double high)
{
    return low + (high - low) * next(choices) / 255.0;
}

#define PICK(choices, list) (list)[below((choices), COUNT(list))]

__attribute__((format(printf, 2, 3))) static void put(struct choices *choices, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    int length = vsnprintf(choices->text + choices->used, VALID_SCENARIO_SIZE - choices->used, format, arguments);
    va_end(arguments);
    choices->used += (size_t)(length > 0 ? length : 0);
    if (choices->used >= VALID_SCENARIO_SIZE) {
        choices->used = VALID_SCENARIO_SIZE - 1;
    }
}

static void put_charge(struct choices *choices, double litres)
{
    static const char *const blues[] = {"indigo powder",      "synthetic indigo powder", "fresh indigo paste",
                                        "dried indigo leaf", "composted indigo leaf",   "couched woad"};
    static const char *const foods[] = {"fructose",    "glucose",     "honey",  "dates",      "banana",
                                        "white sugar", "jaggery",     "madder", "wheat bran", "boiled bran",
                                        "apple",       "citric acid", "henna",  "vinegar"};
    static const char *const bases[] = {"slaked lime", "old slaked lime",       "soda ash", "potash",
                                        "chalk",       "washing soda crystals", "ash lye"};
    put(choices, "charge = (");
    put(choices, " { add = \"%s\"; amount = \"%.3f g\"; }", PICK(choices, blues), from_to(choices, 0.1, 10) * litres);
    for (size_t i = below(choices, 4); i > 0; i--) {
        put(choices, ", { add = \"%s\"; amount = \"%.3f g\"; }", PICK(choices, foods),
            from_to(choices, 0.1, 20) * litres);
    }
    for (size_t i = below(choices, 3); i > 0; i--) {
        put(choices, ", { add = \"%s\"; amount = \"%.3f g\"; }", PICK(choices, bases),
            from_to(choices, 0.1, 12) * litres);
    }
    put(choices, " );\n");
}

static void put_existing(struct choices *choices, double litres)
{
    static const char *const looks[] = {"unknown", "blue", "green", "faint bronze", "bronze"};
    put(choices, "existing = { temperature = \"%.1f degC\"; indigo = \"%.2f g\"; look = \"%s\";",
        from_to(choices, 5, 60), from_to(choices, 0.01, 6) * litres, PICK(choices, looks));
    if (yes(choices)) {
        put(choices, " ph = %.2f;", from_to(choices, 8.5, 12.3));
    }
    if (yes(choices)) {
        put(choices, " sugar = \"%.2f g\"; lime = \"%.2f g\"; chalk = \"%.2f g\";", from_to(choices, 0, 10) * litres,
            from_to(choices, 0, 8) * litres, from_to(choices, 0, 8) * litres);
    }
    put(choices, " };\n");
}

static void put_vat(struct choices *choices)
{
    static const char *const models[] = {"sugar-lime", "bran-soda", "ash-lye", "hot-madder"};
    static const char *const lids[] = {"none", "loose", "tight"};
    static const char *const walls[] = {"plastic", "metal", "wood", "ceramic"};
    static const char *const wraps[] = {"none", "blanket", "foam"};
    static const char *const suns[] = {"shade", "half", "full"};
    double width = from_to(choices, 12, 80);
    double depth = width * from_to(choices, 0.8, 2);
    double share = from_to(choices, 0.6, 0.9);
    bool round = yes(choices);
    double litres = width * width * depth * (round ? 0.785 : 1.0) * share / 1000;
    put(choices, "vat = { model = \"%s\";\nvessel = { ", PICK(choices, models));
    put(choices, round ? "diameter = \"%.2f cm\"; " : "length = \"%.2f cm\"; width = \"%.2f cm\"; ", width, width);
    put(choices, "depth = \"%.2f cm\"; fill = \"%.3f L\"; lid = \"%s\"; wall = \"%s\"; wrap = \"%s\"; ", depth, litres,
        PICK(choices, lids), PICK(choices, walls), PICK(choices, wraps));
    put(choices, "heater = \"2 kW\"; };\n");
    double night = from_to(choices, -15, 35);
    put(choices, "place = { night = \"%.1f degC\"; day = \"%.1f degC\"; altitude = \"%.0f m\"; humidity = %.2f; ",
        night, night + from_to(choices, 0, 15), from_to(choices, 0, 3500), from_to(choices, 0.05, 1));
    put(choices, "draught = \"%.2f m/s\"; sun = \"%s\"; };\n", from_to(choices, 0, 3), PICK(choices, suns));
    put(choices, "water = { temperature = \"%.1f degC\"; alkalinity = \"%.0f mg/L\"; hardness = \"%.0f mg/L\"; };\n",
        from_to(choices, 1, 70), from_to(choices, 0, 400), from_to(choices, 0, 500));
    if (yes(choices)) {
        put_existing(choices, litres);
    } else {
        put_charge(choices, litres);
    }
    put(choices, "};\n");
}

static void put_deed(struct choices *choices)
{
    static const char *const things[] = {"fructose", "slaked lime", "vinegar", "indigo powder", "madder", "wheat bran"};
    static const char *const hows[] = {"gentle", "brisk", "whip"};
    static const char *const reads[] = {"strip", "meter", "thermometer", "look", "test strip", "orp"};
    switch (below(choices, 10)) {
    case 0:
        put(choices, "do = \"add\"; what = \"%s\"; amount = \"%.2f g\";", PICK(choices, things),
            from_to(choices, 0.1, 200));
        break;
    case 1:
        put(choices, "do = \"top up\"; amount = \"%.3f L\";", from_to(choices, 0.05, 2));
        break;
    case 2:
        put(choices, "do = \"heat\"; to = \"%.1f degC\"; for = \"%.0f min\";", from_to(choices, 20, 80),
            from_to(choices, 1, 60));
        break;
    case 3:
        put(choices, "do = \"stir\"; how = \"%s\"; for = \"%.1f min\";", PICK(choices, hows), from_to(choices, 0.5, 20));
        break;
    case 4:
        put(choices, "do = \"dip\"; soak = \"%.1f min\"; air = \"%.1f min\"; dips = %zu; pieces = %zu;",
            from_to(choices, 0.5, 8), from_to(choices, 0.5, 8), 1 + below(choices, 3), 1 + below(choices, 2));
        break;
    case 5:
        put(choices, "do = \"cover\"; lid = \"%s\";", yes(choices) ? "tight" : "none");
        break;
    case 6:
        put(choices, "do = \"wrap\"; wrap = \"%s\";", yes(choices) ? "foam" : "none");
        break;
    case 7:
        put(choices, "do = \"%s\";", yes(choices) ? "skim" : "rack");
        break;
    case 8:
        put(choices, "do = \"%s\"; cloth = \"c\";", yes(choices) ? "wash" : yes(choices) ? "rinse" : "sour");
        break;
    default:
        put(choices, "do = \"read\"; read = \"%s\";", PICK(choices, reads));
        break;
    }
}

/* Entries stand far enough apart that a piece is never wanted twice at once. */
static void put_calendar(struct choices *choices)
{
    static const char *const conditions[] = {"ph < 10.5", "temperature > 30 degC", "level < 48 L",
                                             "ph >= 9 and temperature < 45 degC", "idle > 1 h"};
    size_t count = below(choices, EVENTS);
    put(choices, "calendar = (");
    for (size_t i = 0; i < count; i++) {
        double slot = choices->lasts / (double)EVENTS;
        double at = slot * ((double)i + from_to(choices, 0, 0.9));
        put(choices, "%s\n { at = \"+%.4f min\"; ", i > 0 ? "," : "", at);
        if (below(choices, 4) == 0) {
            put(choices, "when = \"%s\"; ", PICK(choices, conditions));
        }
        put_deed(choices);
        put(choices, " }");
    }
    put(choices, " );\n");
}

void valid_scenario_write(const uint8_t *data, size_t size, char *text)
{
    static const char *const fibres[] = {"cotton", "mercerised cotton", "linen", "hemp",
                                         "ramie",  "viscose",           "silk",  "wool"};
    struct choices choices = {.data = data, .size = size, .text = text};
    choices.lasts = from_to(&choices, 10, 180);
    put(&choices, "start = \"2026-%02zu-%02zu %02zu:%02zu\"; ", 1 + below(&choices, 12), 1 + below(&choices, 28),
        below(&choices, 24), below(&choices, 60));
    put(&choices, "lasts = \"%.4f min\"; record = \"%.3f min\"; seed = %u;\n", choices.lasts,
        from_to(&choices, choices.lasts / 50, choices.lasts * 0.9), next(&choices));
    put_vat(&choices);
    put(&choices, "cloth = ( { name = \"c\"; fibre = \"%s\"; each = \"%.1f g\"; count = 12; ", PICK(&choices, fibres),
        from_to(&choices, 0.5, 8));
    put(&choices, "wetted = %s; folded = %s; } );\n", yes(&choices) ? "true" : "false", yes(&choices) ? "true" : "false");
    put_calendar(&choices);
}
