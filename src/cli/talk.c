/* talk.c: see talk.h. */
#include "cli/talk.h"

#include "cli/summary.h"
#include "cli/terminal.h"
#include "cli/text.h"
#include "record/publish.h"
#include "record/record.h"
#include "record/report.h"
#include "study/summary_words.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define JOURNALS_MOST 99
#define ROW_INDENT_MOST 37 /* of what stands right in a row */

/* ---- answers ------------------------------------------------------------------------------------------------------ */

/* A line "  left   right". */
static void print_as_row(const struct text_style *style, const char *line)
{
    const char *gap = strstr(line + 2, "  ");
    const char *right = gap == NULL ? "" : gap + strspn(gap, " ");
    char left[ROW_INDENT_MOST];
    if (right[0] == '\0' || (size_t)(gap - line) > sizeof left - 2) {
        text_print_wrapped(stdout, style, "", 2, line + 2, style->width, "");
        return;
    }
    (void)snprintf(left, sizeof left, "%.*s", (int)(gap - line), line);
    text_print_wrapped(stdout, style, left, (int)(right - line), right, style->width, "");
}

void talk_print(const char *text)
{
    const struct text_style style = {.width = terminal_width()};
    while (*text != '\0') {
        size_t length = strcspn(text, "\n");
        char *line = text_copy(text, length);
        if (strncmp(line, "  ", 2) == 0) {
            print_as_row(&style, line);
        } else {
            text_print_wrapped(stdout, &style, "", 0, line, style.width, "");
        }
        free(line);
        text += length;
        text += *text == '\n';
    }
}

/* A line that came to nothing: an answer to a person, a complaint about a script. */
static void print_refusal(struct talk *talk, const char *text)
{
    talk->bad_lines++;
    talk->first_bad = talk->first_bad == 0 ? talk->line : talk->first_bad;
    if (line_reader_is_edited(talk->lines)) {
        talk_print(text);
    } else {
        (void)fflush(stdout);
        fprintf(stderr, "line %ld: %s%s", talk->line, text, strchr(text, '\n') == NULL ? "\n" : "");
    }
}

/* ---- files -------------------------------------------------------------------------------------------------------- */

/* FILE.conf for "FILE.h5". */
static void scenario_beside(const char *file, char *name, size_t size)
{
    size_t length = strlen(file);
    (void)snprintf(name, size, "%.*s.conf", (int)(length > 3 ? length - 3 : length), file);
}

static struct status write_page(const struct result *result, const char *path, bool force)
{
    char *story = summary_story(result);
    if (story == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left for the page");
    }
    const struct report_run run = {.result = result, .name = "by hand", .story = story};
    const struct report_words words = {.phrase = ledger_phrase, .verdict = ""};
    struct status status = report_write(&run, 1, &words, path, force);
    free(story);
    return status;
}

static struct status save(struct session *session, const struct session_answer *answer, bool force)
{
    char name[SENTENCE_SIZE + 8];
    const struct result *result;
    if (answer->wish == WISH_SAVE_SCENARIO) {
        return session_save_scenario(session, answer->file, force);
    }
    scenario_beside(answer->file, name, sizeof name);
    RETURN_IF_FAILED(session_result_begin(session, name, &result));
    struct status status = answer->wish == WISH_REPORT ? write_page(result, answer->file, force)
                                                       : record_write(result, answer->file, force);
    struct status ended = session_result_end(session);
    return status_is_ok(&status) ? ended : status;
}

struct status talk_save(struct session *session, const struct session_answer *answer, bool force)
{
    char line[2 * SENTENCE_SIZE];
    RETURN_IF_FAILED(save(session, answer, force));
    (void)snprintf(line, sizeof line,
                   answer->wish == WISH_SAVE_SCENARIO ? "Saved. 'vatcast run %s' does what you did." : "Written to %s.",
                   answer->file);
    talk_print(line);
    return status_ok();
}

/* A file that cannot be written ends nothing. */
static struct status save_or_refuse(struct talk *talk, const struct session_answer *answer)
{
    struct status status =
        talk->save != NULL ? talk->save(talk->context, answer) : talk_save(talk->session, answer, talk->force);
    if (status.code == STATUS_IO || status.code == STATUS_USAGE || status.code == STATUS_LIMIT) {
        print_refusal(talk, status.message);
        return status_ok();
    }
    return status;
}

/* ---- the journal -------------------------------------------------------------------------------------------------- */

/* NAME.session beside the scenario, or here when that folder takes no files; NAME.2.session when it is there, and so on. "" when
 * there is no free name. */
static void find_journal_path(const char *scenario, char path[JOURNAL_PATH_SIZE])
{
    const char *slash = strrchr(scenario, '/');
    const char *name = slash == NULL ? scenario : slash + 1;
    size_t length = strlen(name);
    length -= length > 5 && strcmp(name + length - 5, ".conf") == 0 ? 5 : 0;
    char folder[JOURNAL_PATH_SIZE];
    (void)snprintf(folder, sizeof folder, "%.*s", slash == NULL ? 0 : (int)(slash - scenario) + 1, scenario);
    if (folder[0] != '\0' && access(folder, W_OK) != 0) {
        folder[0] = '\0';
    }
    for (int number = 1; number <= JOURNALS_MOST; number++) {
        char which[8] = "";
        if (number > 1) {
            (void)snprintf(which, sizeof which, ".%d", number);
        }
        int size = snprintf(path, JOURNAL_PATH_SIZE, "%s%.*s%s.session", folder, (int)length, name, which);
        if (size > 0 && size < JOURNAL_PATH_SIZE && !publish_exists(path)) {
            return;
        }
    }
    path[0] = '\0';
}

