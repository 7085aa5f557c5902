/* valid_scenario.c: see valid_scenario.h. */
#include "fuzz/valid_scenario.h"

#include <math.h>
#include <string.h>

static const char *const blues[] = {"indigo powder",     "synthetic indigo powder", "fresh indigo paste",
                                    "indigo paste 20 %", "dried indigo leaf",       "composted indigo leaf",
                                    "couched woad"};
static const char *const foods[] = {"fructose", "glucose",     "honey",         "dates",      "banana",
                                    "apple",    "white sugar", "jaggery",       "wheat bran", "boiled bran",
                                    "madder",   "henna",       "old vat liquor"};
static const char *const bases[] = {"slaked lime", "old slaked lime",       "soda ash", "potash",
                                    "chalk",       "washing soda crystals", "ash lye"};
static const char *const acids[] = {"vinegar", "citric acid"};

/* Fruit comes whole: no spoon measures it. */
static bool has_spoons(const char *name)
{
    return strcmp(name, "banana") != 0 && strcmp(name, "apple") != 0;
}

static void put_amount(struct choices *choices, const char *name, double grams)
{
    switch (has_spoons(name) ? below(choices, 6) : 0) {
    case 0:
        put(choices, "amount = \"%.5f kg\";", grams / 1000);
        break;
    case 1:
        put(choices, "amount = \"%.4f oz\";", grams / 28.35);
        break;
    case 2:
        put(choices, "amount = \"%.3f tbsp\";", grams / 12);
        break;
    case 3:
        put(choices, "amount = \"%zu 1/2 tsp\";", (size_t)fmin(grams / 4, 999));
        break;
    default:
        put(choices, "amount = \"%.3f g\";", grams);
        break;
    }
}

static void put_thing(struct choices *choices, const char *key, const char *name, double grams)
{
    put(choices, "%s = \"%s\"; ", key, name);
    put_amount(choices, name, grams);
    if (seldom(choices, 8)) {
        put(choices, " purity = %.2f;", from_to(choices, 0.05, 1));
    }
}

void valid_dose_write(struct choices *choices, const char *key, double litres)
{
    size_t which = below(choices, COUNT(blues) + COUNT(foods) + COUNT(bases) + COUNT(acids));
    const char *name = which < COUNT(blues)                     ? blues[which]
                       : (which -= COUNT(blues)) < COUNT(foods) ? foods[which]
                       : (which -= COUNT(foods)) < COUNT(bases) ? bases[which]
                                                                : acids[which - COUNT(bases)];
    put_thing(choices, key, name, ratio_from_to(choices, 0.02, 12) * litres);
}

/* In the proportions that dyers use, so that the vat comes to reduce. */
static void put_recipe(struct choices *choices, const char *model, double litres)
{
    static const char *const sugars[] = {"fructose", "glucose", "honey", "dates", "banana"};
    bool of_sugar = strcmp(model, "sugar-lime") == 0;
    double powder = from_to(choices, 1, 10) * litres;
    put(choices, "charge = ( { add = \"indigo powder\"; amount = \"%.3f g\"; }, { ", powder);
    put_thing(choices, "add", of_sugar ? "slaked lime" : PICK(choices, bases), powder * from_to(choices, 0.5, 3));
    put(choices, " }, { ");
    put_thing(choices, "add", of_sugar ? PICK(choices, sugars) : "wheat bran", powder * from_to(choices, 1, 4));
    put(choices, " }, { ");
    put_thing(choices, "add", of_sugar ? "madder" : "old vat liquor", litres * from_to(choices, 0.5, 40));
    put(choices, " } );\n");
}

static void put_charge(struct choices *choices, double litres)
{
    put(choices, "charge = ( { ");
    put_thing(choices, "add", PICK(choices, blues), ratio_from_to(choices, 0.1, 12) * litres);
    put(choices, " }");
    for (size_t i = below(choices, 4); i > 0; i--) {
        put(choices, ", { ");
        put_thing(choices, "add", PICK(choices, foods), ratio_from_to(choices, 0.1, 20) * litres);
        put(choices, " }");
    }
    for (size_t i = below(choices, 3); i > 0; i--) {
        put(choices, ", { ");
        put_thing(choices, "add", PICK(choices, bases), ratio_from_to(choices, 0.1, 15) * litres);
        put(choices, " }");
    }
    if (seldom(choices, 8)) {
        put(choices, ", { ");
        put_thing(choices, "add", PICK(choices, acids), from_to(choices, 0.1, 5) * litres);
        put(choices, " }");
    }
    put(choices, " );\n");
}

