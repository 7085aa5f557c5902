/* lesson_text.c: see lesson_text.h. */
#include "cli/lesson_text.h"

#include "chem/shade.h"
#include "sim/series.h"
#include "study/summary_words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define INDENT 10
#define HOUR 3600.0
#define MOMENT_SIZE 40
#define STEP_LINES_MOST 60
#define STEP_WIDTH 38    /* columns of a course in the list of steps */
#define OWF_ALIKE 5e-5   /* kg/kg, which two decimals of a per cent do not show */
#define LEUCO_ALIKE 0.01 /* g/L */
#define NOTHING_SHARE 5e-3
#define STEP_GAP 2
#define STATE_WIDTH 15
#define CLOCK_WIDTH 6 /* "09:00 " */
#define TIME_WIDTH 12 /* "day 14 09:00" */

static void print_line(const char *label, const char *words)
{
    struct text_style plain = {.width = TEXT_WIDTH};
    text_print_wrapped(stdout, &plain, label, INDENT, words, TEXT_WIDTH, "");
}

void lesson_print_words(const char *label, const char *words)
{
    print_line(label, words);
}

static void print_heading(const struct text_style *style, const char *words)
{
    printf("%s%s%s\n", style->colour ? "\033[1m" : "", words, style->colour ? "\033[0m" : "");
}

/* "at nine" is said by the lesson; this is the clock: "day 2 09:00". */
static void moment_of(const struct lesson_play *play, double time, char text[MOMENT_SIZE])
{
    session_moment(play->session, time, text, MOMENT_SIZE);
}

/* ---- the beginning ---------------------------------------------------------------------------------------------- */

void lesson_print_opening(const struct lesson_play *play)
{
    const struct lesson *lesson = play->lesson;
    char now[MOMENT_SIZE];
    char until[MOMENT_SIZE];
    struct text text = {0};
    moment_of(play, session_time(play->session), now);
    moment_of(play, lesson->ends, until);
    print_line("Lesson", session_scenario(play->session)->title);
    print_line("Told", lesson->told);
    print_line("Aim", lesson->aim);
    for (int i = 0; i < lesson->goal_count; i++) {
        text_add(&text, "%d. %s", i + 1, lesson->goals[i].goal);
        print_line(i == 0 ? "Sought" : "", text_string(&text));
        text_clear(&text);
    }
    text_add(
        &text,
        "It is %s; you have until %s. 'hint' helps a step further (%d of them), 'done' ends the lesson, 'help' tells "
        "what you can say.",
        now, until, lesson->hint_count);
    print_line("Time", text_string(&text));
    text_free(&text);
}

/* ---- goals ------------------------------------------------------------------------------------------------------ */

/* "tired", as reports call it; "not recorded" without a record. */
static void state_say(int state, char word[WORD_SIZE])
{
    word_of_list(STATE_WORDS, state, word);
    if (word[0] == '\0') {
        (void)snprintf(word, WORD_SIZE, "not recorded");
    }
}

static void add_value(struct text *text, enum lesson_value value, double amount)
{
    static const struct {
        const char *words;
        int decimals;
        const char *unit;
    } how[LESSON_VALUE_COUNT] = {
        [LESSON_PH] = {"pH", 1, ""},
        [LESSON_TEMPERATURE] = {"", 0, " C"},
        [LESSON_LEUCO] = {"", 2, " g/L of leuco"},
        [LESSON_SUGAR] = {"", 2, " g/L of sugar"},
        [LESSON_LIME] = {"", 0, " g of lime"},
        [LESSON_LIQUOR] = {"", 1, " L"},
    };
    text_add(text, "%s%s%.*f%s", how[value].words, how[value].words[0] != '\0' ? " " : "", how[value].decimals, amount,
             how[value].unit);
}

static void add_duration(struct text *text, double seconds)
{
    if (seconds < 2.0 * HOUR) {
        text_add(text, "%.0f min", seconds / 60.0);
    } else {
        text_add(text, "%.1f h", seconds / HOUR);
    }
}

