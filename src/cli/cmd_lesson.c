/* cmd_lesson.c: vatcast lesson: lists the lessons, and holds one: what is told, the session, hints, and the debrief. */
#include "cli/lesson_find.h"
#include "cli/lesson_text.h"
#include "cli/talk.h"
#include "cli/verbs.h"
#include "record/publish.h"
#include "scenario/words.h"

#include <ctype.h>
#include <locale.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define MOMENT_ROOM 40
#define SAVES_MOST 8

static const struct option_spec options[] = {
    {0, "names", NULL, "list the lessons by the names of their files, which tell teachers what they are about"},
    {0, "resume", "FILE", "take up the lesson of a journal where it was left (no NAME then)"},
    {0, "journal", "FILE", "where what is said is kept (default: here, TITLE.session; from a pipe: nowhere)"},
    {0, "good", NULL, "say the lesson's good course instead of reading what is typed, for teachers"},
    {0, "color", "WHEN", "bold headings: always, never or auto (default: auto)"},
    {0, NULL, NULL, NULL},
};

struct held {
    struct lesson_play play;
    int hints_given;
    bool asked_help;                         /* with the sentence that is being answered */
    struct session_answer saves[SAVES_MOST]; /* what is to be saved once the debrief has told what is in it */
    int save_count;
    struct journal_about about;
    struct session_journal *journal; /* NULL: a new one; passed on to the talk */
    char journal_path[JOURNAL_PATH_SIZE];
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

enum own_word { OWN_HINT, OWN_DONE, OWN_HELP, OWN_LESSON };

/* Which of a lesson's own words a line begins with; -1: none. */
static int own_word(const char *line)
{
    static const char *const words[] = {"hint", "done", "help", "lesson", NULL};
    char word[16];
    (void)snprintf(word, sizeof word, "%.*s", (int)strcspn(line, " \t.!?"), line);
    for (char *c = word; *c != '\0'; c++) {
        *c = (char)tolower((unsigned char)*c);
    }
    return word_index(word, words);
}

static void tell_time(const struct lesson_play *play)
{
    char now[MOMENT_ROOM];
    char end[MOMENT_ROOM];
    char line[2 * MOMENT_ROOM + 40];
    session_moment(play->session, session_time(play->session), now, sizeof now);
    session_moment(play->session, play->lesson->ends, end, sizeof end);
    (void)snprintf(line, sizeof line, "It is %s; you have until %s.", now, end);
    talk_print(line);
}

/* The words of a lesson, and those that it does not answer. */
static bool own_words(void *context, const char *line, bool *over)
{
    struct held *held = context;
    int word = own_word(line);
    held->asked_help = word == OWN_HELP;
    if (word == OWN_HINT) {
        give_hint(held);
    } else if (word == OWN_DONE) {
        *over = true;
    } else if (word == OWN_LESSON) {
        lesson_print_opening(&held->play);
    } else if (lesson_asks_time(line)) {
        tell_time(&held->play);
    } else if (lesson_withholds(line)) {
        talk_print("In a lesson that is told at the end. 'hint' helps a step further, 'done' ends the lesson.\n");
    } else {
        return false;
    }
    return true;
}

static struct status say_within(void *context, const char *sentence, struct session_answer *answer)
{
    struct held *held = context;
    return lesson_say(&held->play, sentence, answer);
}

/* What is saved holds the hidden numbers: it is written when they have been told. */
static struct status put_off(struct held *held, const struct session_answer *answer)
{
    int index = 0;
    while (index < held->save_count && strcmp(held->saves[index].file, answer->file) != 0) {
        index++;
    }
    if (publish_exists(answer->file)) {
        return status_fail(STATUS_IO, "'%.200s' is there already; save under another name", answer->file);
    }
    if (index == SAVES_MOST) {
        return status_fail(STATUS_LIMIT, "a lesson saves %d files at most", SAVES_MOST);
    }
    held->saves[index] = *answer;
    held->save_count += index == held->save_count ? 1 : 0;
    return status_ok();
}

static struct status save_later(void *context, const struct session_answer *answer)
{
    char line[SENTENCE_SIZE + 80];
    RETURN_IF_FAILED(put_off(context, answer));
    (void)snprintf(line, sizeof line, "What the vat hides stands in it too: %s is written after the debrief.",
                   answer->file);
    talk_print(line);
    return status_ok();
}

/* From the journal; what was refused when it was said, or is there by now, is left. */
static struct status save_later_again(void *context, const struct session_answer *answer)
{
    struct status status = put_off(context, answer);
    return status.code == STATUS_IO || status.code == STATUS_LIMIT ? status_ok() : status;
}

/* All of them; the first that fails is the outcome. */
static struct status save_now(const struct held *held)
{
    struct status outcome = status_ok();
    for (int i = 0; i < held->save_count; i++) {
        struct status status = talk_save(held->play.session, &held->saves[i], false);
        outcome = status_is_ok(&outcome) ? status : outcome;
    }
    return outcome;
}

static bool is_over(void *context, const struct session_answer *answer)
{
    struct held *held = context;
    (void)answer;
    if (held->asked_help) {
        talk_print("In a lesson besides: 'hint' helps a step further, 'lesson' tells the aim again, 'done' ends it. "
                   "What is inside is told "
                   "then, and what is saved is written then.\n");
    }
    return lesson_is_over(&held->play);
}

static struct status converse(const struct call *call, struct held *held)
{
    struct talk talk = {.call = call,
                        .session = held->play.session,
                        .journal = held->journal,
                        .journal_path = held->journal_path[0] != '\0' ? held->journal_path : NULL,
                        .about = &held->about,
                        .own = own_words,
                        .say = say_within,
                        .save = save_later,
                        .after = is_over,
                        .context = held};
    held->journal = NULL;
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
static struct status debrief(const struct call *call, struct held *held, struct lesson_play *good)
{
    struct lesson_play *play = &held->play;
    struct lesson_course yours = {session_scenario(play->session), play->lesson, NULL, play->own};
    struct lesson_course best = {session_scenario(good->session), good->lesson, NULL, good->own};
    struct text_style style = {.colour = call->colour, .width = TEXT_WIDTH};
    RETURN_IF_FAILED(session_result_begin(play->session, NULL, &yours.result));
    RETURN_IF_FAILED(session_result_begin(good->session, NULL, &best.result));
    printf("\n");
    lesson_print_verdict(play, &yours, &best, held->hints_given, &style);
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

static void tell_journal(const struct call *call, const struct held *held)
{
    const char *path = option_value(call, "resume", held->journal_path);
    if (path[0] != '\0' && publish_exists(path) && isatty(STDOUT_FILENO)) {
        printf("To go on from there: vatcast lesson --resume %s\n", path);
    }
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
    RETURN_IF_FAILED(debrief(call, held, good));
    RETURN_IF_FAILED(save_now(held));
    tell_journal(call, held);
    return said;
}

/* Opens the lesson of a file, and says what its journal holds. */
static struct status open_held(const struct call *call, const char *path, const struct lesson *lesson,
                               struct held *held, struct lesson_play *good)
{
    const struct session_options how = {.models_folder = call->models_folder, .stop = call->stop};
    struct complaints complaints;
    complaints_init(&complaints);
    struct status status = lesson_open(path, lesson, &how, &held->play, &complaints);
    if (status_is_ok(&status)) {
        status = lesson_open(path, lesson, &how, good, &complaints);
    }
    RETURN_IF_FAILED(load_tell(&complaints, status));
    RETURN_IF_FAILED(journal_fits(held->journal, held->play.session, &held->about));
    return held->journal != NULL ? lesson_take_up(&held->play, held->journal, save_later_again, held) : status_ok();
}

/* Where a new journal is to be: a name made of the lesson's title, for that of its file may tell what is hidden. */
static struct status choose_journal(const struct call *call, const char *title, struct held *held)
{
    char name[TITLE_SIZE] = "";
    size_t used = 0;
    for (const char *c = title; *c != '\0'; c++) {
        bool is_letter = isalnum((unsigned char)*c) || (unsigned char)*c > 0x7f;
        if (is_letter || (used > 0 && name[used - 1] != '-')) {
            name[used++] = (char)(!is_letter ? '-' : (unsigned char)*c > 0x7f ? *c : tolower((unsigned char)*c));
        }
    }
    used -= used > 0 && name[used - 1] == '-' ? 1 : 0;
    name[used] = '\0';
    return journal_choose(call, used > 0 ? name : "lesson", isatty(STDIN_FILENO) && !option_given(call, "good"),
                          held->journal_path);
}

static struct status hold(const struct call *call, const char *path, struct held *held)
{
    struct scenario scenario;
    struct lesson_play good = {0};
    RETURN_IF_FAILED(load_scenario(call, path, NULL, 0, &scenario));
    struct status status =
        scenario.lesson != NULL
            ? status_ok()
            : status_fail(STATUS_SCENARIO, "'%.300s' holds no lesson; expected a group 'lesson = { ... };'", path);
    if (status_is_ok(&status) && held->journal == NULL) {
        status = choose_journal(call, scenario.title, held);
    }
    if (status_is_ok(&status)) {
        status = open_held(call, path, scenario.lesson, held, &good);
    }
    if (status_is_ok(&status)) {
        status = teach(call, held, &good);
    }
    lesson_close(&good);
    lesson_close(&held->play);
    scenario_free(&scenario);
    return status;
}

/* The lesson that is named. */
static struct status begin_anew(const struct call *call, char path[LESSON_PATH_SIZE], struct held *held)
{
    const struct session_options how = {.keeps_calendar = true};
    RETURN_IF_FAILED(lesson_find(call, call->operands[0], path));
    return journal_about_fill(&held->about, path, &how);
}

static struct status begin(const struct call *call, char path[LESSON_PATH_SIZE], struct held *held)
{
    const char *journal = option_value(call, "resume", NULL);
    if (journal == NULL) {
        return begin_anew(call, path, held);
    }
    if (call->operand_count > 0 || option_given(call, "journal") || option_given(call, "good")) {
        return status_fail(STATUS_USAGE, "--resume goes alone: the journal says which lesson it is");
    }
    RETURN_IF_FAILED(session_journal_open(journal, &held->journal, &held->about));
    (void)snprintf(path, LESSON_PATH_SIZE, "%s", held->about.scenario);
    return status_ok();
}

static struct status act(const struct call *call)
{
    char path[LESSON_PATH_SIZE];
    (void)setlocale(LC_CTYPE, ""); /* for the letters that a person types */
    if (call->operand_count == 0 && !option_given(call, "resume")) {
        return lessons_list(call, option_given(call, "names"));
    }
    struct held *held = calloc(1, sizeof *held);
    if (held == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left for the lesson");
    }
    struct status status = begin(call, path, held);
    if (status_is_ok(&status)) {
        status = hold(call, path, held);
    }
    session_journal_close(held->journal);
    journal_about_free(&held->about);
    free(held);
    return status;
}

const struct verb verb_lesson = {
    .name = "lesson",
    .operands = "[NUMBER|NAME|FILE]",
    .summary = "hold a lesson at a simulated vat; without a number, list the lessons",
    .about = "You are told of a vat and what to bring it to, and work it in plain sentences, as in vatcast rehearse, "
             "seeing only what "
             "a dyer sees. 'hint' helps a step further. 'done' ends the lesson: your course is held against a good "
             "one, with what was "
             "hidden. Sentences may be piped in. docs/lessons.md tells of the lessons, docs/teaching.md of a class "
             "built on them.",
    .options = options,
    .operands_least = 0,
    .operands_most = 1,
    .act = act,
};