static void put_existing(struct choices *choices, double litres)
{
    static const char *const looks[] = {"unknown", "blue", "green", "faint bronze", "bronze"};
    static const char *const smells[] = {"unknown", "flat", "sweet", "caramel", "limey", "sour"};
    put(choices, "existing = { temperature = \"%.1f degC\"; indigo = \"%.2f g\"; look = \"%s\";",
        from_to(choices, 5, 60), from_to(choices, 0.01, 6) * litres, PICK(choices, looks));
    if (yes(choices)) {
        put(choices, " ph = %.2f;", from_to(choices, 8.5, 12.3));
    } else if (seldom(choices, 3)) {
        put(choices, " acid = \"%.2f mmol/L\";", from_to(choices, 0, 60));
    }
    if (yes(choices)) {
        put(choices, " sugar = \"%.2f g\"; lime = \"%.2f g\"; chalk = \"%.2f g\"; residue = \"%.2f g\";",
            from_to(choices, 0, 10) * litres, from_to(choices, 0, 8) * litres, from_to(choices, 0, 8) * litres,
            from_to(choices, 0, 20) * litres);
    }
    if (yes(choices)) {
        put(choices, " age = \"%.1f days\"; idle = \"%.1f h\"; smell = \"%s\"; purity = %.2f;",
            from_to(choices, 0, 200), from_to(choices, 0, 300), PICK(choices, smells), from_to(choices, 0.1, 1));
    }
    put(choices, " };\n");
}

static void put_place(struct choices *choices)
{
    static const char *const suns[] = {"shade", "half", "full"};
    double night = from_to(choices, -25, 38);
    put(choices, "night = \"%.1f degC\"; day = \"%.1f degC\"; altitude = \"%.0f m\"; humidity = %.2f; ", night,
        fmin(night + from_to(choices, 0, 25), 50), from_to(choices, 0, 3500), from_to(choices, 0.05, 1));
    put(choices, "draught = \"%.2f m/s\"; sun = \"%s\"; co2 = \"%.0f ppm\";", ratio_from_to(choices, 0.02, 8),
        PICK(choices, suns), from_to(choices, 300, 5000));
}

/* Most vats are of a bucket to a barrel; the room left over the liquor is for cloth. */
static void put_vessel(struct choices *choices, struct valid_scene *scene)
{
    static const char *const lids[] = {"none", "loose", "tight"};
    static const char *const walls[] = {"plastic", "metal", "wood", "ceramic"};
    static const char *const wraps[] = {"none", "blanket", "foam"};
    double width = from_to(choices, 12, 80);
    double depth = width * from_to(choices, 0.8, 2);
    double share = from_to(choices, 0.3, 0.93);
    size_t shape = below(choices, 4);
    double holds = width * width * depth / 1000;
    put(choices, "vessel = { ");
    if (shape < 2) {
        put(choices, "length = \"%.2f cm\"; width = \"%.2f cm\"; depth = \"%.2f cm\"; ", width, width, depth);
    } else if (shape == 2) {
        put(choices, "diameter = \"%.2f cm\"; depth = \"%.2f cm\"; ", width, depth);
        holds *= 0.785;
    } else {
        put(choices, "holds = \"%.3f L\"; ", holds);
    }
    scene->litres = holds * share;
    put(choices, "fill = \"%.3f L\"; lid = \"%s\"; wall = \"%s\"; wrap = \"%s\"; ", scene->litres, PICK(choices, lids),
        PICK(choices, walls), PICK(choices, wraps));
    if (!seldom(choices, 4)) {
        scene->heater = 1500;
        put(choices, "heater = \"%.0f W\"; ", ratio_from_to(choices, 50, 6000));
    }
    put(choices, "};\n");
}

