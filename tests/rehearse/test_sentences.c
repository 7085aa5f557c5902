/* test_sentences.c: what sentences ask of the vat, as events; and sentences that ask nothing that can be done. */
#include "by_hand.h"

#include "rehearse/session_parts.h"

#include <math.h>
#include <string.h>

static const struct {
    const char *said;
    enum act_kind kind;
    const char *event;
    double lasts;
} understood[] = {
    {"add 200 g fructose", ACT_ADD, "do = \"add\"; what = \"fructose\"; amount = \"200 g\";", 0},
    {"Add 50 g lime as slurry.", ACT_ADD, "do = \"add\"; what = \"slaked lime\"; amount = \"50 g\";", 0},
    {"now please I add 20 g fructose", ACT_ADD, "do = \"add\"; what = \"fructose\"; amount = \"20 g\";", 0},
    {"add fructose 20 g", ACT_ADD, "do = \"add\"; what = \"fructose\"; amount = \"20 g\";", 0},
    {"feed 2 tbsp of sugar", ACT_ADD, "do = \"add\"; what = \"fructose\"; amount = \"2 tbsp\";", 0},
    {"add 10 g indigo", ACT_ADD, "do = \"add\"; what = \"indigo powder\"; amount = \"10 g\"; purity = 0.38;", 0},
    {"put in 100 g wheat bran", ACT_ADD, "do = \"add\"; what = \"wheat bran\"; amount = \"100 g\";", 0},
    {"stir", ACT_STIR, "do = \"stir\"; how = \"gentle\"; for = \"120 s\";", 120},
    {"stir 2 min", ACT_STIR, "do = \"stir\"; how = \"gentle\"; for = \"120 s\";", 120},
    {"stir briskly for five minutes", ACT_STIR, "do = \"stir\"; how = \"brisk\"; for = \"300 s\";", 300},
    {"stir it hard", ACT_STIR, "do = \"stir\"; how = \"whip\"; for = \"120 s\";", 120},
    {"warm to 45 C", ACT_WARM, "do = \"heat\"; to = \"45 degC\"; power = \"480 W\";", 0},
    {"heat it to 113 F with 1 kW and hold it there for 2 hours", ACT_WARM,
     "do = \"heat\"; to = \"113 degF\"; for = \"7200 s\"; power = \"1 kW\";", 7200},
    {"keep at 40 C", ACT_WARM, "do = \"heat\"; to = \"40 degC\"; for = \"31622400 s\"; power = \"480 W\";", 0},
    {"heater off", ACT_HEATER_OFF, "do = \"heat off\";", 0},
    {"cover", ACT_COVER, "do = \"cover\"; lid = \"loose\";", 0},
    {"cover the vat with a tight lid", ACT_COVER, "do = \"cover\"; lid = \"tight\";", 0},
    {"cover it tightly", ACT_COVER, "do = \"cover\"; lid = \"tight\";", 0},
    {"take the lid off", ACT_COVER, "do = \"cover\"; lid = \"none\";", 0},
    {"uncover", ACT_COVER, "do = \"cover\"; lid = \"none\";", 0},
    {"wrap it in a blanket", ACT_WRAP, "do = \"wrap\"; wrap = \"blanket\";", 0},
    {"unwrap", ACT_WRAP, "do = \"wrap\"; wrap = \"none\";", 0},
    {"top up to 25 L with warm water", ACT_TOP_UP, "do = \"top up\"; to = \"25 L\"; temperature = \"40 degC\";", 0},
    {"top up with 1 L hot water", ACT_TOP_UP, "do = \"top up\"; amount = \"1 L\"; temperature = \"60 degC\";", 0},
    {"top up with 2 quarts of water at 100 F", ACT_TOP_UP,
     "do = \"top up\"; amount = \"2 quarts\"; temperature = \"100 degF\";", 0},
    {"top up", ACT_TOP_UP, "do = \"top up\";", 0},
    {"skim off the film", ACT_SKIM, "do = \"skim\";", 0},
    {"rack off the bed with 2 L", ACT_RACK, "do = \"rack\"; amount = \"2 L\";", 0},
    {"move to home", ACT_MOVE, "do = \"move\"; place = \"home\";", 0},
    {"dip swatch for 5 min", ACT_DIP,
     "do = \"dip\"; cloth = \"swatch\"; first = 1; pieces = 1; soak = \"300 s\"; air = \"0 s\"; dips = 1; wring = "
     "\"hand\";",
     300},
    {"dip 2 napkins for 10 min", ACT_DIP,
     "do = \"dip\"; cloth = \"napkin\"; first = 1; pieces = 2; soak = \"600 s\"; air = \"0 s\"; dips = 1; wring = "
     "\"hand\";",
     600},
    {"dip napkin 3 for 10 min 3 times airing 15 min", ACT_DIP,
     "do = \"dip\"; cloth = \"napkin\"; first = 3; pieces = 1; soak = \"600 s\"; air = \"900 s\"; dips = 3; wring "
     "= \"hand\";",
     4500},
    {"dip napkins 2 to 4 for 8 min wring spin", ACT_DIP,
     "do = \"dip\"; cloth = \"napkin\"; first = 2; pieces = 3; soak = \"480 s\"; air = \"0 s\"; dips = 1; wring = "
     "\"spin\";",
     480},
    {"air 20 min", ACT_AIR, "", 1200},
    {"let it air for half an hour", ACT_AIR, "", 1800},
    {"rinse napkins", ACT_FINISH, "do = \"rinse\"; cloth = \"napkin\";", 0},
    {"sour the napkin", ACT_FINISH, "do = \"sour\"; cloth = \"napkin\";", 0},
    {"wash swatches", ACT_FINISH, "do = \"wash\"; cloth = \"swatch\";", 0},
    {"wait 2 hours", ACT_WAIT, "", 7200},
    {"rest until morning", ACT_WAIT, "", 23 * 3600.0},
    {"wait until 14:30", ACT_WAIT, "", 5.5 * 3600.0},
    {"wait overnight", ACT_WAIT, "", 23 * 3600.0},
    {"overnight", ACT_WAIT, "", 23 * 3600.0},
    {"wait until day 3 10:00", ACT_WAIT, "", 49 * 3600.0},
    {"look", ACT_LOOK, "do = \"read\"; read = \"look\";", 0},
    {"what does it look like?", ACT_LOOK, "do = \"read\"; read = \"look\";", 0},
    {"look at the cloth", ACT_CLOTH, "", 0},
    {"read strip", ACT_READ, "do = \"read\"; read = \"strip\";", 0},
    {"measure the pH with the meter", ACT_READ, "do = \"read\"; read = \"meter\";", 0},
    {"read thermometer", ACT_READ, "do = \"read\"; read = \"thermometer\";", 0},
    {"take the temperature", ACT_READ, "do = \"read\"; read = \"thermometer\";", 0},
    {"read orp", ACT_READ, "do = \"read\"; read = \"orp\";", 0},
    {"test strip", ACT_TEST_STRIP, "do = \"read\"; read = \"test strip\";", 600},
    {"dip a test strip", ACT_TEST_STRIP, "do = \"read\"; read = \"test strip\";", 600},
    {"strew a pinch of lime on the vat", ACT_PINCH, "do = \"read\"; read = \"look\";", 0},
    {"what if add 20 g lime then wait 2 hours", ACT_WHAT_IF, "", 0},
    {"why", ACT_WHY, "", 0},
    {"why since the start", ACT_WHY, "", 0},
    {"why is it blue?", ACT_WHY, "", 0},
    {"reveal", ACT_REVEAL, "", 0},
    {"?", ACT_HELP, "", 0},
    {"start over", ACT_BACK, "", 0},
    {"check the pH", ACT_READ, "do = \"read\"; read = \"strip\";", 0},
    {"what's the temperature?", ACT_READ, "do = \"read\"; read = \"thermometer\";", 0},
    {"stir in 20 g lime", ACT_ADD, "do = \"add\"; what = \"slaked lime\"; amount = \"20 g\";", 0},
    {"go to bed", ACT_WAIT, "", 23 * 3600.0},
    {"dip napkin 3 for 2 hours and leave it in", ACT_DIP,
     "do = \"dip\"; cloth = \"napkin\"; first = 3; pieces = 1; soak = \"7200 s\"; air = \"0 s\"; dips = 1; wring = "
     "\"hand\";",
     0},
    {"dip all napkins for 5 min", ACT_DIP,
     "do = \"dip\"; cloth = \"napkin\"; first = 1; pieces = 4; soak = \"300 s\"; air = \"0 s\"; dips = 1; wring = "
     "\"hand\";",
     300},
    {"turn the heater off", ACT_HEATER_OFF, "do = \"heat off\";", 0},
    {"warm it up to 45 C", ACT_WARM, "do = \"heat\"; to = \"45 degC\"; power = \"480 W\";", 0},
    {"advice", ACT_ADVICE, "", 0},
    {"what should I do now?", ACT_ADVICE, "", 0},
    {"look at the napkins", ACT_CLOTH, "", 0},
    {"show me the cloth", ACT_CLOTH, "", 0},
    {"make a test strip", ACT_TEST_STRIP, "do = \"read\"; read = \"test strip\";", 600},
    {"how much time is left?", ACT_TIME, "", 0},
    {"is it ready?", ACT_READY, "", 0},
    {"Can I dip the napkins now?", ACT_READY, "", 0},
    {"back 2", ACT_BACK, "", 0},
    {"back to the start", ACT_BACK, "", 0},
    {"save my-vat.conf", ACT_SAVE, "", 0},
    {"save it as my-vat.h5", ACT_SAVE, "", 0},
    {"report a.html", ACT_REPORT, "", 0},
    {"help dip", ACT_HELP, "", 0},
    {"quit", ACT_QUIT, "", 0},
};

