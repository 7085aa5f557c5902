/* plan_trim.h: inside the search for a plan: what plan_search.c tries, and how plan_trim.c makes the best of it smaller. */
#ifndef VATCAST_STUDY_PLAN_TRIM_H
#define VATCAST_STUDY_PLAN_TRIM_H

#include "study/plan_search.h"

bool correction_has_dose(enum correction_kind kind);
/* The i-th amount that is tried of a correction, kg or K: 0 the least, 1 the usual. */
double correction_amount(const struct plan_search *search, enum correction_kind kind, int i);

/* Gives every step the rest that its temperature asks for. */
void plan_set_rests(const struct plan_search *search, struct plan *plan);
bool plan_has_step(const struct plan *plan, enum correction_kind kind);
/* A dose is stirred in anyway: a stir just before one is no step of its own. */
bool plan_stirs_twice(const struct plan *plan);

/* Leaves out needless steps, puts warmth first where it may stand there, makes the first dose the least that still does, and
 * holds part of it back. `batch` is room for 24 candidates. Errors: those of plans_try. */
struct status plan_trim(struct plan_search *search, const struct candidate *nothing, struct candidate *batch,
                        struct candidate *best) MUST_USE;

#endif
