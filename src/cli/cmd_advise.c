/* cmd_advise.c: vatcast advise: from today's readings of a vat to what to do now; and how to throw it away. */
#include "cli/advise_text.h"
#include "cli/option_values.h"
#include "cli/terminal.h"
#include "cli/verbs.h"

#include <stdio.h>
#include <stdlib.h>

#define THREADS_ASKED_MOST 256

static const struct option_spec options[] = {
    {0, "retire", NULL, "no advice: tell how to use up, neutralise and throw away the vat"},
    {0, "set", "PATH=VALUE", "changes one setting of the scenario, as in vatcast run; may be repeated"},
    {'j', "threads", "COUNT", "how many vats to simulate at once (default: one for each core)"},
    {0, "json", NULL, "print the answer as JSON"},
    {'q', "quiet", NULL, "show no progress"},
    {0, NULL, NULL, NULL},
};

static struct status answer_all(const struct call *call, struct advise_answer *answer)
{
    struct progress progress;
    struct advise_options how = {.stop = call->stop, .progress = progress_show, .progress_context = &progress};
    RETURN_IF_FAILED(option_whole(call, "threads", 1, THREADS_ASKED_MOST, &how.threads));
    answer->retired = option_given(call, "retire");
    if (!answer->retired) {
        call->watch_signals();
        progress_begin(&progress, option_given(call, "quiet"));
        struct status status = advise(answer->scenario, &how, &answer->advice);
        progress_end(&progress);
        RETURN_IF_FAILED(status);
        answer->advised = true;
        answer->retired = answer->advice.verdict == ADVICE_INDIGO || answer->advice.verdict == ADVICE_LOST;
    }
    return answer->retired ? disposal_find(answer->scenario, &answer->disposal) : status_ok();
}

static struct status print_answer(const struct call *call, const struct advise_answer *answer)
{
    if (option_given(call, "json")) {
        return advise_print_json(answer);
    }
    if (answer->advised) {
        advise_print(answer);
    }
    if (answer->retired) {
        if (answer->advised) {
            fputc('\n', stdout);
        }
        disposal_print(answer);
    }
    return status_ok();
}

static struct status act(const struct call *call)
{
    struct scenario scenario;
    RETURN_IF_FAILED(option_scenario(call, call->operands[0], &scenario));
    struct advise_answer *answer = calloc(1, sizeof *answer);
    struct status status = answer == NULL ? status_fail(STATUS_MEMORY, "no memory left for the answer") : status_ok();
    if (status_is_ok(&status)) {
        answer->scenario = &scenario;
        status = answer_all(call, answer);
    }
    if (status_is_ok(&status)) {
        status = print_answer(call, answer);
    }
    free(answer);
    scenario_free(&scenario);
    return status;
}

const struct verb verb_advise = {
    .name = "advise",
    .operands = "SCENARIO",
    .summary = "say what to do now with a vat, from today's readings",
    .about =
        "Takes the readings in vat.existing (pH, temperature, look, smell, strip, what a pinch of lime does), tries "
        "corrections "
        "out on every vat that they may mean, and tells the one to do now, how long to rest, when to look again, and "
        "how the vat fares with it and without. Readings that cannot be are called suspect. For vats of lime and "
        "sugar. docs/advise.md walks through a question.",
    .options = options,
    .operands_least = 1,
    .operands_most = 1,
    .act = act,
};
