/* read_vat.c: the vat of a scenario: vessel, place, water, and what it holds, fresh or already alive. */
#include "chem/physics.h"
#include "chem/shade.h"
#include "chem/speciation.h"
#include "scenario/reader.h"
#include "scenario/words.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define BARREL_PROPORTION 1.4        /* depth over diameter of pails, barrels and bins; estimate */
#define MOLAR_MASS_INDIGOTIN 0.26227 /* kg/mol */
#define MOLAR_MASS_HEXOSE 0.18016
#define MOLAR_MASS_LIME 0.074093
#define MOLAR_MASS_CHALK 0.100087

static const struct unit_form form_hardness = {"kg m-3", "a concentration", "180 mg/L", "mg/L", 1000, 0};

/* A concentration written as CaCO3 by mass ("180 mg/L", "180 ppm") or in mol ("3.6 mmol/L"); mol/m3, NAN after a
 * complaint. */
static double as_chalk_read(struct reader *reader, const struct setting *group, const char *key, double per_mol,
                            double fallback_mg_per_L)
{
    const double most = 40; /* mol/m3, 2 g/L of CaCO3: beyond any tap */
    const struct setting *item = setting_find(group, key);
    if (item == NULL) {
        return fallback_mg_per_L * 1e-3 / MOLAR_MASS_CHALK * per_mol;
    }
    if (item->type != SETTING_TEXT) {
        return setting_quantity(reader, item, key, &form_hardness, 0, INFINITY);
    }
    char unit[64];
    double value;
    enum quantity_result result = quantity_read(reader->quantities, item->text, "mol m-3", &value, unit, sizeof unit);
    if (result == QUANTITY_OTHER_KIND) {
        bool ppm = strcmp(unit, "ppm") == 0;
        value = ppm ? strtod(item->text, NULL) * 1e-3 : text_quantity(reader, item, key, item->text, &form_hardness);
        value = value / MOLAR_MASS_CHALK * per_mol;
    } else if (result != QUANTITY_OK) {
        return text_quantity(reader, item, key, item->text, &form_hardness);
    }
    if (value < 0 || value > most) {
        complain(reader, item, "'%s' is %g mg/L as calcium carbonate; expected from 0 to 2000 mg/L", key,
                 value / per_mol * MOLAR_MASS_CHALK * 1e3);
        return NAN;
    }
    return value;
}

double vessel_area(const struct vessel *vessel)
{
    const double pi = 3.14159265358979323846;
    return vessel->shape == SHAPE_ROUND ? pi / 4 * vessel->diameter * vessel->diameter : vessel->length * vessel->width;
}

/* A round vessel known by what it holds to the brim: what is not said of diameter and depth is worked out. */
static void holds_read(struct reader *reader, const struct setting *group, struct vessel *vessel)
{
    const double pi = 3.14159265358979323846;
    double volume = group_quantity(reader, group, "holds", &form_volume, 1e-4, 20, NAN);
    bool has_diameter = setting_find(group, "diameter") != NULL;
    bool has_depth = setting_find(group, "depth") != NULL;
    if (vessel->shape != SHAPE_ROUND || (has_diameter && has_depth)) {
        complain(
            reader, setting_find(group, "holds"),
            "'holds' stands beside all that tells it already; expected it for a round vessel, with its diameter or its "
            "depth or neither");
    } else if (has_diameter) {
        double diameter = group_quantity(reader, group, "diameter", &form_length, 0.05, 5, NAN);
        vessel->depth = volume / (pi / 4 * diameter * diameter);
    } else if (has_depth) {
        vessel->diameter = sqrt(volume / (pi / 4 * group_quantity(reader, group, "depth", &form_length, 0.05, 5, NAN)));
    } else {
        vessel->diameter = cbrt(volume / (pi / 4 * BARREL_PROPORTION));
        vessel->depth = BARREL_PROPORTION * vessel->diameter;
    }
}

