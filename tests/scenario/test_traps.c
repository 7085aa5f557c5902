/* test_traps.c: what libconfig 1.5 takes in silence, or answers with no more than "syntax error", and what is said here.
 *
 * What libconfig itself makes of each text was seen with Debian's 1.5-0.4; later versions differ, the answer here does not.
 */
#include "scenario/settings.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

static char path[64];

static void text_write(const char *text, size_t length)
{
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    assert_int_equal(fwrite(text, 1, length, file), length);
    assert_int_equal(fclose(file), 0);
}

static int path_make(void **state)
{
    (void)state;
    (void)snprintf(path, sizeof path, "traps-%ld.conf", (long)getpid());
    return 0;
}

static int path_remove(void **state)
{
    (void)state;
    return unlink(path);
}

/* Texts that are refused, each with a part of what is said and the line that it is said of. */
static const struct {
    const char *trap; /* what libconfig would do */
    const char *text;
    int line;
    const char *said;
} refused[] = {
    {"wraps to -1294967296", "a = 1;\nseed = 3000000000;\n", 2, "3000000000 is too large; write it as 3.0"},
    {"becomes -1", "seed = 99999999999999999999;\n", 1, "is too large; write it as 1.0000000000e+20"},
    {"becomes the largest of 64 bits", "seed = 99999999999999999999L;\n", 1, "is too large"},
    {"is cut to 32 bits", "seed = 0xFFFFFFFFFF;\n", 1, "0xFFFFFFFFFF is not decimal; write it as 1.0995"},
    {"is taken as 31", "seed = 0x1F;\n", 1, "0x1F is not decimal; write it as 31"},
    {"becomes infinite", "rtol = 1e999;\n", 1, "1e999 is too large"},
    {"syntax error", "rtol = nan;\n", 1, "nan stands without quotes; write \"nan\""},
    {"syntax error", "t = 25.0 C;\n", 1, "25.0 C stands without quotes; write \"25.0 C\""},
    {"syntax error", "t = 25 \xc2\xb0\x43;\n", 1, "stands without quotes"},
    {"syntax error", "t = 5%;\n", 1, "5% stands without quotes; write \"5%\""},
    {"syntax error", "t = 1_000;\n", 1, "1_000 stands without quotes"},
    {"syntax error", "t = 1.5e;\n", 1, "1.5e stands without quotes"},
    {"syntax error before 1.7", "t = [ 1, 2, ];\n", 1, "a comma stands before ']'"},
    {"mismatched element type", "t = [ 1, \"2\" ];\n", 1, "of different kinds"},
    {"error with its line", "a = 1;\nb = 2;\na = 3;\n", 3, "a key is given a second time"},
    {"is accepted", "a = 3 b = 4;\n", 1, "';' is missing before 'b'"},
    {"is accepted, and the rest dropped", "a = 1;\n/* b = 2;\nc = 3;\n", 2, "not closed; expected '*/'"},
    {"syntax error", "\xef\xbb\xbf""a = 1;\n", 1, "byte order mark"},
    {"is taken relative to the working folder", "@include \"../x.conf\"\n", 1, "cannot be included"},
    {"is opened wherever it is", "@include \"/etc/hostname\"\n", 1, "cannot be included"},
    {"nests ten deep before it stops", "\n@include \"%s\"\n", 2, "cannot be included"},
    {"makes a letter that steers the screen", "t = \"\\x1b[2J\";\n", 1, "'\\' stands before 'x' in a text"},
    {"cuts the text at its second letter", "t = \"a\\x00b\";\n", 1, "'\\' stands before 'x' in a text"},
    {"changes the path", "t = \"vats\\new.conf\";\n", 1, "'\\' stands before 'n' in a text"},
    {"is taken as it is", "t = \"\xc0\x80\";\n", 1, "not UTF-8"},
    {"is taken as it is", "t = \"\xe0\x80\x80\";\n", 1, "not UTF-8"},
    {"is taken as it is", "t = \"\xed\xa0\x80\";\n", 1, "not UTF-8"},
    {"is taken as it is", "t = \"\xf4\x90\x80\x80\";\n", 1, "not UTF-8"},
    {"steers some screens", "t = \"\xc2\x9b\x32J\";\n", 1, "a control character stands here"},
};