static void add_found_value(const struct lesson_play *play, const struct lesson_goal *goal,
                            const struct goal_found *found, struct text *text)
{
    char moment[MOMENT_SIZE];
    moment_of(play, found->at, moment);
    add_value(text, goal->value, found->value);
    text_add(text, goal->always ? " at its worst, %s" : " at %s", moment);
    if (goal->least_as_found || goal->most_as_found) {
        text_add(text, "; found with ");
        add_value(text, goal->value, goal->least_as_found ? found->least : found->most);
    }
}

/* "60 g, at most 20 g" */
static void add_given(const struct lesson_goal *goal, const struct goal_found *found, struct text *text)
{
    char mass[WORD_SIZE];
    say_mass(found->value, mass);
    text_add(text, "%s given", mass);
    if (!isnan(goal->least)) {
        say_mass(goal->least, mass);
        text_add(text, ", at least %s", mass);
    }
    if (!isnan(goal->most)) {
        say_mass(goal->most, mass);
        text_add(text, ", at most %s", mass);
    }
}

/* "0.15 g/L of leuco, tired, at day 2 09:00" */
static void add_found(const struct lesson_play *play, const struct lesson_goal *goal, const struct goal_found *found,
                      struct text *text)
{
    char moment[MOMENT_SIZE];
    char word[WORD_SIZE];
    moment_of(play, found->at, moment);
    if (found->nothing_dipped && goal->check != LESSON_SHADE) {
        text_add(text, "no cloth was dipped");
        return;
    }
    switch (goal->check) {
    case LESSON_READY:
        state_say(found->state, word);
        text_add(text, "%s, with %.2f g/L of leuco, at %s", word, found->value, moment);
        break;
    case LESSON_VALUE:
        add_found_value(play, goal, found, text);
        break;
    case LESSON_SHADE:
        text_add(text, "%.0f of the %d", found->value, goal->pieces);
        break;
    case LESSON_NONE_PALER:
        text_add(text, "%.0f of the %.0f dipped are paler", found->value, found->of);
        break;
    case LESSON_EVEN:
        text_add(text, "%.2f times, of %.0f pieces", found->value, found->of);
        break;
    case LESSON_CLEAR:
        text_add(text, "%.0f of %.0f dips went into it stirred up", found->value, found->of);
        break;
    case LESSON_GIVEN:
        add_given(goal, found, text);
        break;
    case LESSON_APART:
        if (isinf(found->value)) {
            text_add(text, "there were no two");
        } else {
            add_duration(text, found->value);
            text_add(text, ", at %s", moment);
        }
        break;
    case LESSON_CHECK_COUNT:
        break;
    }
}

static int print_goals(const struct lesson_play *play, const struct lesson_course *course)
{
    const struct lesson *lesson = play->lesson;
    struct text text = {0};
    int met = 0;
    for (int i = 0; i < lesson->goal_count; i++) {
        const struct lesson_goal *goal = &lesson->goals[i];
        struct goal_found found = lesson_judge(course, goal);
        met += found.met;
        text_add(&text, "%d. %s: ", i + 1, goal->goal);
        add_found(play, goal, &found, &text);
        if (!found.met && !found.nothing_dipped && goal->missed[0] != '\0') {
            text_add(&text, ". %s", goal->missed);
        }
        print_line(found.met ? "met" : "MISSED", text_string(&text));
        text_clear(&text);
    }
    text_free(&text);
    return met;
}

/* ---- two courses side by side ------------------------------------------------------------------------------------- */

/* What was done and read in a course, as lines of a column: a line for each day, then clock and sentence. */
struct column_of_steps {
    char lines[STEP_LINES_MOST][STEP_WIDTH + 1];
    int count; /* also of those for which there is no room */
};

/* `length` bytes of words, at most what is left beside the clock. */
static void add_step_line(struct column_of_steps *column, const char *clock, const char *words, size_t length)
{
    if (column->count < STEP_LINES_MOST) {
        char *line = column->lines[column->count];
        int used = snprintf(line, STEP_WIDTH + 1, "%-*.*s", length > 0 ? CLOCK_WIDTH : 0, STEP_WIDTH - 1, clock);
        memcpy(line + used, words, length);
        line[(size_t)used + length] = '\0';
    }
    column->count++;
}

