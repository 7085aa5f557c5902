/* capacity.c: see capacity.h. The vat as it is and the members are asked side by side, then what limits it. */
#include "study/capacity.h"

#include "process/species.h"
#include "study/lifetime.h"
#include "study/limits.h"
#include "study/load_search.h"
#include "study/many.h"
#include "study/members.h"
#include "study/variant.h"

#include <math.h>
#include <stdlib.h>

#define LOAD_ACCURACY 0.01 /* relative */
#define MEMBER_ACCURACY 0.03
#define STUDY_RTOL 1e-4     /* of the runs, unless the scenario's is looser: loads are wanted to a per cent */
#define SHORT_AFTER 60.0    /* s */
#define DRAWS_PER_MEMBER 12 /* before giving up on finding more that are fit */
#define BATCH_LEAST 4       /* members drawn at a time */
#define SHARE_OF_LIMITS 0.3 /* of the work, for the progress told */

/* Loads of a session and a week, and how long it goes on so. */
struct found {
    struct work_plan session_plan, week_plan;
    struct period_capacity session, week;
    struct lifetime lifetime;
};

struct asking {
    const struct scenario *scenario;
    const struct capacity_question *question;
    struct run_options options;
    struct found nominal;
    int first, drawn;    /* members of this batch: first + 1 to first + drawn */
    struct found *found; /* of each member of the batch */
    bool *fit;
    struct capacity *capacity; /* for the limits */
    double progress_from, progress_to;
};

static void tell_progress(void *context, double share)
{
    const struct asking *asking = context;
    if (asking->question->progress != NULL) {
        asking->question->progress(asking->question->progress_context,
                                   asking->progress_from + share * (asking->progress_to - asking->progress_from));
    }
}

static struct status do_many(struct asking *asking, size_t count,
                             struct status (*work)(void *context, size_t index, int worker))
{
    struct many many = {
        .count = count,
        .threads = asking->question->threads,
        .context = asking,
        .work = work,
        .progress = tell_progress,
        .progress_context = asking,
        .stop = asking->options.stop,
    };
    return many_run(&many, NULL);
}

/* ---- one vat ---------------------------------------------------------------------------------------------------- */

struct status capacity_plan(const struct scenario *scenario, const struct capacity_question *question,
                            struct work_plan *plan, bool *fit)
{
    *plan = (struct work_plan){.sugar = WORK_SUGAR, .lime = WORK_LIME, .after = SHORT_AFTER};
    RETURN_IF_FAILED(work_plan_from(scenario, question->kind, question->options, plan, fit));
    plan->soak = isnan(question->soak) ? plan->soak : question->soak;
    plan->every = fmax(question->every, plan->soak + 60.0);
    plan->loads = (int)fmax(2.0, floor(question->hours * 3600.0 / plan->every + 1e-9));
    plan->sessions = 1;
    plan->session_every = question->session_every;
    plan->dips_per_piece = plan->loads;
    return status_ok();
}

static struct status search_loads(double keep, const struct scenario *scenario, double accuracy,
                                  const struct run_options *options, struct found *found)
{
    struct work_plan *week = &found->week_plan;
    RETURN_IF_FAILED(load_search(scenario, keep, accuracy, options, &found->session_plan, &found->session));
    *week = found->session_plan;
    week->sessions = CAPACITY_WEEK_SESSIONS; /* no load of a week is heavier than that of one session */
    if (!(week->load > 0.0)) {
        found->week = found->session;
        return status_ok();
    }
    return load_search(scenario, keep, accuracy, options, week, &found->week);
}

static struct status ask_vat(const struct asking *asking, const struct scenario *scenario, double accuracy,
                             struct found *found)
{
    struct capacity_question question = *asking->question;
    question.options = &asking->options;
    RETURN_IF_FAILED(search_loads(question.keep, scenario, accuracy, &asking->options, found));
    return lifetime_run(scenario, &found->week_plan, &question, &found->lifetime);
}

/* ---- many vats -------------------------------------------------------------------------------------------------- */

/* Asks the vat as it is (item 0 of the first batch), or a member when it is fit. */
static struct status ask_item(void *context, size_t index, int worker)
{
    (void)worker;
    struct asking *asking = context;
    if (asking->first == 0 && index == 0) {
        return ask_vat(asking, asking->scenario, LOAD_ACCURACY, &asking->nominal);
    }
    size_t place = asking->first == 0 ? index - 1 : index;
    struct scenario member;
    struct found *found = &asking->found[place];
    RETURN_IF_FAILED(member_make(asking->scenario, asking->first + (int)place + 1, &member));
    struct status status = capacity_plan(&member, asking->question, &found->session_plan, &asking->fit[place]);
    if (status_is_ok(&status) && asking->fit[place]) { /* its maker would not begin otherwise */
        status = ask_vat(asking, &member, MEMBER_ACCURACY, found);
    } else if (status.code == STATUS_SCENARIO) {
        asking->fit[place] = false; /* never ready */
        status = status_ok();
    }
    scenario_free(&member);
    return status;
}

