/* session_journal.c: see session_journal.h. */
#include "rehearse/session_journal.h"

#include "record/disk.h"
#include "record/sha256.h"
#include "rehearse/session_parts.h"
#include "scenario/source.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define FIRST_LINE "vatcast session 1"
#define BYTES_MOST ((off_t)2 * 1024 * 1024)
#define LINE_SIZE (JOURNAL_PATH_SIZE + 64)
#define SUM_DIGITS 8
#define LINES_MOST ((size_t)8 * SENTENCES_MOST) /* what was taken back stands there too */

struct session_journal {
    int file;
    char path[JOURNAL_PATH_SIZE];
    uint32_t sum;     /* over all whole lines so far */
    char *text;       /* owned: what was there when it was opened; NULL: it was made */
    size_t sentences; /* offset in it of the first sentence */
    size_t end;       /* offset after the last whole line */
};

/* FNV-1a. */
static uint32_t add_to_sum(uint32_t sum, const char *bytes, size_t size)
{
    for (size_t i = 0; i < size; i++) {
        sum = (sum ^ (unsigned char)bytes[i]) * UINT32_C(16777619);
    }
    return sum;
}

#define SUM_BEGINS UINT32_C(2166136261)

static struct status no_memory(void)
{
    return status_fail(STATUS_MEMORY, "no memory left for the journal");
}

/* ---- what it is of ------------------------------------------------------------------------------------------------ */

void journal_about_free(struct journal_about *about)
{
    for (size_t i = 0; i < about->override_count; i++) {
        free(about->overrides[i]);
    }
    about->override_count = 0;
}

static struct status add_override(struct journal_about *about, const char *override)
{
    if (about->override_count == JOURNAL_OVERRIDES_MOST || strlen(override) >= JOURNAL_PATH_SIZE ||
        strpbrk(override, "\r\n") != NULL) {
        return status_fail(STATUS_LIMIT, "a session takes at most %d settings by --set, each on one line",
                           JOURNAL_OVERRIDES_MOST);
    }
    char *copy = strdup(override);
    if (copy == NULL) {
        return no_memory();
    }
    about->overrides[about->override_count++] = copy;
    return status_ok();
}

struct status journal_about_fill(struct journal_about *about, const char *path, const struct session_options *options)
{
    *about = (struct journal_about){
        .has_seed = options->has_seed, .seed = options->seed, .keeps_calendar = options->keeps_calendar};
    char *whole = path_from_root(path);
    if (whole == NULL) {
        return no_memory();
    }
    size_t length = strlen(whole);
    bool fits = length < sizeof about->scenario && strpbrk(whole, "\r\n") == NULL;
    if (fits) {
        memcpy(about->scenario, whole, length + 1);
    }
    free(whole);
    for (size_t i = 0; i < options->override_count; i++) {
        RETURN_IF_FAILED(add_override(about, options->overrides[i]));
    }
    return fits ? status_ok() : status_fail(STATUS_LIMIT, "the path '%.60s...' is too long for a journal", path);
}

struct status session_digest(const struct session *session, char digest[JOURNAL_DIGEST_SIZE])
{
    const char *scenario = session->scenario->scenario_text;
    const char *model = session->scenario->model.model_text;
    size_t size = strlen(scenario) + strlen(model) + 1;
    char *both = malloc(size + 1);
    if (both == NULL) {
        return no_memory();
    }
    (void)snprintf(both, size + 1, "%s\n%s", scenario, model);
    sha256_hex(both, size, digest);
    free(both);
    return status_ok();
}

/* ---- writing ------------------------------------------------------------------------------------------------------ */

static struct status failed(const struct session_journal *journal, const char *what)
{
    return status_fail(STATUS_IO, "the journal '%.200s' %s: %s", journal->path, what,
                       errno != 0 ? strerror(errno) : "it is no journal of a session");
}

