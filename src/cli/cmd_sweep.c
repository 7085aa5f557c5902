/* cmd_sweep.c: vatcast sweep: one scenario run many times with other values of what is varied. */
#include "cli/option_values.h"
#include "cli/sweep_end.h"
#include "cli/terminal.h"
#include "cli/text.h"
#include "cli/verbs.h"
#include "process/registry.h"
#include "record/publish.h"
#include "study/many.h"
#include "study/sweep.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define RUNS_USUAL 100
#define SERIES_NUMBERS_MOST 50000000.0 /* in one file; 400 MB before compression */
#define LEFT_END ".partial"

static const struct option_spec options[] = {
    {0, "over", "KEY=LOW..HIGH",
     "what is varied: a setting by its path, as 'vat.water.temperature=40..60 degC', or a constant by its name, as "
     "leuco_pk2=12.2..13.0; a constant alone goes over its own range, and the word constants stands for all of them; "
     "may "
     "be repeated"},
    {'n', "runs", "N", "how many runs are drawn (default 100)"},
    {0, "grid", NULL,
     "run every combination instead of drawing; each --over then ends in its steps, as =40..60 degC:5"},
    {0, "seed", "S", "of the drawing: another seed, other values (default 1)"},
    {0, "summary-only", NULL, "keep only what each run came to, and no series"},
    {'j', "threads", "N", "how many runs go on at once (default: one on each core)"},
    {0, "part", "I/N", "do only part I of N and write it for 'vatcast merge'"},
    {'o', "output", "FILE", "where the result goes (default: NAME-sweep.h5 in this folder, after the scenario's name)"},
    {0, "set", "PATH=VALUE", "changes one setting of the scenario, as in vatcast run; may be repeated"},
    {0, "rtol", "X", "relative tolerance of the calculation (default: as the scenario says)"},
    {0, "force", NULL, "replace the result, and an unfinished sweep of another kind, when they are there already"},
    {'q', "quiet", NULL, "print nothing but complaints"},
    {0, NULL, NULL, NULL},
};

struct job {
    const struct call *call;
    const char *process_names[PROCESSES_KNOWN_MOST + 1];
    const char **overrides;
    size_t override_count;
    struct scenario_template *kept;
    struct scenario scenario;
    struct drawn *drawn;
    size_t drawn_count;
    size_t runs;
    int part, parts;
    int threads;
    int seed;
    double rtol;
    bool grid, with_series;
    double *values;
    char *output, *left; /* the result; what is done of it so far */
    struct sweep_about about;
};

static void job_free(struct job *job)
{
    free(job->overrides);
    scenario_template_close(job->kept);
    scenario_free(&job->scenario);
    free(job->drawn);
    free(job->values);
    free(job->output);
    free(job->left);
    sweep_about_free(&job->about);
}

/* ---- the command line -------------------------------------------------------------------------------------------- */

static struct status read_part(struct job *job)
{
    const char *text = option_value(job->call, "part", NULL);
    char *end;
    job->part = job->parts = 1;
    if (text == NULL) {
        return status_ok();
    }
    long part = strtol(text, &end, 10);
    long parts = *end == '/' && end > text ? strtol(end + 1, &end, 10) : 0;
    if (*end != '\0' || parts < 1 || part < 1 || part > parts || parts > 1000000) {
        return status_fail(STATUS_USAGE, "'--part=%.40s' will not do; expected which of how many, as 2/8", text);
    }
    job->part = (int)part;
    job->parts = (int)parts;
    return status_ok();
}

/* All constants that have a range. */
static void add_constants(struct job *job)
{
    for (int id = 0; id < CONSTANT_COUNT; id++) {
        struct drawn *drawn = &job->drawn[job->drawn_count];
        job->drawn_count +=
            drawn_constant(&job->scenario.model, constant_specs[id].name, drawn) && drawn->high > drawn->low;
    }
}

static struct status check_drawn(const struct job *job)
{
    for (size_t i = 0; i < job->drawn_count; i++) {
        const struct drawn *drawn = &job->drawn[i];
        bool moves_times = strcmp(drawn->name, "lasts") == 0 || strcmp(drawn->name, "record") == 0;
        if (job->with_series && moves_times) {
            return status_fail(STATUS_USAGE,
                               "'%s' cannot be varied while series are kept, as they would not be of one "
                               "length; give --summary-only",
                               drawn->name);
        }
        for (size_t k = 0; k < i; k++) {
            if (strcmp(job->drawn[k].name, drawn->name) == 0) {
                return status_fail(STATUS_USAGE, "'%.100s' is varied twice; expected it once", drawn->name);
            }
        }
    }
    return status_ok();
}

