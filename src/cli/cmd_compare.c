/* cmd_compare.c: vatcast compare: ways of keeping a vat, side by side. */
#include "cli/compare_text.h"
#include "cli/option_values.h"
#include "cli/terminal.h"
#include "cli/verbs.h"
#include "record/publish.h"
#include "record/record.h"
#include "scenario/price.h"
#include "sim/run.h"
#include "study/many.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

static const struct option_spec options[] = {
    {'g', "goal", "GOAL",
     "what is wanted most: cloth (most at the shade), soon (done first), pigment (least used up per kg at the shade), "
     "labour (fewest acts of care) or steady (least spread of depth); default cloth"},
    {'s', "shade", "SHADE", "the depth wanted of all cloth, as mid or light (default: each cloth's own target)"},
    {'p', "price", "NAME=PRICE",
     "what a material costs, as 'slaked lime=2.50/kg' or 'water=4/m3'; may be repeated (default: the scenario's "
     "prices)"},
    {0, "set", "PATH=VALUE", "changes one setting of every scenario, as in vatcast run; may be repeated"},
    {'o', "output", "PREFIX",
     "write the result of each run too, as PREFIXNAME.h5, for vatcast report, show and export; PREFIX may be "
     "'FOLDER/'"},
    {0, "force", NULL, "replace result files that are there already"},
    {0, "json", NULL, "print the answer as JSON"},
    {0, "csv", NULL, "print the figures as comma-separated text, a row for each"},
    {'q', "quiet", NULL, "show no progress"},
    {0, NULL, NULL, NULL},
};

struct contest {
    const struct call *call;
    enum shade shade; /* SHADE_COUNT: targets */
    struct price prices[PRICES_MOST];
    size_t price_count;
    struct scenario scenarios[COMPARED_MOST];
    struct result results[COMPARED_MOST];
    char *outputs[COMPARED_MOST]; /* owned; NULL: not written */
    bool ran[COMPARED_MOST];
    size_t count;
    struct side_by_side sides;
};

static void contest_free(struct contest *contest)
{
    for (size_t i = 0; i < contest->count; i++) {
        scenario_free(&contest->scenarios[i]);
        free(contest->outputs[i]);
        if (contest->ran[i]) {
            result_free(&contest->results[i]);
        }
    }
    free(contest);
}

/* ---- asking ----------------------------------------------------------------------------------------------------- */

static struct status read_options(const struct call *call, struct contest *contest)
{
    int goal = GOAL_CLOTH;
    RETURN_IF_FAILED(option_word(call, "goal", goal_words, &goal));
    RETURN_IF_FAILED(option_shade(call, "shade", &contest->shade));
    contest->sides.goal = (enum goal)goal;
    if (option_given(call, "json") && option_given(call, "csv")) {
        return status_fail(STATUS_USAGE, "--json and --csv exclude each other");
    }
    for (size_t i = 0; i < call->given_count; i++) {
        if (strcmp(call->given[i].spec->name, "price") != 0) {
            continue;
        }
        if (contest->price_count == PRICES_MOST) {
            return status_fail(STATUS_USAGE, "there are more than %d prices", PRICES_MOST);
        }
        RETURN_IF_FAILED(price_read(call->given[i].value, &contest->prices[contest->price_count++]));
    }
    return status_ok();
}

/* A price for something that the model's materials do not know is a slip of the pen. */
static struct status check_prices(const struct contest *contest, const struct model *model)
{
    const char *nearest = NULL;
    const char *unknown = price_unknown(contest->prices, contest->price_count, model, &nearest);
    return unknown == NULL ? status_ok()
                           : status_fail(STATUS_USAGE, "'--price=%.60s' names no material; %s%s%s", unknown,
                                         nearest != NULL ? "did you mean '" : "'vatcast materials' lists them",
                                         nearest != NULL ? nearest : "", nearest != NULL ? "'?" : "");
}