static void put_vat(struct choices *choices, struct valid_scene *scene)
{
    static const char *const models[] = {"sugar-lime", "sugar-lime", "bran-soda", "ash-lye", "hot-madder"};
    const char *model = PICK(choices, models);
    put(choices, "vat = { model = \"%s\";\n", model);
    put_vessel(choices, scene);
    put(choices, "place = { ");
    put_place(choices);
    put(choices,
        " };\nwater = { temperature = \"%.1f degC\"; alkalinity = \"%.0f mg/L\"; hardness = \"%.0f mg/L\"; };\n",
        from_to(choices, 0.5, 75), from_to(choices, 0, 500), from_to(choices, 0, 500));
    if (seldom(choices, 3)) {
        put_existing(choices, scene->litres);
    } else if (yes(choices)) {
        put_recipe(choices, model, scene->litres);
    } else {
        put_charge(choices, scene->litres);
    }
    put(choices, "};\n");
}

static void put_places(struct choices *choices, struct valid_scene *scene)
{
    scene->places = below(choices, 3);
    put(choices, "places = (");
    for (size_t i = 0; i < scene->places; i++) {
        put(choices, "%s { name = \"p%zu\"; ", i > 0 ? "," : "", i);
        put_place(choices);
        put(choices, " }");
    }
    put(choices, " );\n");
}

/* So little cloth that it always finds room in the liquor. */
static void put_cloth(struct choices *choices, struct valid_scene *scene)
{
    static const char *const fibres[] = {"cotton", "mercerised cotton", "linen", "hemp",
                                         "ramie",  "viscose",           "silk",  "wool"};
    static const char *const shades[] = {"palest", "pale", "light blue", "mid", "dark", "navy", "near black"};
    scene->cloths = 1 + below(choices, 3);
    scene->targets = yes(choices);
    put(choices, "cloth = (");
    for (size_t i = 0; i < scene->cloths; i++) {
        put(choices, "%s { name = \"c%zu\"; fibre = \"%s\"; each = \"%.4f g\"; ", i > 0 ? "," : "", i,
            PICK(choices, fibres), fmax(0.1, ratio_from_to(choices, 0.02, 0.7) * scene->litres));
        put(choices, "fabric = \"%.0f g/m2\"; count = %zu; wetted = %s; folded = %s; ", ratio_from_to(choices, 30, 800),
            12 + below(choices, 20), yes(choices) ? "true" : "false", yes(choices) ? "true" : "false");
        if (scene->targets) {
            put(choices, "target = \"%s\"; ", PICK(choices, shades));
        }
        put(choices, "}");
    }
    put(choices, " );\n");
}

static void put_constants(struct choices *choices)
{
    put(choices, "constants = { leuco_pk1 = %.2f; leuco_holding_time = \"%.1f h\"; kl_still_20C = \"%.2f cm/h\"; };\n",
        from_to(choices, 7.5, 9), from_to(choices, 1, 10), from_to(choices, 0.5, 2));
}

void valid_scenario_write(const uint8_t *data, size_t size, char *text)
{
    struct choices choices = {.data = data, .size = size, .text = text, .text_size = VALID_SCENARIO_SIZE};
    struct valid_scene scene = {.lasts = from_to(&choices, 10, 240)};
    if (seldom(&choices, 8)) {
        scene.lasts = 60 * from_to(&choices, 6, 96);
    }
    size_t month = 1 + below(&choices, 12);
    size_t day = 1 + below(&choices, 28);
    size_t hour = below(&choices, 24);
    size_t minute = below(&choices, 60);
    scene.start_min = (int)(60 * hour + minute);
    put(&choices,
        "start = \"2026-%02zu-%02zu %02zu:%02zu\"; lasts = \"%.4f min\"; record = \"%.3f min\"; seed = %zu;\n", month,
        day, hour, minute, scene.lasts, scene.lasts * ratio_from_to(&choices, 0.01, 0.9), below(&choices, 256));
    if (seldom(&choices, 6)) {
        put(&choices, "rtol = %.3g; ", ratio_from_to(&choices, 1e-7, 1e-4));
    }
    if (seldom(&choices, 8)) {
        put(&choices, "prices = ( \"indigo powder = 9/100 g\", \"water = 4/m3\" );\n");
    }
    put_vat(&choices, &scene);
    put_places(&choices, &scene);
    put_cloth(&choices, &scene);
    if (scene.targets && seldom(&choices, 4)) {
        put(&choices, "ends = \"when done\"; ");
    }
    if (seldom(&choices, 6)) {
        put_constants(&choices);
    }
    valid_calendar_write(&choices, &scene);
}
