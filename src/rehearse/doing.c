/* doing.c: sentences done to the vat, taken back, and tried out; see session_parts.h. */
#include "rehearse/session_parts.h"

#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#define WARM_LONGEST 86400.0 /* s: a heater that takes longer does not do it */
#define FORECAST (4 * 3600.0)
#define MARKS_LATE 48  /* of the last sentences all are marked, */
#define MARKS_APART 12 /* of those before them every twelfth */

static struct status cannot(struct session *session, const char *format, ...) PRINTF_LIKE(2, 3);

static struct status cannot(struct session *session, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    (void)vsnprintf(session->hint, sizeof session->hint, format, arguments);
    va_end(arguments);
    return status_fail(CANNOT, "cannot be done");
}

/* ---- events ------------------------------------------------------------------------------------------------------- */

/* Puts an event into the scenario and into the run. */
static struct status put_event(struct session *session, double time, const char *event, const char *remark)
{
    char text[EVENT_SIZE + 40];
    struct complaints complaints;
    complaints_init(&complaints);
    (void)snprintf(text, sizeof text, "{ at = \"+%.0f s\"; %s }", time, event);
    struct status status = growth_add(session->growth, text, remark, &complaints);
    if (status.code == STATUS_SCENARIO) {
        status = cannot(session, "That cannot be: %.350s.",
                        complaints.count > 0 ? complaints.items[0].text : "it does not read");
    } else if (status.code == STATUS_LIMIT) {
        status = cannot(session, "The session is as long as a scenario file may be. Save it and begin another.");
    }
    complaints_free(&complaints);
    RETURN_IF_FAILED(status);
    return run_put(session->run, (int)session->scenario->event_count - 1, time);
}

/* Goes on to a time; what the model cannot follow is told as what cannot be done. */
static struct status go_on(struct session *session, double time)
{
    struct status status = run_pause(session->run, time);
    if (status.code == STATUS_NUMERIC) {
        return cannot(session, "%.300s. Nothing was done.", status.message);
    }
    RETURN_IF_FAILED(status);
    if (run_look(session->run).time < time - 0.5) {
        return status_fail(STATUS_INTERRUPTED, "interrupted; nothing was done");
    }
    return status_ok();
}

/* When the heater that has just been switched on is there: the session's time when it was warm enough already. */
static struct status find_warm(struct session *session, double *reached)
{
    struct run_mark *mark;
    *reached = session->now;
    RETURN_IF_FAILED(go_on(session, session->now));
    if (!run_stand(session->run).is_warming) {
        return status_ok();
    }
    RETURN_IF_FAILED(run_mark(session->run, &mark));
    size_t row = session->result.events.rows;
    struct status status = go_on(session, session->now + WARM_LONGEST);
    const double *times = table_column(&session->result.events, "time")->values;
    const double *actions = table_column(&session->result.events, "action")->values;
    while (row < session->result.events.rows && (int)actions[row] != RUN_ACTION_HEATER_REACHED) {
        row++;
    }
    if (status_is_ok(&status) && row == session->result.events.rows) {
        status = cannot(session, "A day of heating would not bring it there: more power, a lid or a wrap is wanted.");
    } else if (status_is_ok(&status)) {
        *reached = times[row];
    }
    run_return(session->run, mark);
    run_mark_free(mark);
    return status;
}

/* The event itself, and the time that it takes. At the end one looks at the vat: an event too, so that whoever runs the saved
 * scenario stops there as the session did. */
