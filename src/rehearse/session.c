/* session.c: see session.h; opening, saying, saving. */
#include "rehearse/session_parts.h"

#include "record/publish.h"
#include "scenario/prescan.h"
#include "scenario/times.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LONGEST (366 * 86400.0)

/* ---- opening and closing ------------------------------------------------------------------------------------------ */

static struct status open_run(struct session *session, const char *path, const struct session_options *options,
                              struct complaints *complaints)
{
    process_names(session->process_names);
    const struct growth_options how = {
        .overrides = options->overrides,
        .override_count = options->override_count,
        .process_names = session->process_names,
        .models_folder = options->models_folder,
        .keeps_calendar = options->keeps_calendar,
        .room = LONGEST,
        .has_seed = options->has_seed,
        .seed = options->seed,
    };
    RETURN_IF_FAILED(growth_open(path, &how, &session->growth, complaints));
    session->scenario = growth_scenario(session->growth);
    session->run_options.stop = options->stop;
    RETURN_IF_FAILED(run_open(session->scenario, &session->run_options, &session->result, &session->run));
    RETURN_IF_FAILED(run_pause(session->run, 0.0));
    return run_mark(session->run, &session->start_mark);
}

struct status session_open(const char *path, const struct session_options *options, struct session **opened,
                           struct complaints *complaints)
{
    *opened = NULL;
    struct session *session = calloc(1, sizeof *session);
    if (session == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left for the session");
    }
    session->told.look = -1; /* nothing told yet */
    session->is_examined = options->is_examined;
    result_init(&session->result);
    struct status status = open_run(session, path, options, complaints);
    if (!status_is_ok(&status)) {
        session_close(session);
        return status;
    }
    *opened = session;
    return status_ok();
}

void session_close(struct session *session)
{
    if (session == NULL) {
        return;
    }
    for (size_t i = 0; i < session->said_count; i++) {
        free(session->said[i].sentence);
        run_mark_free(session->said[i].mark);
    }
    free(session->said);
    if (session->reading_mark != NULL) { /* what was filled in for reading is not to be filled in twice */
        run_return(session->run, session->reading_mark);
    }
    run_mark_free(session->reading_mark);
    run_mark_free(session->start_mark);
    struct status closed = run_close(session->run, status_ok());
    (void)closed; /* what it would tell is told of a result only */
    result_free(&session->result);
    growth_close(session->growth);
    free(session->answer);
    free(session);
}

/* ---- answers ------------------------------------------------------------------------------------------------------ */

static struct status answer_begin(struct session *session)
{
    free(session->answer);
    session->answer = NULL;
    session->out = open_memstream(&session->answer, &session->answer_size);
    return session->out == NULL ? status_fail(STATUS_MEMORY, "no memory left for an answer") : status_ok();
}

static struct status answer_end(struct session *session)
{
    bool failed = ferror(session->out) != 0;
    failed = fclose(session->out) != 0 || failed;
    session->out = NULL;
    return failed ? status_fail(STATUS_MEMORY, "no memory left for an answer") : status_ok();
}

struct setting_of_act setting_of(struct session *session)
{
    struct setting_of_act of = {
        .scenario = session->scenario,
        .quantities = growth_quantities(session->growth),
        .run = session->run,
        .now = session->now,
        .hint = session->hint,
    };
    for (size_t i = session->said_count; i-- > 0 && of.last_pieces == 0;) {
        of.last_kind = session->said[i].kind_dipped;
        of.last_first = session->said[i].first_dipped;
        of.last_pieces = session->said[i].pieces_dipped;
    }
    return of;
}

static void wish(struct session_answer *answer, enum session_wish wish, const char *file)
{
    if (answer != NULL) {
        answer->wish = wish;
        (void)snprintf(answer->file, sizeof answer->file, "%s", file);
    }
}

static bool ends_with(const char *text, const char *end)
{
    size_t length = strlen(text);
    size_t of_end = strlen(end);
    return length >= of_end && strcmp(text + length - of_end, end) == 0;
}

