/* plan_search.c: see plan_search.h. */
#include "study/plan_search.h"

#include "process/species.h"
#include "study/many.h"
#include "study/measures.h"

#include <math.h>
#include <stdlib.h>

#define HOUR 3600.0
#define KELVIN 273.15
#define RUNS_EXPECTED 50 /* plans, for the line of progress */
#define AMOUNTS_MOST 4
#define BATCH_MOST 24
#define GOOD_ENOUGH 8.0 /* h: a plan as cheap as this is not made longer */
#define GAIN_LEAST 0.5  /* h that a correction must be better than leaving the vat alone */
#define ROUNDS 2        /* of varying amounts and order */
#define SLACK HOUR      /* s later than with all steps, or the full dose, that fewer or less may be */
#define SLACK_SHARE 0.25
#define LEAST_SHARE 0.05 /* of a dose: it is made no less */
#define PRUDENCE 0.5 /* share of the sugar that is given at first: how fast it works is the least certain of all */
#define METER_ERROR 0.1 /* two standard errors; common practice, no source */
#define LADDER 4

/* Prices of what is done, in hours one would wait to be spared it; estimates. */
#define PRICE_STEP 0.5
#define PRICE_SUGAR 1.5 /* per kg/m3 */
#define PRICE_LIME 3.0
#define PRICE_ACID 0.3      /* per kg/m3 of vinegar */
#define PRICE_WARM 0.02     /* per K */
#define PRICE_PIGMENT 200.0 /* per unit share of indigo lost: 1 % is worth 2 h */
#define PRICE_NEVER 12.0    /* per unit of shortfall, beyond the time looked at */

/* What is tried: kg/m3 of liquor, K. Practice 2.3: usual doses are 0.5 to 2 g/L of sugar, 0.3 to 1 g/L of lime; a vat far
 * short of lime is seen through only with more, which is given in parts. */
#define LIME_AT_ONCE 1.0
static const int amount_counts[CORRECTION_COUNT] = {
    [CORRECTION_WARM] = 3, [CORRECTION_SUGAR] = 3, [CORRECTION_LIME] = 4, [CORRECTION_ACID] = 3};
static const double amounts[CORRECTION_COUNT][AMOUNTS_MOST] = {
    [CORRECTION_WARM] = {28.0 + KELVIN, 35.0 + KELVIN, 43.0 + KELVIN},
    [CORRECTION_SUGAR] = {0.5, 1.0, 2.0},
    [CORRECTION_LIME] = {0.25, 0.5, 1.0, 2.0},
    [CORRECTION_ACID] = {5.0, 15.0, 40.0},
};

/* ---- trying ------------------------------------------------------------------------------------------------------ */

struct batch {
    struct plan_search *search;
    struct candidate *candidates;
};

static struct status try_one(void *context, size_t index, int worker)
{
    struct batch *batch = context;
    (void)worker;
    size_t vats = (size_t)batch->search->vat_count;
    struct candidate *candidate = &batch->candidates[index / vats];
    return course_run(&batch->search->vats[index % vats], &candidate->plan, &candidate->courses[index % vats]);
}

static double now_K(const struct plan_search *search)
{
    return search->scenario->existing.temperature_K;
}

static bool has_dose(enum correction_kind kind)
{
    return kind == CORRECTION_SUGAR || kind == CORRECTION_LIME || kind == CORRECTION_ACID;
}

static double price(const struct plan_search *search, const struct plan *plan)
{
    static const double per_dose[CORRECTION_COUNT] = {
        [CORRECTION_SUGAR] = PRICE_SUGAR, [CORRECTION_LIME] = PRICE_LIME, [CORRECTION_ACID] = PRICE_ACID};
    double sum = 0.0;
    for (int i = 0; i < plan->count; i++) {
        const struct correction *step = &plan->steps[i];
        sum += PRICE_STEP;
        sum += step->kind == CORRECTION_WARM ? PRICE_WARM * fmax(0.0, step->amount - now_K(search))
                                             : per_dose[step->kind] * step->amount / search->scenario->fill;
    }
    return sum;
}

static double cost_of(const struct course *course)
{
    double time =
        isinf(course->ready_from) ? COURSE_HORIZON / HOUR + PRICE_NEVER * course->shortfall : course->ready_from / HOUR;
    return time + PRICE_PIGMENT * course->lost + course->harm;
}