static struct status perform(struct session *session, const char *sentence, const struct act *act)
{
    char remark[SENTENCE_SIZE + 64];
    char moment[64];
    double end = session->now + act->lasts;
    session_moment(session, session->now, moment, sizeof moment);
    (void)snprintf(remark, sizeof remark, "%s: %s", moment, sentence);
    bool has_event = act->event[0] != '\0';
    if (has_event) {
        RETURN_IF_FAILED(put_event(session, session->now, act->event, remark));
    }
    if (act->is_warming) {
        RETURN_IF_FAILED(find_warm(session, &end));
        end = ceil(end + act->lasts - 1e-6);
    }
    if (act->stays_on || !(end > session->now)) {
        return go_on(session, session->now);
    }
    if (end > session->scenario->lasts) {
        return cannot(session, "A session goes on for %.0f days at most.", session->scenario->lasts / 86400.0);
    }
    RETURN_IF_FAILED(put_event(session, end, "do = \"read\"; read = \"look\";", has_event ? "" : remark));
    RETURN_IF_FAILED(go_on(session, end));
    session->now = end;
    return status_ok();
}

/* A dip or a rinse that the run left out. */
static struct status see_refused(struct session *session, const struct act *act, size_t event, size_t row)
{
    const struct result *result = &session->result;
    const double *done = table_column(&result->events, "done")->values;
    const double *sources = table_column(&result->events, "source")->values;
    for (; row < result->events.rows; row++) {
        if (done[row] > 0.0 || sources[row] < 0.0 || (size_t)sources[row] != event) {
            continue;
        }
        if (act->kind == ACT_FINISH) {
            return cannot(session, "None of that cloth has been dipped and is out of the vat.");
        }
        const char *why = result->note_count > 0 ? result->notes[result->note_count - 1].text : "it was left out";
        return cannot(session, "That cannot be: %.200s.", why);
    }
    return status_ok();
}

/* ---- what was said ------------------------------------------------------------------------------------------------ */

/* Keeps a sentence; the mark becomes its own, also after a failure. */
static struct status keep(struct session *session, const char *sentence, struct utterance utterance)
{
    utterance.sentence = strdup(sentence);
    if (session->said_count == session->said_room && utterance.sentence != NULL) {
        size_t room = session->said_room == 0 ? 64 : 2 * session->said_room;
        struct utterance *said = realloc(session->said, room * sizeof *said);
        session->said = said != NULL ? said : session->said;
        session->said_room = said != NULL ? room : session->said_room;
    }
    if (utterance.sentence == NULL || session->said_count == session->said_room) {
        free(utterance.sentence);
        run_mark_free(utterance.mark);
        return status_fail(STATUS_MEMORY, "no memory left for the session");
    }
    session->said[session->said_count++] = utterance;
    size_t late = session->said_count > MARKS_LATE ? session->said_count - MARKS_LATE - 1 : 0;
    if (late % MARKS_APART != 0) {
        run_mark_free(session->said[late].mark);
        session->said[late].mark = NULL;
    }
    return status_ok();
}

struct status act_note(struct session *session, const char *sentence, const struct act *act)
{
    if (session->said_count >= SENTENCES_MOST) {
        return status_ok(); /* a question is answered also when there is no room to keep it */
    }
    return keep(session, sentence,
                (struct utterance){.kind = act->kind,
                                   .time = session->now,
                                   .until = session->now,
                                   .events_before = session->scenario->event_count,
                                   .seen = seen_since(session, act, session->result.events.rows)});
}

struct status act_do(struct session *session, const char *sentence, const struct act *act)
{
    struct utterance said = {.kind = act->kind,
                             .time = session->now,
                             .changed = true,
                             .events_before = session->scenario->event_count,
                             .kind_dipped = act->count,
                             .first_dipped = act->first,
                             .pieces_dipped = act->kind == ACT_DIP ? act->pieces : 0};
    size_t row = session->result.events.rows;
    RETURN_IF_FAILED(run_mark(session->run, &said.mark));
    struct status status = perform(session, sentence, act);
    if (status_is_ok(&status)) {
        status = see_refused(session, act, said.events_before, row);
    }
    if (status_is_ok(&status)) {
        said.until = session->now;
        said.seen = seen_since(session, act, row);
        tell_act(session, act, said.time, said.events_before, row);
        session->changes++;
        return keep(session, sentence, said);
    }
    growth_cut(session->growth, said.events_before);
    run_return(session->run, said.mark);
    run_mark_free(said.mark);
    session->now = said.time;
    return status;
}

