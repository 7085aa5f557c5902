/* run.c: the loop of a run: integrate to the next thing in the calendar, record on the way, apply it, and again. */
#include "sim/run_inside.h"

#include "chem/physics.h"
#include "chem/water.h"
#include "sim/actions.h"
#include "sim/ledger.h"
#include "sim/observe.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LONGEST_STEP 7200.0  /* s: day and night must be seen */
#define STEPS_MOST 1e7       /* of the integration; three years with 100 000 happenings take some 300 000 */
#define FREEZING_K 273.15
#define BOILING_SHARE 0.925        /* of the air's pressure that the vapour's may reach: about 2 K below boiling */
#define DRYING_TIME (4.0 * 3600.0) /* s; estimate */
#define DRY_SHARE 0.02       /* of the vessel: less liquor than this is no vat */

static char *copy_text(const char *text)
{
    size_t size = strlen(text == NULL ? "" : text) + 1;
    char *copy = malloc(size);
    if (copy != NULL) {
        memcpy(copy, text == NULL ? "" : text, size);
    }
    return copy;
}

/* One line per scenario event, for people: what it does, with what. */
char *run_event_lines(const struct scenario *scenario)
{
    const size_t width = 200;
    char *lines = calloc(scenario->event_count + 1, width);
    if (lines == NULL) {
        return NULL;
    }
    char *at = lines;
    for (size_t i = 0; i < scenario->event_count; i++) {
        const struct event_spec *spec = &scenario->events[i];
        const char *what = spec->action == ACTION_ADD   ? scenario->model.materials[spec->dose.material].name
                           : spec->action == ACTION_DIP || spec->action == ACTION_RINSE || spec->action == ACTION_SOUR ||
                                 spec->action == ACTION_WASH
                             ? scenario->cloth[spec->cloth].name
                           : spec->action == ACTION_STIR ? stir_words[spec->stir]
                           : spec->action == ACTION_COVER ? lid_words[spec->lid]
                           : spec->action == ACTION_WRAP ? wrap_words[spec->wrap]
                           : spec->action == ACTION_MOVE ? scenario->places[spec->place].name
                           : spec->action == ACTION_READ ? instrument_words[spec->instrument]
                                                         : "";
        at += snprintf(at, width, "%s%s%s%s\n", action_words[spec->action], what[0] != '\0' ? " " : "", what,
                       spec->action == ACTION_ADD && spec->dose.by_volume ? " (by spoon)" : "");
    }
    return lines;
}

static char *kind_names(const struct scenario *scenario)
{
    char *names = calloc(scenario->cloth_count + 1, NAME_SIZE + 1);
    char *at = names;
    for (size_t i = 0; names != NULL && i < scenario->cloth_count; i++) {
        at += snprintf(at, NAME_SIZE + 1, "%s\n", scenario->cloth[i].name);
    }
    return names;
}

static struct status describe(const struct scenario *scenario, const struct run_options *options, struct result *result)
{
    (void)snprintf(result->title, sizeof result->title, "%s", scenario->title);
    (void)snprintf(result->scenario_name, sizeof result->scenario_name, "%s", scenario->path);
    result->start_unix = scenario->start_unix;
    result->seed = scenario->seed;
    result->rtol = options != NULL && options->rtol > 0.0 ? options->rtol : scenario->rtol;
    result->scenario_text = copy_text(scenario->scenario_text);
    result->model_text = copy_text(scenario->model.model_text);
    result->piece_names = kind_names(scenario);
    result->event_labels = run_event_lines(scenario);
    if (result->scenario_text == NULL || result->model_text == NULL || result->piece_names == NULL ||
        result->event_labels == NULL) {
        return status_fail(STATUS_MEMORY, "no memory for the result");
    }
    return run_add_columns(result, run_series_of(options));
}

/* ---- between events --------------------------------------------------------------------------------------------- */

static double temperature_now(const double *amount)
{
    return temperature_of_heat(amount[S_HEAT], amount[S_WATER]);
}

