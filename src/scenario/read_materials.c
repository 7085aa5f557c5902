/* read_materials.c: materials.conf and fibres.conf, the tables of what goes into a vat and what is dyed in it. */
#include "scenario/reader.h"
#include "scenario/words.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const char *const material_kind_words[MATERIAL_KINDS + 1] = {"indigo",   "sugar", "lime",  "alkali", "acid",
                                                             "mediator", "food",  "other", NULL};
static const char *const ph_response_words[] = {"cellulose", "silk", "wool", NULL};

bool material_is_hydroxide(const char *name)
{
    char lowered[MODEL_NAME_SIZE * 2];
    size_t length = 0;
    for (; name[length] != '\0' && length + 1 < sizeof lowered; length++) {
        lowered[length] = (char)tolower((unsigned char)name[length]);
    }
    lowered[length] = '\0';
    /* Water run through wood ash: dissolved potash with a little causticity. "Potash lye" is another thing. */
    static const char *const of_ashes[] = {"ash lye", "wood ash lye", "wood-ash lye", NULL};
    if (word_index(lowered, of_ashes) >= 0) {
        return false;
    }
    static const char *const marks[] = {"caustic", "sodium hydroxide", "potassium hydroxide", "naoh", "koh"};
    for (size_t i = 0; i < sizeof marks / sizeof marks[0]; i++) {
        if (strstr(lowered, marks[i]) != NULL) {
            return true;
        }
    }
    for (const char *at = strstr(lowered, "lye"); at != NULL; at = strstr(at + 1, "lye")) { /* a word of its own */
        bool begins = at == lowered || !isalpha((unsigned char)at[-1]);
        if (begins && !isalpha((unsigned char)at[3])) {
            return true;
        }
    }
    return false;
}

struct share_key {
    const char *key;
    size_t offset;
    double most;
    bool summed; /* part of the kilogram */
};

static const struct share_key share_keys[] = {
    {"indigotin", offsetof(struct material, indigotin), 1, true},
    {"fructose", offsetof(struct material, fructose), 1, true},
    {"glucose", offsetof(struct material, glucose), 1, true},
    {"sucrose", offsetof(struct material, sucrose), 1, true},
    {"lime", offsetof(struct material, lime), 1, true},
    {"chalk", offsetof(struct material, chalk), 1, true},
    {"soda", offsetof(struct material, soda), 1, true},
    {"potash", offsetof(struct material, potash), 1, true},
    {"fast_feed", offsetof(struct material, fast_feed), 1, true},
    {"slow_feed", offsetof(struct material, slow_feed), 1, true},
    {"nitrogen", offsetof(struct material, nitrogen), 30, false}, /* mol/kg */
    {"cells", offsetof(struct material, cells), 1, false},
    {"spoilers", offsetof(struct material, spoilers), 1, false},
    {"lactate", offsetof(struct material, lactate), 30, false}, /* mol/kg */
    {"causticity", offsetof(struct material, causticity), 0.1, false}, /* mol/kg: no hydroxide lye comes this weak */
    {"acid", offsetof(struct material, acid), 30, false}, /* mol/kg; oxalic acid would have 22 */
    {"mediator", offsetof(struct material, mediator), 1, false},
    {"mediator_high_ph", offsetof(struct material, mediator_high_ph), 1, false},
    {"residue", offsetof(struct material, residue), 1, true},
    {"water", offsetof(struct material, water), 1, true},
};

static const char *const material_keys[] = {"name",
                                            "kind",
                                            "indigotin",
                                            "fructose",
                                            "glucose",
                                            "sucrose",
                                            "lime",
                                            "chalk",
                                            "soda",
                                            "potash",
                                            "fast_feed",
                                            "slow_feed",
                                            "nitrogen",
                                            "cells",
                                            "spoilers",
                                            "lactate",
                                            "causticity",
                                            "acid",
                                            "mediator",
                                            "mediator_high_ph",
                                            "residue",
                                            "water",
                                            "bulk_density",
                                            "bulk_density_low",
                                            "bulk_density_high",
                                            "purity_low",
                                            "purity_nominal",
                                            "purity_high",
                                            "dry_powder",
                                            "source",
                                            "caution",
                                            NULL};

