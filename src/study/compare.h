/* compare.h: ways of keeping a vat, side by side: which serves a goal best, and what in the books makes the difference. */
#ifndef VATCAST_STUDY_COMPARE_H
#define VATCAST_STUDY_COMPARE_H

#include "study/outcome.h"

/* What a dyer wants most. */
enum goal {
    GOAL_CLOTH,   /* most cloth at the shade */
    GOAL_SOON,    /* the day when the last piece has its shade */
    GOAL_PIGMENT, /* least pigment used up per kg of it */
    GOAL_LABOUR,  /* fewest acts of care */
    GOAL_STEADY,  /* least spread of depth among like pieces */
    GOAL_COUNT
};
extern const char *const goal_words[GOAL_COUNT + 1]; /* "cloth", "soon", "pigment", "labour", "steady", NULL */
extern const char *const goal_phrases[GOAL_COUNT];   /* "most cloth at the shade" ... */

/* Outcomes whose cloth at shade falls this much below the best have not done the work, and come after those that have,
 * whatever the goal. Figures of the goal that differ by less than this count as equal. */
#define COMPARE_WORK_SHARE 0.95
#define COMPARE_EQUAL 0.01

/* The figure that the goal is judged by; less is better for all goals but GOAL_CLOTH. */
double goal_figure(const struct outcome *outcome, enum goal goal);

/* Fills `order` with the indices of the outcomes, best first. What counts as equal by the goal is put in order by cloth,
 * then the day when it is done, then pigment, then care, then as given. */
void compare_rank(const struct outcome *outcomes, size_t count, enum goal goal, size_t *order);

/* Where the indigo of two vats differs, g: on washed cloth = used - unreduced - leuco - lost; the shares of `better`
 * less those of `worse`. Their sum is the difference on cloth to round-off. */
struct indigo_difference {
    double on_cloth;               /* better less worse */
    double used;                   /* what more was given */
    double unreduced, leuco, lost; /* what less stayed unreduced, stayed as leuco, was lost */
};
struct indigo_difference compare_indigo(const struct outcome *better, const struct outcome *worse);

/* One sentence that says why `better` comes before `worse` by this goal, from their ledgers. */
void compare_explain(const struct outcome *better, const struct outcome *worse, enum goal goal, char *text,
                     size_t size);

#endif
