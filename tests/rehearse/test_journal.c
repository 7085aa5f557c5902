/* test_journal.c: a journal takes a session up again; torn, damaged, foreign and hostile ones are read safely. */
#include "by_hand.h"

#include "rehearse/session_journal.h"

#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

static const char *const said[] = {
    "stir 2 min",   "wait 2 hours",           "read meter", "why", "add 20 g lime then stir", "back 1", "wait 1 day",
    "what if stir", "dip 2 napkins for 5 min"};
#define COUNT (sizeof said / sizeof said[0])

static struct journal_about about_of(struct session *session)
{
    struct journal_about about;
    const struct session_options how = {.models_folder = MODELS_DIR};
    is_ok(journal_about_fill(&about, SCENARIOS_DIR "/fresh-vat.conf", &how));
    is_ok(session_digest(session, about.digest));
    return about;
}

/* A journal with the sentences above, and the session that was said. */
static struct session *session_with_journal(const char *path)
{
    struct session *session = hand_open("fresh-vat", false);
    struct session_journal *journal;
    struct journal_about about = about_of(session);
    (void)unlink(path);
    is_ok(session_journal_create(path, &about, &journal));
    for (size_t i = 0; i < COUNT; i++) {
        is_ok(session_journal_append(journal, said[i], hand_say(session, said[i]).changed));
    }
    session_journal_close(journal);
    journal_about_free(&about);
    return session;
}

/* Takes it up; how many sentences it holds, -1 when it is refused. */
static int taken_up(const char *path, struct session **session, char message[STATUS_MESSAGE_SIZE])
{
    struct session_journal *journal;
    struct journal_about about;
    *session = NULL;
    struct status status = session_journal_open(path, &journal, &about);
    if (status_is_ok(&status)) {
        *session = hand_open("fresh-vat", false);
        status = session_journal_replay(journal, *session, NULL, NULL);
    }
    (void)snprintf(message, STATUS_MESSAGE_SIZE, "%s", status.message);
    if (!status_is_ok(&status)) {
        session_close(*session);
        *session = NULL;
    }
    session_journal_close(journal);
    journal_about_free(&about);
    return status_is_ok(&status) ? (int)session_said_count(*session) : -1;
}

static void same_sessions(struct session *one, struct session *other)
{
    size_t sizes[2];
    char *bytes = hand_result(one, "x.conf", &sizes[0]);
    char *others = hand_result(other, "x.conf", &sizes[1]);
    assert_int_equal(sizes[0], sizes[1]);
    assert_memory_equal(bytes, others, sizes[0]);
    free(bytes);
    free(others);
}

static void write_bytes(const char *path, const char *bytes, size_t size)
{
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    assert_int_equal(fwrite(bytes, 1, size, file), size);
    assert_int_equal(fclose(file), 0);
}

static void taken_up_and_gone_on_with(void **state)
{
    (void)state;
    char message[STATUS_MESSAGE_SIZE];
    const char *path = scratch_path("one.session");
    struct session *session = session_with_journal(path);
    struct session *again;
    struct session_journal *journal;
    struct journal_about about;
    int count = taken_up(path, &again, message);
    assert_int_equal(count, session_said_count(session));
    same_sessions(session, again);
    is_ok(session_journal_open(path, &journal, &about));
    assert_string_equal(about.scenario, SCENARIOS_DIR "/fresh-vat.conf");
    is_ok(session_journal_append(journal, "wait\t3 h", hand_say(session, "wait 3 h").changed));
    session_journal_close(journal);
    journal_about_free(&about);
    session_close(again);
    assert_int_equal(taken_up(path, &again, message), count + 1);
    same_sessions(session, again);
    session_close(again);
    session_close(session);
}

/* Cut at every byte: what is whole is there, the rest is dropped, and what is said next stands behind it. */
static void torn(void **state)
{
    (void)state;
    const char *path = scratch_path("torn.session");
    session_close(session_with_journal(path));
    size_t size;
    char *bytes = file_bytes(path, &size);
    const char *begin = strstr(bytes, " said\n");
    assert_non_null(begin);
    size_t heading = (size_t)(begin - bytes) + strlen(" said\n");
    for (size_t cut = 0; cut <= size; cut += cut < heading ? 13 : 1) {
        struct session_journal *journal;
        struct journal_about about;
        write_bytes(path, bytes, cut);
        struct status status = session_journal_open(path, &journal, &about);
        assert_int_equal(status_is_ok(&status), cut >= heading);
        if (cut >= heading) {
            size_t whole = cut;
            while (bytes[whole - 1] != '\n') {
                whole--;
            }
            is_ok(session_journal_append(journal, "look", true));
            session_journal_close(journal);
            size_t now;
            char *after = file_bytes(path, &now);
            assert_int_equal(now, whole + strlen("01234567 = look\n"));
            assert_memory_equal(after, bytes, whole);
            free(after);
        }
        journal_about_free(&about);
    }
    free(bytes);
}

