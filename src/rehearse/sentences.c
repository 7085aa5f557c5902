/* sentences.c: the table of sentences, and which of them one begins like; see act.h. */
#include "rehearse/act.h"

#include "scenario/words.h"

#include <stdio.h>
#include <string.h>
#include <strings.h>

#define FIRST_WORDS_MOST 128
#define WORD_ROOM 24
#define BLANKS " \t"

const struct sentence sentence_table[] = {
    {"add", "add|put in|pour in|strew in|stir in|mix in|give|feed|feed it", ACT_ADD, read_add, "add AMOUNT MATERIAL",
     "add 50 g slaked lime", "by weight or by spoon; lime as a slurry"},
    {"stir", "stir|stir up|mix", ACT_STIR, read_stir, "stir [briskly|hard] [TIME]", "stir 2 min",
     "gently, unless you say otherwise"},
    {"warm", "warm|heat|heat up|warm up", ACT_WARM, read_warm, "warm to T [with POWER] [and hold TIME]", "warm to 45 C",
     "until it is there"},
    {"keep", "keep|hold", ACT_WARM, read_keep, "keep at T", "keep at 40 C", "the heater stays on"},
    {"heater off",
     "heater off|heat off|stop heating|stop warming|switch off the heater|turn off the heater|turn the heater off",
     ACT_HEATER_OFF, read_heater_off, "heater off", "heater off", "ends it"},
    {"cover", "cover|lid on|put the lid on|put lid on|put on the lid|close|close the lid", ACT_COVER, read_cover,
     "cover [tightly]", "cover tightly", "the lid goes on"},
    {"uncover", "uncover|lid off|open|take the lid off|take off the lid|remove the lid|lift the lid", ACT_COVER,
     read_uncover, "uncover", "uncover", "the lid comes off"},
    {"wrap", "wrap", ACT_WRAP, read_wrap, "wrap in a blanket|in foam", "wrap in a blanket", "keeps it warm"},
    {"unwrap", "unwrap|take off the blanket", ACT_WRAP, read_unwrap, "unwrap", "unwrap", "the wrap comes off"},
    {"top up", "top up|fill up|fill|top it up", ACT_TOP_UP, read_top_up,
     "top up [to|with V] [with hot|warm|cold water]", "top up to 50 L with warm water", "water"},
    {"move", "move|carry|bring", ACT_MOVE, read_move, "move to PLACE", "move to shed",
     "if the scenario has other places"},
    {"skim", "skim", ACT_SKIM, read_skim, "skim", "skim", "takes the film or froth off"},
    {"rack", "rack|draw off", ACT_RACK, read_rack, "rack off the bed [with V]", "rack off the bed",
     "draws the sediment off"},
    {"test strip", "test strip|dip a test strip|dip test strip|try a strip|make a test strip|make a strip",
     ACT_TEST_STRIP, read_test_strip, "test strip", "test strip", "cotton, 8 min in, 2 min out: how blue?"},
    {"dip", "dip|dye|dip in", ACT_DIP, read_dip, "dip [N] [CLOTH] [again] for TIME", "dip 2 sashes for 5 min",
     "cloth goes in and comes out"},
    {"take out", "take out|take it out|take them out|take the cloth out", ACT_DIP, read_take_out, "dip CLOTH for TIME",
     "dip 2 sashes for 5 min", "cloth comes out by itself"},
    {"heater on", "heater on|turn on the heater|turn the heater on|switch on the heater", ACT_WARM, read_warm,
     "warm to T", "warm to 45 C", "until it is there"},
    {"air", "air|hang|let it air|hang out|dry|let it dry", ACT_AIR, read_air, "air TIME", "air 20 min",
     "cloth hangs and turns blue"},
    {"rinse", "rinse", ACT_FINISH, read_rinse, "rinse CLOTH", "rinse sash", "in plain water"},
    {"sour", "sour", ACT_FINISH, read_sour, "sour CLOTH", "sour sash", "in weak vinegar, which takes the lime out"},
    {"wash", "wash", ACT_FINISH, read_wash, "wash CLOTH", "wash sash", "with soap"},
    {"wait", "wait|rest|let it rest|leave it|let it stand|settle|let it settle", ACT_WAIT, read_wait,
     "wait TIME|until MOMENT", "wait 2 hours, or wait until morning", "time passes only when you say so"},
    {"overnight", "overnight|sleep|go to bed|go to sleep", ACT_WAIT, read_overnight, "wait overnight", "wait overnight",
     "until eight in the morning"},
    {"look",
     "look|smell|see|look at it|show me the vat|show the vat|what does it look like|how does it look|how does it "
     "smell|how is it",
     ACT_LOOK, read_look, "look [at the cloth]", "look", "surface, glass, smell, level"},
    {"read", "read|measure|take|check|test|what is|what's", ACT_READ, read_instrument,
     "read strip|meter|thermometer|orp", "read strip", "with its error"},
    {"how warm is it", "how warm is it|how hot is it|how cold is it", ACT_READ, read_thermometer, "read thermometer",
     "read thermometer", "with its error"},
    {"pinch", "pinch|strew a pinch|strew|a pinch", ACT_PINCH, read_pinch, "pinch of lime", "pinch of lime",
     "strewn on the liquor: sucked in, or not?"},
    {"cloth", "cloth|pieces|look at the cloth|look at cloth|show the cloth|show me the cloth|how does the cloth look",
     ACT_CLOTH, NULL, "cloth", "cloth", "what the pieces look like"},
    {"is it ready",
     "is it ready|is the vat ready|is it ready yet|can i dye|can i dip|can cloth go in|how do i know that it is ready",
     ACT_READY, read_words, "is it ready", "is it ready", "what you see and have read, and what a ready vat shows"},
    {"what if", "what if", ACT_WHAT_IF, read_words, "what if SENTENCE [then wait TIME]",
     "what if add 20 g fructose then wait 4 hours", "tells what you would see; nothing is done"},
    {"back", "back|undo|go back", ACT_BACK, read_back, "back [N|to MOMENT]", "back to day 1 10:00",
     "to an earlier moment, to try another way"},
    {"start over", "start over|restart|begin again|start again", ACT_BACK, read_start_over, "start over", "start over",
     "back to the start"},
    {"why", "why|what happened|what has happened", ACT_WHY, read_since, "why [since MOMENT]", "why since yesterday",
     "where sugar, lime, air and indigo went"},
    {"reveal", "reveal|reveal it|look inside|show inside|show what is inside|what is inside", ACT_REVEAL, NULL,
     "reveal", "reveal", "what is inside now"},
    {"advice", "advice|advise|what now|what should i do|what should i do now|what do i do now", ACT_ADVICE, NULL,
     "advice", "advice", "from the readings you have taken"},
    {"story", "story|list|what have i done|history", ACT_STORY, NULL, "story", "story", "what you have done"},
    {"time", "time|now|what time is it|when|how much time is left|how long do i have", ACT_TIME, NULL, "time", "time",
     "day and hour"},
    {"save", "save", ACT_SAVE, read_file, "save FILE.conf|FILE.h5", "save my-vat.conf",
     "scenario or result of what you did"},
    {"report", "report", ACT_REPORT, read_file, "report FILE.html", "report my-vat.html", "a page to look at"},
    {"throw away", "throw away|pour away|dispose|throw it away|pour it away|empty", ACT_DISPOSAL, read_words,
     "throw away", "throw away", "what to mind"},
    {"help", "help|h|what can i say", ACT_HELP, read_words, "help [WORD]", "help dip", "this list, or more on a word"},
    {"quit", "quit|exit|bye|stop|leave", ACT_QUIT, NULL, "quit", "quit", "the session can be taken up again"},
};
const size_t sentence_count = sizeof sentence_table / sizeof sentence_table[0];