/* ---- taking back -------------------------------------------------------------------------------------------------- */

/* Puts the events of sentence `index` into the run, up to a time. */
static struct status put_again(struct session *session, size_t index, double time)
{
    const struct scenario *scenario = session->scenario;
    size_t end = index + 1 < session->said_count ? session->said[index + 1].events_before : scenario->event_count;
    for (size_t e = session->said[index].events_before; e < end; e++) {
        if (scenario->events[e].at > time) {
            break; /* they follow each other */
        }
        RETURN_IF_FAILED(run_put(session->run, (int)e, scenario->events[e].at));
    }
    return status_ok();
}

/* Does once more what sentences `from` to `to` - 1 did, up to `time` at most. */
static struct status repeat(struct session *session, size_t from, size_t to, double time)
{
    for (size_t i = from; i < to; i++) {
        RETURN_IF_FAILED(put_again(session, i, time));
        RETURN_IF_FAILED(go_on(session, fmin(session->said[i].until, time)));
    }
    return status_ok();
}

/* The same, come what may: half of it would be no state of the vat that was. */
static struct status do_again(struct session *session, size_t from, size_t to, double time)
{
    const volatile int *stop = session->run_options.stop;
    session->run_options.stop = NULL;
    struct status status = repeat(session, from, to, time);
    session->run_options.stop = stop;
    return status;
}

/* The last marked sentence at or before `index`; what is not marked is done again from there. */
static struct status stand_before(struct session *session, size_t index, double time, struct result *aside)
{
    size_t marked = index;
    while (marked > 0 && session->said[marked].mark == NULL) {
        marked--;
    }
    const struct run_mark *mark = session->said[marked].mark;
    run_return(session->run, mark != NULL ? mark : session->start_mark);
    if (aside != NULL) {
        RETURN_IF_FAILED(run_aside(session->run, aside));
    }
    return do_again(session, mark != NULL ? marked : 0, index, time);
}

struct status said_take_back(struct session *session, size_t index)
{
    if (index >= session->said_count) {
        return status_ok();
    }
    double time = session->said[index].time;
    growth_cut(session->growth, session->said[index].events_before);
    size_t count = session->said_count;
    struct status status = stand_before(session, index, time, NULL);
    for (size_t i = index; i < count; i++) {
        free(session->said[i].sentence);
        run_mark_free(session->said[i].mark);
    }
    session->said_count = index;
    session->now = time;
    session->told.look = -1; /* it was of what is not any more */
    return status;
}

struct status run_stand_at(struct session *session, double time, struct result *aside)
{
    size_t index = 0;
    while (index < session->said_count && session->said[index].until <= time) {
        index++;
    }
    if (index == session->said_count) {
        return run_aside(session->run, aside);
    }
    RETURN_IF_FAILED(stand_before(session, index, time, aside));
    return do_again(session, index, index + 1, time);
}

/* The sentence to begin anew from; said_count: there is none. */
static size_t back_to(const struct session *session, const struct act *act)
{
    size_t index = session->said_count;
    int steps = act->count;
    while (index > session->settled) {
        const struct utterance *said = &session->said[index - 1];
        bool is_wanted = act->count > 0 ? steps > 0 : said->time >= act->moment || said->until > act->moment;
        if (!is_wanted) {
            break;
        }
        index--;
        steps -= said->changed ? 1 : 0;
    }
    return index;
}

