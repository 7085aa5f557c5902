/* read_cloth.c: the cloth of a scenario, and doses of materials by weight or by spoon. */
#include "chem/shade.h"
#include "scenario/reader.h"
#include "scenario/words.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A material that is poured: its spoonfuls do not pack. */
static bool material_is_liquid(const struct material *material)
{
    return material->water >= 0.1 && material->bulk_density_high <= 1.25 * material->bulk_density_low;
}

/* An amount given as a volume, turned into mass by bulk density. */
static void dose_by_volume(struct reader *reader, const struct setting *amount, double volume, const char *unit,
                           struct dose *dose)
{
    if (reader->model == NULL || dose->material < 0) {
        return; /* nothing to weigh it by; the material has its own complaint */
    }
    const struct material *material = &reader->model->materials[dose->material];
    if (isnan(material->bulk_density)) {
        complain(reader, amount,
                 "'amount' is \"%.40s\", but the bulk density of \"%s\" is not known; expected a mass, as \"40 g\"",
                 amount->text, material->name);
        return;
    }
    dose->mass = volume * material->bulk_density;
    dose->by_volume = unit_is_kitchen_measure(unit) || !material_is_liquid(material);
}

static void amount_read(struct reader *reader, const struct setting *item, struct dose *dose)
{
    static const struct unit_form form_dose = {"kg", "a mass or a kitchen volume", "40 g\" or \"2 tbsp", "kg", 1, 0};
    const double most = 1000; /* kg */
    const struct setting *amount = setting_find(item, "amount");
    if (!group_needs(reader, item, "amount", "\"40 g\" or \"2 tbsp\"")) {
        return;
    }
    char unit[64];
    double volume;
    if (amount->type == SETTING_TEXT &&
        quantity_read(reader->quantities, amount->text, "m3", &volume, unit, sizeof unit) == QUANTITY_OK) {
        dose_by_volume(reader, amount, volume, unit, dose);
        if (volume < 0 || volume > 1) {
            complain(reader, amount, "'amount' is \"%.40s\"; expected from 0 to 1000 L", amount->text);
        }
        return;
    }
    dose->mass = setting_quantity(reader, amount, "amount", &form_dose, 0, most);
}

void dose_read(struct reader *reader, const struct setting *item, const char *what_key, struct dose *dose)
{
    *dose = (struct dose){.material = -1, .mass = NAN, .purity = NAN, .line = item->line};
    const struct setting *what = group_needed(reader, item, what_key, SETTING_TEXT, "\"fructose\"");
    if (what != NULL && material_is_hydroxide(what->text)) {
        complain(reader, what,
                 "\"%.60s\" is a corrosive hydroxide, not what potash or soda ash means; "
                 "expected \"slaked lime\", \"soda ash\" or \"potash\" (potassium carbonate)",
                 what->text);
    } else if (what != NULL && strcmp(what->text, "water") == 0) {
        complain(reader, what,
                 "\"water\" is no material; expected do = \"top up\" in the calendar, or 'fill' of the vessel");
    } else if (what != NULL && reader->model != NULL) {
        dose->material = named_find(reader, what, "material", what->text, reader->model->materials,
                                    reader->model->material_count, sizeof *reader->model->materials);
    }
    amount_read(reader, item, dose);
    dose->purity = group_quantity(reader, item, "purity", &form_share, 0, 1, NAN);
}

static void target_read(struct reader *reader, const struct setting *item, struct cloth_kind *cloth)
{
    enum shade shade;
    const char *known[SHADE_COUNT + 1] = {NULL};
    group_text(reader, item, "target", cloth->target, sizeof cloth->target);
    if (cloth->target[0] != '\0' && !shade_for_word(cloth->target, &shade)) {
        for (int i = 0; i < SHADE_COUNT; i++) {
            known[i] = shade_name((enum shade)i);
        }
        complain_unknown(reader, setting_find(item, "target"), "shade", cloth->target, known);
        cloth->target[0] = '\0';
    }
}

static void cloth_kind_read(struct reader *reader, const struct setting *item, struct cloth_kind *cloth)
{
    static const char *const keys[] = {"name", "fibre", "each", "fabric", "count", "wetted", "folded", "target", NULL};
    *cloth = (struct cloth_kind){.fibre = -1, .line = item->line};
    group_check_keys(reader, item, "cloth", keys);
    (void)group_needs(reader, item, "name", "\"scarf\"");
    (void)group_needs(reader, item, "each", "\"95 g\"");
    group_text(reader, item, "name", cloth->name, sizeof cloth->name);
    const struct setting *fibre = group_needed(reader, item, "fibre", SETTING_TEXT, "\"cotton\"");
    if (fibre != NULL && reader->model != NULL) {
        cloth->fibre = named_find(reader, fibre, "fibre", fibre->text, reader->model->fibres,
                                  reader->model->fibre_count, sizeof *reader->model->fibres);
    }
    cloth->each = group_quantity(reader, item, "each", &form_mass, 1e-4, 50, NAN);
    cloth->fabric = group_quantity(reader, item, "fabric", &form_fabric, 0.01, 3, 0.15);
    cloth->count = (int)group_whole(reader, item, "count", 1, PIECES_MOST, 1);
    cloth->wetted = group_flag(reader, item, "wetted", true);
    cloth->folded = group_flag(reader, item, "folded", false);
    target_read(reader, item, cloth);
}

struct status cloth_read(struct reader *reader, const struct setting *root)
{
    struct scenario *scenario = reader->scenario;
    const struct setting *list = group_typed(reader, root, "cloth", SETTING_LIST, "( { name = \"scarf\"; ... }, ... )");
    if (list == NULL || list->count == 0) {
        return status_ok();
    }
    scenario->cloth = calloc(list->count, sizeof *scenario->cloth);
    if (scenario->cloth == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to read the cloth");
    }
    for (size_t i = 0; i < list->count; i++) {
        const struct setting *item = &list->items[i];
        if (item->type != SETTING_GROUP) {
            complain(reader, item, "an entry of 'cloth' is %s; expected a group { ... }",
                     setting_type_words(item->type));
            continue;
        }
        struct cloth_kind *cloth = &scenario->cloth[scenario->cloth_count++];
        cloth_kind_read(reader, item, cloth);
        for (size_t other = 0; other + 1 < scenario->cloth_count; other++) {
            if (cloth->name[0] != '\0' && strcmp(scenario->cloth[other].name, cloth->name) == 0) {
                complain(reader, item, "there is a second cloth \"%s\"; expected each name once", cloth->name);
                break;
            }
        }
    }
    return status_ok();
}
