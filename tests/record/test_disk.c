/* test_disk.c: which errors of fsync and of locking are forgiven, and that both journals go by that. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "record/disk.h"
#include "record/journal.h"
#include "record/scratch.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

static struct {
    int sync_error, lock_error; /* 0: the real call */
    int signals;                /* EINTR so often before that */
} plan;

static bool fails(int error)
{
    if (plan.signals > 0) {
        plan.signals--;
        errno = EINTR;
        return true;
    }
    errno = error;
    return error != 0;
}

int __real_fsync(int file);
int __wrap_fsync(int file);
int __wrap_fsync(int file)
{
    return fails(plan.sync_error) ? -1 : __real_fsync(file);
}

int __real_fcntl(int file, int command, ...);
int __wrap_fcntl(int file, int command, ...);
int __wrap_fcntl(int file, int command, ...)
{
    va_list more;
    va_start(more, command);
    void *argument = va_arg(more, void *);
    va_end(more);
    /* A build that counts lines locks its files in another way, at the end. */
    return command == F_SETLK && fails(plan.lock_error) ? -1 : __real_fcntl(file, command, argument);
}

/* An open file in a folder of its own. */
static int open_scratch(char folder[SCRATCH_PATH])
{
    char path[SCRATCH_PATH + 8];
    scratch_make(folder);
    (void)snprintf(path, sizeof path, "%s/file", folder);
    int file = open(path, O_RDWR | O_CREAT | O_CLOEXEC, 0600);
    assert_true(file >= 0);
    return file;
}

static void errors_of_syncing(void **state)
{
    (void)state;
    static const struct {
        int error;
        bool forgiven;
    } cases[] = {{0, true},    {EINVAL, true}, {EROFS, false},  {ENOTSUP, true},
                 {EIO, false}, {EBADF, false}, {ENOSPC, false}, {EDQUOT, false}};
    char folder[SCRATCH_PATH];
    int file = open_scratch(folder);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        plan.sync_error = cases[i].error;
        plan.signals = (int)i % 3;
        assert_int_equal(disk_sync(file), cases[i].forgiven);
        assert_true(cases[i].forgiven || errno == cases[i].error);
        assert_int_equal(plan.signals, 0);
    }
    plan.sync_error = 0;
    assert_int_equal(close(file), 0);
    scratch_remove(folder);
}

static void errors_of_locking(void **state)
{
    (void)state;
    static const struct {
        int error;
        enum disk_lock lock;
    } cases[] = {{0, DISK_LOCKED},           {EAGAIN, DISK_LOCKED_BY_OTHERS}, {EACCES, DISK_LOCKED_BY_OTHERS},
                 {ENOLCK, DISK_LOCKED},      {EINVAL, DISK_LOCKED},           {ENOSYS, DISK_LOCKED},
                 {ENOTSUP, DISK_LOCKED},     {EBADF, DISK_LOCK_FAILED},       {EIO, DISK_LOCK_FAILED},
                 {EDEADLK, DISK_LOCK_FAILED}};
    char folder[SCRATCH_PATH];
    int file = open_scratch(folder);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        plan.lock_error = cases[i].error;
        plan.signals = (int)i % 3;
        assert_int_equal(disk_lock(file), cases[i].lock);
        assert_true(cases[i].lock != DISK_LOCK_FAILED || errno == cases[i].error);
        assert_int_equal(plan.signals, 0);
    }
    plan.lock_error = 0;
    assert_int_equal(close(file), 0);
    scratch_remove(folder);
}

static void a_lock_keeps_other_processes_out(void **state)
{
    (void)state;
    char folder[SCRATCH_PATH];
    char path[SCRATCH_PATH + 8];
    int how = 0;
    scratch_make(folder);
    (void)snprintf(path, sizeof path, "%s/file", folder);
    int file = open(path, O_RDWR | O_CREAT | O_CLOEXEC, 0600);
    assert_int_equal(disk_lock(file), DISK_LOCKED);
    pid_t child = fork();
    if (child == 0) {
        int again = open(path, O_RDWR | O_CLOEXEC);
        _exit(again >= 0 && disk_lock(again) == DISK_LOCKED_BY_OTHERS ? 0 : 1);
    }
    assert_true(waitpid(child, &how, 0) == child && WIFEXITED(how) && WEXITSTATUS(how) == 0);
    assert_int_equal(close(file), 0);
    scratch_remove(folder);
}

/* Closes a journal whose syncing fails; the status. */
static struct status close_with(int error, bool to_read)
{
    char folder[SCRATCH_PATH];
    char path[SCRATCH_PATH + 8];
    struct journal *journal;
    const double row = 1.0;
    scratch_make(folder);
    (void)snprintf(path, sizeof path, "%s/part", folder);
    struct status status = journal_open(path, "{}", 0, 2, 1, false, &journal);
    assert_true(status_is_ok(&status));
    status = journal_append(journal, &row);
    assert_true(status_is_ok(&status));
    if (to_read) {
        status = journal_close(journal);
        assert_true(status_is_ok(&status));
        status = journal_open_to_read(path, &journal);
        assert_true(status_is_ok(&status));
    }
    plan.sync_error = error;
    status = journal_close(journal);
    plan.sync_error = 0;
    scratch_remove(folder);
    return status;
}

static void journals_go_by_that(void **state)
{
    (void)state;
    assert_int_equal(close_with(0, false).code, STATUS_OK);
    assert_int_equal(close_with(EINVAL, false).code, STATUS_OK);
    assert_int_equal(close_with(EIO, false).code, STATUS_IO);
    assert_int_equal(close_with(EIO, true).code, STATUS_OK); /* what was only read has nothing to lose */
}

static void a_journal_that_cannot_be_locked_is_not_opened(void **state)
{
    (void)state;
    char folder[SCRATCH_PATH];
    char path[SCRATCH_PATH + 8];
    struct journal *journal;
    scratch_make(folder);
    (void)snprintf(path, sizeof path, "%s/part", folder);
    plan.lock_error = EIO;
    struct status status = journal_open(path, "{}", 0, 2, 1, false, &journal);
    assert_int_equal(status.code, STATUS_IO);
    assert_non_null(strstr(status.message, "could not be locked"));
    plan.lock_error = EAGAIN;
    status = journal_open(path, "{}", 0, 2, 1, false, &journal);
    assert_non_null(strstr(status.message, "another sweep"));
    plan.lock_error = ENOLCK;
    status = journal_open(path, "{}", 0, 2, 1, false, &journal);
    assert_true(status_is_ok(&status));
    plan.lock_error = 0;
    status = journal_close(journal);
    assert_true(status_is_ok(&status));
    scratch_remove(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(errors_of_syncing),
        cmocka_unit_test(errors_of_locking),
        cmocka_unit_test(a_lock_keeps_other_processes_out),
        cmocka_unit_test(journals_go_by_that),
        cmocka_unit_test(a_journal_that_cannot_be_locked_is_not_opened),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
