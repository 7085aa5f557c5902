/* branch.h: one run of the program that branches at its allocations.
 *
 * To fail the n-th allocation, a run from the start does all that led to it once more: with thousands of allocations in a verb of half
 * a second that is hours. Here one run, the trunk, goes from start to end without faults; at each allocation that is asked for it
 * forks, and the copy goes on to its own end with that allocation failed. What the copy does is what a run from the start would
 * have done: it stands in the folder of trials, not in the trunk's, with files of its own for what is printed; the places in
 * files that both hold open are set back when it is done. It must keep to one thread.
 *
 * Where that cannot be so the trunk does not branch: once it has begun a file in out, and in a child process of its own.
 */
#ifndef VATCAST_TESTS_FAULTS_BRANCH_H
#define VATCAST_TESTS_FAULTS_BRANCH_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* From now on work for other threads is done by the thread that waits for them. */
void branch_keep_one_thread(bool on);

struct branch; /* a trunk under way */

/* Starts `program` in the folder trunk/ of the working folder, which has a folder out/; the program calls branch_grow first of all.
 * One at a time. `wanted`: for each allocation (from 0), whether to branch at it; set back to 0 where a branch was made. In
 * memory that is shared with children. */
struct branch *branch_start(void (*program)(struct branch *trunk, void *context), void *context, uint8_t *wanted,
                            size_t count);

/* The number (from 1) of the allocation that the trunk stands at; 0: it has ended, with `*status` as of waitpid. */
size_t branch_next(struct branch *trunk, int *status);

/* Lets a copy go on from there, in the working folder, with that allocation failed (and all after it). Its status as of waitpid. The
 * trunk itself waits for branch_next. */
int branch_try(struct branch *trunk, bool and_on);

void branch_end(struct branch *trunk);

/* In the program: from now on allocations are counted and branched at. `armed` is called in each branch. */
void branch_grow(struct branch *trunk, void (*armed)(void));

#endif