static void good(void **state)
{
    (void)state;
    struct session *session = hand_open("fresh-vat", false);
    for (size_t i = 0; i < sizeof understood / sizeof understood[0]; i++) {
        struct act act;
        struct setting_of_act of = setting_of(session);
        if (!act_read(&of, understood[i].said, &act)) {
            fail_msg("\"%s\" was not understood: %s", understood[i].said, of.hint);
        }
        if (act.kind != understood[i].kind || strcmp(act.event, understood[i].event) != 0 ||
            fabs(act.lasts - understood[i].lasts) > 1e-9) {
            fail_msg("\"%s\": kind %d, lasts %g, event %s", understood[i].said, act.kind, act.lasts, act.event);
        }
    }
    session_close(session);
}

static const struct {
    const char *said, *hint;
} refused[] = {
    {"wibble", "is not understood"},
    {"ad 20 g lime", "Did you mean: add"},
    {"stri 2 min", "Did you mean: stir"},
    {"wiat 2 hours", "Did you mean: wait 2 hours"},
    {"add", "Add what?"},
    {"add lime", "How much of it"},
    {"add a handful of lime", "add 50 g slaked lime"},
    {"add 20 g", "Add what?"},
    {"add 20 g unobtainium", "unobtainium"},
    {"add 20 g caustic soda", "corrosive hydroxide"},
    {"add 20 min lime", "How much of it"},
    {"add 5 L water", "top up with 5 L"},
    {"add 900 kg lime", "more than such a vat takes"},
    {"stir 2 g", "What does \"2 g\" mean"},
    {"stir 3 days", "expected"},
    {"warm", "How warm?"},
    {"warm to 20 g", "20 of what, C or F?"},
    {"warm to 120 C", "expected"},
    {"cover with straw", "What does \"straw\" mean"},
    {"move to the moon", "The places of this vat: \"home\""},
    {"top up to", "Something is left out"},
    {"warm to 45 C and", "Something is left out"},
    {"warm to 45 C with", "Something is left out"},
    {"stir for 2", "What does \"2\" mean"},
    {"dip napkin for 5 min air", "Something is left out"},
    {"top up to 500 L", "at most the"},
    {"dip", "Which cloth?"},
    {"dip napkin", "For how long?"},
    {"dip napkin 9 for 5 min", "There are 4"},
    {"dip 40 napkins for 5 min", "There are 4"},
    {"dip curtain for 5 min", "Which cloth?"},
    {"dip again for 5 min", "Nothing has been dipped yet"},
    {"rinse napkins", "None of that cloth"},
    {"dip napkin for 5 min twice and leave it in", "goes in once"},
    {"stir \xff", "letters in it that are none"},
    {"wait 2 h \xc2\x9b", "letters in it that are none"},
    {"wait", "How long?"},
    {"wait a while", "How long?"},
    {"wait until", "Until when?"},
    {"wait until day 1 08:00", "is past"},
    {"wait 20 years", "at most"},
    {"read the newspaper", "Read what?"},
    {"look at the moon", "What does \"moon\" mean"},
    {"how blue is it?", "no question that is answered here"},
    {"save one.conf then save one.h5", "end what is said in one go"},
    {"quit then stir", "end what is said in one go"},
    {"read", "Read what?"},
    {"why since tomorrow", "not been yet"},
    {"why since when", "Since when?"},
    {"warm to 40 degrees", "40 of what, C or F?"},
    {"take it out", "comes out when the time is over"},
    {"add 2 L hot water", "top up with 2 L hot water"},
    {"feed the vat", "Add what?"},
    {"dip all napkins for 5 min then dip napkin 4 for 5 h then dip napkin 5 for 5 min", "There are 4"},
    {"back", "nothing to take back"},
    {"back to tomorrow", "not been yet"},
    {"back 0", "Back how far?"},
    {"what if", "What if what?"},
    {"what if reveal", "tries out what is done"},
    {"what if add 20 g unobtainium", "unobtainium"},
    {"save", "Into which file?"},
    {"save my-vat.txt", "Into which file?"},
    {"report", "Into which file?"},
    {"stir then back", "goes alone"},
    {"back then stir", "goes alone"},
    {"stir then wibble", "is not understood"},
    {"wait 1 h then add 3 g unobtainium", "unobtainium"},
};