struct status back_do(struct session *session, const struct act *act)
{
    char moment[64];
    if (act->count == 0 && act->moment > session->now) {
        return cannot(session, "That has not been yet. 'wait until' goes there.");
    }
    size_t index = back_to(session, act);
    bool any = false;
    for (size_t i = index; i < session->said_count; i++) {
        any = any || session->said[i].changed;
    }
    if (!any) {
        return cannot(session, "There is nothing to take back.");
    }
    const struct utterance first = session->said[index];
    bool is_wait = first.kind == ACT_WAIT || first.kind == ACT_AIR;
    double rest = act->count == 0 ? act->moment - first.time : 0.0;
    RETURN_IF_FAILED(said_take_back(session, index));
    session->changes++;
    if (is_wait && rest >= 1.0) { /* part of a wait stands */
        char sentence[64];
        struct act wait = {.kind = ACT_WAIT, .lasts = floor(rest), .moment = NAN};
        (void)snprintf(sentence, sizeof sentence, "wait %.0f s", wait.lasts);
        return act_do(session, sentence, &wait);
    }
    session_moment(session, session->now, moment, sizeof moment);
    fprintf(session->out, "It is %s again, as if the rest had not been.\n", moment);
    return status_ok();
}

/* ---- trying out --------------------------------------------------------------------------------------------------- */

/* Says the sentences of a what-if one by one; the first that fails ends it. */
static struct status try_out(struct session *session, const char *line)
{
    char sentence[SENTENCE_SIZE];
    while (sentence_next(&line, sentence)) {
        struct act act;
        struct setting_of_act of = setting_of(session);
        if (!act_read(&of, sentence, &act)) {
            return status_fail(CANNOT, "not understood");
        }
        if (act.kind > ACT_PINCH) {
            return cannot(session,
                          "What if tries out what is done to the vat. Say it as: what if add 20 g fructose then wait 4 "
                          "hours.");
        }
        RETURN_IF_FAILED(act_do(session, sentence, &act));
    }
    return status_ok();
}

/* Whether one of the sentences from `index` on was to wait. */
static bool has_waited(const struct session *session, size_t index)
{
    while (index < session->said_count && session->said[index].kind != ACT_WAIT &&
           session->said[index].kind != ACT_AIR) {
        index++;
    }
    return index < session->said_count;
}

/* Looks ahead: after the sentences, and four hours when none of them waits; or, without sentences, when nothing is done for
 * *lasts, which is set to the time looked ahead. `before` is how many sentences had been said. */
static struct status forecast(struct session *session, const char *line_said, double *lasts, size_t before)
{
    double begun = session->now;
    FILE *out = session->out;
    char *unheard = NULL;
    size_t size;
    session->out = open_memstream(&unheard, &size);
    struct status status =
        session->out == NULL ? status_fail(STATUS_MEMORY, "no memory left for an answer") : status_ok();
    if (status_is_ok(&status)) {
        status = line_said != NULL ? try_out(session, line_said) : status_ok();
        struct act wait = {.kind = ACT_WAIT, .moment = NAN};
        wait.lasts = line_said == NULL ? *lasts : has_waited(session, before) ? 0.0 : FORECAST;
        if (status_is_ok(&status) && wait.lasts > 0.0) {
            status = act_do(session, "wait", &wait);
        }
        (void)fclose(session->out);
        free(unheard);
    }
    session->out = out;
    if (status_is_ok(&status)) {
        *lasts = session->now - begun;
        tell_vat(session);
    }
    if (session->said_count > before) {
        struct status back = said_take_back(session, before);
        status = status_is_ok(&back) ? status : back;
    }
    return status;
}

struct status what_if_do(struct session *session, const struct act *act)
{
    char span[64];
    double lasts = 0.0;
    size_t before = session->said_count;
    const long changes = session->changes;
    if (act->rest[0] == '\0') {
        return cannot(session, "What if what? Say it as: what if add 20 g fructose then wait 4 hours.");
    }
    fprintf(session->out, "If so: ");
    RETURN_IF_FAILED(forecast(session, act->rest, &lasts, before));
    duration_say(lasts, span, sizeof span);
    fprintf(session->out, "Left alone: ");
    RETURN_IF_FAILED(forecast(session, NULL, &lasts, before));
    session->changes = changes;
    fprintf(session->out, "That is how it would look in %s. Nothing was done.\n", span);
    return status_ok();
}
