/* read_lesson.c: the lesson of a scenario: what a learner is told, sought after, and what a good dyer would say. */
#include "chem/physics.h"
#include "scenario/lesson.h"

#include "scenario/reader.h"
#include "scenario/words.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const char *const lesson_check_words[] = {"ready", "value", "shade", "none paler", "even",
                                          "clear", "given", "apart", NULL};
const char *const lesson_value_words[] = {"ph", "temperature", "leuco", "sugar", "lime", "liquor", NULL};
const char *const lesson_ledger_words[] = {"indigo", "sugar", "lime", "oxygen", "feed", "alkali", NULL};

#define AS_FOUND "as found"
static const char sought_form[] = "( { goal = \"ready by ten\"; check = \"ready\"; at = \"day 2 10:00\"; }, ... )";
static const struct unit_form form_content = {"kg m-3", "an amount in a litre", "0.3 g/L", "g/L", 1, 0};

/* How each value is written, between what bounds of any vat it lies (SI), and the factor and offset from SI to the recorded series. */
static const struct value_form {
    const struct unit_form *form;
    double low, high;
    double factor, offset;
} value_forms[LESSON_VALUE_COUNT] = {
    [LESSON_PH] = {&form_number, 0, 14, 1, 0},
    [LESSON_TEMPERATURE] = {&form_temperature, CELSIUS_ZERO, CELSIUS_ZERO + 100, 1, -CELSIUS_ZERO},
    [LESSON_LEUCO] = {&form_content, 0, 50, 1, 0},
    [LESSON_SUGAR] = {&form_content, 0, 500, 1, 0},
    [LESSON_LIME] = {&form_mass, 0, 1000, 1000, 0},
    [LESSON_LIQUOR] = {&form_volume, 0, 20, 1000, 0},
};

void lesson_free(struct lesson *lesson)
{
    if (lesson == NULL) {
        return;
    }
    for (int i = 0; i < lesson->hint_count; i++) {
        free(lesson->hints[i]);
    }
    for (int i = 0; i < lesson->good_count; i++) {
        free(lesson->good[i]);
    }
    for (int i = 0; i < lesson->goal_count; i++) {
        free(lesson->goals[i].goal);
        free(lesson->goals[i].missed);
    }
    free(lesson->aim);
    free(lesson->told);
    free(lesson->hidden);
    free(lesson->met);
    free(lesson->missed);
    free(lesson->again);
    free(lesson);
}

static struct status text_copy(const char *text, char **copy)
{
    *copy = strdup(text);
    return *copy != NULL ? status_ok() : status_fail(STATUS_MEMORY, "no memory left to read the lesson");
}

/* The group's text, "" after a complaint or when it may be missing and is. */
static struct status text_read(struct reader *reader, const struct setting *group, const char *key, bool needed,
                               char **text)
{
    const struct setting *item = needed ? group_needed(reader, group, key, SETTING_TEXT, "\"...\"")
                                        : group_typed(reader, group, key, SETTING_TEXT, "\"...\"");
    if (item != NULL && needed && item->text[0] == '\0') {
        complain(reader, item, "'%s' is empty; expected a few words for the learner", key);
    }
    return text_copy(item != NULL ? item->text : "", text);
}

/* A list of texts; how many are read goes into `count`, also after a failure. */
static struct status texts_read(struct reader *reader, const struct setting *group, const char *key,
                                const char *example, char **texts, int most, int *count)
{
    const struct setting *list = group_needed(reader, group, key, SETTING_LIST, example);
    for (size_t i = 0; list != NULL && i < list->count; i++) {
        const struct setting *item = &list->items[i];
        if (item->type != SETTING_TEXT || (int)i >= most) {
            complain(reader, item, "an entry of '%s' is %s; expected at most %d texts, as %s", key,
                     item->type == SETTING_TEXT ? "one too many" : setting_type_words(item->type), most, example);
            return status_ok();
        }
        RETURN_IF_FAILED(text_copy(item->text, &texts[*count]));
        (*count)++;
    }
    if (list != NULL && list->count == 0) {
        complain(reader, list, "'%s' is empty; expected %s", key, example);
    }
    return status_ok();
}

