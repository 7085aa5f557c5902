/* lesson_judge.c: see lesson_judge.h. */
#include "rehearse/lesson_judge.h"

#include "scenario/words.h"
#include "sim/series.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define SAME_TIME 0.5 /* s: a record at the moment itself counts */
#define WORTH_NAMING 0.05

static double cell(const struct table *table, const char *name, size_t row)
{
    const struct column *column = table_column(table, name);
    return column == NULL || row >= table->rows ? (double)NAN : column->values[row];
}

/* Last record at or before a time; table.rows when there is none. */
static size_t record_at(const struct table *series, double time)
{
    const struct column *times = table_column(series, "time");
    size_t row = series->rows;
    for (size_t i = 0; times != NULL && i < series->rows && times->values[i] <= time + SAME_TIME; i++) {
        row = i;
    }
    return row;
}

static int state_in(const struct table *series, size_t row)
{
    double code = cell(series, "state", row);
    return isnan(code) ? -1 : (int)code;
}

struct lesson_moment lesson_moment(const struct lesson_course *course, double time)
{
    const struct table *series = &course->result->series;
    size_t row = record_at(series, time);
    return (struct lesson_moment){
        .ph = cell(series, "ph", row),
        .temperature = cell(series, "temperature", row),
        .leuco = cell(series, "leuco", row),
        .state = state_in(series, row),
    };
}

/* ---- the vat ---------------------------------------------------------------------------------------------------- */

static const char *const value_series[LESSON_VALUE_COUNT] = {
    [LESSON_PH] = "ph",        [LESSON_TEMPERATURE] = "temperature", [LESSON_LEUCO] = "leuco",
    [LESSON_SUGAR] = "hexose", [LESSON_LIME] = "lime_solid",         [LESSON_LIQUOR] = "volume",
};

/* How far a value lies outside its bounds; negative within. */
static double beyond(const struct goal_found *found, double value)
{
    double under = isnan(found->least) ? -INFINITY : found->least - value;
    double over = isnan(found->most) ? -INFINITY : value - found->most;
    return fmax(under, over);
}

static void judge_value(const struct lesson_course *course, const struct lesson_goal *goal, struct goal_found *found)
{
    const struct table *series = &course->result->series;
    const char *name = value_series[goal->value];
    double as_found = cell(series, name, record_at(series, course->lesson->begins));
    found->least = goal->least_as_found ? as_found : goal->least;
    found->most = goal->most_as_found ? as_found : goal->most;
    size_t last = record_at(series, found->at);
    size_t first = goal->always ? record_at(series, course->lesson->begins) : last;
    double worst = -INFINITY;
    for (size_t i = first; i <= last && i < series->rows; i++) {
        double value = cell(series, name, i);
        if (beyond(found, value) > worst) {
            worst = beyond(found, value);
            found->value = value;
            found->at = cell(series, "time", i);
        }
    }
    found->met = worst <= 0.0 && worst > -INFINITY;
}

/* ---- cloth ------------------------------------------------------------------------------------------------------ */

static bool is_dipped(const struct table *pieces, size_t row, int cloth)
{
    return (cloth < 0 || cell(pieces, "kind", row) == (double)cloth) && cell(pieces, "dips", row) > 0.0;
}

static void judge_cloth(const struct lesson_course *course, const struct lesson_goal *goal, struct goal_found *found)
{
    const struct table *pieces = &course->result->pieces;
    int at_shade = 0;
    int dipped = 0;
    double low = INFINITY;
    double high = 0.0;
    for (size_t i = 0; i < pieces->rows; i++) {
        if (is_dipped(pieces, i, goal->cloth)) {
            double owf = cell(pieces, "owf_washed", i);
            dipped++;
            at_shade += cell(pieces, "shade", i) >= (double)goal->shade;
            low = fmin(low, owf);
            high = fmax(high, owf);
        }
    }
    found->of = dipped;
    found->nothing_dipped = dipped == 0;
    if (goal->check == LESSON_SHADE) {
        found->value = at_shade;
        found->met = at_shade >= goal->pieces;
    } else if (goal->check == LESSON_NONE_PALER) {
        found->value = dipped - at_shade;
        found->met = dipped > 0 && at_shade == dipped;
    } else {
        found->value = low > 0.0 ? high / low : INFINITY;
        found->met = dipped > 0 && found->value <= goal->most;
    }
}

