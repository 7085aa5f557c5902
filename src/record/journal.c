/* journal.c: see journal.h. */
#include "record/journal.h"

#include "record/disk.h"

#include <errno.h>
#include <fcntl.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define MAGIC "vatcast sweep 1\n"
#define ORDER_MARK UINT64_C(0x0102030405060708)

struct head {
    char magic[16];
    uint64_t order, first, count, width, heading_size;
};

struct journal {
    int file;
    bool is_written; /* not only read */
    char path[512];
    char *heading;
    struct head head;
    off_t rows_from; /* bytes before the first row */
    size_t rows;
};

/* FNV-1a, over 64-bit words, on from the sum of what came before. */
#define CHECKSUM_BEGINS UINT64_C(14695981039346656037)
static uint64_t checksum_on(uint64_t sum, const void *bytes, size_t size)
{
    const unsigned char *at = bytes;
    for (size_t i = 0; i < size; i += 8) {
        uint64_t word = 0;
        memcpy(&word, at + i, size - i < 8 ? size - i : 8);
        sum = (sum ^ word) * UINT64_C(1099511628211);
        sum ^= sum >> 32;
    }
    return sum;
}

static uint64_t checksum(const void *bytes, size_t size)
{
    return checksum_on(CHECKSUM_BEGINS, bytes, size);
}

static struct status fail(const struct journal *journal, const char *what)
{
    return status_fail(STATUS_IO, "'%.200s' %s: %s", journal->path, what, errno != 0 ? strerror(errno) : "too short");
}

static struct status read_at(const struct journal *journal, off_t at, void *bytes, size_t size)
{
    char *to = bytes;
    while (size > 0) {
        errno = 0;
        ssize_t got = pread(journal->file, to, size, at);
        if (got < 0 && errno == EINTR) {
            continue;
        }
        if (got <= 0) {
            return fail(journal, "could not be read");
        }
        to += got;
        at += got;
        size -= (size_t)got;
    }
    return status_ok();
}

static struct status write_at(const struct journal *journal, off_t at, const void *bytes, size_t size)
{
    const char *from = bytes;
    while (size > 0) {
        ssize_t put = pwrite(journal->file, from, size, at);
        if (put < 0 && errno == EINTR) {
            continue;
        }
        if (put < 0) {
            return fail(journal, "could not be written");
        }
        from += put;
        at += put;
        size -= (size_t)put;
    }
    return status_ok();
}

static size_t row_size(const struct journal *journal)
{
    return (size_t)(journal->head.width + 1) * sizeof(double);
}

static off_t row_at(const struct journal *journal, size_t row)
{
    return journal->rows_from + (off_t)(row * row_size(journal));
}

/* Read in pieces: a file may claim rows of any width. */
static bool row_is_whole(const struct journal *journal, size_t row)
{
    double piece[4096];
    uint64_t stored;
    uint64_t sum = CHECKSUM_BEGINS;
    off_t at = row_at(journal, row);
    for (uint64_t left = journal->head.width; left > 0;) {
        size_t count = left < sizeof piece / sizeof *piece ? (size_t)left : sizeof piece / sizeof *piece;
        struct status status = read_at(journal, at, piece, count * sizeof *piece);
        if (!status_is_ok(&status)) {
            return false;
        }
        sum = checksum_on(sum, piece, count * sizeof *piece);
        at += (off_t)(count * sizeof *piece);
        left -= count;
    }
    struct status status = read_at(journal, at, &stored, sizeof stored);
    return status_is_ok(&status) && sum == stored;
}

/* Counts the rows that are there and whole, up to the first that is not. */
static void find_rows(struct journal *journal, off_t size)
{
    size_t most = size > journal->rows_from ? (size_t)(size - journal->rows_from) / row_size(journal) : 0;
    most = most < journal->head.count ? most : (size_t)journal->head.count;
    journal->rows = 0;
    while (journal->rows < most && row_is_whole(journal, journal->rows)) {
        journal->rows++;
    }
}

static void place_rows(struct journal *journal)
{
    journal->rows_from = (off_t)(sizeof journal->head + journal->head.heading_size + sizeof(uint64_t));
}

