/* test_session.c: what a session is saved as does what the session did, to the last bit; going back and trying out leave no
 * trace; what `why` tells closes with the ledgers.
 */
#include "by_hand.h"

#include "rehearse/why.h"
#include "support/close.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *const day_one[] = {
    "look",
    "stir 2 min",
    "wait 20 min",
    "stir",
    "wait 30 min",
    "read strip",
    "read meter",
    "wait 3 hours",
    "add 20 g fructose",
    "add 2 tbsp lime as slurry",
    "stir briskly 1 min",
    "test strip",
    "pinch of lime",
    "dip swatch for 8 min",
    "air 20 min",
    "dip again for 8 min",
    "warm to 50 C",
    "cover tightly",
    "wait until morning",
};
static const char *const day_two[] = {
    "uncover",
    "look",
    "skim",
    "dip 2 napkins for 10 min",
    "air 15 min",
    "dip again for 10 min",
    "air 15 min",
    "dip napkins 3 to 4 for 6 min 2 times airing 10 min",
    "top up with 1 L hot water",
    "rinse napkins",
    "wash napkins",
    "keep at 35 C",
    "wait 5 hours",
    "heater off",
    "rack off the bed with 1 L",
    "wrap in foam",
    "read orp",
    "wait 2 weeks",
};
#define COUNT(list) (sizeof(list) / sizeof(list)[0])

static void say_list(struct session *session, const char *const *list, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        (void)hand_say(session, list[i]);
    }
}

static void saved_is_said(void **state)
{
    (void)state;
    struct session *session = hand_open("fresh-vat", false);
    hand_is_reproduced(session); /* nothing said yet */
    (void)hand_say(session, "add 5 g lime");
    hand_is_reproduced(session); /* no time has passed */
    say_list(session, day_one, COUNT(day_one));
    hand_is_reproduced(session);
    say_list(session, day_two, COUNT(day_two));
    hand_is_reproduced(session);
    hand_is_reproduced(session); /* and being asked for it changes nothing */
    session_close(session);
}

/* With the scenario's own calendar going on beside, cut off in the middle of it. */
static void saved_with_calendar(void **state)
{
    (void)state;
    static const char *const names[] = {"fresh-vat", "feeding-by-rule", "bran-half-year", "finishing-day",
                                        "barrel-of-towels"};
    for (size_t i = 0; i < COUNT(names); i++) {
        struct session *session = hand_open(names[i], true);
        (void)hand_say(session, "wait 90 min");
        (void)hand_say(session, "stir then read meter then wait until day 2 11:07 then add 3 g slaked lime then look");
        hand_is_reproduced(session);
        (void)hand_say(session, "wait 50 hours");
        (void)hand_say(session, "why since yesterday");
        hand_is_reproduced(session);
        session_close(session);
    }
}

/* Another seed, another reading; the same seed, the same. */
static void readings_are_drawn_from_the_seed(void **state)
{
    (void)state;
    char texts[3][200];
    const uint32_t seeds[] = {1, 2, 1};
    for (int i = 0; i < 3; i++) {
        struct session *session;
        struct complaints complaints;
        const struct session_options how = {.models_folder = MODELS_DIR, .has_seed = true, .seed = seeds[i]};
        complaints_init(&complaints);
        is_ok(session_open(SCENARIOS_DIR "/fresh-vat.conf", &how, &session, &complaints));
        (void)hand_say(session, "wait 5 h");
        (void)snprintf(texts[i], sizeof texts[i], "%s", hand_say(session, "read meter").text);
        hand_is_reproduced(session);
        complaints_free(&complaints);
        session_close(session);
    }
    assert_string_equal(texts[0], texts[2]);
    assert_string_not_equal(texts[0], texts[1]);
}

