/* capacity.c: see capacity.h. */
#include "study/capacity.h"

#include "sim/series.h"
#include "study/limits.h"
#include "study/members.h"
#include "study/variant.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>
#include <math.h>
#include <string.h>

#define LEAST_LOAD_SHARE 0.005 /* of the most cloth at once: less is none */
#define LOAD_ACCURACY 0.005    /* relative */
#define MEMBER_ACCURACY 0.03
#define ROUNDS_MOST 30
#define UNFIT_GAP 0.05 /* a dip in an unfit vat counts as this much too pale, and more the earlier it comes */
#define REST_MOST (48.0 * 3600.0)
#define REST_GOAL 0.9
#define SHORT_AFTER 60.0    /* s */
#define DRAWS_PER_MEMBER 12 /* before giving up on finding more that are fit */

/* ---- one load --------------------------------------------------------------------------------------------------- */

/* The palest dip, as a share of the first, or below `keep` where the vat was unfit. */
static double judge(const struct work_done *done, double keep, struct period_capacity *period)
{
    double worst = INFINITY;
    double first = done->count > 0 ? done->loads[0].taken : 0.0;
    period->worst_share = 0.0;
    for (int i = 0; i < done->count; i++) {
        const struct load_found *load = &done->loads[i];
        double share = first > 0.0 ? load->taken / first : 0.0;
        double counts = load->workable ? share : fmin(share, keep - UNFIT_GAP * (2.0 - (double)i / done->count));
        if (counts < worst) {
            worst = counts;
            period->worst_share = share;
            period->state = load->state;
        }
    }
    return worst;
}

struct search {
    const struct scenario *scenario;
    struct work_plan plan;
    double keep;
    double accuracy;
    const struct run_options *options;
    struct period_capacity *period;
    struct status status; /* of the first run that failed */
};

static double spare_of_load(double load, void *context)
{
    struct search *search = context;
    struct work_done done;
    if (!status_is_ok(&search->status)) {
        return 0.0; /* the search is over */
    }
    search->plan.load = load;
    search->status = work_run(search->scenario, &search->plan, search->options, &done);
    if (!status_is_ok(&search->status)) {
        return 0.0;
    }
    double spare = judge(&done, search->keep, search->period) - search->keep;
    work_free(&done);
    return spare;
}

/* Brent's method between a load that is borne and one that is not. */
static struct status refine(struct search *search, double low, double high, double *load)
{
    gsl_root_fsolver *solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    if (solver == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to look for the heaviest load");
    }
    gsl_function function = {.function = spare_of_load, .params = search};
    int code = gsl_root_fsolver_set(solver, &function, low, high);
    for (int i = 0; code == GSL_SUCCESS && i < ROUNDS_MOST && status_is_ok(&search->status); i++) {
        code = gsl_root_fsolver_iterate(solver);
        low = gsl_root_fsolver_x_lower(solver);
        high = gsl_root_fsolver_x_upper(solver);
        if (gsl_root_test_interval(low, high, 0.0, search->accuracy) == GSL_SUCCESS) {
            break;
        }
    }
    *load = gsl_root_fsolver_root(solver);
    gsl_root_fsolver_free(solver);
    RETURN_IF_FAILED(search->status);
    return code == GSL_SUCCESS ? status_ok()
                               : status_fail(STATUS_NUMERIC, "the heaviest load was not found: %s", gsl_strerror(code));
}

struct status capacity_find_load(const struct scenario *scenario, double keep, double accuracy,
                                 const struct run_options *options, struct work_plan *plan,
                                 struct period_capacity *period)
{
    struct search search = {
        .scenario = scenario, .plan = *plan, .keep = keep, .accuracy = accuracy, .options = options, .period = period};
    search.status = status_ok();
    *period = (struct period_capacity){.loads = plan->loads, .sessions = plan->sessions};
    double most = CAPACITY_CLOTH_PER_VOLUME * plan->volume;
    double least = LEAST_LOAD_SHARE * most;
    if (plan->load > 0.0) {
        most = fmin(most, fmax(plan->load, 2.0 * least));
    }
    double load = most;
    if (spare_of_load(most, &search) >= 0.0) {
        period->capped = most >= CAPACITY_CLOTH_PER_VOLUME * plan->volume;
    } else if (spare_of_load(least, &search) < 0.0) {
        load = 0.0;
    } else {
        RETURN_IF_FAILED(refine(&search, least, most, &load));
    }
    RETURN_IF_FAILED(search.status);
    plan->load = load;
    period->load = load;
    if (load > 0.0) {
        (void)spare_of_load(load, &search); /* leaves the period as this load finds it */
    }
    period->cloth_dips = (struct span){NAN, work_cloth_dips(plan), NAN};
    return search.status;
}