static void judge_clear(const struct lesson_course *course, struct goal_found *found)
{
    const struct table *dips = &course->result->dips;
    const struct table *series = &course->result->series;
    found->value = 0.0;
    found->of = 0.0;
    for (size_t i = 0; i < dips->rows; i++) {
        double time = cell(dips, "time", i);
        if (time >= course->lesson->begins - SAME_TIME) {
            found->of += 1.0;
            found->value += state_in(series, record_at(series, time)) == VAT_STIRRED_UP;
        }
    }
    found->nothing_dipped = found->of < 1.0;
    found->met = !found->nothing_dipped && found->value < 1.0;
}

/* ---- what was done ---------------------------------------------------------------------------------------------- */

/* The event behind a row of /events when the learner did it; NULL for what happened by itself or was left out. */
static const struct event_spec *own_event(const struct lesson_course *course, size_t row)
{
    const struct table *events = &course->result->events;
    double source = cell(events, "source", row);
    double action = cell(events, "action", row);
    if (isnan(source) || source < (double)course->own || source >= (double)course->scenario->event_count ||
        !(cell(events, "done", row) > 0.0)) {
        return NULL;
    }
    const struct event_spec *spec = &course->scenario->events[(int)source];
    return (double)spec->action == action ? spec : NULL; /* not its end, as cloth coming out */
}

static const struct material *material_given(const struct lesson_course *course, const struct event_spec *spec)
{
    return spec->action == ACTION_ADD && spec->dose.material >= 0
               ? &course->scenario->model.materials[spec->dose.material]
               : NULL;
}

static void judge_given(const struct lesson_course *course, const struct lesson_goal *goal, struct goal_found *found)
{
    const struct table *events = &course->result->events;
    found->value = 0.0;
    for (size_t i = 0; i < events->rows; i++) {
        const struct event_spec *spec = own_event(course, i);
        const struct material *material = spec != NULL ? material_given(course, spec) : NULL;
        bool counts = material != NULL && (goal->kind[0] != '\0' ? strcmp(material->kind, goal->kind) == 0
                                                                 : spec->dose.material == goal->material);
        found->value += counts ? cell(events, "mass", i) : 0.0;
    }
    found->met = !(found->value < goal->least) && !(found->value > goal->most);
}

static void judge_apart(const struct lesson_course *course, const struct lesson_goal *goal, struct goal_found *found)
{
    const struct table *events = &course->result->events;
    const struct event_spec *last = NULL;
    double last_time = 0.0;
    found->value = INFINITY;
    for (size_t i = 0; i < events->rows; i++) {
        const struct event_spec *spec = own_event(course, i);
        if (spec == NULL || (spec->action != ACTION_ADD && spec->action != ACTION_HEAT)) {
            continue;
        }
        double time = cell(events, "time", i);
        bool alike = last != NULL && last->action == spec->action &&
                     (spec->action == ACTION_HEAT || last->dose.material == spec->dose.material);
        if (last != NULL && !alike && time - last_time < found->value) {
            found->value = time - last_time;
            found->at = last_time;
        }
        last = spec;
        last_time = time;
    }
    found->met = found->value >= goal->least - SAME_TIME;
}

struct goal_found lesson_judge(const struct lesson_course *course, const struct lesson_goal *goal)
{
    struct goal_found found = {.at = isnan(goal->at) ? course->lesson->ends : goal->at,
                               .value = NAN,
                               .of = NAN,
                               .least = NAN,
                               .most = NAN,
                               .state = -1};
    struct lesson_moment moment;
    switch (goal->check) {
    case LESSON_READY:
        moment = lesson_moment(course, found.at);
        found.value = moment.leuco;
        found.state = moment.state;
        found.met = moment.state == VAT_READY;
        break;
    case LESSON_VALUE:
        judge_value(course, goal, &found);
        break;
    case LESSON_SHADE:
    case LESSON_NONE_PALER:
    case LESSON_EVEN:
        judge_cloth(course, goal, &found);
        break;
    case LESSON_CLEAR:
        judge_clear(course, &found);
        break;
    case LESSON_GIVEN:
        judge_given(course, goal, &found);
        break;
    case LESSON_APART:
        judge_apart(course, goal, &found);
        break;
    case LESSON_CHECK_COUNT:
        break;
    }
    return found;
}