static void shares_read(struct reader *reader, const struct setting *item, struct material *material)
{
    double sum = 0;
    for (size_t i = 0; i < sizeof share_keys / sizeof share_keys[0]; i++) {
        double share = group_quantity(reader, item, share_keys[i].key, &form_share, 0, share_keys[i].most, 0);
        *(double *)((char *)material + share_keys[i].offset) = share;
        sum += share_keys[i].summed ? share : 0;
    }
    if (sum > 1.0 + 1e-9) {
        complain(reader, item, "the shares of \"%s\" add up to %g; expected at most 1", material->name, sum);
    }
}

static void material_read(struct reader *reader, const struct setting *item, struct material *material)
{
    static const struct unit_form form_density = {"kg m-3", "a density", "0.80 g/mL", "g/mL", 0.001, 0};
    *material = (struct material){.line = item->line};
    group_check_keys(reader, item, "a material", material_keys);
    (void)group_needs(reader, item, "name", "\"slaked lime\"");
    group_text(reader, item, "name", material->name, sizeof material->name);
    if (material_is_hydroxide(material->name)) {
        complain(reader, item,
                 "\"%s\" is a corrosive hydroxide, not what potash or soda ash means; "
                 "expected potash, soda ash or slaked lime",
                 material->name);
    }
    if (group_needs(reader, item, "kind", "\"sugar\"")) {
        int kind = group_word(reader, item, "kind", material_kind_words, MATERIAL_KINDS - 1);
        (void)snprintf(material->kind, sizeof material->kind, "%s", material_kind_words[kind]);
    }
    shares_read(reader, item, material);
    material->bulk_density = group_quantity(reader, item, "bulk_density", &form_density, 10, 5000, NAN);
    material->bulk_density_low =
        group_quantity(reader, item, "bulk_density_low", &form_density, 10, 5000, material->bulk_density);
    material->bulk_density_high =
        group_quantity(reader, item, "bulk_density_high", &form_density, 10, 5000, material->bulk_density);
    material->purity_nominal = group_quantity(reader, item, "purity_nominal", &form_share, 0, 1, NAN);
    material->purity_low = group_quantity(reader, item, "purity_low", &form_share, 0, 1, material->purity_nominal);
    material->purity_high = group_quantity(reader, item, "purity_high", &form_share, 0, 1, material->purity_nominal);
    if (material->bulk_density_low > material->bulk_density || material->bulk_density > material->bulk_density_high) {
        complain(reader, item, "the bulk densities of \"%s\" are out of order; expected low <= usual <= high",
                 material->name);
    }
    if (material->purity_low > material->purity_nominal || material->purity_nominal > material->purity_high) {
        complain(reader, item, "the purities of \"%s\" are out of order; expected low <= nominal <= high",
                 material->name);
    }
    material->dry_powder = group_flag(reader, item, "dry_powder", false);
    (void)group_needs(reader, item, "source", "\"common practice, no source\"");
    group_text(reader, item, "source", material->source, sizeof material->source);
    group_text(reader, item, "caution", material->caution, sizeof material->caution);
}

/* Complains when an earlier element bears the same name; elements begin with their name. */
static void names_check(struct reader *reader, const struct setting *item, const void *array, size_t index, size_t size,
                        const char *kind)
{
    const char *name = (const char *)array + index * size;
    for (size_t i = 0; i < index; i++) {
        if (name[0] != '\0' && strcmp((const char *)array + i * size, name) == 0) {
            complain(reader, item, "there is a second %s \"%s\"; expected each name once", kind, name);
            return;
        }
    }
}

static bool entry_is_group(struct reader *reader, const struct setting *item, const char *list)
{
    if (item->type != SETTING_GROUP) {
        complain(reader, item, "an entry of '%s' is %s; expected a group { ... }", list,
                 setting_type_words(item->type));
        return false;
    }
    return true;
}

struct status materials_read(struct reader *reader, const struct setting *root, struct model *model)
{
    static const char *const keys[] = {"materials", NULL};
    group_check_keys(reader, root, "the materials", keys);
    const struct setting *list = group_needed(reader, root, "materials", SETTING_LIST, "( { name = ...; }, ... )");
    if (list == NULL || list->count == 0) {
        return status_ok();
    }
    model->materials = calloc(list->count, sizeof *model->materials);
    if (model->materials == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to read the materials");
    }
    for (size_t i = 0; i < list->count; i++) {
        model->material_count++;
        if (entry_is_group(reader, &list->items[i], "materials")) {
            material_read(reader, &list->items[i], &model->materials[i]);
            names_check(reader, &list->items[i], model->materials, i, sizeof *model->materials, "material");
        }
    }
    return status_ok();
}