static struct status check_physics(const struct vat *vat, const double *amount, double time)
{
    double temperature = temperature_now(amount);
    double day = floor(time / 86400.0) + 1.0;
    if (temperature < FREEZING_K) {
        return status_fail(STATUS_NUMERIC, "the vat freezes on day %.0f; the model ends at 0 degC: give it a warmer place", day);
    }
    if (water_vapour_pressure(temperature) > BOILING_SHARE * vat->settings.pressure_atm * STANDARD_ATMOSPHERE) {
        return status_fail(STATUS_NUMERIC,
                           "the vat boils on day %.0f, at %.0f degC; the model is good to 60 degC: less heat", day,
                           temperature - FREEZING_K);
    }
    if (amount[S_WATER] * WATER_MOLAR_MASS / 1e3 < DRY_SHARE * vat->capacity) {
        return status_fail(STATUS_NUMERIC, "the vat has run dry on day %.0f: top it up", day);
    }
    return status_ok();
}

/* Time inside the last step at which the liquor reaches the heater's set point. */
static double time_reached(struct run *run, double goal_K)
{
    double low = ode_step_start(run->vat.ode);
    double high = ode_time(run->vat.ode);
    for (int i = 0; i < 60 && high - low > 1e-9 * fmax(1.0, high); i++) {
        double middle = 0.5 * (low + high);
        ode_interpolate(run->vat.ode, middle, run->between);
        if (temperature_now(run->between) < goal_K) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return high;
}

/* Ends the last step where the vat first freezes, boils or runs dry, if it does, so that nothing is told of a vat beyond that. */
static struct status end_where_physics_ends(struct run *run)
{
    struct ode *ode = run->vat.ode;
    struct status status = check_physics(&run->vat, ode_state(ode), ode_time(ode));
    if (status_is_ok(&status)) {
        return status;
    }
    double low = ode_step_start(ode);
    double high = ode_time(ode);
    for (int i = 0; i < 60 && high - low > 1.0; i++) {
        double middle = 0.5 * (low + high);
        ode_interpolate(ode, middle, run->between);
        struct status within = check_physics(&run->vat, run->between, middle);
        *(status_is_ok(&within) ? &low : &high) = middle;
    }
    RETURN_IF_FAILED(ode_step_again(ode, high));
    return check_physics(&run->vat, ode_state(ode), high);
}

static bool stopped(const struct run *run)
{
    return run->options != NULL && is_stop_raised(run->options->stop);
}

/* After a step: ends it where the heater reaches its set point, looks at the vat and records what fell inside. */
static struct status look_at_step(struct run *run)
{
    struct vat *vat = &run->vat;
    if (vat->heater_goal_K > 0.0 && temperature_now(ode_state(vat->ode)) >= vat->heater_goal_K) {
        RETURN_IF_FAILED(ode_step_again(vat->ode, time_reached(run, vat->heater_goal_K)));
        run->leg.reached = true;
    }
    struct status physics = end_where_physics_ends(run);
    RETURN_IF_FAILED(run_record_inside(run, ode_time(vat->ode)));
    RETURN_IF_FAILED(physics);
    /* the rates were last worked out at the end of the step, to its tolerance */
    RETURN_IF_FAILED(vat_watch_range(vat, ode_time(vat->ode), &vat->reaction.base));
    if (run->options != NULL && run->options->progress != NULL) {
        run->options->progress(run->options->progress_context, ode_time(vat->ode) / run->end);
    }
    return status_ok();
}

/* On with the leg, to its end or to where a step is to be tried (`leg.trying`). */
static struct status go_on_with_leg(struct run *run)
{
    struct vat *vat = &run->vat;
    if (run->leg.trying) {
        bool taken;
        RETURN_IF_FAILED(ode_end_step(vat->ode, &taken));
        if (!taken) {
            return status_ok();
        }
        run->leg.trying = false;
        RETURN_IF_FAILED(look_at_step(run));
    }
    if (ode_time(vat->ode) >= run->leg.stop || run->leg.reached || stopped(run)) {
        return status_ok();
    }
    if (ode_statistics_of(vat->ode).steps >= STEPS_MOST) {
        return status_fail(
            STATUS_LIMIT,
            "the run takes more than %.0f steps; by day %.0f it is not done: fewer days or fewer events",
            STEPS_MOST, floor(ode_time(vat->ode) / 86400.0) + 1.0);
    }
    ode_begin_step(vat->ode, run->leg.stop);
    run->leg.trying = true;
    return status_ok();
}

/* Whether what happened since the last leg, if anything, touched neither the vat nor what its rates depend on: cloth that has hung
 * long enough, a look that led to nothing. What is quick about a vat begins anew with each leg. */
static bool is_untouched(const struct run *run)
{
    const struct vat *vat = &run->vat;
    return !ode_is_quick(vat->ode) && memcmp(&run->settings, &vat->settings, sizeof run->settings) == 0 &&
           memcmp(vat->amount, ode_state(vat->ode), sizeof vat->amount) == 0;
}

/* A leg goes from event to event. */
static struct status begin_leg(struct run *run, double stop)
{
    struct vat *vat = &run->vat;
    reaction_look_at_settings(&vat->reaction);
    if (is_untouched(run)) {
        ode_go_on(vat->ode);
    } else {
        RETURN_IF_FAILED(ode_restart(vat->ode, vat->time, vat->amount, LONGEST_STEP));
    }
    run->settings = vat->settings;
    run->leg = (struct leg){.on = true, .stop = stop};
    return status_ok();
}

/* What happened is booked even when it ends in a failure. */
static struct status end_leg(struct run *run, struct status outcome)
{
    struct vat *vat = &run->vat;
    run->leg.on = run->leg.trying = false;
    memcpy(vat->amount, ode_state(vat->ode), sizeof vat->amount);
    vat->time = ode_time(vat->ode);
    ledger_add_leg(vat, ode_extents(vat->ode));
    vat->result->statistics.legs++;
    RETURN_IF_FAILED(outcome);
    RETURN_IF_FAILED(vat_refresh(vat));
    if (run->leg.reached) {
        RETURN_IF_FAILED(action_heater_reached(vat, &run->calendar));
        RETURN_IF_FAILED(action_record_plain(vat, RUN_ACTION_HEATER_REACHED));
    }
    return status_ok();
}

/* ---- at events -------------------------------------------------------------------------------------------------- */

static struct status apply(struct run *run, const struct entry *entry)
{
    struct vat *vat = &run->vat;
    vat->result->statistics.events++;
    switch (entry->kind) {
    case ENTRY_CLOTH_OUT:
        return action_cloth_out(vat, &run->calendar, entry->index);
    case ENTRY_CLOTH_FREE:
        cloth_release(vat, entry->index);
        return status_ok();
    case ENTRY_STIR_END:
        return action_stir_end(vat);
    case ENTRY_HOLD_END:
        return action_heater_off(vat, &run->calendar);
    case ENTRY_CLOTH_IN:
        return action_cloth_in(vat, &run->calendar, entry->index);
    case ENTRY_EVENT:
        return action_do(vat, &run->calendar, entry->index);
    }
    return status_fail(STATUS_BUG, "an unknown entry in the calendar");
}

static struct status apply_all_now(struct run *run)
{
    struct entry entry;
    while (calendar_next_time(&run->calendar) <= run->vat.time + SAME_TIME && calendar_take(&run->calendar, &entry)) {
        RETURN_IF_FAILED(apply(run, &entry));
        RETURN_IF_FAILED(vat_refresh(&run->vat));
        RETURN_IF_FAILED(check_physics(&run->vat, run->vat.amount, run->vat.time));
    }
    return status_ok();
}

static struct status begin(struct run *run)
{
    run->begun = true;
    RETURN_IF_FAILED(action_record_plain(&run->vat, RUN_ACTION_START));
    return action_schedule_all(&run->vat, &run->calendar);
}

/* When the run ends: with the scenario, or when the last piece at its target has turned blue and dried. */
static double end_of(const struct run *run)
{
    const struct vat *vat = &run->vat;
    bool is_done = vat->scenario->ends_when_done && cloth_all_is_done(vat);
    return is_done ? fmin(run->end, vat->last_dip_end + DRYING_TIME) : run->end;
}

/* What is due now, then a leg, unless `time` is reached: `leg.on`. */
static struct status go_on_between_legs(struct run *run, double time)
{
    struct vat *vat = &run->vat;
    RETURN_IF_FAILED(apply_all_now(run));
    double until = fmin(time, end_of(run));
    if (vat->time >= until - SAME_TIME || stopped(run)) {
        return status_ok();
    }
    RETURN_IF_FAILED(run_record_due(run));
    return begin_leg(run, fmin(calendar_next_time(&run->calendar), until));
}

struct status run_go_on(struct run *run, double time, struct ode **to_try)
{
    *to_try = NULL;
    for (;;) {
        if (!run->leg.on) {
            RETURN_IF_FAILED(go_on_between_legs(run, time));
            if (!run->leg.on) {
                return status_ok();
            }
        }
        struct status outcome = go_on_with_leg(run);
        if (status_is_ok(&outcome) && run->leg.trying) {
            *to_try = run->vat.ode;
            return outcome;
        }
        RETURN_IF_FAILED(end_leg(run, outcome));
    }
}

struct status run_pause(struct run *run, double time)
{
    for (;;) {
        struct ode *to_try;
        RETURN_IF_FAILED(run_go_on(run, time, &to_try));
        if (to_try == NULL) {
            return status_ok();
        }
        ode_try_step(to_try);
    }
}

struct status run_until(struct run *run, double time)
{
    RETURN_IF_FAILED(run_pause(run, time));
    return run_record_due(run);
}

struct status run_finish(struct run *run, struct status outcome)
{
    struct vat *vat = &run->vat;
    struct result *result = vat->result;
    if (vat->ode != NULL) {
        struct ode_statistics statistics = ode_statistics_of(vat->ode);
        result->statistics.steps = statistics.steps;
        result->statistics.rejected_steps = statistics.rejected;
        result->statistics.rate_evaluations = statistics.evaluations;
        result->statistics.jacobians = statistics.jacobians;
        result->statistics.factorisations = statistics.factorisations;
    }
    if (vat->pieces != NULL) {
        bool in_colour = run->options == NULL || !run->options->wanted.bare_pieces;
        struct status filled = cloth_fill_pieces_table(vat, in_colour);
        struct status balanced = ledger_fill(vat);
        if (status_is_ok(&outcome)) {
            outcome = status_is_ok(&filled) ? balanced : filled;
        }
    }
    result->status = !status_is_ok(&outcome) ? RUN_FAILED : stopped(run) ? RUN_INTERRUPTED : RUN_COMPLETE;
    if (!status_is_ok(&outcome)) {
        (void)snprintf(result->failure, sizeof result->failure, "%s", outcome.message);
    }
    if (status_is_ok(&outcome) && result->status == RUN_INTERRUPTED) {
        return status_fail(STATUS_INTERRUPTED, "the run was stopped on day %.0f", floor(vat->time / 86400.0) + 1.0);
    }
    return outcome;
}

struct status run_open(const struct scenario *scenario, const struct run_options *options, struct result *result,
                       struct run **opened)
{
    result_init(result);
    struct run *run = calloc(1, sizeof *run);
    *opened = run;
    if (run == NULL) {
        return status_fail(STATUS_MEMORY, "no memory for the run");
    }
    run->options = options;
    run->seen = run_series_of(options);
    run->end = scenario->lasts;
    run->vat.result = result;
    RETURN_IF_FAILED(describe(scenario, options, result));
    struct status outcome = vat_start(&run->vat, scenario, result);
    run->vat.last_state = -1;
    run_record_prepare(run);
    return status_is_ok(&outcome) ? begin(run) : outcome;
}

struct status run_aside(struct run *run, struct result *aside)
{
    result_init(aside);
    RETURN_IF_FAILED(describe(run->vat.scenario, run->options, aside));
    run->vat.result = aside;
    return status_ok();
}

struct status run_put(struct run *run, int event, double time)
{
    return calendar_put(&run->calendar, fmax(time, run->vat.time), ENTRY_EVENT, event, event);
}

struct run_look run_look(const struct run *run)
{
    const struct vat *vat = &run->vat;
    return (struct run_look){
        .time = vat->time,
        .state = (int)observe_state(vat),
        .leuco = vat->liquor.concentration[S_LEUCO] * MOLAR_INDIGOTIN,
        .temperature_K = vat->liquor.temperature_K,
        .ph = vat->liquor.ions.ph,
        .volume = vat->liquor.volume,
        .test_strip = cloth_test_strip(vat),
    };
}

struct status run_hand_over(struct run *from, struct run *to, int kind, int number)
{
    return cloth_hand_over(&from->vat, &to->vat, kind, number);
}

struct status run_close(struct run *run, struct status outcome)
{
    if (run == NULL) {
        return outcome;
    }
    if (status_is_ok(&outcome) && run->begun) {
        outcome = action_record_plain(&run->vat, RUN_ACTION_END);
    }
    outcome = run_finish(run, outcome);
    vat_free(&run->vat);
    calendar_free(&run->calendar);
    free(run);
    return outcome;
}

struct status run_scenario(const struct scenario *scenario, const struct run_options *options, struct result *result)
{
    struct run *run;
    struct status outcome = run_open(scenario, options, result, &run);
    if (status_is_ok(&outcome)) {
        outcome = run_until(run, scenario->lasts);
    }
    return run_close(run, outcome);
}