/* Reads a scenario under one of its schedules; NULL: as it stands. */
static struct status read_one(struct contest *contest, const char *path, const char *schedule)
{
    if (contest->count == COMPARED_MOST) {
        return status_fail(STATUS_USAGE, "there are more than %d to compare", COMPARED_MOST);
    }
    struct scenario *scenario = &contest->scenarios[contest->count];
    RETURN_IF_FAILED(option_scenario_with(contest->call, path, schedule, scenario));
    contest->count++;
    for (size_t i = 0; contest->shade < SHADE_COUNT && i < scenario->cloth_count; i++) {
        (void)snprintf(scenario->cloth[i].target, sizeof scenario->cloth[i].target, "%s", shade_name(contest->shade));
    }
    return check_prices(contest, &scenario->model);
}

/* Reads a scenario, under each of its schedules when it has several and does not choose. */
static struct status read_all_of(struct contest *contest, const char *path)
{
    struct schedule_name names[SCHEDULES_MOST];
    size_t first = contest->count;
    RETURN_IF_FAILED(read_one(contest, path, NULL));
    int count = contest->scenarios[first].schedule_count;
    if (count < 2 || contest->scenarios[first].schedule_named) {
        return status_ok();
    }
    memcpy(names, contest->scenarios[first].schedules, sizeof names);
    scenario_free(&contest->scenarios[first]);
    contest->count = first;
    for (int i = 0; i < count; i++) {
        RETURN_IF_FAILED(read_one(contest, path, names[i].name));
    }
    return status_ok();
}

/* What a run is called: the schedule of the only file, the file, or both. */
static void name_of(const struct contest *contest, size_t index, char name[NAME_SIZE])
{
    const struct scenario *scenario = &contest->scenarios[index];
    outcome_name(scenario->path, name, NAME_SIZE);
    if (scenario->schedule_count > 0) {
        size_t used = contest->call->operand_count > 1 ? strlen(name) : 0;
        used = used > NAME_SIZE - 2 ? NAME_SIZE - 2 : used;
        (void)snprintf(name + used, NAME_SIZE - used, "%s%.60s", used > 0 ? "/" : "",
                       scenario->schedules[scenario->schedule].name);
    }
}

/* PREFIXNAME.h5 with all that is awkward in a file's name replaced; owned by the caller. */
static char *output_of(const char *prefix, const char *name)
{
    size_t size = strlen(prefix) + strlen(name) + sizeof ".h5";
    char *output = malloc(size);
    if (output != NULL) {
        (void)snprintf(output, size, "%s%s.h5", prefix, name);
        for (char *at = output + strlen(prefix); *at != '\0'; at++) {
            bool is_plain = isalnum((unsigned char)*at) || strchr("._-", *at) != NULL || (unsigned char)*at > 127;
            *at = is_plain ? *at : '-';
        }
    }
    return output;
}

static struct status name_outputs(struct contest *contest)
{
    const char *prefix = option_value(contest->call, "output", NULL);
    for (size_t i = 0; prefix != NULL && i < contest->count; i++) {
        char name[NAME_SIZE];
        name_of(contest, i, name);
        contest->outputs[i] = output_of(prefix, name);
        if (contest->outputs[i] == NULL) {
            return status_fail(STATUS_MEMORY, "no memory left to name the results");
        }
        for (size_t k = 0; k < i; k++) {
            if (strcmp(contest->outputs[i], contest->outputs[k]) == 0) {
                return status_fail(STATUS_USAGE, "two of the runs would be written to '%.200s'", contest->outputs[i]);
            }
        }
        RETURN_IF_FAILED(publish_check(contest->outputs[i], option_given(contest->call, "force")));
    }
    return status_ok();
}

/* ---- running ---------------------------------------------------------------------------------------------------- */