/* ---- goals ------------------------------------------------------------------------------------------------------ */

/* A time of the lesson, `from` to `until`; `fallback` when the key is missing or wrong. */
static double moment_read(struct reader *reader, const struct setting *group, const char *key, double from,
                          double until, double fallback)
{
    const struct setting *item = setting_find(group, key);
    if (item == NULL) {
        return fallback;
    }
    const struct scenario *scenario = reader->scenario;
    double time = time_read(reader, item, key, DAY_AT_START_CLOCK);
    if (time < from || time > until) {
        char first[64];
        char last[64];
        time_show(scenario, from, first, sizeof first);
        time_show(scenario, until, last, sizeof last);
        complain(reader, item, "'%s' is not within the lesson; expected from %s to %s", key, first, last);
        return fallback;
    }
    return isnan(time) ? fallback : time;
}

/* A bound of a value, in the unit of its series; NAN when it is missing or wrong. */
static double bound_read(struct reader *reader, const struct setting *group, const char *key, enum lesson_value value,
                         bool *as_found)
{
    const struct setting *item = setting_find(group, key);
    *as_found = item != NULL && item->type == SETTING_TEXT && strcmp(item->text, AS_FOUND) == 0;
    if (item == NULL || *as_found) {
        return NAN;
    }
    const struct value_form *how = &value_forms[value];
    return how->factor * group_quantity(reader, group, key, how->form, how->low, how->high, NAN) + how->offset;
}

/* Complains when neither of the bounds is there, or they leave nothing between them. */
static void bounds_check(struct reader *reader, const struct setting *item, const struct lesson_goal *goal)
{
    if (setting_find(item, "least") == NULL && setting_find(item, "most") == NULL) {
        complain(reader, item, "this goal has no bound; expected least = ... or most = ..., or both");
    } else if (goal->least > goal->most) {
        complain(reader, item, "'least' is above 'most'; expected room between them");
    }
}

static void value_read(struct reader *reader, const struct setting *item, struct lesson_goal *goal)
{
    int value = group_needs(reader, item, "of", "\"ph\"") ? group_word(reader, item, "of", lesson_value_words, -1) : -1;
    if (value < 0) {
        return; /* what its bounds mean is not known */
    }
    goal->value = (enum lesson_value)value;
    goal->always = group_flag(reader, item, "always", false);
    goal->least = bound_read(reader, item, "least", goal->value, &goal->least_as_found);
    goal->most = bound_read(reader, item, "most", goal->value, &goal->most_as_found);
    bounds_check(reader, item, goal);
    if (goal->always && setting_find(item, "at") != NULL) {
        complain(reader, item, "this goal has 'at' and 'always'; expected one of them");
    }
}

static void cloth_goal_read(struct reader *reader, const struct setting *item, struct lesson_goal *goal)
{
    const struct scenario *scenario = reader->scenario;
    const struct setting *named = group_typed(reader, item, "cloth", SETTING_TEXT, "\"sash\"");
    if (named != NULL) {
        goal->cloth = named_find(reader, named, "cloth", named->text, scenario->cloth, scenario->cloth_count,
                                 sizeof *scenario->cloth);
    } else if (scenario->cloth_count != 1) {
        complain(reader, item, "this goal does not say which cloth; expected cloth = \"NAME\" of the cloth listed");
    }
    if (goal->check == LESSON_EVEN) {
        (void)group_needs(reader, item, "most", "1.2");
        goal->most = group_quantity(reader, item, "most", &form_number, 1, 100, NAN);
        return;
    }
    const struct setting *word = group_needed(reader, item, "shade", SETTING_TEXT, "\"light\"");
    if (word != NULL && !shade_for_word(word->text, &goal->shade)) {
        static const char *const shades[] = {"palest", "pale", "light", "mid", "dark", "navy", "near black", NULL};
        complain_unknown(reader, word, "shade", word->text, shades);
    }
    if (goal->check == LESSON_SHADE) {
        (void)group_needs(reader, item, "pieces", "4");
        goal->pieces = (int)group_whole(reader, item, "pieces", 1, PIECES_MOST, 1);
        if (goal->cloth >= 0 && goal->cloth < (int)scenario->cloth_count &&
            goal->pieces > scenario->cloth[goal->cloth].count) {
            complain(reader, item, "the goal asks for %d pieces of '%s'; expected at most the %d that there are",
                     goal->pieces, scenario->cloth[goal->cloth].name, scenario->cloth[goal->cloth].count);
        }
    }
}

