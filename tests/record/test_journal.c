/* test_journal.c: rows outlive the program; what is cut short, damaged, foreign or another's is noticed. */
#include "record/journal.h"

#include "record/scratch.h"
#include "support/close.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define WIDTH 5
#define HEADING "{\"runs\":8}"
#define HEAD_SIZE (16 + 5 * 8)
#define ROWS_FROM (HEAD_SIZE + sizeof HEADING - 1 + 8)
#define ROW_SIZE ((WIDTH + 1) * 8)

static char folder[SCRATCH_PATH];
static char path[SCRATCH_PATH + 16];

static int make_folder(void **state)
{
    (void)state;
    scratch_make(folder);
    (void)snprintf(path, sizeof path, "%s/journal", folder);
    return 0;
}

static int remove_folder(void **state)
{
    (void)state;
    scratch_remove(folder);
    return 0;
}

static void good(struct status status)
{
    if (!status_is_ok(&status)) {
        fail_msg("%s", status.message);
    }
}

static void append_rows(struct journal *journal, int from, int count)
{
    for (int i = from; i < from + count; i++) {
        double row[WIDTH] = {i, i + 0.25, -i, NAN, 1e300 * i};
        good(journal_append(journal, row));
    }
}

static void check_rows(const struct journal *journal, int count)
{
    assert_int_equal(journal_rows(journal), count);
    for (int i = 0; i < count; i++) {
        double row[WIDTH];
        double one;
        good(journal_read(journal, (size_t)i, 0, WIDTH, row));
        assert_true(row[0] == i && row[1] == i + 0.25 && isnan(row[3]) && row[4] == 1e300 * i);
        good(journal_read(journal, (size_t)i, 2, 1, &one));
        assert_true(one == -i);
    }
}

static void make_journal(int rows)
{
    struct journal *journal;
    good(journal_open(path, HEADING, 8, 8, WIDTH, false, &journal));
    append_rows(journal, 0, rows);
    good(journal_close(journal));
}

static void rows_are_there_when_opened_again(void **state)
{
    (void)state;
    struct journal *journal;
    make_journal(3);
    good(journal_open(path, HEADING, 8, 8, WIDTH, false, &journal));
    check_rows(journal, 3);
    append_rows(journal, 3, 5);
    double row[WIDTH] = {0};
    assert_int_equal(journal_append(journal, row).code, STATUS_BUG); /* it is for eight */
    good(journal_close(journal));
    good(journal_open_to_read(path, &journal));
    assert_string_equal(journal_heading(journal), HEADING);
    assert_int_equal(journal_first(journal), 8);
    assert_int_equal(journal_count(journal), 8);
    assert_int_equal(journal_width(journal), WIDTH);
    check_rows(journal, 8);
    assert_int_equal(journal_read(journal, 8, 0, 1, row).code, STATUS_BUG);
    assert_int_equal(journal_read(journal, 0, 4, 2, row).code, STATUS_BUG);
    good(journal_close(journal));
}

/* Cut at every byte: never a wrong row, never fewer than were whole. */
static void whatever_is_cut_short_is_gone_on_with(void **state)
{
    (void)state;
    size_t size;
    make_journal(3);
    char *bytes = scratch_read(path, &size);
    assert_non_null(bytes);
    assert_int_equal(size, ROWS_FROM + 3 * ROW_SIZE);
    for (size_t cut = ROWS_FROM; cut <= size; cut++) {
        struct journal *journal;
        scratch_write(path, bytes, cut);
        good(journal_open(path, HEADING, 8, 8, WIDTH, false, &journal));
        int whole = (int)((cut - ROWS_FROM) / ROW_SIZE);
        check_rows(journal, whole);
        append_rows(journal, whole, 3 - whole);
        good(journal_close(journal));
        size_t again;
        char *now = scratch_read(path, &again);
        assert_int_equal(again, size);
        assert_memory_equal(now, bytes, size);
        free(now);
    }
    for (size_t cut = 1; cut < ROWS_FROM; cut++) { /* in the head: refused, and begun anew when so told */
        struct journal *journal;
        scratch_write(path, bytes, cut);
        assert_int_equal(journal_open(path, HEADING, 8, 8, WIDTH, false, &journal).code, STATUS_IO);
        assert_null(journal);
        assert_int_equal(journal_open_to_read(path, &journal).code, STATUS_IO);
    }
    free(bytes);
}

