/* publish.h: putting a whole file in place, or not at all. */
#ifndef VATCAST_RECORD_PUBLISH_H
#define VATCAST_RECORD_PUBLISH_H

#include "base/status.h"

#include <stdbool.h>
#include <stddef.h>

/* Whether something stands under that name (a dangling link counts). */
bool publish_exists(const char *path) MUST_USE;

/* Refuses when `path` exists and `force` is false, or when its folder is not there. */
struct status publish_check(const char *path, bool force) MUST_USE;

/* Writes `size` bytes to a temporary name in the folder of `path`, syncs, renames, syncs the folder. Without
 * `force` a file that turned up under `path` in the meantime is not replaced either. On failure nothing is left
 * behind and an older file stays as it was. */
struct status publish_bytes(const char *path, const void *bytes, size_t size, bool force) MUST_USE;

#endif
