/* run.h: a scenario run from its start to its end. */
#ifndef VATCAST_SIM_RUN_H
#define VATCAST_SIM_RUN_H

#include "scenario/scenario.h"
#include "sim/result.h"

/* What a caller may watch or steer; every member may be NULL or zero. */
struct run_options {
    void (*progress)(void *context, double done_share); /* called now and then with 0 to 1 */
    void *progress_context;
    const volatile int *stop; /* when it turns non-zero the run ends as RUN_INTERRUPTED; see is_stop_raised */
    double rtol;              /* overrides the scenario's when above 0 */
};

/* Whether a stop flag (may be NULL) is up. It may be raised by a signal handler or another thread, by
 * __atomic_store_n. */
static inline bool is_stop_raised(const volatile int *stop)
{
    return stop != NULL && __atomic_load_n(stop, __ATOMIC_RELAXED) != 0;
}

/* Runs the scenario and fills `result` (initialised by this function; freed by the caller with result_free). On
 * failure the result holds what happened up to the failure with status RUN_FAILED, and the failure is returned. Same
 * scenario, same result, to the last bit. Errors: STATUS_NUMERIC, STATUS_LIMIT, STATUS_MEMORY, STATUS_INTERRUPTED. */
struct status run_scenario(const struct scenario *scenario, const struct run_options *options, struct result *result)
    MUST_USE;

#endif
