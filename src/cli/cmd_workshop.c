/* cmd_workshop.c: vatcast workshop: how many vats a class or an open day wants, how large, made when, fed when. */
#include "base/file.h"
#include "chem/shade.h"
#include "cli/option_values.h"
#include "cli/terminal.h"
#include "cli/verbs.h"
#include "cli/workshop_text.h"
#include "record/publish.h"
#include "record/record.h"
#include "scenario/quantity.h"
#include "study/workshop_result.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define TABLE_DAYS 5
#define FOLLOWED_AFTER 7200.0 /* s that the vats of a result are followed after closing */
#define VATS_TRIED_MORE 2     /* than the scenario has */

static const struct option_spec options[] = {
    {'n', "replications", "COUNT", "how many days are drawn (default: the scenario's, else 20)"},
    {0, "seed", "NUMBER", "seed of the first day; the others follow it (default: the scenario's)"},
    {0, "vats", "COUNT", "the table goes up to this many vats (default: two more than the scenario's)"},
    {0, "sizes", "LIST",
     "volumes that the table tries, as '20 L, 60 L' (default: half, same and twice the scenario's)"},
    {'s', "shade", "SHADE", "the depth wanted, as mid or light (default: the cloth's own target)"},
    {0, "no-table", NULL, "only the plan as written: no other numbers and sizes, makings and feedings"},
    {0, "no-chemistry", NULL, "vats that never tire: only people and places"},
    {'o', "output", "FILE", "write the first day, with its vats, as a result file for vatcast report"},
    {0, "force", NULL, "replace a file that is there already"},
    {0, "set", "PATH=VALUE", "changes one setting of the scenario, as in vatcast run; may be repeated"},
    {0, "json", NULL, "print the answer as JSON"},
    {0, "csv", NULL, "print the pieces of the first day as comma-separated text"},
    {'q', "quiet", NULL, "show no progress"},
    {0, NULL, NULL, NULL},
};

static struct status read_sizes(const struct call *call, const struct scenario *scenario,
                                struct workshop_question *question)
{
    const char *list = option_value(call, "sizes", NULL);
    if (list == NULL) {
        static const double factors[] = {0.5, 1.0, 2.0};
        for (int i = 0; i < 3; i++) {
            question->sizes[question->size_count++] = factors[i] * scenario->fill;
        }
        return status_ok();
    }
    struct quantities *quantities;
    RETURN_IF_FAILED(quantities_open(&quantities));
    bool good = true;
    while (*list != '\0' && good) {
        char one[64];
        char unit[32];
        double volume = 0.0;
        list += strspn(list, " ");
        size_t length = strcspn(list, ",");
        (void)snprintf(one, sizeof one, "%.*s", length < sizeof one ? (int)length : 0, list);
        good = quantity_read(quantities, one, "m3", &volume, unit, sizeof unit) == QUANTITY_OK && volume >= 1e-3 &&
               volume <= 10.0 && question->size_count < WORKSHOP_SIZES_MOST;
        if (good) {
            question->sizes[question->size_count++] = volume;
        }
        list += length + (list[length] == ',');
    }
    quantities_close(quantities);
    return good && question->size_count > 0
               ? status_ok()
               : status_fail(STATUS_USAGE,
                             "'--sizes=%.60s' will not do; expected up to %d volumes, as --sizes '20 L, 60 L'",
                             option_value(call, "sizes", ""), WORKSHOP_SIZES_MOST);
}

static struct status read_question(const struct call *call, const struct scenario *scenario,
                                   struct workshop_question *question)
{
    const struct workshop *shop = &scenario->workshop;
    int seed = (int)(scenario->seed % 1000000000U);
    int vats = shop->vats + VATS_TRIED_MORE < VATS_MOST ? shop->vats + VATS_TRIED_MORE : VATS_MOST;
    *question = (struct workshop_question){.days = shop->replications,
                                           .chemistry = shop->chemistry && !option_given(call, "no-chemistry"),
                                           .shade = SHADE_COUNT,
                                           .table = !option_given(call, "no-table"),
                                           .after = FOLLOWED_AFTER};
    RETURN_IF_FAILED(option_whole(call, "replications", 1, 10000, &question->days));
    RETURN_IF_FAILED(option_whole(call, "seed", 1, 1000000000, &seed));
    RETURN_IF_FAILED(option_whole(call, "vats", 1, VATS_MOST, &vats));
    question->seed = (unsigned long)seed;
    question->vats_most = vats;
    question->table_days = question->days < TABLE_DAYS ? question->days : TABLE_DAYS;
    (void)shade_for_word(scenario->cloth[shop->cloth].target, &question->shade);
    RETURN_IF_FAILED(option_shade(call, "shade", &question->shade));
    return read_sizes(call, scenario, question);
}

