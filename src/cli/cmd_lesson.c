/* cmd_lesson.c: vatcast lesson: lists the lessons, and holds one: what is told, the session, hints, and the debrief. */
#include "cli/lesson_text.h"
#include "cli/terminal.h"
#include "cli/verbs.h"
#include "record/record.h"
#include "scenario/words.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define LESSONS_MOST 200
#define PATH_SIZE 4200
#define LIST_INDENT 4

static const struct option_spec options[] = {
    {0, "good", NULL, "say the lesson's good course instead of reading what is typed, for teachers"},
    {0, "color", "WHEN", "bold headings: always, never or auto (default: auto)"},
    {0, NULL, NULL, NULL},
};

/* ---- finding lessons ---------------------------------------------------------------------------------------------- */

struct listed {
    char name[NAME_SIZE];
    char title[TITLE_SIZE];
    char *aim; /* owned */
    int order;
};

/* $VATCAST_LESSONS when set; else scenarios/lessons beside the models. */
static void lessons_folder(const struct call *call, char *path, size_t size)
{
    const char *named = getenv("VATCAST_LESSONS");
    if (named != NULL && named[0] != '\0') {
        (void)snprintf(path, size, "%s", named);
    } else {
        (void)snprintf(path, size, "%s/../scenarios/lessons", call->models_folder);
    }
}

static int is_lesson_file(const struct dirent *entry)
{
    size_t length = strlen(entry->d_name);
    return entry->d_name[0] != '.' && length > 5 && length < NAME_SIZE && strcmp(entry->d_name + length - 5, ".conf") == 0;
}

/* The names of the lessons, NULL-terminated, each to be freed and the list too. Fewer than LESSONS_MOST. */
static struct status names_read(const char *folder, char ***names)
{
    struct dirent **entries;
    int count = scandir(folder, &entries, is_lesson_file, alphasort);
    if (count < 0) {
        return status_fail(STATUS_IO, "there is no folder of lessons '%.300s'; name a lesson by its path, or the folder in "
                                      "VATCAST_LESSONS", folder);
    }
    *names = calloc(LESSONS_MOST + 1, sizeof **names);
    for (int i = 0; i < count; i++) {
        if (*names != NULL && i < LESSONS_MOST) {
            entries[i]->d_name[strlen(entries[i]->d_name) - 5] = '\0';
            (*names)[i] = strdup(entries[i]->d_name);
        }
        free(entries[i]);
    }
    free(entries);
    return *names != NULL ? status_ok() : status_fail(STATUS_MEMORY, "no memory left for the list of lessons");
}

static void names_free(char **names)
{
    for (size_t i = 0; names != NULL && names[i] != NULL; i++) {
        free(names[i]);
    }
    free(names);
}

static int compare_listed(const void *a, const void *b)
{
    const struct listed *one = a;
    const struct listed *other = b;
    return one->order != other->order ? (one->order > other->order) - (one->order < other->order)
                                      : strcmp(one->name, other->name);
}

/* Fills the list with those of the files that are lessons. */
static struct status list_read(const struct call *call, const char *folder, char **names, struct listed *list, size_t *count)
{
    for (size_t i = 0; names[i] != NULL; i++) {
        char path[PATH_SIZE];
        struct scenario scenario;
        (void)snprintf(path, sizeof path, "%s/%s.conf", folder, names[i]);
        RETURN_IF_FAILED(load_scenario(call, path, NULL, 0, &scenario));
        if (scenario.lesson != NULL) {
            struct listed *here = &list[(*count)++];
            (void)snprintf(here->name, sizeof here->name, "%s", names[i]);
            (void)snprintf(here->title, sizeof here->title, "%s", scenario.title);
            here->aim = strdup(scenario.lesson->aim);
            here->order = scenario.lesson->order;
        }
        scenario_free(&scenario);
    }
    return status_ok();
}

