/* advise.c: see advise.h. */
#include "study/advise.h"

#include "study/measures.h"

#include <math.h>
#include <stdlib.h>

#define HOUR 3600.0
#define KELVIN 273.15
#define BEAM 3            /* plans kept from one length to the next */
#define GRID_MOST 24      /* corrections tried as the next step */
#define GOOD_ENOUGH (8.0) /* h: a plan as cheap as this is not made longer */
#define SHRINKINGS 6
#define SLACK HOUR /* s later than with the full amount that a lesser one may be */
#define SLACK_SHARE 0.25
#define GAIN_LEAST 0.5     /* h that a correction must be better than leaving the vat alone */
#define LEAST_OF_GRID 0.06 /* of an amount of the grid: no amount is made less */

/* Prices of what is done, in hours one would wait to be spared it; estimates. */
#define PRICE_STEP 0.5
#define PRICE_SUGAR 1.5 /* per kg/m3 */
#define PRICE_LIME 3.0
#define PRICE_ACID 0.1      /* per kg/m3 of vinegar */
#define PRICE_WARM 0.02     /* per K */
#define PRICE_PIGMENT 200.0 /* per unit share of indigo lost: 1 % is worth 2 h */
#define PRICE_NEVER 12.0    /* per unit of shortfall, beyond the time looked at */

/* What is tried. kg/m3 of liquor, degC. Practice 2.3: usual doses are 0.5 to 2 g/L of sugar, 0.3 to 1 g/L of lime. */
static const double sugars[] = {0.5, 1.0, 2.0};
static const double limes[] = {0.25, 0.5, 1.0};
static const double acids[] = {5.0, 15.0, 40.0};
static const double warmths[] = {28.0, 35.0, 43.0};

struct candidate {
    struct plan plan;
    double cost; /* h */
};

struct search {
    const struct scenario *scenario;
    const struct advise_options *options;
    struct scenario *vats; /* owned: one per belief */
    int vat_count;
    int runs, runs_expected;
    double temperature; /* degC now */
};

/* ---- what a plan is worth ---------------------------------------------------------------------------------------- */

static double price(const struct search *search, const struct plan *plan)
{
    double volume = search->scenario->fill;
    double sum = 0.0;
    for (int i = 0; i < plan->count; i++) {
        const struct correction *step = &plan->steps[i];
        static const double per_dose[CORRECTION_COUNT] = {
            [CORRECTION_SUGAR] = PRICE_SUGAR, [CORRECTION_LIME] = PRICE_LIME, [CORRECTION_ACID] = PRICE_ACID};
        sum += step->kind == CORRECTION_WAIT ? 0.0 : PRICE_STEP;
        sum += step->kind == CORRECTION_WARM ? PRICE_WARM * fmax(0.0, step->amount - KELVIN - search->temperature)
                                             : per_dose[step->kind] * step->amount / volume;
    }
    return sum;
}

static struct status run_one(struct search *search, int vat, const struct plan *plan, struct course *course)
{
    const struct advise_options *options = search->options;
    if (options != NULL && options->stop != NULL && *options->stop != 0) {
        return status_fail(STATUS_INTERRUPTED, "stopped before the advice was found");
    }
    if (options != NULL && options->progress != NULL) {
        options->progress(options->progress_context, fmin(1.0, (double)search->runs / search->runs_expected));
    }
    search->runs++;
    return course_run(&search->vats[vat], plan, course);
}

static double cost_of(const struct course *course)
{
    double time =
        isinf(course->ready_from) ? COURSE_HORIZON / HOUR + PRICE_NEVER * course->shortfall : course->ready_from / HOUR;
    return time + PRICE_PIGMENT * course->lost + course->harm;
}

/* Mean cost over the beliefs. */
static struct status weigh(struct search *search, struct candidate *candidate)
{
    candidate->cost = price(search, &candidate->plan);
    for (int i = 0; i < search->vat_count; i++) {
        struct course course;
        RETURN_IF_FAILED(run_one(search, i, &candidate->plan, &course));
        candidate->cost += cost_of(&course) / search->vat_count;
    }
    return status_ok();
}

