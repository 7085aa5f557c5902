/* disk.c: see disk.h. */
#include "record/disk.h"

#include <errno.h>
#include <fcntl.h>
#include <unistd.h>

bool disk_sync(int file)
{
    while (fsync(file) != 0) {
        if (errno != EINTR) {
            return errno == EINVAL || errno == ENOTSUP;
        }
    }
    return true;
}

enum disk_lock disk_lock(int file)
{
    struct flock whole = {.l_type = F_WRLCK, .l_whence = SEEK_SET};
    while (fcntl(file, F_SETLK, &whole) != 0) {
        switch (errno) {
        case EINTR:
            break;
        case EACCES:
        case EAGAIN:
            return DISK_LOCKED_BY_OTHERS;
        case EINVAL:
        case ENOLCK:
        case ENOSYS:
        case ENOTSUP:
            return DISK_LOCKED;
        default:
            return DISK_LOCK_FAILED;
        }
    }
    return DISK_LOCKED;
}
