/* test_settings.c: settings files as trees: what libconfig 1.5 would let pass or read wrongly, limits, includes.
 *
 * Each trap was seen by feeding the text to libconfig 1.5 itself; what it does is said beside each check.
 */
#include "base/complaints.h"
#include "scenario/prescan.h"
#include "scenario/settings.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

/* Writes bytes to a new file of its own and returns its path, to be removed by the caller. */
static const char *file_write(const char *bytes, size_t length)
{
    static char path[64];
    (void)snprintf(path, sizeof path, "settings-test-%ld.conf", (long)getpid());
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    assert_int_equal(fwrite(bytes, 1, length, file), length);
    assert_int_equal(fclose(file), 0);
    return path;
}

static struct document read_bytes(const char *bytes, size_t length, struct complaints *complaints)
{
    const char *path = file_write(bytes, length);
    struct document document;
    complaints_init(complaints);
    struct status status = document_read(path, &document, complaints);
    (void)remove(path);
    assert_int_equal(status.code, STATUS_OK);
    return document;
}

/* Reads a text that must be refused with a complaint that holds `words` on `line`. */
static void check_refused(const char *text, int line, const char *words)
{
    struct complaints complaints;
    struct document document = read_bytes(text, strlen(text), &complaints);
    if (document.parsed || complaints.count == 0 || complaints.items[0].line != line ||
        strstr(complaints.items[0].text, words) == NULL) {
        fail_msg("%.60s: parsed %d, %zu complaints, line %d: %s", text, document.parsed, complaints.count,
                 complaints.count > 0 ? complaints.items[0].line : 0,
                 complaints.count > 0 ? complaints.items[0].text : "");
    }
    document_free(&document);
    complaints_free(&complaints);
}

static struct document read_good(const char *text)
{
    struct complaints complaints;
    struct document document = read_bytes(text, strlen(text), &complaints);
    if (!document.parsed || complaints.count > 0) {
        fail_msg("%.60s: %s", text, complaints.count > 0 ? complaints.items[0].text : "not parsed");
    }
    complaints_free(&complaints);
    return document;
}

static void numbers(void **state)
{
    (void)state;
    /* 1.5: an integer read as a float gives 0, and (1, 2.5) gives 0 for its first entry */
    struct document document =
        read_good("a = 25;\nb = (1, 2.5);\nc = 3000000000L;\nd = 1e5; e = .5; f = -7; g = 010;\nh = 5.;\n");
    assert_true(setting_find(&document.root, "a")->number == 25);
    assert_true(setting_find(&document.root, "a")->whole);
    assert_true(setting_find(&document.root, "b")->items[0].number == 1);
    assert_true(setting_find(&document.root, "b")->items[1].number == 2.5);
    assert_false(setting_find(&document.root, "b")->items[1].whole);
    assert_true(setting_find(&document.root, "c")->number == 3e9);
    assert_true(setting_find(&document.root, "d")->number == 1e5);
    assert_true(setting_find(&document.root, "e")->number == 0.5);
    assert_true(setting_find(&document.root, "f")->number == -7);
    assert_true(setting_find(&document.root, "g")->number == 10); /* decimal, whatever the zero */
    assert_int_equal(setting_find(&document.root, "h")->line, 5);
    document_free(&document);
    check_refused("a = 1;\nb = 3000000000;\n", 2, "too large");    /* 1.5: -1294967296 in silence */
    check_refused("a = 2147483648;\n", 1, "too large");            /* 1.5: -2147483648 in silence */
    check_refused("a = 99999999999999999999;\n", 1, "too large");  /* 1.5: -1 in silence */
    check_refused("a = 1e999;\n", 1, "too large");                 /* 1.5: infinity in silence */
    check_refused("a = [1, 2.5, \"x\"];\n", 1, "different kinds"); /* 1.5: loses memory on the fault */
    check_refused("a = 25 C;\n", 1, "write \"25 C\"");             /* 1.5: "syntax error" */
    check_refused("a = 5%;\n", 1, "write \"5%\"");
    check_refused("a = 1_000;\n", 1, "without quotes");
    check_refused("a = 08:30;\n", 1, "write \"08:30\"");
    check_refused("a = 1.5e;\n", 1, "without quotes");
}

static void order_of_pieces(void **state)
{
    (void)state;
    check_refused("x = 3 y = 4\n", 1, "';' is missing before 'y'"); /* 1.5: accepted */
    check_refused("a = [1,2,];\n", 1, "a comma stands before ']'"); /* 1.5: "syntax error"; 1.7: accepted */
    check_refused("a = ( { b = 1; }, );\n", 1, "a comma stands before ')'");
    check_refused("a = 1;\na = 2;\n", 2, "second time");
    check_refused("a = ;\n", 1, "expected a value");
    check_refused("a 1;\n", 1, "'=' is missing after 'a'");
    check_refused("a = 1;;\n", 1, "expected KEY = VALUE");
    check_refused("a = ( 1; 2 );\n", 1, "a comma or the closing bracket");
    check_refused("a = ( b = 2 );\n", 1, "cannot stand here");
    check_refused("a = { 3 };\n", 1, "expected KEY = VALUE");
    check_refused("= 3;\n", 1, "expected KEY = VALUE");
    check_refused("a = ", 1, "not finished");
    check_refused("a = loose;\n", 1, "write \"loose\"");
    check_refused("a = TRUE;\n", 1, "without quotes");
    struct document document = read_good("a = 1\nb : { c = true, d = \"x\" \"y\"; }\nTemp = 1; temp = 2;\r\n");
    assert_string_equal(setting_find(setting_find(&document.root, "b"), "d")->text, "xy");
    assert_true(setting_find(setting_find(&document.root, "b"), "c")->flag);
    assert_true(setting_find(&document.root, "Temp")->number == 1); /* two keys, told apart by case */
    document_free(&document);
}