struct fibre_key {
    const char *key;
    const char *unit;
    size_t offset;
};

static const struct fibre_key fibre_constants[] = {
    {"freundlich", "1", offsetof(struct fibre, freundlich)},
    {"exponent", "1", offsetof(struct fibre, exponent)},
    {"cap", "1", offsetof(struct fibre, cap)},
    {"half_time", "s", offsetof(struct fibre, half_time)},
    {"pickup_hand", "1", offsetof(struct fibre, pickup_hand)},
    {"pickup_drip", "1", offsetof(struct fibre, pickup_drip)},
    {"pickup_spin", "1", offsetof(struct fibre, pickup_spin)},
    {"air_dry", "m3 kg-1", offsetof(struct fibre, air_dry)},
    {"air_wetted", "m3 kg-1", offsetof(struct fibre, air_wetted)},
};

static const char *const fibre_keys[] = {"name",        "freundlich",  "exponent",    "cap",     "half_time",
                                         "pickup_hand", "pickup_drip", "pickup_spin", "air_dry", "air_wetted",
                                         "density",     "ph_response", "ph_limit",    "reflect_450", "reflect_650",
                                         "peak_nm",     "ring_share",  NULL};

static void fibre_read(struct reader *reader, const struct setting *item, struct fibre *fibre)
{
    static const struct unit_form form_density = {"kg m-3", "a density", "1.53 g/mL", "g/mL", 0.001, 0};
    group_check_keys(reader, item, "a fibre", fibre_keys);
    (void)group_needs(reader, item, "name", "\"cotton\"");
    group_text(reader, item, "name", fibre->name, sizeof fibre->name);
    for (size_t i = 0; i < sizeof fibre_constants / sizeof fibre_constants[0]; i++) {
        const struct fibre_key *key = &fibre_constants[i];
        if (group_needs(reader, item, key->key, "{ low = ...; nominal = ...; high = ...; source = \"...\"; }")) {
            constant_read(reader, setting_find(item, key->key), key->key, key->unit,
                          (struct constant *)((char *)fibre + key->offset));
        }
    }
    static const struct {
        const char *key, *example;
        size_t offset;
        double least, most;
    } looks[] = {
        {"reflect_450", "0.78", offsetof(struct fibre, reflect_450), 0.01, 0.99},
        {"reflect_650", "0.86", offsetof(struct fibre, reflect_650), 0.01, 0.99},
        {"peak_nm", "660", offsetof(struct fibre, peak_nm), 600, 700},
        {"ring_share", "0.25", offsetof(struct fibre, ring_share), 0, 1},
    };
    for (size_t i = 0; i < sizeof looks / sizeof looks[0]; i++) {
        if (group_needs(reader, item, looks[i].key, looks[i].example)) {
            *(double *)((char *)fibre + looks[i].offset) =
                group_quantity(reader, item, looks[i].key, &form_number, looks[i].least, looks[i].most, NAN);
        }
    }
    if (group_needs(reader, item, "density", "\"1.53 g/mL\"")) {
        fibre->density = group_quantity(reader, item, "density", &form_density, 100, 5000, NAN);
    }
    if (group_needs(reader, item, "ph_response", "\"cellulose\"")) {
        int response = group_word(reader, item, "ph_response", ph_response_words, 0);
        (void)snprintf(fibre->ph_response, sizeof fibre->ph_response, "%s", ph_response_words[response]);
    }
    fibre->ph_limit = group_quantity(reader, item, "ph_limit", &form_number, 0, 14, NAN);
}

struct status fibres_read(struct reader *reader, const struct setting *root, struct model *model)
{
    static const char *const keys[] = {"fibres", NULL};
    group_check_keys(reader, root, "the fibres", keys);
    const struct setting *list = group_needed(reader, root, "fibres", SETTING_LIST, "( { name = ...; }, ... )");
    if (list == NULL || list->count == 0) {
        return status_ok();
    }
    model->fibres = calloc(list->count, sizeof *model->fibres);
    if (model->fibres == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to read the fibres");
    }
    for (size_t i = 0; i < list->count; i++) {
        model->fibre_count++;
        if (entry_is_group(reader, &list->items[i], "fibres")) {
            fibre_read(reader, &list->items[i], &model->fibres[i]);
            names_check(reader, &list->items[i], model->fibres, i, sizeof *model->fibres, "fibre");
        }
    }
    return status_ok();
}
