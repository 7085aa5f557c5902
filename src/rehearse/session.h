/* session.h: a vat worked by hand: a scenario that grows by one sentence after another, and what a dyer sees of it.
 *
 * Each sentence becomes events of the scenario's calendar at fixed times, in the words of scenario files, read by the reader
 * of scenario files; the run goes on by them. So the scenario that a session is saved as means what the session did, and
 * its run gives the same bytes. Time passes only by what is said. Times are whole seconds since the scenario's start.
 */
#ifndef VATCAST_REHEARSE_SESSION_H
#define VATCAST_REHEARSE_SESSION_H

#include "base/complaints.h"
#include "base/status.h"
#include "scenario/scenario.h"
#include "sim/result.h"
#include "sim/run.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define SENTENCE_SIZE 300   /* bytes of a sentence, its end included */
#define SENTENCES_MOST 1500 /* that a session keeps; after that it still answers questions, saves and goes back */

struct session;

struct session_options {
    const char *const *overrides; /* PATH=VALUE, as of scenario_read; borrowed while opening */
    size_t override_count;
    const char *models_folder; /* borrowed while opening */
    bool has_seed;             /* else the scenario's own */
    uint32_t seed;             /* of the errors of instruments, up to 2147483647 */
    bool keeps_calendar;       /* what the scenario's calendar says is done by itself; else it is left aside */
    bool is_examined;          /* no answer points to `advice`, which whoever holds the session keeps back */
    const volatile int *stop;  /* as in run_options; borrowed until the session is closed */
};

/* Opens a session at time 0 of the scenario file at `path`. Schedules and workshop of the scenario are left aside. Errors as
 * scenario_read, with its complaints, and as run_open. Closed with session_close. */
struct status session_open(const char *path, const struct session_options *options, struct session **session,
                           struct complaints *complaints) MUST_USE;
void session_close(struct session *session); /* takes NULL */

/* What is asked of whoever holds the session, because it is no matter of the vat. */
enum session_wish {
    WISH_NOTHING,
    WISH_QUIT,
    WISH_SAVE_SCENARIO, /* to `file`, by session_save_scenario */
    WISH_SAVE_RESULT,   /* to `file` */
    WISH_REPORT         /* to `file` */
};

struct session_answer {
    bool understood; /* false: nothing has changed, and the text says what would be understood */
    bool changed;    /* the vat, the clock or the course of things is not what it was */
    enum session_wish wish;
    char file[SENTENCE_SIZE];
    const char *text; /* paragraphs, each ending with a newline, not wrapped; the session's, until the next call */
};

/* Says one sentence, or several joined by the word "then". A sentence that cannot be done changes nothing, and the answer says why.
 * Errors: STATUS_MEMORY, STATUS_BUG; STATUS_INTERRUPTED when the stop flag went up, nothing changed. */
struct status session_say(struct session *session, const char *sentence, struct session_answer *answer) MUST_USE;

/* Keeps a sentence among those said without doing it: a question that was answered before, when a session is taken up again.
 * STATUS_MEMORY. */
struct status session_remark(struct session *session, const char *sentence) MUST_USE;

/* What is told at the beginning: where one stands, what there is, how to begin. Until the next call. */
const char *session_greeting(struct session *session);

/* What has been said so far is not taken back any more: `back` goes to here at the furthest. */
void session_settle(struct session *session);

double session_time(const struct session *session); /* s since the start */
/* "day 2 10:30" for a time. */
void session_moment(const struct session *session, double time, char *text, size_t size);
/* As it stands now, with what has been done as its last events. */
const struct scenario *session_scenario(const struct session *session);

/* The sentences that made the session what it is (those taken back by `back` are not among them), and those that only asked. */
struct session_said {
    double time;          /* when it was said */
    double until;         /* when it was over */
    bool changed;         /* false: a question, as `why` or `reveal` */
    bool is_reading;      /* it read an instrument, looked, dipped a test strip */
    bool is_wait;         /* it only let time pass */
    const char *sentence; /* the session's */
};
size_t session_said_count(const struct session *session);
struct session_said session_said(const struct session *session, size_t index);

/* The true vat, which a dyer does not see. */
struct run_look session_truth(const struct session *session);

/* The result as if the session ended now, with ledgers and pieces; NULL: no memory. It belongs to the session, and
 * session_result_end must be called before anything else is said. `scenario_name` (may be NULL) is what the result calls its
 * scenario: the file that the session is saved as. */
struct status session_result_begin(struct session *session, const char *scenario_name,
                                   const struct result **result) MUST_USE;
struct status session_result_end(struct session *session) MUST_USE;

/* Puts the scenario that does what the session did into `path`. Its run ends at the session's time. */
struct status session_save_scenario(struct session *session, const char *path, bool force) MUST_USE;

/* Words that may come next after `line`, for completion: fills up to `most` and returns how many. They are whole words that
 * begin as the last word of the line does; each belongs to the session or is constant. */
size_t session_complete(const struct session *session, const char *line, const char **words, size_t most);

#endif
