/* day_shop.h: the state of a workshop while its day runs; between day.c (clock), day_people.c (what people do) and
 * day_vats.h (the vats).
 */
#ifndef VATCAST_STUDY_DAY_SHOP_H
#define VATCAST_STUDY_DAY_SHOP_H

#include "study/day.h"
#include "study/day_vats.h"
#include "study/queue.h"

enum what {
    WHAT_ARRIVE, /* customer: the first piece of a person */
    WHAT_PLACE,  /* granted: a place, and a helper */
    WHAT_HELPED, /* the helper has time again */
    WHAT_LEAVE,  /* the place is free again */
    WHAT_LINE,   /* granted: room on a line */
    WHAT_AIRED,
    WHAT_TUB, /* granted */
    WHAT_RINSED,
    WHAT_OPEN,
    WHAT_PAUSE,
    WHAT_RESUME,
    WHAT_CLOSE,
    WHAT_LOOK,
    WHAT_SAMPLE
};

#define NOBODY (-1)

struct hands {
    double arrives;
    bool here;
    int piece; /* in hand; -1: none */
};

struct cloth {
    bool ready;   /* waits for its person's hands */
    bool settled; /* nothing more will happen to it */
    bool queued;  /* for a place */
    bool hangs;
    double ready_at;
};

struct shop {
    const struct workshop *plan;
    const struct day_how *how;
    struct day *day;
    struct queue *queue;
    struct vats vats;
    struct hands *hands;                            /* owned */
    struct cloth *cloth;                            /* owned */
    double *factors;                                /* owned: of soak and handling, for each dip of each piece */
    int vat_pool, helper_pool, line_pool, tub_pool; /* -1: no want of them */
    bool is_open, is_over;
    int pauses; /* under way */
    bool usable[VATS_MOST];
    double shut_since[VATS_MOST];
    int active, people, waiting, soaking, hanging, helping, rinsing;
    double last_out;
};

/* day.c: opens each vat that may be dyed in now; looks at one, and opens or shuts it. */
void shop_set_doors(struct shop *shop);
struct status shop_look_at(struct shop *shop, int vat, double now) MUST_USE;

/* day_people.c: what follows when a person comes, a place or a line is granted, ... */
struct status shop_arrive(struct shop *shop, int first_piece, double now) MUST_USE;
struct status shop_enter(struct shop *shop, const struct happening *now) MUST_USE;
struct status shop_leave(struct shop *shop, int piece, double now) MUST_USE;
struct status shop_hang(struct shop *shop, int piece) MUST_USE;
struct status shop_air(struct shop *shop, int piece, double now) MUST_USE;
struct status shop_rinsed(struct shop *shop, int piece, double now) MUST_USE;
/* Closing: those in line go home with what they have. */
struct status shop_close(struct shop *shop, double now) MUST_USE;

/* The set of one pool, empty when there is none of it. */
unsigned shop_pool(int pool);

#endif