static struct status write_line(struct session_journal *journal, const char *line)
{
    char text[LINE_SIZE + SUM_DIGITS + 4];
    uint32_t sum = add_to_sum(journal->sum, line, strlen(line));
    size_t size = (size_t)snprintf(text, sizeof text, "%08x %s\n", (unsigned)sum, line);
    if (size >= sizeof text) {
        return status_fail(STATUS_LIMIT, "a line is too long for the journal");
    }
    off_t before = lseek(journal->file, 0, SEEK_END);
    for (size_t put = 0; put < size;) {
        ssize_t now = write(journal->file, text + put, size - put);
        if (now < 0 && errno == EINTR) {
            continue;
        }
        if (now <= 0) {
            struct status status = failed(journal, "could not be written");
            int cut =
                before >= 0 ? ftruncate(journal->file, before) : -1; /* half a line is dropped when it is read, too */
            (void)cut;
            return status;
        }
        put += (size_t)now;
    }
    journal->sum = sum;
    return status_ok();
}

static struct status to_disk(const struct session_journal *journal)
{
    return disk_sync(journal->file) ? status_ok() : failed(journal, "could not be brought to the disk");
}

static struct status lock(const struct session_journal *journal)
{
    switch (disk_lock(journal->file)) {
    case DISK_LOCKED:
        return status_ok();
    case DISK_LOCKED_BY_OTHERS:
        return status_fail(STATUS_IO, "the journal '%.200s' belongs to a session that is going on", journal->path);
    case DISK_LOCK_FAILED:
        break;
    }
    return failed(journal, "could not be locked");
}

static struct status open_file(const char *path, int flags, struct session_journal **opened)
{
    struct session_journal *journal = calloc(1, sizeof *journal);
    *opened = journal;
    if (journal == NULL) {
        return no_memory();
    }
    journal->sum = SUM_BEGINS;
    journal->file = -1;
    if (strlen(path) >= sizeof journal->path) {
        return status_fail(STATUS_IO, "the path '%.60s...' is too long", path);
    }
    (void)snprintf(journal->path, sizeof journal->path, "%s", path);
    errno = 0;
    journal->file = open(path, flags | O_CLOEXEC | O_APPEND | O_NONBLOCK, 0644);
    if (journal->file < 0) {
        return failed(journal, "could not be opened");
    }
    struct stat about;
    errno = 0;
    if (fstat(journal->file, &about) != 0 || !S_ISREG(about.st_mode)) {
        return status_fail(STATUS_IO, "the journal '%.200s' is no regular file", path);
    }
    return lock(journal);
}

static struct status write_heading(struct session_journal *journal, const struct journal_about *about)
{
    char line[LINE_SIZE];
    RETURN_IF_FAILED(write_line(journal, FIRST_LINE));
    (void)snprintf(line, sizeof line, "scenario %s", about->scenario);
    RETURN_IF_FAILED(write_line(journal, line));
    (void)snprintf(line, sizeof line, "digest %s", about->digest);
    RETURN_IF_FAILED(write_line(journal, line));
    if (about->has_seed) {
        (void)snprintf(line, sizeof line, "seed %lu", (unsigned long)about->seed);
        RETURN_IF_FAILED(write_line(journal, line));
    }
    if (about->keeps_calendar) {
        RETURN_IF_FAILED(write_line(journal, "calendar kept"));
    }
    for (size_t i = 0; i < about->override_count; i++) {
        (void)snprintf(line, sizeof line, "set %s", about->overrides[i]);
        RETURN_IF_FAILED(write_line(journal, line));
    }
    RETURN_IF_FAILED(write_line(journal, "said"));
    return to_disk(journal);
}

struct status session_journal_create(const char *path, const struct journal_about *about,
                                     struct session_journal **journal)
{
    struct status status = open_file(path, O_RDWR | O_CREAT | O_EXCL, journal);
    if (status_is_ok(&status)) {
        status = write_heading(*journal, about);
        if (!status_is_ok(&status)) {
            (void)unlink(path);
        }
    }
    if (!status_is_ok(&status)) {
        session_journal_close(*journal);
        *journal = NULL;
    }
    return status;
}

