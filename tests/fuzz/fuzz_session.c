/* fuzz_session.c: any lines said to a session: what is not understood changes nothing; what is can be taken back; and the scenario
 * that it is saved as reads.
 */
#include "fuzz/fuzz.h"

#include "process/registry.h"
#include "rehearse/session.h"
#include "scenario/read.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define LINES_MOST 12

static struct session *open_vat(void)
{
    struct session *session;
    struct complaints complaints;
    const struct session_options how = {.models_folder = MODELS_DIR};
    complaints_init(&complaints);
    struct status status = session_open(SCENARIOS_DIR "/fresh-vat.conf", &how, &session, &complaints);
    fuzz_expect(status_is_ok(&status), "a shipped scenario can be rehearsed");
    complaints_free(&complaints);
    return session;
}

static void say(struct session *session, const char *line)
{
    struct session_answer answer;
    const char *words[16];
    double time = session_time(session);
    size_t events = session_scenario(session)->event_count;
    struct run_look before = session_truth(session);
    struct status status = session_say(session, line, &answer);
    fuzz_expect(status_is_ok(&status), "a sentence is answered");
    fuzz_expect(answer.text != NULL, "an answer is there");
    if (!answer.understood || !answer.changed) {
        struct run_look after = session_truth(session);
        fuzz_expect(memcmp(&before.leuco, &after.leuco, sizeof before.leuco) == 0 && before.time >= after.time,
                    "what changes nothing leaves the vat");
        fuzz_expect(fabs(session_time(session) - time) < 0.5 && session_scenario(session)->event_count == events,
                    "what changes nothing leaves the clock and the calendar");
    }
    fuzz_expect(floor(session_time(session)) >= session_time(session), "time passes by whole seconds");
    (void)session_complete(session, line, words, sizeof words / sizeof words[0]);
}

static void check_saved(struct session *session)
{
    const char *names[PROCESSES_KNOWN_MOST + 1];
    struct complaints complaints;
    struct scenario scenario;
    const char *path = fuzz_file("said.conf", (const uint8_t *)"", 0);
    process_names(names);
    complaints_init(&complaints);
    struct status status = session_save_scenario(session, path, true);
    fuzz_expect(status_is_ok(&status), "a session can be saved");
    status = scenario_read(path, NULL, 0, names, MODELS_DIR, &scenario, &complaints);
    fuzz_expect(status_is_ok(&status) && complaints.count == 0, "what is saved reads");
    fuzz_expect(scenario.event_count == session_scenario(session)->event_count, "what is saved has every event");
    scenario_free(&scenario);
    complaints_free(&complaints);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static struct session *session;
    session = session == NULL ? open_vat() : session;
    char *text = fuzz_text(data, size);
    if (text == NULL) {
        return 0;
    }
    int lines = 0;
    for (char *line = text; line != NULL && lines < LINES_MOST; lines++) {
        char *end = strchr(line, '\n');
        if (end != NULL) {
            *end = '\0';
        }
        say(session, line);
        line = end == NULL ? NULL : end + 1;
    }
    check_saved(session);
    say(session, "back to the start");
    fuzz_expect(fabs(session_time(session)) < 0.5, "everything can be taken back");
    for (size_t i = 0; i < session_said_count(session); i++) {
        fuzz_expect(!session_said(session, i).changed, "only questions are left");
    }
    if (session_said_count(session) > 0 || size % 64 == 63) {
        session_close(session);
        session = NULL;
    }
    free(text);
    return 0;
}