static void vessel_read(struct reader *reader, const struct setting *vat)
{
    static const char *const keys[] = {"shape", "holds", "diameter", "length", "width",  "depth",
                                       "fill",  "lid",   "wall",     "wrap",   "heater", NULL};
    struct vessel *vessel = &reader->scenario->vessel;
    *vessel = (struct vessel){.diameter = NAN, .length = NAN, .width = NAN, .depth = NAN};
    reader->scenario->fill = NAN;
    const struct setting *group = group_needed(reader, vat, "vessel", SETTING_GROUP,
                                               "{ diameter = \"38 cm\"; depth = \"60 cm\"; fill = \"52 L\"; }");
    if (group == NULL) {
        return;
    }
    group_check_keys(reader, group, "vessel", keys);
    bool has_sides = setting_find(group, "length") != NULL || setting_find(group, "width") != NULL;
    bool has_diameter = setting_find(group, "diameter") != NULL;
    vessel->shape = (enum vessel_shape)group_word(reader, group, "shape", vessel_shape_words,
                                                  has_sides && !has_diameter ? SHAPE_SQUARE : SHAPE_ROUND);
    if (vessel->shape == SHAPE_ROUND && has_sides) {
        complain(reader, group, "a round vessel has a length or a width; expected its diameter, or shape = \"square\"");
    } else if (vessel->shape == SHAPE_SQUARE && has_diameter) {
        complain(reader, group, "a square vessel has a diameter; expected its length and width");
    } else if (setting_find(group, "holds") != NULL) {
        holds_read(reader, group, vessel);
    } else if (vessel->shape == SHAPE_ROUND) {
        (void)group_needs(reader, group, "diameter", "\"38 cm\"");
    } else {
        (void)group_needs(reader, group, "length", "\"40 cm\"");
        (void)group_needs(reader, group, "width", "\"30 cm\"");
    }
    if (setting_find(group, "holds") == NULL) {
        (void)group_needs(reader, group, "depth", "\"60 cm\"");
    }
    (void)group_needs(reader, group, "fill", "\"52 L\"");
    vessel->diameter = group_quantity(reader, group, "diameter", &form_length, 0.05, 5, vessel->diameter);
    vessel->length = group_quantity(reader, group, "length", &form_length, 0.05, 5, NAN);
    vessel->width = group_quantity(reader, group, "width", &form_length, 0.05, 5, NAN);
    vessel->depth = group_quantity(reader, group, "depth", &form_length, 0.05, 5, vessel->depth);
    reader->scenario->fill = group_quantity(reader, group, "fill", &form_volume, 1e-4, 20, NAN);
    vessel->lid = (enum lid_kind)group_word(reader, group, "lid", lid_words, LID_LOOSE);
    vessel->wall = (enum wall_kind)group_word(reader, group, "wall", wall_words, WALL_PLASTIC);
    vessel->wrap = (enum wrap_kind)group_word(reader, group, "wrap", wrap_words, WRAP_NONE);
    vessel->heater_power = group_quantity(reader, group, "heater", &form_power, 0, 50000, 0);
    double holds = vessel_area(vessel) * vessel->depth;
    if (reader->scenario->fill > holds * (1.0 + 1e-9)) {
        complain(reader, setting_find(group, "fill"),
                 "'fill' is %.4g L; expected at most the %.4g L that the vessel holds", reader->scenario->fill * 1e3,
                 holds * 1e3);
    }
}

static void place_read(struct reader *reader, const struct setting *group, const char *where, struct place *place)
{
    static const char *const keys[] = {"name", "night", "day", "altitude", "humidity", "draught", "sun", "co2", NULL};
    group_check_keys(reader, group, where, keys);
    const double coldest = CELSIUS_ZERO - 30;
    const double hottest = CELSIUS_ZERO + 50;
    group_text(reader, group, "name", place->name, sizeof place->name);
    place->night_K = group_quantity(reader, group, "night", &form_temperature, coldest, hottest, CELSIUS_ZERO + 15);
    place->day_K = group_quantity(reader, group, "day", &form_temperature, coldest, hottest,
                                  fmax(CELSIUS_ZERO + 20, place->night_K));
    place->altitude = group_quantity(reader, group, "altitude", &form_altitude, -450, 5500, 0);
    place->humidity = group_quantity(reader, group, "humidity", &form_share, 0, 1, 0.6);
    place->draught = group_quantity(reader, group, "draught", &form_speed, 0, 20, 0.1);
    place->co2 = group_quantity(reader, group, "co2", &form_share, 0, 0.1, 420e-6);
    place->sun = (enum sun_kind)group_word(reader, group, "sun", sun_words, SUN_SHADE);
    if (place->night_K > place->day_K) {
        complain(reader, group, "the night (%.4g degC) is warmer than the day (%.4g degC); expected night <= day",
                 place->night_K - CELSIUS_ZERO, place->day_K - CELSIUS_ZERO);
    }
}