/* Reads head and heading of a file that nobody has vouched for. */
static struct status read_head(struct journal *journal)
{
    struct stat about;
    uint64_t sum;
    struct head *head = &journal->head;
    if (fstat(journal->file, &about) != 0) {
        return fail(journal, "could not be read");
    }
    struct status status = read_at(journal, 0, head, sizeof *head);
    if (!status_is_ok(&status) || memcmp(head->magic, MAGIC, sizeof head->magic) != 0) {
        return status_fail(STATUS_IO, "'%.200s' is no part of a sweep", journal->path);
    }
    if (head->order != ORDER_MARK) {
        return status_fail(STATUS_IO, "'%.200s' was made on a machine of another kind", journal->path);
    }
    if (head->heading_size > JOURNAL_HEADING_MOST || head->width > JOURNAL_WIDTH_MOST || head->width == 0) {
        return status_fail(STATUS_IO, "'%.200s' is damaged", journal->path);
    }
    journal->heading = calloc((size_t)head->heading_size + 1, 1);
    if (journal->heading == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to read '%.200s'", journal->path);
    }
    RETURN_IF_FAILED(read_at(journal, sizeof *head, journal->heading, (size_t)head->heading_size));
    RETURN_IF_FAILED(read_at(journal, (off_t)(sizeof *head + head->heading_size), &sum, sizeof sum));
    if (sum != checksum(journal->heading, (size_t)head->heading_size)) {
        return status_fail(STATUS_IO, "'%.200s' is damaged", journal->path);
    }
    place_rows(journal);
    find_rows(journal, about.st_size);
    return status_ok();
}

static struct status start(struct journal *journal, const char *heading, const struct head *head)
{
    free(journal->heading);
    journal->head = *head;
    journal->rows = 0;
    journal->heading = strdup(heading);
    if (journal->heading == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left for the heading of a sweep");
    }
    place_rows(journal);
    uint64_t sum = checksum(heading, (size_t)head->heading_size);
    if (ftruncate(journal->file, 0) != 0) {
        return fail(journal, "could not be written");
    }
    RETURN_IF_FAILED(write_at(journal, 0, head, sizeof *head));
    RETURN_IF_FAILED(write_at(journal, sizeof *head, heading, (size_t)head->heading_size));
    return write_at(journal, (off_t)(sizeof *head + head->heading_size), &sum, sizeof sum);
}

static struct status open_file(const char *path, int flags, struct journal **opened)
{
    struct journal *journal = calloc(1, sizeof *journal);
    *opened = NULL;
    if (journal == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to open '%.200s'", path);
    }
    (void)snprintf(journal->path, sizeof journal->path, "%s", path);
    journal->is_written = flags != O_RDONLY;
    journal->file = open(path, flags | O_CLOEXEC, 0666);
    if (journal->file < 0) {
        struct status status = fail(journal, "could not be opened");
        free(journal);
        return status;
    }
    *opened = journal;
    return status_ok();
}

static struct status lock(const struct journal *journal)
{
    switch (disk_lock(journal->file)) {
    case DISK_LOCKED:
        return status_ok();
    case DISK_LOCKED_BY_OTHERS:
        return status_fail(STATUS_IO, "another sweep is writing '%.200s'", journal->path);
    case DISK_LOCK_FAILED:
        break;
    }
    return fail(journal, "could not be locked");
}

/* Goes on with what is there, or starts anew. */
static struct status go_on(struct journal *journal, const char *heading, const struct head *head, bool force)
{
    struct stat about;
    if (fstat(journal->file, &about) != 0) {
        return fail(journal, "could not be read");
    }
    if (about.st_size == 0) {
        return start(journal, heading, head);
    }
    struct status status = read_head(journal);
    bool same = status_is_ok(&status) && memcmp(head, &journal->head, sizeof *head) == 0 &&
                strcmp(journal->heading, heading) == 0;
    if (same) {
        return ftruncate(journal->file, row_at(journal, journal->rows)) == 0 ? status_ok()
                                                                             : fail(journal, "could not be cut");
    }
    if (!force) {
        return status_fail(STATUS_IO,
                           "'%.200s' was left by another sweep, or by this one before a file or the program changed; "
                           "remove it, or give --force to begin anew",
                           journal->path);
    }
    return start(journal, heading, head);
}