/* Sentences that only ask. */
static struct status ask(struct session *session, const char *sentence, const struct act *act,
                         struct session_answer *answer)
{
    switch (act->kind) {
    case ACT_CLOTH:
        tell_cloth(session, false);
        return status_ok();
    case ACT_READY:
        tell_ready(session);
        return status_ok();
    case ACT_TIME: {
        char moment[64];
        session_moment(session, session->now, moment, sizeof moment);
        fprintf(session->out, "It is %s.\n", moment);
        return status_ok();
    }
    case ACT_STORY:
        tell_story(session);
        return status_ok();
    case ACT_HELP:
        tell_help(session, act->rest);
        return status_ok();
    case ACT_DISPOSAL:
        fputs(
            "No vat needs to be thrown away in a rehearsal. In earnest: local rules first. Use up what dyes, let it "
            "stand, neutralise the clear liquor little by little with a weak acid to pH 7 to 9, goggles and gloves on; "
            "the bed goes to solid waste. 'vatcast advise --retire' works out the amounts.\n",
            session->out);
        return status_ok();
    case ACT_QUIT:
        wish(answer, WISH_QUIT, "");
        return status_ok();
    case ACT_SAVE:
        wish(answer, ends_with(act->rest, ".h5") ? WISH_SAVE_RESULT : WISH_SAVE_SCENARIO, act->rest);
        return status_ok();
    case ACT_REPORT:
        wish(answer, WISH_REPORT, act->rest);
        return status_ok();
    case ACT_REVEAL:
        tell_reveal(session);
        break;
    case ACT_WHY:
        RETURN_IF_FAILED(tell_why(session, act->moment));
        break;
    case ACT_ADVICE:
        RETURN_IF_FAILED(tell_advice(session));
        break;
    case ACT_WHAT_IF:
        RETURN_IF_FAILED(what_if_do(session, act));
        break;
    default:
        return status_fail(STATUS_BUG, "a sentence that nobody answers");
    }
    return act_note(session, sentence, act);
}

/* A sentence that is not understood, or that cannot be done, is answered by the hint: STATUS_SCENARIO. */
static struct status say_one(struct session *session, const char *sentence, bool alone, struct session_answer *answer)
{
    struct act act;
    struct setting_of_act of = setting_of(session);
    if (!act_read(&of, sentence, &act)) {
        return status_fail(CANNOT, "not understood");
    }
    if (act.kind <= ACT_PINCH && session->said_count >= SENTENCES_MOST) {
        (void)hint(&of, "The session is full: %d sentences. Save it and begin another.", SENTENCES_MOST);
        return status_fail(CANNOT, "full");
    }
    if (act.kind == ACT_BACK && !alone) {
        (void)hint(&of, "'back' goes alone, not among other sentences.");
        return status_fail(CANNOT, "not alone");
    }
    if (act.kind == ACT_BACK) {
        return back_do(session, &act);
    }
    if (answer->wish != WISH_NOTHING) {
        (void)hint(&of, "Save, report and quit end what is said in one go. Say the rest by itself.");
        return status_fail(CANNOT, "not the last");
    }
    return act.kind <= ACT_PINCH ? act_do(session, sentence, &act) : ask(session, sentence, &act, answer);
}

/* One after the other, up to the first that cannot be done. */
static struct status say_each(struct session *session, const char *line, struct session_answer *answer)
{
    char sentence[SENTENCE_SIZE];
    for (bool first = true; sentence_next(&line, sentence); first = false) {
        RETURN_IF_FAILED(say_one(session, sentence, first && line == NULL, answer));
    }
    return status_ok();
}

/* All sentences of a line, or none of them. */
static struct status say_all(struct session *session, const char *sentence, struct session_answer *answer)
{
    size_t before = session->said_count;
    const long changes = session->changes;
    struct status status = say_each(session, sentence, answer);
    if (!status_is_ok(&status)) {
        RETURN_IF_FAILED(said_take_back(session, before));
        session->changes = changes;
    }
    answer->changed = session->changes != changes;
    return status;
}

