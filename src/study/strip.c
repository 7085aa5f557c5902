/* strip.c: readings_strip of readings.h: how much leuco a test strip tells of. */
#include "sim/run.h"
#include "sim/series.h"
#include "study/readings.h"
#include "study/variant.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>
#include <math.h>

#define STRIP_ERROR 0.01 /* relative; the strip itself is worth a tenth */
#define STEPS_MOST 40

struct dipping {
    const struct scenario *scenario;
    struct status status;
};

/* How much bluer than read a strip comes out of the vat with so much leuco, kg/kg. */
static double difference(double leuco, void *context)
{
    struct dipping *dipping = context;
    struct event_spec reading = event_at(ACTION_READ, 0.0);
    struct scenario trial = *dipping->scenario; /* borrows all; never freed */
    struct result result;
    reading.instrument = INSTRUMENT_TEST_STRIP;
    trial.scenario_text = NULL;
    trial.model.model_text = NULL;
    trial.cloth_count = 0;
    trial.events = &reading;
    trial.event_count = 1;
    trial.lasts = 1.0;
    trial.record_every = 1.0;
    trial.existing.leuco = leuco;
    const struct run_options how = {
        .wanted = {.series = SERIES_BIT(TIME), .bare_pieces = true}}; /* the reading is an event */
    struct status status = run_scenario(&trial, &how, &result);
    double strip = NAN;
    const struct column *column = table_column(&result.events, "reading_strip");
    for (size_t row = 0; column != NULL && row < result.events.rows; row++) {
        strip = isnan(column->values[row]) ? strip : 1e-3 * column->values[row];
    }
    if (!status_is_ok(&status)) {
        dipping->status = status;
    }
    result_free(&result);
    return strip - dipping->scenario->existing.strip;
}

static double search(struct dipping *dipping, double most)
{
    gsl_function function = {difference, dipping};
    gsl_root_fsolver *solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    double found = NAN;
    if (solver == NULL) {
        dipping->status = status_fail(STATUS_MEMORY, "no memory left to read the test strip");
        return NAN;
    }
    int failed = gsl_root_fsolver_set(solver, &function, 0.0, most);
    for (int i = 0; i < STEPS_MOST && failed == GSL_SUCCESS && status_is_ok(&dipping->status); i++) {
        failed = gsl_root_fsolver_iterate(solver);
        found = gsl_root_fsolver_root(solver);
        if (gsl_root_test_interval(gsl_root_fsolver_x_lower(solver), gsl_root_fsolver_x_upper(solver), 0.0,
                                   STRIP_ERROR) == GSL_SUCCESS) {
            break;
        }
    }
    gsl_root_fsolver_free(solver);
    return found;
}

struct status readings_strip(const struct scenario *scenario, double *leuco, bool *too_blue)
{
    const struct existing_vat *vat = &scenario->existing;
    struct dipping dipping = {scenario, status_ok()};
    *leuco = NAN;
    *too_blue = false;
    if (isnan(vat->strip)) {
        return status_ok();
    }
    double at_most = difference(vat->indigotin, &dipping);
    if (!status_is_ok(&dipping.status) || isnan(at_most)) {
        return dipping.status;
    }
    if (at_most < 0.0) {
        *too_blue = true; /* and the look has to do */
    } else {
        *leuco = vat->strip > 0.0 ? search(&dipping, vat->indigotin) : 0.0;
    }
    return dipping.status;
}