const struct sentence *sentence_begun(struct phrase *phrase)
{
    const struct sentence *best = NULL;
    int most = 0;
    while (phrase_take(phrase, "please|now please|then|i")) {
    }
    for (size_t i = 0; i < sentence_count; i++) {
        const char *words = sentence_table[i].words;
        while (words != NULL) {
            char alternative[64];
            struct phrase ahead = *phrase;
            (void)snprintf(alternative, sizeof alternative, "%.*s", (int)strcspn(words, "|"), words);
            if (phrase_take(&ahead, alternative) && ahead.at - phrase->at > most) {
                best = &sentence_table[i];
                most = ahead.at - phrase->at;
            }
            words = strchr(words, '|');
            words = words == NULL ? NULL : words + 1;
        }
    }
    phrase->at += most;
    return best;
}

int sentence_kind(const char *text)
{
    struct phrase phrase;
    const struct sentence *begun = phrase_split(&phrase, text) ? sentence_begun(&phrase) : NULL;
    return begun != NULL ? (int)begun->kind : -1;
}

bool act_is_withheld(enum act_kind kind)
{
    return kind == ACT_REVEAL || kind == ACT_WHY || kind == ACT_ADVICE || kind == ACT_WHAT_IF || kind == ACT_DISPOSAL ||
           kind == ACT_REPORT;
}

bool sentence_clean(const char *line, char clean[SENTENCE_SIZE])
{
    line += strspn(line, BLANKS "\r\n");
    size_t length = strlen(line);
    while (length > 0 && strchr(BLANKS "\r\n", line[length - 1]) != NULL) {
        length--;
    }
    if (length >= SENTENCE_SIZE) {
        return false;
    }
    for (size_t i = 0; i < length; i++) {
        unsigned char c = (unsigned char)line[i];
        clean[i] = (char)(c < 0x20 || c == 0x7f ? ' ' : c);
    }
    clean[length] = '\0';
    return true;
}