struct status session_journal_append(struct session_journal *journal, const char *sentence, bool changed)
{
    char line[SENTENCE_SIZE + 4];
    sentence += strspn(sentence, " \t");
    int size = snprintf(line, sizeof line, "%c %s", changed ? '=' : '?', sentence);
    if (size < 0 || (size_t)size >= sizeof line) {
        return status_fail(STATUS_LIMIT, "a sentence is too long for the journal");
    }
    for (char *c = line; *c != '\0'; c++) {
        *c = (char)((unsigned char)*c < 0x20 || *c == 0x7f ? ' ' : *c);
    }
    RETURN_IF_FAILED(write_line(journal, line));
    return to_disk(journal);
}

/* ---- reading ------------------------------------------------------------------------------------------------------ */

static struct status read_whole(struct session_journal *journal, size_t *size)
{
    struct stat about;
    errno = 0;
    if (fstat(journal->file, &about) != 0) {
        return failed(journal, "could not be read");
    }
    if (about.st_size > BYTES_MOST) {
        return status_fail(STATUS_LIMIT, "'%.200s' is too long for the journal of a session", journal->path);
    }
    *size = (size_t)about.st_size;
    journal->text = malloc(*size + 1);
    if (journal->text == NULL) {
        return no_memory();
    }
    size_t got = 0;
    while (got < *size) {
        ssize_t now = pread(journal->file, journal->text + got, *size - got, (off_t)got);
        if (now < 0 && errno == EINTR) {
            continue;
        }
        if (now <= 0) {
            return failed(journal, "could not be read");
        }
        got += (size_t)now;
    }
    journal->text[*size] = '\0';
    return status_ok();
}

/* The next whole line from *at on, without its sum; NULL: there is none, *at stays. *is_bad: it is there, but not as it was
 * written. The text is cut at its end. */
static char *next_line(struct session_journal *journal, size_t size, size_t *at, bool *is_bad)
{
    char *begin = journal->text + *at;
    char *end = memchr(begin, '\n', size - *at);
    *is_bad = false;
    if (end == NULL) {
        return NULL;
    }
    size_t length = (size_t)(end - begin);
    char digits[SUM_DIGITS + 1];
    (void)snprintf(digits, sizeof digits, "%.8s", begin);
    *is_bad = length < SUM_DIGITS + 1 || length >= LINE_SIZE || begin[SUM_DIGITS] != ' ' ||
              memchr(begin, '\0', length) != NULL || strspn(digits, "0123456789abcdef") != SUM_DIGITS;
    if (*is_bad) {
        return NULL;
    }
    char *line = begin + SUM_DIGITS + 1;
    uint32_t sum = add_to_sum(journal->sum, line, length - SUM_DIGITS - 1);
    *is_bad = sum != (uint32_t)strtoul(digits, NULL, 16);
    if (*is_bad) {
        return NULL;
    }
    *end = '\0';
    journal->sum = sum;
    *at += length + 1;
    return line;
}

/* Takes a line of the heading; *over at its end. */
static struct status take_heading(struct session_journal *journal, const char *line, struct journal_about *about,
                                  bool *over)
{
    if (strcmp(line, "said") == 0) {
        *over = true;
    } else if (strncmp(line, "scenario ", 9) == 0 && strlen(line + 9) < sizeof about->scenario) {
        (void)snprintf(about->scenario, sizeof about->scenario, "%s", line + 9);
    } else if (strncmp(line, "digest ", 7) == 0 && strlen(line + 7) < sizeof about->digest) {
        (void)snprintf(about->digest, sizeof about->digest, "%s", line + 7);
    } else if (strncmp(line, "seed ", 5) == 0 && strlen(line + 5) < 11 &&
               strspn(line + 5, "0123456789") == strlen(line + 5)) {
        about->has_seed = true;
        about->seed = (uint32_t)strtoul(line + 5, NULL, 10);
    } else if (strcmp(line, "calendar kept") == 0) {
        about->keeps_calendar = true;
    } else if (strncmp(line, "set ", 4) == 0) {
        return add_override(about, line + 4);
    } else {
        errno = 0;
        return failed(journal, "cannot be taken up");
    }
    return status_ok();
}

