/* workshop_plans.c: other plans of a workshop: larger vats, made at another time, fed otherwise. Part of workshop.h. */
#include "study/workshop.h"

#include "study/course.h"
#include "study/variant.h"
#include "study/work.h"

#include <math.h>
#include <string.h>

#define NEVER 1e12 /* s */

void workshop_resize(struct scenario *variant, double factor)
{
    double longer = cbrt(factor);
    struct vessel *vessel = &variant->vessel;
    vessel->diameter *= longer;
    vessel->length *= longer;
    vessel->width *= longer;
    vessel->depth *= longer;
    vessel->heater_power *= factor;
    variant->fill *= factor;
    struct existing_vat *existing = &variant->existing;
    double *const amounts[] = {&existing->indigotin, &existing->hexose, &existing->lime_solid,
                               &existing->chalk,     &existing->acid,   &existing->residue};
    for (size_t i = 0; i < sizeof amounts / sizeof amounts[0]; i++) {
        *amounts[i] *= factor;
    }
    for (size_t i = 0; i < variant->charge_count; i++) {
        variant->charge[i].mass *= factor;
    }
    for (size_t i = 0; i < variant->event_count; i++) {
        struct event_spec *event = &variant->events[i];
        event->dose.mass *= factor;
        event->volume *= factor;
        event->to_volume *= factor;
        event->power *= factor;
        for (int c = 0; c < event->condition_count; c++) {
            event->conditions[c].value *= event->conditions[c].observable == OBSERVE_LEVEL ? factor : 1.0;
        }
    }
}

/* ---- made at another time ----------------------------------------------------------------------------------------- */

static void move_event(struct event_spec *event, double shift)
{
    if (event->timing == TIMING_AFTER || event->at < WORKSHOP_MAKING) {
        return;
    }
    event->at -= shift;
    event->until -= shift;
    if (event->timing == TIMING_EVERY && event->at < 0.0) {
        event->at += ceil(-event->at / event->every) * event->every;
    }
    if (event->at < 0.0) {
        *event = event_at(ACTION_READ, NEVER); /* it was before the vat is made */
    }
}

void workshop_make_before(struct scenario *variant, double lead)
{
    struct workshop *shop = &variant->workshop;
    double shift = shop->opens - lead;
    variant->start_unix += shift;
    variant->lasts -= shift;
    shop->opens -= shift;
    shop->closes -= shift;
    for (int i = 0; i < shop->arrival_count; i++) {
        shop->arrivals[i].at = fmax(0.0, shop->arrivals[i].at - shift);
    }
    for (int i = 0; i < shop->break_count; i++) {
        shop->breaks[i].at -= shift;
    }
    for (size_t i = 0; i < variant->event_count; i++) {
        move_event(&variant->events[i], shift);
    }
}

/* ---- fed otherwise ------------------------------------------------------------------------------------------------ */

static struct status feed_at(struct scenario *variant, double at)
{
    const struct remedies remedies = remedies_of(variant);
    RETURN_IF_FAILED(variant_add_dose(variant, at, remedies.sugar, WORK_SUGAR * variant->fill, 0.0));
    RETURN_IF_FAILED(variant_add_dose(variant, at, remedies.lime, WORK_LIME * variant->fill, WORK_LIME_PH));
    return variant_add_stir(variant, at + 60.0);
}

struct status workshop_feed(struct scenario *variant, enum feeding when)
{
    const struct workshop *shop = &variant->workshop;
    for (size_t i = 0; i < variant->event_count && when != FEED_AS_WRITTEN; i++) {
        struct event_spec *event = &variant->events[i];
        bool feeds = event->action == ACTION_ADD || event->action == ACTION_STIR;
        if (feeds && (event->timing == TIMING_AFTER || (event->at >= shop->opens && event->at <= shop->closes))) {
            *event = event_at(ACTION_READ, NEVER);
        }
    }
    for (int i = 0; i < shop->break_count && when == FEED_BREAKS; i++) {
        RETURN_IF_FAILED(feed_at(variant, shop->breaks[i].at + 60.0));
    }
    return when == FEED_MIDDLE ? feed_at(variant, 0.5 * (shop->opens + shop->closes)) : status_ok();
}