const char *after_then(const char *line, size_t *length)
{
    const size_t letters = strlen("then");
    for (const char *at = strpbrk(line, BLANKS); at != NULL; at = strpbrk(at + 1, BLANKS)) {
        if (strncasecmp(at + 1, "then", letters) == 0 && at[1 + letters] != '\0' &&
            strchr(BLANKS, at[1 + letters]) != NULL) {
            *length = (size_t)(at - line);
            return at + 1 + letters + 1;
        }
    }
    return NULL;
}

bool sentence_next(const char **line, char sentence[SENTENCE_SIZE])
{
    size_t length;
    if (*line == NULL) {
        return false;
    }
    const char *next = after_then(*line, &length);
    (void)snprintf(sentence, SENTENCE_SIZE, "%.*s", next != NULL ? (int)length : SENTENCE_SIZE - 1, *line);
    if (next != NULL && sentence_kind(sentence) == ACT_WHAT_IF) {
        (void)snprintf(sentence, SENTENCE_SIZE, "%s", *line);
        next = NULL;
    }
    *line = next;
    return true;
}

/* The sentence whose first word is nearest to a mistaken one. */
static const struct sentence *sentence_near(const char *word)
{
    char firsts[FIRST_WORDS_MOST][WORD_ROOM];
    const char *known[FIRST_WORDS_MOST + 1];
    const struct sentence *of[FIRST_WORDS_MOST];
    size_t count = 0;
    for (size_t i = 0; i < sentence_count; i++) {
        for (const char *words = sentence_table[i].words; words != NULL && count < FIRST_WORDS_MOST;) {
            size_t length = strcspn(words, "|");
            bool is_one_word = memchr(words, ' ', length) == NULL;
            if (is_one_word || words == sentence_table[i].words) {
                (void)snprintf(firsts[count], WORD_ROOM, "%.*s", (int)strcspn(words, "| "), words);
                known[count] = firsts[count];
                of[count++] = &sentence_table[i];
            }
            words = words[length] == '|' ? words + length + 1 : NULL;
        }
    }
    known[count] = NULL;
    const char *nearest = strlen(word) > 1 ? word_nearest(word, known) : NULL;
    for (size_t i = 0; nearest != NULL && i < count; i++) {
        if (known[i] == nearest) {
            return of[i];
        }
    }
    return NULL;
}

void sentence_example(const struct scenario *scenario, const struct sentence *sentence, char example[EXAMPLE_SIZE])
{
    (void)snprintf(example, EXAMPLE_SIZE, "%s", sentence->example);
    if (scenario->cloth_count > 0 && sentence->kind == ACT_DIP) {
        (void)snprintf(example, EXAMPLE_SIZE, "dip %.60s for 5 min", scenario->cloth[0].name);
    } else if (scenario->cloth_count > 0 && sentence->kind == ACT_FINISH) {
        (void)snprintf(example, EXAMPLE_SIZE, "%s %.60s", sentence->name, scenario->cloth[0].name);
    } else if (scenario->place_count > 1 && sentence->kind == ACT_MOVE) {
        (void)snprintf(example, EXAMPLE_SIZE, "move to %.60s", scenario->places[1].name);
    }
}

static bool is_question(const char *word)
{
    static const char *const words[] = {"how", "is", "are", "does", "do", "can", "has", "where", "who", NULL};
    return word_index(word, words) >= 0;
}

bool act_read(const struct setting_of_act *of, const char *sentence, struct act *act)
{
    struct phrase phrase;
    *act = (struct act){.kind = ACT_HELP};
    of->hint[0] = '\0';
    if (!phrase_split(&phrase, sentence)) {
        return hint(of, "That is too long for one sentence. Say it in several.");
    }
    const struct sentence *begun = sentence_begun(&phrase);
    if (begun == NULL && phrase_is_over(&phrase)) {
        return true; /* "?" is help */
    }
    if (begun == NULL && is_question(phrase_word(&phrase, 0))) {
        return hint(
            of,
            "\"%.40s ...\" is no question that is answered here. 'look', 'read strip' and 'test strip' show the vat, "
            "'cloth' shows the cloth; 'help' lists all there is to say.",
            phrase_word(&phrase, 0));
    }
    if (begun == NULL) {
        const struct sentence *near = sentence_near(phrase_word(&phrase, 0));
        if (near != NULL) {
            char example[EXAMPLE_SIZE];
            sentence_example(of->scenario, near, example);
            return hint(of, "\"%.40s\" is not understood. Did you mean: %s? 'help' lists all there is to say.",
                        phrase_word(&phrase, 0), example);
        }
        return hint(of, "\"%.40s\" is not understood. 'help' lists all there is to say; for one: wait 2 hours.",
                    phrase_word(&phrase, 0));
    }
    act->kind = begun->kind;
    if (begun->read != NULL) {
        return begun->read(of, &phrase, act);
    }
    return is_all_said(of, &phrase, begun->example);
}
