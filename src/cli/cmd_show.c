/* cmd_show.c: vatcast show: the story of a result file, the same that run prints. */
#include "cli/summary.h"
#include "cli/verbs.h"
#include "record/record.h"

static const struct option_spec options[] = {
    {0, NULL, NULL, NULL},
};

static struct status act(const struct call *call)
{
    struct result result;
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
             "was dyed, where the indigo, the sugar and the lime went, and what to watch.",
    .options = options,
    .operands_least = 1,
    .operands_most = 1,
    .act = act,
};