/* A sentence, on as many lines as it takes. */
static void add_sentence(struct column_of_steps *column, const char *clock, const char *words)
{
    const size_t room = STEP_WIDTH - CLOCK_WIDTH;
    while (*words != '\0') {
        size_t length = strlen(words);
        if (length > room) {
            length = room;
            while (length > 1 && words[length] != ' ') {
                length--;
            }
            length = length > 1 ? length : room;
        }
        add_step_line(column, clock, words, length);
        clock = "";
        words += length;
        words += strspn(words, " ");
    }
}

static void fill_column(const struct lesson_play *play, struct column_of_steps *column)
{
    char last[MOMENT_SIZE] = "";
    column->count = 0;
    for (size_t i = play->first; i < session_said_count(play->session); i++) {
        struct session_said said = session_said(play->session, i);
        char moment[MOMENT_SIZE];
        if ((!said.changed && !said.is_reading) || said.is_wait) { /* the times of the others show that */
            continue;
        }
        moment_of(play, said.time, moment);
        char *clock = strrchr(moment, ' ');
        if (clock == NULL) {
            continue;
        }
        *clock++ = '\0';
        if (strcmp(last, moment) != 0) {
            add_step_line(column, moment, "", 0);
            (void)snprintf(last, sizeof last, "%s", moment);
        }
        add_sentence(column, clock, said.sentence);
    }
    if (column->count == 0) {
        add_step_line(column, "", "nothing", strlen("nothing"));
    }
}

static void print_steps(const struct lesson_play *yours, const struct lesson_play *good, const struct text_style *style)
{
    struct column_of_steps one;
    struct column_of_steps other;
    fill_column(yours, &one);
    fill_column(good, &other);
    int rows = one.count > other.count ? one.count : other.count;
    char heading[TEXT_WIDTH + 1];
    (void)snprintf(heading, sizeof heading, "%-*s%s", STEP_WIDTH + STEP_GAP, "What you did", "A good course");
    print_heading(style, heading);
    for (int i = 0; i < rows && i < STEP_LINES_MOST; i++) {
        const char *left = i < one.count ? one.lines[i] : "";
        const char *right = i < other.count ? other.lines[i] : "";
        printf("%s%*s%s\n", left, right[0] != '\0' ? STEP_WIDTH + STEP_GAP - text_columns(left) : 0, "", right);
    }
    if (rows > STEP_LINES_MOST) {
        printf("and %d lines more\n", rows - STEP_LINES_MOST);
    }
}

static void print_moment(const struct lesson_moment *moment, int state_width)
{
    char word[WORD_SIZE];
    state_say(moment->state, word);
    printf("%6.1f %4.0f %6.2f  %-*s", moment->ph, moment->temperature, moment->leuco, state_width, word);
}

static void print_timetable(const struct lesson_play *yours, const struct lesson_course *your_course,
                            const struct lesson_course *good_course, const struct text_style *style)
{
    static const double hours[] = {0, 1, 2, 4, 8, 12, 24, 36, 48, 72, 96, 120};
    const struct lesson *lesson = yours->lesson;
    char heading[2 * TEXT_WIDTH];
    (void)snprintf(heading, sizeof heading,
                   "%-*s%-35s%s\n%-*s    pH  C    leuco  state              pH  C    leuco  state", TIME_WIDTH,
                   "The vat", "  yours", " the good one", TIME_WIDTH, "");
    print_heading(style, heading);
    for (size_t i = 0; i <= sizeof hours / sizeof hours[0]; i++) {
        bool last = i == sizeof hours / sizeof hours[0] || lesson->begins + hours[i] * HOUR >= lesson->ends;
        double time = last ? lesson->ends : lesson->begins + hours[i] * HOUR;
        char clock[MOMENT_SIZE];
        moment_of(yours, time, clock);
        struct lesson_moment one = lesson_moment(your_course, time);
        struct lesson_moment other = lesson_moment(good_course, time);
        printf("%-*s", TIME_WIDTH, clock);
        print_moment(&one, STATE_WIDTH);
        print_moment(&other, 0);
        printf("\n");
        if (last) {
            return;
        }
    }
}

