/* test_status.c: messages of failures: kept whole when they fit, cut safely when they do not. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "base/status.h"

#include <string.h>

static void success_is_empty(void **state)
{
    (void)state;
    struct status status = status_ok();
    assert_true(status_is_ok(&status));
    assert_string_equal(status.message, "");
}

static void failure_keeps_code_and_words(void **state)
{
    (void)state;
    struct status status = status_fail(STATUS_IO, "cannot open '%s'; is there such a file", "a.conf");
    assert_false(status_is_ok(&status));
    assert_int_equal(status.code, STATUS_IO);
    assert_string_equal(status.message, "cannot open 'a.conf'; is there such a file");
}

static void context_goes_before(void **state)
{
    (void)state;
    struct status status = status_context(status_fail(STATUS_NUMERIC, "no pH balances"), "at day %d", 3);
    assert_int_equal(status.code, STATUS_NUMERIC);
    assert_string_equal(status.message, "at day 3: no pH balances");
}

static void long_words_are_cut(void **state)
{
    (void)state;
    char words[3 * STATUS_MESSAGE_SIZE];
    memset(words, 'w', sizeof words - 1);
    words[sizeof words - 1] = '\0';
    struct status status = status_fail(STATUS_BUG, "%s", words);
    assert_int_equal(strlen(status.message), STATUS_MESSAGE_SIZE - 1);
    status = status_context(status, "%s", words);
    assert_in_range(strlen(status.message), STATUS_MESSAGE_SIZE / 2, STATUS_MESSAGE_SIZE - 1);
}

static struct status fails_when(int number, int bad, int *reached)
{
    RETURN_IF_FAILED(number == bad ? status_fail(STATUS_LIMIT, "number %d", number) : status_ok());
    *reached = number;
    return status_ok();
}

static void failure_returns_at_once(void **state)
{
    (void)state;
    int reached = 0;
    struct status status = fails_when(1, 2, &reached);
    assert_int_equal(status.code, STATUS_OK);
    assert_int_equal(reached, 1);
    status = fails_when(2, 2, &reached);
    assert_int_equal(status.code, STATUS_LIMIT);
    assert_int_equal(reached, 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(success_is_empty),        cmocka_unit_test(failure_keeps_code_and_words),
        cmocka_unit_test(context_goes_before),     cmocka_unit_test(long_words_are_cut),
        cmocka_unit_test(failure_returns_at_once),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
