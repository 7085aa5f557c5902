/* compare.c: see compare.h. */
#include "study/compare.h"

#include "sim/series.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#define WORTH_EXPLAINING 0.03   /* of the indigo on cloth: less is no difference */
#define PART_WORTH_NAMING 0.15  /* of the largest part of a difference */
#define PART_LEAST 0.05 /* g: what is told to a tenth */
#define STATE_WORTH_NAMING 0.02 /* of the time */

const char *const goal_words[GOAL_COUNT + 1] = {"cloth", "soon", "pigment", "labour", "steady", NULL};
const char *const goal_phrases[GOAL_COUNT] = {
    "most cloth at the shade",
    "all cloth at the shade soonest",
    "least pigment used up per kilogram at the shade",
    "fewest acts of care",
    "steadiest shade",
};

/* ---- ranking ---------------------------------------------------------------------------------------------------- */

double goal_figure(const struct outcome *outcome, enum goal goal)
{
    switch (goal) {
    case GOAL_CLOTH:
        return outcome->at_shade;
    case GOAL_SOON:
        return isnan(outcome->done_at) ? (double)INFINITY : outcome->done_at;
    case GOAL_PIGMENT:
        return outcome->pigment_per_kg;
    case GOAL_LABOUR:
        return outcome->care;
    case GOAL_STEADY:
        return isnan(outcome->spread) ? (double)INFINITY : outcome->spread;
    case GOAL_COUNT:
        break;
    }
    return NAN;
}

/* Below 0: a is better; 0: equal within COMPARE_EQUAL. */
static int compare_figures(double a, double b)
{
    double scale = fmax(fabs(a), fabs(b));
    if ((isinf(a) && isinf(b)) || (isfinite(scale) && fabs(a - b) <= COMPARE_EQUAL * scale)) {
        return 0;
    }
    return a < b ? -1 : 1;
}

static int compare_outcomes(const struct outcome *a, const struct outcome *b, enum goal goal, double work)
{
    int idle = (int)(a->at_shade < work) - (int)(b->at_shade < work);
    if (idle != 0) {
        return idle;
    }
    int order = goal == GOAL_CLOTH ? compare_figures(b->at_shade, a->at_shade)
                                   : compare_figures(goal_figure(a, goal), goal_figure(b, goal));
    order = order != 0 ? order : compare_figures(b->at_shade, a->at_shade);
    order = order != 0 ? order : compare_figures(goal_figure(a, GOAL_SOON), goal_figure(b, GOAL_SOON));
    order = order != 0 ? order : compare_figures(a->pigment_per_kg, b->pigment_per_kg);
    return order != 0 ? order : compare_figures(a->care, b->care);
}

void compare_rank(const struct outcome *outcomes, size_t count, enum goal goal, size_t *order)
{
    double most = 0.0;
    for (size_t i = 0; i < count; i++) {
        most = fmax(most, outcomes[i].at_shade);
    }
    for (size_t i = 0; i < count; i++) {
        size_t place = i;
        while (place > 0 &&
               compare_outcomes(&outcomes[i], &outcomes[order[place - 1]], goal, COMPARE_WORK_SHARE * most) < 0) {
            order[place] = order[place - 1];
            place--;
        }
        order[place] = i;
    }
}

/* ---- explaining ------------------------------------------------------------------------------------------------- */

struct indigo_difference compare_indigo(const struct outcome *better, const struct outcome *worse)
{
    const struct book *a = &better->books[BOOKED_INDIGO];
    const struct book *b = &worse->books[BOOKED_INDIGO];
    double other_left =
        (b->left - worse->unreduced - worse->leuco_left) - (a->left - better->unreduced - better->leuco_left);
    return (struct indigo_difference){
        .on_cloth = a->served - b->served,
        .used = a->used - b->used,
        .unreduced = worse->unreduced - better->unreduced,
        .leuco = worse->leuco_left - better->leuco_left,
        .lost = b->lost - a->lost + other_left,
    };
}

struct sentence {
    char *text;
    size_t size, used;
};

static void say(struct sentence *sentence, const char *format, ...) PRINTF_LIKE(2, 3);
static void say(struct sentence *sentence, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    int length = vsnprintf(sentence->text + sentence->used, sentence->size - sentence->used, format, arguments);
    va_end(arguments);
    size_t room = sentence->size - sentence->used - 1;
    sentence->used += length < 0 ? 0 : (size_t)length < room ? (size_t)length : room;
}

static double day_of(double time)
{
    return floor(time / 86400.0) + 1.0;
}

static bool are_equal(const struct outcome *a, const struct outcome *b, enum goal goal)
{
    return compare_figures(goal_figure(a, goal), goal_figure(b, goal)) == 0;
}