static struct status read_over(struct job *job)
{
    const char **texts;
    size_t count;
    RETURN_IF_FAILED(option_texts(job->call, "over", &texts, &count));
    job->drawn = calloc(count + CONSTANT_COUNT, sizeof *job->drawn);
    struct status status =
        job->drawn != NULL ? status_ok() : status_fail(STATUS_MEMORY, "no memory left to read the command line");
    if (status_is_ok(&status) && count == 0) {
        status = status_fail(STATUS_USAGE, "nothing is varied; expected --over KEY=LOW..HIGH, as --over "
                                           "'vat.water.temperature=40..60 degC'");
    }
    for (size_t i = 0; i < count && status_is_ok(&status); i++) {
        if (strcmp(texts[i], "constants") == 0 && !job->grid) {
            add_constants(job);
        } else {
            status = sweep_read_key(texts[i], job->grid, &job->scenario, &job->drawn[job->drawn_count++]);
        }
    }
    free(texts);
    return status_is_ok(&status) ? check_drawn(job) : status;
}

static struct status count_runs(struct job *job)
{
    int runs = RUNS_USUAL;
    double product = 1.0;
    if (job->grid && option_given(job->call, "runs")) {
        return status_fail(STATUS_USAGE,
                           "--runs and --grid do not go together: a grid has as many runs as its steps make");
    }
    RETURN_IF_FAILED(option_whole(job->call, "runs", 1, DRAWS_MOST, &runs));
    for (size_t i = 0; i < job->drawn_count; i++) {
        product *= job->drawn[i].steps;
    }
    if (job->grid && product > DRAWS_MOST) {
        return status_fail(STATUS_LIMIT, "the grid has %.0f runs; expected at most %d", product, DRAWS_MOST);
    }
    job->runs = job->grid ? (size_t)product : (size_t)runs;
    double numbers = (double)job->runs * (double)sweep_series_rows(&job->scenario) * SWEEP_SERIES;
    if (job->with_series && numbers > SERIES_NUMBERS_MOST) {
        return status_fail(STATUS_LIMIT,
                           "the series of %zu runs are %.0f million numbers; give --summary-only, or fewer "
                           "runs, or --set 'record=6 h'",
                           job->runs, numbers / 1e6);
    }
    if ((size_t)job->parts > job->runs) {
        return status_fail(STATUS_USAGE, "%zu runs cannot be cut into %d parts", job->runs, job->parts);
    }
    return status_ok();
}

static struct status name_output(struct job *job)
{
    const char *named = option_value(job->call, "output", NULL);
    const char *slash = strrchr(job->call->operands[0], '/');
    const char *name = slash == NULL ? job->call->operands[0] : slash + 1;
    size_t length = strlen(name);
    length -= length > 5 && strcmp(name + length - 5, ".conf") == 0 ? 5 : 0;
    struct text text = {0};
    if (named != NULL) {
        text_add(&text, "%s", named);
    } else if (job->parts > 1) {
        text_add(&text, "%.*s-sweep.%d-of-%d", (int)length, name, job->part, job->parts);
    } else {
        text_add(&text, "%.*s-sweep.h5", (int)length, name);
    }
    job->output = strdup(text_string(&text));
    text_add(&text, LEFT_END);
    job->left = strdup(text_string(&text));
    text_free(&text);
    if (job->output == NULL || job->left == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to name the result");
    }
    return publish_check(job->output, option_given(job->call, "force"));
}

