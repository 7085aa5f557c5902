/* cmd_lesson.c: vatcast lesson: lists the lessons, and holds one: what is told, the session, hints, and the debrief. */
#include "cli/lesson_text.h"
#include "cli/talk.h"
#include "cli/verbs.h"
#include "scenario/words.h"

#include <dirent.h>
#include <locale.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define LESSONS_MOST 200
#define PATH_SIZE 4200
#define LIST_INDENT 30
#define MOMENT_ROOM 40

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

static struct status lesson_path(const char *folder, const char *name, char path[PATH_SIZE])
{
    int length = snprintf(path, PATH_SIZE, "%s/%s.conf", folder, name);
    return length < PATH_SIZE ? status_ok() : status_fail(STATUS_IO, "the path '%.60s...' is too long", folder);
}

/* Fills the list with those of the files that are lessons. */
static struct status list_read(const struct call *call, const char *folder, char **names, struct listed *list, size_t *count)
{
    for (size_t i = 0; names[i] != NULL; i++) {
        char path[PATH_SIZE];
        struct scenario scenario;
        RETURN_IF_FAILED(lesson_path(folder, names[i], path));
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
            print_row(stdout, list[i].name, LIST_INDENT, list[i].aim != NULL ? list[i].aim : list[i].title);
        }
        free(list[i].aim);
    }
    free(list);
    names_free(names);
    return status;
}

/* The file of a lesson: a path when it looks like one, else a name among the lessons. */
static struct status lesson_find(const struct call *call, const char *name, char path[PATH_SIZE])
{
    size_t length = strlen(name);
    if (strchr(name, '/') != NULL || (length > 5 && strcmp(name + length - 5, ".conf") == 0)) {
        int written = snprintf(path, PATH_SIZE, "%s", name);
        return written < PATH_SIZE ? status_ok() : status_fail(STATUS_IO, "the path '%.60s...' is too long", name);
    }
    char folder[PATH_SIZE];
    char **names;
    lessons_folder(call, folder, sizeof folder);
    RETURN_IF_FAILED(names_read(folder, &names));
    struct status status = status_ok();
    if (word_index(name, (const char *const *)names) < 0) {
        const char *nearest = word_nearest(name, (const char *const *)names);
        status = nearest != NULL ? status_fail(STATUS_USAGE, "'%.60s' is no lesson; did you mean '%s'?", name, nearest)
                                 : status_fail(STATUS_USAGE, "'%.60s' is no lesson; 'vatcast lesson' lists them", name);
    }
    names_free(names);
    return status_is_ok(&status) ? lesson_path(folder, name, path) : status;
}

/* ---- holding one -------------------------------------------------------------------------------------------------- */

struct held {
    struct lesson_play play;
    int hints_given;
    bool asked_help; /* with the sentence that is being answered */
};

static void give_hint(struct held *held)
{
    const struct lesson *lesson = held->play.lesson;
    char label[24];
    if (held->hints_given == lesson->hint_count) {
        talk_print("There are no more hints; 'done' ends the lesson and tells.\n");
        return;
    }
    (void)snprintf(label, sizeof label, "Hint %d", held->hints_given + 1);
    lesson_print_words(label, lesson->hints[held->hints_given++]);
}

/* The words of a lesson, and those that it does not answer. */
static bool own_words(void *context, const char *line, bool *over)
{
    static const char *const words[] = {"hint", "done", "help", "lesson", NULL};
    struct held *held = context;
    char word[16];
    (void)snprintf(word, sizeof word, "%.*s", (int)strcspn(line, " \t.!?"), line);
    switch (word_index(word, words)) {
    case 0:
        give_hint(held);
        return true;
    case 1:
        *over = true;
        return true;
    case 2:
        held->asked_help = true;
        return false;
    case 3:
        lesson_print_opening(&held->play);
        return true;
    default:
        break;
    }
    if (lesson_withholds(line)) {
        talk_print("In a lesson that is told at the end. 'hint' helps a step further, 'done' ends the lesson.\n");
        return true;
    }
    return false;
}

