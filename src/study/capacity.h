/* capacity.h: how much cloth a vat can dye: in a session before it must rest, in a week of sessions, in its life; and how
 * much of it comes to a shade.
 *
 * What is counted is cloth-dips: the dry mass of cloth times the times it is dipped. A session holds a number of loads,
 * one after another; the heaviest load for which every dip still takes a share (`keep`) of what the first took, and for
 * which the vat stays fit to dye, is found by root-finding on the run (Brent's method). What each dip takes is asked
 * with a small fresh swatch that goes in with the load, so that like is compared with like.
 *
 * How much comes to a shade is asked by dyeing to it: at the week's pace, lot after lot, each until it has the shade,
 * until a lot takes so many dips that nobody would go on.
 */
#ifndef VATCAST_STUDY_CAPACITY_H
#define VATCAST_STUDY_CAPACITY_H

#include "chem/shade.h"
#include "study/work.h"

/* What a vat runs out of first. */
enum limit {
    LIMIT_LEUCO, /* too little indigo for the cloth */
    LIMIT_SUGAR,
    LIMIT_LIME,
    LIMIT_TEMPERATURE, /* it cools while it works */
    LIMIT_AIR,         /* let in by surface, cloth and dripping */
    LIMIT_SEDIMENT,    /* leuco held by the lime, bed whirled up */
    LIMIT_VOLUME,      /* as much cloth as the liquor can hold at once */
    LIMIT_COUNT
};
extern const char *const limit_words[LIMIT_COUNT]; /* "leuco", "sugar", "lime" ... */

#define CAPACITY_KEEP 0.65             /* practice: rest when down by 30 to 40 % */
#define CAPACITY_CLOTH_PER_VOLUME 20.0 /* kg/m3 of dry cloth in at once: liquor ratio 50:1; practice, 8 to 20 g/L */
#define CAPACITY_HOURS 3.0             /* practice: rest an hour after three of work */
#define CAPACITY_EVERY 1200.0          /* s between loads; practice: soak, then at least 15 min of pause */
#define CAPACITY_WEEK_SESSIONS 7
#define CAPACITY_LIFE_SESSIONS 90
#define CAPACITY_LIFE_END 0.25 /* of the first dip: fit for the palest work only */
#define CAPACITY_GIVE_UP 3.0   /* a lot that takes this many times the dips of the first is given up; estimate */
#define CAPACITY_DIPS_MOST 100 /* nor is a first lot dipped more often than this */

struct capacity_question {
    int kind;                                           /* index into scenario.cloth */
    enum shade shade;                                   /* wanted */
    double keep;                                        /* share of the first dip that the last must take, 0 to 1 */
    double hours;                                       /* of a session */
    double every;                                       /* s from load to load */
    double soak;                                        /* s; NAN: as the scenario's first dip */
    double session_every;                               /* s; from one session of a week to the next */
    int members;                                        /* for low and high; 0: none */
    int threads;                                        /* 0: one for each core */
    const struct run_options *options;                  /* how a run is stopped; may be NULL */
    void (*progress)(void *context, double done_share); /* of the whole question; may be NULL */
    void *progress_context;
};

/* The model's most likely value, and the lowest and highest that it and the members come to that are fit when work
 * begins; low and high are NAN without members. */
struct span {
    double low, nominal, high;
};

struct period_capacity {
    struct span cloth_dips; /* kg in all sessions of the period */
    double load;            /* kg at once, most likely */
    int loads, sessions;
    bool capped;              /* by the cloth that the liquor can hold at once */
    enum limit limit;         /* what gives out first */
    double gain[LIMIT_COUNT]; /* how much more of its first dip the palest would take, were that no want; 0 to 1 */
    double first_taken;       /* kg/kg, by a swatch in the first dip */
    double worst_share;       /* what the palest dip takes of the first */
    int state;                /* enum vat_state when the palest dip goes in */
};

/* Lot after lot dyed to a shade. */
struct shade_capacity {
    struct span at_shade; /* kg until a lot takes CAPACITY_GIVE_UP times the dips of the first */
    double in_week;       /* kg of it within a week's sessions */
    int first_dips;       /* of the first lot; 0: it does not come to the shade */
    int last_dips;
    double days;          /* from the first dip to the last */
    bool is_longer;       /* than CAPACITY_LIFE_SESSIONS sessions: `at_shade` is a lower bound */
    double job;           /* kg of this cloth that the scenario has */
    struct span job_days; /* of dyeing until it has the shade; INFINITY: not before a lot is given up */
};

struct capacity {
    struct work_plan plan; /* of one session, its load the session's */
    double first_leuco;    /* g/L */
    struct period_capacity session;
    double rest;          /* s, after a session, until nine tenths of what the vat can come back to; NAN: not
                                     * within two days */
    double rest_comes_to; /* share of the first leuco that it comes back to */
    struct period_capacity week;
    struct span needs_indigo; /* kg of cloth-dips until a rested, fed vat takes less than `keep` in its first dip */
    struct span life;         /* kg of cloth-dips until it takes less than CAPACITY_LIFE_END */
    bool life_is_longer;      /* than CAPACITY_LIFE_SESSIONS sessions: `life` is a lower bound */
    bool indigo_is_longer;    /* likewise for `needs_indigo` */
    double days_to_indigo, days_of_life;
    struct shade_capacity shade;
    int members, drawn; /* fit when work begins, of so many drawn */
    double indigo_mass; /* kg of indigotin at the start */
    double powder_mass; /* kg of what brings it, as bought; NAN: a vat that lives already */
};

/* Answers the question. Fails as run_scenario does, and with STATUS_SCENARIO when the vat is never ready. Same question,
 * same answer, for any number of threads. */
struct status capacity_find(const struct scenario *scenario, const struct capacity_question *question,
                            struct capacity *capacity) MUST_USE;

/* The plan of one session without its load. `fit` (may be NULL): whether the vat is one to dye in when work begins. */
struct status capacity_plan(const struct scenario *scenario, const struct capacity_question *question,
                            struct work_plan *plan, bool *fit) MUST_USE;

/* One column of the table over shade and weight of cloth: what a session brings for a cloth of that weight, kg/m2. */
struct capacity_by_weight {
    double fabric;     /* kg/m2 */
    double cloth_dips; /* kg in a session */
    double
        dips_to[SHADE_COUNT]; /* dips until a piece has that shade at the week's pace; NAN: not within a week's dips */
};
/* Fills `count` columns, whose `fabric` says the weight. */
struct status capacity_for_weights(const struct scenario *scenario, const struct capacity_question *question,
                                   struct capacity_by_weight *columns, size_t count) MUST_USE;

#endif
