/* limits.c: see limits.h. */
#include "study/limits.h"

#include "study/variant.h"

#include <math.h>
#include <string.h>

#define LEAD 3600.0              /* s before the first load: sugar, lime and warmth have an hour to work */
#define MORE_INDIGO 1.25         /* times the indigo */
#define MORE_SUGAR 2.0           /* kg/m3 */
#define MORE_LIME 1.0            /* kg/m3 */
#define HELD_FOR (9.0 * 86400.0) /* s */
#define HOLDING_POWER 20e3       /* W/m3 */
#define SMALL_GAIN 0.005         /* less is no help */

const char *const limit_words[LIMIT_COUNT] = {
    [LIMIT_LEUCO] = "leuco",   [LIMIT_SUGAR] = "sugar",
    [LIMIT_LIME] = "lime",     [LIMIT_TEMPERATURE] = "temperature",
    [LIMIT_AIR] = "air",       [LIMIT_SEDIMENT] = "sediment",
    [LIMIT_VOLUME] = "volume",
};

static void set_constant(struct scenario *variant, enum constant_id id, double value)
{
    struct constant *constant = &variant->model.constants[id];
    constant->low = constant->nominal = constant->high = value;
}

static struct status add_material(struct scenario *variant, const struct work_plan *plan, const char *name, double dose)
{
    for (size_t i = 0; i < variant->model.material_count; i++) {
        if (strcmp(variant->model.materials[i].name, name) == 0) {
            struct event_spec event = event_at(ACTION_ADD, fmax(60.0, plan->begin - LEAD));
            event.dose.material = (int)i;
            event.dose.mass = dose * plan->volume;
            return variant_add_event(variant, &event);
        }
    }
    return status_ok();
}

/* A heater that holds the warmth of the first load to the end. */
static struct status hold_warmth(struct scenario *variant, const struct work_plan *plan)
{
    struct event_spec event = event_at(ACTION_HEAT, fmax(60.0, plan->begin - 60.0));
    event.temperature_K = plan->warmth_K + 0.2;
    event.duration = HELD_FOR;
    event.power = HOLDING_POWER * plan->volume;
    return variant_add_event(variant, &event);
}

static void take_air_away(struct scenario *variant)
{
    static const enum constant_id airs[] = {K_KL_STILL_20C, K_DRIP_AIR, K_STIR_AIR_GENTLE, K_STIR_AIR_BRISK};
    for (size_t i = 0; i < sizeof airs / sizeof airs[0]; i++) {
        set_constant(variant, airs[i], 0.0);
    }
    for (size_t i = 0; i < variant->model.fibre_count; i++) {
        variant->model.fibres[i].air_dry.nominal = 0.0;
        variant->model.fibres[i].air_wetted.nominal = 0.0;
    }
}

/* Takes one want away. What changes the vat's make-up also changes its first dip; shares are of its own first dip. */
static struct status relieve(struct scenario *variant, const struct work_plan *plan, enum limit want)
{
    switch (want) {
    case LIMIT_LEUCO:
        for (size_t i = 0; i < variant->charge_count; i++) {
            struct dose *dose = &variant->charge[i];
            dose->mass *= variant->model.materials[dose->material].indigotin > 0.0 ? MORE_INDIGO : 1.0;
        }
        variant->existing.indigotin *= MORE_INDIGO;
        return status_ok();
    case LIMIT_SUGAR:
        return add_material(variant, plan, "fructose", MORE_SUGAR);
    case LIMIT_LIME:
        return add_material(variant, plan, "slaked lime", MORE_LIME);
    case LIMIT_TEMPERATURE:
        return hold_warmth(variant, plan);
    case LIMIT_AIR:
        take_air_away(variant);
        return status_ok();
    case LIMIT_SEDIMENT:
        set_constant(variant, K_LEUCO_HELD_BY_LIME, 0.0);
        set_constant(variant, K_RESUSPEND_DIP, 0.0);
        return status_ok();
    case LIMIT_VOLUME:
    case LIMIT_COUNT:
        break;
    }
    return status_ok();
}

struct status limit_relieved(const struct scenario *scenario, const struct work_plan *plan, enum limit want,
                             const struct run_options *options, double *share)
{
    struct scenario variant;
    struct work_done done;
    RETURN_IF_FAILED(variant_make(scenario, &variant));
    struct status status = relieve(&variant, plan, want);
    if (status_is_ok(&status)) {
        status = work_run(&variant, plan, options, &done);
    }
    scenario_free(&variant);
    RETURN_IF_FAILED(status);
    double least = INFINITY;
    for (int i = 0; i < done.count; i++) {
        least = fmin(least, done.loads[i].taken);
    }
    double first = done.count > 0 ? done.loads[0].taken : 0.0;
    *share = first > 0.0 ? least / first : 0.0;
    work_free(&done);
    return status_ok();
}

void limit_settle(struct period_capacity *period)
{
    enum limit best = LIMIT_LEUCO;
    for (int want = 0; want < LIMIT_VOLUME; want++) {
        best = period->gain[want] > period->gain[best] + SMALL_GAIN ? (enum limit)want : best;
    }
    period->limit = period->capped ? LIMIT_VOLUME : best;
}