/* When the vat that needs least is ready; INFINITY: none is. */
static struct status find_soonest(struct search *search, const struct plan *plan, double *soonest, double *latest)
{
    *soonest = INFINITY;
    *latest = 0.0;
    for (int i = 0; i < search->vat_count; i++) {
        struct course course;
        RETURN_IF_FAILED(run_one(search, i, plan, &course));
        *soonest = fmin(*soonest, course.ready_from);
        *latest = fmax(*latest, course.ready_from);
    }
    return status_ok();
}

/* ---- what is tried ----------------------------------------------------------------------------------------------- */

/* Rest after a correction at a temperature, s: practice 2.3 and 3.2 (lime shows in minutes; sugar in 15 to 60 min warm, 2
 * to 8 h cool, longer cold). */
static double rest_after(enum correction_kind kind, double temperature)
{
    switch (kind) {
    case CORRECTION_SUGAR:
    case CORRECTION_STIR:
    case CORRECTION_COVER:
        return HOUR * fmin(12.0, fmax(1.0, exp2((45.0 - temperature) / 10.0)));
    case CORRECTION_WARM:
        return 2.0 * HOUR;
    case CORRECTION_LIME:
    case CORRECTION_ACID:
        return HOUR;
    case CORRECTION_WAIT:
    case CORRECTION_COUNT:
        break;
    }
    return 12.0 * HOUR;
}

static void offer(struct correction *grid, int *count, enum correction_kind kind, double amount, double temperature)
{
    grid[(*count)++] = (struct correction){kind, amount, rest_after(kind, temperature)};
}

/* Everything that might be done next, at a temperature in degC. */
static int fill_grid(const struct search *search, double temperature, struct correction grid[GRID_MOST])
{
    const struct scenario *scenario = search->scenario;
    struct remedies remedies = remedies_of(scenario);
    double volume = scenario->fill;
    double room = vessel_room(scenario);
    int count = 0;
    for (size_t i = 0; i < sizeof warmths / sizeof warmths[0]; i++) {
        if (warmths[i] > temperature + 3.0) {
            offer(grid, &count, CORRECTION_WARM, warmths[i] + KELVIN, warmths[i]);
        }
    }
    for (size_t i = 0; i < sizeof sugars / sizeof sugars[0] && remedies.sugar >= 0; i++) {
        offer(grid, &count, CORRECTION_SUGAR, mass_rounded(sugars[i] * volume), temperature);
    }
    for (size_t i = 0; i < sizeof limes / sizeof limes[0] && remedies.lime >= 0; i++) {
        offer(grid, &count, CORRECTION_LIME, mass_rounded(limes[i] * volume), temperature);
    }
    for (size_t i = 0; i < sizeof acids / sizeof acids[0] && remedies.acid >= 0; i++) {
        if (1e-3 * acids[i] * volume < room) {
            offer(grid, &count, CORRECTION_ACID, mass_rounded(acids[i] * volume), temperature);
        }
    }
    offer(grid, &count, CORRECTION_STIR, 0.0, temperature);
    if (scenario->vessel.lid != LID_TIGHT) {
        offer(grid, &count, CORRECTION_COVER, 0.0, temperature);
    }
    return count;
}

static bool repeats(const struct plan *plan, enum correction_kind kind)
{
    for (int i = 0; i < plan->count; i++) {
        if (plan->steps[i].kind == kind) {
            return true;
        }
    }
    return false;
}

static void keep_best(struct candidate *beam, int *kept, const struct candidate *candidate)
{
    int at = *kept;
    if (at == BEAM) {
        if (!(candidate->cost < beam[BEAM - 1].cost)) {
            return;
        }
        at = BEAM - 1;
    } else {
        (*kept)++;
    }
    for (; at > 0 && candidate->cost < beam[at - 1].cost; at--) {
        beam[at] = beam[at - 1];
    }
    beam[at] = *candidate;
}

