/* variant.c: see variant.h. */
#include "study/variant.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define STIR_TIME 120.0 /* s */

#define NEVER 1e12 /* s: later than any scenario ends */

static struct status copy_array(void **to, const void *from, size_t count, size_t size)
{
    *to = calloc(count + 1, size);
    if (*to == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to copy the scenario");
    }
    if (count > 0) {
        memcpy(*to, from, count * size);
    }
    return status_ok();
}

static struct status copy_all(const struct scenario *from, struct scenario *to)
{
    const struct model *model = &from->model;
    void *array;
#define COPY(field, source, count)                                                                                     \
    RETURN_IF_FAILED(copy_array(&array, source, count, sizeof *(source)));                                             \
    to->field = array
    COPY(charge, from->charge, from->charge_count);
    COPY(places, from->places, from->place_count);
    COPY(cloth, from->cloth, from->cloth_count);
    COPY(events, from->events, from->event_count);
    COPY(model.materials, model->materials, model->material_count);
    COPY(model.fibres, model->fibres, model->fibre_count);
#undef COPY
    return status_ok();
}

struct status variant_make(const struct scenario *from, struct scenario *variant)
{
    *variant = *from;
    variant->charge = NULL;
    variant->places = NULL;
    variant->cloth = NULL;
    variant->events = NULL;
    variant->lesson = NULL;
    variant->scenario_text = NULL;
    variant->model.materials = NULL;
    variant->model.fibres = NULL;
    variant->model.model_text = NULL;
    struct status status = copy_all(from, variant);
    if (!status_is_ok(&status)) {
        scenario_free(variant);
    }
    return status;
}

struct event_spec event_at(enum action action, double at)
{
    return (struct event_spec){
        .action = action,
        .timing = TIMING_AT,
        .at = at,
        .after = -1,
        .dose = {.material = -1, .purity = NAN},
        .volume = NAN,
        .to_volume = NAN,
        .temperature_K = NAN,
        .power = NAN,
        .cloth = -1,
    };
}

struct status variant_add_dose(struct scenario *variant, double at, int material, double mass, double below_ph)
{
    if (material < 0 || !(mass > 0.0)) {
        return status_ok();
    }
    struct event_spec event = event_at(ACTION_ADD, at);
    event.dose.material = material;
    event.dose.mass = mass;
    if (below_ph > 0.0) {
        event.instrument = INSTRUMENT_METER;
        event.condition_count = 1;
        event.conditions[0] = (struct condition){.observable = OBSERVE_PH, .comparison = LESS, .value = below_ph};
    }
    return variant_add_event(variant, &event);
}

struct status variant_add_stir(struct scenario *variant, double at)
{
    struct event_spec event = event_at(ACTION_STIR, at);
    event.stir = STIR_GENTLE;
    event.duration = STIR_TIME;
    return variant_add_event(variant, &event);
}

struct status variant_add_event(struct scenario *variant, const struct event_spec *event)
{
    struct event_spec *grown = realloc(variant->events, (variant->event_count + 1) * sizeof *grown);
    if (grown == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left for the calendar of a study");
    }
    variant->events = grown;
    variant->events[variant->event_count++] = *event;
    return status_ok();
}

struct status variant_add_cloth(struct scenario *variant, const struct cloth_kind *kind)
{
    struct cloth_kind *grown = realloc(variant->cloth, (variant->cloth_count + 1) * sizeof *grown);
    if (grown == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left for the cloth of a study");
    }
    variant->cloth = grown;
    variant->cloth[variant->cloth_count++] = *kind;
    return status_ok();
}

static bool is_cloth_work(enum action action)
{
    return action == ACTION_DIP || action == ACTION_RINSE || action == ACTION_SOUR || action == ACTION_WASH;
}

static bool follows_cloth_work(const struct scenario *scenario, const struct event_spec *event)
{
    return event->timing == TIMING_AFTER &&
           (is_cloth_work(event->after_action) ||
            (event->after >= 0 && is_cloth_work(scenario->events[event->after].action)));
}

void variant_clear_dyeing(struct scenario *variant, double end)
{
    for (size_t i = 0; i < variant->event_count; i++) {
        struct event_spec *event = &variant->events[i];
        if (follows_cloth_work(variant, event)) {
            event->delay = NEVER; /* what follows a label of a dip never comes: its dip is gone */
        }
    }
    for (size_t i = 0; i < variant->event_count; i++) {
        struct event_spec *event = &variant->events[i];
        if (is_cloth_work(event->action) || event->delay >= NEVER) {
            *event = event_at(ACTION_READ, NEVER);
        } else if (event->timing == TIMING_EVERY && event->until >= variant->lasts) {
            event->until = end;
        }
    }
}

void variant_clear_work(struct scenario *variant, double from)
{
    for (size_t i = 0; i < variant->event_count; i++) {
        struct event_spec *event = &variant->events[i];
        bool follows_work = event->timing == TIMING_AFTER && event->after < 0 && is_cloth_work(event->after_action);
        if (is_cloth_work(event->action) || follows_work || (event->timing != TIMING_AFTER && event->at >= from)) {
            *event = event_at(ACTION_READ, NEVER);
        } else if (event->timing == TIMING_EVERY) {
            event->until = fmin(event->until, from - 1.0);
        }
    }
}

void variant_read_truly(struct scenario *variant)
{
    static const enum constant_id errors[] = {K_STRIP_NOISE, K_METER_NOISE, K_THERMOMETER_NOISE, K_ORP_NOISE};
    for (size_t i = 0; i < sizeof errors / sizeof errors[0]; i++) {
        struct constant *constant = &variant->model.constants[errors[i]];
        constant->low = constant->nominal = constant->high = 0.0;
    }
}