static void weigh(const struct plan_search *search, struct candidate *candidate)
{
    candidate->cost = price(search, &candidate->plan);
    candidate->soonest = INFINITY;
    candidate->latest = 0.0;
    for (int i = 0; i < search->vat_count; i++) {
        const struct course *course = &candidate->courses[i];
        candidate->cost += cost_of(course) / search->vat_count;
        candidate->soonest = fmin(candidate->soonest, course->ready_from);
        candidate->latest = fmax(candidate->latest, course->ready_from);
    }
}

struct status plans_try(struct plan_search *search, struct candidate *candidates, int count)
{
    struct batch batch = {search, candidates};
    struct many many = {.count = (size_t)(count * search->vat_count),
                        .threads = search->threads,
                        .context = &batch,
                        .work = try_one,
                        .stop = search->stop};
    if (count == 0) {
        return status_ok();
    }
    RETURN_IF_FAILED(many_run(&many, NULL));
    search->runs += count * search->vat_count;
    for (int i = 0; i < count; i++) {
        weigh(search, &candidates[i]);
    }
    if (search->progress != NULL) {
        search->progress(search->progress_context,
                         fmin(1.0, (double)search->runs / (RUNS_EXPECTED * search->vat_count)));
    }
    return status_ok();
}

/* ---- what is tried ------------------------------------------------------------------------------------------------ */

/* Rest after a correction at a temperature, s: practice 2.3 and 3.2 (sugar shows in 15 to 60 min warm, 2 to 8 h cool, longer
 * cold; lime in minutes, but the cloud that stirring raises settles in 30 to 180 min). */
static double rest_after(enum correction_kind kind, double temperature_K)
{
    switch (kind) {
    case CORRECTION_SUGAR:
    case CORRECTION_COVER:
        return HOUR * fmin(12.0, fmax(1.0, exp2((45.0 + KELVIN - temperature_K) / 10.0)));
    case CORRECTION_WARM:
    case CORRECTION_LIME:
    case CORRECTION_ACID:
    case CORRECTION_STIR:
        return 2.0 * HOUR;
    case CORRECTION_WAIT:
    case CORRECTION_COUNT:
        break;
    }
    return 12.0 * HOUR;
}

/* Gives every step the rest that its temperature asks for. */
static void set_rests(const struct plan_search *search, struct plan *plan)
{
    double temperature_K = now_K(search);
    for (int i = 0; i < plan->count; i++) {
        struct correction *step = &plan->steps[i];
        temperature_K = step->kind == CORRECTION_WARM ? step->amount : temperature_K;
        step->rest = rest_after(step->kind, temperature_K);
    }
}

static bool can_be_done(const struct plan_search *search, enum correction_kind kind)
{
    struct remedies remedies = remedies_of(search->scenario);
    return (kind != CORRECTION_SUGAR || remedies.sugar >= 0) && (kind != CORRECTION_LIME || remedies.lime >= 0) &&
           (kind != CORRECTION_ACID || remedies.acid >= 0) &&
           (kind != CORRECTION_COVER || search->scenario->vessel.lid != LID_TIGHT);
}

static double amount_at(const struct plan_search *search, enum correction_kind kind, int i)
{
    return has_dose(kind) ? mass_rounded(amounts[kind][i] * search->scenario->fill) : amounts[kind][i];
}

static bool amount_fits(const struct plan_search *search, enum correction_kind kind, double amount)
{
    if (kind == CORRECTION_WARM) {
        return amount > now_K(search) + 3.0;
    }
    return kind != CORRECTION_ACID || 1e-3 * amount < vessel_room(search->scenario);
}

static bool has_step(const struct plan *plan, enum correction_kind kind)
{
    for (int i = 0; i < plan->count; i++) {
        if (plan->steps[i].kind == kind) {
            return true;
        }
    }
    return false;
}

/* A dose is stirred in anyway: a stir just before one is no step of its own. */
static bool stirs_twice(const struct plan *plan)
{
    for (int i = 0; i + 1 < plan->count; i++) {
        if (plan->steps[i].kind == CORRECTION_STIR && has_dose(plan->steps[i + 1].kind)) {
            return true;
        }
    }
    return false;
}