static void bad(void **state)
{
    (void)state;
    struct session *session = hand_open("fresh-vat", false);
    for (size_t i = 0; i < sizeof refused / sizeof refused[0]; i++) {
        const char *text = hand_refuse(session, refused[i].said);
        if (strstr(text, refused[i].hint) == NULL) {
            fail_msg("\"%s\" is answered by: %s", refused[i].said, text);
        }
    }
    session_close(session);
}

/* Every example that help gives is understood. */
static void examples(void **state)
{
    (void)state;
    struct session *session = hand_open("fresh-vat", false);
    (void)hand_say(session, "wait 5 hours");
    for (size_t i = 0; i < sentence_count; i++) {
        char example[EXAMPLE_SIZE];
        struct act act;
        struct setting_of_act of = setting_of(session);
        sentence_example(session_scenario(session), &sentence_table[i], example);
        char * or = strstr(example, ", or ");
        if (or != NULL) {
            * or = '\0';
        }
        bool is_elsewhere =
            sentence_table[i].kind == ACT_MOVE || sentence_table[i].kind == ACT_BACK; /* places, moments of its own */
        if (!is_elsewhere && !act_read(&of, example, &act)) {
            fail_msg("\"%s\": %s", example, of.hint);
        }
        assert_true(is_elsewhere || act.kind == sentence_table[i].kind);
    }
    session_close(session);
}

static void completions(void **state)
{
    (void)state;
    static const struct {
        const char *line, *word;
    } table[] = {{"st", "stir"},           {"add 50 g sla", "slaked lime"}, {"dip n", "napkin"}, {"read m", "meter"},
                 {"wait unt", "until"},    {"what if ad", "add"},           {"help d", "dip"},   {"", "look"},
                 {"stir then wai", "wait"}};
    struct session *session = hand_open("fresh-vat", false);
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        const char *words[64];
        size_t count = session_complete(session, table[i].line, words, 64);
        bool found = false;
        for (size_t w = 0; w < count; w++) {
            found = found || strcmp(words[w], table[i].word) == 0;
        }
        if (!found) {
            fail_msg("\"%s\" is not completed to \"%s\"", table[i].line, table[i].word);
        }
    }
    const char *words[2];
    assert_int_equal(session_complete(session, "zzz", words, 2), 0);
    assert_int_equal(session_complete(session, "", words, 2), 2);
    session_close(session);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(good),
        cmocka_unit_test(bad),
        cmocka_unit_test(examples),
        cmocka_unit_test(completions),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