/* The cheapest plan of up to PLAN_STEPS_MOST steps: every next step to the few best plans so far. */
static struct status find_plan(struct search *search, struct candidate *best)
{
    struct candidate beam[BEAM] = {{.plan = {.count = 0}}};
    int kept = 1;
    RETURN_IF_FAILED(weigh(search, &beam[0]));
    *best = beam[0];
    best->cost -= GAIN_LEAST;
    for (int length = 1; length <= PLAN_STEPS_MOST && best->cost > GOOD_ENOUGH; length++) {
        struct candidate next[BEAM];
        int next_kept = 0;
        for (int i = 0; i < kept; i++) {
            struct correction grid[GRID_MOST];
            double temperature = search->temperature;
            for (int j = 0; j < beam[i].plan.count; j++) {
                const struct correction *step = &beam[i].plan.steps[j];
                temperature = step->kind == CORRECTION_WARM ? step->amount - KELVIN : temperature;
            }
            int count = fill_grid(search, temperature, grid);
            for (int j = 0; j < count; j++) {
                struct candidate candidate = beam[i];
                if (repeats(&candidate.plan, grid[j].kind)) {
                    continue;
                }
                candidate.plan.steps[candidate.plan.count++] = grid[j];
                RETURN_IF_FAILED(weigh(search, &candidate));
                keep_best(next, &next_kept, &candidate);
            }
        }
        for (kept = 0; kept < next_kept; kept++) {
            beam[kept] = next[kept];
        }
        if (kept > 0 && beam[0].cost < best->cost) {
            *best = beam[0];
        }
    }
    return status_ok();
}

/* Makes an amount of the plan the least that still brings the vat which needs least to ready at about the same time: what
 * is then still wanting shows at the next reading, and what is in cannot be taken out. */
static struct status shrink(struct search *search, struct plan *plan, int step)
{
    static const double nothing[CORRECTION_COUNT] = {[CORRECTION_WARM] = KELVIN};
    struct correction *correction = &plan->steps[step];
    double zero = nothing[correction->kind];
    double full = correction->amount - zero;
    double soonest;
    double latest;
    RETURN_IF_FAILED(find_soonest(search, plan, &soonest, &latest));
    if (isinf(soonest)) {
        return status_ok();
    }
    double allowed = soonest + fmax(SLACK, SLACK_SHARE * soonest);
    double enough = 1.0;
    double little = correction->kind == CORRECTION_WARM ? fmin(1.0, search->temperature / full) : LEAST_OF_GRID;
    for (int i = 0; i < SHRINKINGS && enough > 1.05 * little; i++) {
        double share = correction->kind == CORRECTION_WARM ? 0.5 * (little + enough) : sqrt(little * enough);
        correction->amount = zero + share * full;
        RETURN_IF_FAILED(find_soonest(search, plan, &soonest, &latest));
        if (soonest <= allowed) {
            enough = share;
        } else {
            little = share;
        }
    }
    double amount = enough * full;
    correction->amount = correction->kind == CORRECTION_WARM ? zero + ceil(amount) : mass_rounded(amount);
    return status_ok();
}

static bool has_amount(enum correction_kind kind)
{
    return kind == CORRECTION_WARM || kind == CORRECTION_SUGAR || kind == CORRECTION_LIME || kind == CORRECTION_ACID;
}

/* ---- what is told ------------------------------------------------------------------------------------------------ */

static struct status try_other_order(struct search *search, struct advice *advice)
{
    const struct plan *plan = &advice->plan;
    int sugar = -1;
    int lime = -1;
    for (int i = 0; i < plan->count; i++) {
        sugar = plan->steps[i].kind == CORRECTION_SUGAR ? i : sugar;
        lime = plan->steps[i].kind == CORRECTION_LIME ? i : lime;
    }
    if (sugar < 0 || lime < 0) {
        return status_ok();
    }
    struct plan swapped = *plan;
    double latest;
    swapped.steps[sugar] = plan->steps[lime];
    swapped.steps[lime] = plan->steps[sugar];
    advice->swapped = true;
    return find_soonest(search, &swapped, &advice->swapped_ready, &latest);
}

static double up_to_half_hours(double time)
{
    return ceil(time / (0.5 * HOUR) - 1e-9) * 0.5 * HOUR;
}

