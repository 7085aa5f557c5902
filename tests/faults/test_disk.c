/* test_disk.c: open, write, fsync, close, link, rename and unlink fail, or the program is killed at them, while a result is
 * put in place.
 *
 * Promised (record.h): on failure nothing is left behind and an older file stays as it was; whatever happens, the final
 * name holds the whole old file or the whole new one, or nothing where there was nothing; what a kill leaves is a hidden
 * file of a name that can be told, and in nobody's way.
 */
#include "faults/faults.h"

#include "record/publish.h"
#include "record/scratch.h"

#include <dirent.h>
#include <errno.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#define OLD "the older result, which is precious"
#define NEW_SIZE ((size_t)300000)

static struct {
    char folder[SCRATCH_PATH];
    char path[SCRATCH_PATH + 32];
    char *bytes;
    size_t points, kills, wrong;
} all;

enum found { FOUND_NOTHING, FOUND_OLD, FOUND_NEW, FOUND_OTHER };

static enum found what_is_there(void)
{
    size_t size = 0;
    char *bytes = scratch_read(all.path, &size);
    enum found found = bytes == NULL                                                      ? FOUND_NOTHING
                       : size == strlen(OLD) && memcmp(bytes, OLD, size) == 0             ? FOUND_OLD
                       : size == NEW_SIZE && memcmp(bytes, all.bytes, size) == 0          ? FOUND_NEW
                                                                                          : FOUND_OTHER;
    free(bytes);
    return found;
}

/* Files other than the result; one that could be taken for a result counts as wrong. Removes them. */
static size_t leftovers(bool *recognisable)
{
    size_t count = 0;
    DIR *folder = opendir(all.folder);
    *recognisable = folder != NULL;
    for (struct dirent *entry = folder == NULL ? NULL : readdir(folder); entry != NULL; entry = readdir(folder)) {
        const char *name = entry->d_name;
        if (strcmp(name, ".") == 0 || strcmp(name, "..") == 0 || strcmp(name, "result.h5") == 0) {
            continue;
        }
        char path[SCRATCH_PATH + 300];
        size_t length = strlen(name);
        *recognisable = *recognisable && strncmp(name, ".result.h5.", 11) == 0 && strcmp(name + length - 4, ".tmp") == 0;
        (void)snprintf(path, sizeof path, "%s/%s", all.folder, name);
        (void)unlink(path);
        count++;
    }
    if (folder != NULL) {
        (void)closedir(folder);
    }
    return count;
}

static void lay_out(bool older)
{
    bool recognisable;
    (void)leftovers(&recognisable);
    (void)unlink(all.path);
    if (older) {
        scratch_write(all.path, OLD, strlen(OLD));
    }
}

static void check(bool holds, const char *what, enum fault_call call, size_t n, const char *how)
{
    if (!holds) {
        printf("%s %zu %s: %s\n", fault_call_names[call], n, how, what);
        all.wrong++;
    }
}

/* Number of calls of that sort while a result is put in place. */
static size_t calls_of(enum fault_call call, bool older)
{
    lay_out(older);
    fault_set(call, FAULT_ERROR, EIO, 0, false);
    struct status status = publish_bytes(all.path, all.bytes, NEW_SIZE, older);
    size_t calls = fault_calls();
    fault_clear();
    check(status_is_ok(&status) && what_is_there() == FOUND_NEW, "not written though nothing was wrong", call, 0, "");
    return calls;
}

/* After these the file is in its place or need not be: a link falls back to a rename; the folder is synced, and the
 * temporary name dropped, as well as may be. */
static bool may_go_on(enum fault_call call, size_t n, int error)
{
    return call == CALL_UNLINK || call == CALL_LINK || (call == CALL_WRITE && error == EINTR) ||
           ((call == CALL_OPEN || call == CALL_FSYNC || call == CALL_CLOSE) && n == 2) ||
           ((call == CALL_FSYNC || call == CALL_CLOSE) && error == EINTR);
}