static void given_read(struct reader *reader, const struct setting *item, struct lesson_goal *goal)
{
    const struct setting *what = group_typed(reader, item, "what", SETTING_TEXT, "\"fructose\"");
    const struct setting *kind = group_typed(reader, item, "kind", SETTING_TEXT, "\"sugar\"");
    if ((what == NULL) == (kind == NULL)) {
        complain(reader, item,
                 "this goal does not say what was given; expected what = \"fructose\" or kind = \"sugar\"");
    }
    if (kind != NULL) {
        (void)snprintf(goal->kind, sizeof goal->kind, "%.63s", kind->text);
        if (word_index(kind->text, material_kind_words) < 0) {
            complain_unknown(reader, kind, "kind of material", kind->text, material_kind_words);
        }
    } else if (what != NULL && reader->model != NULL) {
        goal->material = named_find(reader, what, "material", what->text, reader->model->materials,
                                    reader->model->material_count, sizeof *reader->model->materials);
    }
    goal->least = group_quantity(reader, item, "least", &form_mass, 0, 1000, NAN);
    goal->most = group_quantity(reader, item, "most", &form_mass, 0, 1000, NAN);
    bounds_check(reader, item, goal);
}

/* What each check may say besides goal, check and missed. */
static const char *const goal_keys[LESSON_CHECK_COUNT][10] = {
    [LESSON_READY] = {"goal", "check", "missed", "at"},
    [LESSON_VALUE] = {"goal", "check", "missed", "at", "of", "least", "most", "always"},
    [LESSON_SHADE] = {"goal", "check", "missed", "cloth", "pieces", "shade"},
    [LESSON_NONE_PALER] = {"goal", "check", "missed", "cloth", "shade"},
    [LESSON_EVEN] = {"goal", "check", "missed", "cloth", "most"},
    [LESSON_CLEAR] = {"goal", "check", "missed"},
    [LESSON_GIVEN] = {"goal", "check", "missed", "what", "kind", "least", "most"},
    [LESSON_APART] = {"goal", "check", "missed", "least"},
};

static struct status goal_read(struct reader *reader, const struct setting *item, const struct lesson *lesson,
                               struct lesson_goal *goal)
{
    *goal = (struct lesson_goal){.at = NAN, .least = NAN, .most = NAN, .material = -1};
    RETURN_IF_FAILED(text_read(reader, item, "goal", true, &goal->goal));
    RETURN_IF_FAILED(text_read(reader, item, "missed", false, &goal->missed));
    int check = group_needs(reader, item, "check", "\"ready\"")
                    ? group_word(reader, item, "check", lesson_check_words, -1)
                    : -1;
    if (check < 0) {
        return status_ok();
    }
    goal->check = (enum lesson_check)check;
    char where[64];
    (void)snprintf(where, sizeof where, "a goal with check = \"%s\"", lesson_check_words[check]);
    group_check_keys(reader, item, where, goal_keys[check]);
    goal->at = moment_read(reader, item, "at", lesson->begins, lesson->ends, NAN);
    switch (goal->check) {
    case LESSON_VALUE:
        value_read(reader, item, goal);
        break;
    case LESSON_SHADE:
    case LESSON_NONE_PALER:
    case LESSON_EVEN:
        cloth_goal_read(reader, item, goal);
        break;
    case LESSON_GIVEN:
        given_read(reader, item, goal);
        break;
    case LESSON_APART:
        (void)group_needs(reader, item, "least", "\"1 h\"");
        goal->least =
            group_quantity(reader, item, "least", &form_duration, 60, fmax(60, lesson->ends - lesson->begins), NAN);
        break;
    case LESSON_READY:
    case LESSON_CLEAR:
    case LESSON_CHECK_COUNT:
        break;
    }
    return status_ok();
}