static char *story_of(const struct scenario *scenario, const struct workshop_answer *answer)
{
    char *story = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&story, &size);
    if (out == NULL) {
        return NULL;
    }
    struct text_style style = {.width = TEXT_WIDTH, .lines = true};
    workshop_print(out, &style, scenario, answer);
    if (!file_close(out)) {
        free(story);
        return NULL;
    }
    return story;
}

static struct status write_result(const struct call *call, const struct scenario *scenario,
                                  struct workshop_answer *answer)
{
    const char *output = option_value(call, "output", NULL);
    if (output == NULL) {
        return status_ok();
    }
    struct result result;
    char *story = story_of(scenario, answer);
    if (story == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to tell of the workshop");
    }
    struct status status = workshop_result_make(scenario, answer, story, &result);
    if (status_is_ok(&status)) {
        status = record_write(&result, output, option_given(call, "force"));
    }
    result_free(&result);
    free(story);
    return status;
}

static struct status print_answer(const struct call *call, const struct scenario *scenario,
                                  const struct workshop_answer *answer)
{
    if (option_given(call, "json")) {
        return workshop_print_json(scenario, answer);
    }
    if (option_given(call, "csv")) {
        workshop_print_csv(scenario, answer);
        return status_ok();
    }
    struct text_style style = {.colour = call->colour, .width = TEXT_WIDTH};
    workshop_print(stdout, &style, scenario, answer);
    const char *output = option_value(call, "output", NULL);
    if (output != NULL) {
        printf("\n");
        text_print_wrapped(stdout, &style, "Result", 9, output, TEXT_WIDTH, "");
    }
    return status_ok();
}

static struct status answer_all(const struct call *call, const struct scenario *scenario)
{
    struct progress progress;
    struct workshop_question question;
    const char *output = option_value(call, "output", NULL);
    RETURN_IF_FAILED(read_question(call, scenario, &question));
    if (output != NULL && !question.chemistry) {
        return status_fail(STATUS_USAGE, "without chemistry there are no vats to write to '%.200s'", output);
    }
    RETURN_IF_FAILED(output != NULL ? publish_check(output, option_given(call, "force")) : status_ok());
    struct workshop_answer *answer = calloc(1, sizeof *answer);
    if (answer == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left for the answer");
    }
    question.stop = call->stop;
    question.progress = progress_show;
    question.progress_context = &progress;
    call->watch_signals();
    progress_begin(&progress, option_given(call, "quiet"));
    struct status status = workshop_find(scenario, &question, answer);
    progress_end(&progress);
    if (status_is_ok(&status)) {
        status = print_answer(call, scenario, answer);
    }
    if (status_is_ok(&status)) {
        status = write_result(call, scenario, answer);
    }
    workshop_free(answer);
    free(answer);
    return status;
}

static struct status act(const struct call *call)
{
    struct scenario scenario;
    if (option_given(call, "json") && option_given(call, "csv")) {
        return status_fail(STATUS_USAGE, "--json and --csv exclude each other");
    }
    RETURN_IF_FAILED(option_scenario(call, call->operands[0], &scenario));
    struct status status = scenario.workshop.exists
                               ? answer_all(call, &scenario)
                               : status_fail(STATUS_SCENARIO,
                                             "'%.200s' has no workshop; say who comes when, as workshop = { arrive = ( "
                                             "... ); soak = \"6 min\"; ... }",
                                             scenario.path);
    scenario_free(&scenario);
    return status;
}

const struct verb verb_workshop = {
    .name = "workshop",
    .operands = "SCENARIO",
    .summary = "plan a class or an open day: how many vats, how large, made when, fed when",
    .about =
        "People come, queue for a place in a vat, dip, air, rinse and queue again, while each vat, simulated like any "
        "other, changes under their hands. Many days are drawn. Told are waits, pieces and shades, when a vat falls "
        "below usable and why, what holds people up; then other numbers and sizes of vats, other times of making and "
        "feeding. docs/workshop.md walks through a question and says what is left out.",
    .options = options,
    .operands_least = 1,
    .operands_most = 1,
    .act = act,
};
