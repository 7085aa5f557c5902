/* test_guard.c: what goes wrong in the child stays there. */
#include "record/guard.h"

#include <setjmp.h>
#include <signal.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <unistd.h>

#include <cmocka.h>

static struct status goes_well(const char *path)
{
    return strcmp(path, "a file") == 0 ? status_ok() : status_fail(STATUS_BUG, "another path");
}

static struct status refuses(const char *path)
{
    return status_fail(STATUS_IO, "'%s' is no result", path);
}

static struct status crashes(const char *path)
{
    (void)path;
    (void)signal(SIGSEGV, SIG_DFL);
    (void)raise(SIGSEGV);
    return status_ok();
}

static struct status ends_early(const char *path)
{
    (void)path;
    _exit(0);
}

/* As a library that goes round in circles, with its time all but used up. */
static struct status hangs(const char *path)
{
    (void)path;
    struct rlimit soon = {.rlim_cur = 1, .rlim_max = 1};
    (void)setrlimit(RLIMIT_CPU, &soon);
    for (volatile unsigned i = 0; i < 0xffffffffu; i++) {
        i = i % 1000;
    }
    return status_ok();
}

static struct status is_short_of_memory(const char *path)
{
    (void)path;
    return status_fail(STATUS_MEMORY, "no memory left");
}

static void the_childs_answer_comes_through(void **state)
{
    (void)state;
    struct status status = guard_try(goes_well, "a file");
    assert_int_equal(status.code, STATUS_OK);
    assert_string_equal(status.message, "");
    status = guard_try(refuses, "a file");
    assert_int_equal(status.code, STATUS_IO);
    assert_string_equal(status.message, "'a file' is no result");
}

static void breakdowns_become_refusals(void **state)
{
    (void)state;
    struct status status = guard_try(crashes, "a file");
    assert_int_equal(status.code, STATUS_IO);
    assert_non_null(strstr(status.message, "breaks down"));
    status = guard_try(ends_early, "a file");
    assert_int_equal(status.code, STATUS_IO);
    status = guard_try(hangs, "a file");
    assert_int_equal(status.code, STATUS_LIMIT);
    assert_non_null(strstr(status.message, "longer than"));
    status = guard_try(is_short_of_memory, "a file");
    assert_int_equal(status.code, STATUS_LIMIT);
}

/* A parent that reaps its children on its own, or has no handler, hears the same. */
static void an_absent_child_is_no_matter(void **state)
{
    (void)state;
    (void)signal(SIGCHLD, SIG_IGN);
    struct status status = guard_try(goes_well, "a file");
    assert_int_equal(status.code, STATUS_OK);
    status = guard_try(crashes, "a file");
    assert_int_equal(status.code, STATUS_IO);
    (void)signal(SIGCHLD, SIG_DFL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_childs_answer_comes_through),
        cmocka_unit_test(breakdowns_become_refusals),
        cmocka_unit_test(an_absent_child_is_no_matter),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
