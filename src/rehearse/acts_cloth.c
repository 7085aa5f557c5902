/* acts_cloth.c: sentences about cloth: dipping, airing, rinsing; part of act.h. */
#include "rehearse/act.h"

#include "scenario/times.h"
#include "scenario/words.h"

#include <stdio.h>
#include <string.h>

#define AIR_BETWEEN 900.0 /* s between the dips of one sentence, as of the scenario file */
#define DIPS_SAID_MOST 50
#define KINDS_TOLD_MOST 8

/* Whether words mean a kind of cloth: its name, one or many. */
static bool means_kind(const char *words, const char *name)
{
    char many[NAME_SIZE + 4];
    word_plural(name, many, sizeof many);
    return words_equal_ignoring_case(words, name) || words_equal_ignoring_case(words, many);
}

/* How many words of the phrase name the kind; 0: none. Names may have blanks. */
static int names_kind(const struct phrase *phrase, const char *name)
{
    char words[SENTENCE_SIZE] = "";
    size_t used = 0;
    for (int count = 1; count <= 4 && phrase->at + count <= phrase->count; count++) {
        used += (size_t)snprintf(words + used, sizeof words - used, "%s%s", count > 1 ? " " : "",
                                 phrase_word(phrase, count - 1));
        if (used >= sizeof words) {
            return 0;
        }
        if (means_kind(words, name)) {
            return count;
        }
    }
    return 0;
}

int cloth_named(const struct setting_of_act *of, struct phrase *phrase)
{
    const struct scenario *scenario = of->scenario;
    (void)phrase_take(phrase, "the|all the|all");
    for (size_t i = 0; i < scenario->cloth_count; i++) {
        int words = names_kind(phrase, scenario->cloth[i].name);
        if (words > 0) {
            phrase->at += words;
            return (int)i;
        }
    }
    if (phrase_take(phrase, "cloth|pieces|piece|it|them") || phrase_is_over(phrase) || scenario->cloth_count == 1) {
        return scenario->cloth_count == 1 ? 0 : of->last_pieces > 0 ? of->last_kind : -1;
    }
    return -1;
}

static bool cloth_wanted(const struct setting_of_act *of, const char *verb)
{
    const struct scenario *scenario = of->scenario;
    char list[200];
    const char *names[KINDS_TOLD_MOST + 1] = {NULL};
    if (scenario->cloth_count == 0) {
        return hint(of, "There is no cloth in this scenario.");
    }
    for (size_t i = 0; i < scenario->cloth_count && i < KINDS_TOLD_MOST; i++) {
        names[i] = scenario->cloth[i].name;
    }
    word_list(names, list, sizeof list);
    return hint(of, "Which cloth? Here is %s. Say it as: %s %.40s%s.", list, verb, names[0],
                strcmp(verb, "dip") == 0 ? " for 5 min" : "");
}

/* The first of so many pieces side by side that are free and have been dipped least; 0: there are none. */
static int least_dipped(const struct setting_of_act *of, int kind, int pieces)
{
    int best = 0;
    int best_dips = 0;
    int run_of_free = 0;
    for (size_t i = 0; i < run_piece_count(of->run); i++) {
        struct run_piece piece = run_piece(of->run, i);
        if (piece.kind != kind) {
            continue;
        }
        run_of_free = piece.busy ? 0 : run_of_free + 1;
        if (run_of_free < pieces) {
            continue;
        }
        int dips = 0;
        for (int back = 0; back < pieces; back++) {
            dips += run_piece(of->run, i - (size_t)back).dips;
        }
        if (best == 0 || dips < best_dips) {
            best = piece.number - pieces + 1;
            best_dips = dips;
        }
    }
    return best;
}

struct dip_said {
    int kind, pieces, first, dips;
    double soak, air;
    enum wring_kind wring;
    bool again;
    bool left_in; /* time does not pass with it */
};