/* A line as it can be said: cut to its words, and plain text, since it may be saved. */
static struct status take_line(struct session *session, const char *sentence, char line[SENTENCE_SIZE])
{
    const char *wrong = !sentence_clean(sentence, line) ? "That is too long for one sentence. Say it in several."
                        : !text_is_plain(line)          ? "There are letters in it that are none (expected UTF-8)."
                                                        : NULL;
    if (wrong == NULL) {
        return status_ok();
    }
    (void)snprintf(session->hint, sizeof session->hint, "%s", wrong);
    return status_fail(CANNOT, "no text");
}

struct status session_say(struct session *session, const char *sentence, struct session_answer *answer)
{
    char line[SENTENCE_SIZE] = "";
    *answer = (struct session_answer){.understood = true, .text = ""};
    RETURN_IF_FAILED(answer_begin(session));
    struct status status = take_line(session, sentence, line);
    if (status_is_ok(&status) && line[0] != '\0') {
        status = say_all(session, line, answer);
    }
    struct status ended = answer_end(session);
    if (status.code == CANNOT && status_is_ok(&ended)) {
        RETURN_IF_FAILED(answer_begin(session)); /* what was told on the way has been taken back */
        fprintf(session->out, "%s\n", session->hint);
        ended = answer_end(session);
        answer->understood = false;
        answer->wish = WISH_NOTHING;
        status = status_ok();
    }
    RETURN_IF_FAILED(status);
    answer->text = session->answer;
    return ended;
}

struct status session_remark(struct session *session, const char *sentence)
{
    struct act act;
    struct setting_of_act of = setting_of(session);
    if (!act_read(&of, sentence, &act) || act.kind <= ACT_PINCH) {
        act = (struct act){.kind = ACT_STORY};
    }
    return act_note(session, sentence, &act);
}

const char *session_greeting(struct session *session)
{
    struct status status = answer_begin(session);
    if (!status_is_ok(&status)) {
        return "";
    }
    tell_greeting(session);
    status = answer_end(session);
    return status_is_ok(&status) ? session->answer : "";
}

/* ---- what there is ------------------------------------------------------------------------------------------------ */

void session_settle(struct session *session)
{
    session->settled = session->said_count;
}

double session_time(const struct session *session)
{
    return session->now;
}

void session_moment(const struct session *session, double time, char *text, size_t size)
{
    time_show(session->scenario, time, text, size);
}

const struct scenario *session_scenario(const struct session *session)
{
    return session->scenario;
}

size_t session_said_count(const struct session *session)
{
    return session->said_count;
}

struct session_said session_said(const struct session *session, size_t index)
{
    const struct utterance *said = &session->said[index];
    return (struct session_said){
        .time = said->time,
        .until = said->until,
        .changed = said->changed,
        .is_reading = said->kind >= ACT_LOOK && said->kind <= ACT_PINCH,
        .is_wait = said->kind == ACT_WAIT,
        .sentence = said->sentence,
    };
}

struct run_look session_truth(const struct session *session)
{
    return run_look(session->run);
}

/* ---- the result, and files ---------------------------------------------------------------------------------------- */

struct status session_result_begin(struct session *session, const char *scenario_name, const struct result **result)
{
    char *text;
    *result = NULL;
    RETURN_IF_FAILED(growth_write(session->growth, session->now, &text));
    free(session->result.scenario_text);
    session->result.scenario_text = text;
    if (scenario_name != NULL) {
        (void)snprintf(session->result.scenario_name, sizeof session->result.scenario_name, "%s", scenario_name);
    }
    RETURN_IF_FAILED(run_mark(session->run, &session->reading_mark));
    struct status status = run_fill(session->run);
    if (!status_is_ok(&status)) {
        struct status ended = session_result_end(session);
        return status_is_ok(&ended) ? status : ended;
    }
    *result = &session->result;
    return status_ok();
}

struct status session_result_end(struct session *session)
{
    if (session->reading_mark == NULL) {
        return status_fail(STATUS_BUG, "the result was not being read");
    }
    run_return(session->run, session->reading_mark);
    run_mark_free(session->reading_mark);
    session->reading_mark = NULL;
    return status_ok();
}

struct status session_save_scenario(struct session *session, const char *path, bool force)
{
    char *text;
    RETURN_IF_FAILED(growth_write(session->growth, session->now, &text));
    struct status status = publish_bytes(path, text, strlen(text), force);
    free(text);
    return status;
}