static void back_is_as_if_it_had_not_been(void **state)
{
    (void)state;
    size_t sizes[2];
    struct session *straight = hand_open("fresh-vat", false);
    struct session *roundabout = hand_open("fresh-vat", false);
    say_list(straight, day_one, COUNT(day_one));
    say_list(roundabout, day_one, COUNT(day_one) - 3);
    (void)hand_say(roundabout, "add 300 g vinegar");
    (void)hand_say(roundabout, "stir hard 10 min then wait 3 days");
    (void)hand_say(roundabout, "why");
    (void)hand_say(roundabout, "back 3");
    assert_int_equal(session_said_count(roundabout), COUNT(day_one) - 3);
    say_list(roundabout, day_one + COUNT(day_one) - 3, 3);
    double then = session_time(roundabout);
    char moment[64];
    char back[80];
    (void)hand_say(roundabout, "wait 7 hours");
    say_list(roundabout, day_two, 8);
    session_moment(roundabout, then, moment, sizeof moment);
    (void)snprintf(back, sizeof back, "back to %s", moment);
    (void)hand_say(roundabout, back);
    assert_close(session_time(roundabout), then, 0.0, 1e-9);
    say_list(straight, day_two, COUNT(day_two));
    say_list(roundabout, day_two, COUNT(day_two));
    char *one = hand_result(straight, "x.conf", &sizes[0]);
    hand_is_reproduced(straight);
    /* The sentences stand in the scenario's text as remarks, and are the same too. */
    char *other = hand_result(roundabout, "x.conf", &sizes[1]);
    assert_int_equal(sizes[0], sizes[1]);
    assert_memory_equal(one, other, sizes[0]);
    free(one);
    free(other);
    session_close(straight);
    session_close(roundabout);
}

/* Into the middle of a wait: the part of it that was before stands. */
static void back_into_a_wait(void **state)
{
    (void)state;
    struct session *session = hand_open("fresh-vat", false);
    (void)hand_say(session, "wait 2 weeks");
    (void)hand_say(session, "back to day 3 10:30");
    assert_close(session_time(session), 2 * 86400.0 + 5400.0, 0.0, 1e-9);
    assert_int_equal(session_said_count(session), 1);
    hand_is_reproduced(session);
    (void)hand_say(session, "dip napkin for 10 min"); /* cut short, it did not happen */
    (void)hand_say(session, "back to day 3 10:35");
    assert_close(session_time(session), 2 * 86400.0 + 5400.0, 0.0, 1e-9);
    (void)hand_say(session, "back to the start");
    assert_close(session_time(session), 0.0, 0.0, 1e-9);
    assert_int_equal(session_said_count(session), 0);
    hand_is_reproduced(session);
    session_close(session);
}

/* Further back than marks are kept for. */
static void far_back(void **state)
{
    (void)state;
    struct session *straight = hand_open("fresh-vat", false);
    struct session *session = hand_open("fresh-vat", false);
    size_t sizes[2];
    for (int i = 0; i < 150; i++) {
        const char *sentence = i % 3 == 0 ? "add 2 g fructose" : i % 3 == 1 ? "stir" : "wait 7 hours";
        (void)hand_say(session, sentence);
        if (i < 28) {
            (void)hand_say(straight, sentence);
        }
    }
    (void)hand_say(session, "why since day 2");
    (void)hand_say(session, "back 122");
    assert_int_equal(session_said_count(session), 28);
    (void)hand_say(session, "wait 3 days");
    (void)hand_say(straight, "wait 3 days");
    char *one = hand_result(straight, "x.conf", &sizes[0]);
    char *other = hand_result(session, "x.conf", &sizes[1]);
    assert_int_equal(sizes[0], sizes[1]);
    assert_memory_equal(one, other, sizes[0]);
    free(one);
    free(other);
    session_close(straight);
    session_close(session);
}

static void asking_changes_nothing(void **state)
{
    (void)state;
    static const char *const questions[] = {
        "what if add 60 g lime then stir then wait 2 days",
        "what if dip 3 napkins for 20 min",
        "what if warm to 60 C then wait 1 week",
        "what if wait 1 hour",
        "why",
        "why since day 1 10:11",
        "why since the start",
        "reveal",
        "advice",
        "story",
        "cloth",
        "time",
        "help",
        "help dip",
        "throw away",
        "what if wait 10 min then stir",
    };
    struct session *session = hand_open("fresh-vat", false);
    size_t size;
    size_t again;
    say_list(session, day_one, COUNT(day_one));
    char *before = hand_result(session, "x.conf", &size);
    for (size_t i = 0; i < COUNT(questions); i++) {
        struct session_answer answer = hand_say(session, questions[i]);
        assert_false(answer.changed);
        assert_true(strlen(answer.text) > 5);
        char *after = hand_result(session, "x.conf", &again);
        assert_int_equal(size, again);
        assert_memory_equal(before, after, size);
        free(after);
    }
    static const char *const wrong[] = {"what if add 60 g lime then wibble",
                                        "what if dip 9 napkins for 20 min",
                                        "stir then wibble",
                                        "wait 3 days then dip 40 napkins for 5 min",
                                        "wait 2 years",
                                        "dip napkins 2 to 9 for 3 min"};
    for (size_t i = 0; i < COUNT(wrong); i++) {
        (void)hand_refuse(session, wrong[i]);
        char *after = hand_result(session, "x.conf", &again);
        assert_int_equal(size, again);
        assert_memory_equal(before, after, size);
        free(after);
    }
    free(before);
    session_close(session);
}

