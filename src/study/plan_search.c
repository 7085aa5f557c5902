/* plan_search.c: see plan_search.h. */
#include "study/plan_search.h"

#include "chem/physics.h"
#include "process/species.h"
#include "study/many.h"
#include "study/measures.h"
#include "study/plan_trim.h"

#include <math.h>
#include <stdlib.h>

#define HOUR 3600.0
#define RUNS_EXPECTED 50 /* plans, for the line of progress */
#define AMOUNTS_MOST 4
#define BATCH_MOST 24
#define GOOD_ENOUGH 8.0 /* h: a plan as cheap as this is not made longer */
#define GAIN_LEAST 0.5  /* h that a correction must be better than leaving the vat alone */
#define ROUNDS 2        /* of varying amounts and order */

/* Prices of what is done, in hours one would wait to be spared it; estimates. */
#define PRICE_STEP 0.5
#define PRICE_SUGAR 1.5 /* per kg/m3 */
#define PRICE_LIME 3.0
#define PRICE_ACID 0.6      /* per kg/m3 of vinegar: unlike sugar, it is of no other use to the vat */
#define PRICE_WARM 0.02     /* per K */
#define PRICE_PIGMENT 200.0 /* per unit share of indigo lost: 1 % is worth 2 h */
#define PRICE_NEVER 12.0    /* per unit of shortfall, beyond the time looked at */

/* What is tried: kg/m3 of liquor, K. Practice 2.3: usual doses are 0.5 to 2 g/L of sugar, 0.3 to 1 g/L of lime; a vat far
 * short of lime is seen through only with more, which is given in parts. */
static const int amount_counts[CORRECTION_COUNT] = {
    [CORRECTION_WARM] = 3, [CORRECTION_SUGAR] = 3, [CORRECTION_LIME] = 4, [CORRECTION_ACID] = 3};
static const double amounts[CORRECTION_COUNT][AMOUNTS_MOST] = {
    [CORRECTION_WARM] = {28.0 + CELSIUS_ZERO, 35.0 + CELSIUS_ZERO, 43.0 + CELSIUS_ZERO},
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

bool correction_has_dose(enum correction_kind kind)
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
        return HOUR * fmin(12.0, fmax(1.0, exp2((45.0 + CELSIUS_ZERO - temperature_K) / 10.0)));
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
void plan_set_rests(const struct plan_search *search, struct plan *plan)
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

double correction_amount(const struct plan_search *search, enum correction_kind kind, int i)
{
    return correction_has_dose(kind) ? mass_rounded(amounts[kind][i] * search->scenario->fill) : amounts[kind][i];
}

static bool amount_fits(const struct plan_search *search, enum correction_kind kind, double amount)
{
    if (kind == CORRECTION_WARM) {
        return amount > now_K(search) + 3.0;
    }
    return kind != CORRECTION_ACID || 1e-3 * amount < vessel_room(search->scenario);
}

bool plan_has_step(const struct plan *plan, enum correction_kind kind)
{
    for (int i = 0; i < plan->count; i++) {
        if (plan->steps[i].kind == kind) {
            return true;
        }
    }
    return false;
}

/* A dose is stirred in anyway: a stir just before one is no step of its own. */
bool plan_stirs_twice(const struct plan *plan)
{
    for (int i = 0; i + 1 < plan->count; i++) {
        if (plan->steps[i].kind == CORRECTION_STIR && correction_has_dose(plan->steps[i + 1].kind)) {
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
        if (!can_be_done(search, kind) || plan_has_step(plan, kind) || plan->count == PLAN_STEPS_MOST) {
            continue;
        }
        for (int i = first; i <= last && *count < BATCH_MOST; i++) {
            double amount = correction_amount(search, kind, i);
            if (one || amount_fits(search, kind, amount)) {
                struct candidate *next = &batch[(*count)++];
                next->plan = *plan;
                next->plan.steps[next->plan.count++] = (struct correction){kind, amount, 0.0};
                plan_set_rests(search, &next->plan);
                *count -= plan_stirs_twice(&next->plan) ? 1 : 0;
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
                same = plan_has_step(other, chosen->steps[j].kind);
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
        /* NOLINTNEXTLINE(clang-analyzer-core.UndefinedBinaryOperatorResult): there is a count for each kind */
        for (int j = 0; j < amount_counts[kind]; j++) {
            double amount = correction_amount(search, kind, j);
            if (fabs(amount - plan->steps[i].amount) > 1e-9 && amount_fits(search, kind, amount)) {
                batch[count].plan = *plan;
                batch[count].plan.steps[i].amount = amount;
                plan_set_rests(search, &batch[count++].plan);
            }
        }
        if (i + 1 < plan->count) {
            batch[count].plan = *plan;
            batch[count].plan.steps[i] = plan->steps[i + 1];
            batch[count].plan.steps[i + 1] = plan->steps[i];
            plan_set_rests(search, &batch[count].plan);
            count += plan_stirs_twice(&batch[count].plan) ? 0 : 1;
        }
    }
    return count;
}

/* Warmth, sugar and lime in every order, in usual and in full amounts: a vat that wants all three shows little for any one. */
static int offer_threefold(const struct plan_search *search, struct candidate *batch)
{
    static const enum correction_kind orders[6][3] = {
        {CORRECTION_WARM, CORRECTION_SUGAR, CORRECTION_LIME}, {CORRECTION_WARM, CORRECTION_LIME, CORRECTION_SUGAR},
        {CORRECTION_SUGAR, CORRECTION_WARM, CORRECTION_LIME}, {CORRECTION_SUGAR, CORRECTION_LIME, CORRECTION_WARM},
        {CORRECTION_LIME, CORRECTION_WARM, CORRECTION_SUGAR}, {CORRECTION_LIME, CORRECTION_SUGAR, CORRECTION_WARM}};
    int count = 0;
    for (int i = 0; i < 12; i++) {
        struct plan *plan = &batch[count].plan;
        *plan = (struct plan){.count = 0};
        for (int j = 0; j < 3; j++) {
            enum correction_kind kind = orders[i % 6][j];
            double amount = correction_amount(search, kind, i < 6 ? 1 : amount_counts[kind] - 1);
            if (can_be_done(search, kind) && amount_fits(search, kind, amount)) {
                plan->steps[plan->count++] = (struct correction){kind, amount, 0.0};
            }
        }
        plan_set_rests(search, plan);
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
    return plan_trim(search, nothing, batch, best);
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
