/* faults.c: see faults.h. */
#include "faults/faults.h"

#include <gsl/gsl_matrix.h>
#include <gsl/gsl_permutation.h>
#include <gsl/gsl_rng.h>

#include <errno.h>
#include <execinfo.h>
#include <signal.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/types.h>
#include <unistd.h>

const char *const fault_call_names[CALL_COUNT] = {"memory", "open",   "write",  "fsync",  "close",
                                                  "link",   "rename", "unlink", "pwrite", "ftruncate"};
const char *const fault_kind_names[FAULT_KIND_COUNT] = {"none", "error", "short", "kill_before", "kill_after"};

static struct {
    enum fault_call call;
    enum fault_kind kind;
    int error;
    size_t n;
    atomic_size_t seen;
    bool and_on, trace;
    atomic_bool met;
    uint64_t *paths;
    size_t paths_most;
    bool (*reached)(size_t n, bool *and_on);
} plan;

void fault_note_paths(uint64_t *paths, size_t most)
{
    plan.paths = paths;
    plan.paths_most = most;
}

void fault_at_each(bool (*reached)(size_t n, bool *and_on))
{
    plan.reached = reached;
}

/* FNV-1a of the return addresses up to main. */
static uint64_t path_here(void)
{
    void *calls[24];
    int count = backtrace(calls, 24);
    uint64_t hash = UINT64_C(0xcbf29ce484222325);
    for (int i = 0; i < count; i++) {
        hash = (hash ^ (uint64_t)(uintptr_t)calls[i]) * UINT64_C(0x100000001b3);
    }
    return hash;
}

struct path {
    uint64_t hash;
    size_t call;
};

static int by_hash(const void *a, const void *b)
{
    const struct path *one = a;
    const struct path *other = b;
    return one->hash != other->hash ? (one->hash > other->hash) - (one->hash < other->hash)
                                    : (one->call > other->call) - (one->call < other->call);
}

static int by_number(const void *a, const void *b)
{
    const size_t *one = a;
    const size_t *other = b;
    return (*one > *other) - (*one < *other);
}

size_t fault_choose_points(const uint64_t *paths, size_t count, bool lasts, size_t *points)
{
    size_t chosen = 0;
    struct path *sorted = calloc(count + 1, sizeof *sorted);
    if (sorted == NULL) {
        abort();
    }
    for (size_t i = 0; i < count; i++) {
        sorted[i] = (struct path){.hash = paths[i], .call = i + 1};
    }
    qsort(sorted, count, sizeof *sorted, by_hash);
    for (size_t i = 0; i < count; i++) {
        bool is_first = i == 0 || sorted[i].hash != sorted[i - 1].hash;
        bool is_last = i + 1 == count || sorted[i].hash != sorted[i + 1].hash;
        if (is_first || (lasts && is_last) || getenv("FAULTS_ALL") != NULL) {
            points[chosen++] = sorted[i].call;
        }
    }
    free(sorted);
    qsort(points, chosen, sizeof *points, by_number);
    return chosen;
}

void fault_set(enum fault_call call, enum fault_kind kind, int error, size_t n, bool and_on)
{
    plan.call = call;
    plan.kind = kind;
    plan.error = error;
    plan.n = n;
    plan.seen = 0;
    plan.and_on = and_on;
    plan.met = false;
}

void fault_trace(bool on)
{
    plan.trace = on;
}

void fault_clear(void)
{
    fault_set(CALL_MEMORY, FAULT_NONE, 0, 0, false);
}

size_t fault_calls(void)
{
    return plan.seen;
}

bool fault_met(void)
{
    return plan.met;
}

/* The fault that this call meets. */
static enum fault_kind meet(enum fault_call call)
{
    if (plan.kind == FAULT_NONE || plan.call != call) {
        return FAULT_NONE;
    }
    size_t seen = ++plan.seen;
    if (plan.paths != NULL && seen <= plan.paths_most) {
        plan.paths[seen - 1] = path_here();
    }
    if (plan.reached != NULL && plan.reached(seen, &plan.and_on)) {
        plan.n = seen;
    }
    if (plan.n == 0 || (plan.and_on ? seen < plan.n : seen != plan.n)) {
        return FAULT_NONE;
    }
    plan.met = true;
    if (plan.trace) {
        void *calls[24];
        backtrace_symbols_fd(calls, backtrace(calls, 24), STDOUT_FILENO);
    }
    if (plan.kind == FAULT_KILL_BEFORE) {
        (void)raise(SIGKILL);
    }
    return plan.kind;
}

