/* completing.c: words that may come next in a sentence, for the Tab key; see session.h. */
#include "rehearse/session_parts.h"

#include <string.h>
#include <strings.h>

/* Words that go with a kind of sentence. */
static const struct {
    enum act_kind kind;
    const char *words[10];
} following[] = {
    {ACT_ADD, {"slaked lime", "fructose", "indigo powder", NULL}},
    {ACT_STIR, {"gently", "briskly", "hard", NULL}},
    {ACT_WARM, {"to", "and hold", "with", NULL}},
    {ACT_COVER, {"tightly", "loosely", NULL}},
    {ACT_WRAP, {"in a blanket", "in foam", NULL}},
    {ACT_TOP_UP, {"to", "with", "warm water", "hot water", "cold water", NULL}},
    {ACT_DIP, {"again", "for", "times", "airing", NULL}},
    {ACT_WAIT, {"until", "morning", "noon", "evening", "tomorrow", "overnight", "hours", "min", "days", NULL}},
    {ACT_READ, {"strip", "meter", "thermometer", "orp", NULL}},
    {ACT_LOOK, {"at the cloth", NULL}},
    {ACT_WHY, {"since", "yesterday", "start", NULL}},
    {ACT_BACK, {"to", "start", "yesterday", NULL}},
    {ACT_RACK, {"off the bed", NULL}},
};

struct found {
    const char **words;
    size_t count, most;
    const char *begun; /* of the last word of the line */
};

static bool begins(const char *word, const char *begun)
{
    return strncasecmp(word, begun, strlen(begun)) == 0;
}

static void offer(struct found *found, const char *word)
{
    if (found->count == found->most || !begins(word, found->begun)) {
        return;
    }
    for (size_t i = 0; i < found->count; i++) {
        if (strcmp(found->words[i], word) == 0) {
            return;
        }
    }
    found->words[found->count++] = word;
}

static void offer_first(struct found *found)
{
    for (size_t i = 0; i < sentence_count; i++) {
        offer(found, sentence_table[i].name);
    }
}

static void offer_names(const struct session *session, enum act_kind kind, struct found *found)
{
    const struct scenario *scenario = session->scenario;
    for (size_t i = 0; kind == ACT_ADD && i < scenario->model.material_count; i++) {
        offer(found, scenario->model.materials[i].name);
    }
    for (size_t i = 0; (kind == ACT_DIP || kind == ACT_FINISH || kind == ACT_AIR) && i < scenario->cloth_count; i++) {
        offer(found, scenario->cloth[i].name);
    }
    for (size_t i = 0; kind == ACT_MOVE && i < scenario->place_count; i++) {
        offer(found, scenario->places[i].name);
    }
}

size_t session_complete(const struct session *session, const char *line, const char **words, size_t most)
{
    const char *last = strrchr(line, ' ');
    struct found found = {.words = words, .most = most, .begun = last == NULL ? line : last + 1};
    size_t length;
    for (const char *next = after_then(line, &length); next != NULL; next = after_then(line, &length)) {
        line = next;
    }
    line += strncasecmp(line, "what if ", 8) == 0 ? 8 : 0;
    if (strncmp(line, "help ", 5) == 0 || strchr(line, ' ') == NULL) {
        offer_first(&found);
        return found.count;
    }
    struct phrase phrase;
    const struct sentence *begun = phrase_split(&phrase, line) ? sentence_begun(&phrase) : NULL;
    for (size_t i = 0; begun != NULL && i < sizeof following / sizeof following[0]; i++) {
        for (size_t w = 0; following[i].kind == begun->kind && following[i].words[w] != NULL; w++) {
            offer(&found, following[i].words[w]);
        }
    }
    if (begun != NULL) {
        offer_names(session, begun->kind, &found);
    } else {
        offer_first(&found); /* "top" before "up" */
    }
    return found.count;
}
