/* disk.h: bringing a file to the disk and keeping it for oneself, and which errors of that are forgiven. */
#ifndef VATCAST_RECORD_DISK_H
#define VATCAST_RECORD_DISK_H

#include "base/status.h"

#include <stdbool.h>

/* Brings what was written to an open file to the disk. True also where there is no such call (EINVAL, ENOTSUP: a
 * device, some file systems); a signal is no reason to give up. False: errno says why, and what was written may be lost;
 * EROFS too, which a disk that broke after it was written to may say. */
bool disk_sync(int file) MUST_USE;

enum disk_lock {
    DISK_LOCKED, /* nobody else can lock it until it is closed; or its file system knows no locks (EINVAL, ENOLCK, ENOSYS, ENOTSUP) */
    DISK_LOCKED_BY_OTHERS, /* another process has it */
    DISK_LOCK_FAILED       /* errno says why */
};
/* Locks the whole of a file that is open for writing, without waiting. */
enum disk_lock disk_lock(int file) MUST_USE;

#endif
