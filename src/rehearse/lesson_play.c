/* lesson_play.c: see lesson_play.h. */
#include "rehearse/lesson_play.h"

#include "rehearse/act.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define SENTENCE_SHOWN 100 /* bytes of a sentence and of an answer in a message */

bool lesson_withholds(const char *line)
{
    char clean[SENTENCE_SIZE];
    char sentence[SENTENCE_SIZE];
    const char *rest = sentence_clean(line, clean) ? clean : NULL;
    while (sentence_next(&rest, sentence)) {
        int kind = sentence_kind(sentence);
        if (kind >= 0 && act_is_withheld((enum act_kind)kind)) {
            return true;
        }
    }
    return false;
}

bool lesson_asks_time(const char *line)
{
    size_t length;
    return sentence_kind(line) == ACT_TIME && after_then(line, &length) == NULL;
}

/* Whether the last that a line says is to let time pass. */
static bool ends_in_waiting(const char *line)
{
    char sentence[SENTENCE_SIZE] = "";
    while (sentence_next(&line, sentence)) {
    }
    int kind = sentence_kind(sentence);
    return kind == ACT_WAIT || kind == ACT_AIR;
}

/* Lets time pass to a moment, which is said to the minute, and the seconds that are left then. */
static struct status wait_until(struct session *session, double time, const char *what)
{
    for (int part = 0; part < 2 && session_time(session) < time; part++) {
        char moment[SENTENCE_SIZE / 2];
        char sentence[SENTENCE_SIZE];
        struct session_answer answer;
        double left = time - session_time(session);
        session_moment(session, 60.0 * floor(time / 60.0), moment, sizeof moment);
        if (part == 0 && left >= 60.0) {
            (void)snprintf(sentence, sizeof sentence, "wait until %s", moment);
        } else {
            (void)snprintf(sentence, sizeof sentence, "wait %.0f s", left);
        }
        RETURN_IF_FAILED(session_say(session, sentence, &answer));
        if (!answer.understood) {
            return status_fail(STATUS_SCENARIO, "the lesson cannot be brought to its %s: %.*s", what,
                               (int)strcspn(answer.text, "\n"), answer.text);
        }
    }
    return session_time(session) >= time ? status_ok()
                                         : status_fail(STATUS_BUG, "the lesson stops at %.0f s before its %s at %.0f s",
                                                       session_time(session), what, time);
}

static struct status begin(struct lesson_play *play)
{
    RETURN_IF_FAILED(wait_until(play->session, play->lesson->begins, "beginning"));
    session_settle(play->session);
    play->own = (int)session_scenario(play->session)->event_count;
    play->first = session_said_count(play->session);
    return status_ok();
}

struct status lesson_open(const char *path, const struct lesson *lesson, const struct session_options *options,
                          struct lesson_play *play, struct complaints *complaints)
{
    struct session_options how = *options;
    how.keeps_calendar = true;
    how.is_examined = true;
    *play = (struct lesson_play){.lesson = lesson};
    RETURN_IF_FAILED(session_open(path, &how, &play->session, complaints));
    return begin(play);
}

void lesson_close(struct lesson_play *play)
{
    session_close(play->session);
    *play = (struct lesson_play){0};
}

struct status lesson_leave(struct lesson_play *play)
{
    return wait_until(play->session, play->lesson->ends, "end");
}

/* Takes back what was said, from the last on, until no more than `count` sentences are left or, with `in_time`, the session
 * stands within the lesson. */
static struct status take_back(struct lesson_play *play, size_t count, bool in_time)
{
    struct session_answer back = {.understood = true};
    while (back.understood && session_said_count(play->session) > count &&
           !(in_time && session_time(play->session) <= play->lesson->ends)) {
        RETURN_IF_FAILED(session_say(play->session, "back", &back));
    }
    return status_ok();
}

struct status lesson_say(struct lesson_play *play, const char *sentence, struct session_answer *answer)
{
    size_t before = session_said_count(play->session);
    RETURN_IF_FAILED(session_say(play->session, sentence, answer));
    if (session_time(play->session) <= play->lesson->ends) {
        return status_ok();
    }
    bool is_wait = ends_in_waiting(sentence);
    RETURN_IF_FAILED(take_back(play, before, is_wait));
    if (is_wait) {
        RETURN_IF_FAILED(lesson_leave(play));
        answer->text = "That is beyond the end of the lesson: time passes to its end.\n";
        return status_ok();
    }
    *answer = (struct session_answer){.text = "That would go on beyond the end of the lesson. Nothing was done; "
                                              "'lesson' tells how much time there is.\n"};
    return status_ok();
}

struct status lesson_take_up(struct lesson_play *play, const struct session_journal *journal, session_wished *wished,
                             void *context)
{
    RETURN_IF_FAILED(session_journal_replay(journal, play->session, wished, context));
    return take_back(play, play->first, true);
}

bool lesson_is_over(const struct lesson_play *play)
{
    return session_time(play->session) >= play->lesson->ends;
}

struct status lesson_play_good(struct lesson_play *play)
{
    for (int i = 0; i < play->lesson->good_count; i++) {
        struct session_answer answer;
        RETURN_IF_FAILED(lesson_say(play, play->lesson->good[i], &answer));
        if (!answer.understood) {
            return status_fail(STATUS_SCENARIO,
                               "a sentence of the lesson's good course, \"%.*s\", is not understood: %.*s",
                               SENTENCE_SHOWN, play->lesson->good[i], (int)strcspn(answer.text, "\n"), answer.text);
        }
    }
    return lesson_leave(play);
}
