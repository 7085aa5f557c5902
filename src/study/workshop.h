/* workshop.h: how many vats a class or an open day wants, how large, made when, fed when; and what holds people up. */
#ifndef VATCAST_STUDY_WORKSHOP_H
#define VATCAST_STUDY_WORKSHOP_H

#include "base/status.h"
#include "scenario/scenario.h"
#include "study/day_figures.h"

#define WORKSHOP_SIZES_MOST 6
#define WORKSHOP_CELLS_MOST (VATS_MOST * WORKSHOP_SIZES_MOST)
#define WORKSHOP_MAKINGS 6
#define WORKSHOP_FEEDINGS 4
#define WORKSHOP_MAKING (4 * 3600.0) /* s after the start: what is done to a vat so soon belongs to its making */
#define WORKSHOP_ENOUGH 0.95         /* share of the pieces that get all their dips */
#define WORKSHOP_HOT_K 318.15        /* liquor above 45 degC scalds: no time to let people at it */
#define WORKSHOP_SHADE_ENOUGH 0.90   /* share of the pieces that come to the shade */

struct workshop_question {
    int days;       /* of the plan as written */
    int table_days; /* of each other plan that is tried */
    unsigned long seed;
    bool chemistry;
    enum shade shade;                  /* SHADE_COUNT: none */
    int vats_most;                     /* rows of the table: 1 to this many vats */
    double sizes[WORKSHOP_SIZES_MOST]; /* m3 of liquor in each vat */
    int size_count;
    bool table;   /* try other numbers and sizes, makings and feedings */
    double after; /* s that the kept vats are followed after closing */
    const volatile int *stop;
    void (*progress)(void *context, double done_share);
    void *progress_context;
};

enum goal { GOAL_WAIT, GOAL_FINISHED, GOAL_SHADE, GOAL_COUNT };

/* One plan of the table. */
struct workshop_cell {
    int vats, at_once;
    double volume; /* m3, each */
    bool tried;    /* false: given up for its waits alone, before any chemistry */
    bool met[GOAL_COUNT];
    bool serves; /* all goals */
    struct figures figures;
};

/* The vats made so long before opening. */
struct workshop_making {
    double lead;             /* s */
    bool as_written, serves; /* one too hot at opening does not serve */
    struct figures figures;
};

enum feeding { FEED_AS_WRITTEN, FEED_NOT, FEED_BREAKS, FEED_MIDDLE };
struct workshop_feeding {
    enum feeding when;
    bool serves;
    struct figures figures;
};

/* One more of something, with chemistry left out. */
enum means { MEANS_VAT, MEANS_PLACE, MEANS_HELPER, MEANS_LINE, MEANS_TUB, MEANS_COUNT };
struct workshop_gain {
    bool there;                     /* there is something of it to have more of */
    double wait_p90, finished_mean; /* with one more */
};

struct workshop_answer {
    struct workshop_question question;
    struct figures plan; /* as written, over all days */
    bool met[GOAL_COUNT], serves;
    struct figures bare; /* the same people without chemistry: table_days of them */
    struct workshop_gain gains[MEANS_COUNT];
    enum means
        limit; /* whose addition cuts the wait most; MEANS_COUNT: none by a tenth or more, or there is hardly one */
    struct workshop_cell cells[WORKSHOP_CELLS_MOST]; /* by size, then by number */
    int cell_count;
    int best; /* cell of two vats or more that serves with least liquor, the fewest vats among equals; -1: none */
    int base;               /* cell whose making and feeding are tried; -1: the plan as written */
    struct workshop_making makings[WORKSHOP_MAKINGS];
    int making_count; /* 0: the vat exists already */
    int latest;       /* making that serves latest before opening; -1: none */
    struct workshop_feeding feedings[WORKSHOP_FEEDINGS];
    int feeding_count;
    int feeding_best;        /* most pieces finished or, these being alike, deepest p50 shade; -1: none is better */
    struct day first;        /* the first day as written, with its vats */
    struct crowd_row *crowd; /* owned */
    size_t crowd_count;
};

/* Answers for scenario.workshop, which must be there. Freed with workshop_free, zeroed on failure. */
struct status workshop_find(const struct scenario *scenario, const struct workshop_question *question,
                            struct workshop_answer *answer) MUST_USE;
void workshop_free(struct workshop_answer *answer);

/* The scenario with another size of vat: vessel, charge and all doses in proportion. */
void workshop_resize(struct scenario *variant, double factor);

/* The scenario with its vat made `lead` s before the workshop opens: the start and what is done in the first
 * WORKSHOP_MAKING s move, all else stays on the clock. */
void workshop_make_before(struct scenario *variant, double lead);

/* The scenario with what is added and stirred while the workshop is open replaced by this feeding: 1 g/L of fructose,
 * 0.5 g/L of lime below pH 11.8, and a gentle stir each time. */
struct status workshop_feed(struct scenario *variant, enum feeding when) MUST_USE;

/* What the figures meet of the workshop's goals. */
bool workshop_meets(const struct scenario *scenario, const struct workshop_question *question,
                    const struct figures *figures, bool met[GOAL_COUNT]);

#endif