static void say_soon(struct sentence *sentence, const struct outcome *a, const struct outcome *b)
{
    if (isnan(b->done_at)) {
        say(sentence, "%s has all cloth at its shade on day %.0f, %s has %.0f of %.0f pieces there at the end", a->name,
            day_of(a->done_at), b->name, b->pieces_at_shade, b->pieces);
    } else {
        say(sentence, "%s is done on day %.0f and %s on day %.0f", a->name, day_of(a->done_at), b->name,
            day_of(b->done_at));
    }
}

/* Equal by the goal: in what, and what decided instead. */
static void say_equal(struct sentence *sentence, const struct outcome *a, const struct outcome *b, enum goal goal)
{
    say(sentence, "%s and %s ", a->name, b->name);
    switch (goal) {
    case GOAL_CLOTH:
        say(sentence, "bring as much cloth to the shade, %.1f kg", a->at_shade);
        break;
    case GOAL_SOON:
        if (isnan(a->done_at)) {
            say(sentence, "do not bring all cloth to its shade");
        } else {
            say(sentence, "are done on day %.0f", day_of(a->done_at));
        }
        break;
    case GOAL_PIGMENT:
        say(sentence, "use up as much pigment for each kilogram at the shade");
        break;
    case GOAL_LABOUR:
        say(sentence, "ask for as many acts of care, %d", a->care);
        break;
    case GOAL_STEADY:
    case GOAL_COUNT:
        say(sentence, "dye as evenly");
        break;
    }
    if (goal != GOAL_CLOTH && compare_figures(b->at_shade, a->at_shade) != 0) {
        say(sentence, "; %s brings more to it, %.1f kg against %.1f kg", a->name, a->at_shade, b->at_shade);
    } else if (goal != GOAL_SOON && !are_equal(a, b, GOAL_SOON)) {
        say(sentence, "; ");
        say_soon(sentence, a, b);
    } else if (compare_figures(a->pigment_per_kg, b->pigment_per_kg) != 0) {
        say(sentence, "; %s uses up less indigotin for each kilogram, %.1f g against %.1f g", a->name,
            a->pigment_per_kg, b->pigment_per_kg);
    } else if (a->care != b->care) {
        say(sentence, "; %s asks for %d acts of care, %s for %d", a->name, a->care, b->name, b->care);
    }
}

/* The goal's own figures. */
static void say_goal(struct sentence *sentence, const struct outcome *a, const struct outcome *b, enum goal goal)
{
    if (are_equal(a, b, goal)) {
        say_equal(sentence, a, b, goal);
        return;
    }
    switch (goal) {
    case GOAL_CLOTH:
        say(sentence, "%s brings %.1f kg to the shade and %s %.1f kg", a->name, a->at_shade, b->name, b->at_shade);
        return;
    case GOAL_SOON:
        say_soon(sentence, a, b);
        return;
    case GOAL_PIGMENT:
        if (isinf(b->pigment_per_kg)) {
            say(sentence, "%s uses up %.1f g of indigotin per kilogram at the shade and %s brings none to it", a->name,
                a->pigment_per_kg, b->name);
        } else {
            say(sentence, "%s uses up %.1f g of indigotin per kilogram at the shade and %s %.1f g", a->name,
                a->pigment_per_kg, b->name, b->pigment_per_kg);
        }
        return;
    case GOAL_LABOUR:
        say(sentence, "%s asks for %d acts of care and %s for %d", a->name, a->care, b->name, b->care);
        return;
    case GOAL_STEADY:
        say(sentence, "the pieces of %s differ by %.0f %% and those of %s by %.0f %%", a->name, 100.0 * a->spread,
            b->name, 100.0 * b->spread);
        return;
    case GOAL_COUNT:
        return;
    }
}

/* So nearly that there is nothing to explain. */
static bool same_on_cloth(const struct outcome *a, const struct outcome *b)
{
    double one = a->books[BOOKED_INDIGO].served;
    double other = b->books[BOOKED_INDIGO].served;
    return fabs(one - other) <= WORTH_EXPLAINING * fmax(one, other);
}

/* "; 3.2 g less lie unreduced in it and 1.0 g less are lost, but 0.4 g more are left as leuco": the parts of the indigo's
 * books that make the difference on cloth, which is their sum; small ones are passed over. */