/* "sash 3", "sashes 3 to 5", "3 sashes", "the same again". */
static bool pieces_said(const struct setting_of_act *of, struct phrase *phrase, struct dip_said *dip)
{
    int last;
    if (phrase_take(phrase, "again|the same again|the same|same again|it again|them again|that again")) {
        if (of->last_pieces == 0) {
            return hint(of, "Nothing has been dipped yet. Say it as: dip for 5 min.");
        }
        (void)phrase_take(phrase, "again");
        *dip =
            (struct dip_said){.kind = of->last_kind, .pieces = of->last_pieces, .first = of->last_first, .again = true};
        return true;
    }
    dip->pieces = 0;
    bool is_all = phrase_take(phrase, "all the|all|every");
    (void)phrase_take(phrase, "a|an|another|the next|next");
    struct phrase ahead = *phrase;
    if (phrase_count(&ahead, &dip->pieces) && (dip->kind = cloth_named(of, &ahead)) >= 0 && ahead.at > phrase->at + 1) {
        *phrase = ahead;
    } else {
        dip->pieces = 0;
        dip->kind = cloth_named(of, phrase);
    }
    if (dip->kind < 0) {
        return cloth_wanted(of, "dip");
    }
    if (is_all) {
        dip->pieces = of->scenario->cloth[dip->kind].count;
        return true;
    }
    (void)phrase_take(phrase, "number|no");
    ahead = *phrase;
    double seconds;
    if (dip->pieces == 0 && !phrase_duration(&ahead, of->quantities, &seconds) && phrase_count(phrase, &dip->first)) {
        dip->pieces = 1;
        if (phrase_take(phrase, "to|and") && phrase_count(phrase, &last)) {
            dip->pieces = last - dip->first + 1;
        }
    }
    dip->pieces = dip->pieces == 0 ? 1 : dip->pieces;
    return true;
}

/* How long, how often, with what airing and wringing. */
static bool manner_said(const struct setting_of_act *of, struct phrase *phrase, struct dip_said *dip)
{
    static const char *const wrings[] = {"by hand|hand", "drip|dripping", "spin|spun"};
    while (!phrase_is_over(phrase)) {
        int count;
        struct phrase ahead = *phrase;
        if (phrase_take(phrase,
                        "and leave it in|and leave them in|and leave it|leave it in|leave them in|and left in")) {
            dip->left_in = true;
        } else if (phrase_take(phrase, "twice")) {
            dip->dips = 2;
        } else if (phrase_count(&ahead, &count) && phrase_take(&ahead, "times|dips|time|dip") && count > 0 &&
                   count <= DIPS_SAID_MOST) {
            dip->dips = count;
            *phrase = ahead;
        } else if (phrase_take(phrase, "wring|wrung")) {
            for (int w = 0; w < 3; w++) {
                dip->wring = phrase_take(phrase, wrings[w]) ? (enum wring_kind)w : dip->wring;
            }
        } else if ((phrase_take(phrase, "air|airing|with airing of|airing of") &&
                    phrase_duration(phrase, of->quantities, &dip->air)) ||
                   phrase_take(phrase, "for|each|of|in the vat|and|with|in|again")) {
            continue;
        } else if (!phrase_duration(phrase, of->quantities, &dip->soak)) {
            char example[EXAMPLE_SIZE];
            (void)snprintf(example, sizeof example, "dip %.40s for 5 min", of->scenario->cloth[dip->kind].name);
            return is_nonsense(of, phrase, example);
        }
    }
    return true;
}