/* ---- what happens after ----------------------------------------------------------------------------------------- */

/* When the liquor is back to nine tenths of the most leuco that it comes to in two days, and fit again. */
static struct status find_rest(const struct scenario *scenario, const struct work_plan *session,
                               const struct run_options *options, struct capacity *capacity)
{
    struct work_plan plan = *session;
    struct work_done done;
    plan.after = REST_MOST;
    RETURN_IF_FAILED(work_run(scenario, &plan, options, &done));
    const struct column *time = table_column(&done.result.series, "time");
    const struct column *leuco = table_column(&done.result.series, "leuco");
    const struct column *state = table_column(&done.result.series, "state");
    double end = work_end(&plan);
    double most = 0.0;
    for (size_t row = 0; row < done.result.series.rows; row++) {
        most = time->values[row] > end ? fmax(most, leuco->values[row]) : most;
    }
    most = fmin(most, done.count > 0 ? done.loads[0].leuco : most);
    capacity->first_taken = done.count > 0 ? done.loads[0].taken : 0.0;
    capacity->first_leuco = done.count > 0 ? done.loads[0].leuco : 0.0;
    capacity->rest_comes_to = capacity->first_leuco > 0.0 ? most / capacity->first_leuco : 0.0;
    capacity->rest = NAN;
    for (size_t row = 0; row < done.result.series.rows && isnan(capacity->rest); row++) {
        int now = (int)state->values[row];
        bool fit = now == VAT_READY || now == VAT_LIME_HEAVY || now == VAT_OVER_REDUCED;
        if (time->values[row] > end && fit && leuco->values[row] >= REST_GOAL * most) {
            capacity->rest = time->values[row] - end;
        }
    }
    work_free(&done);
    return status_ok();
}

/* How far a row of sessions goes until a vat, rested and fed, is pale. */
struct stretch {
    double cloth_dips; /* kg */
    double as_first;   /* kg: the same in dips that take as much as the first of all */
    int sessions;
    bool is_whole; /* it did not become so pale */
};

struct life {
    struct stretch to_indigo, whole;
};

/* Until the first dip of a session takes less than a share of the first of all. */
static struct stretch until_pale(const struct work_done *done, const struct work_plan *plan, double share)
{
    struct stretch stretch = {.is_whole = true};
    double first = done->count > 0 ? done->loads[0].taken : 0.0;
    for (int s = 0; s < plan->sessions && (s + 1) * plan->loads <= done->count; s++) {
        const struct load_found *loads = &done->loads[s * plan->loads];
        if (s > 0 && loads[0].taken < share * first) {
            stretch.is_whole = false;
            break;
        }
        for (int i = 0; i < plan->loads; i++) {
            stretch.cloth_dips += plan->load;
            stretch.as_first += first > 0.0 ? plan->load * loads[i].taken / first : 0.0;
        }
        stretch.sessions = s + 1;
    }
    return stretch;
}

/* Sessions at the week's pace; most vats are pale within the first stage. */
static struct status live(const struct scenario *scenario, const struct work_plan *week, double keep,
                          const struct run_options *options, struct life *life)
{
    static const int stages[] = {25, CAPACITY_LIFE_SESSIONS};
    struct work_plan plan = *week;
    struct work_done done;
    plan.dips_per_piece = plan.loads;
    *life = (struct life){.whole.is_whole = true};
    for (size_t i = 0; i < sizeof stages / sizeof stages[0] && life->whole.is_whole && plan.load > 0.0; i++) {
        plan.sessions = stages[i];
        RETURN_IF_FAILED(work_run(scenario, &plan, options, &done));
        life->to_indigo = until_pale(&done, &plan, keep);
        life->whole = until_pale(&done, &plan, CAPACITY_LIFE_END);
        work_free(&done);
    }
    return status_ok();
}

