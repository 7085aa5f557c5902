/* advise_text.c: see advise_text.h; what to do now, in words. */
#include "cli/advise_text.h"

#include "chem/physics.h"
#include "process/species.h"
#include "sim/series.h"
#include "study/measures.h"
#include "study/summary_words.h"

#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <time.h>

#define INDENT 10
#define HOUR 3600.0
#define HOT_K (45.0 + CELSIUS_ZERO)

const char *const advice_words[] = {"dye",
                                    "correct",
                                    "correct, not ready within the time looked at",
                                    "wait",
                                    "top up indigo or retire",
                                    "not to be brought to ready",
                                    NULL};
const char *const correction_words[] = {"wait", "warm", "sugar", "lime", "acid", "stir", "cover", NULL};

void advise_line(const char *label, struct text *text)
{
    struct text_style plain = {.width = TEXT_WIDTH};
    text_print_wrapped(stdout, &plain, label, INDENT, text_string(text), TEXT_WIDTH, "");
    text_clear(text);
}

/* ---- times -------------------------------------------------------------------------------------------------------- */

/* "at 14:30", "tomorrow at 08:00", "on 2026-04-08 at 08:00": so long after the scenario's start. */
static void add_clock(struct text *text, const struct scenario *scenario, double after)
{
    time_t now = (time_t)scenario->start_unix;
    time_t then = (time_t)(scenario->start_unix + after);
    long days = (long)(then / 86400) - (long)(now / 86400);
    struct tm clock;
    (void)gmtime_r(&then, &clock);
    if (days == 0) {
        text_add(text, "at %02d:%02d", clock.tm_hour, clock.tm_min);
    } else if (days == 1) {
        text_add(text, "tomorrow at %02d:%02d", clock.tm_hour, clock.tm_min);
    } else {
        text_add(text, "on %04d-%02d-%02d at %02d:%02d", clock.tm_year + 1900, clock.tm_mon + 1, clock.tm_mday,
                 clock.tm_hour, clock.tm_min);
    }
}

static void add_when_ready(struct text *text, double soonest, double latest)
{
    if (isinf(soonest)) {
        text_add(text, "not within %.0f h", COURSE_HORIZON / HOUR);
    } else if (latest <= 0.0) {
        text_add(text, "now");
    } else if (isinf(latest) && soonest > 0.0) {
        text_add(text, "in %.1f h at the best, at the worst not within %.0f h", soonest / HOUR, COURSE_HORIZON / HOUR);
    } else if (isinf(latest)) {
        text_add(text, "now at the best, at the worst not within %.0f h", COURSE_HORIZON / HOUR);
    } else if (latest - soonest < 0.3 * HOUR) {
        text_add(text, "in about %.1f h", latest / HOUR);
    } else {
        text_add(text, "in %.1f to %.1f h", soonest / HOUR, latest / HOUR);
    }
}

/* ---- the parts ---------------------------------------------------------------------------------------------------- */

static void print_heading(const struct advise_answer *answer)
{
    const struct existing_vat *vat = &answer->scenario->existing;
    struct text text = {0};
    text_add(&text, "%s: %.0f L, %.0f degC", answer->scenario->title, 1e3 * answer->scenario->fill,
             vat->temperature_K - CELSIUS_ZERO);
    if (!isnan(vat->ph)) {
        text_add(&text, ", pH %.1f", vat->ph);
    }
    if (vat->look != LOOK_UNKNOWN) {
        text_add(&text, ", looks %s", look_words[vat->look]);
    }
    if (vat->smell != SMELLED_UNKNOWN) {
        text_add(&text, ", smells %s", smell_words[vat->smell]);
    }
    if (vat->pinch != PINCH_UNKNOWN) {
        text_add(&text, ", a pinch of lime %s",
                 vat->pinch == PINCH_SUCKED_IN ? "is sucked in"
                 : vat->pinch == PINCH_SLOW    ? "vanishes slowly"
                                               : "stays");
    }
    struct text_style plain = {.width = TEXT_WIDTH};
    text_print_wrapped(stdout, &plain, "", 0, text_string(&text), TEXT_WIDTH, "");
    putchar('\n');
    text_free(&text);
}

static void print_suspects(const struct advice *advice)
{
    struct text text = {0};
    for (int i = 0; i < advice->suspect_count; i++) {
        text_add(&text, "%s", advice->suspects[i].text);
        advise_line(i == 0 ? "Suspect" : "", &text);
    }
    if (advice->ph_left_out) {
        text_add(&text, "What follows does without the pH. Read it again, with a fresh strip or a meter newly set.");
        advise_line("", &text);
    }
    text_free(&text);
}

