/* cmd_report.c: vatcast report: one result, or several side by side, as a page to look at, to project and to print. */
#include "base/file.h"
#include "cli/compare_text.h"
#include "cli/option_values.h"
#include "cli/summary.h"
#include "study/summary_words.h"
#include "cli/verbs.h"
#include "record/record.h"
#include "record/report.h"

#include <stdlib.h>
#include <string.h>

static const struct option_spec options[] = {
    {'o', "output", "FILE", "where the page goes (default: beside the first result, ending in .html)"},
    {'g', "goal", "GOAL", "by which several results are ranked, as in vatcast compare; default cloth"},
    {0, "force", NULL, "replace a file that is there already"},
    {'q', "quiet", NULL, "print nothing but complaints"},
    {0, NULL, NULL, NULL},
};

/* What is read for one operand. */
struct reading {
    struct result result;
    char *name;  /* owned: the file's name without folder and ending */
    char *story; /* owned */
};

static void reading_free(struct reading *reading)
{
    result_free(&reading->result);
    free(reading->name);
    free(reading->story);
}

/* "out/careful.h5" is "careful". */
static char *name_of(const char *path)
{
    const char *slash = strrchr(path, '/');
    const char *base = slash != NULL ? slash + 1 : path;
    size_t length = strlen(base);
    if (length > 3 && strcmp(base + length - 3, ".h5") == 0) {
        length -= 3;
    }
    return strndup(base, length);
}

static struct status read_one(const char *path, struct reading *reading)
{
    RETURN_IF_FAILED(record_read(path, &reading->result));
    reading->name = name_of(path);
    reading->story = summary_story(&reading->result);
    return reading->name != NULL && reading->story != NULL
               ? status_ok()
               : status_fail(STATUS_MEMORY, "no memory left for '%s'", path);
}

/* The first result's path with .html for its ending, owned by the caller. */
static char *default_output(const char *path)
{
    size_t length = strlen(path);
    char *output = malloc(length + sizeof ".html");
    if (output != NULL) {
        memcpy(output, path, length + 1);
        if (length > 3 && strcmp(path + length - 3, ".h5") == 0) {
            length -= 3;
        }
        memcpy(output + length, ".html", sizeof ".html");
    }
    return output;
}

/* What `vatcast compare` says of the same runs, owned by the caller; "" for one. */
static struct status verdict_of(const struct call *call, const struct reading *readings, char **verdict)
{
    int goal = GOAL_CLOTH;
    size_t size = 0;
    RETURN_IF_FAILED(option_word(call, "goal", goal_words, &goal));
    struct side_by_side *sides = calloc(1, sizeof *sides);
    FILE *out = sides != NULL ? open_memstream(verdict, &size) : NULL;
    if (out == NULL) {
        free(sides);
        return status_fail(STATUS_MEMORY, "no memory left to compare the results");
    }
    if (call->operand_count > 1) {
        sides->goal = (enum goal)goal;
        for (size_t i = 0; i < call->operand_count; i++) {
            struct outcome *outcome = &sides->outcomes[sides->count++];
            outcome_read(&readings[i].result, SHADE_COUNT, outcome);
            (void)snprintf(outcome->name, sizeof outcome->name, "%.60s", readings[i].name);
        }
        compare_settle(sides);
        compare_write_verdict(out, sides);
    }
    free(sides);
    return file_close(out) ? status_ok() : status_fail(STATUS_MEMORY, "no memory left to compare the results");
}

static struct status write_page(const struct call *call, const struct reading *readings)
{
    char *verdict = NULL;
    struct report_run runs[REPORT_RUNS_MOST];
    for (size_t i = 0; i < call->operand_count; i++) {
        runs[i] = (struct report_run){&readings[i].result, readings[i].name, readings[i].story};
    }
    const char *named = option_value(call, "output", NULL);
    char *output = named != NULL ? strdup(named) : default_output(call->operands[0]);
    if (output == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to name the page");
    }
    struct status status = verdict_of(call, readings, &verdict);
    if (status_is_ok(&status)) {
        struct report_words words = {ledger_phrase, verdict};
        status = report_write(runs, call->operand_count, &words, output, option_given(call, "force"));
    }
    free(verdict);
    if (status_is_ok(&status) && !option_given(call, "quiet")) {
        printf("Page     %s\n", output);
    }
    free(output);
    return status;
}

static struct status act(const struct call *call)
{
    struct reading readings[REPORT_RUNS_MOST] = {0};
    struct status status = status_ok();
    size_t read = 0;
    while (read < call->operand_count && status_is_ok(&status)) {
        status = read_one(call->operands[read], &readings[read]);
        read++;
    }
    if (status_is_ok(&status)) {
        status = write_page(call, readings);
    }
    for (size_t i = 0; i < read; i++) {
        reading_free(&readings[i]);
    }
    return status;
}

const struct verb verb_report = {
    .name = "report",
    .operands = "RESULT...",
    .summary = "make a page of a result, or of several side by side",
    .about = "Writes one HTML file that opens from the disk with no network: the vat's life as a ribbon, its series as "
             "charts, a jar of its liquor at any moment, where the indigo and the sugar went, every piece as a swatch. "
             "Several results are drawn on the same axes, with a table of how they compare.",
    .options = options,
    .operands_least = 1,
    .operands_most = REPORT_RUNS_MOST,
    .act = act,
};