static struct status list_lessons(const struct call *call)
{
    char folder[PATH_SIZE];
    char **names;
    lessons_folder(call, folder, sizeof folder);
    RETURN_IF_FAILED(names_read(folder, &names));
    struct listed *list = calloc(LESSONS_MOST, sizeof *list);
    size_t count = 0;
    struct status status = list == NULL ? status_fail(STATUS_MEMORY, "no memory left for the list of lessons")
                                        : list_read(call, folder, names, list, &count);
    if (status_is_ok(&status)) {
        qsort(list, count, sizeof *list, compare_listed);
        printf("Lessons (begin one with 'vatcast lesson NAME')\n\n");
    }
    for (size_t i = 0; i < count; i++) {
        if (status_is_ok(&status)) {
            print_row(stdout, list[i].name, 0, "");
            print_row(stdout, "", LIST_INDENT, list[i].aim != NULL ? list[i].aim : list[i].title);
        }
        free(list[i].aim);
    }
    free(list);
    names_free(names);
    return status;
}

/* The file of a lesson: a path when it looks like one, else a name among the lessons. */
static struct status lesson_find(const struct call *call, const char *name, char *path, size_t size)
{
    size_t length = strlen(name);
    if (strchr(name, '/') != NULL || (length > 5 && strcmp(name + length - 5, ".conf") == 0)) {
        (void)snprintf(path, size, "%s", name);
        return status_ok();
    }
    char folder[PATH_SIZE - NAME_SIZE - 8]; /* so that a name still fits behind it */
    char **names;
    lessons_folder(call, folder, sizeof folder);
    RETURN_IF_FAILED(names_read(folder, &names));
    struct status status = status_ok();
    if (word_index(name, (const char *const *)names) < 0) {
        const char *nearest = word_nearest(name, (const char *const *)names);
        status = nearest != NULL ? status_fail(STATUS_USAGE, "'%.60s' is no lesson; did you mean '%s'?", name, nearest)
                                 : status_fail(STATUS_USAGE, "'%.60s' is no lesson; 'vatcast lesson' lists them", name);
    }
    (void)snprintf(path, size, "%.4000s/%.63s.conf", folder, name);
    names_free(names);
    return status;
}

/* ---- holding one -------------------------------------------------------------------------------------------------- */

struct held {
    const struct call *call;
    struct lesson_play play;
    int hints_given;
    bool over;
};

static void give_hint(struct held *held)
{
    const struct lesson *lesson = held->play.lesson;
    char label[24];
    if (held->hints_given == lesson->hint_count) {
        printf("There are no more hints; 'done' ends the lesson and tells.\n");
        return;
    }
    (void)snprintf(label, sizeof label, "Hint %d", held->hints_given + 1);
    lesson_print_words(label, lesson->hints[held->hints_given++]);
}

/* "mine.h5" is the result of "mine.conf". */
static void scenario_of_result(const char *file, char *name, size_t size)
{
    size_t length = strlen(file);
    (void)snprintf(name, size, "%.*s.conf", (int)(length > 3 ? length - 3 : length), file);
}

static struct status save_result(struct held *held, const char *file)
{
    const struct result *result;
    char name[SENTENCE_SIZE + 8];
    scenario_of_result(file, name, sizeof name);
    RETURN_IF_FAILED(session_result_begin(held->play.session, name, &result));
    struct status status = record_write(result, file, false);
    RETURN_IF_FAILED(session_result_end(held->play.session));
    return status;
}

/* What is asked of the program besides the vat. A file that cannot be written does not end the lesson. */
static struct status grant(struct held *held, const struct session_answer *answer)
{
    struct status status = status_ok();
    switch (answer->wish) {
    case WISH_NOTHING:
        return status_ok();
    case WISH_QUIT:
        held->over = true;
        return status_ok();
    case WISH_SAVE_SCENARIO:
        status = session_save_scenario(held->play.session, answer->file, false);
        break;
    case WISH_SAVE_RESULT:
        status = save_result(held, answer->file);
        break;
    case WISH_REPORT:
        printf("In a lesson there is no report: it would tell what is hidden. Save the scenario, and run it.\n");
        return status_ok();
    }
    if (status_is_ok(&status) || status.code == STATUS_IO) {
        printf("%s\n", status_is_ok(&status) ? "Saved." : status.message);
        return status_ok();
    }
    return status;
}