static struct status read_lines(struct session_journal *journal, struct journal_about *about)
{
    size_t size = 0;
    size_t at = 0;
    size_t count = 0;
    bool is_bad;
    bool is_over = false;
    RETURN_IF_FAILED(read_whole(journal, &size));
    const char *line = next_line(journal, size, &at, &is_bad);
    errno = 0;
    if (line == NULL || strcmp(line, FIRST_LINE) != 0) {
        return failed(journal, "cannot be taken up");
    }
    while (!is_over) {
        line = next_line(journal, size, &at, &is_bad);
        if (line == NULL) {
            return failed(journal, "cannot be taken up");
        }
        RETURN_IF_FAILED(take_heading(journal, line, about, &is_over));
    }
    journal->sentences = at;
    while ((line = next_line(journal, size, &at, &is_bad)) != NULL) {
        bool reads = (line[0] == '=' || line[0] == '?') && line[1] == ' ' && strlen(line) < SENTENCE_SIZE + 2;
        if (!reads || ++count > LINES_MOST) {
            return failed(journal, "cannot be taken up");
        }
    }
    journal->end = at;
    if (is_bad) {
        return status_fail(STATUS_IO, "the journal '%.200s' is damaged after sentence %zu", journal->path, count);
    }
    errno = 0;
    if (at < size && ftruncate(journal->file, (off_t)at) != 0) {
        return failed(journal, "could not be rid of its torn last line");
    }
    return status_ok();
}

struct status session_journal_open(const char *path, struct session_journal **journal, struct journal_about *about)
{
    *about = (struct journal_about){.has_seed = false};
    struct status status = open_file(path, O_RDWR, journal);
    if (status_is_ok(&status)) {
        status = read_lines(*journal, about);
    }
    if (!status_is_ok(&status)) {
        session_journal_close(*journal);
        *journal = NULL;
    }
    return status;
}

struct replay {
    struct session *session;
    session_wished *wished; /* NULL: what only asks is no more than noted */
    void *context;
    struct session_answer answer; /* the last */
};

/* Says one line of it, "= stir" or "? why". */
static struct status say_again(struct replay *replay, const char *line, size_t number)
{
    const char *sentence = line + 2;
    struct session_answer *answer = &replay->answer;
    if (line[0] == '?' && replay->wished == NULL) {
        return session_remark(replay->session, sentence);
    }
    RETURN_IF_FAILED(session_say(replay->session, sentence, answer));
    if (!answer->understood || answer->changed != (line[0] == '=')) {
        return status_fail(STATUS_SCENARIO,
                           "sentence %zu of the journal, \"%.60s\", no longer does what it did: %.200s", number,
                           sentence, answer->text);
    }
    bool is_save = answer->wish == WISH_SAVE_SCENARIO || answer->wish == WISH_SAVE_RESULT;
    return is_save && replay->wished != NULL ? replay->wished(replay->context, answer) : status_ok();
}

struct status session_journal_replay(const struct session_journal *journal, struct session *session,
                                     session_wished *wished, void *context)
{
    struct replay replay = {.session = session, .wished = wished, .context = context};
    size_t number = 1;
    for (size_t at = journal->sentences; journal->text != NULL && at < journal->end; number++) {
        const char *line = journal->text + at + SUM_DIGITS + 1;
        RETURN_IF_FAILED(say_again(&replay, line, number));
        at += SUM_DIGITS + 1 + strlen(line) + 1;
    }
    return status_ok();
}

const char *session_journal_path(const struct session_journal *journal)
{
    return journal->path;
}

void session_journal_close(struct session_journal *journal)
{
    if (journal == NULL) {
        return;
    }
    if (journal->file >= 0) {
        (void)close(journal->file);
    }
    free(journal->text);
    free(journal);
}
