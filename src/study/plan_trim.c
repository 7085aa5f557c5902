/* plan_trim.c: see plan_trim.h. Less is better: what is in cannot be taken out, and what is wanting shows at the next reading. */
#include "study/plan_trim.h"

#include "process/species.h"
#include "study/measures.h"

#include <math.h>

#define HOUR 3600.0
#define SLACK HOUR /* s later than with all steps, or the full dose, that fewer or less may be */
#define SLACK_SHARE 0.25
#define LEAST_SHARE 0.05 /* of a dose: it is made no less */
#define PRUDENCE 0.5     /* share of the sugar that is given at first: how fast it works is the least certain of all */
#define TRIFLE 0.2       /* of the least usual dose */
#define LADDER 4
#define LIME_AT_ONCE 1.0

/* Whether less does about as well: judged by the vat that needs least, since what is then still wanting shows at the next
 * reading. */
static bool does_as_well(const struct candidate *less, const struct candidate *full)
{
    return isinf(full->soonest) ? less->cost <= full->cost
                                : less->soonest <= full->soonest + fmax(SLACK, SLACK_SHARE * full->soonest);
}

/* The plan without each of its steps, and with a stir in place of each dose. */
static int simplify(const struct plan_search *search, const struct plan *plan, struct candidate *batch)
{
    int count = 0;
    for (int i = 0; i < plan->count; i++) {
        struct plan *less = &batch[count++].plan;
        *less = *plan;
        less->count--;
        for (int j = i; j < less->count; j++) {
            less->steps[j] = plan->steps[j + 1];
        }
        plan_set_rests(search, less);
    }
    for (int i = 0; i < plan->count; i++) {
        if (correction_has_dose(plan->steps[i].kind) && !plan_has_step(plan, CORRECTION_STIR)) {
            struct plan *less = &batch[count++].plan;
            *less = *plan;
            less->steps[i] = (struct correction){CORRECTION_STIR, 0.0, 0.0};
            plan_set_rests(search, less);
            count -= plan_stirs_twice(less) ? 1 : 0;
        }
    }
    return count;
}

/* Leaves out steps without which the vat does about as well. */
static struct status drop_needless(struct plan_search *search, struct candidate *batch, struct candidate *best)
{
    bool dropped = true;
    while (dropped && best->plan.count > 0) {
        int count = simplify(search, &best->plan, batch);
        RETURN_IF_FAILED(plans_try(search, batch, count));
        dropped = false;
        int chosen = -1;
        for (int i = 0; i < count; i++) {
            if (does_as_well(&batch[i], best) && (chosen < 0 || batch[i].cost < batch[chosen].cost)) {
                chosen = i;
            }
        }
        if (chosen >= 0) {
            *best = batch[chosen];
            dropped = true;
        }
    }
    return status_ok();
}

/* Shares of the dose between two, evenly by their logarithms. */
static void set_doses(const struct candidate *best, double full, double low, double high, struct candidate *batch)
{
    for (int i = 0; i < LADDER; i++) {
        double share = low * pow(high / low, (i + 0.5) / LADDER);
        batch[i].plan = best->plan;
        batch[i].plan.steps[0].amount = mass_rounded(share * full);
    }
}

static struct status shrink_first(struct plan_search *search, struct candidate *batch, struct candidate *best)
{
    const struct candidate whole = *best;
    const double full = best->plan.steps[0].amount;
    double low = LEAST_SHARE;
    double high = 1.0;
    for (int round = 0; round < 2 && high > 1.1 * low; round++) {
        set_doses(best, full, low, high, batch);
        double rung = pow(high / low, 1.0 / LADDER);
        RETURN_IF_FAILED(plans_try(search, batch, LADDER));
        int least = LADDER;
        while (least > 0 && does_as_well(&batch[least - 1], &whole)) {
            least--;
        }
        if (least < LADDER) {
            *best = batch[least];
            high = batch[least].plan.steps[0].amount / full;
        }
        low = fmax(low, high / rung);
    }
    return status_ok();
}

