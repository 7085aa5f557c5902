/* advise.c: see advise.h. */
#include "study/advise.h"

#include "process/registry.h"
#include "process/species.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define HOUR 3600.0
#define LOOK_LEAST (2.0 * HOUR)    /* in which a stirred vat settles and one left alone shows which way it goes */
#define LOOK_SHARE 1.25            /* of the time hoped for */
#define LOOK_LONGEST (12.0 * HOUR) /* a vat in trouble is looked at twice a day */

/* What the answer is made in; large, so not on the stack. */
struct desk {
    struct plan_search search;
    struct scenario trusted; /* without the readings that cannot be; borrows all from the scenario */
    struct scenario vats[BELIEFS_MOST];
    struct candidate nothing, best, swapped;
};

static double up_to_half_hours(double time)
{
    return ceil(time / (0.5 * HOUR) - 1e-9) * 0.5 * HOUR;
}

/* A vat that is to be ready within hours is looked at then; else after the rest. */
static double time_to_look(const struct candidate *best)
{
    double rest = best->plan.count > 0 ? best->plan.steps[0].rest : LOOK_LONGEST;
    if (best->plan.count > 1 || isinf(best->soonest)) {
        return fmin(LOOK_LONGEST, rest);
    }
    if (best->whole > 0.0 && !isinf(best->whole_soonest)) { /* to see whether it wants the rest */
        return fmin(LOOK_LONGEST, fmax(LOOK_LEAST, best->whole_soonest));
    }
    bool warmed = best->plan.count > 0 && best->plan.steps[0].kind == CORRECTION_WARM;
    bool ready = best->plan.count == 0 && best->latest <= 0.0;
    double least = warmed || ready ? 0.0 : LOOK_LEAST;
    return fmin(LOOK_LONGEST, fmax(least, fmin(best->latest, LOOK_SHARE * best->soonest)));
}

static void say_when(const struct candidate *best, struct advice *advice)
{
    double latest = isinf(advice->ready_latest) ? COURSE_HORIZON : advice->ready_latest;
    advice->look_again = fmax(0.5 * HOUR, up_to_half_hours(time_to_look(best)));
    advice->give_up = up_to_half_hours(fmax(2.0 * advice->look_again, 1.5 * latest));
}

static bool any_spent(const struct candidate *candidate, int count)
{
    for (int i = 0; i < count; i++) {
        if (candidate->courses[i].indigo_spent) {
            return true;
        }
    }
    return false;
}

static enum advice_verdict judge(const struct desk *desk)
{
    const struct candidate *best = &desk->best;
    if (desk->nothing.latest <= 0.0) {
        return ADVICE_DYE;
    }
    if (isinf(best->soonest) && any_spent(best, desk->search.vat_count)) {
        return ADVICE_INDIGO;
    }
    if (best->plan.count == 0) {
        return isinf(best->soonest) ? ADVICE_LOST : ADVICE_WAIT;
    }
    return isinf(best->whole > 0.0 ? best->whole_soonest : best->soonest) ? ADVICE_NEARER : ADVICE_CORRECT;
}

static struct status try_other_order(struct desk *desk, struct advice *advice)
{
    const struct plan *plan = &desk->best.plan;
    int sugar = -1;
    int lime = -1;
    for (int i = 0; i < plan->count; i++) {
        sugar = plan->steps[i].kind == CORRECTION_SUGAR ? i : sugar;
        lime = plan->steps[i].kind == CORRECTION_LIME ? i : lime;
    }
    if (sugar < 0 || lime < 0) {
        return status_ok();
    }
    desk->swapped.plan = *plan;
    desk->swapped.plan.steps[sugar] = plan->steps[lime];
    desk->swapped.plan.steps[lime] = plan->steps[sugar];
    RETURN_IF_FAILED(plans_try(&desk->search, &desk->swapped, 1));
    if (desk->swapped.cost < desk->best.cost && !(desk->best.whole > 0.0)) {
        struct candidate other = desk->best;
        desk->best = desk->swapped;
        desk->swapped = other;
    }
    advice->swapped = true;
    advice->swapped_ready = desk->swapped.soonest;
    return status_ok();
}