static struct status read_call(struct job *job)
{
    const struct call *call = job->call;
    job->grid = option_given(call, "grid");
    job->with_series = !option_given(call, "summary-only");
    job->seed = 1;
    RETURN_IF_FAILED(read_part(job));
    RETURN_IF_FAILED(option_whole(call, "seed", 0, 2147483647, &job->seed));
    RETURN_IF_FAILED(option_whole(call, "threads", 1, MANY_THREADS_MOST, &job->threads));
    RETURN_IF_FAILED(option_tolerance(call, &job->rtol));
    RETURN_IF_FAILED(option_texts(call, "set", &job->overrides, &job->override_count));
    process_names(job->process_names);
    RETURN_IF_FAILED(load_template(call, call->operands[0], job->overrides, job->override_count, job->process_names,
                                   &job->kept, &job->scenario));
    RETURN_IF_FAILED(read_over(job));
    struct complaints complaints;
    complaints_init(&complaints);
    RETURN_IF_FAILED(load_tell(&complaints, sweep_check_keys(job->kept, job->overrides, job->override_count, job->drawn,
                                                             job->drawn_count, &complaints)));
    RETURN_IF_FAILED(count_runs(job));
    return name_output(job);
}

/* ---- what the runs have in common -------------------------------------------------------------------------------- */

static struct status add_swept(struct job *job)
{
    struct sweep_about *about = &job->about;
    about->swept = calloc(job->drawn_count, sizeof *about->swept);
    if (about->swept == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left for a sweep");
    }
    about->swept_count = job->drawn_count;
    for (size_t i = 0; i < job->drawn_count; i++) {
        const struct drawn *drawn = &job->drawn[i];
        struct swept *swept = &about->swept[i];
        char name[48];
        char long_name[128];
        *swept = (struct swept){.low = drawn->low, .high = drawn->high};
        (void)snprintf(swept->name, sizeof swept->name, "%s", drawn->name);
        (void)snprintf(swept->unit, sizeof swept->unit, "%s", drawn->unit);
        if (job->grid) {
            (void)snprintf(swept->how, sizeof swept->how, "grid of %d", drawn->steps);
        } else {
            (void)snprintf(swept->how, sizeof swept->how, "%s%s", draw_how_words[drawn->how],
                           drawn->whole ? ", whole" : "");
        }
        drawn_column_name(&about->members, drawn, name);
        (void)snprintf(long_name, sizeof long_name, "%.100s, as varied", drawn->name);
        RETURN_IF_FAILED(table_add_column(&about->members, name, drawn->unit, long_name, NULL));
    }
    return status_ok();
}