/* Adds the plan with one more step at the end, in each amount, or in the usual one only. */
static void extend(const struct plan_search *search, const struct plan *plan, bool all_amounts, struct candidate *batch,
                   int *count)
{
    for (enum correction_kind kind = CORRECTION_WARM; kind < CORRECTION_COUNT; kind++) {
        bool one = kind == CORRECTION_STIR || kind == CORRECTION_COVER;
        int first = all_amounts || one ? 0 : 1;
        int last = one ? 0 : all_amounts ? amount_counts[kind] - 1 : 1;
        if (!can_be_done(search, kind) || has_step(plan, kind) || plan->count == PLAN_STEPS_MOST) {
            continue;
        }
        for (int i = first; i <= last && *count < BATCH_MOST; i++) {
            double amount = amount_at(search, kind, i);
            if (one || amount_fits(search, kind, amount)) {
                struct candidate *next = &batch[(*count)++];
                next->plan = *plan;
                next->plan.steps[next->plan.count++] = (struct correction){kind, amount, 0.0};
                set_rests(search, &next->plan);
                *count -= stirs_twice(&next->plan) ? 1 : 0;
            }
        }
    }
}

/* The `most` cheapest of different kinds of last steps, best first; returns how many. */
static int pick(const struct candidate *batch, int count, int most, struct candidate *picked)
{
    bool taken[BATCH_MOST] = {false};
    int kept = 0;
    while (kept < most) {
        int best = -1;
        for (int i = 0; i < count; i++) {
            best = !taken[i] && (best < 0 || batch[i].cost < batch[best].cost) ? i : best;
        }
        if (best < 0) {
            break;
        }
        picked[kept++] = batch[best];
        const struct plan *chosen = &batch[best].plan;
        for (int i = 0; i < count; i++) {
            const struct plan *other = &batch[i].plan;
            bool same = other->count == chosen->count;
            for (int j = 0; same && j < chosen->count; j++) {
                same = has_step(other, chosen->steps[j].kind);
            }
            taken[i] = taken[i] || same;
        }
    }
    return kept;
}

/* ---- making the best better --------------------------------------------------------------------------------------- */

static void keep_cheapest(const struct candidate *batch, int count, struct candidate *best)
{
    for (int i = 0; i < count; i++) {
        if (batch[i].cost < best->cost) {
            *best = batch[i];
        }
    }
}