struct status journal_choose(const struct call *call, const char *scenario, bool by_itself,
                             char path[JOURNAL_PATH_SIZE])
{
    const char *named = option_value(call, "journal", NULL);
    if (named == NULL) {
        path[0] = '\0';
        if (by_itself) {
            find_journal_path(scenario, path);
        }
        return status_ok();
    }
    if (snprintf(path, JOURNAL_PATH_SIZE, "%s", named) >= JOURNAL_PATH_SIZE) {
        return status_fail(STATUS_IO, "the path '%.60s...' is too long", named);
    }
    return publish_exists(named)
               ? status_fail(STATUS_IO, "'%.200s' is there already; --resume takes it up, another name keeps both",
                             named)
               : status_ok();
}

struct status journal_fits(const struct session_journal *journal, const struct session *session,
                           struct journal_about *about)
{
    char digest[JOURNAL_DIGEST_SIZE];
    RETURN_IF_FAILED(session_digest(session, digest));
    if (journal == NULL) {
        memcpy(about->digest, digest, sizeof digest);
    } else if (strcmp(about->digest, digest) != 0) {
        return status_fail(STATUS_SCENARIO,
                           "'%.200s' or its model is not what it was when the session began; it cannot be taken up",
                           about->scenario);
    }
    return status_ok();
}

static struct status keep(struct talk *talk, const char *line, bool changed)
{
    if (talk->journal == NULL && talk->journal_path == NULL) {
        return status_ok();
    }
    if (talk->journal == NULL) {
        RETURN_IF_FAILED(session_journal_create(talk->journal_path, talk->about, &talk->journal));
    }
    return session_journal_append(talk->journal, line, changed);
}

/* ---- talking ------------------------------------------------------------------------------------------------------ */

/* Whether a signal asks for the end: SIGTERM, and from a script Ctrl-C too. */
static bool is_to_end(const struct talk *talk)
{
    return *talk->call->stop == SIGTERM || (*talk->call->stop != 0 && !line_reader_is_edited(talk->lines));
}

static struct status say(struct talk *talk, const char *line, bool *over)
{
    struct session_answer answer;
    size_t before = session_said_count(talk->session);
    struct status status =
        talk->say != NULL ? talk->say(talk->context, line, &answer) : session_say(talk->session, line, &answer);
    if (status.code == STATUS_INTERRUPTED && !is_to_end(talk)) {
        talk_print("Interrupted. Nothing was done.");
        return status_ok();
    }
    RETURN_IF_FAILED(status);
    if (!answer.understood) {
        print_refusal(talk, answer.text);
        return status_ok();
    }
    bool is_put_off = talk->save != NULL && answer.wish != WISH_NOTHING && answer.wish != WISH_QUIT;
    if (answer.changed || is_put_off || session_said_count(talk->session) != before) {
        RETURN_IF_FAILED(keep(talk, line, answer.changed));
    }
    talk_print(answer.text);
    if (answer.wish == WISH_QUIT) {
        *over = true;
    } else if (answer.wish != WISH_NOTHING) {
        RETURN_IF_FAILED(save_or_refuse(talk, &answer));
    }
    *over = *over || (talk->after != NULL && talk->after(talk->context, &answer));
    return status_ok();
}

static size_t complete(const void *context, const char *line, const char **words, size_t most)
{
    return session_complete(context, line, words, most);
}

static struct status take_line(struct talk *talk, bool *over)
{
    char line[LINE_SIZE_MOST];
    char moment[64];
    char prompt[80];
    session_moment(talk->session, session_time(talk->session), moment, sizeof moment);
    (void)snprintf(prompt, sizeof prompt, "%s> ", moment);
    if (is_to_end(talk)) {
        return status_fail(STATUS_INTERRUPTED, "interrupted");
    }
    talk->call->watch_signals(); /* a Ctrl-C before has been dealt with */
    enum line_got got = line_reader_next(talk->lines, prompt, line);
    talk->line++;
    if (got == LINE_BROKEN) {
        return is_to_end(talk) ? status_fail(STATUS_INTERRUPTED, "interrupted") : status_ok();
    }
    if (got == LINE_LONG) {
        print_refusal(talk, "That is too long for one sentence.\n");
        return status_ok();
    }
    *over = got == LINE_OVER;
    const char *words = line + strspn(line, " \t");
    if (*over || words[0] == '\0' || words[0] == '#') {
        return status_ok();
    }
    line_reader_remember(talk->lines, words);
    if (talk->own != NULL && talk->own(talk->context, words, over)) {
        return status_ok();
    }
    return say(talk, words, over);
}

struct status talk_go_on(struct talk *talk)
{
    bool over = false;
    RETURN_IF_FAILED(line_reader_open(talk->call->stop, &talk->lines));
    line_reader_complete_with(talk->lines, complete, talk->session);
    for (size_t i = 0; i < session_said_count(talk->session); i++) {
        line_reader_remember(talk->lines, session_said(talk->session, i).sentence);
    }
    while (!over) {
        RETURN_IF_FAILED(take_line(talk, &over));
        (void)fflush(stdout);
    }
    if (!line_reader_is_edited(talk->lines) && talk->bad_lines > 0) {
        return status_fail(STATUS_SCENARIO, "%ld line%s not understood or could not be done; the first is line %ld",
                           talk->bad_lines, talk->bad_lines == 1 ? " was" : "s were", talk->first_bad);
    }
    return status_ok();
}

void talk_close(struct talk *talk)
{
    session_journal_close(talk->journal);
    line_reader_close(talk->lines);
    talk->journal = NULL;
    talk->lines = NULL;
}
