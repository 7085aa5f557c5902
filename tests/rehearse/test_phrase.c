/* test_phrase.c: amounts, lengths of time and moments as a dyer says them. */
#include "by_hand.h"

#include "rehearse/phrase.h"
#include "support/close.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define DAY 86400.0
#define START (9 * 3600.0) /* the clock at time 0 */

static struct quantities *quantities;

static int open_units(void **state)
{
    (void)state;
    return quantities_open(&quantities).code != STATUS_OK;
}

static int close_units(void **state)
{
    (void)state;
    quantities_close(quantities);
    return 0;
}

static void amounts(void **state)
{
    (void)state;
    static const struct {
        const char *said, *si, *text;
        double value;
        const char *rest;
    } good[] = {
        {"200 g fructose", "kg", "200 g", 0.2, "fructose"},
        {"200g of fructose", "kg", "200g", 0.2, "of fructose"},
        {"two lb lime", "kg", "2 lb", 2 * 0.45359237, "lime"},
        {"half a kilo lime", "kg", "1/2 kg", 0.5, "lime"},
        {"1 1/2 cups honey", "m3", "1 1/2 cups", 1.5 * 236.588236e-6, "honey"},
        {"a tbsp sugar", "m3", "1 tbsp", 14.7867647e-6, "sugar"},
        {"half a cup of sugar", "m3", "1/2 cup", 118.294118e-6, "of sugar"},
        {"a quarter of a kg x", "kg", "1/4 kg", 0.25, "x"},
        {"45 C", "K", "45 degC", 318.15, ""},
        {"113 F now", "K", "113 degF", 318.15, "now"},
        {"45 degrees C", "K", "45 degC", 318.15, ""},
        {"45 celsius", "K", "45 degC", 318.15, ""},
        {"1.5 kW", "W", "1.5 kW", 1500.0, ""},
        {"3 US gallons", "m3", "3 US gallons", 3 * 3.785411784e-3, ""},
        {"50 l warm", "m3", "50 L", 0.05, "warm"},
        {"fl oz", NULL, NULL, 0.0, NULL},
    };
    for (size_t i = 0; good[i].si != NULL; i++) {
        struct phrase phrase;
        double value = NAN;
        char text[AMOUNT_SIZE];
        char rest[SENTENCE_SIZE];
        assert_true(phrase_split(&phrase, good[i].said));
        if (!phrase_amount(&phrase, quantities, good[i].si, &value, text)) {
            fail_msg("\"%s\" was not read", good[i].said);
        }
        phrase_rest(&phrase, false, rest, sizeof rest);
        assert_string_equal(rest, good[i].rest);
        assert_close(value, good[i].value, 1e-6, 0.0);
        assert_string_equal(text, good[i].text);
    }
    static const char *const bad[] = {"fructose", "g fructose", "some lime",         "200", "200 litres",
                                      "-",        "",           "a handful of lime", NULL};
    for (size_t i = 0; bad[i] != NULL; i++) {
        struct phrase phrase;
        double value;
        char text[AMOUNT_SIZE] = "kept";
        assert_true(phrase_split(&phrase, bad[i]));
        if (phrase_amount(&phrase, quantities, "kg", &value, text)) {
            fail_msg("\"%s\" was read as %g", bad[i], value);
        }
        assert_int_equal(phrase.at, 0);
        assert_string_equal(text, "kept");
    }
}

static void durations(void **state)
{
    (void)state;
    static const struct {
        const char *said;
        double seconds;
        const char *again;
    } good[] = {
        {"20 min", 1200, "20 min"},
        {"two hours", 7200, "2 h"},
        {"2 hours and 30 min", 9000, "2 h 30 min"},
        {"half an hour", 1800, "30 min"},
        {"an hour", 3600, "1 h"},
        {"a week", 7 * DAY, "7 days"},
        {"1.5 h", 5400, "1 h 30 min"},
        {"90 s", 90, "2 min"},
        {"three days", 3 * DAY, "3 days"},
        {"2 and a half hours", 9000, "2 h 30 min"},
        {"2 days 3 h", 2 * DAY + 10800, "2 days 3 h"},
        {"5 mins", 300, "5 min"},
    };
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++) {
        struct phrase phrase;
        double seconds = NAN;
        char said[64];
        assert_true(phrase_split(&phrase, good[i].said));
        if (!phrase_duration(&phrase, quantities, &seconds) || !phrase_is_over(&phrase)) {
            fail_msg("\"%s\" was not read", good[i].said);
        }
        assert_close(seconds, good[i].seconds, 1e-12, 0.0);
        duration_say(seconds, said, sizeof said);
        assert_string_equal(said, good[i].again);
    }
    static const char *const bad[] = {"min", "20", "a while", "0 min", "-5 min", "soon", "20 g", "", NULL};
    for (size_t i = 0; bad[i] != NULL; i++) {
        struct phrase phrase;
        double seconds;
        assert_true(phrase_split(&phrase, bad[i]));
        if (phrase_duration(&phrase, quantities, &seconds)) {
            fail_msg("\"%s\" was read as %g s", bad[i], seconds);
        }
    }
}