static void traps_are_refused_in_words(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof refused / sizeof refused[0]; i++) {
        char text[256];
        struct document document;
        struct complaints complaints;
        complaints_init(&complaints);
        const char *hole = strstr(refused[i].text, "%s"); /* for the file's own name */
        int length = hole == NULL ? snprintf(text, sizeof text, "%s", refused[i].text)
                                  : snprintf(text, sizeof text, "%.*s%s%s", (int)(hole - refused[i].text),
                                             refused[i].text, path, hole + 2);
        text_write(text, (size_t)length);
        struct status status = document_read(path, &document, &complaints);
        bool found = false;
        for (size_t c = 0; c < complaints.count; c++) {
            found = found ||
                    (strstr(complaints.items[c].text, refused[i].said) != NULL && complaints.items[c].line == refused[i].line);
        }
        if (status.code != STATUS_OK || document.parsed || !found) {
            fail_msg("trap %zu (libconfig: %s): not told '%s'; told '%s'", i, refused[i].trap, refused[i].said,
                     complaints.count > 0 ? complaints.items[0].text : "nothing");
        }
        document_free(&document);
        complaints_free(&complaints);
    }
}

static void a_null_byte_is_refused(void **state)
{
    (void)state;
    static const char text[] = "a = 1;\nb = \"x\0y\";\n";
    struct document document;
    struct complaints complaints;
    complaints_init(&complaints);
    text_write(text, sizeof text - 1);
    struct status status = document_read(path, &document, &complaints);
    assert_int_equal(status.code, STATUS_OK);
    assert_false(document.parsed);
    assert_int_equal(complaints.items[0].line, 2);
    assert_non_null(strstr(complaints.items[0].text, "a control character"));
    document_free(&document);
    complaints_free(&complaints);
}

/* Texts that read, and the number that `a` then is. */
static const struct {
    const char *trap;
    const char *text;
    double value;
} taken[] = {
    {"config_setting_get_float gives 0", "a = 25;\n", 25.0},
    {"the same in a list", "a = ( 1, 2.5 );\n", 1.0},
    {"fine", "a = 25.7;\n", 25.7},
    {"fine", "a = .5;\n", 0.5},
    {"fine", "a = 5.;\n", 5.0},
    {"fine", "a = +5.0;\n", 5.0},
    {"fine", "a = 1e5;\n", 1e5},
    {"fine", "a = 010;\n", 10.0},
    {"fine", "a = 9007199254740991L;\n", 9007199254740991.0},
    {"fine", "a = -2147483647;\r\nb = 1;\r\n", -2147483647.0},
    {"the rest of a closed comment stays", "/* ( \" */ a = 3; /* */\n", 3.0},
};

static void numbers_keep_their_values(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof taken / sizeof taken[0]; i++) {
        struct document document;
        struct complaints complaints;
        complaints_init(&complaints);
        text_write(taken[i].text, strlen(taken[i].text));
        struct status status = document_read(path, &document, &complaints);
        assert_int_equal(status.code, STATUS_OK);
        if (!document.parsed) {
            fail_msg("%s: '%s' is refused: %s", taken[i].trap, taken[i].text, complaints.items[0].text);
        }
        const struct setting *a = setting_find(&document.root, "a");
        assert_non_null(a);
        const struct setting *number = a->type == SETTING_LIST ? &a->items[0] : a;
        assert_int_equal(number->type, SETTING_NUMBER);
        if (number->number != taken[i].value) {
            fail_msg("%s: '%s' is %.17g", taken[i].trap, taken[i].text, number->number);
        }
        document_free(&document);
        complaints_free(&complaints);
    }
}

/* 25.7 where a whole number is wanted would be 25 with libconfig's own conversion; see the reader of `seed`. */
static void a_fraction_is_no_whole_number(void **state)
{
    (void)state;
    struct document document;
    struct complaints complaints;
    complaints_init(&complaints);
    text_write("a = 25.7;\nb = 25.0;\nc = 25;\n", 28);
    struct status status = document_read(path, &document, &complaints);
    assert_int_equal(status.code, STATUS_OK);
    assert_true(document.parsed);
    assert_false(setting_find(&document.root, "a")->whole);
    assert_false(setting_find(&document.root, "b")->whole);
    assert_true(setting_find(&document.root, "c")->whole);
    document_free(&document);
    complaints_free(&complaints);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(traps_are_refused_in_words, path_make, path_remove),
        cmocka_unit_test_setup_teardown(a_null_byte_is_refused, path_make, path_remove),
        cmocka_unit_test_setup_teardown(numbers_keep_their_values, path_make, path_remove),
        cmocka_unit_test_setup_teardown(a_fraction_is_no_whole_number, path_make, path_remove),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
