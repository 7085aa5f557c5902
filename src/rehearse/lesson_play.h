/* lesson_play.h: a lesson worked in a session: to where it begins, a good dyer's sentences, and to where it ends. */
#ifndef VATCAST_REHEARSE_LESSON_PLAY_H
#define VATCAST_REHEARSE_LESSON_PLAY_H

#include "rehearse/lesson_judge.h"
#include "rehearse/session.h"
#include "rehearse/session_journal.h"

/* A session in which a lesson is worked. */
struct lesson_play {
    struct session *session;     /* owned */
    const struct lesson *lesson; /* borrowed */
    int own;                     /* events that the scenario has by itself: what comes after is the learner's */
    size_t first;                /* sentence of the session with which the learner's begin */
};

/* Opens the lesson of the scenario file at `path` and lets its past happen. `lesson` is as read from that file. The options'
 * `keeps_calendar` is taken as set. Errors and complaints as session_open; STATUS_SCENARIO when the lesson cannot be brought to
 * where it begins. Closed with lesson_close, also after a failure. */
struct status lesson_open(const char *path, const struct lesson *lesson, const struct session_options *options,
                          struct lesson_play *play, struct complaints *complaints) MUST_USE;
void lesson_close(struct lesson_play *play);

/* Says one sentence. Waiting beyond the lesson's end goes to its end; what else would lead past it is not understood, and
 * nothing is done. What was before its beginning is not taken back. Errors as session_say. */
struct status lesson_say(struct lesson_play *play, const char *sentence, struct session_answer *answer) MUST_USE;

/* Says what a journal of this lesson holds, in a lesson just opened; the last of it is taken back when it leads past the end.
 * Errors as session_journal_replay. */
struct status lesson_take_up(struct lesson_play *play, const struct session_journal *journal, session_wished *wished,
                             void *context) MUST_USE;

/* Whether its time has run out. */
bool lesson_is_over(const struct lesson_play *play);

/* Whether a sentence of a line asks for what a lesson tells only at its end; see act_is_withheld. */
bool lesson_withholds(const char *line);
/* Whether a line asks for nothing but the time. */
bool lesson_asks_time(const char *line);

/* Lets time pass to the lesson's end with nothing done. Errors as session_say. */
struct status lesson_leave(struct lesson_play *play) MUST_USE;

/* Says the lesson's good course and goes to its end. STATUS_SCENARIO, with the sentence and the answer, when one of them is
 * not understood. Errors as session_say. */
struct status lesson_play_good(struct lesson_play *play) MUST_USE;

#endif