static struct status add_columns(struct job *job)
{
    static const char *const words[SERIES_COUNT] = {[SERIES_STATE] = STATE_WORDS,
                                                    [SERIES_LOOK] = LOOK_WORDS,
                                                    [SERIES_SMELL] = SMELL_WORDS,
                                                    [SERIES_LIQUOR_CLARITY] = LIQUOR_CLARITY_WORDS,
                                                    [SERIES_LIQUOR_HUE] = LIQUOR_HUE_WORDS};
    struct sweep_about *about = &job->about;
    RETURN_IF_FAILED(figures_add_columns(&about->members));
    if (job->with_series) {
        about->series_rows = sweep_series_rows(&job->scenario);
#define ADD_SERIES(id, name, unit, long_name)                                                                          \
    if (SERIES_##id != SERIES_TIME) {                                                                                  \
        RETURN_IF_FAILED(table_add_column(&about->series, name, unit, long_name, words[SERIES_##id]));                 \
    }
        SERIES_LIST(ADD_SERIES)
#undef ADD_SERIES
    }
    return status_ok();
}

static struct status describe(struct job *job)
{
    const struct scenario *scenario = &job->scenario;
    struct sweep_about *about = &job->about;
    *about = (struct sweep_about){.start_unix = scenario->start_unix,
                                  .record_every = scenario->record_every,
                                  .rtol = job->rtol > 0.0 ? job->rtol : scenario->rtol,
                                  .seed = (uint64_t)job->seed,
                                  .runs = job->runs};
    (void)snprintf(about->members.name, sizeof about->members.name, "members");
    (void)snprintf(about->title, sizeof about->title, "%s", scenario->title);
    (void)snprintf(about->scenario_name, sizeof about->scenario_name, "%s", scenario->path);
    about->scenario_text = strdup(scenario->scenario_text);
    about->model_text = strdup(scenario->model.model_text);
    job->values = malloc((job->runs * job->drawn_count + 1) * sizeof *job->values);
    if (about->scenario_text == NULL || about->model_text == NULL || job->values == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left for a sweep of %zu runs", job->runs);
    }
    RETURN_IF_FAILED(add_swept(job));
    RETURN_IF_FAILED(add_columns(job));
    return draws_fill(job->drawn, job->drawn_count, job->grid, (uint64_t)job->seed, job->runs, job->values);
}

/* ---- the runs ---------------------------------------------------------------------------------------------------- */

static struct status keep(void *context, size_t run, const double *row)
{
    (void)run;
    return journal_append(context, row);
}

static bool needs_reading(const struct job *job)
{
    for (size_t i = 0; i < job->drawn_count; i++) {
        if (job->drawn[i].of == DRAW_SETTING) {
            return true;
        }
    }
    return false;
}

/* Does what is not done yet. */
static struct status do_runs(struct job *job, struct journal *journal)
{
    const struct call *call = job->call;
    size_t done = journal_rows(journal);
    bool quiet = option_given(call, "quiet");
    struct progress progress;
    if (done > 0 && !quiet) {
        fprintf(stderr, "vatcast: going on after %zu of %zu runs\n", done, journal_count(journal));
    }
    progress_begin(&progress, quiet);
    call->watch_signals();
    struct sweep sweep = {
        .scenario = &job->scenario,
        .kept = needs_reading(job) ? job->kept : NULL,
        .overrides = job->overrides,
        .override_count = job->override_count,
        .drawn = job->drawn,
        .drawn_count = job->drawn_count,
        .values = job->values,
        .series = job->with_series ? SERIES_ALL : 0,
        .first = journal_first(journal) + done,
        .count = journal_count(journal) - done,
        .threads = job->threads,
        .rtol = job->rtol,
        .stop = call->stop,
        .progress = progress_show,
        .progress_context = &progress,
        .keep = keep,
        .context = journal,
    };
    struct status status = sweep_run(&sweep);
    progress_end(&progress);
    if (status.code == STATUS_INTERRUPTED) {
        return status_fail(STATUS_INTERRUPTED,
                           "stopped; %zu of %zu runs are done and kept in '%s': the same command goes "
                           "on from there",
                           journal_rows(journal), journal_count(journal), job->left);
    }
    return status;
}

/* Gives a finished part its name; without --force not that of a file that turned up in the meantime. */
static struct status put_part(const struct job *job)
{
    RETURN_IF_FAILED(publish_check(job->output, option_given(job->call, "force")));
    if (rename(job->left, job->output) != 0) {
        return status_fail(STATUS_IO, "'%.200s' could not be put in place: %s", job->output, strerror(errno));
    }
    if (!option_given(job->call, "quiet")) {
        printf("part %d of %d is in '%s'; put all parts together with 'vatcast merge'\n", job->part, job->parts,
               job->output);
    }
    return status_ok();
}

static struct status sweep_it(struct job *job)
{
    char *heading;
    struct journal *journal;
    RETURN_IF_FAILED(describe(job));
    RETURN_IF_FAILED(sweep_about_write(&job->about, &heading));
    size_t first = job->runs * (size_t)(job->part - 1) / (size_t)job->parts;
    size_t end = job->runs * (size_t)job->part / (size_t)job->parts;
    struct status status = journal_open(job->left, heading, first, end - first, sweep_about_width(&job->about),
                                        option_given(job->call, "force"), &journal);
    free(heading);
    RETURN_IF_FAILED(status);
    status = do_runs(job, journal);
    bool is_part = option_given(job->call, "part");
    if (status_is_ok(&status) && !is_part) {
        status = sweep_end(&job->about, &journal, 1, job->output, job->left, option_given(job->call, "force"),
                           option_given(job->call, "quiet"), job->call->colour);
    }
    struct status closed = journal_close(journal);
    RETURN_IF_FAILED(status_is_ok(&status) ? closed : status);
    return is_part ? put_part(job) : status_ok();
}

static struct status act(const struct call *call)
{
    struct job job = {.call = call};
    struct status status = read_call(&job);
    if (status_is_ok(&status)) {
        status = sweep_it(&job);
    }
    job_free(&job);
    return status;
}

const struct verb verb_sweep = {
    .name = "sweep",
    .operands = "SCENARIO",
    .summary = "run a scenario many times with other values",
    .about =
        "Runs a scenario many times, each time with other values of what is varied, on all cores, and "
        "writes one file (HDF5, with a dimension 'member'; see docs/sweep.md). Values are drawn so that they cover "
        "their ranges evenly, or laid out as a grid. What is done is kept: an interrupted sweep goes on when the "
        "same command is given again.",
    .options = options,
    .operands_least = 1,
    .operands_most = 1,
    .act = act,
};