static void add_range(struct text *text, const struct advice *advice, size_t offset, const char *none, const char *what)
{
    double low = INFINITY;
    double high = -INFINITY;
    for (int i = 0; i < advice->belief_count; i++) {
        double value = *(const double *)((const char *)&advice->beliefs[i] + offset);
        low = fmin(low, value);
        high = fmax(high, value);
    }
    if (high <= 0.0) {
        text_add(text, "no %s", none);
    } else if (low <= 0.0) {
        text_add(text, "none or %.1f g/L of %s", high, what);
    } else if (high - low < 0.05) {
        text_add(text, "%.1f g/L of %s", high, what);
    } else {
        text_add(text, "%.1f to %.1f g/L of %s", low, high, what);
    }
}

static void print_beliefs(const struct advise_answer *answer)
{
    const struct advice *advice = &answer->advice;
    struct text text = {0};
    add_range(&text, advice, offsetof(struct belief, hexose), "sugar left", "sugar left");
    text_add(&text, "; ");
    add_range(&text, advice, offsetof(struct belief, lime_solid), "undissolved lime in reach",
              "undissolved lime in reach");
    double usable = answer->scenario->model.constants[K_USABLE_LEUCO].nominal * MOLAR_INDIGOTIN;
    if (!isnan(advice->leuco)) {
        text_add(&text, "; by the strip %.2f g/L of reduced indigo, where %.2f dyes", advice->leuco, usable);
    }
    advise_line("Taken as", &text);
    text_free(&text);
}

static void print_now(const struct advise_answer *answer)
{
    const struct advice *advice = &answer->advice;
    struct text text = {0};
    char step[200];
    switch (advice->verdict) {
    case ADVICE_DYE:
        text_add(&text, "Dye. Dip a test strip first, and wait until the liquor is clear if it was stirred.");
        break;
    case ADVICE_WAIT:
        text_add(&text, "Leave it alone, covered: it comes by itself. Add nothing.");
        break;
    case ADVICE_INDIGO:
        text_add(&text, "It lacks indigo more than anything else: give it 1 to 2 g/L of powder as a reduced stock and "
                        "rest it overnight, or use it up and retire it, as below.");
        break;
    case ADVICE_LOST:
        text_add(&text, "Nothing that was tried does better than leaving it alone, and left alone it does not come. "
                        "Read it again tomorrow; if nothing has changed, retire it, as below.");
        break;
    case ADVICE_CORRECT:
    case ADVICE_NEARER:
        correction_say(answer->scenario, &advice->plan.steps[0], step, sizeof step);
        text_add(&text, "%s. Only this, then rest it, covered.", step);
        if (advice->whole > 0.0) {
            struct correction whole = advice->plan.steps[0];
            whole.amount = advice->whole;
            measure_say(correction_material(answer->scenario, whole.kind), whole.amount, step, sizeof step);
            text_add(
                &text,
                " The readings ask for %s; this is the first part of it, since what is in cannot be taken out. The "
                "next readings tell whether it wants the rest.",
                step);
        }
        break;
    }
    advise_line("Now", &text);
    text_free(&text);
}

static void print_later(const struct advise_answer *answer)
{
    const struct advice *advice = &answer->advice;
    struct text text = {0};
    char step[200];
    if (advice->verdict != ADVICE_DYE) {
        text_add(&text, "again ");
        add_clock(&text, answer->scenario, advice->look_again);
        text_add(&text, ", in %.1f h: pH, temperature, look, smell, a test strip. Then ask anew.",
                 advice->look_again / HOUR);
        advise_line("Look", &text);
    }
    for (int i = 1; i < advice->plan.count; i++) {
        correction_say(answer->scenario, &advice->plan.steps[i], step, sizeof step);
        text_join(&text, "; then ", "%s", step);
    }
    if (advice->plan.count > 1) {
        text_add(&text, ", as far as can be told today.");
        advise_line("Next", &text);
    }
    text_add(&text, advice->whole > 0.0 ? "with all that is asked for " : "as advised ");
    add_when_ready(&text, advice->ready_soonest, advice->ready_latest);
    text_add(&text, "; left alone ");
    add_when_ready(&text, advice->nothing_soonest, advice->nothing_latest);
    advise_line("Ready", &text);
    enum correction_kind first = advice->plan.count > 0 ? advice->plan.steps[0].kind : CORRECTION_WAIT;
    if (advice->swapped && (first == CORRECTION_SUGAR || first == CORRECTION_LIME)) {
        text_add(&text, "%s first; the other way round: ", first == CORRECTION_SUGAR ? "sugar" : "lime");
        add_when_ready(&text, advice->swapped_ready, advice->swapped_ready);
        advise_line("Order", &text);
    }
    if (advice->verdict != ADVICE_DYE) {
        text_add(&text, "when it is not as told by then, ");
        add_clock(&text, answer->scenario, advice->give_up);
        text_add(&text,
                 ", after readings and advice in between: what you read does not describe this vat, or its indigo "
                 "is spent.");
        advise_line("Give up", &text);
    }
    text_free(&text);
}

