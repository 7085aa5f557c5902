/* correction_words.c: see correction_words.h. */
#include "study/correction_words.h"

#include "chem/physics.h"
#include "study/measures.h"

#include <stdio.h>

const struct material *correction_material(const struct scenario *scenario, enum correction_kind kind)
{
    struct remedies remedies = remedies_of(scenario);
    int material = kind == CORRECTION_SUGAR  ? remedies.sugar
                   : kind == CORRECTION_LIME ? remedies.lime
                   : kind == CORRECTION_ACID ? remedies.acid
                                             : -1;
    return material < 0 ? NULL : &scenario->model.materials[material];
}

void correction_say(const struct scenario *scenario, const struct correction *step, char *text, size_t size)
{
    const struct material *material = correction_material(scenario, step->kind);
    char amount[80];
    if (material != NULL) {
        measure_say(material, step->amount, amount, sizeof amount);
        (void)snprintf(text, size, "%s: %s, stirred in slowly", material->name, amount);
    } else if (step->kind == CORRECTION_WARM) {
        (void)snprintf(text, size, "warm it to %.0f degC (%.0f degF)", step->amount - CELSIUS_ZERO,
                       32.0 + 1.8 * (step->amount - CELSIUS_ZERO));
    } else {
        (void)snprintf(text, size, "%s",
                       step->kind == CORRECTION_STIR    ? "stir it once round from the bottom, without splashing"
                       : step->kind == CORRECTION_COVER ? "put a tight lid on"
                                                        : "leave it alone");
    }
}
