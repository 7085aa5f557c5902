/* cmd_run.c: vatcast run: a scenario from its start to its end, into a result file, told on the screen. */
#include "cli/option_values.h"
#include "cli/summary.h"
#include "cli/terminal.h"
#include "cli/verbs.h"
#include "record/publish.h"
#include "record/record.h"
#include "study/ensemble.h"
#include "study/many.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PARTIAL_END ".partial.h5"

static const struct option_spec options[] = {
    {'o', "output", "FILE", "where the result goes (default: NAME.h5 in this folder, after the scenario's name)"},
    {0, "set", "PATH=VALUE",
     "changes one setting of the scenario, as in --set 'vat.water.temperature=45 degC'; may be repeated"},
    {'m', "members", "N",
     "also run N vats drawn from what is uncertain, and give low and high of everything (see docs/sweep.md)"},
    {'j', "threads", "N", "how many of them run at once (default: one on each core)"},
    {0, "rtol", "X", "relative tolerance of the calculation (default: as the scenario says)"},
    {0, "force", NULL, "replace the result file when it is there already"},
    {'q', "quiet", NULL, "print nothing but complaints"},
    {0, NULL, NULL, NULL},
};

/* NAME.h5 for "folder/NAME.conf", owned by the caller; NULL without memory. */
static char *default_output(const char *scenario)
{
    const char *slash = strrchr(scenario, '/');
    const char *name = slash == NULL ? scenario : slash + 1;
    size_t length = strlen(name);
    if (length > 5 && strcmp(name + length - 5, ".conf") == 0) {
        length -= 5;
    }
    char *output = malloc(length + 4);
    if (output != NULL) {
        memcpy(output, name, length);
        memcpy(output + length, ".h5", 4);
    }
    return output;
}

/* NAME.partial.h5 for "NAME.h5", owned by the caller. */
static char *partial_output(const char *output)
{
    size_t length = strlen(output);
    if (length > 3 && strcmp(output + length - 3, ".h5") == 0) {
        length -= 3;
    }
    char *partial = malloc(length + sizeof PARTIAL_END);
    if (partial != NULL) {
        memcpy(partial, output, length);
        memcpy(partial + length, PARTIAL_END, sizeof PARTIAL_END);
    }
    return partial;
}

/* Writes the result of a run that ended in `run`: whole under its name, else what there is as NAME.partial.h5. */
static struct status write_result(const struct call *call, const struct result *result, const char *output,
                                  struct status run)
{
    if (status_is_ok(&run)) {
        RETURN_IF_FAILED(record_write(result, output, option_given(call, "force")));
        if (!option_given(call, "quiet")) {
            summary_print(stdout, result, output, call->colour);
        }
        return status_ok();
    }
    char *partial = result->series.rows > 0 ? partial_output(output) : NULL;
    if (partial == NULL) {
        return run;
    }
    struct status written = record_write(result, partial, true);
    if (status_is_ok(&written)) {
        fprintf(stderr, "vatcast: what was done so far is in '%s'\n", partial);
    } else {
        fprintf(stderr, "vatcast: %s\n", written.message);
    }
    free(partial);
    return run;
}

struct members {
    int count, threads;
};

static struct status add_members(const struct call *call, const struct scenario *scenario, double rtol,
                                 const struct members *members, struct result *result)
{
    struct progress progress;
    if (members->count == 0) {
        return status_ok();
    }
    progress_begin(&progress, option_given(call, "quiet"));
    struct run_options how = {
        .progress = progress_show, .progress_context = &progress, .stop = call->stop, .rtol = rtol};
    struct status status = ensemble_add(scenario, members->count, members->threads, &how, result);
    progress_end(&progress);
    return status;
}

static struct status act(const struct call *call)
{
    double rtol;
    struct members members = {0};
    struct scenario scenario;
    struct result result;
    struct progress progress;
    RETURN_IF_FAILED(option_tolerance(call, &rtol));
    RETURN_IF_FAILED(option_whole(call, "members", 2, ENSEMBLE_MOST, &members.count));
    RETURN_IF_FAILED(option_whole(call, "threads", 1, MANY_THREADS_MOST, &members.threads));
    RETURN_IF_FAILED(option_scenario(call, call->operands[0], &scenario));
    const char *named = option_value(call, "output", NULL);
    char *output = named != NULL ? strdup(named) : default_output(call->operands[0]);
    struct status status = output == NULL ? status_fail(STATUS_MEMORY, "no memory left to name the result")
                                          : publish_check(output, option_given(call, "force"));
    if (status_is_ok(&status)) {
        progress_begin(&progress, option_given(call, "quiet"));
        call->watch_signals();
        struct run_options how = {
            .progress = progress_show, .progress_context = &progress, .stop = call->stop, .rtol = rtol};
        status = run_scenario(&scenario, &how, &result);
        progress_end(&progress);
        if (status_is_ok(&status)) {
            status = add_members(call, &scenario, rtol, &members, &result);
        }
        status = write_result(call, &result, output, status);
        result_free(&result);
    }
    free(output);
    scenario_free(&scenario);
    return status;
}

const struct verb verb_run = {
    .name = "run",
    .operands = "SCENARIO",
    .summary = "run a scenario and write its result file",
    .about = "Runs a scenario (a file as docs/scenario-format.md tells) from its start to its end, writes "
             "the result (HDF5, see docs/result-format.md) and tells on the screen how it went. "
             "Ctrl-C ends the run early; what was done so far, of members too, then goes to NAME.partial.h5.",
    .options = options,
    .operands_least = 1,
    .operands_most = 1,
    .act = act,
};