/* The state in `width` columns; 0: the last of the line. */
static void print_point(const struct course_point *point, const char *gap, int width)
{
    char state[WORD_SIZE];
    word_of_list(STATE_WORDS, point->state, state);
    printf("%s%5.1f %5.0f %6.2f  %-*s", gap, point->ph, point->temperature, point->leuco, width, state);
}

static void print_course(const struct advise_answer *answer)
{
    const struct advice *advice = &answer->advice;
    bool beside = advice->plan.count > 0;
    struct text text = {0};
    text_add(&text, "expected, if the vat is the likeliest of those that the readings allow; reduced indigo in g/L");
    printf("\n");
    advise_line("Course", &text);
    text_free(&text);
    printf(beside ? "          as advised                         left alone\n" : "          left alone\n");
    printf(beside ? "             pH  degC  leuco  state            pH  degC  leuco  state\n"
                  : "             pH  degC  leuco  state\n");
    for (int i = 0; i < COURSE_POINTS; i++) {
        char when[16];
        (void)snprintf(when, sizeof when, i == 0 ? "now" : "in %.0f h", course_times[i] / HOUR);
        printf("%-10s", when);
        print_point(beside ? &advice->followed.points[i] : &advice->nothing.points[i], "", beside ? 13 : 0);
        if (beside) {
            print_point(&advice->nothing.points[i], " ", 0);
        }
        putchar('\n');
    }
    putchar('\n');
}

/* ---- the calendar -------------------------------------------------------------------------------------------------- */

int advise_event_lines(const struct scenario *scenario, const struct correction *step, char lines[2][EVENT_LINE])
{
    const struct material *material = correction_material(scenario, step->kind);
    struct plan plan = {.steps = {*step}, .count = 1};
    struct event_spec events[2 * PLAN_STEPS_MOST];
    size_t count = plan_events(scenario, &plan, 0.0, events);
    for (size_t i = 0; i < count && i < 2; i++) {
        char at[40];
        (void)snprintf(at, sizeof at, "{ at = \"+%.0f min\"; do = ", events[i].at / 60.0);
        switch (events[i].action) {
        case ACTION_ADD:
            (void)snprintf(lines[i], EVENT_LINE, "%s\"add\"; what = \"%s\"; amount = \"%.4g g\"; }", at,
                           material != NULL ? material->name : "", 1e3 * events[i].dose.mass);
            break;
        case ACTION_HEAT:
            (void)snprintf(lines[i], EVENT_LINE, "%s\"heat\"; to = \"%.0f degC\"; power = \"%.0f W\"; }", at,
                           events[i].temperature_K - CELSIUS_ZERO, events[i].power);
            break;
        case ACTION_COVER:
            (void)snprintf(lines[i], EVENT_LINE, "%s\"cover\"; lid = \"tight\"; }", at);
            break;
        default:
            (void)snprintf(lines[i], EVENT_LINE, "%s\"stir\"; }", at);
            break;
        }
    }
    return count > 2 ? 2 : (int)count;
}

static void print_calendar(const struct advise_answer *answer)
{
    char lines[2][EVENT_LINE];
    if (answer->advice.plan.count == 0) {
        return;
    }
    int count = advise_event_lines(answer->scenario, &answer->advice.plan.steps[0], lines);
    struct text text = {0};
    text_add(&text, "to see it run, put this into the scenario's calendar, at its start:");
    advise_line("Calendar", &text);
    text_free(&text);
    for (int i = 0; i < count; i++) {
        printf("    %s%s\n", lines[i], i + 1 < count ? "," : "");
    }
}

static void print_care(const struct advise_answer *answer)
{
    struct text text = {0};
    const struct plan *plan = &answer->advice.plan;
    enum correction_kind kind = plan->count > 0 ? plan->steps[0].kind : CORRECTION_WAIT;
    text_add(&text, "the liquor and its lime burn eyes and skin: sealed goggles and gloves");
    if (kind == CORRECTION_LIME) {
        text_add(&text, "; lime into water, never water onto dry lime, and no dust in the air");
    } else if (kind == CORRECTION_ACID) {
        text_add(&text, "; acid in small steps with the window open: it froths where there is chalk");
    } else if (kind == CORRECTION_WARM) {
        text_add(&text, "; hot liquor scalds: pour little at a time, children away; burners outdoors; the heater out "
                        "before hands go in");
    }
    text_add(&text, ".");
    advise_line("Care", &text);
    text_free(&text);
}

void advise_print(const struct advise_answer *answer)
{
    print_heading(answer);
    print_suspects(&answer->advice);
    print_beliefs(answer);
    print_now(answer);
    print_later(answer);
    print_course(answer);
    print_calendar(answer);
    print_care(answer);
}
