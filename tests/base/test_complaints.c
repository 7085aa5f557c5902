/* test_complaints.c: the list of complaints: kept, ordered, and bounded. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "base/complaints.h"

#include <string.h>

static void starts_empty(void **state)
{
    (void)state;
    struct complaints complaints;
    complaints_init(&complaints);
    assert_int_equal(complaints.count, 0);
    complaints_sort(&complaints);
    complaints_free(&complaints);
    complaints_free(&complaints);
}

static void sorts_by_line_within_a_file(void **state)
{
    (void)state;
    struct complaints complaints;
    complaints_init(&complaints);
    complaints_add(&complaints, "b.conf", 9, "first");
    complaints_add(&complaints, "b.conf", 2, "second");
    complaints_add(&complaints, "b.conf", 9, "third");
    complaints_add(&complaints, "a.conf", 5, "fourth of %d", 4);
    complaints_sort(&complaints);
    const char *expected[] = {"second", "first", "third", "fourth of 4"};
    assert_int_equal(complaints.count, 4);
    for (size_t i = 0; i < 4; i++) {
        assert_string_equal(complaints.items[i].text, expected[i]);
    }
    assert_string_equal(complaints.items[3].file, "a.conf");
    assert_int_equal(complaints.items[3].line, 5);
    complaints_free(&complaints);
}

/* The header promises the order in which files were first met, whatever the order in which their complaints came. */
static void keeps_a_file_together(void **state)
{
    (void)state;
    struct complaints complaints;
    complaints_init(&complaints);
    complaints_add(&complaints, "b.conf", 7, "one");
    complaints_add(&complaints, "a.conf", 3, "two");
    complaints_add(&complaints, "b.conf", 1, "three");
    complaints_add(&complaints, "a.conf", 1, "four");
    complaints_sort(&complaints);
    const char *expected[] = {"three", "one", "four", "two"};
    for (size_t i = 0; i < 4; i++) {
        assert_string_equal(complaints.items[i].text, expected[i]);
    }
    complaints_free(&complaints);
}

static void counts_what_it_does_not_keep(void **state)
{
    (void)state;
    struct complaints complaints;
    complaints_init(&complaints);
    for (int i = 0; i < COMPLAINTS_MOST + 25; i++) {
        complaints_add(&complaints, "a.conf", i + 1, "number %d", i);
    }
    assert_int_equal(complaints.count, COMPLAINTS_MOST);
    assert_int_equal(complaints.dropped, 25);
    complaints_free(&complaints);
}

static void long_words_are_cut(void **state)
{
    (void)state;
    char words[2000];
    memset(words, 'w', sizeof words - 1);
    words[sizeof words - 1] = '\0';
    struct complaints complaints;
    complaints_init(&complaints);
    complaints_add(&complaints, words, 1, "%s", words);
    assert_int_equal(strlen(complaints.items[0].text), COMPLAINT_TEXT_SIZE - 1);
    assert_int_equal(strlen(complaints.items[0].file), sizeof complaints.items[0].file - 1);
    complaints_free(&complaints);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(starts_empty),          cmocka_unit_test(sorts_by_line_within_a_file),
        cmocka_unit_test(keeps_a_file_together), cmocka_unit_test(counts_what_it_does_not_keep),
        cmocka_unit_test(long_words_are_cut),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