static void bytes(void **state)
{
    (void)state;
    check_refused("a = 1;\n/* b = 2;\nc = 3;\n", 2, "not closed"); /* 1.5: the rest is dropped in silence */
    check_refused("a = \"x;\nb = 2;\n", 1, "not closed");
    check_refused("\xef\xbb\xbf"
                  "a = 1;\n",
                  1, "byte order mark");
    check_refused("a = \"\xff\";\n", 1, "UTF-8");
    check_refused("a = \"\xc0\xaf\";\n", 1, "UTF-8"); /* an overlong form */
    check_refused("a = \xe2\x80\x9cx\xe2\x80\x9d;\n", 1, "straight quotes");
    struct complaints complaints;
    static const char nul[] = "a = 1;\nb = \0;\n"; /* 1.5: the rest is dropped, or the read fails */
    struct document document = read_bytes(nul, sizeof nul - 1, &complaints);
    assert_false(document.parsed);
    assert_int_equal(complaints.count, 1);
    assert_int_equal(complaints.items[0].line, 2);
    document_free(&document);
    complaints_free(&complaints);
    document = read_good("a = \"caf\xc3\xa9, 45 \xc2\xb0\x43 # no comment\"; # a comment with { and \"\n// another "
                         ")\n/* and\n @include \"x\" */ b = 2;\n");
    assert_string_equal(setting_find(&document.root, "a")->text, "caf\xc3\xa9, 45 \xc2\xb0\x43 # no comment");
    assert_int_equal(setting_find(&document.root, "b")->line, 4);
    document_free(&document);
    document = read_good("");
    assert_int_equal(document.root.count, 0);
    document_free(&document);
}

/* A text made of `count` times `piece` between `before` and `after`; freed by the caller. */
static char *repeated(const char *before, const char *piece, size_t count, const char *after)
{
    size_t size = strlen(before) + count * strlen(piece) + strlen(after) + 1;
    char *text = malloc(size);
    assert_non_null(text);
    (void)strcpy(text, before);
    char *at = text + strlen(before);
    for (size_t i = 0; i < count; i++) {
        memcpy(at, piece, strlen(piece));
        at += strlen(piece);
    }
    (void)strcpy(at, after);
    return text;
}

static void limits(void **state)
{
    (void)state;
    char *text = repeated("a = ", "(", NESTING_MOST + 1, "1"); /* 1.5: "memory exhausted" some thousands deep */
    check_refused(text, 1, "nested more than");
    free(text);
    text = repeated("a = ( 0", ", 1", SETTINGS_MOST, " );");
    check_refused(text, 1, "more than 12000 settings");
    free(text);
    text = repeated("a = ( 0", ", 1", SETTINGS_MOST - 2, " );");
    struct document document = read_good(text);
    assert_int_equal(setting_find(&document.root, "a")->count, SETTINGS_MOST - 1);
    document_free(&document);
    free(text);
    text = repeated("# ", "long ", FILE_BYTES_MOST / 5, "\na = 1;\n");
    check_refused(text, 0, "at most 256 KiB");
    free(text);
}

static void overrides_as_libconfig(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        enum setting_type type;
    } values[] = {
        {"45 degC", SETTING_TEXT},  {"\"45 degC\"", SETTING_TEXT},    {"8.1", SETTING_NUMBER},
        {"true", SETTING_FLAG},     {"loose", SETTING_TEXT},          {"2026-05-04", SETTING_TEXT},
        {"( 1, 2 )", SETTING_LIST}, {"{ a = 1; }", SETTING_GROUP},    {"3; b = 4", SETTING_TEXT},
        {"", SETTING_TEXT},         {"@include \"x\"", SETTING_TEXT}, {"{", SETTING_TEXT},
    };
    for (size_t i = 0; i < sizeof values / sizeof values[0]; i++) {
        struct setting item = {0};
        struct status status = setting_from_text(values[i].text, 3, &item);
        assert_int_equal(status.code, STATUS_OK);
        if (item.type != values[i].type) {
            fail_msg("'%s' is taken as %s", values[i].text, setting_type_words(item.type));
        }
        assert_string_equal(item.file, OVERRIDE_FILE);
        assert_int_equal(item.line, 3);
        setting_free(&item);
    }
}

static void includes(void **state)
{
    (void)state;
    struct document document;
    struct complaints complaints;
    complaints_init(&complaints);
    struct status status = document_read(TESTS_DATA "/with-include.conf", &document, &complaints);
    assert_int_equal(status.code, STATUS_OK);
    assert_int_equal(complaints.count, 0);
    const struct setting *inside = setting_find(&document.root, "inside");
    const struct setting *after = setting_find(&document.root, "after");
    assert_non_null(inside);
    assert_non_null(after);
    assert_int_equal(inside->line, 2);
    assert_non_null(strstr(inside->file, "included/inside.inc"));
    assert_int_equal(after->line, 4);
    assert_non_null(strstr(after->file, "with-include.conf"));
    document_free(&document);
    complaints_free(&complaints);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers), cmocka_unit_test(order_of_pieces), cmocka_unit_test(bytes),
        cmocka_unit_test(limits),  cmocka_unit_test(includes),        cmocka_unit_test(overrides_as_libconfig),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