static struct status hear(struct held *held, char *line)
{
    line[strcspn(line, "\r\n")] = '\0';
    char *words = line + strspn(line, " \t");
    if (words[0] == '\0' || words[0] == '#') {
        return status_ok();
    }
    if (strcmp(words, "hint") == 0) {
        give_hint(held);
        return status_ok();
    }
    if (strcmp(words, "done") == 0) {
        held->over = true;
        return status_ok();
    }
    if (lesson_withholds(words)) {
        printf("In a lesson that is told at the end. 'hint' helps a step further, 'done' ends the lesson.\n");
        return status_ok();
    }
    struct session_answer answer;
    RETURN_IF_FAILED(lesson_say(&held->play, words, &answer, &held->over));
    lesson_print_words("", answer.text);
    return grant(held, &answer);
}

static struct status converse(struct held *held)
{
    char line[SENTENCE_SIZE];
    while (!held->over) {
        if (isatty(STDIN_FILENO) != 0) {
            printf("> ");
            (void)fflush(stdout);
        }
        if (fgets(line, sizeof line, stdin) == NULL) {
            break;
        }
        RETURN_IF_FAILED(hear(held, line));
    }
    return lesson_leave(&held->play);
}

/* Both courses have come to the lesson's end. */
static struct status debrief(struct held *held, struct lesson_play *good)
{
    struct lesson_course yours = {session_scenario(held->play.session), held->play.lesson, NULL, held->play.own};
    struct lesson_course best = {session_scenario(good->session), good->lesson, NULL, good->own};
    struct text_style style = {.colour = held->call->colour, .width = TEXT_WIDTH};
    RETURN_IF_FAILED(session_result_begin(held->play.session, NULL, &yours.result));
    RETURN_IF_FAILED(session_result_begin(good->session, NULL, &best.result));
    printf("\n");
    lesson_print_debrief(&held->play, &yours, good, &best, &style);
    RETURN_IF_FAILED(session_result_end(good->session));
    return session_result_end(held->play.session);
}

static struct status hold(const struct call *call, const char *path, const struct lesson *lesson)
{
    struct held held = {.call = call};
    struct lesson_play good = {0};
    struct session_options how = {.models_folder = call->models_folder, .stop = call->stop};
    struct complaints complaints;
    complaints_init(&complaints);
    struct status status = lesson_open(path, lesson, &how, &held.play, &complaints);
    if (status_is_ok(&status)) {
        status = lesson_open(path, lesson, &how, &good, &complaints);
    }
    status = load_tell(&complaints, status);
    if (status_is_ok(&status)) {
        status = lesson_play_good(&good);
    }
    if (status_is_ok(&status)) {
        lesson_print_opening(&held.play);
        status = option_given(call, "good") ? lesson_play_good(&held.play) : converse(&held);
    }
    if (status_is_ok(&status)) {
        status = debrief(&held, &good);
    }
    lesson_close(&good);
    lesson_close(&held.play);
    return status;
}

static struct status act(const struct call *call)
{
    char path[PATH_SIZE];
    struct scenario scenario;
    if (call->operand_count == 0) {
        return list_lessons(call);
    }
    RETURN_IF_FAILED(lesson_find(call, call->operands[0], path, sizeof path));
    RETURN_IF_FAILED(load_scenario(call, path, NULL, 0, &scenario));
    struct status status = scenario.lesson != NULL
                               ? hold(call, path, scenario.lesson)
                               : status_fail(STATUS_SCENARIO, "'%.300s' holds no lesson; expected a group 'lesson = { ... };'", path);
    scenario_free(&scenario);
    return status;
}

const struct verb verb_lesson = {
    .name = "lesson",
    .operands = "[NAME|FILE]",
    .summary = "hold a lesson at a simulated vat; without a name, list the lessons",
    .about = "You are told of a vat and what to bring it to, and work it in plain sentences, as in vatcast rehearse, seeing only what "
             "a dyer sees. 'hint' helps a step further. 'done' ends the lesson: your course is held against a good one, with what was "
             "hidden. Sentences may be piped in. docs/lessons.md tells of the lessons, docs/teaching.md of a class built on them.",
    .options = options,
    .operands_least = 0,
    .operands_most = 1,
    .act = act,
};