static struct status run_item(void *context, size_t index, int worker)
{
    (void)worker;
    struct contest *contest = context;
    struct run_options how = {.stop = contest->call->stop};
    if (contest->outputs[index] == NULL) {
        how.wanted = (struct run_wanted){.series = OUTCOME_SERIES, .bare_pieces = true};
    }
    struct status status = run_scenario(&contest->scenarios[index], &how, &contest->results[index]);
    contest->ran[index] = true;
    return status_is_ok(&status) ? status : status_context(status, "running '%.200s'", contest->scenarios[index].title);
}

/* Reads the outcome of a run, writes its result when asked to, and lets go of it. */
static struct status take_item(void *context, size_t index)
{
    struct contest *contest = context;
    const struct scenario *scenario = &contest->scenarios[index];
    struct result *result = &contest->results[index];
    struct outcome *outcome = &contest->sides.outcomes[contest->sides.count++];
    bool own = contest->price_count > 0;
    size_t price_count = own ? contest->price_count : scenario->price_count;
    outcome_read(result, SHADE_COUNT, outcome);
    name_of(contest, index, outcome->name);
    outcome_price(scenario, result, own ? contest->prices : scenario->prices, price_count, outcome);
    contest->sides.with_prices = contest->sides.with_prices || price_count > 0;
    struct status status = status_ok();
    if (contest->outputs[index] != NULL) {
        status = record_write(result, contest->outputs[index], option_given(contest->call, "force"));
    }
    result_free(result);
    contest->ran[index] = false;
    return status;
}

static struct status run_all(struct contest *contest)
{
    struct progress progress;
    contest->call->watch_signals();
    progress_begin(&progress, option_given(contest->call, "quiet"));
    struct many many = {
        .count = contest->count,
        .context = contest,
        .work = run_item,
        .take = take_item,
        .progress = progress_show,
        .progress_context = &progress,
        .stop = contest->call->stop,
    };
    struct status status = many_run(&many, NULL);
    progress_end(&progress);
    return status;
}

/* ---- the verb --------------------------------------------------------------------------------------------------- */

static struct status tell(struct contest *contest)
{
    const struct call *call = contest->call;
    compare_settle(&contest->sides);
    if (option_given(call, "json")) {
        return compare_print_json(&contest->sides);
    }
    if (option_given(call, "csv")) {
        compare_print_csv(&contest->sides);
        return status_ok();
    }
    compare_print(&contest->sides);
    for (size_t i = 0; i < contest->count && contest->outputs[i] != NULL; i++) {
        print_row(stdout, i == 0 ? "Results" : "", 9, contest->outputs[i]);
    }
    return status_ok();
}

static struct status compare_all(const struct call *call, struct contest *contest)
{
    RETURN_IF_FAILED(read_options(call, contest));
    for (size_t i = 0; i < call->operand_count; i++) {
        RETURN_IF_FAILED(read_all_of(contest, call->operands[i]));
    }
    if (contest->count < 2) {
        return status_fail(STATUS_USAGE,
                           "there is nothing to compare '%.200s' with; expected two or more scenarios, or one "
                           "with several 'schedules' (docs/scenario-format.md)",
                           call->operands[0]);
    }
    RETURN_IF_FAILED(name_outputs(contest));
    RETURN_IF_FAILED(run_all(contest));
    return tell(contest);
}

static struct status act(const struct call *call)
{
    struct contest *contest = calloc(1, sizeof *contest);
    if (contest == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to compare");
    }
    contest->call = call;
    contest->shade = SHADE_COUNT;
    struct status status = compare_all(call, contest);
    contest_free(contest);
    return status;
}

const struct verb verb_compare = {
    .name = "compare",
    .operands = "SCENARIO...",
    .summary = "run schedules or scenarios side by side and say which serves a goal best, and why",
    .about = "Runs each scenario, or each schedule of one scenario that has several, and sets side by side what was "
             "dyed, how the vat fared, what was used and where it went, and the work it took; ranks them by the goal, "
             "and says from their ledgers what makes the difference. docs/compare.md walks through a question.",
    .options = options,
    .operands_least = 1,
    .operands_most = COMPARED_MOST,
    .act = act,
};
