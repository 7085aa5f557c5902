/* lesson.h: a lesson as plain data: what a learner is told and sought after, and what a good dyer would have said.
 *
 * The fault that the learner is to find is no part of it: it stands in the scenario, in what the vat holds at the start or
 * in what its calendar does before the lesson begins.
 */
#ifndef VATCAST_SCENARIO_LESSON_H
#define VATCAST_SCENARIO_LESSON_H

#include "chem/shade.h"

#include <stdbool.h>
#include <stddef.h>

#define LESSON_HINTS_MOST 8
#define LESSON_GOALS_MOST 8
#define LESSON_SENTENCES_MOST 60

/* What a goal looks at, once the lesson's time is over. */
enum lesson_check {
    LESSON_READY,      /* the diagnosis of the vat at a moment is `ready` */
    LESSON_VALUE,      /* a value of the vat at a moment, or all the time, lies within bounds */
    LESSON_SHADE,      /* so many pieces have a depth of blue, or a deeper one */
    LESSON_NONE_PALER, /* no piece that was dipped is paler */
    LESSON_EVEN,  /* of the pieces that were dipped the darkest has at most so many times the indigo of the palest */
    LESSON_CLEAR, /* no cloth went into a vat that is stirred up */
    LESSON_GIVEN, /* how much of a material, or of a kind of material, the learner gave */
    LESSON_APART, /* time between two corrections: warming, or a material given */
    LESSON_CHECK_COUNT
};
extern const char
    *const lesson_check_words[]; /* "ready", "value", "shade", "none paler", "even", "clear", "given", "apart" */

/* Values of the vat that a goal may bound, each a recorded series. */
enum lesson_value {
    LESSON_PH,
    LESSON_TEMPERATURE, /* degC */
    LESSON_LEUCO,       /* g/L */
    LESSON_SUGAR,       /* g/L */
    LESSON_LIME,        /* g, undissolved */
    LESSON_LIQUOR,      /* L */
    LESSON_VALUE_COUNT
};
extern const char *const lesson_value_words[]; /* "ph", "temperature", "leuco", "sugar", "lime", "liquor" */

struct lesson_goal {
    enum lesson_check check;
    char *goal;   /* owned: as the learner is told */
    char *missed; /* owned, may be "": what the debrief adds when it is missed */
    double at;    /* s since start, READY and VALUE; NAN: when the lesson ends */
    bool always;  /* VALUE: from its begin to its end, instead of at a moment */
    enum lesson_value value;
    double least,
        most; /* VALUE: as enum lesson_value says; GIVEN: kg; EVEN: most, a ratio; APART: least, s; NAN: none */
    bool least_as_found, most_as_found; /* VALUE: the bound is the value when the lesson begins */
    int cloth;                          /* SHADE, NONE_PALER, EVEN: index into scenario.cloth */
    int pieces;                         /* SHADE */
    enum shade shade;                   /* SHADE, NONE_PALER */
    int material;                       /* GIVEN: index into model.materials; -1: all of the kind */
    char kind[64];                      /* GIVEN: kind of material; "" when one is named */
};

/* Whose ledger the debrief looks at for what made the difference. */
extern const char *const lesson_ledger_words[]; /* "indigo", "sugar", "lime", "oxygen", "feed", "alkali" */

struct lesson {
    int order;     /* in the list of lessons, from 1 */
    char *aim;     /* owned, as all texts here */
    char *told;    /* what the learner is told about the vat */
    double begins; /* s since start: what the calendar does before is the past */
    double ends;   /* s since start: the time allowed is over */
    char *hints[LESSON_HINTS_MOST];
    int hint_count;
    struct lesson_goal goals[LESSON_GOALS_MOST];
    int goal_count;
    char *good[LESSON_SENTENCES_MOST]; /* sentences, as one says them in a rehearsal */
    int good_count;
    int ledger;   /* index into lesson_ledger_words */
    char *hidden; /* debrief: what was the matter */
    char *met;    /* debrief: when all goals are met */
    char *missed; /* debrief: when some are not */
    char *again;  /* debrief: what to try next */
};

/* Frees a lesson and all its texts; may be NULL. */
void lesson_free(struct lesson *lesson);

#endif
