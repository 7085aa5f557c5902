/* course.c: see course.h. */
#include "study/course.h"

#include "chem/physics.h"
#include "process/species.h"
#include "sim/run.h"
#include "sim/series.h"
#include "study/readings.h"
#include "study/variant.h"

#include <math.h>
#include <string.h>

#define HOUR 3600.0
#define RECORD (15 * 60.0)
#define TOLERANCE 1e-3
#define WATTS_PER_M3 20000.0 /* of a pot on the stove or jugs of hot water, for a vat without a heater; estimate */
#define WATTS_MOST 2500.0
#define PI 3.14159265358979323846

/* Within which a vat can be worked; as the diagnoses of src/sim draw them (practice 3.1, common practice, no source). */
#define PH_LEAST 10.3
#define COLDEST 15.0 /* degC */
#define HOTTEST 50.0

/* By how much a vat in the mind must be inside these bounds, for the errors of its readings; estimates. Not at the upper
 * end of pH: that lies within a meter's error of a liquor just full of lime, which lime and sugar keep there by themselves. */
#define MARGIN_PH 0.05
#define MARGIN_LEUCO 1.05

const double course_times[COURSE_POINTS] = {0, HOUR, 2 * HOUR, 4 * HOUR, 8 * HOUR, 12 * HOUR, 24 * HOUR, 36 * HOUR};

/* Index of the material named, else the first of the kind, else -1. */
static int material_for(const struct model *model, const char *name, const char *kind)
{
    int found = -1;
    for (size_t i = 0; i < model->material_count; i++) {
        if (strcmp(model->materials[i].name, name) == 0) {
            return (int)i;
        }
        if (found < 0 && strcmp(model->materials[i].kind, kind) == 0) {
            found = (int)i;
        }
    }
    return found;
}

struct remedies remedies_of(const struct scenario *scenario)
{
    const struct model *model = &scenario->model;
    return (struct remedies){material_for(model, "fructose", "sugar"), material_for(model, "slaked lime", "lime"),
                             material_for(model, "vinegar", "acid")};
}

double vessel_room(const struct scenario *scenario)
{
    const struct vessel *vessel = &scenario->vessel;
    double area =
        vessel->shape == SHAPE_ROUND ? 0.25 * PI * vessel->diameter * vessel->diameter : vessel->length * vessel->width;
    return fmax(0.0, area * vessel->depth - scenario->fill);
}

double heater_at_hand(const struct scenario *scenario)
{
    double heater = scenario->vessel.heater_power;
    return heater > 0.0 ? heater : fmin(WATTS_MOST, WATTS_PER_M3 * scenario->fill);
}

static size_t correction_events(const struct scenario *scenario, const struct correction *step, double at,
                                struct event_spec *events)
{
    struct remedies remedies = remedies_of(scenario);
    events[0] = event_at(ACTION_ADD, at);
    events[1] = event_at(ACTION_STIR, at + 60.0);
    events[0].dose.mass = step->amount;
    switch (step->kind) {
    case CORRECTION_SUGAR:
        events[0].dose.material = remedies.sugar;
        return 2;
    case CORRECTION_LIME:
        events[0].dose.material = remedies.lime;
        return 2;
    case CORRECTION_ACID:
        events[0].dose.material = remedies.acid;
        return 2;
    case CORRECTION_WARM:
        events[0] = event_at(ACTION_HEAT, at);
        events[0].temperature_K = step->amount;
        events[0].power = heater_at_hand(scenario);
        return 1;
    case CORRECTION_STIR:
        events[0] = event_at(ACTION_STIR, at);
        return 1;
    case CORRECTION_COVER:
        events[0] = event_at(ACTION_COVER, at);
        events[0].lid = LID_TIGHT;
        return 1;
    case CORRECTION_WAIT:
    case CORRECTION_COUNT:
        break;
    }
    return 0;
}

size_t plan_events(const struct scenario *scenario, const struct plan *plan, double at, struct event_spec *events)
{
    size_t count = 0;
    for (int i = 0; i < plan->count; i++) {
        count += correction_events(scenario, &plan->steps[i], at, events + count);
        at += plan->steps[i].rest;
    }
    return count;
}

/* ---- what the series tell ---------------------------------------------------------------------------------------- */

struct traces {
    double usable; /* kg/m3 of leuco */
    const double *time, *temperature, *ph, *leuco, *state, *look;
    size_t rows;
};

static const double *trace(const struct result *result, const char *name)
{
    return table_column(&result->series, name)->values;
}

static struct traces traces_of(const struct scenario *vat, const struct result *result)
{
    return (struct traces){vat->model.constants[K_USABLE_LEUCO].nominal * MOLAR_INDIGOTIN,
                           trace(result, "time"),
                           trace(result, "temperature"),
                           trace(result, "ph"),
                           trace(result, "leuco"),
                           trace(result, "state"),
                           trace(result, "look"),
                           result->series.rows};
}

