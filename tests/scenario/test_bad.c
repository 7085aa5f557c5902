/* test_bad.c: every wrong scenario of tests/bad gives exactly the complaints written beside it, and nothing else.
 *
 * NAME.expected holds the complaints of NAME.conf as `file:line: text`, the file without its folder.
 */
#include "base/complaints.h"
#include "scenario/read.h"

#include <dirent.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#define TEXT_SIZE 65536

static void complaints_write(const struct complaints *complaints, char *text, size_t size)
{
    size_t used = 0;
    text[0] = '\0';
    for (size_t i = 0; i < complaints->count && used < size; i++) {
        const struct complaint *complaint = &complaints->items[i];
        const char *slash = strrchr(complaint->file, '/');
        used += (size_t)snprintf(text + used, size - used, "%s:%d: %s\n", slash == NULL ? complaint->file : slash + 1,
                                 complaint->line, complaint->text);
    }
}

static void expected_read(const char *path, char *text, size_t size)
{
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        fail_msg("%s is missing", path);
        return;
    }
    size_t length = fread(text, 1, size - 1, file);
    text[length] = '\0';
    (void)fclose(file);
}

/* Reads one wrong scenario; true when its complaints are as expected. */
static bool case_holds(const char *name, size_t stem)
{
    static char told[TEXT_SIZE];
    static char expected[TEXT_SIZE];
    char path[1024];
    (void)snprintf(path, sizeof path, "%s/bad/%s", TESTS_DIR, name);
    struct scenario scenario;
    struct complaints complaints;
    complaints_init(&complaints);
    struct status status = scenario_read(path, NULL, 0, NULL, MODELS_DIR, &scenario, &complaints);
    complaints_write(&complaints, told, sizeof told);
    complaints_free(&complaints);
    bool zeroed = scenario.event_count == 0 && scenario.events == NULL && scenario.scenario_text == NULL;
    scenario_free(&scenario);
    (void)snprintf(path, sizeof path, "%s/bad/%.*s.expected", TESTS_DIR, (int)stem, name);
    expected_read(path, expected, sizeof expected);
    if (status.code != STATUS_SCENARIO || strcmp(told, expected) != 0 || expected[0] == '\0' || !zeroed) {
        print_error("%s: status %d; told\n%sexpected\n%s", name, (int)status.code, told, expected);
        return false;
    }
    return true;
}

static void all_bad_scenarios(void **state)
{
    (void)state;
    DIR *folder = opendir(TESTS_DIR "/bad");
    assert_non_null(folder);
    int count = 0;
    int failed = 0;
    for (struct dirent *entry = readdir(folder); entry != NULL; entry = readdir(folder)) {
        size_t length = strlen(entry->d_name);
        if (length > 5 && strcmp(entry->d_name + length - 5, ".conf") == 0) {
            count++;
            failed += case_holds(entry->d_name, length - 5) ? 0 : 1;
        }
    }
    (void)closedir(folder);
    print_message("%d wrong scenarios, %d not as expected\n", count, failed);
    assert_int_equal(failed, 0);
    assert_true(count >= 100); /* 40 at the least are asked for; fewer than 100 means that some were lost */
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(all_bad_scenarios)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
