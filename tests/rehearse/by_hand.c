/* by_hand.c: see by_hand.h. */
#include "by_hand.h"

#include "process/registry.h"
#include "record/record.h"
#include "scenario/read.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static char folder[64]; /* of this test program */
static char *made[64];
static size_t made_count;

int scratch_make(void **state)
{
    (void)state;
    (void)snprintf(folder, sizeof folder, "rehearse-XXXXXX");
    return mkdtemp(folder) == NULL;
}

const char *scratch_path(const char *name)
{
    static char paths[4][160];
    static int next;
    char *path = paths[next++ % 4];
    (void)snprintf(path, sizeof paths[0], "%s/%s", folder, name);
    for (size_t i = 0; i < made_count; i++) {
        if (strcmp(made[i], path) == 0) {
            return path;
        }
    }
    assert_true(made_count < sizeof made / sizeof made[0]);
    made[made_count++] = strdup(path);
    return path;
}

int scratch_remove(void **state)
{
    (void)state;
    for (size_t i = 0; i < made_count; i++) {
        (void)unlink(made[i]);
        free(made[i]);
    }
    return rmdir(folder);
}

void is_ok(struct status status)
{
    if (!status_is_ok(&status)) {
        fail_msg("%s", status.message);
    }
}

struct session *hand_open(const char *name, bool keeps_calendar)
{
    char path[512];
    struct session *session;
    struct complaints complaints;
    const struct session_options how = {.models_folder = MODELS_DIR, .keeps_calendar = keeps_calendar};
    complaints_init(&complaints);
    (void)snprintf(path, sizeof path, "%s/%s.conf", SCENARIOS_DIR, name);
    struct status status = session_open(path, &how, &session, &complaints);
    if (complaints.count > 0) {
        fail_msg("%s", complaints.items[0].text);
    }
    complaints_free(&complaints);
    is_ok(status);
    return session;
}

struct session_answer hand_say(struct session *session, const char *sentence)
{
    struct session_answer answer;
    is_ok(session_say(session, sentence, &answer));
    if (!answer.understood) {
        fail_msg("\"%s\": %s", sentence, answer.text);
    }
    return answer;
}

const char *hand_refuse(struct session *session, const char *sentence)
{
    struct session_answer answer;
    double time = session_time(session);
    size_t events = session_scenario(session)->event_count;
    size_t said = session_said_count(session);
    struct run_look before = session_truth(session);
    is_ok(session_say(session, sentence, &answer));
    if (answer.understood) {
        fail_msg("\"%s\" was understood: %s", sentence, answer.text);
    }
    struct run_look after = session_truth(session);
    assert_false(answer.changed);
    assert_true(strlen(answer.text) > 10);
    assert_memory_equal(&time, &(double){session_time(session)}, sizeof time);
    assert_int_equal(session_scenario(session)->event_count, events);
    assert_int_equal(session_said_count(session), said);
    assert_memory_equal(&before.leuco, &after.leuco, sizeof before.leuco);
    assert_memory_equal(&before.ph, &after.ph, sizeof before.ph);
    return answer.text;
}

char *file_bytes(const char *path, size_t *size)
{
    FILE *file = fopen(path, "rb");
    assert_non_null(file);
    assert_int_equal(fseek(file, 0, SEEK_END), 0);
    long length = ftell(file);
    assert_true(length >= 0);
    rewind(file);
    char *bytes = malloc((size_t)length + 1);
    assert_non_null(bytes);
    assert_int_equal(fread(bytes, 1, (size_t)length, file), length);
    bytes[length] = '\0';
    (void)fclose(file);
    *size = (size_t)length;
    return bytes;
}

char *hand_result(struct session *session, const char *scenario, size_t *size)
{
    const struct result *result;
    const char *path = scratch_path("by-hand.h5");
    is_ok(session_result_begin(session, scenario, &result));
    is_ok(record_write(result, path, true));
    is_ok(session_result_end(session));
    return file_bytes(path, size);
}

char *hand_rerun(struct session *session, const char *path, size_t *size)
{
    const char *names[PROCESSES_KNOWN_MOST + 1];
    struct complaints complaints;
    struct scenario scenario;
    struct result result;
    process_names(names);
    complaints_init(&complaints);
    is_ok(session_save_scenario(session, path, true));
    struct status status = scenario_read(path, NULL, 0, names, MODELS_DIR, &scenario, &complaints);
    if (complaints.count > 0) {
        fail_msg("%s:%d: %s", complaints.items[0].file, complaints.items[0].line, complaints.items[0].text);
    }
    complaints_free(&complaints);
    is_ok(status);
    is_ok(run_scenario(&scenario, NULL, &result));
    const char *written = scratch_path("again.h5");
    is_ok(record_write(&result, written, true));
    result_free(&result);
    scenario_free(&scenario);
    return file_bytes(written, size);
}

void hand_is_reproduced(struct session *session)
{
    size_t size;
    size_t again;
    const char *path = scratch_path("by-hand.conf");
    char *bytes = hand_result(session, path, &size);
    char *other = hand_rerun(session, path, &again);
    assert_int_equal(size, again);
    assert_memory_equal(bytes, other, size);
    free(bytes);
    free(other);
}
