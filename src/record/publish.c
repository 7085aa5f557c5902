/* publish.c: see publish.h. */
#include "record/publish.h"

#include "record/disk.h"

#include <errno.h>
#include <fcntl.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

bool publish_exists(const char *path)
{
    struct stat about;
    return lstat(path, &about) == 0;
}

/* The folder part of `path` ("." when there is none), owned by the caller; NULL without memory. */
static char *folder_of(const char *path)
{
    const char *slash = strrchr(path, '/');
    if (slash == NULL) {
        return strdup(".");
    }
    size_t length = slash == path ? 1 : (size_t)(slash - path);
    return strndup(path, length);
}

static const char *name_of(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash == NULL ? path : slash + 1;
}

static struct status check_folder(const char *path)
{
    char *folder = folder_of(path);
    if (folder == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to write '%.200s'", path);
    }
    struct stat about;
    struct status status = status_ok();
    if (stat(folder, &about) != 0) {
        status = status_fail(STATUS_IO, "the folder '%.200s' cannot be reached (%s); make it first", folder,
                             strerror(errno));
    } else if (!S_ISDIR(about.st_mode)) {
        status = status_fail(STATUS_IO, "'%.200s' is not a folder", folder);
    }
    free(folder);
    return status;
}

struct status publish_check(const char *path, bool force)
{
    if (name_of(path)[0] == '\0') {
        return status_fail(STATUS_IO, "'%.200s' names no file", path);
    }
    struct stat about;
    if (stat(path, &about) == 0 && S_ISDIR(about.st_mode)) {
        return status_fail(STATUS_IO, "'%.200s' is a folder; expected the name of a file", path);
    }
    if (!force && publish_exists(path)) {
        return status_fail(STATUS_IO, "'%.200s' exists already; choose another name or give --force", path);
    }
    return check_folder(path);
}

static struct status write_all(int file, const char *bytes, size_t size, const char *path)
{
    while (size > 0) {
        size_t portion = size < ((size_t)1 << 30) ? size : (size_t)1 << 30;
        ssize_t written = write(file, bytes, portion);
        if (written < 0) {
            if (errno == EINTR) {
                continue;
            }
            return status_fail(STATUS_IO, "'%.200s' could not be written: %s", path, strerror(errno));
        }
        bytes += written;
        size -= (size_t)written;
    }
    return status_ok();
}

static struct status write_temporary(const char *temporary, const void *bytes, size_t size, const char *path)
{
    int file = open(temporary, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (file < 0) {
        return status_fail(STATUS_IO, "'%.200s' could not be written: %s", path, strerror(errno));
    }
    struct status status = write_all(file, bytes, size, path);
    if (status_is_ok(&status) && !disk_sync(file)) {
        status = status_fail(STATUS_IO, "'%.200s' could not be brought to the disk: %s", path, strerror(errno));
    }
    if (close(file) != 0 && errno != EINTR && status_is_ok(&status)) { /* EINTR: closed all the same */
        status = status_fail(STATUS_IO, "'%.200s' could not be closed: %s", path, strerror(errno));
    }
    return status;
}

/* Gives the temporary its final name. Without `force` a hard link does it, as that fails when the name is taken;
 * where the file system has no hard links a second look and a rename must do. */
static struct status put_in_place(const char *temporary, const char *path, bool force)
{
    if (!force) {
        if (link(temporary, path) == 0) {
            (void)unlink(temporary);
            return status_ok();
        }
        if (errno == EEXIST || publish_exists(path)) {
            return publish_check(path, false);
        }
    }
    if (rename(temporary, path) != 0) {
        return status_fail(STATUS_IO, "'%.200s' could not be put in place: %s", path, strerror(errno));
    }
    return status_ok();
}

/* Syncs the folder of the file just put in place; its temporary name is cut down to the folder's. */
static void sync_folder(char *temporary)
{
    char *slash = strrchr(temporary, '/');
    if (slash != NULL) {
        slash[slash == temporary ? 1 : 0] = '\0';
    }
    int descriptor = open(slash == NULL ? "." : temporary, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (descriptor >= 0) {
        (void)fsync(descriptor); /* some file systems cannot sync a folder: the file itself is safe by now */
        (void)close(descriptor);
    }
}

struct status publish_bytes(const char *path, const void *bytes, size_t size, bool force)
{
    RETURN_IF_FAILED(publish_check(path, force));
    size_t length = strlen(path) + 40;
    char *temporary = malloc(length);
    if (temporary == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to write '%.200s'", path);
    }
    const char *name = name_of(path);
    int folder_length = (int)(name - path);
    /* a long name is cut so that the temporary one fits the file system too */
    (void)snprintf(temporary, length, "%.*s.%.200s.%jd.tmp", folder_length, path, name, (intmax_t)getpid());
    struct status status = write_temporary(temporary, bytes, size, path);
    if (status_is_ok(&status)) {
        status = put_in_place(temporary, path, force);
    }
    if (status_is_ok(&status)) {
        sync_folder(temporary);
    } else {
        (void)unlink(temporary);
    }
    free(temporary);
    return status;
}