static struct status say_within(void *context, const char *sentence, struct session_answer *answer)
{
    struct held *held = context;
    return lesson_say(&held->play, sentence, answer);
}

static bool is_over(void *context, const struct session_answer *answer)
{
    struct held *held = context;
    (void)answer;
    if (held->asked_help) {
        talk_print("In a lesson besides: 'hint' helps a step further, 'lesson' tells the aim again, 'done' ends it. Reveal, why, what if, "
                   "advice and throw away are not answered before that.\n");
        held->asked_help = false;
    }
    return lesson_is_over(&held->play);
}

static struct status converse(const struct call *call, struct held *held)
{
    struct talk talk = {.call = call,
                        .session = held->play.session,
                        .own = own_words,
                        .say = say_within,
                        .after = is_over,
                        .context = held};
    struct status status = talk_go_on(&talk);
    talk_close(&talk);
    return status;
}

/* The debrief takes two screens. */
static void wait_for_reader(void)
{
    if (isatty(STDIN_FILENO) && isatty(STDOUT_FILENO)) {
        printf("Enter shows both courses side by side.");
        (void)fflush(stdout);
        for (int c = getchar(); c != '\n' && c != EOF;) {
            c = getchar();
        }
    }
}

/* Both courses have come to the lesson's end. */
static struct status debrief(const struct call *call, struct lesson_play *play, struct lesson_play *good)
{
    struct lesson_course yours = {session_scenario(play->session), play->lesson, NULL, play->own};
    struct lesson_course best = {session_scenario(good->session), good->lesson, NULL, good->own};
    struct text_style style = {.colour = call->colour, .width = TEXT_WIDTH};
    RETURN_IF_FAILED(session_result_begin(play->session, NULL, &yours.result));
    RETURN_IF_FAILED(session_result_begin(good->session, NULL, &best.result));
    printf("\n");
    lesson_print_verdict(play, &yours, &best, &style);
    printf("\n");
    wait_for_reader();
    lesson_print_courses(play, &yours, good, &best, &style);
    RETURN_IF_FAILED(session_result_end(good->session));
    return session_result_end(play->session);
}

static struct status leave(struct lesson_play *play)
{
    if (!lesson_is_over(play)) {
        char end[MOMENT_ROOM];
        session_moment(play->session, play->lesson->ends, end, sizeof end);
        printf("You leave the vat as it is. Time passes to %s.\n", end);
    }
    return lesson_leave(play);
}

/* A script with sentences that were not understood has its debrief too, and is then told off. */
static struct status teach(const struct call *call, struct held *held, struct lesson_play *good)
{
    RETURN_IF_FAILED(lesson_play_good(good));
    lesson_print_opening(&held->play);
    struct status said = option_given(call, "good") ? lesson_play_good(&held->play) : converse(call, held);
    if (!status_is_ok(&said) && said.code != STATUS_SCENARIO) {
        return said;
    }
    RETURN_IF_FAILED(leave(&held->play));
    RETURN_IF_FAILED(debrief(call, &held->play, good));
    return said;
}

static struct status hold(const struct call *call, const char *path, const struct lesson *lesson)
{
    struct held held = {0};
    struct lesson_play good = {0};
    const struct session_options how = {.models_folder = call->models_folder, .stop = call->stop};
    struct complaints complaints;
    complaints_init(&complaints);
    struct status status = lesson_open(path, lesson, &how, &held.play, &complaints);
    if (status_is_ok(&status)) {
        status = lesson_open(path, lesson, &how, &good, &complaints);
    }
    status = load_tell(&complaints, status);
    if (status_is_ok(&status)) {
        status = teach(call, &held, &good);
    }
    lesson_close(&good);
    lesson_close(&held.play);
    return status;
}

static struct status act(const struct call *call)
{
    char path[PATH_SIZE];
    struct scenario scenario;
    (void)setlocale(LC_CTYPE, ""); /* for the letters that a person types */
    if (call->operand_count == 0) {
        return list_lessons(call);
    }
    RETURN_IF_FAILED(lesson_find(call, call->operands[0], path));
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