static bool is_ready(const struct traces *t, size_t row)
{
    return (int)t->state[row] == VAT_READY && t->leuco[row] > MARGIN_LEUCO * t->usable &&
           ph_at_25C(t->ph[row], t->temperature[row] + CELSIUS_ZERO) < COURSE_PH_MOST_25C &&
           t->ph[row] > PH_LEAST + MARGIN_PH;
}

/* The first time, not before `from`, at which the vat is ready and stays so for a session or to the end. */
static double find_ready(const struct traces *t, double from)
{
    double since = INFINITY;
    for (size_t row = 0; row < t->rows; row++) {
        if (!is_ready(t, row) || t->time[row] < from - 1.0) {
            since = INFINITY;
        } else if (isinf(since)) {
            since = t->time[row];
        }
        if (t->time[row] - since >= SESSION) {
            return since;
        }
    }
    return INFINITY;
}

static double wanting(const struct traces *t, size_t row)
{
    double warm_ph = ph_at_25C(t->ph[row], t->temperature[row] + CELSIUS_ZERO);
    return fmax(0.0, 1.0 - t->leuco[row] / t->usable) + fmax(0.0, PH_LEAST - t->ph[row]) +
           fmax(0.0, warm_ph - COURSE_PH_MOST_25C) / 0.5 + fmax(0.0, COLDEST - t->temperature[row]) / COLDEST;
}

/* Hours one would give to be spared what happens from `from` on. */
static double find_harm(const struct traces *t, double from)
{
    double harm = 0.0;
    for (size_t row = 0; row < t->rows; row++) {
        double hours = RECORD / HOUR;
        if (t->time[row] < from) {
            continue;
        }
        harm += (int)t->state[row] == VAT_OVER_REDUCED ? 0.5 * hours : 0.0;
        harm += t->temperature[row] > HOTTEST ? hours : 0.0;
        harm += t->ph[row] < PH_LEAST - 0.5 ? 0.2 * hours : 0.0;
    }
    return harm;
}

static double indigo_at(const struct result *result, size_t row)
{
    double litres = trace(result, "volume")[row];
    return litres * (trace(result, "leuco")[row] + trace(result, "leuco_held")[row] +
                     trace(result, "indigo_suspended")[row]) +
           trace(result, "indigo_bed")[row] + trace(result, "indigo_film")[row];
}

static void read_course(const struct scenario *vat, const struct result *result, double last, struct course *course)
{
    struct traces t = traces_of(vat, result);
    size_t end = t.rows - 1;
    course->ready_from = find_ready(&t, last);
    course->shortfall = wanting(&t, end);
    course->harm = find_harm(&t, last);
    course->indigo_spent = (int)t.state[end] == VAT_INDIGO_SPENT;
    course->ready_at_end = is_ready(&t, end);
    double before = indigo_at(result, 0);
    course->lost = before > 0.0 ? fmax(0.0, 1.0 - indigo_at(result, end) / before) : 0.0;
    size_t row = 0;
    for (int i = 0; i < COURSE_POINTS; i++) {
        while (row < end && t.time[row] < course_times[i] - 1.0) {
            row++;
        }
        course->points[i] =
            (struct course_point){t.ph[row], t.temperature[row], t.leuco[row], (int)t.state[row], (int)t.look[row]};
    }
}

/* What read_course reads, and the time. */
#define COURSE_SERIES                                                                                                  \
    (SERIES_BIT(TEMPERATURE) | SERIES_BIT(PH) | SERIES_BIT(LEUCO) | SERIES_BIT(STATE) | SERIES_BIT(LOOK) |             \
     SERIES_BIT(VOLUME) | SERIES_BIT(LEUCO_HELD) | SERIES_BIT(INDIGO_SUSPENDED) | SERIES_BIT(INDIGO_BED) |             \
     SERIES_BIT(INDIGO_FILM))

struct status course_run(const struct scenario *vat, const struct plan *plan, struct course *course)
{
    struct event_spec events[2 * PLAN_STEPS_MOST];
    struct scenario trial = *vat; /* borrows all but the calendar; never freed */
    trial.scenario_text = NULL;
    trial.cloth_count = 0;
    trial.events = events;
    trial.event_count = plan_events(vat, plan, 0.0, events);
    trial.lasts = COURSE_HORIZON + SESSION;
    trial.record_every = RECORD;
    trial.rtol = fmax(trial.rtol, TOLERANCE);
    double last = 0.0;
    for (int i = 0; i + 1 < plan->count; i++) {
        last += plan->steps[i].rest;
    }
    const struct run_options how = {.wanted = {.series = COURSE_SERIES, .bare_pieces = true}};
    struct result result;
    struct status status = run_scenario(&trial, &how, &result);
    *course = (struct course){.ready_from = INFINITY, .shortfall = 4.0};
    if (status_is_ok(&status)) {
        read_course(vat, &result, last, course);
    } else if (status.code == STATUS_NUMERIC) {
        status = status_ok();
    }
    result_free(&result);
    return status;
}
