/* advise.h: from today's readings of a vat to what to do now.
 *
 * Nothing is looked up: corrections are tried out on the vat as its readings describe it, in every way that the readings
 * leave open, and the plan that brings it to ready soonest for the least is told, with the course of things beside that of
 * doing nothing. One correction and one rest at a time; then the readings are taken again.
 */
#ifndef VATCAST_STUDY_ADVISE_H
#define VATCAST_STUDY_ADVISE_H

#include "study/plan_search.h"
#include "study/readings.h"

enum advice_verdict {
    ADVICE_DYE,     /* it is ready */
    ADVICE_CORRECT, /* do the first step of the plan */
    ADVICE_NEARER,  /* as above, but nothing tried brings it to ready within the time looked at */
    ADVICE_WAIT,    /* leave it alone: it comes by itself */
    ADVICE_INDIGO,  /* in order but for indigo: top it up, or retire it */
    ADVICE_LOST     /* nothing tried does better than leaving it alone, and that does not bring it to ready */
};

struct advice {
    enum advice_verdict verdict;
    struct suspect suspects[SUSPECTS_MOST];
    int suspect_count;
    bool ph_left_out; /* it was not trusted */
    double leuco;     /* kg/m3 that the test strip tells of; NAN: no strip */
    struct belief beliefs[BELIEFS_MOST];
    int belief_count;
    struct plan plan; /* its first step is what to do now; the others are what is likely to follow */
    double
        whole; /* of the first step's amount: what is asked for when only a part is given at first; 0: all is given */
    int told;  /* the belief under which the two courses are told: the likeliest to be ready first */
    struct course nothing, followed; /* under it */
    double ready_soonest,
        ready_latest; /* s, over the beliefs, with the whole; INFINITY: not within the time looked at */
    double nothing_soonest, nothing_latest;
    double look_again;    /* s */
    double give_up;       /* s: when by then it is not as told, the readings do not describe this vat */
    bool swapped;         /* the plan has sugar and lime, and the other order was tried and is no better */
    double swapped_ready; /* s, over the beliefs the soonest */
    int runs;             /* vats simulated */
};

struct advise_options {
    int threads; /* 0: one for each core; the advice is the same for any number */
    void (*progress)(void *context, double done_share);
    void *progress_context;
    const volatile int *stop; /* as in run_options */
};

/* Advice for scenario.existing, which must exist (STATUS_SCENARIO); its calendar and cloth are left aside. The vats are of
 * lime and sugar; a fermented one is refused (STATUS_SCENARIO). Errors: those of run_scenario, STATUS_INTERRUPTED. */
struct status advise(const struct scenario *scenario, const struct advise_options *options,
                     struct advice *advice) MUST_USE;

#endif