static void fail_at(enum fault_call call, size_t n, int error, bool older)
{
    bool recognisable;
    lay_out(older);
    fault_set(call, FAULT_ERROR, error, n, false);
    struct status status = publish_bytes(all.path, all.bytes, NEW_SIZE, older);
    bool met = fault_met();
    fault_clear();
    const char *how = strerror(error);
    enum found found = what_is_there();
    all.points++;
    check(met, "the fault was not met", call, n, how);
    if (status_is_ok(&status)) {
        check(may_go_on(call, n, error), "passed for success", call, n, how);
        check(found == FOUND_NEW, "success, and the result is not there", call, n, how);
    } else {
        check(status.code == STATUS_IO && strstr(status.message, all.path) != NULL, "a poor message", call, n, how);
        check(error == EINTR || strstr(status.message, how) != NULL, "the reason is not told", call, n, how);
        check(found == (older ? FOUND_OLD : FOUND_NOTHING), "the older result was harmed", call, n, how);
    }
    size_t left = leftovers(&recognisable);
    check(left == 0 || (call == CALL_UNLINK && recognisable), "something was left behind", call, n, how);
}

static void kill_at(enum fault_call call, size_t n, enum fault_kind kind, bool older)
{
    bool recognisable;
    const char *how = kind == FAULT_KILL_BEFORE ? "killed before" : "killed after";
    lay_out(older);
    pid_t child = fork();
    if (child == 0) {
        fault_set(call, kind, 0, n, false);
        struct status status = publish_bytes(all.path, all.bytes, NEW_SIZE, older);
        _exit(status_is_ok(&status) ? 0 : 1);
    }
    int ending = 0;
    check(child > 0 && waitpid(child, &ending, 0) == child && WIFSIGNALED(ending) && WTERMSIG(ending) == SIGKILL,
          "the kill did not come", call, n, how);
    all.kills++;
    enum found found = what_is_there();
    check(found == FOUND_NEW || found == (older ? FOUND_OLD : FOUND_NOTHING), "half a result, or none", call, n, how);
    (void)leftovers(&recognisable);
    check(recognisable, "what is left could be taken for a result", call, n, how);

    /* And the next run is not hindered by what is left: here by the temporary of the same process number. */
    struct status status = publish_bytes(all.path, all.bytes, NEW_SIZE, true);
    check(status_is_ok(&status) && what_is_there() == FOUND_NEW, "the next run is hindered", call, n, how);
}

/* Writes of half of what was asked for are no error. */
static void short_writes(void)
{
    lay_out(true);
    fault_set(CALL_WRITE, FAULT_SHORT, 0, 1, true);
    struct status status = publish_bytes(all.path, all.bytes, NEW_SIZE, true);
    size_t calls = fault_calls();
    fault_clear();
    check(status_is_ok(&status) && what_is_there() == FOUND_NEW && calls > 10, "short writes", CALL_WRITE, 1, "");
}

int main(void)
{
    static const int errors[] = {ENOSPC, EIO, EINTR, EDQUOT, EROFS};
    all.bytes = malloc(NEW_SIZE);
    if (all.bytes == NULL) {
        return 2;
    }
    for (size_t i = 0; i < NEW_SIZE; i++) {
        all.bytes[i] = (char)(i * 31 % 251);
    }
    scratch_make(all.folder);
    (void)snprintf(all.path, sizeof all.path, "%s/result.h5", all.folder);
    for (int older = 0; older < 2; older++) {
        for (int call = CALL_OPEN; call < CALL_COUNT; call++) {
            size_t calls = calls_of((enum fault_call)call, older != 0);
            for (size_t n = 1; n <= calls; n++) {
                for (size_t e = 0; e < sizeof errors / sizeof errors[0]; e++) {
                    fail_at((enum fault_call)call, n, errors[e], older != 0);
                }
                kill_at((enum fault_call)call, n, FAULT_KILL_BEFORE, older != 0);
                kill_at((enum fault_call)call, n, FAULT_KILL_AFTER, older != 0);
            }
        }
    }
    short_writes();
    scratch_remove(all.folder);
    free(all.bytes);
    printf("%zu failures and %zu kills at calls of the system, %zu taken badly\n", all.points, all.kills, all.wrong);
    return all.wrong == 0 ? 0 : 1;
}
