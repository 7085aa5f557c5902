/* test_memory.c: the n-th allocation fails, for n from 1 until all goes well.
 *
 * Each stage of a whole job (read, run, write, read back, export, report, a session) must then end with "no memory left",
 * leak nothing (the sanitizers see to it) and work again the next time. In turns it fails alone, or all after it do too.
 * Allocations by the same chain of calls are tried once; with FAULTS_ALL in the environment every one is.
 */
#include "faults/faults.h"

#include "process/registry.h"
#include "record/record.h"
#include "record/report.h"
#include "record/scratch.h"
#include "rehearse/session.h"
#include "scenario/read.h"
#include "scenario/reader.h"
#include "sim/run.h"

#include <gsl/gsl_errno.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define POINTS_MOST 200000

static struct {
    struct quantities *quantities;
    struct scenario scenario;
    struct result result;
    struct result read_back;
    struct session *session;
    char folder[SCRATCH_PATH];
    char file[SCRATCH_PATH + 32];
    char page[SCRATCH_PATH + 32];
    char tables[SCRATCH_PATH + 32];
} job;

static struct status read_scenario(void)
{
    static const char *const overrides[] = {"calendar.first.soak=90 s", "vat.water.alkalinity=120 mg/L", "seed=3"};
    const char *names[PROCESSES_KNOWN_MOST + 1];
    struct complaints complaints;
    process_names(names);
    complaints_init(&complaints);
    struct status status = scenario_read_with(job.quantities, TESTS_DIR "/faults/short-vat.conf", overrides, 3, names,
                                              MODELS_DIR, &job.scenario, &complaints);
    complaints_free(&complaints);
    return status;
}

static struct status run(void)
{
    struct run_options how = {0};
    return run_scenario(&job.scenario, &how, &job.result);
}

static struct status write_result(void)
{
    return record_write(&job.result, job.file, true);
}

static struct status read_result(void)
{
    return record_read(job.file, &job.read_back);
}

static struct status export_tables(void)
{
    return record_export_csv(&job.result, job.tables, true);
}

static struct status write_report(void)
{
    const struct report_run page = {.result = &job.result, .name = "short", .story = ""};
    const struct report_words words = {NULL, NULL};
    return report_write(&page, 1, &words, job.page, true);
}

/* A session of a few sentences, one of each kind, and what is kept of it. */
static struct status work_by_hand(void)
{
    static const char *const said[] = {"stir",
                                       "add 5 g lime then wait 20 min",
                                       "wibble",
                                       "what if stir",
                                       "why since 08:10",
                                       "dip for 1 min",
                                       "back 1",
                                       "look",
                                       "story",
                                       "help",
                                       "reveal"};
    const struct session_options how = {.models_folder = MODELS_DIR};
    struct session_answer answer;
    struct complaints complaints;
    complaints_init(&complaints);
    struct status status = session_open(TESTS_DIR "/faults/short-vat.conf", &how, &job.session, &complaints);
    complaints_free(&complaints);
    for (size_t i = 0; i < sizeof said / sizeof said[0] && status_is_ok(&status); i++) {
        status = session_say(job.session, said[i], &answer);
    }
    RETURN_IF_FAILED(status);
    const struct result *result;
    RETURN_IF_FAILED(session_result_begin(job.session, "short.conf", &result));
    RETURN_IF_FAILED(session_result_end(job.session));
    return session_save_scenario(job.session, job.page, true);
}

static void forget_session(void)
{
    session_close(job.session);
    job.session = NULL;
}

static void forget_scenario(void)
{
    scenario_free(&job.scenario);
}

static void forget_result(void)
{
    result_free(&job.result);
}

static void forget_read_back(void)
{
    result_free(&job.read_back);
}

static void forget_nothing(void)
{
}

