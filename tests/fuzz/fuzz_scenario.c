/* fuzz_scenario.c: any bytes as a scenario, read with the shipped models.
 *
 * Promised: it reads without a complaint, and then its numbers are in range, or it is refused with complaints and gives
 * nothing.
 */
#include "fuzz/fuzz.h"

#include "process/registry.h"
#include "scenario/lesson.h"
#include "scenario/read.h"
#include "scenario/reader.h"

#include <math.h>

static void lesson_expect(const struct scenario *scenario, const struct lesson *lesson)
{
    fuzz_expect(lesson->begins >= 0 && lesson->begins < lesson->ends, "a lesson begins before it ends");
    fuzz_expect(lesson->ends >= 60, "a lesson takes time");
    fuzz_expect(lesson->goal_count > 0 && lesson->hint_count > 0 && lesson->good_count > 0, "a lesson is whole");
    for (int i = 0; i < lesson->goal_count; i++) {
        const struct lesson_goal *goal = &lesson->goals[i];
        bool of_cloth = goal->check == LESSON_SHADE || goal->check == LESSON_NONE_PALER || goal->check == LESSON_EVEN;
        fuzz_expect(goal->check >= 0 && goal->check < LESSON_CHECK_COUNT, "a goal has a check");
        fuzz_expect(!of_cloth || (size_t)goal->cloth < scenario->cloth_count, "a goal is of known cloth");
        fuzz_expect(!(goal->least > goal->most), "the bounds of a goal leave room");
    }
}

static void scenario_expect(const struct scenario *scenario)
{
    fuzz_expect(scenario->lasts >= 60 && scenario->lasts < 1e9, "a scenario lasts a sensible time");
    fuzz_expect(scenario->record_every >= 1 && scenario->record_every <= scenario->lasts, "records come in time");
    fuzz_expect(isfinite(scenario->start_unix), "the start is a time");
    fuzz_expect(scenario->place_count >= 1 && scenario->places != NULL, "the vat stands somewhere");
    for (size_t i = 0; i < scenario->charge_count; i++) {
        fuzz_expect(isfinite(scenario->charge[i].mass) && scenario->charge[i].mass > 0, "doses are weights");
        fuzz_expect(scenario->charge[i].material >= 0, "doses are of a known material");
    }
    if (scenario->lesson != NULL) {
        lesson_expect(scenario, scenario->lesson);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    const char *names[PROCESSES_KNOWN_MOST + 1];
    struct scenario scenario;
    struct complaints complaints;
    process_names(names);
    complaints_init(&complaints);
    const char *path = fuzz_file("scenario.conf", data, size);
    static struct quantities *quantities; /* reading the units takes longer than reading a scenario */
    struct status status = quantities == NULL ? quantities_open(&quantities) : status_ok();
    fuzz_expect(status_is_ok(&status), "the units can be read");
    status = scenario_read_with(quantities, path, NULL, 0, names, MODELS_DIR, &scenario, &complaints);
    if (status_is_ok(&status)) {
        fuzz_expect(complaints.count == 0, "what reads is not complained about");
        scenario_expect(&scenario);
    } else {
        fuzz_expect(status.code == STATUS_SCENARIO && complaints.count > 0, "what does not read is complained about");
        fuzz_expect(scenario.events == NULL && scenario.scenario_text == NULL, "what does not read gives nothing");
    }
    scenario_free(&scenario);
    complaints_free(&complaints);
    return 0;
}
