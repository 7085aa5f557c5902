/* work.c: see work.h. */
#include "study/work.h"

#include "chem/physics.h"
#include "study/course.h"

#include "process/registry.h"
#include "sim/series.h"
#include "study/outcome.h"
#include "study/variant.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define SWATCH_MASS 1e-3       /* kg: too little to be felt by the vat */
#define HEATER_PER_VOLUME 20e3 /* W/m3 where the vessel has no heater of its own: 20 L take 400 W; estimate */
#define RECORD_SHORT 300.0     /* s */
#define RECORD_LONG 1800.0     /* s, for runs beyond three days */
#define DAYS_SHORT 3.0
#define DEFAULT_SOAK 480.0 /* s; practice: 8 min */
#define LEAST_START 7200.0 /* s: a fresh vat is left alone so long */
#define FEED_DELAY 600.0   /* s after the last load came out */
#define CARE_LEAD 5400.0   /* s before a session: warm, fill up, lime */

double work_end(const struct work_plan *plan)
{
    return plan->begin + (plan->sessions - 1) * plan->session_every + (plan->loads - 1) * plan->every + plan->soak;
}

double work_cloth_dips(const struct work_plan *plan)
{
    return plan->load * plan->loads * plan->sessions;
}

int work_swatches(const struct work_plan *plan)
{
    return plan->shade < SHADE_COUNT ? 1 : plan->loads;
}

/* How runs are done of which only these series are read, and no colours. */
static struct run_options only(const struct run_options *options, uint64_t series)
{
    struct run_options how = options != NULL ? *options : (struct run_options){0};
    how.wanted = (struct run_wanted){.series = series, .bare_pieces = true};
    return how;
}

/* ---- laying out ------------------------------------------------------------------------------------------------- */

/* Warm, filled up and limed where it wants lime, an hour and a half before a session. */
static struct status add_care(struct scenario *variant, const struct work_plan *plan, double begin)
{
    double at = begin - CARE_LEAD;
    struct event_spec fill = event_at(ACTION_TOP_UP, at);
    fill.to_volume = plan->volume;
    fill.temperature_K = plan->warmth_K;
    RETURN_IF_FAILED(variant_add_event(variant, &fill));
    int lime = remedies_of(variant).lime;
    RETURN_IF_FAILED(variant_add_dose(variant, at + 60.0, lime, plan->lime * plan->volume, WORK_LIME_PH));
    RETURN_IF_FAILED(variant_add_stir(variant, at + 120.0));
    struct event_spec warm = event_at(ACTION_HEAT, at);
    warm.temperature_K = plan->warmth_K;
    warm.power = variant->vessel.heater_power > 0.0 ? variant->vessel.heater_power : HEATER_PER_VOLUME * plan->volume;
    return variant_add_event(variant, &warm);
}

static struct status add_dip(struct scenario *variant, const struct work_plan *plan, double at, int kind, int piece)
{
    struct event_spec event = event_at(ACTION_DIP, at);
    event.cloth = kind;
    event.pieces = 1;
    event.first_piece = piece;
    event.pick = piece > 0 ? PICK_FEWEST : PICK_UNFINISHED;
    event.soak = plan->soak;
    event.air = fmax(60.0, fmin(900.0, 2.0 * plan->every - plan->soak - 60.0));
    event.dips = 1;
    event.wring = WRING_HAND;
    return variant_add_event(variant, &event);
}

/* Two sets of cloth take turns, so that each airs while the other soaks. 0: the next unfinished one. */
static int piece_of_load(const struct work_plan *plan, int load)
{
    if (plan->shade < SHADE_COUNT) {
        return 0;
    }
    int set = load % 2;
    int dip = load / 2;
    return 2 * (dip / plan->dips_per_piece) + set + 1;
}

static struct status add_cloth(struct scenario *variant, const struct work_plan *plan)
{
    struct cloth_kind cloth = variant->cloth[plan->kind];
    int total = plan->loads * plan->sessions;
    (void)snprintf(cloth.name, sizeof cloth.name, "load");
    cloth.each = plan->load;
    cloth.count = plan->shade < SHADE_COUNT ? total : piece_of_load(plan, total - 1) + 1;
    (void)snprintf(cloth.target, sizeof cloth.target, "%s", plan->shade < SHADE_COUNT ? shade_name(plan->shade) : "");
    RETURN_IF_FAILED(variant_add_cloth(variant, &cloth));
    (void)snprintf(cloth.name, sizeof cloth.name, "swatch of the study");
    cloth.each = SWATCH_MASS;
    cloth.target[0] = '\0';
    cloth.count = total;
    return variant_add_cloth(variant, &cloth);
}

