/* core_alone.c: runs a compiled-in scenario with the core library and GSL alone, and checks what a browser page would need:
 * the run completes, every ledger closes, and the same scenario gives the same bits a second time in one process.
 */
#include "core_scenario.h"
#include "sim/run.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#define SHORT_RUN 259200.0 /* s: three days */
#define RESIDUAL_MOST 1e-9 /* relative; the promise of docs/architecture.md */

static int fail(const char *what)
{
    fprintf(stderr, "core_alone: %s\n", what);
    return 1;
}

static int check_result(const struct result *result)
{
    if (result->status != RUN_COMPLETE) {
        return fail("the run did not complete");
    }
    if (result->series.rows < 2 || result->series.column_count == 0) {
        return fail("the run recorded no series");
    }
    if (result->ledger_count == 0) {
        return fail("the run kept no ledger");
    }
    for (size_t i = 0; i < result->ledger_count; i++) {
        const struct table *ledger = &result->ledger[i];
        if (!(fabs(ledger->residual_relative) <= RESIDUAL_MOST)) {
            fprintf(stderr, "core_alone: the ledger of %s does not close: %.3g\n", ledger->name, ledger->residual_relative);
            return 1;
        }
    }
    return 0;
}

static int check_same(const struct table *first, const struct table *second)
{
    if (first->rows != second->rows || first->column_count != second->column_count) {
        return fail("a second run has another shape");
    }
    for (size_t i = 0; i < first->column_count; i++) {
        if (memcmp(first->columns[i].values, second->columns[i].values, first->rows * sizeof(double)) != 0) {
            fprintf(stderr, "core_alone: a second run differs in the series %s\n", first->columns[i].name);
            return 1;
        }
    }
    return 0;
}

int main(void)
{
    (void)gsl_set_error_handler_off();
    struct scenario *scenario = core_scenario();
    scenario->lasts = fmin(scenario->lasts, SHORT_RUN);

    struct run_options options = {0};
    struct result results[2];
    int failed = 0;
    for (int i = 0; i < 2; i++) {
        struct status status = run_scenario(scenario, &options, &results[i]);
        if (!status_is_ok(&status)) {
            failed = fail(status.message);
        } else if (check_result(&results[i]) != 0) {
            failed = 1;
        }
    }
    if (!failed) {
        failed = check_same(&results[0].series, &results[1].series);
    }
    result_free(&results[0]);
    result_free(&results[1]);
    return failed;
}