/* A dose too small to matter is none: the step is left out, or is the stir that comes with it. */
static struct status drop_trifle(struct plan_search *search, struct candidate *batch, struct candidate *best)
{
    const struct correction *step = &best->plan.steps[0];
    if (step->amount >= TRIFLE * correction_amount(search, step->kind, 0)) {
        return status_ok();
    }
    struct plan *less = &batch[0].plan;
    *less = best->plan;
    if (less->count == 1) {
        less->steps[0] = (struct correction){CORRECTION_STIR, 0.0, 0.0};
    } else {
        less->count--;
        for (int i = 0; i < less->count; i++) {
            less->steps[i] = best->plan.steps[i + 1];
        }
    }
    plan_set_rests(search, less);
    RETURN_IF_FAILED(plans_try(search, batch, 1));
    *best = batch[0];
    return status_ok();
}

/* Warmth first where that does about as well: it can be had back, and what is given to a warm vat shows sooner. */
static struct status warm_first(struct plan_search *search, struct candidate *batch, struct candidate *best)
{
    int at = 0;
    while (at < best->plan.count && best->plan.steps[at].kind != CORRECTION_WARM) {
        at++;
    }
    if (at == 0 || at == best->plan.count) {
        return status_ok();
    }
    struct plan *plan = &batch[0].plan;
    *plan = best->plan;
    for (int i = at; i > 0; i--) {
        plan->steps[i] = best->plan.steps[i - 1];
    }
    plan->steps[0] = best->plan.steps[at];
    plan_set_rests(search, plan);
    RETURN_IF_FAILED(plans_try(search, batch, 1));
    if (does_as_well(&batch[0], best)) {
        *best = batch[0];
    }
    return status_ok();
}

/* What of the first dose is given at first. Of sugar that is to raise leuco a part; of lime no more than is usual at once;
 * of sugar or acid for a pH too high the least usual dose, since lime keeps that pH within a meter's error of the limit,
 * so that the reading does not tell how much is wanted. */
static double given_first(const struct plan_search *search, const struct candidate *nothing, const struct plan *plan)
{
    const struct correction *step = &plan->steps[0];
    const struct course_point *now = &nothing->courses[search->vat_count - 1].points[0]; /* of the richest vat */
    double usable = search->scenario->model.constants[K_USABLE_LEUCO].nominal * MOLAR_INDIGOTIN;
    bool short_of_leuco = now->leuco < usable;
    if (step->kind == CORRECTION_LIME) {
        return fmin(step->amount, mass_rounded(LIME_AT_ONCE * search->scenario->fill));
    }
    if (step->kind == CORRECTION_SUGAR && short_of_leuco) {
        return mass_rounded(PRUDENCE * step->amount);
    }
    bool for_ph = !short_of_leuco && (step->kind == CORRECTION_SUGAR || step->kind == CORRECTION_ACID);
    return for_ph ? fmin(step->amount, correction_amount(search, step->kind, 0)) : step->amount;
}

static struct status hold_back(struct plan_search *search, const struct candidate *nothing, struct candidate *batch,
                               struct candidate *best)
{
    double amount = given_first(search, nothing, &best->plan);
    if (amount < best->plan.steps[0].amount) {
        batch[0].plan = best->plan;
        batch[0].plan.steps[0].amount = amount;
        RETURN_IF_FAILED(plans_try(search, batch, 1));
        batch[0].whole = best->plan.steps[0].amount;
        batch[0].whole_soonest = best->soonest;
        batch[0].whole_latest = best->latest;
        *best = batch[0];
    }
    return status_ok();
}

struct status plan_trim(struct plan_search *search, const struct candidate *nothing, struct candidate *batch,
                        struct candidate *best)
{
    RETURN_IF_FAILED(drop_needless(search, batch, best));
    RETURN_IF_FAILED(warm_first(search, batch, best));
    if (best->plan.count > 0 && correction_has_dose(best->plan.steps[0].kind) && !isinf(best->soonest)) {
        RETURN_IF_FAILED(shrink_first(search, batch, best));
        RETURN_IF_FAILED(drop_trifle(search, batch, best));
    }
    return best->plan.count > 0 ? hold_back(search, nothing, batch, best) : status_ok();
}
