/* guard.h: trying out in a process of its own what may crash, hang or eat memory on a hostile file.
 *
 * HDF5 believes much of what a file says about itself, so that a file made to do harm, or damaged by another program,
 * can bring the library down. Tried out first in a child process, it brings down that child only.
 */
#ifndef VATCAST_RECORD_GUARD_H
#define VATCAST_RECORD_GUARD_H

#include "base/status.h"

/* Limits of the child, whatever the file: processor time and memory. */
#define GUARD_SECONDS 8u
#define GUARD_MEMORY ((size_t)160 << 20)

/* Whether the child's memory is bounded: the address sanitizer takes memory by the terabyte. */
#if defined(__SANITIZE_ADDRESS__)
#define GUARD_BOUNDS_MEMORY 0
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define GUARD_BOUNDS_MEMORY 0
#endif
#endif
#ifndef GUARD_BOUNDS_MEMORY
#define GUARD_BOUNDS_MEMORY 1
#endif

/* What is tried: reads the file of that name and gives back how it went; what it has read is lost with the child. */
typedef struct status guard_attempt(const char *path);

/* Tries it on a file and returns the attempt's status. Errors besides: STATUS_IO when the child crashed or was not heard
 * of, STATUS_LIMIT when it took more time or memory than it may, STATUS_MEMORY when there can be no child. */
struct status guard_try(guard_attempt *attempt, const char *path) MUST_USE;

#endif