/* The plan with the amount of one step a size smaller or larger, and with two neighbours in the other order. */
static int vary(const struct plan_search *search, const struct plan *plan, struct candidate *batch)
{
    int count = 0;
    for (int i = 0; i < plan->count; i++) {
        enum correction_kind kind = plan->steps[i].kind;
        for (int j = 0; j < amount_counts[kind]; j++) {
            double amount = amount_at(search, kind, j);
            if (fabs(amount - plan->steps[i].amount) > 1e-9 && amount_fits(search, kind, amount)) {
                batch[count].plan = *plan;
                batch[count].plan.steps[i].amount = amount;
                set_rests(search, &batch[count++].plan);
            }
        }
        if (i + 1 < plan->count) {
            batch[count].plan = *plan;
            batch[count].plan.steps[i] = plan->steps[i + 1];
            batch[count].plan.steps[i + 1] = plan->steps[i];
            set_rests(search, &batch[count].plan);
            count += stirs_twice(&batch[count].plan) ? 0 : 1;
        }
    }
    return count;
}

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
        set_rests(search, less);
    }
    for (int i = 0; i < plan->count; i++) {
        if (has_dose(plan->steps[i].kind) && !has_step(plan, CORRECTION_STIR)) {
            struct plan *less = &batch[count++].plan;
            *less = *plan;
            less->steps[i] = (struct correction){CORRECTION_STIR, 0.0, 0.0};
            set_rests(search, less);
            count -= stirs_twice(less) ? 1 : 0;
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
    set_rests(search, plan);
    RETURN_IF_FAILED(plans_try(search, batch, 1));
    if (does_as_well(&batch[0], best)) {
        *best = batch[0];
    }
    return status_ok();
}

/* What of the first dose is given at first. Of the sugar that is to raise leuco a part; of lime no more
 * than is usual at once; and the least usual dose, of sugar or
 * acid, when all it is for is a pH so little too high that a meter's error may be all there is to it. */
static double given_first(const struct plan_search *search, const struct candidate *nothing, const struct plan *plan)
{
    const struct correction *step = &plan->steps[0];
    const struct course_point *now = &nothing->courses[search->vat_count - 1].points[0]; /* of the richest vat */
    double usable = search->scenario->model.constants[K_USABLE_LEUCO].nominal * MOLAR_INDIGOTIN;
    double least = amount_at(search, step->kind, 0);
    bool short_of_leuco = now->leuco < usable;
    double excess = ph_at_25C(now->ph, now->temperature + KELVIN) - COURSE_PH_MOST_25C;
    if (short_of_leuco && step->kind == CORRECTION_SUGAR) {
        return mass_rounded(PRUDENCE * step->amount);
    }
    if (step->kind == CORRECTION_LIME) {
        return fmin(step->amount, mass_rounded(LIME_AT_ONCE * search->scenario->fill));
    }
    bool for_ph = !short_of_leuco && (step->kind == CORRECTION_SUGAR || step->kind == CORRECTION_ACID);
    return for_ph && excess < METER_ERROR ? fmin(step->amount, least) : step->amount;
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

/* Warmth, sugar and lime in every order, in usual and in full amounts: a vat that wants all three shows little for any one. */
static int offer_threefold(const struct plan_search *search, struct candidate *batch)
{
    static const enum correction_kind orders[6][3] = {{CORRECTION_WARM, CORRECTION_SUGAR, CORRECTION_LIME},
                                                      {CORRECTION_WARM, CORRECTION_LIME, CORRECTION_SUGAR},
                                                      {CORRECTION_SUGAR, CORRECTION_WARM, CORRECTION_LIME},
                                                      {CORRECTION_SUGAR, CORRECTION_LIME, CORRECTION_WARM},
                                                      {CORRECTION_LIME, CORRECTION_WARM, CORRECTION_SUGAR},
                                                      {CORRECTION_LIME, CORRECTION_SUGAR, CORRECTION_WARM}};
    int count = 0;
    for (int i = 0; i < 12; i++) {
        struct plan *plan = &batch[count].plan;
        *plan = (struct plan){.count = 0};
        for (int j = 0; j < 3; j++) {
            enum correction_kind kind = orders[i % 6][j];
            double amount = amount_at(search, kind, i < 6 ? 1 : amount_counts[kind] - 1);
            if (can_be_done(search, kind) && amount_fits(search, kind, amount)) {
                plan->steps[plan->count++] = (struct correction){kind, amount, 0.0};
            }
        }
        set_rests(search, plan);
        count += plan->count > 0 ? 1 : 0;
    }
    return count;
}

static struct status find(struct plan_search *search, const struct candidate *nothing, struct candidate *batch,
                          struct candidate *best)
{
    static const int beams[PLAN_STEPS_MOST] = {1, 3, 2};
    struct candidate *beam = batch + BATCH_MOST;
    int kept = 1;
    beam[0] = *nothing;
    *best = *nothing;
    best->cost -= GAIN_LEAST;
    for (int length = 0; length < PLAN_STEPS_MOST && best->cost > GOOD_ENOUGH; length++) {
        int count = 0;
        for (int i = 0; i < kept && i < beams[length]; i++) {
            extend(search, &beam[i].plan, length == 0, batch, &count);
        }
        RETURN_IF_FAILED(plans_try(search, batch, count));
        kept = pick(batch, count, beams[1], beam);
        keep_cheapest(batch, count, best);
    }
    if (isinf(best->soonest)) {
        int count = offer_threefold(search, batch);
        RETURN_IF_FAILED(plans_try(search, batch, count));
        keep_cheapest(batch, count, best);
    }
    for (int round = 0; round < ROUNDS && best->plan.count > 0; round++) {
        double before = best->cost;
        int count = vary(search, &best->plan, batch);
        RETURN_IF_FAILED(plans_try(search, batch, count));
        keep_cheapest(batch, count, best);
        if (!(best->cost < before)) {
            break;
        }
    }
    RETURN_IF_FAILED(drop_needless(search, batch, best));
    RETURN_IF_FAILED(warm_first(search, batch, best));
    if (best->plan.count > 0 && has_dose(best->plan.steps[0].kind) && !isinf(best->soonest)) {
        RETURN_IF_FAILED(shrink_first(search, batch, best));
    }
    return best->plan.count > 0 ? hold_back(search, nothing, batch, best) : status_ok();
}

struct status plan_find(struct plan_search *search, const struct candidate *nothing, struct candidate *best)
{
    struct candidate *batch = calloc(BATCH_MOST + PLAN_STEPS_MOST, sizeof *batch);
    if (batch == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to look for a plan");
    }
    struct status status = find(search, nothing, batch, best);
    free(batch);
    return status;
}