static struct status goals_read(struct reader *reader, const struct setting *group, struct lesson *lesson)
{
    const struct setting *list = group_needed(reader, group, "sought", SETTING_LIST, sought_form);
    for (size_t i = 0; list != NULL && i < list->count; i++) {
        const struct setting *item = &list->items[i];
        if (item->type != SETTING_GROUP || i == LESSON_GOALS_MOST) {
            complain(reader, item, "an entry of 'sought' is %s; expected at most %d groups, as %s",
                     item->type == SETTING_GROUP ? "one too many" : setting_type_words(item->type), LESSON_GOALS_MOST,
                     sought_form);
            return status_ok();
        }
        RETURN_IF_FAILED(goal_read(reader, item, lesson, &lesson->goals[lesson->goal_count++]));
    }
    if (list != NULL && list->count == 0) {
        complain(reader, list, "nothing is sought; expected %s", sought_form);
    }
    return status_ok();
}

/* ---- the whole -------------------------------------------------------------------------------------------------- */

static struct status debrief_read(struct reader *reader, const struct setting *group, struct lesson *lesson)
{
    static const char *const keys[] = {"hidden", "met", "missed", "again", NULL};
    const struct setting *item = group_needed(reader, group, "debrief", SETTING_GROUP,
                                              "{ hidden = ...; met = ...; missed = ...; again = ...; }");
    if (item == NULL) {
        return status_ok();
    }
    group_check_keys(reader, item, "debrief", keys);
    RETURN_IF_FAILED(text_read(reader, item, "hidden", true, &lesson->hidden));
    RETURN_IF_FAILED(text_read(reader, item, "met", true, &lesson->met));
    RETURN_IF_FAILED(text_read(reader, item, "missed", true, &lesson->missed));
    return text_read(reader, item, "again", true, &lesson->again);
}

struct status lesson_read(struct reader *reader, const struct setting *root)
{
    static const char *const keys[] = {"order",  "aim",  "told",   "begins",  "ends", "hints",
                                       "sought", "good", "ledger", "debrief", NULL};
    const struct setting *group =
        group_typed(reader, root, "lesson", SETTING_GROUP, "{ aim = \"...\"; told = \"...\"; ... }");
    if (group == NULL) {
        return status_ok();
    }
    struct lesson *lesson = calloc(1, sizeof *lesson);
    if (lesson == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to read the lesson");
    }
    reader->scenario->lesson = lesson;
    group_check_keys(reader, group, "lesson", keys);
    lesson->order = (int)group_whole(reader, group, "order", 1, 999, 999);
    RETURN_IF_FAILED(text_read(reader, group, "aim", true, &lesson->aim));
    RETURN_IF_FAILED(text_read(reader, group, "told", true, &lesson->told));
    const double lasts = reader->scenario->lasts;
    lesson->begins = moment_read(reader, group, "begins", 0.0, lasts, 0.0);
    lesson->ends = moment_read(reader, group, "ends", lesson->begins + 60.0, lasts, lasts);
    RETURN_IF_FAILED(texts_read(reader, group, "hints", "( \"Read the strip.\", ... )", lesson->hints,
                                LESSON_HINTS_MOST, &lesson->hint_count));
    RETURN_IF_FAILED(goals_read(reader, group, lesson));
    RETURN_IF_FAILED(texts_read(reader, group, "good", "( \"warm to 40 C\", \"wait 2 h\", ... )", lesson->good,
                                LESSON_SENTENCES_MOST, &lesson->good_count));
    lesson->ledger = group_word(reader, group, "ledger", lesson_ledger_words, 0);
    return debrief_read(reader, group, lesson);
}
