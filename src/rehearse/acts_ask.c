/* acts_ask.c: sentences that look, read, ask, go back or save; part of act.h. */
#include "rehearse/act.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define TEST_STRIP_TIME 600.0 /* s: 8 min in the liquor, 2 min to turn blue; common practice, no source */

static void reading_event(enum instrument instrument, struct act *act)
{
    (void)snprintf(act->event, EVENT_SIZE, "do = \"read\"; read = \"%s\";", instrument_words[instrument]);
}

bool read_look(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    (void)phrase_take(phrase, "at");
    (void)phrase_take(phrase, "the");
    if (phrase_take(phrase, "cloth|pieces")) {
        act->kind = ACT_CLOTH;
        return true;
    }
    if (!phrase_take(phrase, "vat|liquor|surface|film|glass|it") && !phrase_is_over(phrase)) {
        struct phrase ahead = *phrase;
        if (cloth_named(of, &ahead) >= 0 && ahead.at > phrase->at && phrase_is_over(&ahead)) {
            act->kind = ACT_CLOTH;
            return true;
        }
    }
    reading_event(INSTRUMENT_LOOK, act);
    return is_all_said(of, phrase, "look, or look at the cloth");
}

bool read_instrument(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    static const struct {
        const char *words;
        enum instrument instrument;
    } named[] = {
        {"strip|a strip|ph strip|strips|ph paper|paper|ph with strip|ph by strip|ph with a strip", INSTRUMENT_STRIP},
        {"meter|ph meter|ph with meter|ph by meter|ph with the meter", INSTRUMENT_METER},
        {"ph", INSTRUMENT_STRIP},
        {"thermometer|temperature|warmth", INSTRUMENT_THERMOMETER},
        {"orp|redox|potential|electrode", INSTRUMENT_ORP},
    };
    (void)phrase_take(phrase, "the|a");
    if (phrase_take(phrase, "test strip")) {
        act->kind = ACT_TEST_STRIP;
        return read_test_strip(of, phrase, act);
    }
    for (size_t i = 0; i < sizeof named / sizeof named[0]; i++) {
        if (phrase_take(phrase, named[i].words)) {
            reading_event(named[i].instrument, act);
            act->first = (int)named[i].instrument;
            return is_all_said(of, phrase, "read strip, read meter, read thermometer, or read orp");
        }
    }
    return hint(of, "Read what? Say it as: read strip, read meter, read thermometer, or read orp.");
}

bool read_thermometer(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    reading_event(INSTRUMENT_THERMOMETER, act);
    act->first = INSTRUMENT_THERMOMETER;
    return is_all_said(of, phrase, "read thermometer");
}

bool read_test_strip(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    reading_event(INSTRUMENT_TEST_STRIP, act);
    act->lasts = TEST_STRIP_TIME;
    return is_all_said(of, phrase, "test strip");
}

bool read_pinch(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    (void)phrase_take(phrase, "a");
    (void)phrase_take(phrase, "pinch");
    (void)phrase_take(phrase, "of");
    (void)phrase_take(phrase, "slaked lime|lime");
    (void)phrase_take(phrase, "on the vat|on the liquor|on it|on");
    reading_event(INSTRUMENT_LOOK, act);
    return is_all_said(of, phrase, "pinch of lime");
}

bool read_since(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    act->moment = NAN;
    if (phrase_is_over(phrase)) {
        return true;
    }
    if (!phrase_take(phrase, "since|from")) {
        return true; /* "why is it blue": the ledger is the answer to all of these */
    }
    if (!phrase_moment(phrase, of->quantities, of->scenario, of->now, true, &act->moment)) {
        return hint(of, "Since when? Say it as: why, why since yesterday 10:00, or why since the start.");
    }
    if (act->moment > of->now) {
        return hint(of, "That has not been yet.");
    }
    act->moment = fmax(0.0, act->moment);
    return is_all_said(of, phrase, "why since yesterday 10:00");
}

bool read_back(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    static const char example[] = "back, back 3, or back to day 1 10:00";
    act->moment = NAN;
    act->count = 1;
    if (phrase_is_over(phrase)) {
        return true;
    }
    if (phrase_take(phrase, "to")) {
        act->count = 0;
        if (!phrase_moment(phrase, of->quantities, of->scenario, of->now, true, &act->moment)) {
            return hint(of, "Back to when? Say it as: %s.", example);
        }
        act->moment = fmax(0.0, act->moment);
    } else {
        (void)phrase_take(phrase, "by");
        struct phrase ahead = *phrase;
        double seconds;
        if (phrase_duration(&ahead, of->quantities, &seconds)) {
            act->count = 0;
            act->moment = fmax(0.0, of->now - seconds);
            *phrase = ahead;
        } else if (!phrase_count(phrase, &act->count) || act->count < 1) {
            return hint(of, "Back how far? Say it as: %s.", example);
        }
        (void)phrase_take(phrase, "steps|step|sentences|sentence");
    }
    return is_all_said(of, phrase, example);
}

bool read_start_over(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    act->moment = 0.0;
    return is_all_said(of, phrase, "start over");
}

bool read_words(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    (void)of;
    phrase_rest(phrase, false, act->rest, sizeof act->rest);
    return true;
}

bool read_file(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    (void)phrase_take(phrase, "as|to|it as|result to|scenario to");
    phrase_rest(phrase, false, act->rest, sizeof act->rest);
    const char *dot = strrchr(act->rest, '.');
    if (act->kind == ACT_REPORT) {
        return act->rest[0] != '\0' || hint(of, "Into which file? Say it as: report my-vat.html.");
    }
    if (dot == NULL || (strcmp(dot, ".conf") != 0 && strcmp(dot, ".h5") != 0)) {
        return hint(of, "Into which file? Say it as: save my-vat.conf for a scenario that does what you did, or save "
                        "my-vat.h5 for its result.");
    }
    return true;
}
