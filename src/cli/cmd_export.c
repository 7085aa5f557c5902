/* cmd_export.c: vatcast export: the tables of a result file as comma-separated text. */
#include "cli/verbs.h"
#include "record/record.h"

static const struct option_spec options[] = {
    {'o', "output", "FOLDER", "where the tables go; made when missing"},
    {0, "force", NULL, "replace tables that are there already"},
    {'q', "quiet", NULL, "print nothing but complaints"},
    {0, NULL, NULL, NULL},
};

static struct status act(const struct call *call)
{
    const char *folder = option_value(call, "output", NULL);
    if (folder == NULL || folder[0] == '\0') {
        return status_fail(STATUS_USAGE, "'vatcast export' needs -o FOLDER; try 'vatcast export --help'");
    }
    struct result result;
    struct status status = record_read(call->operands[0], &result);
    if (status_is_ok(&status)) {
        status = record_export_csv(&result, folder, option_given(call, "force"));
    }
    if (status_is_ok(&status) && !option_given(call, "quiet")) {
        printf("%zu tables in %s\n", record_table_count(&result), folder);
    }
    result_free(&result);
    return status;
}

const struct verb verb_export = {
    .name = "export",
    .operands = "FILE -o FOLDER",
    .summary = "write the tables of a result file as comma-separated text",
    .about = "Writes series.csv, events.csv, dips.csv, pieces.csv, notes.csv and a ledger_NAME.csv for each "
             "substance. The first row names each column with its unit; codes are written as words.",
    .options = options,
    .operands_least = 1,
    .operands_most = 1,
    .act = act,
};
