/* cmd_rehearse.c: vatcast rehearse: a vat worked by hand, sentence by sentence. */
#include "cli/option_values.h"
#include "cli/talk.h"
#include "cli/verbs.h"

#include <locale.h>
#include <stdlib.h>
#include <unistd.h>

#define SEED_MOST 2147483647

static const struct option_spec options[] = {
    {0, "resume", "FILE", "take up the session of a journal where it was left (no SCENARIO then)"},
    {0, "journal", "FILE",
     "where what is said is kept (default: beside the scenario, NAME.session; from a pipe: nowhere)"},
    {0, "calendar", NULL, "what the scenario's own calendar says is done by itself; else it is left aside"},
    {0, "seed", "N", "of the errors of instruments (default: the scenario's)"},
    {0, "set", "PATH=VALUE", "changes one setting of the scenario, as in vatcast run; may be repeated"},
    {0, "force", NULL, "'save' and 'report' replace files that are there already"},
    {0, NULL, NULL, NULL},
};

/* What a session is opened from. */
struct beginning {
    struct journal_about about;
    struct session_journal *journal; /* NULL: a new one */
    char journal_path[JOURNAL_PATH_SIZE];
};

/* From the command line. */
static struct status begin_anew(const struct call *call, struct beginning *beginning)
{
    int seed = 0;
    const char **overrides = NULL;
    struct session_options how = {.keeps_calendar = option_given(call, "calendar"),
                                  .has_seed = option_given(call, "seed")};
    if (call->operand_count != 1) {
        return status_fail(STATUS_USAGE, "a scenario is wanted, as in vatcast rehearse my-vat.conf, or --resume FILE");
    }
    RETURN_IF_FAILED(option_whole(call, "seed", 0, SEED_MOST, &seed));
    RETURN_IF_FAILED(option_texts(call, "set", &overrides, &how.override_count));
    how.seed = (uint32_t)seed;
    how.overrides = overrides;
    struct status status = journal_about_fill(&beginning->about, call->operands[0], &how);
    free(overrides);
    RETURN_IF_FAILED(status);
    return journal_choose(call, call->operands[0], isatty(STDIN_FILENO), beginning->journal_path);
}

static struct status begin(const struct call *call, struct beginning *beginning)
{
    const char *journal = option_value(call, "resume", NULL);
    if (journal == NULL) {
        return begin_anew(call, beginning);
    }
    if (call->operand_count > 0 || option_given(call, "journal") || option_given(call, "set") ||
        option_given(call, "seed") || option_given(call, "calendar")) {
        return status_fail(STATUS_USAGE,
                           "--resume goes alone: the journal says which scenario it is, and how it was begun");
    }
    return session_journal_open(journal, &beginning->journal, &beginning->about);
}

static struct status open_session(const struct call *call, struct beginning *beginning, struct session **session)
{
    const char *overrides[JOURNAL_OVERRIDES_MOST];
    struct journal_about *about = &beginning->about;
    struct complaints complaints;
    for (size_t i = 0; i < about->override_count; i++) {
        overrides[i] = about->overrides[i];
    }
    const struct session_options how = {
        .overrides = overrides,
        .override_count = about->override_count,
        .models_folder = call->models_folder,
        .has_seed = about->has_seed,
        .seed = about->seed,
        .keeps_calendar = about->keeps_calendar,
        .stop = call->stop,
    };
    complaints_init(&complaints);
    const char *path = call->operand_count > 0 ? call->operands[0] : about->scenario;
    RETURN_IF_FAILED(load_tell(&complaints, session_open(path, &how, session, &complaints)));
    RETURN_IF_FAILED(journal_fits(beginning->journal, *session, about));
    return beginning->journal != NULL ? session_journal_replay(beginning->journal, *session, NULL, NULL) : status_ok();
}

static void tell_journal(const struct talk *talk)
{
    char line[JOURNAL_PATH_SIZE + 80];
    if (talk->journal != NULL && isatty(STDOUT_FILENO)) {
        (void)snprintf(line, sizeof line, "To take this session up again: vatcast rehearse --resume %s",
                       session_journal_path(talk->journal));
        talk_print(line);
    }
}

static struct status act(const struct call *call)
{
    struct session *session = NULL;
    struct beginning *beginning = calloc(1, sizeof *beginning);
    if (beginning == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left for the session");
    }
    (void)setlocale(LC_CTYPE, ""); /* for the letters that a person types */
    struct status status = begin(call, beginning);
    if (status_is_ok(&status)) {
        status = open_session(call, beginning, &session);
    }
    struct talk talk = {.call = call,
                        .session = session,
                        .journal = beginning->journal,
                        .journal_path = beginning->journal_path[0] != '\0' ? beginning->journal_path : NULL,
                        .about = &beginning->about,
                        .force = option_given(call, "force")};
    if (status_is_ok(&status)) {
        if (isatty(STDIN_FILENO)) {
            talk_print(session_greeting(session));
        }
        status = talk_go_on(&talk);
        tell_journal(&talk);
    }
    talk_close(&talk);
    session_close(session);
    journal_about_free(&beginning->about);
    free(beginning);
    return status;
}

const struct verb verb_rehearse = {
    .name = "rehearse",
    .operands = "[SCENARIO]",
    .summary = "work a simulated vat by hand, seeing what a dyer sees",
    .about = "Stand at the vat of a scenario: say in plain sentences what you do (add 50 g slaked lime, stir 2 min, "
             "wait until "
             "morning, look, read strip, dip for 5 min; 'help' lists all) and be told what a dyer would see, smell and "
             "measure. Time passes only when you say so. 'back' tries another way, 'what if' looks ahead, 'reveal' and "
             "'why' tell what "
             "is inside, 'save' makes a scenario of it. Sentences may come from a pipe, one a line; then the exit "
             "status is 3 when "
             "one was not understood. docs/rehearse.md walks through a session.",
    .options = options,
    .operands_least = 0,
    .operands_most = 1,
    .act = act,
};
