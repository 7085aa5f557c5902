/* cmd_show.c: vatcast show: the story of a result file, the same that run prints. */
#include "cli/summary.h"
#include "cli/sweep_text.h"
#include "cli/verbs.h"
#include "record/sweep_file.h"
#include "study/figures.h"

static const struct option_spec options[] = {
    {0, NULL, NULL, NULL},
};

static struct status act(const struct call *call)
{
    struct sweep_about about;
    struct table percentiles;
    struct result result;
    bool is_sweep;
    const char *path = call->operands[0];
    struct status status = sweep_or_result_read(path, &about, &percentiles, &result, &is_sweep);
    if (status_is_ok(&status) && is_sweep && percentiles.rows != PERCENTILE_COUNT) {
        status = status_fail(STATUS_IO, "'%.200s' cannot be read: /percentiles has not the %d rows of a sweep", path,
                             PERCENTILE_COUNT);
    }
    if (status_is_ok(&status) && is_sweep) {
        sweep_print(&about, &percentiles, path, call->colour);
    } else if (status_is_ok(&status)) {
        summary_print(stdout, &result, path, call->colour);
    }
    sweep_about_free(&about);
    table_free(&percentiles);
    result_free(&result);
    return status;
}

const struct verb verb_show = {
    .name = "show",
    .operands = "FILE",
    .summary = "tell what a result file holds, day by day",
    .about = "Prints the story of a result: day by day what was done and what the vat looked like, what "
             "was dyed, where the indigo, the sugar and the lime went, and what to watch. Of a sweep it tells "
             "what was varied and between which figures the runs lie.",
    .options = options,
    .operands_least = 1,
    .operands_most = 1,
    .act = act,
};