struct status places_read(struct reader *reader, const struct setting *vat, const struct setting *root)
{
    struct scenario *scenario = reader->scenario;
    const struct setting *list = group_typed(reader, root, "places", SETTING_LIST, "( { name = \"shed\"; ... }, ... )");
    size_t count = 1 + (list == NULL ? 0 : list->count);
    scenario->places = calloc(count, sizeof *scenario->places);
    if (scenario->places == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to read the places");
    }
    const struct setting nothing = {.type = SETTING_GROUP, .file = root->file, .line = root->line};
    const struct setting *own =
        group_typed(reader, vat, "place", SETTING_GROUP, "{ night = \"13 degC\"; day = \"22 degC\"; }");
    place_read(reader, own == NULL ? &nothing : own, "place", &scenario->places[0]);
    if (scenario->places[0].name[0] == '\0') {
        (void)strcpy(scenario->places[0].name, "home");
    }
    scenario->place_count = 1;
    for (size_t i = 0; list != NULL && i < list->count; i++) {
        const struct setting *item = &list->items[i];
        if (item->type != SETTING_GROUP) {
            complain(reader, item, "an entry of 'places' is %s; expected a group { ... }",
                     setting_type_words(item->type));
            continue;
        }
        struct place *place = &scenario->places[scenario->place_count++];
        (void)group_needs(reader, item, "name", "\"shed\"");
        place_read(reader, item, "a place", place);
        for (size_t other = 0; other + 1 < scenario->place_count; other++) {
            if (place->name[0] != '\0' && strcmp(scenario->places[other].name, place->name) == 0) {
                complain(reader, item, "there is a second place \"%s\"; expected each name once", place->name);
                break;
            }
        }
    }
    return status_ok();
}

static void water_read(struct reader *reader, const struct setting *vat)
{
    static const char *const keys[] = {"temperature", "alkalinity", "hardness", NULL};
    struct make_up_water *water = &reader->scenario->water;
    const struct setting nothing = {.type = SETTING_GROUP, .file = vat->file, .line = vat->line};
    const struct setting *group = group_typed(reader, vat, "water", SETTING_GROUP, "{ temperature = \"50 degC\"; }");
    if (group == NULL) {
        group = &nothing;
    }
    group_check_keys(reader, group, "water", keys);
    water->temperature_K = group_quantity(reader, group, "temperature", &form_temperature, CELSIUS_ZERO,
                                          CELSIUS_ZERO + 95, CELSIUS_ZERO + 20);
    water->alkalinity = as_chalk_read(reader, group, "alkalinity", 2, 100);
    water->hardness = as_chalk_read(reader, group, "hardness", 1, 100);
}

/* What a kilogram of the material named is worth in purity; NAN when it says nothing. */
static double purity_of(const struct model *model, const char *name)
{
    for (size_t i = 0; model != NULL && i < model->material_count; i++) {
        if (strcmp(model->materials[i].name, name) == 0) {
            return model->materials[i].purity_nominal;
        }
    }
    return NAN;
}

/* Acid charge already in the vat: "0.4 mol" or, per liquor, "8 mmol/L". */
static double existing_acid_read(struct reader *reader, const struct setting *group)
{
    static const struct unit_form form_moles = {"mol", "an amount of acid", "0.4 mol", "mol", 1, 0};
    const struct setting *item = setting_find(group, "acid");
    char unit[64];
    double value;
    if (item != NULL && item->type == SETTING_TEXT &&
        quantity_read(reader->quantities, item->text, "mol m-3", &value, unit, sizeof unit) == QUANTITY_OK) {
        value *= reader->scenario->fill;
        if (value < 0) {
            complain(reader, item, "'acid' is \"%.40s\"; expected at least 0", item->text);
        }
        return value;
    }
    return group_quantity(reader, group, "acid", &form_moles, 0, 10000, NAN);
}

/* How blue a test strip came out: a shade word or "0.3 %" on weight of fibre; kg/kg, NAN when not given. */
static double existing_strip_read(struct reader *reader, const struct setting *group)
{
    const struct setting *item = setting_find(group, "strip");
    enum shade shade;
    if (item != NULL && item->type == SETTING_TEXT && shade_for_word(item->text, &shade)) {
        double from = shade_owf_from(shade);
        return shade + 1 < SHADE_COUNT ? 0.5 * (from + shade_owf_from((enum shade)(shade + 1))) : from;
    }
    return group_quantity(reader, group, "strip", &form_share, 0, 0.1, NAN);
}

