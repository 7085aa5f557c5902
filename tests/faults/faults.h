/* faults.h: calls of the C library that fail on demand.
 *
 * The programs of this folder are linked with --wrap for each call below, so that every call from our own code goes by
 * the wrappers; libraries of the outside world keep the calls they have. A fault is set while there is one thread; it may be
 * met by any.
 */
#ifndef VATCAST_TESTS_FAULTS_FAULTS_H
#define VATCAST_TESTS_FAULTS_FAULTS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum fault_call {
    CALL_MEMORY, /* malloc, calloc, realloc, strdup, strndup, open_memstream, and GSL's that are called from our code */
    CALL_OPEN,
    CALL_WRITE,
    CALL_FSYNC,
    CALL_CLOSE,
    CALL_LINK,
    CALL_RENAME,
    CALL_UNLINK,
    CALL_PWRITE,
    CALL_TRUNCATE,
    CALL_COUNT
};
extern const char *const fault_call_names[CALL_COUNT];

enum fault_kind {
    FAULT_NONE,
    FAULT_ERROR,       /* fails with the errno given */
    FAULT_SHORT,       /* write: only the first half is written, which is no error */
    FAULT_KILL_BEFORE, /* the process is killed before the call, or after it */
    FAULT_KILL_AFTER,
    FAULT_KIND_COUNT
};
extern const char *const fault_kind_names[FAULT_KIND_COUNT];

/* From now on the n-th call (from 1) of that sort meets the fault; 0 counts calls only. With `and_on`, those after it
 * too. */
void fault_set(enum fault_call call, enum fault_kind kind, int error, size_t n, bool and_on);
/* How many calls of the sort there were since fault_set; whether the fault was met. */
size_t fault_calls(void);
bool fault_met(void);
void fault_clear(void);

/* Asks at each call of the sort, with its number, whether it is the one that meets the fault (and those after it, if `and_on` is set
 * to true). NULL: no longer. */
void fault_at_each(bool (*reached)(size_t n, bool *and_on));

/* While on, the chain of calls that meets a fault is printed (for addr2line). */
void fault_trace(bool on);

/* While `paths` is not NULL each allocation leaves there a number that stands for the chain of calls that led to it, so
 * that many allocations of one kind can be told from many kinds. Up to `most` of them. */
void fault_note_paths(uint64_t *paths, size_t most);

/* Of `count` calls with these paths, the numbers (from 1, rising) of those to be tried: the first by each chain of calls, with `lasts`
 * the last too, or all with FAULTS_ALL in the environment. `points` has room for all. Returns how many. */
size_t fault_choose_points(const uint64_t *paths, size_t count, bool lasts, size_t *points);

#endif
