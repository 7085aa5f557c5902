/* course.h: corrections done to a vat, and how it fares from then on: when it is ready, what that cost it. */
#ifndef VATCAST_STUDY_COURSE_H
#define VATCAST_STUDY_COURSE_H

#include "base/status.h"
#include "scenario/scenario.h"

#define PLAN_STEPS_MOST 3
#define COURSE_POINTS 8

enum correction_kind {
    CORRECTION_WAIT,  /* nothing */
    CORRECTION_WARM,  /* amount: K to warm it to */
    CORRECTION_SUGAR, /* amount: kg, stirred in gently */
    CORRECTION_LIME,  /* amount: kg, stirred in gently */
    CORRECTION_ACID,  /* amount: kg of vinegar, stirred in gently */
    CORRECTION_STIR,  /* gently */
    CORRECTION_COVER, /* a tight lid */
    CORRECTION_COUNT
};

struct correction {
    enum correction_kind kind;
    double amount;
    double rest; /* s until the next is done */
};

struct plan {
    struct correction steps[PLAN_STEPS_MOST];
    int count;
};

/* Which materials corrections are made with: indices into model.materials, -1 when there is none. */
struct remedies {
    int sugar, lime, acid;
};
struct remedies remedies_of(const struct scenario *scenario);

/* W: of the vessel's heater, or of what there is in a workshop for a vat without one. */
double heater_at_hand(const struct scenario *scenario);

/* m3 that still go into the vessel. */
double vessel_room(const struct scenario *scenario);

/* Times at which a course is told, s. */
extern const double course_times[COURSE_POINTS];

struct course_point {
    double ph, temperature, leuco; /* degC, kg/m3 */
    int state, look;               /* enum vat_state, enum look_kind */
};

struct course {
    double ready_from; /* s: from here on ready for a session; INFINITY: not within the time looked at */
    double shortfall;  /* 0: nothing is wanting at the end; about 1 for each thing wholly wanting */
    double lost;       /* share of the indigo destroyed */
    double harm;       /* h: what is risky on the way, as hours one would wait to be spared it */
    bool indigo_spent; /* the diagnosis at the end is that there is too little left */
    bool ready_at_end;
    struct course_point points[COURSE_POINTS];
};

/* Above this, brought to 25 degC, a liquor holds too much lime to dye well; as src/sim/observe.c draws it (practice 3.1,
 * common practice, no source). */
#define COURSE_PH_MOST_25C 12.3

#define COURSE_HORIZON (36 * 3600.0) /* s looked ahead */
#define SESSION (3 * 3600.0)         /* s for which a vat must stay ready to count as such */

/* The corrections as events of a scenario's calendar from `at` on; at most two each. Returns how many. `events` holds
 * 2 * PLAN_STEPS_MOST. */
size_t plan_events(const struct scenario *scenario, const struct plan *plan, double at, struct event_spec *events);

/* Runs the vat of a scenario, without its cloth and calendar, with these corrections from time 0. Errors: those of
 * run_scenario, except that a vat which leaves the range of the model (freezes, dries up) is told as wholly wanting. */
struct status course_run(const struct scenario *vat, const struct plan *plan, struct course *course) MUST_USE;

#endif
