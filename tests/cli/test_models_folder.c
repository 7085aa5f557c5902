/* test_models_folder.c: where models are looked up by a program that was packaged, with /proc and without. The file under test is
 * compiled in here, as for a package that installs them in the folder of the models. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "cli/models_folder.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static const char *program; /* that /proc tells of; NULL: it is not mounted */

ssize_t __wrap_readlink(const char *path, char *target, size_t size);
ssize_t __wrap_readlink(const char *path, char *target, size_t size)
{
    assert_string_equal(path, "/proc/self/exe");
    if (program == NULL) {
        return -1;
    }
    size_t length = strlen(program);
    assert_true(length < size);
    memcpy(target, program, length);
    return (ssize_t)length;
}

static void expect_found(const char *wanted)
{
    char path[4096];
    models_folder_find(path, sizeof path);
    assert_string_equal(path, wanted);
}

static void without_proc_the_installed_folder_is_found(void **state)
{
    (void)state;
    program = NULL;
    expect_found(MODELS_DIR);
}

static void the_folder_beside_the_program_goes_before_it(void **state)
{
    (void)state;
    static const char *const folders[] = {"", "/share", "/share/vatcast", "/share/vatcast/models"};
    const int count = sizeof folders / sizeof folders[0];
    char prefix[] = "vatcast-test-XXXXXX";
    char path[100];
    char named[100];
    assert_non_null(mkdtemp(prefix));
    for (int i = 1; i < count; i++) {
        (void)snprintf(path, sizeof path, "%s%s", prefix, folders[i]);
        assert_int_equal(mkdir(path, 0777), 0);
    }
    (void)snprintf(named, sizeof named, "%s/bin/vatcast", prefix);
    program = named;
    expect_found(path);
    for (int i = count - 1; i >= 0; i--) {
        (void)snprintf(path, sizeof path, "%s%s", prefix, folders[i]);
        assert_int_equal(rmdir(path), 0);
    }
}

static void what_is_not_there_is_passed_over(void **state)
{
    (void)state;
    program = "/nowhere/bin/vatcast";
    expect_found(MODELS_DIR);
    program = "vatcast"; /* no folder to be told from */
    expect_found(MODELS_DIR);
}

static void the_environment_goes_first(void **state)
{
    (void)state;
    program = NULL;
    assert_int_equal(setenv("VATCAST_MODELS", "/somewhere/else", 1), 0);
    expect_found("/somewhere/else");
    assert_int_equal(setenv("VATCAST_MODELS", "", 1), 0);
    expect_found(MODELS_DIR);
}

int main(void)
{
    if (unsetenv("VATCAST_MODELS") != 0) {
        return 2;
    }
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_proc_the_installed_folder_is_found),
        cmocka_unit_test(the_folder_beside_the_program_goes_before_it),
        cmocka_unit_test(what_is_not_there_is_passed_over),
        cmocka_unit_test(the_environment_goes_first),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
