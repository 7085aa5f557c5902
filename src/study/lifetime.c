/* lifetime.c: see lifetime.h. */
#include "study/lifetime.h"

#include "sim/series.h"

#include <math.h>

#define REST_MOST (48.0 * 3600.0)
#define REST_GOAL 0.9

struct status lifetime_rest(const struct scenario *scenario, const struct work_plan *session,
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
    capacity->first_leuco = done.count > 0 ? done.loads[0].leuco : 0.0;
    capacity->rest_comes_to = capacity->first_leuco > 0.0 ? most / capacity->first_leuco : 0.0;
    capacity->rest = NAN;
    for (size_t row = 0; row < done.result.series.rows && isnan(capacity->rest); row++) {
        if (time->values[row] > end && work_is_fit((int)state->values[row]) && leuco->values[row] >= REST_GOAL * most) {
            capacity->rest = time->values[row] - end;
        }
    }
    work_free(&done);
    return status_ok();
}

/* ---- until it is pale ------------------------------------------------------------------------------------------- */

/* Until the first dip of a session takes less than a share of the first of all. */
static struct stretch until_pale(const struct work_done *done, const struct work_plan *plan, double share)
{
    struct stretch stretch = {.is_whole = true};
    double first = done->count > 0 ? done->loads[0].taken : 0.0;
    int swatches = work_swatches(plan);
    for (int s = 0; s < plan->sessions && (s + 1) * swatches <= done->count; s++) {
        if (s > 0 && done->loads[(size_t)s * (size_t)swatches].taken < share * first) {
            stretch.is_whole = false;
            break;
        }
        stretch.cloth_dips += plan->loads * plan->load;
        stretch.sessions = s + 1;
    }
    return stretch;
}

/* ---- lot after lot to a shade ----------------------------------------------------------------------------------- */

/* Dips that a lot may take before it is given up. */
static double dips_allowed(const struct shade_capacity *found)
{
    return found->first_dips > 0 ? CAPACITY_GIVE_UP * found->first_dips : CAPACITY_DIPS_MOST;
}

/* Reads what has come to the shade from the dips of the lots, which stand in order of time. True: a lot is given up. */
static bool read_shade(const struct work_done *done, const struct work_plan *plan, double job,
                       struct shade_capacity *found)
{
    const struct table *dips = &done->result.dips;
    const struct column *kind = table_column(dips, "kind");
    const struct column *time = table_column(dips, "time");
    const struct column *count = table_column(dips, "dip");
    const struct column *shade = table_column(dips, "shade");
    double week = plan->begin + CAPACITY_WEEK_SESSIONS * plan->session_every;
    bool gave_up = false;
    *found = (struct shade_capacity){.job = job, .job_days = {NAN, INFINITY, NAN}};
    found->at_shade = (struct span){NAN, 0.0, NAN};
    for (size_t row = 0; row < dips->rows; row++) {
        if ((int)kind->values[row] != done->load_kind) {
            continue;
        }
        if (count->values[row] > dips_allowed(found)) {
            gave_up = true;
        } else if (shade->values[row] >= (double)plan->shade) {
            found->first_dips = found->first_dips > 0 ? found->first_dips : (int)count->values[row];
            found->last_dips = (int)count->values[row];
            found->at_shade.nominal += plan->load;
            found->in_week += time->values[row] < week ? plan->load : 0.0;
            found->days = floor((time->values[row] - plan->begin) / 86400.0) + 1.0;
            if (isinf(found->job_days.nominal) && found->at_shade.nominal >= job * (1.0 - 1e-9)) {
                found->job_days.nominal = found->days;
            }
        }
    }
    return gave_up;
}

struct living {
    double job;
    struct lifetime *lifetime;
};

static bool is_spent(void *context, const struct work_plan *plan, const struct work_done *done)
{
    struct living *living = context;
    return !until_pale(done, plan, CAPACITY_LIFE_END).is_whole &&
           read_shade(done, plan, living->job, &living->lifetime->shade);
}

struct status lifetime_run(const struct scenario *scenario, const struct work_plan *week,
                           const struct capacity_question *question, struct lifetime *lifetime)
{
    const struct cloth_kind *cloth = &scenario->cloth[question->kind];
    struct living living = {.job = cloth->each * cloth->count, .lifetime = lifetime};
    struct work_plan plan = *week;
    struct work_done done;
    *lifetime = (struct lifetime){.whole.is_whole = true, .shade.job = living.job};
    lifetime->shade.job_days = (struct span){NAN, INFINITY, NAN};
    lifetime->shade.at_shade = (struct span){NAN, 0.0, NAN};
    if (!(plan.load > 0.0)) {
        return status_ok();
    }
    plan.sessions = CAPACITY_LIFE_SESSIONS;
    plan.shade = question->shade;
    RETURN_IF_FAILED(work_run_until(scenario, &plan, question->options, is_spent, &living, &done));
    lifetime->to_indigo = until_pale(&done, &plan, question->keep);
    lifetime->whole = until_pale(&done, &plan, CAPACITY_LIFE_END);
    lifetime->shade.is_longer = !read_shade(&done, &plan, living.job, &lifetime->shade);
    work_free(&done);
    return status_ok();
}

struct status lifetime_dips(const struct scenario *scenario, const struct work_plan *week,
                            const struct run_options *options, double dips_to[SHADE_COUNT])
{
    struct work_plan plan = *week;
    struct work_done done;
    for (int shade = 0; shade < SHADE_COUNT; shade++) {
        dips_to[shade] = NAN;
    }
    if (!(plan.load > 0.0)) {
        return status_ok();
    }
    plan.dips_per_piece = plan.loads * plan.sessions;
    RETURN_IF_FAILED(work_run(scenario, &plan, options, &done));
    const struct table *dips = &done.result.dips;
    const struct column *kind = table_column(dips, "kind");
    const struct column *count = table_column(dips, "dip");
    const struct column *shade = table_column(dips, "shade");
    for (size_t row = 0; row < dips->rows; row++) {
        if ((int)kind->values[row] != done.load_kind) {
            continue;
        }
        for (int s = 0; s <= (int)shade->values[row] && s < SHADE_COUNT; s++) {
            dips_to[s] = isnan(dips_to[s]) ? count->values[row] : dips_to[s];
        }
    }
    work_free(&done);
    return status_ok();
}