struct status journal_open(const char *path, const char *heading, size_t first, size_t count, size_t width, bool force,
                           struct journal **journal)
{
    struct head head = {
        .order = ORDER_MARK, .first = first, .count = count, .width = width, .heading_size = strlen(heading)};
    memcpy(head.magic, MAGIC, sizeof head.magic);
    *journal = NULL;
    if (head.heading_size > JOURNAL_HEADING_MOST) {
        return status_fail(STATUS_LIMIT,
                           "'%.200s' would have a heading of %zu bytes, for the scenario and its models; "
                           "expected at most %zu",
                           path, (size_t)head.heading_size, JOURNAL_HEADING_MOST);
    }
    if (width > JOURNAL_WIDTH_MOST || width == 0) {
        return status_fail(STATUS_LIMIT, "'%.200s' would have %zu numbers in a row; expected 1 to %zu", path, width,
                           JOURNAL_WIDTH_MOST);
    }
    RETURN_IF_FAILED(open_file(path, O_RDWR | O_CREAT, journal));
    struct status status = lock(*journal);
    if (status_is_ok(&status)) {
        status = go_on(*journal, heading, &head, force);
    }
    if (!status_is_ok(&status)) {
        struct status closed = journal_close(*journal);
        (void)closed;
        *journal = NULL;
    }
    return status;
}

struct status journal_open_to_read(const char *path, struct journal **journal)
{
    RETURN_IF_FAILED(open_file(path, O_RDONLY, journal));
    struct status status = read_head(*journal);
    if (!status_is_ok(&status)) {
        struct status closed = journal_close(*journal);
        (void)closed;
        *journal = NULL;
    }
    return status;
}

bool journal_is_at(const char *path)
{
    struct head head = {.order = 0};
    int file = open(path, O_RDONLY | O_CLOEXEC);
    bool is = file >= 0 && pread(file, head.magic, sizeof head.magic, 0) == (ssize_t)sizeof head.magic &&
              memcmp(head.magic, MAGIC, sizeof head.magic) == 0;
    if (file >= 0) {
        (void)close(file);
    }
    return is;
}

struct status journal_close(struct journal *journal)
{
    if (journal == NULL) {
        return status_ok();
    }
    struct status status = status_ok();
    if (journal->is_written && !disk_sync(journal->file)) {
        status = fail(journal, "could not be brought to the disk");
    }
    if (close(journal->file) != 0 && errno != EINTR && status_is_ok(&status)) { /* EINTR: closed all the same */
        status = fail(journal, "could not be closed");
    }
    free(journal->heading);
    free(journal);
    return status;
}

const char *journal_heading(const struct journal *journal)
{
    return journal->heading;
}

size_t journal_first(const struct journal *journal)
{
    return (size_t)journal->head.first;
}

size_t journal_count(const struct journal *journal)
{
    return (size_t)journal->head.count;
}

size_t journal_rows(const struct journal *journal)
{
    return journal->rows;
}

size_t journal_width(const struct journal *journal)
{
    return (size_t)journal->head.width;
}

struct status journal_append(struct journal *journal, const double *row)
{
    size_t size = (size_t)journal->head.width * sizeof *row;
    uint64_t sum = checksum(row, size);
    if (journal->rows >= journal->head.count) {
        return status_fail(STATUS_BUG, "a row too many for '%.200s'", journal->path);
    }
    off_t at = row_at(journal, journal->rows);
    RETURN_IF_FAILED(write_at(journal, at, row, size));
    RETURN_IF_FAILED(write_at(journal, at + (off_t)size, &sum, sizeof sum));
    journal->rows++;
    return status_ok();
}

struct status journal_read(const struct journal *journal, size_t row, size_t from, size_t count, double *values)
{
    if (row >= journal->rows || from + count > journal->head.width) {
        return status_fail(STATUS_BUG, "'%.200s' has no such row", journal->path);
    }
    return read_at(journal, row_at(journal, row) + (off_t)(from * sizeof *values), values, count * sizeof *values);
}