static void figures_say(const struct lesson_figures *figures, const char *whose)
{
    struct text text = {0};
    for (int i = 0; i < MATERIAL_KINDS; i++) {
        char mass[WORD_SIZE];
        say_mass(figures->given[i], mass);
        if (figures->given[i] > 0.0) {
            text_join(&text, ", ", "%s of %s", mass, material_kind_words[i]);
        }
    }
    if (text.size == 0) {
        text_add(&text, "nothing");
    }
    text_add(&text, " given");
    if (figures->pieces > 0) {
        text_add(&text, "; %d %s dipped", figures->pieces, figures->pieces == 1 ? "piece" : "pieces");
        text_add(&text, figures->leuco_high - figures->leuco_low < LEUCO_ALIKE ? " at %.2f" : " at %.2f to %.2f",
                 figures->leuco_low, figures->leuco_high);
        text_add(&text, " g/L of leuco: %s", shade_name(shade_of_owf(figures->owf_low)));
        if (shade_of_owf(figures->owf_low) != shade_of_owf(figures->owf_high)) {
            text_add(&text, " to %s", shade_name(shade_of_owf(figures->owf_high)));
        }
        bool alike = figures->owf_high - figures->owf_low < OWF_ALIKE;
        text_add(&text, alike ? ", %.2f %%" : ", %.2f to %.2f %%", 100.0 * figures->owf_low, 100.0 * figures->owf_high);
        text_add(&text, " of indigo on the washed cloth");
    } else {
        text_add(&text, "; no cloth dipped");
    }
    print_line(whose, text_string(&text));
    text_free(&text);
}

/* ---- where they parted ------------------------------------------------------------------------------------------- */

/* "79 g of 105 g (75 %)" */
static void add_share(struct text *text, double part, double whole, const char *unit)
{
    if (part < NOTHING_SHARE * whole) {
        text_add(text, "none");
    } else if (strcmp(unit, "g") == 0) {
        char one[WORD_SIZE];
        char all[WORD_SIZE];
        say_mass(part / 1000.0, one);
        say_mass(whole / 1000.0, all);
        text_add(text, "%s of %s (%.0f %%)", one, all, 100.0 * part / whole);
    } else {
        text_add(text, "%.3g of %.3g %s (%.0f %%)", part, whole, unit, 100.0 * part / whole);
    }
}

static void print_parting(const struct lesson_play *yours, const struct lesson_course *one,
                          const struct lesson_course *other)
{
    struct lesson_parting parting = lesson_parting(one, other);
    struct text text = {0};
    const char *what = lesson_ledger_words[yours->lesson->ledger];
    if (parting.row[0] == '\0') {
        text_add(&text, "the %s went the same ways in both courses", what);
    } else {
        text_add(&text, "%s %s: ", what, ledger_phrase(parting.row));
        add_share(&text, parting.one, parting.one_in, parting.unit);
        text_add(&text, " in your vat, ");
        add_share(&text, parting.other, parting.other_in, parting.unit);
        text_add(&text, " in the good one");
    }
    print_line("Ledger", text_string(&text));
    text_free(&text);
}

void lesson_print_verdict(const struct lesson_play *yours, const struct lesson_course *your_course,
                          const struct lesson_course *good_course, int hints, const struct text_style *style)
{
    const struct lesson *lesson = yours->lesson;
    char end[MOMENT_SIZE];
    char heading[TEXT_WIDTH + 1];
    moment_of(yours, lesson->ends, end);
    (void)snprintf(heading, sizeof heading, "Debrief, as things stand at %s", end);
    print_heading(style, heading);
    int met = print_goals(yours, your_course);
    (void)snprintf(heading, sizeof heading, "%d of the %d goals met, with %d of the %d hints", met, lesson->goal_count,
                   hints, lesson->hint_count);
    print_heading(style, heading);
    print_line("Hidden", lesson->hidden);
    print_line("So", met == lesson->goal_count ? lesson->met : lesson->missed);
    print_parting(yours, your_course, good_course);
    print_line("Again", lesson->again);
}

void lesson_print_courses(const struct lesson_play *yours, const struct lesson_course *your_course,
                          const struct lesson_play *good, const struct lesson_course *good_course,
                          const struct text_style *style)
{
    struct lesson_figures figures = lesson_figures(your_course);
    struct lesson_figures good_figures = lesson_figures(good_course);
    print_steps(yours, good, style);
    figures_say(&figures, "You");
    figures_say(&good_figures, "Good");
    print_timetable(yours, your_course, good_course, style);
}
