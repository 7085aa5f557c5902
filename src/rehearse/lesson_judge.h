/* lesson_judge.h: what a learner's course came to, by the goals of the lesson, and where it parted from a good one.
 *
 * Everything is read from the tables and ledgers of the run, over the lesson's time alone.
 */
#ifndef VATCAST_REHEARSE_LESSON_JUDGE_H
#define VATCAST_REHEARSE_LESSON_JUDGE_H

#include "scenario/lesson.h"
#include "scenario/scenario.h"
#include "sim/result.h"
#include "study/summary_words.h"

#include <stdbool.h>

/* A course through a lesson: the run's result, and the scenario that did it, whose events from `own` on are the
 * learner's; those before are the past, or happen by themselves. */
struct lesson_course {
    const struct scenario *scenario;
    const struct lesson *lesson;
    const struct result *result;
    int own;
};

/* What was found for a goal. */
struct goal_found {
    bool met;
    bool nothing_dipped; /* a goal about the cloth that was dipped, and there was none: not met */
    double at;           /* s since start: when it was looked at; of a bound that must hold always, when it was worst */
    double
        value; /* READY: leuco, g/L; VALUE: as its series; SHADE: pieces that have it; NONE_PALER: pieces paler; EVEN: the
                   * ratio; CLEAR: dips in a vat stirred up; GIVEN: kg; APART: s, INFINITY without two corrections */
    double of;          /* NONE_PALER, EVEN: pieces that were dipped; CLEAR: dips */
    double least, most; /* VALUE: the bounds, with what was found at the beginning put in; NAN: none */
    int state;          /* READY: enum vat_state, or -1 */
};
struct goal_found lesson_judge(const struct lesson_course *course, const struct lesson_goal *goal);

/* What a course used and dyed. */
struct lesson_figures {
    double given[MATERIAL_KINDS]; /* kg that the learner gave, in the order of material_kind_words */
    double leuco_low, leuco_high; /* g/L when cloth went in; NAN: it did not */
    int pieces;                   /* that were dipped */
    double owf_low, owf_high;     /* kg/kg after washing, of those; NAN: none */
};
struct lesson_figures lesson_figures(const struct lesson_course *course);

/* A moment of the vat. */
struct lesson_moment {
    double ph, temperature, leuco; /* degC, g/L; NAN: not recorded yet */
    int state;                     /* enum vat_state, or -1 */
};
struct lesson_moment lesson_moment(const struct lesson_course *course, double time);

/* The row of the lesson's ledger in which two courses lie furthest apart, as shares of what there was (of oxygen: in amount):
 * what went that way in each, and what there was in all, in the ledger's unit. `row` is "" when they do not differ by as much
 * as a twentieth. */
struct lesson_parting {
    char row[WORD_SIZE]; /* as in the ledger, its underscores as blanks */
    char unit[32];
    double one, other;       /* not negative */
    double one_in, other_in; /* came in or was there at the start */
};
struct lesson_parting lesson_parting(const struct lesson_course *one, const struct lesson_course *other);

#endif