/* A forecast tells what comes true. */
static void forecasts_come_true(void **state)
{
    (void)state;
    struct session *session = hand_open("fresh-vat", false);
    say_list(session, day_one, 8);
    char foretold[2000];
    (void)snprintf(foretold, sizeof foretold, "%s",
                   hand_say(session, "what if add 200 g vinegar then stir then wait 1 day").text);
    char *alone = strstr(foretold, "Left alone: ");
    assert_non_null(alone);
    *alone = '\0';
    const char *words = strstr(foretold, "the liquor is");
    assert_non_null(words);
    (void)hand_say(session, "add 200 g vinegar then stir");
    assert_non_null(strstr(hand_say(session, "wait 1 day").text, words));
    session_close(session);
}

/* What came in and what went out is what is left more or less, in every ledger, for any moment; and two spans make one. */
static void why_closes(void **state)
{
    (void)state;
    static const char *const names[] = {"fresh-vat", "bran-seeded", "advice-cold"};
    for (size_t n = 0; n < COUNT(names); n++) {
        struct session *session = hand_open(names[n], false);
        (void)hand_say(session, "stir then wait 3 h then add 20 g fructose then stir briskly then wait 1 day");
        if (n == 0) {
            say_list(session, day_two, 8);
        }
        (void)hand_say(session, "wait 4 days");
        const double moments[] = {0.0, 3600.0, 4.0 * 3600.0, 86400.0 + 5000.0, 2.0 * 86400.0, session_time(session)};
        for (size_t i = 0; i < COUNT(moments); i++) {
            struct change changes[CHANGES_MOST];
            int count;
            is_ok(session_changes(session, moments[i], changes, &count));
            assert_true(count >= 6);
            for (int c = 0; c < count; c++) {
                double moved = 0.0;
                double left = 0.0;
                double scale = 1e-6;
                for (int r = 0; r < changes[c].count; r++) {
                    const struct change_row *row = &changes[c].rows[r];
                    *(row->part == PART_LEFT ? &left : &moved) += row->change;
                    scale = fmax(scale, fmax(fabs(row->change), fabs(row->now)));
                }
                assert_close(moved, left, 0.0, 1e-9 * scale);
            }
        }
        session_close(session);
    }
}

/* The whole span tells what the result's own ledgers tell. */
static void why_is_the_ledger(void **state)
{
    (void)state;
    struct session *session = hand_open("fresh-vat", false);
    const struct result *result;
    struct change changes[CHANGES_MOST];
    int count;
    (void)hand_say(session, "stir then wait 6 h then add 50 g fructose then wait 2 days");
    is_ok(session_changes(session, 0.0, changes, &count));
    is_ok(session_result_begin(session, NULL, &result));
    const double *amounts = table_column(&result->ledger[1], "amount")->values; /* of sugar */
    assert_string_equal(changes[1].name, result->ledger[1].name);
    for (size_t i = 0; i < result->ledger[1].rows; i++) {
        const struct change_row *row = &changes[1].rows[i];
        if (row->part == PART_LEFT) {
            assert_close(row->now, amounts[i], 1e-12, 1e-12);
        } else { /* the first charge, 330 g, stands in the row of what was added */
            assert_close(row->change, amounts[i] - (strcmp(row->name, "added") == 0 ? 330.0 : 0.0), 1e-9, 1e-9);
        }
    }
    is_ok(session_result_end(session));
    const char *text = hand_say(session, "why").text;
    assert_non_null(strstr(text, "Sugar: 330 g then; came in 50 g: added; gone "));
    assert_non_null(strstr(text, "broke down in lime"));
    assert_non_null(strstr(text, "through the surface"));
    session_close(session);
}

