/* cmd_capacity.c: vatcast capacity: how much cloth a vat can dye before it must rest, in a week, in its life. */
#include "cli/capacity_text.h"
#include "cli/option_values.h"
#include "cli/terminal.h"
#include "cli/verbs.h"
#include "scenario/words.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define MEMBERS_USUAL 6

static const struct option_spec options[] = {
    {'c', "cloth", "NAME", "which cloth of the scenario is dyed (default: that of which there is most)"},
    {'s', "shade", "SHADE", "the depth wanted, as mid or light (default: the cloth's own target, else mid)"},
    {'k', "keep", "SHARE", "rest when a dip takes less than this share of the first (default '65 %')"},
    {0, "hours", "TIME", "how long a session may last (default '3 h')"},
    {0, "every", "TIME", "from one load to the next (default '20 min')"},
    {0, "soak", "TIME", "how long a load stays in (default: as the scenario's first dip, else 8 min)"},
    {0, "sessions-every", "TIME", "from one session to the next (default '1 day')"},
    {'m', "members", "COUNT", "how many vats from the ranges of the constants give low and high (default 6; 0: none)"},
    {0, "table", NULL, "add a table over shade and weight of cloth"},
    {0, "set", "PATH=VALUE", "changes one setting of the scenario, as in vatcast run; may be repeated"},
    {0, "json", NULL, "print the answer as JSON"},
    {0, "csv", NULL, "print the answer as comma-separated text"},
    {'q', "quiet", NULL, "show no progress"},
    {0, NULL, NULL, NULL},
};

static const double weights[CAPACITY_WEIGHTS] = {0.080, 0.150, 0.220, 0.340}; /* kg/m2: voile to heavy linen */

static struct status choose_cloth(const struct call *call, const struct scenario *scenario, int *kind)
{
    const char *name = option_value(call, "cloth", NULL);
    if (scenario->cloth_count == 0) {
        return status_fail(STATUS_SCENARIO, "'%.200s' has no cloth; name one, as cloth = ( { name = \"sash\"; ... } )",
                           scenario->path);
    }
    *kind = 0;
    for (size_t i = 0; i < scenario->cloth_count; i++) {
        const struct cloth_kind *cloth = &scenario->cloth[i];
        if (name != NULL && strcmp(cloth->name, name) == 0) {
            *kind = (int)i;
            return status_ok();
        }
        *kind =
            cloth->each * cloth->count > scenario->cloth[*kind].each * scenario->cloth[*kind].count ? (int)i : *kind;
    }
    return name == NULL
               ? status_ok()
               : status_fail(STATUS_USAGE, "'--cloth=%.40s' is none of the scenario's cloth, which begins with '%s'",
                             name, scenario->cloth[0].name);
}

static struct status read_question(const struct call *call, const struct scenario *scenario,
                                   struct capacity_answer *answer)
{
    struct capacity_question *question = &answer->question;
    double hours_s = CAPACITY_HOURS * 3600.0;
    *question = (struct capacity_question){.keep = CAPACITY_KEEP,
                                           .every = CAPACITY_EVERY,
                                           .soak = NAN,
                                           .session_every = 86400.0,
                                           .members = MEMBERS_USUAL};
    RETURN_IF_FAILED(choose_cloth(call, scenario, &question->kind));
    RETURN_IF_FAILED(option_quantity(call, "keep", "1", 0.05, 0.99, "65 %", &question->keep));
    RETURN_IF_FAILED(option_quantity(call, "hours", "s", 600.0, 86400.0, "3 h", &hours_s));
    RETURN_IF_FAILED(option_quantity(call, "every", "s", 120.0, 6.0 * 3600.0, "20 min", &question->every));
    RETURN_IF_FAILED(option_quantity(call, "soak", "s", 30.0, 3.0 * 3600.0, "10 min", &question->soak));
    RETURN_IF_FAILED(option_quantity(call, "sessions-every", "s", 12.0 * 3600.0, 14.0 * 86400.0, "2 days",
                                     &question->session_every));
    RETURN_IF_FAILED(option_whole(call, "members", 0, MEMBERS_ASKED_MOST, &question->members));
    question->hours = hours_s / 3600.0;
    if (hours_s + 2.0 * 3600.0 > question->session_every) {
        return status_fail(STATUS_USAGE,
                           "sessions of %.1f h do not fit into --sessions-every; leave two hours between them",
                           question->hours);
    }
    question->shade = SHADE_MID;
    (void)shade_for_word(scenario->cloth[question->kind].target, &question->shade);
    return option_shade(call, "shade", &question->shade);
}

static struct status answer_all(const struct call *call, const struct scenario *scenario,
                                struct capacity_answer *answer)
{
    RETURN_IF_FAILED(capacity_find(scenario, &answer->question, &answer->capacity));
    if (!option_given(call, "table")) {
        return status_ok();
    }
    answer->weights = CAPACITY_WEIGHTS;
    for (int i = 0; i < CAPACITY_WEIGHTS; i++) {
        answer->by_weight[i].fabric = weights[i];
    }
    return capacity_for_weights(scenario, &answer->question, answer->by_weight, CAPACITY_WEIGHTS);
}

static struct status act(const struct call *call)
{
    struct scenario scenario;
    struct progress progress;
    if (option_given(call, "json") && option_given(call, "csv")) {
        return status_fail(STATUS_USAGE, "--json and --csv exclude each other");
    }
    RETURN_IF_FAILED(option_scenario(call, call->operands[0], &scenario));
    struct capacity_answer *answer = calloc(1, sizeof *answer);
    struct run_options how = {.stop = call->stop};
    struct status status = answer == NULL ? status_fail(STATUS_MEMORY, "no memory left for the answer")
                                          : read_question(call, &scenario, answer);
    if (status_is_ok(&status)) {
        answer->scenario = &scenario;
        answer->question.options = &how;
        answer->question.progress = progress_show;
        answer->question.progress_context = &progress;
        call->watch_signals();
        progress_begin(&progress, option_given(call, "quiet"));
        status = answer_all(call, &scenario, answer);
        progress_end(&progress);
    }
    if (status_is_ok(&status)) {
        if (option_given(call, "json")) {
            status = capacity_print_json(answer);
        } else if (option_given(call, "csv")) {
            capacity_print_csv(answer);
        } else {
            capacity_print(answer);
        }
    }
    free(answer);
    scenario_free(&scenario);
    return status;
}

const struct verb verb_capacity = {
    .name = "capacity",
    .operands = "SCENARIO",
    .summary = "say how much cloth a vat can dye before it must rest, in a week, in its life",
    .about = "Takes the vat, its place and its cloth from the scenario, and what is done to it before the first dip; "
             "then lays "
             "out sessions of its own, load after load, and looks for the heaviest load that the vat bears. Counted is "
             "the mass of cloth times its dips. After each session the vat is given 1 g/L of fructose and a stir; "
             "before the "
             "next it is warmed, filled up and, below pH 11.8, given 0.5 g/L of lime. docs/capacity.md walks through a "
             "question.",
    .options = options,
    .operands_least = 1,
    .operands_most = 1,
    .act = act,
};