static void leave(enum fault_kind fault)
{
    if (fault == FAULT_KILL_AFTER) {
        int kept = errno;
        (void)raise(SIGKILL);
        errno = kept;
    }
}

/* Defines __wrap_NAME, which fails with `failure` or goes on to __real_NAME. */
#define WRAP(call, result, failure, name, parameters, arguments)                                                       \
    result __real_##name parameters;                                                                                   \
    result __wrap_##name parameters;                                                                                   \
    result __wrap_##name parameters                                                                                    \
    {                                                                                                                  \
        enum fault_kind fault = meet(call);                                                                            \
        if (fault == FAULT_ERROR) {                                                                                    \
            errno = plan.error;                                                                                        \
            return failure;                                                                                            \
        }                                                                                                              \
        result value = __real_##name arguments;                                                                        \
        leave(fault);                                                                                                  \
        return value;                                                                                                  \
    }

WRAP(CALL_MEMORY, void *, NULL, malloc, (size_t size), (size))
WRAP(CALL_MEMORY, void *, NULL, calloc, (size_t count, size_t size), (count, size))
WRAP(CALL_MEMORY, void *, NULL, realloc, (void *old, size_t size), (old, size))
WRAP(CALL_MEMORY, char *, NULL, strdup, (const char *text), (text))
WRAP(CALL_MEMORY, char *, NULL, strndup, (const char *text, size_t size), (text, size))
WRAP(CALL_MEMORY, FILE *, NULL, open_memstream, (char **text, size_t *size), (text, size))
WRAP(CALL_MEMORY, gsl_matrix *, NULL, gsl_matrix_alloc, (size_t rows, size_t columns), (rows, columns))
WRAP(CALL_MEMORY, gsl_permutation *, NULL, gsl_permutation_alloc, (size_t size), (size))
WRAP(CALL_MEMORY, gsl_rng *, NULL, gsl_rng_alloc, (const gsl_rng_type *type), (type))
WRAP(CALL_FSYNC, int, -1, fsync, (int file), (file))
WRAP(CALL_LINK, int, -1, link, (const char *from, const char *to), (from, to))
WRAP(CALL_RENAME, int, -1, rename, (const char *from, const char *to), (from, to))
WRAP(CALL_UNLINK, int, -1, unlink, (const char *path), (path))
WRAP(CALL_PWRITE, ssize_t, -1, pwrite, (int file, const void *bytes, size_t size, off_t at), (file, bytes, size, at))
WRAP(CALL_TRUNCATE, int, -1, ftruncate, (int file, off_t size), (file, size))

ssize_t __real_write(int file, const void *bytes, size_t size);
ssize_t __wrap_write(int file, const void *bytes, size_t size);
ssize_t __wrap_write(int file, const void *bytes, size_t size)
{
    enum fault_kind fault = meet(CALL_WRITE);
    if (fault == FAULT_ERROR) {
        errno = plan.error;
        return -1;
    }
    ssize_t written = __real_write(file, bytes, fault == FAULT_SHORT && size > 1 ? size / 2 : size);
    leave(fault);
    return written;
}

/* A close that fails has closed all the same (Linux). */
int __real_close(int file);
int __wrap_close(int file);
int __wrap_close(int file)
{
    enum fault_kind fault = meet(CALL_CLOSE);
    int value = __real_close(file);
    leave(fault);
    if (fault == FAULT_ERROR) {
        errno = plan.error;
        return -1;
    }
    return value;
}

int __real_open(const char *path, int flags, ...);
int __wrap_open(const char *path, int flags, ...);
int __wrap_open(const char *path, int flags, ...)
{
    enum fault_kind fault = meet(CALL_OPEN);
    if (fault == FAULT_ERROR) {
        errno = plan.error;
        return -1;
    }
    va_list more;
    va_start(more, flags);
    int file = __real_open(path, flags, va_arg(more, unsigned)); /* unused without O_CREAT */
    va_end(more);
    leave(fault);
    return file;
}