/* What could not be read again is not begun. */
static void what_is_too_large_is_refused_in_words(void **state)
{
    (void)state;
    struct journal *journal;
    (void)unlink(path);
    char *heading = malloc(JOURNAL_HEADING_MOST + 2);
    assert_non_null(heading);
    memset(heading, 'x', JOURNAL_HEADING_MOST + 1);
    heading[JOURNAL_HEADING_MOST + 1] = '\0';
    struct status status = journal_open(path, heading, 0, 8, WIDTH, false, &journal);
    assert_int_equal(status.code, STATUS_LIMIT);
    assert_non_null(strstr(status.message, "a heading of 6291457 bytes"));
    assert_null(journal);
    static const size_t widths[] = {JOURNAL_WIDTH_MOST + 1, 0};
    for (int i = 0; i < 2; i++) {
        status = journal_open(path, HEADING, 0, 8, widths[i], false, &journal);
        assert_int_equal(status.code, STATUS_LIMIT);
        assert_non_null(strstr(status.message, "numbers in a row"));
        assert_null(journal);
    }
    assert_int_equal(access(path, F_OK), -1);
    heading[JOURNAL_HEADING_MOST] = '\0'; /* the largest there may be is taken, and read again */
    good(journal_open(path, heading, 0, 8, JOURNAL_WIDTH_MOST, false, &journal));
    good(journal_close(journal));
    good(journal_open_to_read(path, &journal));
    assert_string_equal(journal_heading(journal), heading);
    good(journal_close(journal));
    free(heading);
}

static void any_changed_byte_is_noticed(void **state)
{
    (void)state;
    size_t size;
    make_journal(3);
    char *bytes = scratch_read(path, &size);
    for (size_t i = 0; i < size; i++) {
        struct journal *journal;
        bytes[i] ^= 0x10;
        scratch_write(path, bytes, size);
        bytes[i] ^= 0x10;
        struct status status = journal_open_to_read(path, &journal);
        bool said = i >= 24 && i < HEAD_SIZE - 8; /* first, count, width: for the reader of the heading to judge */
        if (!status_is_ok(&status)) {
            assert_int_equal(status.code, i >= ROWS_FROM ? 0 : STATUS_IO);
            continue;
        }
        if (i >= ROWS_FROM) {
            assert_int_equal(journal_rows(journal), (i - ROWS_FROM) / ROW_SIZE); /* up to the damaged row */
        } else if (!said) {
            fail_msg("the changed byte %zu was not noticed", i);
        }
        good(journal_close(journal));
    }
    free(bytes);
}

static void another_sweep_is_not_overwritten(void **state)
{
    (void)state;
    struct journal *journal;
    make_journal(3);
    struct status status = journal_open(path, "{\"runs\":9}", 8, 8, WIDTH, false, &journal);
    assert_int_equal(status.code, STATUS_IO);
    assert_non_null(strstr(status.message, "was left by another sweep"));
    assert_int_equal(journal_open(path, HEADING, 0, 8, WIDTH, false, &journal).code, STATUS_IO);
    assert_int_equal(journal_open(path, HEADING, 8, 8, WIDTH + 1, false, &journal).code, STATUS_IO);
    good(journal_open_to_read(path, &journal));
    check_rows(journal, 3);
    good(journal_close(journal));
    good(journal_open(path, "{\"runs\":9}", 8, 8, WIDTH, true, &journal));
    assert_int_equal(journal_rows(journal), 0);
    good(journal_close(journal));
    scratch_write(path, "something else altogether, and long enough to look like a head of a journal", 75);
    assert_int_equal(journal_open(path, HEADING, 8, 8, WIDTH, false, &journal).code, STATUS_IO);
    assert_int_equal(journal_open_to_read(path, &journal).code, STATUS_IO);
    (void)snprintf(path, sizeof path, "%s/none/there", folder);
    assert_int_equal(journal_open(path, HEADING, 8, 8, WIDTH, false, &journal).code, STATUS_IO);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(rows_are_there_when_opened_again, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(whatever_is_cut_short_is_gone_on_with, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(what_is_too_large_is_refused_in_words, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(any_changed_byte_is_noticed, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(another_sweep_is_not_overwritten, make_folder, remove_folder),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