static const struct stage {
    const char *name;
    struct status (*act)(void);
    void (*forget)(void); /* frees what it has made */
} stages[] = {
    {"reading a scenario", read_scenario, forget_scenario}, {"running it", run, forget_result},
    {"writing the result", write_result, forget_nothing},   {"reading the result", read_result, forget_read_back},
    {"exporting tables", export_tables, forget_nothing},    {"writing a report", write_report, forget_nothing},
    {"working by hand", work_by_hand, forget_session},
};

/* Tries one stage with the n-th allocation failing; false when it took it badly. */
static bool point_holds(const struct stage *stage, size_t n, bool and_on)
{
    fault_set(CALL_MEMORY, FAULT_ERROR, 12 /* ENOMEM */, n, and_on);
    struct status status = stage->act();
    bool met = fault_met();
    fault_clear();
    stage->forget();
    bool told = status.code == STATUS_MEMORY || (status.code == STATUS_LIMIT && stage->act == read_result);
    if (told && status.message[0] != '\0') {
        return true;
    }
    printf("%s: allocation %zu failed%s%s, which ended with %d '%s'\n", stage->name, n,
           and_on ? ", and all after it" : "", met ? "" : " (not met)", (int)status.code, status.message);
    (void)fflush(stdout);
    fault_trace(true); /* once more, to see where */
    fault_set(CALL_MEMORY, FAULT_ERROR, 12, n, false);
    (void)stage->act();
    fault_trace(false);
    fault_clear();
    stage->forget();
    return false;
}

/* Tries a stage with every allocation failing in turn, then leaves it done. Returns how many points went wrong. */
static size_t stage_try(const struct stage *stage, uint64_t *paths, size_t *calls, size_t *tried)
{
    fault_note_paths(paths, POINTS_MOST);
    fault_set(CALL_MEMORY, FAULT_ERROR, 12, 0, false);
    struct status status = stage->act();
    size_t count = fault_calls();
    fault_note_paths(NULL, 0);
    fault_clear();
    if (!status_is_ok(&status) || count > POINTS_MOST) {
        printf("%s: %s\n", stage->name, status.message);
        return 1;
    }
    size_t wrong = 0;
    stage->forget();
    size_t *points = calloc(count + 1, sizeof *points);
    size_t here = points != NULL ? fault_choose_points(paths, count, false, points) : 0;
    for (size_t i = 0; i < here; i++) {
        wrong += !point_holds(stage, points[i], i % 2 != 0); /* in turns it alone, or all after it too */
    }
    free(points);
    status = stage->act(); /* works as ever */
    if (!status_is_ok(&status)) {
        printf("%s, afterwards: %s\n", stage->name, status.message);
        wrong++;
    }
    printf("%-20s %6zu allocations, %5zu faults injected, %zu taken badly\n", stage->name, count, here, wrong);
    (void)fflush(stdout);
    *calls += count;
    *tried += here;
    return wrong;
}

int main(void)
{
    size_t wrong = 0;
    size_t points = 0;
    size_t tried = 0;
    uint64_t *paths = malloc(POINTS_MOST * sizeof *paths);
    (void)gsl_set_error_handler_off();
    struct status status = quantities_open(&job.quantities);
    if (paths == NULL || !status_is_ok(&status)) {
        exit(2);
    }
    scratch_make(job.folder);
    (void)snprintf(job.file, sizeof job.file, "%s/short.h5", job.folder);
    (void)snprintf(job.page, sizeof job.page, "%s/short.html", job.folder);
    (void)snprintf(job.tables, sizeof job.tables, "%s", job.folder);
    for (size_t i = 0; i < sizeof stages / sizeof stages[0]; i++) {
        wrong += stage_try(&stages[i], paths, &points, &tried);
    }
    printf("%zu allocations in all, %zu faults injected, %zu taken badly\n", points, tried, wrong);
    session_close(job.session);
    result_free(&job.read_back);
    result_free(&job.result);
    scenario_free(&job.scenario);
    quantities_close(job.quantities);
    scratch_remove(job.folder);
    free(paths);
    return wrong == 0 ? 0 : 1;
}
