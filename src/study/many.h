/* many.h: many independent runs over all cores.
 *
 * Work is cut into items 0 to count - 1. Threads take them in that order; what an item yields goes into a place of its
 * own, so what comes out is the same for any number of threads. Inside a run only the core works, which has no variable
 * that outlives a call; reading files (libconfig, UDUNITS-2) and writing them (HDF5) belongs to the calling thread:
 * before, in `take`, or after.
 */
#ifndef VATCAST_STUDY_MANY_H
#define VATCAST_STUDY_MANY_H

#include "base/status.h"

#include <stdbool.h>
#include <stddef.h>

#define MANY_THREADS_MOST 256
#define MANY_TOGETHER_MOST 64

struct many {
    size_t count;  /* of items */
    int threads;   /* that work; 0: one for each core. Never more than there are items */
    void *context; /* for `work` and `take` */

    /* Called before `work` for the same item on the same worker, but never for two items at once: for what a library
     * with a state of its own must do. May be NULL. */
    struct status (*prepare)(void *context, size_t index, int worker);

    /* Does item `index`, on worker `worker` (0 to threads - 1; two items of one worker never run at once, so a
     * workspace may be kept for each). Called on several threads. */
    struct status (*work)(void *context, size_t index, int worker);

    /* In place of `work`, where a worker does several items at once for less: up to `together` of them (1 to
     * MANY_TOGETHER_MOST; what lies beyond is brought within), `first` and those after it. Fills outcomes[i] with what became of first + i. Which items come
     * together must change nothing in what comes out. NULL: `work` is called. */
    void (*work_together)(void *context, size_t first, size_t count, int worker, struct status *outcomes);
    size_t together;

    /* Takes in item `index` when it and all before it are done: on the calling thread, in order from 0. May be NULL. */
    struct status (*take)(void *context, size_t index);

    /* With `take`: how many items may be begun beyond those taken in, which bounds what must be kept; the item's place
     * is then index % ahead. 0: any number. */
    size_t ahead;

    /* Told on the calling thread, a few times a second, with the share of the items that are done. May be NULL. */
    void (*progress)(void *context, double done_share);
    void *progress_context;

    const volatile int
        *stop; /* no more items are begun when it turns non-zero; give it to the runs as well. May be NULL */
};

/* How many threads many_run would use: `asked`, or one for each core when that is 0; at least 1, at most `count`. */
int many_threads(int asked, size_t count);

/* Does all items and waits for them. When one fails no more are begun, those begun are waited for, and the failure
 * with the lowest index is returned: every item before it was begun, so that is the same failure for any number of
 * threads. An item that ends with STATUS_INTERRUPTED once the stop flag is up counts as not done.
 *
 * `done`, when not NULL, has room for `count` and says afterwards which items are done, however the whole ended.
 * Errors: what `work` or `take` returned; STATUS_INTERRUPTED, when stopped before all was done; STATUS_MEMORY, also
 * when no thread can be had. Signals are left to the calling thread. */
struct status many_run(const struct many *many, bool *done) MUST_USE;

#endif