static void existing_read(struct reader *reader, const struct setting *group)
{
    static const char *const keys[] = {"temperature", "ph",   "age",     "look", "indigo", "purity", "sugar", "lime",
                                       "chalk",       "acid", "residue", "idle", "strip",  "pinch",  "smell", NULL};
    const double most = 1000; /* kg */
    struct existing_vat *existing = &reader->scenario->existing;
    group_check_keys(reader, group, "existing", keys);
    existing->exists = true;
    (void)group_needs(reader, group, "temperature", "\"21 degC\"");
    existing->temperature_K =
        group_quantity(reader, group, "temperature", &form_temperature, CELSIUS_ZERO, CELSIUS_ZERO + 95, NAN);
    existing->ph = group_quantity(reader, group, "ph", &form_number, CHEMISTRY_PH_LOWEST, CHEMISTRY_PH_HIGHEST, NAN);
    existing->age = group_quantity(reader, group, "age", &form_duration, 0, DURATION_MOST_S, 30 * DAY_S);
    existing->look = (enum look_kind)group_word(reader, group, "look", look_words, LOOK_UNKNOWN);
    double purity =
        group_quantity(reader, group, "purity", &form_share, 0, 1, purity_of(reader->model, "indigo powder"));
    if (setting_find(group, "purity") == NULL && reader->model != NULL && isnan(purity)) {
        (void)group_needs(reader, group, "purity", "\"38 %\""); /* no indigo powder in the materials to take it from */
    }
    (void)group_needs(reader, group, "indigo", "\"120 g\"");
    existing->indigotin =
        group_quantity(reader, group, "indigo", &form_mass, 0, most, NAN) * purity / MOLAR_MASS_INDIGOTIN;
    existing->hexose = group_quantity(reader, group, "sugar", &form_mass, 0, most, 0) / MOLAR_MASS_HEXOSE;
    existing->lime_solid = group_quantity(reader, group, "lime", &form_mass, 0, most, 0) / MOLAR_MASS_LIME;
    existing->chalk = group_quantity(reader, group, "chalk", &form_mass, 0, most, 0) / MOLAR_MASS_CHALK;
    existing->acid = existing_acid_read(reader, group);
    existing->residue = group_quantity(reader, group, "residue", &form_mass, 0, most, 0);
    existing->leuco = NAN;
    existing->sugar_known = setting_find(group, "sugar") != NULL;
    existing->lime_known = setting_find(group, "lime") != NULL;
    existing->idle = group_quantity(reader, group, "idle", &form_duration, 0, DURATION_MOST_S, NAN);
    existing->strip = existing_strip_read(reader, group);
    existing->pinch = (enum pinch_kind)group_word(reader, group, "pinch", pinch_words, PINCH_UNKNOWN);
    existing->smell = (enum smell_kind)group_word(reader, group, "smell", smell_words, SMELLED_UNKNOWN);
}

static struct status charge_read(struct reader *reader, const struct setting *list)
{
    static const char *const keys[] = {"add", "amount", "purity", NULL};
    struct scenario *scenario = reader->scenario;
    if (list->count == 0) {
        return status_ok();
    }
    scenario->charge = calloc(list->count, sizeof *scenario->charge);
    if (scenario->charge == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to read the charge");
    }
    for (size_t i = 0; i < list->count; i++) {
        const struct setting *item = &list->items[i];
        if (item->type != SETTING_GROUP) {
            complain(reader, item, "an entry of 'charge' is %s; expected { add = \"fructose\"; amount = \"780 g\"; }",
                     setting_type_words(item->type));
            continue;
        }
        group_check_keys(reader, item, "charge", keys);
        dose_read(reader, item, "add", &scenario->charge[scenario->charge_count++]);
    }
    return status_ok();
}

struct status vat_read(struct reader *reader, const struct setting *vat)
{
    static const char *const keys[] = {"model", "vessel", "place", "water", "charge", "existing", NULL};
    group_check_keys(reader, vat, "vat", keys);
    vessel_read(reader, vat);
    water_read(reader, vat);
    const struct setting *charge = setting_find(vat, "charge");
    const struct setting *existing = setting_find(vat, "existing");
    if (charge == NULL && existing == NULL) {
        complain(reader, vat,
                 "the vat has neither 'charge' nor 'existing'; expected what it is made from, or what it holds");
    } else if (charge != NULL && existing != NULL) {
        complain(reader, existing,
                 "the vat has both 'charge' and 'existing'; expected one: later doses belong in the calendar");
    } else if (existing != NULL) {
        existing = group_typed(reader, vat, "existing", SETTING_GROUP, "{ temperature = \"21 degC\"; ... }");
        if (existing != NULL) {
            existing_read(reader, existing);
        }
    } else {
        charge =
            group_typed(reader, vat, "charge", SETTING_LIST, "( { add = \"fructose\"; amount = \"780 g\"; }, ... )");
        if (charge != NULL) {
            return charge_read(reader, charge);
        }
    }
    return status_ok();
}