static void widen(struct span *span, double nominal, double value)
{
    span->low = fmin(isnan(span->low) ? nominal : span->low, value);
    span->high = fmax(isnan(span->high) ? nominal : span->high, value);
}

/* Takes a member into the bands. */
static void take_member(struct capacity *capacity, const struct found *found)
{
    struct span *spans[] = {&capacity->session.cloth_dips, &capacity->week.cloth_dips,
                            &capacity->needs_indigo,       &capacity->life,
                            &capacity->shade.at_shade,     &capacity->shade.job_days};
    const double values[] = {found->session.cloth_dips.nominal,      found->week.cloth_dips.nominal,
                             found->lifetime.to_indigo.cloth_dips,   found->lifetime.whole.cloth_dips,
                             found->lifetime.shade.at_shade.nominal, found->lifetime.shade.job_days.nominal};
    for (size_t i = 0; i < sizeof values / sizeof values[0]; i++) {
        widen(spans[i], spans[i]->nominal, values[i]);
    }
    capacity->members++;
}

static void take_nominal(const struct asking *asking, struct capacity *capacity)
{
    const struct found *found = &asking->nominal;
    const struct lifetime *lifetime = &found->lifetime;
    double days = asking->question->session_every / 86400.0;
    capacity->plan = found->session_plan;
    capacity->session = found->session;
    capacity->week = found->week;
    capacity->needs_indigo = (struct span){NAN, lifetime->to_indigo.cloth_dips, NAN};
    capacity->life = (struct span){NAN, lifetime->whole.cloth_dips, NAN};
    capacity->indigo_is_longer = lifetime->to_indigo.is_whole;
    capacity->life_is_longer = lifetime->whole.is_whole;
    capacity->days_to_indigo = lifetime->to_indigo.sessions * days;
    capacity->days_of_life = lifetime->whole.sessions * days;
    capacity->shade = lifetime->shade;
}

/* The vat as it is beside a first batch of members, then more until enough of them are fit. Members count in the order
 * of their numbers, so that the answer does not depend on how many are asked at a time. */
static struct status ask_all(struct asking *asking, struct capacity *capacity)
{
    int wanted = asking->question->members < MEMBERS_MOST ? asking->question->members : MEMBERS_MOST;
    int most = DRAWS_PER_MEMBER * wanted;
    int batch = wanted > BATCH_LEAST ? wanted : BATCH_LEAST;
    asking->found = calloc((size_t)batch, sizeof *asking->found);
    asking->fit = calloc((size_t)batch, sizeof *asking->fit);
    if (asking->found == NULL || asking->fit == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left for the members");
    }
    do {
        asking->drawn = most - asking->first < batch ? most - asking->first : batch;
        RETURN_IF_FAILED(do_many(asking, (size_t)asking->drawn + (asking->first == 0 ? 1 : 0), ask_item));
        if (asking->first == 0) {
            take_nominal(asking, capacity);
        }
        for (int i = 0; i < asking->drawn && capacity->members < wanted; i++) {
            capacity->drawn++;
            if (asking->fit[i]) {
                take_member(capacity, &asking->found[i]);
            }
        }
        asking->first += asking->drawn;
        asking->progress_from = (1.0 - SHARE_OF_LIMITS) * (wanted > 0 ? (double)capacity->members / wanted : 1.0);
        asking->progress_to = 1.0 - SHARE_OF_LIMITS;
    } while (capacity->members < wanted && asking->first < most);
    return status_ok();
}

/* ---- what limits it --------------------------------------------------------------------------------------------- */

/* Items: each want of the session, each of the week, and the rest after a session. */
static struct status limit_item(void *context, size_t index, int worker)
{
    (void)worker;
    struct asking *asking = context;
    struct capacity *capacity = asking->capacity;
    if (index == 2 * (size_t)LIMIT_VOLUME) {
        return lifetime_rest(asking->scenario, &asking->nominal.session_plan, &asking->options, capacity);
    }
    bool of_week = index >= LIMIT_VOLUME;
    enum limit want = (enum limit)(index % LIMIT_VOLUME);
    struct period_capacity *period = of_week ? &capacity->week : &capacity->session;
    struct work_plan plan = of_week ? asking->nominal.week_plan : asking->nominal.session_plan;
    if (!(plan.load > 0.0)) {
        plan.load = 0.1 * CAPACITY_CLOTH_PER_VOLUME * plan.volume; /* asks why hardly any is borne */
    }
    return limit_relieved(asking->scenario, &plan, want, &asking->options, &period->gain[want]);
}