static void say_parts(struct sentence *sentence, const double parts[4])
{
    static const char *const what[4] = {"lie unreduced in it", "are left in it as leuco", "were put in",
                                        "are lost on the way"};
    double largest = 0.0;
    for (int i = 0; i < 4; i++) {
        largest = fmax(largest, fabs(parts[i]));
    }
    for (int helping = 1; helping >= 0; helping--) {
        const char *joint = helping != 0 ? ", because " : ", although ";
        for (int i = 0; i < 4; i++) {
            double size = helping != 0 ? parts[i] : -parts[i];
            if (size >= PART_WORTH_NAMING * largest && size >= PART_LEAST) {
                bool more =
                    (i == 2) == (helping != 0); /* what is put in helps by being more, the others by being less */
                say(sentence, "%s%.1f g %s %s", joint, size, more ? "more" : "less", what[i]);
                joint = " and ";
            }
        }
    }
}

static void say_indigo(struct sentence *sentence, const struct outcome *a, const struct outcome *b)
{
    struct indigo_difference d = compare_indigo(a, b);
    double sign = d.on_cloth < 0.0 ? -1.0 : 1.0;
    const double parts[4] = {sign * d.unreduced, sign * d.leuco, sign * d.used, sign * d.lost};
    if (same_on_cloth(a, b)) {
        say(sentence, ": both put about as much indigo on cloth, %.1f g and %.1f g", a->books[BOOKED_INDIGO].served,
            b->books[BOOKED_INDIGO].served);
        return;
    }
    say(sentence, ": %s puts %.1f g more indigo on cloth", sign > 0.0 ? a->name : b->name, fabs(d.on_cloth));
    say_parts(sentence, parts);
}

/* The state in which `b` spent most time beyond `a`. */
static void say_state(struct sentence *sentence, const struct outcome *a, const struct outcome *b)
{
    static const char *const words[OUTCOME_STATES] = {
        "ready",        "tired",        "oxidised",      "out of sugar", "short of lime",   "too limy",
        "over-reduced", "too cold",     "out of indigo", "stirred up",   "not yet reduced", "frozen",
        "asleep",       "souring fast", "putrid",        "stalled"};
    int worst = -1;
    double excess = STATE_WORTH_NAMING;
    for (int s = 1; s < OUTCOME_STATES; s++) {
        if (b->state_share[s] - a->state_share[s] > excess) {
            excess = b->state_share[s] - a->state_share[s];
            worst = s;
        }
    }
    if (worst > 0) {
        say(sentence, "; %s was %s %.0f %% of the time, %s %.0f %%", b->name, words[worst],
            100.0 * b->state_share[worst], a->name, 100.0 * a->state_share[worst]);
    }
}

/* What was fed, where the two differ. */
static void say_feeding(struct sentence *sentence, const struct outcome *a, const struct outcome *b)
{
    static const enum booked fed[] = {BOOKED_SUGAR, BOOKED_LIME};
    static const char *const names[2][2] = {{"sugar", "lime"}, {"feed", "alkali"}};
    double largest = 0.05; /* relative */
    int which = -1;
    for (int i = 0; i < 2 && a->lives == b->lives; i++) {
        double one = a->books[fed[i]].used;
        double other = b->books[fed[i]].used;
        double difference = fabs(one - other) / fmax(fmax(one, other), 1e-12);
        if (difference > largest) {
            largest = difference;
            which = i;
        }
    }
    if (which >= 0) {
        const struct book *one = &a->books[fed[which]];
        const struct book *other = &b->books[fed[which]];
        say(sentence, "; of %.0f g of %s in %s %.0f g are left, of %.0f g in %s %.0f g", one->used,
            names[a->lives ? 1 : 0][which], a->name, one->left, other->used, b->name, other->left);
    }
}

static void say_acts(struct sentence *sentence, const struct outcome *a, const struct outcome *b)
{
    int most = 0;
    int action = -1;
    for (int i = 0; i < ACTION_COUNT; i++) {
        if (i != ACTION_DIP && i != ACTION_READ && b->acts[i] - a->acts[i] > most) {
            most = b->acts[i] - a->acts[i];
            action = i;
        }
    }
    if (action >= 0) {
        say(sentence, ", %d more of them to %s", most, action_words[action]);
    }
}

void compare_explain(const struct outcome *better, const struct outcome *worse, enum goal goal, char *text, size_t size)
{
    struct sentence sentence = {.text = text, .size = size};
    text[0] = '\0';
    say_goal(&sentence, better, worse, goal);
    if (goal == GOAL_LABOUR) {
        say_acts(&sentence, better, worse);
    }
    say_indigo(&sentence, better, worse);
    bool turned = !same_on_cloth(better, worse) && compare_indigo(better, worse).on_cloth < 0.0;
    const struct outcome *more = turned ? worse : better;
    const struct outcome *less = turned ? better : worse;
    say_state(&sentence, more, less);
    say_feeding(&sentence, more, less);
}
