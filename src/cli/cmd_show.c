/* cmd_show.c: vatcast show: the story of a result file, the same that run prints. */
#include "cli/summary.h"
#include "cli/sweep_text.h"
#include "cli/verbs.h"
#include "record/record.h"
#include "record/sweep_file.h"
#include "study/figures.h"

static const struct option_spec options[] = {
    {0, NULL, NULL, NULL},
};

/* Tells a sweep; sets *told, when it is one. */
static struct status show_sweep(const struct call *call, bool *told)
{
    struct sweep_about about;
    struct table percentiles;
    struct status status = sweep_file_read(call->operands[0], &about, &percentiles, told);
    if (status_is_ok(&status) && *told && percentiles.rows != PERCENTILE_COUNT) {
        status = status_fail(STATUS_IO, "'%.200s' cannot be read: /percentiles has not the %d rows of a sweep",
                             call->operands[0], PERCENTILE_COUNT);
    }
    if (status_is_ok(&status) && *told) {
        sweep_print(&about, &percentiles, call->operands[0], call->colour);
    }
    sweep_about_free(&about);
    table_free(&percentiles);
    return status;
}

static struct status act(const struct call *call)
{
    struct result result;
    bool told = false;
    RETURN_IF_FAILED(show_sweep(call, &told));
    if (told) {
        return status_ok();
    }
    struct status status = record_read(call->operands[0], &result);
    if (status_is_ok(&status)) {
        summary_print(stdout, &result, call->operands[0], call->colour);
    }
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