static void say_when(struct advice *advice)
{
    double rest = advice->plan.count > 0 ? advice->plan.steps[0].rest : 12.0 * HOUR;
    bool single = advice->plan.count <= 1;
    double hoped = single && !isinf(advice->ready_soonest) ? advice->ready_soonest : rest;
    advice->look_again = up_to_half_hours(fmin(24.0 * HOUR, fmax(0.5 * HOUR, hoped)));
    double latest = isinf(advice->ready_latest) ? COURSE_HORIZON : advice->ready_latest;
    advice->give_up = up_to_half_hours(fmax(2.0 * advice->look_again, 1.5 * latest));
}

static void judge(struct advice *advice)
{
    bool ready_now = advice->nothing_latest <= 0.0;
    if (ready_now) {
        advice->plan.count = 0;
        advice->followed = advice->nothing;
        advice->verdict = ADVICE_DYE;
    } else if (isinf(advice->ready_soonest)) {
        advice->verdict = advice->followed.indigo_spent || advice->nothing.indigo_spent ? ADVICE_INDIGO : ADVICE_LOST;
    } else {
        advice->verdict = advice->plan.count == 0 ? ADVICE_WAIT : ADVICE_CORRECT;
    }
}

/* Courses under each belief; the soonest is kept to be told. */
static struct status tell(struct search *search, const struct plan *plan, struct course *told, double *soonest,
                          double *latest)
{
    *soonest = INFINITY;
    *latest = 0.0;
    for (int i = 0; i < search->vat_count; i++) {
        struct course course;
        RETURN_IF_FAILED(run_one(search, i, plan, &course));
        if (i == 0 || course.ready_from < *soonest) {
            *told = course;
        }
        *soonest = fmin(*soonest, course.ready_from);
        *latest = fmax(*latest, course.ready_from);
    }
    return status_ok();
}

static struct status work_out(struct search *search, struct advice *advice)
{
    struct plan nothing = {.count = 0};
    struct candidate best;
    RETURN_IF_FAILED(tell(search, &nothing, &advice->nothing, &advice->nothing_soonest, &advice->nothing_latest));
    best.plan = nothing;
    if (advice->nothing_latest > 0.0) {
        RETURN_IF_FAILED(find_plan(search, &best));
    }
    for (int i = 0; i < best.plan.count; i++) {
        if (has_amount(best.plan.steps[i].kind)) {
            RETURN_IF_FAILED(shrink(search, &best.plan, i));
        }
    }
    advice->plan = best.plan;
    RETURN_IF_FAILED(tell(search, &advice->plan, &advice->followed, &advice->ready_soonest, &advice->ready_latest));
    RETURN_IF_FAILED(try_other_order(search, advice));
    judge(advice);
    say_when(advice);
    advice->runs = search->runs;
    return status_ok();
}

struct status advise(const struct scenario *scenario, const struct advise_options *options, struct advice *advice)
{
    *advice = (struct advice){.verdict = ADVICE_LOST};
    if (!scenario->existing.exists) {
        return status_fail(STATUS_SCENARIO, "advice needs a vat that already lives: give its readings in vat.existing");
    }
    advice->suspect_count = readings_suspect(scenario, advice->suspects);
    struct scenario *trusted = malloc(sizeof *trusted); /* large; borrows all from the scenario */
    struct search search = {.scenario = trusted, .options = options, .runs_expected = 160};
    search.vats = malloc(BELIEFS_MOST * sizeof *search.vats);
    struct status status = status_ok();
    if (trusted == NULL || search.vats == NULL) {
        status = status_fail(STATUS_MEMORY, "no memory left for advice");
    } else {
        *trusted = *scenario;
        for (int i = 0; i < advice->suspect_count; i++) {
            advice->ph_left_out = advice->ph_left_out || advice->suspects[i].is_ph;
        }
        if (advice->ph_left_out) {
            trusted->existing.ph = NAN;
        }
        advice->belief_count = search.vat_count = readings_believe(trusted, advice->beliefs);
        for (int i = 0; i < search.vat_count; i++) {
            search.vats[i] = *trusted;
            search.vats[i].existing = existing_under(trusted, &advice->beliefs[i]);
        }
        search.temperature = trusted->existing.temperature_K - KELVIN;
        status = work_out(&search, advice);
    }
    free(trusted);
    free(search.vats);
    return status;
}