/* In a live vat the feed and the alkali are told, and not once more the sugar and the lime that are part of them. */
static void why_tells_nothing_twice(void **state)
{
    (void)state;
    struct session *session = hand_open("bran-seeded", false);
    const char *text = hand_say(session, "wait 2 days then why").text;
    assert_non_null(strstr(text, "\nFeed and sugar: "));
    assert_non_null(strstr(text, "\nAlkali: "));
    assert_null(strstr(text, "\nSugar: "));
    assert_null(strstr(text, "\nLime: "));
    session_close(session);
}

/* Advice comes of what was read, lately and since the last addition, and says what it wants. */
static void what_the_model_cannot_follow_is_refused(void **state)
{
    (void)state;
    struct session *session;
    struct complaints complaints;
    static const char *const frost[] = {"vat.place.night=-20 degC", "vat.place.day=-12 degC"};
    const struct session_options how = {.models_folder = MODELS_DIR, .overrides = frost, .override_count = 2};
    complaints_init(&complaints);
    is_ok(session_open(SCENARIOS_DIR "/fresh-vat.conf", &how, &session, &complaints));
    complaints_free(&complaints);
    (void)hand_say(session, "wait 3 h");
    assert_non_null(strstr(hand_refuse(session, "wait 2 weeks"), "freezes"));
    (void)hand_say(session, "keep at 30 C");
    (void)hand_say(session, "wait 2 hours");
    hand_is_reproduced(session);
    session_close(session);
}

/* The stop flag takes back what was going on. */
static void interrupted(void **state)
{
    (void)state;
    static volatile int stop;
    struct session *session;
    struct complaints complaints;
    struct session_answer answer;
    const struct session_options how = {.models_folder = MODELS_DIR, .stop = &stop};
    complaints_init(&complaints);
    is_ok(session_open(SCENARIOS_DIR "/fresh-vat.conf", &how, &session, &complaints));
    complaints_free(&complaints);
    (void)hand_say(session, "wait 3 h then stir");
    double before = session_time(session);
    stop = 1;
    assert_int_equal(session_say(session, "wait 2 weeks", &answer).code, STATUS_INTERRUPTED);
    assert_int_equal(session_say(session, "what if stir then wait 2 weeks", &answer).code, STATUS_INTERRUPTED);
    assert_int_equal(session_say(session, "wait 1 h then wait 2 weeks", &answer).code, STATUS_INTERRUPTED);
    stop = 0;
    assert_close(session_time(session), before, 0.0, 0.0);
    (void)hand_say(session, "wait 3 h");
    hand_is_reproduced(session);
    session_close(session);
}

/* As long as a scenario may be; then no more, and nothing is lost. */
static void full(void **state)
{
    (void)state;
    struct session *session = hand_open("fresh-vat", false);
    struct session_answer answer;
    int said = 0;
    for (; said <= SENTENCES_MOST; said++) {
        is_ok(session_say(session, said % 2 == 0 ? "stir 1 min" : "add 1 mg lime", &answer));
        if (!answer.understood) {
            break;
        }
    }
    print_message("%d sentences: %s", said, answer.text);
    assert_true(said >= 1000);
    assert_non_null(strstr(answer.text, "Save it and begin another"));
    hand_is_reproduced(session);
    (void)hand_say(session, "back 40");
    (void)hand_say(session, "wait 1 h");
    hand_is_reproduced(session);
    session_close(session);
}

/* Full of questions it still answers, saves and goes back, but nothing more is done. */
static void full_of_questions(void **state)
{
    (void)state;
    struct session *session = hand_open("fresh-vat", false);
    struct session_answer answer;
    (void)hand_say(session, "stir 1 min");
    while (session_said_count(session) < SENTENCES_MOST) {
        (void)hand_say(session, "reveal");
    }
    (void)hand_say(session, "why");
    (void)hand_say(session, "what if wait 1 h");
    (void)hand_say(session, "time");
    assert_int_equal(session_said_count(session), SENTENCES_MOST);
    assert_non_null(strstr(hand_refuse(session, "stir"), "full"));
    assert_non_null(strstr(hand_refuse(session, "look"), "full"));
    answer = hand_say(session, "save full.conf");
    assert_int_equal(answer.wish, WISH_SAVE_SCENARIO);
    assert_int_equal(hand_say(session, "report full.html").wish, WISH_REPORT);
    assert_int_equal(hand_say(session, "quit").wish, WISH_QUIT);
    hand_is_reproduced(session);
    (void)hand_say(session, "back");
    assert_int_equal(session_said_count(session), 0);
    (void)hand_say(session, "stir");
    session_close(session);
}

