/* session_parts.h: what a session is made of. Private to src/rehearse. */
#ifndef VATCAST_REHEARSE_SESSION_PARTS_H
#define VATCAST_REHEARSE_SESSION_PARTS_H

#include "process/registry.h"
#include "rehearse/act.h"
#include "rehearse/session.h"
#include "scenario/growth.h"
#include "sim/run.h"
#include "sim/series.h"

#include <stdio.h>

/* What a sentence gave to see and read; what was not read is NAN, or -1. */
struct seen {
    double temperature_K, ph, orp, strip;
    int look, smell; /* enum look_kind, enum smell */
    int pinch;       /* enum pinch_kind */
};

/* A sentence that was said and done. */
struct utterance {
    char *sentence; /* owned */
    enum act_kind kind;
    double time, until; /* s */
    bool changed;
    size_t events_before;  /* of the scenario */
    struct run_mark *mark; /* owned: before it; NULL: thinned out, or nothing changed */
    struct seen seen;
    int kind_dipped, first_dipped, pieces_dipped; /* pieces_dipped 0: none */
};

/* What the vat was told to look and smell like: codes of the series. */
struct looks {
    int look, clarity, hue, smell, flower;
};

struct session {
    struct growth *growth;
    const struct scenario *scenario; /* the growth's */
    struct run_options run_options;
    struct result result;
    struct run *run;
    double now;
    struct utterance *said; /* owned */
    size_t said_count, said_room;
    bool is_examined;  /* as of struct session_options */
    size_t settled;    /* of them are not taken back any more */
    long changes;      /* how often the course of things has been changed */
    struct looks told; /* the last time */
    struct run_mark *start_mark;
    struct run_mark *reading_mark; /* while the result is being read */
    const char *process_names[PROCESSES_KNOWN_MOST + 1];
    char hint[HINT_SIZE];
    FILE *out;    /* the answer while it is being made */
    char *answer; /* owned: the last one */
    size_t answer_size;
};

/* ---- doing.c: sentences that change the vat ---- */

/* The outcome of a sentence that cannot be done: told in session->hint; nothing has changed. */
#define CANNOT STATUS_SCENARIO

/* Does what an act asks of the vat, and keeps it as said. STATUS_SCENARIO: it cannot be done. Errors as session_say. */
struct status act_do(struct session *session, const char *sentence, const struct act *act) MUST_USE;
/* Notes a sentence that only asked, while there is room. */
struct status act_note(struct session *session, const char *sentence, const struct act *act) MUST_USE;
/* Takes back what was said from `index` on. */
struct status said_take_back(struct session *session, size_t index) MUST_USE;
/* The run stands at a time that has been, with the scenario as it is, and writes to `aside` (initialised before, freed by the
 * caller); to be undone by run_return to a mark made before. */
struct status run_stand_at(struct session *session, double time, struct result *aside) MUST_USE;
/* Goes back; STATUS_SCENARIO when it cannot. */
struct status back_do(struct session *session, const struct act *act) MUST_USE;
/* Tells what there would be to see after the sentences in act->rest; nothing is done. */
struct status what_if_do(struct session *session, const struct act *act) MUST_USE;
/* What a sentence is read by, now. */
struct setting_of_act setting_of(struct session *session);

/* ---- telling.c: what is seen, into session->out ---- */

/* What there is to see of what was done: by event number `event` of the scenario, and the events recorded since row `row`. */
void tell_act(struct session *session, const struct act *act, double begun, size_t event, size_t row);
/* "at 44 C (111 F) a test strip comes out light blue; the liquor is ...": the vat as it would be found. */
void tell_vat(struct session *session);
void tell_cloth(struct session *session, bool wet_only);
void tell_story(struct session *session);
void tell_greeting(struct session *session);
/* Takes what was read since row `row` of the events. */
struct seen seen_since(const struct session *session, const struct act *act, size_t row);

/* ---- asking.c, why.c, counsel.c, helping.c ---- */
void tell_reveal(struct session *session);
struct status tell_why(struct session *session, double since) MUST_USE;
struct status tell_advice(struct session *session) MUST_USE;
void tell_ready(struct session *session);
void tell_help(struct session *session, const char *word);

#endif
