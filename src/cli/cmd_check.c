/* cmd_check.c: vatcast check: reads scenarios and tells everything that is wrong with them; runs and writes nothing. */
#include "cli/verbs.h"

#include <stdint.h>

static const struct option_spec options[] = {
    {'q', "quiet", NULL, "say nothing about scenarios that are in order"},
    {0, NULL, NULL, NULL},
};

static struct status act(const struct call *call)
{
    struct status worst = status_ok();
    for (size_t i = 0; i < call->operand_count; i++) {
        struct scenario scenario;
        struct status status = load_scenario(call, call->operands[i], NULL, 0, &scenario);
        if (status_is_ok(&status)) {
            if (!option_given(call, "quiet")) {
                printf("%s: in order\n", call->operands[i]);
            }
            scenario_free(&scenario);
        } else if (status.message[0] != '\0') {
            fprintf(stderr, "vatcast: %s\n", status.message);
            status.message[0] = '\0';
        }
        if (status.code > worst.code) {
            worst = status;
        }
    }
    return worst;
}

const struct verb verb_check = {
    .name = "check",
    .operands = "SCENARIO...",
    .summary = "tell everything that is wrong with scenarios, without running them",
    .about = "Reads each scenario with its model, materials and fibres, and prints all complaints as "
             "'file:line: what is wrong; what is expected'. Exit status 3 when there are any.",
    .options = options,
    .operands_least = 1,
    .operands_most = SIZE_MAX,
    .act = act,
};