static struct status find_limits(struct asking *asking, struct capacity *capacity)
{
    asking->capacity = capacity;
    asking->progress_from = 1.0 - SHARE_OF_LIMITS;
    asking->progress_to = 1.0;
    RETURN_IF_FAILED(do_many(asking, 2 * LIMIT_VOLUME + 1, limit_item));
    struct period_capacity *periods[] = {&capacity->session, &capacity->week};
    for (size_t i = 0; i < sizeof periods / sizeof periods[0]; i++) {
        for (int want = 0; want < LIMIT_VOLUME; want++) {
            periods[i]->gain[want] -= periods[i]->worst_share;
        }
        limit_settle(periods[i]);
    }
    return status_ok();
}

/* ---- the whole question ----------------------------------------------------------------------------------------- */

/* Indigotin at the start, and what brings it as it is bought. */
static void weigh_indigo(const struct scenario *scenario, struct capacity *capacity)
{
    double powder = 0.0;
    for (size_t i = 0; i < scenario->charge_count; i++) {
        const struct dose *dose = &scenario->charge[i];
        const struct material *material = &scenario->model.materials[dose->material];
        if (material->indigotin > 0.0) {
            capacity->indigo_mass += dose_indigotin(&scenario->model, dose);
            powder += dose->mass;
        }
    }
    capacity->powder_mass = scenario->existing.exists || !(powder > 0.0) ? (double)NAN : powder;
    if (scenario->existing.exists) {
        capacity->indigo_mass = scenario->existing.indigotin * MOLAR_INDIGOTIN;
    }
}

/* Runs of a study need not be closer than their answer. */
static struct run_options study_options(const struct scenario *scenario, const struct capacity_question *question)
{
    struct run_options options = {.rtol = fmax(STUDY_RTOL, scenario->rtol)};
    options.stop = question->options != NULL ? question->options->stop : NULL;
    return options;
}

struct status capacity_find(const struct scenario *scenario, const struct capacity_question *question,
                            struct capacity *capacity)
{
    struct asking asking = {.scenario = scenario, .question = question, .options = study_options(scenario, question)};
    asking.progress_to = 1.0 - SHARE_OF_LIMITS;
    *capacity = (struct capacity){0};
    weigh_indigo(scenario, capacity);
    RETURN_IF_FAILED(capacity_plan(scenario, question, &asking.nominal.session_plan, NULL));
    struct status status = ask_all(&asking, capacity);
    free(asking.found);
    free(asking.fit);
    RETURN_IF_FAILED(status);
    return find_limits(&asking, capacity);
}

/* ---- the table -------------------------------------------------------------------------------------------------- */

struct columns {
    struct asking asking;
    struct capacity_by_weight *columns;
};

static struct status column_item(void *context, size_t index, int worker)
{
    (void)worker;
    const struct columns *columns = context;
    const struct asking *asking = &columns->asking;
    struct capacity_by_weight *column = &columns->columns[index];
    struct scenario variant;
    struct found found = {0};
    RETURN_IF_FAILED(variant_make(asking->scenario, &variant));
    variant.cloth[asking->question->kind].fabric = column->fabric;
    struct status status = capacity_plan(&variant, asking->question, &found.session_plan, NULL);
    if (status_is_ok(&status)) {
        status = search_loads(asking->question->keep, &variant, MEMBER_ACCURACY, &asking->options, &found);
    }
    if (status_is_ok(&status)) {
        column->cloth_dips = found.session.cloth_dips.nominal;
        status = lifetime_dips(&variant, &found.week_plan, &asking->options, column->dips_to);
    }
    scenario_free(&variant);
    return status;
}

struct status capacity_for_weights(const struct scenario *scenario, const struct capacity_question *question,
                                   struct capacity_by_weight *columns, size_t count)
{
    struct columns asked = {.columns = columns};
    asked.asking =
        (struct asking){.scenario = scenario, .question = question, .options = study_options(scenario, question)};
    struct many many = {
        .count = count,
        .threads = question->threads,
        .context = &asked,
        .work = column_item,
        .stop = asked.asking.options.stop,
    };
    return many_run(&many, NULL);
}