/* The belief under which the plan is soonest ready, else nearest to it. */
static int likeliest(const struct desk *desk)
{
    int best = 0;
    for (int i = 1; i < desk->search.vat_count; i++) {
        const struct course *one = &desk->best.courses[best];
        const struct course *other = &desk->best.courses[i];
        bool nearer = isinf(one->ready_from) ? !isinf(other->ready_from) || other->shortfall < one->shortfall
                                             : other->ready_from < one->ready_from;
        best = nearer ? i : best;
    }
    return best;
}

static struct status work_out(struct desk *desk, struct advice *advice)
{
    RETURN_IF_FAILED(plans_try(&desk->search, &desk->nothing, 1));
    desk->best = desk->nothing;
    if (desk->nothing.latest > 0.0) {
        RETURN_IF_FAILED(plan_find(&desk->search, &desk->nothing, &desk->best));
    }
    RETURN_IF_FAILED(try_other_order(desk, advice));
    advice->verdict = judge(desk);
    if (advice->verdict == ADVICE_INDIGO) { /* what little was found to do is no answer */
        desk->best = desk->nothing;
        advice->swapped = false;
    }
    advice->plan = desk->best.plan;
    advice->told = likeliest(desk);
    advice->nothing = desk->nothing.courses[advice->told];
    advice->followed = desk->best.courses[advice->told];
    advice->whole = desk->best.whole;
    advice->ready_soonest = advice->whole > 0.0 ? desk->best.whole_soonest : desk->best.soonest;
    advice->ready_latest = advice->whole > 0.0 ? desk->best.whole_latest : desk->best.latest;
    advice->nothing_soonest = desk->nothing.soonest;
    advice->nothing_latest = desk->nothing.latest;
    say_when(&desk->best, advice);
    advice->runs = desk->search.runs;
    return status_ok();
}

/* Leaves out what cannot be, and lays out the vats that the rest may describe. */
static struct status read_vat(const struct scenario *scenario, struct desk *desk, struct advice *advice)
{
    desk->trusted = *scenario;
    desk->trusted.scenario_text = NULL;
    desk->trusted.model.model_text = NULL;
    advice->suspect_count = readings_suspect(scenario, advice->suspects);
    for (int i = 0; i < advice->suspect_count; i++) {
        advice->ph_left_out = advice->ph_left_out || advice->suspects[i].is_ph;
    }
    if (advice->ph_left_out) {
        desk->trusted.existing.ph = NAN;
    }
    bool too_blue;
    double leuco;
    RETURN_IF_FAILED(readings_strip(&desk->trusted, &leuco, &too_blue));
    if (too_blue) {
        advice->suspect_count = readings_suspect_strip(advice->suspects, advice->suspect_count);
    }
    advice->leuco = leuco * MOLAR_INDIGOTIN / scenario->fill;
    advice->belief_count = readings_believe(&desk->trusted, leuco, advice->beliefs);
    for (int i = 0; i < advice->belief_count; i++) {
        desk->vats[i] = desk->trusted;
        desk->vats[i].existing = existing_under(&desk->trusted, &advice->beliefs[i]);
    }
    return status_ok();
}

static bool ferments(const struct model *model)
{
    for (size_t i = 0; i < process_count(); i++) {
        if (model->process_on[i] && strcmp(process_at(i)->name, "ferment_growth") == 0) {
            return true;
        }
    }
    return false;
}

struct status advise(const struct scenario *scenario, const struct advise_options *options, struct advice *advice)
{
    *advice = (struct advice){.verdict = ADVICE_LOST, .leuco = NAN};
    if (!scenario->existing.exists) {
        return status_fail(STATUS_SCENARIO,
                           "'%.200s' makes a fresh vat; advice needs one that lives already: its readings in "
                           "vat.existing instead of the charge",
                           scenario->path);
    }
    if (ferments(&scenario->model)) {
        return status_fail(STATUS_SCENARIO,
                           "'%.200s' is a fermented vat; advice is for vats of lime and sugar, whose corrections act "
                           "within hours",
                           scenario->path);
    }
    struct desk *desk = calloc(1, sizeof *desk);
    if (desk == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left for advice");
    }
    struct status status = read_vat(scenario, desk, advice);
    desk->search =
        (struct plan_search){.scenario = &desk->trusted, .vats = desk->vats, .vat_count = advice->belief_count};
    if (options != NULL) {
        desk->search.threads = options->threads;
        desk->search.progress = options->progress;
        desk->search.progress_context = options->progress_context;
        desk->search.stop = options->stop;
    }
    if (status_is_ok(&status)) {
        status = work_out(desk, advice);
    }
    free(desk);
    return status;
}
