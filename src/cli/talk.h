/* talk.h: a session with a person or a script: lines in, answers out, everything said kept in a journal. */
#ifndef VATCAST_CLI_TALK_H
#define VATCAST_CLI_TALK_H

#include "cli/line_reader.h"
#include "cli/options.h"
#include "rehearse/session.h"
#include "rehearse/session_journal.h"

struct talk {
    const struct call *call;
    struct session *session;           /* borrowed */
    struct session_journal *journal;   /* owned; NULL: none yet, or none wanted */
    const char *journal_path;          /* where one is made at the first sentence; NULL: none is wanted */
    const struct journal_about *about; /* of the session, for a journal that is made */
    bool force;                        /* files that are there already are replaced */
    /* Words of whoever leads the session, which are none of the vat's; true: the line has been dealt with, *over: it was the
     * last. NULL: there are none. */
    bool (*own)(void *context, const char *line, bool *over);
    /* Says a sentence in place of session_say; NULL: session_say does. */
    struct status (*say)(void *context, const char *sentence, struct session_answer *answer);
    /* Does what a sentence wishes to be saved; NULL: talk_save does. What it cannot do for want of a file or of room is a refusal. */
    struct status (*save)(void *context, const struct session_answer *answer);
    /* Called after each sentence that was understood; NULL: not. True: the talk is over. */
    bool (*after)(void *context, const struct session_answer *answer);
    void *context;

    struct line_reader *lines; /* owned */
    long line;                 /* of the input, from 1 */
    long bad_lines, first_bad; /* that were not understood or could not be done */
};

/* Talks until the end of the input, `quit` or a SIGTERM. From a script, a line that was not understood is told on stderr and
 * makes the outcome STATUS_SCENARIO, after the others have been said. Other errors as session_say. */
struct status talk_go_on(struct talk *talk) MUST_USE;
void talk_close(struct talk *talk);

/* Where a new session is to keep what is said: what --journal names, else, when it keeps a journal `by_itself`, a free name after
 * that of `scenario`, beside it or here; "": nowhere. STATUS_IO: the name is too long, or there already. */
struct status journal_choose(const struct call *call, const char *scenario, bool by_itself,
                             char path[JOURNAL_PATH_SIZE]) MUST_USE;
/* Whether a session is of what its journal is about; without a journal, `about` is told what it is of. STATUS_SCENARIO: its
 * scenario or model has changed. */
struct status journal_fits(const struct session_journal *journal, const struct session *session,
                           struct journal_about *about) MUST_USE;

/* Writes the file that an answer of `session` wishes for, and says so. Errors as record_write, report_write and
 * session_save_scenario. */
struct status talk_save(struct session *session, const struct session_answer *answer, bool force) MUST_USE;

/* Prints an answer: paragraphs wrapped to the terminal, lines that begin with blanks as rows. */
void talk_print(const char *text);

#endif