/* Now is day 3, 14:00; the scenario starts on 4 May 2026 at 9:00. */
static void moments(void **state)
{
    (void)state;
    const struct scenario scenario = {.start_unix = 1777885200.0, .lasts = 100 * DAY};
    const double now = 2 * DAY + 5 * 3600.0;
    static const struct {
        const char *said;
        bool past;
        double day, clock;
    } good[] = {
        {"15:30", false, 3, 15.5},
        {"13:30", false, 4, 13.5},
        {"13:30", true, 3, 13.5},
        {"15:30", true, 2, 15.5},
        {"2 pm", true, 3, 14},
        {"3pm", false, 3, 15},
        {"12 am", false, 4, 0},
        {"12 pm", true, 3, 12},
        {"2:30 pm", false, 3, 14.5},
        {"morning", false, 4, 8},
        {"the morning", true, 3, 8},
        {"noon", false, 4, 12},
        {"evening", false, 3, 18},
        {"midnight", false, 4, 0},
        {"tomorrow", false, 4, 14},
        {"tomorrow 9:00", false, 4, 9},
        {"tomorrow at 9 am", false, 4, 9},
        {"tomorrow morning", false, 4, 8},
        {"tomorrow 9", false, 4, 9},
        {"tomorrow at nine", false, 4, 9},
        {"tomorrow at nine o'clock", false, 4, 9},
        {"at 17", false, 3, 17},
        {"today 16", false, 3, 16},
        {"day 5 at ten", false, 5, 10},
        {"yesterday", true, 2, 14},
        {"yesterday 10:00", true, 2, 10},
        {"this morning", true, 3, 8},
        {"day 5", false, 5, 9},
        {"day 5 10:00", false, 5, 10},
        {"day 5 at noon", false, 5, 12},
        {"2026-05-08", false, 5, 9},
        {"2026-05-08 10:15", false, 5, 10.25},
        {"start", true, 1, 9},
        {"2 hours ago", true, 3, 12},
        {"a day ago", true, 2, 14},
    };
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++) {
        struct phrase phrase;
        double moment = NAN;
        assert_true(phrase_split(&phrase, good[i].said));
        if (!phrase_moment(&phrase, quantities, &scenario, now, good[i].past, &moment) || !phrase_is_over(&phrase)) {
            fail_msg("\"%s\" was not read", good[i].said);
        }
        double expected = (good[i].day - 1) * DAY + good[i].clock * 3600.0 - START;
        if (fabs(moment - expected) > 0.5) {
            fail_msg("\"%s\" was read as %g s, %g s off", good[i].said, moment, moment - expected);
        }
    }
    static const char *const bad[] = {"soon",    "25:00", "14:75", "day", "day x", "13 pm", "2026-13-01",
                                      "2 hours", "at",    "",      "7",   "at 24", "nine",  NULL};
    for (size_t i = 0; bad[i] != NULL; i++) {
        struct phrase phrase;
        double moment;
        assert_true(phrase_split(&phrase, bad[i]));
        if (phrase_moment(&phrase, quantities, &scenario, now, false, &moment)) {
            fail_msg("\"%s\" was read as %g s", bad[i], moment);
        }
        assert_int_equal(phrase.at, 0);
    }
}

static void long_sentences(void **state)
{
    (void)state;
    char many[SENTENCE_SIZE];
    struct phrase phrase;
    for (size_t i = 0; i + 2 < sizeof many; i += 2) {
        many[i] = 'a';
        many[i + 1] = ' ';
    }
    many[sizeof many - 2] = '\0';
    assert_false(phrase_split(&phrase, many));
    memset(many, 'a', sizeof many);
    many[sizeof many - 1] = '\0';
    assert_false(phrase_split(&phrase, many));
    many[sizeof many - 3] = '\0';
    assert_true(phrase_split(&phrase, many));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(amounts),
        cmocka_unit_test(durations),
        cmocka_unit_test(moments),
        cmocka_unit_test(long_sentences),
    };
    return cmocka_run_group_tests(tests, open_units, close_units);
}
