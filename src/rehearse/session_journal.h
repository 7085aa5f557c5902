/* session_journal.h: the sentences of a session in a file as they are said, so that the session outlives whatever ends the
 * program.
 *
 * A plain text: what the session is of, then a line for each sentence, each with a sum over it and all before it. A last line
 * that was cut short is dropped when the journal is taken up again. Each line is on the disk before it is answered.
 */
#ifndef VATCAST_REHEARSE_SESSION_JOURNAL_H
#define VATCAST_REHEARSE_SESSION_JOURNAL_H

#include "rehearse/session.h"

#define JOURNAL_PATH_SIZE 4096
#define JOURNAL_OVERRIDES_MOST 64
#define JOURNAL_DIGEST_SIZE 65

/* What a session is of. */
struct journal_about {
    char scenario[JOURNAL_PATH_SIZE]; /* path, from the root */
    char digest[JOURNAL_DIGEST_SIZE]; /* of the scenario's and the model's text, by session_digest */
    bool has_seed;
    uint32_t seed;
    bool keeps_calendar;
    char *overrides[JOURNAL_OVERRIDES_MOST]; /* owned */
    size_t override_count;
};
void journal_about_free(struct journal_about *about);
/* Takes over options and path. STATUS_LIMIT, STATUS_MEMORY. */
struct status journal_about_fill(struct journal_about *about, const char *path,
                                 const struct session_options *options) MUST_USE;

/* SHA-256 over the scenario and the model that a session was opened with, in hexadecimal digits. */
struct status session_digest(const struct session *session, char digest[JOURNAL_DIGEST_SIZE]) MUST_USE;

struct session_journal;

/* Makes a journal that is not there yet. STATUS_IO, STATUS_MEMORY. */
struct status session_journal_create(const char *path, const struct journal_about *about,
                                     struct session_journal **journal) MUST_USE;
/* Opens a journal to go on with it; `about` is filled and to be freed, also after a failure. Foreign, damaged and oversized
 * files, and one that another session writes, are refused: STATUS_IO, STATUS_LIMIT. */
struct status session_journal_open(const char *path, struct session_journal **journal,
                                   struct journal_about *about) MUST_USE;
/* Takes up what a sentence of a journal wished to be saved. */
typedef struct status session_wished(void *context, const struct session_answer *answer);

/* Says to the session what the journal holds; the digest must be the session's. What was to be saved has been: `wished` is NULL; or
 * it was put off and is told to `wished`, whose failure is the outcome. STATUS_SCENARIO when a sentence no longer does what it did. */
struct status session_journal_replay(const struct session_journal *journal, struct session *session,
                                     session_wished *wished, void *context) MUST_USE;
/* Puts a sentence at the end, and onto the disk. `changed` as of the answer to it. */
struct status session_journal_append(struct session_journal *journal, const char *sentence, bool changed) MUST_USE;
const char *session_journal_path(const struct session_journal *journal);
void session_journal_close(struct session_journal *journal); /* takes NULL */

#endif