/* Any byte changed: refused, or the last line dropped; never another session. */
static void damaged(void **state)
{
    (void)state;
    const char *path = scratch_path("damaged.session");
    session_close(session_with_journal(path));
    size_t size;
    char *bytes = file_bytes(path, &size);
    int refused = 0;
    int dropped = 0;
    for (size_t at = 0; at < size; at++) {
        static const char others[] = {'\n', '\0', 'x', '7', (char)0xff};
        struct session_journal *journal;
        struct journal_about about;
        char kept = bytes[at];
        bytes[at] = others[at % sizeof others];
        if (bytes[at] == kept) {
            bytes[at] = 'y';
        }
        write_bytes(path, bytes, size);
        struct status status = session_journal_open(path, &journal, &about);
        if (status_is_ok(&status)) {
            assert_int_equal(at, size - 1); /* the end of the last line: it looks torn */
            dropped++;
        } else {
            assert_int_equal(status.code, STATUS_IO);
            refused++;
        }
        session_journal_close(journal);
        journal_about_free(&about);
        bytes[at] = kept;
    }
    print_message("%d refused, %d with the last line dropped\n", refused, dropped);
    assert_int_equal(refused, size - 1);
    assert_int_equal(dropped, 1);
    free(bytes);
}

static void foreign(void **state)
{
    (void)state;
    static const char *const texts[] = {
        "", "\n", "vatcast session 1\n", "00000000 vatcast session 1\n", "hello\n", "\x89HDF\r\n\x1a\n", "c1c1c1c1 "};
    const char *path = scratch_path("foreign.session");
    char message[STATUS_MESSAGE_SIZE];
    struct session *session;
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        write_bytes(path, texts[i], strlen(texts[i]));
        assert_int_equal(taken_up(path, &session, message), -1);
        assert_non_null(strstr(message, "foreign.session"));
    }
    char *large = calloc(1, 4 * 1024 * 1024);
    assert_non_null(large);
    write_bytes(path, large, 4 * 1024 * 1024);
    assert_int_equal(taken_up(path, &session, message), -1);
    assert_non_null(strstr(message, "too long"));
    free(large);
    assert_int_equal(taken_up(scratch_path("nowhere.session"), &session, message), -1);
    struct session_journal *journal;
    struct journal_about about;
    assert_int_equal(session_journal_open(SCENARIOS_DIR, &journal, &about).code, STATUS_IO);
    assert_int_equal(session_journal_open("/dev/zero", &journal, &about).code, STATUS_IO);
}

/* Another process that goes on with it is refused while this one holds it. */
static void held(void **state)
{
    (void)state;
    const char *path = scratch_path("held.session");
    session_close(session_with_journal(path));
    struct session_journal *journal;
    struct journal_about about;
    is_ok(session_journal_open(path, &journal, &about));
    pid_t child = fork();
    if (child == 0) {
        struct session_journal *other;
        struct journal_about its;
        struct status status = session_journal_open(path, &other, &its);
        _exit(status.code == STATUS_IO && strstr(status.message, "going on") != NULL ? 0 : 1);
    }
    int ended = -1;
    assert_true(child > 0 && waitpid(child, &ended, 0) == child);
    assert_int_equal(ended, 0);
    session_journal_close(journal);
    journal_about_free(&about);
    /* And one that is there is not made anew. */
    struct session *session = hand_open("fresh-vat", false);
    about = about_of(session);
    assert_int_equal(session_journal_create(path, &about, &journal).code, STATUS_IO);
    journal_about_free(&about);
    session_close(session);
}

/* A sentence that no longer does what it did is told, with its number. */
static void no_longer(void **state)
{
    (void)state;
    const char *path = scratch_path("longer.session");
    char message[STATUS_MESSAGE_SIZE];
    struct session *session = hand_open("fresh-vat", false);
    struct session_journal *journal;
    struct journal_about about = about_of(session);
    (void)unlink(path);
    is_ok(session_journal_create(path, &about, &journal));
    is_ok(session_journal_append(journal, "stir", true));
    is_ok(session_journal_append(journal, "whistle\nat it", true));
    session_journal_close(journal);
    journal_about_free(&about);
    session_close(session);
    assert_int_equal(taken_up(path, &session, message), -1);
    assert_non_null(strstr(message, "sentence 2 of the journal, \"whistle at it\""));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(taken_up_and_gone_on_with),
        cmocka_unit_test(torn),
        cmocka_unit_test(damaged),
        cmocka_unit_test(foreign),
        cmocka_unit_test(held),
        cmocka_unit_test(no_longer),
    };
    return cmocka_run_group_tests(tests, scratch_make, scratch_remove);
}
