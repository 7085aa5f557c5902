/* reference.h: a run of the vat whose integrator is handed in from outside, for a program that loads this as a
 * shared library. */
#ifndef VATCAST_TESTS_REFERENCE_H
#define VATCAST_TESTS_REFERENCE_H

#include "sim/result.h"

#include <stddef.h>

/* The integrator of another program. `ode` names the problem for the calls below; sizes are reference_states and
 * reference_rates. */
struct reference_integrator {
    /* Begins at (t, y) with absolute tolerances as the scenario's own run has them; steps longer than `longest` are
     * not taken. */
    void (*begin)(void *ode, double t, double stop, const double *y, const double *absolute, double longest);
    /* One step, not past the stop. Fills the new state and adds what each process did to the extents. Returns the
     * time, NaN on failure. */
    double (*step)(double *y, double *extents);
    /* State inside the last step, and the extents up to there counted from the step's start. */
    void (*between)(double t, double *y, double *extents);
};

size_t reference_states(void *ode);
size_t reference_rates(void *ode);
/* d y / d t at (t, y). Returns 0, else it cannot be had there. */
int reference_derivative(void *ode, double t, const double *y, double *derivative);
/* d/dy of that, n x n, row by row. */
int reference_jacobian(void *ode, double t, const double *y, double *jacobian);
/* Rates of the processes. */
int reference_extent_rates(void *ode, double t, const double *y, double *rates);

/* Runs a scenario file with that integrator. Returns NULL after writing into `message`. Free with reference_free. */
struct result *reference_run(const char *scenario, const char *models, const struct reference_integrator *integrator,
                             char *message, size_t size);
void reference_free(struct result *result);

/* The values of a column: table "series", "events", "dips", "pieces" or "ledger/NAME". NULL when there is none. */
const double *reference_column(const struct result *result, const char *table, const char *column, size_t *rows);

#endif