bool read_dip(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    struct dip_said dip = {.kind = -1};
    if (phrase_take(phrase, "a test strip|test strip|a strip|strip")) {
        act->kind = ACT_TEST_STRIP;
        return read_test_strip(of, phrase, act);
    }
    if (of->scenario->cloth_count == 0) {
        return cloth_wanted(of, "dip");
    }
    if (!pieces_said(of, phrase, &dip)) {
        return false;
    }
    const struct cloth_kind *kind = &of->scenario->cloth[dip.kind];
    dip.dips = 1;
    dip.air = -1.0;
    if (!manner_said(of, phrase, &dip)) {
        return false;
    }
    for (size_t i = of->scenario->event_count; dip.again && !(dip.soak > 0.0) && i-- > 0;) {
        const struct event_spec *event = &of->scenario->events[i]; /* as long as before */
        dip.soak = event->action == ACTION_DIP && event->cloth == dip.kind ? event->soak : 0.0;
    }
    if (!(dip.soak > 0.0)) {
        return hint(of, "For how long? Say it as: dip %.40s for 5 min.", kind->name);
    }
    if (dip.left_in && (dip.dips > 1 || dip.air > 0.0)) {
        return hint(of, "What is left in goes in once. Say it as: dip %.40s for 2 hours and leave it in.", kind->name);
    }
    dip.first = dip.first > 0 ? dip.first : least_dipped(of, dip.kind, dip.pieces);
    if (dip.first == 0 || dip.pieces < 1 || dip.first + dip.pieces - 1 > kind->count) {
        return hint(of, "There are %d of \"%.40s\", numbered from 1, and so many are not free.", kind->count,
                    kind->name);
    }
    /* Out of the vat it hangs in the air for as long as one likes; only several dips at a time need a time between them. */
    double air = dip.dips == 1 ? 0.0 : dip.air >= 0.0 ? dip.air : AIR_BETWEEN;
    char name[2 * NAME_SIZE];
    event_quote(kind->name, name, sizeof name);
    (void)snprintf(act->event, EVENT_SIZE,
                   "do = \"dip\"; cloth = \"%s\"; first = %d; pieces = %d; soak = \"%.0f s\"; air = \"%.0f s\"; dips = "
                   "%d; wring = \"%s\";",
                   name, dip.first, dip.pieces, dip.soak, air, dip.dips, wring_words[dip.wring]);
    act->stays_on = dip.left_in;
    act->lasts = dip.left_in ? 0.0 : dip.dips * (dip.soak + air) + (dip.dips == 1 && dip.air > 0.0 ? dip.air : 0.0);
    act->first = dip.first;
    act->pieces = dip.pieces;
    act->count = dip.kind;
    return true;
}

bool read_take_out(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    (void)phrase;
    (void)act;
    for (size_t i = of->scenario->event_count; i-- > 0;) {
        const struct event_spec *event = &of->scenario->events[i];
        if (event->action == ACTION_DIP && event->timing == TIMING_AT && event->at + event->soak > of->now) {
            char moment[64];
            time_show(of->scenario, event->at + event->soak, moment, sizeof moment);
            return hint(of,
                        "It comes out by itself when its time is over, at %s. To have it out sooner, 'back' to when it "
                        "went in.",
                        moment);
        }
    }
    return hint(of, "Cloth comes out when the time is over that was said when it went in: dip %.40s for 5 min.",
                of->scenario->cloth_count > 0 ? of->scenario->cloth[0].name : "cloth");
}

bool read_air(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    (void)phrase_take(phrase, "it up|them up|it|them|the cloth|cloth|out");
    struct phrase ahead = *phrase;
    int kind = cloth_named(of, &ahead);
    if (kind >= 0 && ahead.at > phrase->at && !phrase_is_over(&ahead)) {
        *phrase = ahead;
    }
    return read_wait(of, phrase, act);
}

static bool finish_event(const struct setting_of_act *of, struct phrase *phrase, enum action action, struct act *act)
{
    char name[2 * NAME_SIZE];
    int kind = of->scenario->cloth_count > 0 ? cloth_named(of, phrase) : -1;
    if (kind < 0) {
        return cloth_wanted(of, action_words[action]);
    }
    event_quote(of->scenario->cloth[kind].name, name, sizeof name);
    (void)snprintf(act->event, EVENT_SIZE, "do = \"%s\"; cloth = \"%s\";", action_words[action], name);
    act->count = kind;
    if (!phrase_is_over(phrase)) {
        return hint(of, "All of a kind that has been dipped is done at once: %s %.40s.", action_words[action],
                    of->scenario->cloth[kind].name);
    }
    return true;
}

bool read_rinse(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    return finish_event(of, phrase, ACTION_RINSE, act);
}

bool read_sour(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    return finish_event(of, phrase, ACTION_SOUR, act);
}

bool read_wash(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    return finish_event(of, phrase, ACTION_WASH, act);
}
