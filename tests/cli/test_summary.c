/* test_summary.c: the story of a made-up result, word for word, and the small rules behind it. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "cli/summary.h"
#include "cli/text.h"
#include "record/fake_result.c" /* NOLINT(bugprone-suspicious-include): a helper of another floor */
#include "study/summary_words.h"

#include <stdlib.h>

static char *told(const struct result *result, bool colour)
{
    char *text = NULL;
    size_t size = 0;
    FILE *stream = open_memstream(&text, &size);
    assert_non_null(stream);
    summary_print(stream, result, "mill-napkins.h5", colour);
    assert_int_equal(fclose(stream), 0);
    return text;
}

static void story_is_told_as_expected(void **state)
{
    (void)state;
    struct result result;
    fake_result(&result);
    char *text = told(&result, false);
    FILE *file = fopen(TESTS_DATA "/fake-summary.txt", "rb");
    assert_non_null(file);
    char expected[8192];
    size_t size = fread(expected, 1, sizeof expected - 1, file);
    expected[size] = '\0';
    (void)fclose(file);
    assert_string_equal(text, expected);
    free(text);
    result_free(&result);
}

static void lines_fit_the_screen(void **state)
{
    (void)state;
    struct result result;
    fake_result(&result);
    char *text = told(&result, false);
    for (char *line = strtok(text, "\n"); line != NULL; line = strtok(NULL, "\n")) {
        assert_true(text_columns(line) <= TEXT_WIDTH);
    }
    free(text);
    result_free(&result);
}

static void failed_runs_are_told(void **state)
{
    (void)state;
    struct result result;
    fake_empty_result(&result);
    char *text = told(&result, false);
    assert_non_null(strstr(text, "this run did not reach its end: failed; the step size fell below its\n"));
    free(text);
    result_free(&result);
    result_init(&result);
    text = told(&result, false);
    assert_string_equal(text, "The result holds nothing.\n");
    free(text);
    result_free(&result);
}

/* Stopped among its members: the run itself has its end, also when too few of them are done for a range. */
static void runs_stopped_among_their_members_are_told_as_whole(void **state)
{
    (void)state;
    struct result result;
    double depth = 0.02;
    fake_result(&result);
    result.status = RUN_INTERRUPTED;
    (void)snprintf(result.failure, sizeof result.failure, "of its 5 members 1 is done");
    char *text = told(&result, false);
    assert_non_null(strstr(text, "this run did not reach its end: interrupted; of its 5 members 1 is done"));
    free(text);
    assert_true(table_add_column(&result.figures, "owf_mean", "1", "depth", NULL).code == STATUS_OK);
    assert_true(table_add_row(&result.figures, &depth, 1).code == STATUS_OK);
    text = told(&result, false);
    assert_non_null(strstr(text, "Stopped  interrupted; of its 5 members 1 is done"));
    free(text);
    result_free(&result);
}

/* A text from a file must not steer the terminal. */
static void control_characters_are_not_printed(void **state)
{
    (void)state;
    struct result result;
    fake_result(&result);
    (void)snprintf(result.title, sizeof result.title,
                   "sly \033]0;title\007 \033[2J \xc2\x9b"
                   "2J caf\xc3\xa9");
    (void)snprintf(result.notes[1].text, sizeof result.notes[1].text, "red \033[31m");
    char *text = told(&result, false);
    assert_null(strchr(text, '\033'));
    assert_null(strchr(text, '\007'));
    assert_null(strstr(text, "\xc2\x9b"));
    assert_non_null(strstr(text, "caf\xc3\xa9"));
    free(text);
    result_free(&result);
}

static void missing_columns_are_borne(void **state)
{
    (void)state;
    struct result result;
    fake_result(&result);
    struct table *tables[] = {&result.series, &result.events, &result.dips, &result.pieces, &result.ledger[0]};
    for (size_t t = 0; t < sizeof tables / sizeof tables[0]; t++) {
        for (size_t i = t == 0 ? 1 : 0; i < tables[t]->column_count; i++) {
            char kept = tables[t]->columns[i].name[0];
            tables[t]->columns[i].name[0] = 'Z';
            char *text = told(&result, false);
            assert_non_null(strstr(text, "Result   mill-napkins.h5\n"));
            free(text);
            tables[t]->columns[i].name[0] = kept;
        }
    }
    result_free(&result);
}

