/* plan_search.h: the cheapest plan of corrections for a vat that may be in any of several ways, found by trying plans out.
 *
 * Cost is counted in hours: until the vat is ready, on the mean of the ways it may be, and what one would wait to be spared
 * a step, an amount, a loss of indigo, a risk. Trials run over all cores; the answer is the same for any number of them.
 */
#ifndef VATCAST_STUDY_PLAN_SEARCH_H
#define VATCAST_STUDY_PLAN_SEARCH_H

#include "study/course.h"
#include "study/readings.h"

struct plan_search {
    const struct scenario *scenario; /* its vessel and materials */
    const struct scenario *vats;     /* the ways in which it may be */
    int vat_count;                   /* 1 to BELIEFS_MOST */
    int threads;                     /* 0: one for each core */
    void (*progress)(void *context, double done_share);
    void *progress_context;
    const volatile int *stop;
    int runs; /* vats simulated so far */
};

struct candidate {
    struct plan plan;
    double cost;            /* h */
    double soonest, latest; /* s until ready, over the ways the vat may be; INFINITY: not within the horizon */
    struct course courses[BELIEFS_MOST]; /* one for each */
    double whole; /* what the first step asks for when only a part of it is given at first; 0: it is all given */
    double whole_soonest, whole_latest; /* s: with the whole of it */
};

/* Runs `count` plans, each under every way the vat may be, and fills in the rest of the candidates. Errors: those of
 * course_run, STATUS_INTERRUPTED, STATUS_MEMORY. */
struct status plans_try(struct plan_search *search, struct candidate *candidates, int count) MUST_USE;

/* The cheapest plan found. Every correction in several amounts is tried, the few best are followed by each of the others,
 * and again; of the best plan each amount and the order are varied; steps that turn out to be needless are left out; and the
 * first dose is made the least that still does, for what is then still wanting shows at the next reading, and what is in
 * cannot be taken out. `nothing` is the course of leaving the vat alone, tried before. Errors: those of plans_try. */
struct status plan_find(struct plan_search *search, const struct candidate *nothing, struct candidate *best) MUST_USE;

#endif
