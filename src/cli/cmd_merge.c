/* cmd_merge.c: vatcast merge: the parts of a sweep put together. */
#include "cli/option_values.h"
#include "cli/sweep_end.h"
#include "cli/verbs.h"
#include "record/publish.h"

#include <stdlib.h>
#include <string.h>

static const struct option_spec options[] = {
    {'o', "output", "FILE", "where the result goes (needed)"},
    {0, "force", NULL, "replace the result file when it is there already"},
    {'q', "quiet", NULL, "print nothing but complaints"},
    {0, NULL, NULL, NULL},
};

static int by_first_run(const void *a, const void *b)
{
    size_t first_a = journal_first(*(struct journal *const *)a);
    size_t first_b = journal_first(*(struct journal *const *)b);
    return (first_a > first_b) - (first_a < first_b);
}

static struct status open_parts(const struct call *call, struct journal **journals)
{
    for (size_t i = 0; i < call->operand_count; i++) {
        RETURN_IF_FAILED(journal_open_to_read(call->operands[i], &journals[i]));
        if (strcmp(journal_heading(journals[i]), journal_heading(journals[0])) != 0) {
            return status_fail(STATUS_IO,
                               "'%.150s' and '%.150s' are parts of different sweeps: of other runs, another "
                               "seed, or files that changed between them",
                               call->operands[0], call->operands[i]);
        }
    }
    return status_ok();
}

static struct status merge(const struct call *call, const char *output, struct journal **journals)
{
    struct sweep_about about;
    RETURN_IF_FAILED(open_parts(call, journals));
    struct status status = sweep_about_read(journal_heading(journals[0]), &about);
    RETURN_IF_FAILED(status_context(status, "'%.200s'", call->operands[0]));
    if (journal_width(journals[0]) != sweep_about_width(&about)) {
        status = status_fail(STATUS_IO, "'%.200s' does not hold what its heading says", call->operands[0]);
    } else {
        qsort(journals, call->operand_count, sizeof *journals, by_first_run);
        status = sweep_end(&about, journals, call->operand_count, output, NULL, option_given(call, "force"),
                           option_given(call, "quiet"), call->colour);
    }
    sweep_about_free(&about);
    return status;
}

static struct status act(const struct call *call)
{
    const char *output = option_value(call, "output", NULL);
    if (output == NULL) {
        return status_fail(STATUS_USAGE, "a name for the result is missing; expected -o FILE");
    }
    RETURN_IF_FAILED(publish_check(output, option_given(call, "force")));
    struct journal **journals = calloc(call->operand_count, sizeof *journals);
    if (journals == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to open the parts");
    }
    struct status status = merge(call, output, journals);
    for (size_t i = 0; i < call->operand_count; i++) {
        struct status closed = journal_close(journals[i]);
        status = status_is_ok(&status) ? closed : status;
    }
    free(journals);
    return status;
}

const struct verb verb_merge = {
    .name = "merge",
    .operands = "PART...",
    .summary = "put the parts of a sweep together",
    .about = "Puts the files that 'vatcast sweep --part' wrote together into one result, the same, to the last byte, "
             "that one "
             "sweep without parts would have written. The order of the parts does not matter.",
    .options = options,
    .operands_least = 1,
    .operands_most = 100000,
    .act = act,
};