static void amounts_are_rounded_as_said(void **state)
{
    (void)state;
    static const struct {
        double kg;
        const char *mass;
    } cases[] = {{0.0, "0 g"},        {0.00042, "0.4 g"},  {0.0247, "25 g"},   {0.99960, "1,000 g"},
                 {1.0102, "1,010 g"}, {9.9990, "9,999 g"}, {12.34, "12.3 kg"}, {-0.3, "300 g"}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char text[WORD_SIZE];
        say_mass(cases[i].kg, text);
        assert_string_equal(text, cases[i].mass);
    }
    char volume[WORD_SIZE];
    say_volume(-3.06, volume);
    assert_string_equal(volume, "3.1 L");
    say_volume(0.048, volume);
    assert_string_equal(volume, "48 mL");
}

static void things_are_counted(void **state)
{
    (void)state;
    char text[80];
    say_count(1.0, "sash", text, sizeof text);
    assert_string_equal(text, "1 sash");
    say_count(24.0, "sash", text, sizeof text);
    assert_string_equal(text, "24 sashes");
    say_count(3.0, "long runner", text, sizeof text);
    assert_string_equal(text, "3 long runners");
    say_count(2.0, "curtains", text, sizeof text);
    assert_string_equal(text, "2 curtains");
    say_count(2.0, "tea cosy", text, sizeof text);
    assert_string_equal(text, "2 tea cosies");
}

/* Common practice, no source: indigotin left on the fibre, % owf: palest .05-.1, pale sky .1-.25, light-medium .4-.7,
 * medium .8-1.3, dark 1.2-2, navy 2-3; the middle of each range must bear its name. */
static void shades_have_their_names(void **state)
{
    (void)state;
    assert_string_equal(shade_word(0.075), "palest blue");
    assert_string_equal(shade_word(0.175), "pale blue");
    assert_string_equal(shade_word(0.55), "light blue");
    assert_string_equal(shade_word(1.05), "mid blue");
    assert_string_equal(shade_word(1.6), "dark blue");
    assert_string_equal(shade_word(2.5), "navy");
}

static void lists_give_their_items(void **state)
{
    (void)state;
    char word[WORD_SIZE];
    word_of_list("ready lime_short tired", 1.0, word);
    assert_string_equal(word, "lime short");
    word_of_list("ready lime_short tired", 3.0, word);
    assert_string_equal(word, "");
    word_of_list("ready", -1.0, word);
    assert_string_equal(word, "");
    word_of_list(NULL, 0.0, word);
    assert_string_equal(word, "");
    char line[16];
    line_of_list("stir\nadd a thing with a long name\n", 1.0, line, sizeof line);
    assert_string_equal(line, "add a thing wit");
    line_of_list("stir\n", 1.0, line, sizeof line);
    assert_string_equal(line, "");
}

static void long_words_and_units_are_wrapped(void **state)
{
    (void)state;
    char *text = NULL;
    size_t size = 0;
    struct text_style plain = {.width = 20};
    FILE *stream = open_memstream(&text, &size);
    text_print_wrapped(stream, &plain, "Name", 6, "holds about 12 kg of averyverylongwordindeed", 20, "ready");
    assert_int_equal(fclose(stream), 0);
    assert_string_equal(text, "Name  holds about     ready\n      12 kg of\n      averyverylongwordindeed\n");
    free(text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(story_is_told_as_expected),
        cmocka_unit_test(lines_fit_the_screen),
        cmocka_unit_test(failed_runs_are_told),
        cmocka_unit_test(runs_stopped_among_their_members_are_told_as_whole),
        cmocka_unit_test(control_characters_are_not_printed),
        cmocka_unit_test(missing_columns_are_borne),
        cmocka_unit_test(amounts_are_rounded_as_said),
        cmocka_unit_test(things_are_counted),
        cmocka_unit_test(shades_have_their_names),
        cmocka_unit_test(lists_give_their_items),
        cmocka_unit_test(long_words_and_units_are_wrapped),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