/* Dips until a piece has each shade, from pieces that are dipped again and again through a week of such sessions. */
static struct status find_dips(const struct scenario *scenario, const struct work_plan *session,
                               const struct run_options *options, double dips_to[SHADE_COUNT])
{
    struct work_plan plan = *session;
    struct work_done done;
    for (int shade = 0; shade < SHADE_COUNT; shade++) {
        dips_to[shade] = NAN;
    }
    if (!(plan.load > 0.0)) {
        return status_ok();
    }
    plan.sessions = CAPACITY_WEEK_SESSIONS;
    plan.dips_per_piece = plan.loads * plan.sessions;
    RETURN_IF_FAILED(work_run(scenario, &plan, options, &done));
    const struct table *dips = &done.result.dips;
    const struct column *kind = table_column(dips, "kind");
    const struct column *count = table_column(dips, "dip");
    const struct column *shade = table_column(dips, "shade");
    for (size_t row = 0; row < dips->rows; row++) {
        if ((size_t)kind->values[row] != scenario->cloth_count) {
            continue; /* the loads are the first kind that the plan adds */
        }
        for (int s = 0; s <= (int)shade->values[row] && s < SHADE_COUNT; s++) {
            dips_to[s] = isnan(dips_to[s]) ? count->values[row] : dips_to[s];
        }
    }
    work_free(&done);
    return status_ok();
}

/* ---- the whole question ----------------------------------------------------------------------------------------- */

static struct status plan_session(const struct scenario *scenario, const struct capacity_question *question,
                                  struct work_plan *plan)
{
    *plan = (struct work_plan){.sugar = WORK_SUGAR, .lime = WORK_LIME, .after = SHORT_AFTER};
    RETURN_IF_FAILED(work_plan_from(scenario, question->kind, plan));
    plan->soak = isnan(question->soak) ? plan->soak : question->soak;
    plan->every = fmax(question->every, plan->soak + 60.0);
    plan->loads = (int)fmax(2.0, floor(question->hours * 3600.0 / plan->every + 1e-9));
    plan->sessions = 1;
    plan->session_every = question->session_every;
    plan->dips_per_piece = plan->loads;
    return status_ok();
}

static struct status find_periods(const struct scenario *scenario, const struct capacity_question *question,
                                  double accuracy, struct work_plan *session, struct work_plan *week,
                                  struct capacity *capacity)
{
    RETURN_IF_FAILED(
        capacity_find_load(scenario, question->keep, accuracy, question->options, session, &capacity->session));
    *week = *session;
    week->sessions = CAPACITY_WEEK_SESSIONS; /* no load of a week is heavier than that of one session */
    return capacity_find_load(scenario, question->keep, accuracy, question->options, week, &capacity->week);
}

/* The vat as it is counts as three members' worth of work. */
static void tell_progress(const struct capacity_question *question, double members_done)
{
    if (question->progress != NULL) {
        question->progress(question->progress_context, members_done / (3.0 + question->members));
    }
}

/* Whether the vat is fit to dye when work begins. Its maker would not begin otherwise. */
static struct status is_fit_to_begin(const struct scenario *member, const struct capacity_question *question, bool *fit)
{
    struct work_plan plan;
    struct work_done done;
    *fit = false;
    struct status status = plan_session(member, question, &plan);
    if (status.code == STATUS_SCENARIO) {
        return status_ok(); /* never ready */
    }
    RETURN_IF_FAILED(status);
    plan.loads = 1;
    plan.load = 0.0;
    RETURN_IF_FAILED(work_run(member, &plan, question->options, &done));
    *fit = done.count > 0 && done.loads[0].workable;
    work_free(&done);
    return status_ok();
}

static struct status ask_member(const struct scenario *member, const struct capacity_question *question,
                                double found[4])
{
    struct work_plan session;
    struct work_plan week;
    struct capacity capacity = {0};
    struct life life;
    RETURN_IF_FAILED(plan_session(member, question, &session));
    RETURN_IF_FAILED(find_periods(member, question, MEMBER_ACCURACY, &session, &week, &capacity));
    RETURN_IF_FAILED(live(member, &week, question->keep, question->options, &life));
    found[0] = capacity.session.cloth_dips.nominal;
    found[1] = capacity.week.cloth_dips.nominal;
    found[2] = life.to_indigo.cloth_dips;
    found[3] = life.whole.cloth_dips;
    return status_ok();
}

