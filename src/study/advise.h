/* advise.h: from today's readings of a vat to what to do now.
 *
 * Nothing is looked up: corrections are tried out on the vat as its readings describe it, in every way that the readings
 * leave open, and the one that brings it to ready soonest for the least is told, with the course of things beside that of
 * doing nothing. One correction and one rest at a time; then the readings are taken again.
 */
#ifndef VATCAST_STUDY_ADVISE_H
#define VATCAST_STUDY_ADVISE_H

#include "study/course.h"
#include "study/readings.h"

enum advice_verdict {
    ADVICE_DYE,     /* it is ready */
    ADVICE_CORRECT, /* do the first step of the plan */
    ADVICE_WAIT,    /* leave it alone: it comes by itself, or nothing tried does better */
    ADVICE_INDIGO,  /* in order but for indigo: top it up, or retire it */
    ADVICE_LOST     /* nothing tried brings it to ready within the time looked at */
};

struct advice {
    enum advice_verdict verdict;
    struct suspect suspects[SUSPECTS_MOST];
    int suspect_count;
    bool ph_left_out; /* it was not trusted */
    struct belief beliefs[BELIEFS_MOST];
    int belief_count;
    struct plan plan;                   /* its first step is what to do now; the others are what is likely to follow */
    struct course nothing, followed;    /* under the belief that fares best with the plan */
    double ready_soonest, ready_latest; /* s, over the beliefs; INFINITY: not within the time looked at */
    double nothing_soonest, nothing_latest;
    double look_again;    /* s */
    double give_up;       /* s: when by then it is not as told, the readings do not describe this vat */
    bool swapped;         /* the plan has sugar and lime, and the other order was tried */
    double swapped_ready; /* s */
    int runs;             /* vats simulated */
};

struct advise_options {
    void (*progress)(void *context, double done_share);
    void *progress_context;
    const volatile int *stop; /* as in run_options */
};

/* Advice for scenario.existing, which must exist (STATUS_SCENARIO); its calendar and cloth are left aside. Errors: those
 * of run_scenario, STATUS_INTERRUPTED. */
struct status advise(const struct scenario *scenario, const struct advise_options *options,
                     struct advice *advice) MUST_USE;

#endif