/* The loads of a session that begins then, a swatch with each of the first of them; the care after it. */
static struct status lay_session(struct scenario *variant, const struct work_plan *plan, int session, double begin)
{
    int load_kind = (int)variant->cloth_count - 2;
    int swatch_kind = (int)variant->cloth_count - 1;
    for (int i = 0; i < plan->loads; i++) {
        int load = session * plan->loads + i;
        if (i < work_swatches(plan)) {
            RETURN_IF_FAILED(add_dip(variant, plan, begin + i * plan->every, swatch_kind, load + 1));
        }
        if (plan->load > 0.0) {
            RETURN_IF_FAILED(add_dip(variant, plan, begin + i * plan->every, load_kind, piece_of_load(plan, load)));
        }
    }
    if (plan->own_care) {
        return status_ok();
    }
    double out = begin + (plan->loads - 1) * plan->every + plan->soak;
    RETURN_IF_FAILED(
        variant_add_dose(variant, out + FEED_DELAY, remedies_of(variant).sugar, plan->sugar * plan->volume, 0.0));
    return variant_add_stir(variant, out + FEED_DELAY + 120.0);
}

static struct status lay_out(struct scenario *variant, const struct work_plan *plan)
{
    if (plan->own_care) {
        variant_clear_dyeing(variant, work_end(plan) + plan->after);
    } else {
        variant_clear_work(variant, plan->begin);
    }
    variant_read_truly(variant);
    variant->ends_when_done = false;
    variant->lasts = work_end(plan) + plan->after;
    variant->record_every = variant->lasts > DAYS_SHORT * 86400.0 ? RECORD_LONG : RECORD_SHORT;
    RETURN_IF_FAILED(add_cloth(variant, plan));
    for (int session = 0; session < plan->sessions; session++) {
        double begin = plan->begin + session * plan->session_every;
        if (session > 0 && !plan->own_care) {
            RETURN_IF_FAILED(add_care(variant, plan, begin));
        }
        RETURN_IF_FAILED(lay_session(variant, plan, session, begin));
    }
    return status_ok();
}

/* ---- reading ---------------------------------------------------------------------------------------------------- */

bool work_is_fit(int state)
{
    /* A fermented vat's pH falls fast after every session; that wants lime, and is no reason to stop. */
    return outcome_is_fit(state) || state == VAT_RUNAWAY;
}

/* Reads what the swatches of the next loads found, as far as the run has come. */
static void read_loads(const struct work_plan *plan, struct work_done *done)
{
    const struct table *dips = &done->result.dips;
    const struct column *kind = table_column(dips, "kind");
    const struct column *time = table_column(dips, "time");
    const struct column *sorbed = table_column(dips, "sorbed");
    const struct column *carried = table_column(dips, "carried");
    const struct column *leuco = table_column(dips, "leuco");
    const struct column *when = table_column(&done->result.series, "time");
    const struct column *state = table_column(&done->result.series, "state");
    int most = work_swatches(plan) * plan->sessions;
    size_t at = 0;
    done->count = 0;
    for (size_t row = 0; row < dips->rows && done->count < most; row++) {
        if ((int)kind->values[row] != done->load_kind + 1) {
            continue;
        }
        while (at + 1 < done->result.series.rows && when->values[at + 1] < time->values[row]) {
            at++;
        }
        int now = (int)state->values[at];
        done->loads[done->count++] = (struct load_found){
            .time = time->values[row],
            .taken = 1e-3 * (sorbed->values[row] + carried->values[row]),
            .leuco = leuco->values[row],
            .state = now,
            .workable = work_is_fit(now),
        };
    }
}

/* Session after session until all are done or it is enough. */
static struct status run_sessions(struct run *run, const struct work_plan *plan, work_enough *enough, void *context,
                                  struct work_done *done)
{
    for (int session = 0; session < plan->sessions && enough != NULL; session++) {
        struct work_plan so_far = *plan;
        so_far.sessions = session + 1;
        RETURN_IF_FAILED(run_until(run, work_end(&so_far) + FEED_DELAY));
        read_loads(plan, done);
        if (enough(context, &so_far, done)) {
            return status_ok();
        }
    }
    return run_until(run, INFINITY);
}

static struct status run_variant(const struct scenario *variant, const struct work_plan *plan,
                                 const struct run_options *options, work_enough *enough, void *context,
                                 struct work_done *done)
{
    const struct run_options how = only(options, WORK_SERIES);
    struct run *run;
    done->load_kind = (int)variant->cloth_count - 2;
    done->loads = calloc((size_t)(plan->loads * plan->sessions) + 1, sizeof *done->loads);
    if (done->loads == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to read what was dyed");
    }
    struct status status = run_open(variant, &how, &done->result, &run);
    if (status_is_ok(&status)) {
        status = run_sessions(run, plan, enough, context, done);
    }
    RETURN_IF_FAILED(run_close(run, status));
    read_loads(plan, done);
    return status_ok();
}