struct lesson_figures lesson_figures(const struct lesson_course *course)
{
    struct lesson_figures figures = {.owf_low = NAN, .owf_high = NAN, .leuco_low = NAN, .leuco_high = NAN};
    const struct table *events = &course->result->events;
    for (size_t i = 0; i < events->rows; i++) {
        const struct event_spec *spec = own_event(course, i);
        if (spec == NULL) {
            continue;
        }
        const struct material *material = material_given(course, spec);
        if (material != NULL) {
            int kind = word_index(material->kind, material_kind_words);
            figures.given[kind < 0 ? MATERIAL_KINDS - 1 : kind] += cell(events, "mass", i);
        }
    }
    const struct table *dips = &course->result->dips;
    for (size_t i = 0; i < dips->rows; i++) {
        if (cell(dips, "time", i) >= course->lesson->begins - SAME_TIME) {
            figures.leuco_low = fmin(figures.leuco_low, cell(dips, "leuco", i));
            figures.leuco_high = fmax(figures.leuco_high, cell(dips, "leuco", i));
        }
    }
    const struct table *pieces = &course->result->pieces;
    for (size_t i = 0; i < pieces->rows; i++) {
        if (is_dipped(pieces, i, -1)) {
            double owf = cell(pieces, "owf_washed", i) / 100.0;
            figures.pieces++;
            figures.owf_low = fmin(figures.owf_low, owf);
            figures.owf_high = fmax(figures.owf_high, owf);
        }
    }
    return figures;
}

/* ---- where two courses parted ------------------------------------------------------------------------------------ */

static const struct table *ledger_of(const struct lesson_course *course)
{
    const struct result *result = course->result;
    const char *word = lesson_ledger_words[course->lesson->ledger];
    const char *name = strcmp(word, "sugar") == 0 ? "hexose" : word; /* as results call it */
    for (size_t i = 0; i < result->ledger_count; i++) {
        if (strcmp(result->ledger[i].name, name) == 0) {
            return &result->ledger[i];
        }
    }
    return NULL;
}

/* What came in or was there at the start. */
static double ledger_in(const struct table *ledger)
{
    double sum = 0.0;
    for (size_t i = 0; i < ledger->rows; i++) {
        double amount = cell(ledger, "amount", i);
        sum += cell(ledger, "part", i) < PART_LEFT && amount > 0.0 ? amount : 0.0;
    }
    return sum;
}

/* What the row of that name holds, without its sign; 0 when there is none. */
static double ledger_amount(const struct table *ledger, const char *name)
{
    for (size_t i = 0; i < ledger->rows; i++) {
        char here[WORD_SIZE];
        word_of_list(ledger->row_names, (double)i, here);
        if (strcmp(here, name) == 0) {
            return fabs(cell(ledger, "amount", i));
        }
    }
    return 0.0;
}

/* How far apart two amounts are: as shares of what was there, for what is given; of oxygen, which comes by itself, as such. */
static double apart(const struct lesson_parting *parting, bool by_itself, double one, double other)
{
    double all = fmax(parting->one_in, parting->other_in);
    double one_of = by_itself ? all : parting->one_in;
    double other_of = by_itself ? all : parting->other_in;
    return fabs((one_of > 0.0 ? one / one_of : 0.0) - (other_of > 0.0 ? other / other_of : 0.0));
}

/* Keeps the row of `from` in which the two lie furthest apart. What was there and what was given is told elsewhere. */
static void part_by_rows_of(const struct table *from, const struct table *one, const struct table *other,
                            bool by_itself, struct lesson_parting *parting)
{
    for (size_t i = 0; i < from->rows; i++) {
        char name[WORD_SIZE];
        word_of_list(from->row_names, (double)i, name);
        if (strcmp(name, "initial") == 0 || strcmp(name, "added") == 0) {
            continue;
        }
        double a = ledger_amount(one, name);
        double b = ledger_amount(other, name);
        if (apart(parting, by_itself, a, b) > apart(parting, by_itself, parting->one, parting->other)) {
            (void)snprintf(parting->row, sizeof parting->row, "%s", name);
            parting->one = a;
            parting->other = b;
        }
    }
}

struct lesson_parting lesson_parting(const struct lesson_course *one, const struct lesson_course *other)
{
    struct lesson_parting parting = {.row = ""};
    const struct table *a = ledger_of(one);
    const struct table *b = ledger_of(other);
    if (a == NULL || b == NULL || a->row_names == NULL || b->row_names == NULL) {
        return parting;
    }
    (void)snprintf(parting.unit, sizeof parting.unit, "%s", table_column(a, "amount")->unit);
    parting.one_in = ledger_in(a);
    parting.other_in = ledger_in(b);
    bool by_itself = strcmp(a->name, "oxygen") == 0;
    part_by_rows_of(a, a, b, by_itself, &parting);
    part_by_rows_of(b, a, b, by_itself, &parting);
    if (apart(&parting, by_itself, parting.one, parting.other) < WORTH_NAMING) {
        parting.row[0] = '\0';
    }
    return parting;
}