/* Low and high of what the members find that are fit when work begins, as the dyer's own vat is taken to be. */
static struct status find_bands(const struct scenario *scenario, const struct capacity_question *question,
                                struct capacity *capacity)
{
    int wanted = question->members < MEMBERS_MOST ? question->members : MEMBERS_MOST;
    struct span *spans[4] = {&capacity->session.cloth_dips, &capacity->week.cloth_dips, &capacity->needs_indigo,
                             &capacity->life};
    for (int i = 0; i < 4 && wanted > 0; i++) {
        spans[i]->low = spans[i]->high = spans[i]->nominal;
    }
    while (capacity->members < wanted && capacity->drawn < DRAWS_PER_MEMBER * wanted) {
        struct scenario member;
        bool fit = false;
        double found[4] = {0.0};
        RETURN_IF_FAILED(member_make(scenario, question->kind, ++capacity->drawn, &member));
        struct status status = is_fit_to_begin(&member, question, &fit);
        if (status_is_ok(&status) && fit) {
            status = ask_member(&member, question, found);
        }
        scenario_free(&member);
        RETURN_IF_FAILED(status);
        for (int i = 0; i < 4 && fit; i++) {
            spans[i]->low = fmin(spans[i]->low, found[i]);
            spans[i]->high = fmax(spans[i]->high, found[i]);
        }
        capacity->members += fit;
        tell_progress(question, 3.0 + capacity->members);
    }
    return status_ok();
}

static double indigo_in(const struct scenario *scenario)
{
    double mass = 0.0;
    for (size_t i = 0; i < scenario->charge_count; i++) {
        const struct dose *dose = &scenario->charge[i];
        const struct material *material = &scenario->model.materials[dose->material];
        if (material->indigotin > 0.0) {
            mass += dose->mass * (isnan(dose->purity) ? material->indigotin : dose->purity);
        }
    }
    return scenario->existing.exists ? scenario->existing.indigotin * 0.26227 : mass;
}

struct status capacity_find(const struct scenario *scenario, const struct capacity_question *question,
                            struct capacity *capacity)
{
    struct work_plan session;
    struct work_plan week;
    struct life life;
    *capacity = (struct capacity){.indigo_mass = indigo_in(scenario)};
    RETURN_IF_FAILED(plan_session(scenario, question, &session));
    RETURN_IF_FAILED(find_periods(scenario, question, LOAD_ACCURACY, &session, &week, capacity));
    capacity->plan = session;
    tell_progress(question, 1.5);
    RETURN_IF_FAILED(limits_find(scenario, question, &session, &capacity->session));
    RETURN_IF_FAILED(limits_find(scenario, question, &week, &capacity->week));
    RETURN_IF_FAILED(find_rest(scenario, &session, question->options, capacity));
    RETURN_IF_FAILED(find_dips(scenario, &session, question->options, capacity->dips_to));
    RETURN_IF_FAILED(live(scenario, &week, question->keep, question->options, &life));
    tell_progress(question, 3.0);
    capacity->needs_indigo = (struct span){NAN, life.to_indigo.cloth_dips, NAN};
    capacity->life = (struct span){NAN, life.whole.cloth_dips, NAN};
    capacity->indigo_as_first = life.to_indigo.as_first;
    capacity->life_as_first = life.whole.as_first;
    capacity->indigo_is_longer = life.to_indigo.is_whole;
    capacity->life_is_longer = life.whole.is_whole;
    capacity->days_to_indigo = life.to_indigo.sessions * question->session_every / 86400.0;
    capacity->days_of_life = life.whole.sessions * question->session_every / 86400.0;
    return find_bands(scenario, question, capacity);
}

struct status capacity_for_weight(const struct scenario *scenario, const struct capacity_question *question,
                                  double fabric, struct capacity_by_weight *cell)
{
    struct scenario variant;
    struct work_plan plan;
    struct period_capacity period;
    RETURN_IF_FAILED(variant_make(scenario, &variant));
    variant.cloth[question->kind].fabric = fabric;
    struct status status = plan_session(&variant, question, &plan);
    if (status_is_ok(&status)) {
        status = capacity_find_load(&variant, question->keep, LOAD_ACCURACY, question->options, &plan, &period);
    }
    if (status_is_ok(&status)) {
        status = find_dips(&variant, &plan, question->options, cell->dips_to);
    }
    cell->fabric = fabric;
    cell->cloth_dips = status_is_ok(&status) ? period.cloth_dips.nominal : NAN;
    scenario_free(&variant);
    return status;
}