struct status work_run_until(const struct scenario *scenario, const struct work_plan *plan,
                             const struct run_options *options, work_enough *enough, void *context,
                             struct work_done *done)
{
    *done = (struct work_done){0};
    if (plan->loads < 1 || plan->sessions < 1 || plan->loads * plan->sessions > WORK_LOADS_MOST) {
        return status_fail(STATUS_LIMIT, "%d sessions of %d loads are too many; expected at most %d loads in all",
                           plan->sessions, plan->loads, WORK_LOADS_MOST);
    }
    struct scenario variant;
    RETURN_IF_FAILED(variant_make(scenario, &variant));
    struct status status = lay_out(&variant, plan);
    if (status_is_ok(&status)) {
        status = run_variant(&variant, plan, options, enough, context, done);
    }
    scenario_free(&variant);
    if (!status_is_ok(&status)) {
        work_free(done);
    }
    return status;
}

struct status work_run(const struct scenario *scenario, const struct work_plan *plan, const struct run_options *options,
                       struct work_done *done)
{
    return work_run_until(scenario, plan, options, NULL, NULL, done);
}

void work_free(struct work_done *done)
{
    free(done->loads);
    result_free(&done->result);
    *done = (struct work_done){0};
}

/* ---- what the scenario decides ---------------------------------------------------------------------------------- */

/* The first dip of a cloth in the calendar, or NULL. Dips that follow other events have no time of their own. */
static const struct event_spec *first_dip(const struct scenario *scenario, int kind)
{
    const struct event_spec *first = NULL;
    for (size_t i = 0; i < scenario->event_count; i++) {
        const struct event_spec *event = &scenario->events[i];
        if (event->action == ACTION_DIP && event->cloth == kind && event->timing != TIMING_AFTER &&
            (first == NULL || event->at < first->at)) {
            first = event;
        }
    }
    return first;
}

/* Row of the series where work may begin. */
static size_t begin_row(const struct result *result, double first)
{
    const struct column *time = table_column(&result->series, "time");
    const struct column *state = table_column(&result->series, "state");
    size_t row = 0;
    while (row + 1 < result->series.rows &&
           (isfinite(first) ? time->values[row + 1] <= first
                            : time->values[row] < LEAST_START || !work_is_fit((int)state->values[row]))) {
        row++;
    }
    return row;
}

/* Cells are what a fermented vat lives by; only its model lets them grow. */
static bool is_fermented(const struct scenario *scenario)
{
    for (size_t i = 0; i < process_count(); i++) {
        if (scenario->model.process_on[i] && strcmp(process_at(i)->name, "ferment_growth") == 0) {
            return true;
        }
    }
    return false;
}

struct status work_plan_from(const struct scenario *scenario, int kind, const struct run_options *options,
                             struct work_plan *plan, bool *fit)
{
    const struct run_options how = only(options, SERIES_BIT(STATE) | SERIES_BIT(TEMPERATURE) | SERIES_BIT(VOLUME));
    const struct event_spec *dip = first_dip(scenario, kind);
    double first = dip != NULL ? dip->at : INFINITY;
    struct scenario variant;
    struct result result;
    RETURN_IF_FAILED(variant_make(scenario, &variant));
    variant_clear_work(&variant, first);
    variant_read_truly(&variant);
    variant.ends_when_done = false;
    variant.record_every = RECORD_SHORT;
    if (isfinite(first)) {
        variant.lasts = fmax(first, 60.0);
    }
    struct status status = run_scenario(&variant, &how, &result);
    if (status_is_ok(&status)) {
        size_t row = begin_row(&result, first);
        plan->kind = kind;
        plan->begin = isfinite(first) ? first : table_column(&result.series, "time")->values[row];
        plan->warmth_K = table_column(&result.series, "temperature")->values[row] + CELSIUS_ZERO;
        plan->volume = table_column(&result.series, "volume")->values[row] * 1e-3;
        plan->soak = dip != NULL ? dip->soak : DEFAULT_SOAK;
        plan->shade = SHADE_COUNT;
        plan->own_care = is_fermented(scenario);
        bool is_fit = work_is_fit((int)table_column(&result.series, "state")->values[row]);
        if (fit != NULL) {
            *fit = is_fit;
        }
        if (!isfinite(first) && !is_fit) {
            status = status_fail(STATUS_SCENARIO,
                                 "the vat of '%.200s' is never ready to dye; see what ails it with 'vatcast run'",
                                 scenario->path);
        }
    }
    result_free(&result);
    scenario_free(&variant);
    return status;
}
