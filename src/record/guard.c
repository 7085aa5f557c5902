/* guard.c: see guard.h. */
#include "record/guard.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/types.h>
#include <sys/wait.h>
#include <unistd.h>

static void limit(int resource, size_t most)
{
    struct rlimit rule;
    if (getrlimit(resource, &rule) == 0 && (rule.rlim_cur == RLIM_INFINITY || rule.rlim_cur > most)) {
        rule.rlim_cur = most;
        (void)setrlimit(resource, &rule);
    }
}

static void write_all(int file, const void *bytes, size_t size)
{
    const char *at = bytes;
    while (size > 0) {
        ssize_t written = write(file, at, size);
        if (written < 0 && errno == EINTR) {
            continue;
        }
        if (written <= 0) {
            return; /* the parent sees that it got too little */
        }
        at += written;
        size -= (size_t)written;
    }
}

/* What the child does; the last words of a library that dies are nobody's business. */
_Noreturn static void attempt_in_child(guard_attempt *attempt, const char *path, int answer)
{
    int nowhere = open("/dev/null", O_WRONLY | O_CLOEXEC);
    if (nowhere >= 0) {
        (void)dup2(nowhere, STDERR_FILENO);
    }
    (void)signal(SIGINT, SIG_DFL);
    (void)signal(SIGTERM, SIG_DFL);
    limit(RLIMIT_CORE, 0);
    limit(RLIMIT_CPU, GUARD_SECONDS);
    if (GUARD_BOUNDS_MEMORY) {
        limit(RLIMIT_DATA, GUARD_MEMORY);
    }
    struct status status = attempt(path);
    if (status.code == STATUS_MEMORY) {
        status = status_fail(STATUS_LIMIT, "it asks for more memory than a sound file does");
    }
    struct status told = {.code = status.code}; /* with no byte of the stack behind its words */
    (void)snprintf(told.message, sizeof told.message, "%s", status.message);
    write_all(answer, &told, sizeof told);
    _exit(0);
}

/* True when the whole answer came. */
static bool hear(int answer, struct status *status)
{
    char *at = (char *)status;
    size_t left = sizeof *status;
    while (left > 0) {
        ssize_t got = read(answer, at, left);
        if (got < 0 && errno == EINTR) {
            continue;
        }
        if (got <= 0) {
            return false;
        }
        at += got;
        left -= (size_t)got;
    }
    status->message[sizeof status->message - 1] = '\0';
    return true;
}

struct status guard_try(guard_attempt *attempt, const char *path)
{
    int ends[2];
    if (pipe(ends) != 0) {
        return status_fail(STATUS_MEMORY, "no pipe to be had for trying the file out: %s", strerror(errno));
    }
    pid_t child = fork();
    if (child == 0) {
        (void)close(ends[0]);
        attempt_in_child(attempt, path, ends[1]);
    }
    int reason = errno;
    (void)close(ends[1]);
    struct status status = status_ok();
    bool heard = child > 0 && hear(ends[0], &status);
    (void)close(ends[0]);
    if (child < 0) {
        return status_fail(STATUS_MEMORY, "no process to be had for trying the file out: %s", strerror(reason));
    }
    int ending = 0;
    while (waitpid(child, &ending, 0) < 0 && errno == EINTR) {
    }
    if (heard) {
        return status;
    }
    if (WIFSIGNALED(ending) && (WTERMSIG(ending) == SIGXCPU || WTERMSIG(ending) == SIGKILL)) {
        return status_fail(STATUS_LIMIT,
                           "reading takes longer than that of a sound file; it is damaged or made to do harm");
    }
    return status_fail(STATUS_IO, "the HDF5 library breaks down over it; it is damaged or made to do harm");
}