/* Sentences are parted at "then" in any letters, and what is only tried out is never done. */
static void parted_at_then(void **state)
{
    (void)state;
    static const char *const tried[] = {"please what if stir then wait 3 days", "What If stir THEN wait 3 days",
                                        "now please I what if stir\tthen\twait 3 days",
                                        "then what if stir then wait 3 days"};
    struct session *session = hand_open("fresh-vat", false);
    for (size_t i = 0; i < COUNT(tried); i++) {
        (void)hand_say(session, tried[i]);
        assert_close(session_time(session), 0.0, 0.0, 0.0);
    }
    (void)hand_say(session, "wait 1 h THEN stir 1 min\tThen then wait 1 h");
    assert_close(session_time(session), 2 * 3600.0 + 60.0, 0.0, 0.0);
    const char *words[8];
    assert_true(session_complete(session, "stir Then wait 1 h then warm ", words, COUNT(words)) > 0);
    assert_string_equal(words[0], "to");
    assert_true(session_complete(session, "What if stir then wra", words, COUNT(words)) > 0);
    assert_string_equal(words[0], "wrap");
    session_close(session);
}

static double taken_up(struct session *session)
{
    const struct result *result;
    is_ok(session_result_begin(session, NULL, &result));
    double owf = table_column(&result->pieces, "owf")->values[2]; /* the first napkin, after two swatches */
    is_ok(session_result_end(session));
    return owf;
}

/* Cloth that is left in takes what it takes when one waits for it; meanwhile it is not to be had, and it comes out by itself. */
static void cloth_may_be_left_in(void **state)
{
    (void)state;
    struct session *waited_for = hand_open("fresh-vat", false);
    (void)hand_say(waited_for, "stir then wait 3 h then dip napkin for 1 h");
    struct session *session = hand_open("fresh-vat", false);
    (void)hand_say(session, "stir then wait 3 h");
    const char *told = hand_say(session, "dip napkin for 1 h and leave it in").text;
    assert_string_equal(told, "The napkin numbered 1 goes in; out at day 1 13:02.\n");
    (void)hand_say(session, "read strip");
    assert_non_null(strstr(hand_say(session, "cloth").text, "napkin 1 (0 dips): in the vat"));
    assert_non_null(strstr(hand_refuse(session, "rinse napkin"), "None of that cloth"));
    assert_non_null(strstr(hand_refuse(session, "take it out"), "at day 1 13:02"));
    (void)hand_refuse(session, "dip napkin 1 for 5 min");
    (void)hand_say(session, "wait 20 min");
    hand_is_reproduced(session);
    assert_non_null(strstr(hand_say(session, "wait 40 min").text, "day 1 13:02: The napkin numbered 1 comes out.\n"));
    assert_close(taken_up(session), taken_up(waited_for), 1e-5, 0.0); /* the legs of the run differ */
    hand_is_reproduced(session);
    (void)hand_say(session, "back 30 min");
    assert_non_null(strstr(hand_say(session, "cloth").text, "in the vat"));
    assert_non_null(strstr(hand_say(session, "wait 30 min then cloth").text, "napkin 1 (1 dip): "));
    hand_is_reproduced(session);
    session_close(session);
    session_close(waited_for);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(saved_is_said),
        cmocka_unit_test(saved_with_calendar),
        cmocka_unit_test(readings_are_drawn_from_the_seed),
        cmocka_unit_test(back_is_as_if_it_had_not_been),
        cmocka_unit_test(back_into_a_wait),
        cmocka_unit_test(far_back),
        cmocka_unit_test(asking_changes_nothing),
        cmocka_unit_test(forecasts_come_true),
        cmocka_unit_test(why_closes),
        cmocka_unit_test(why_is_the_ledger),
        cmocka_unit_test(why_tells_nothing_twice),
        cmocka_unit_test(what_the_model_cannot_follow_is_refused),
        cmocka_unit_test(interrupted),
        cmocka_unit_test(full),
        cmocka_unit_test(full_of_questions),
        cmocka_unit_test(parted_at_then),
        cmocka_unit_test(cloth_may_be_left_in),
    };
    return cmocka_run_group_tests(tests, scratch_make, scratch_remove);
}
