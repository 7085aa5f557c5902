/* day.h: one day of a workshop: people come, queue for a place in a vat, dip, air, and queue again, while the vats change
 * under their hands.
 *
 * The customers are pieces of cloth; a person has one pair of hands, so that only one of his pieces waits, soaks or is
 * rinsed at a time while the others hang. Each vat is a run of the scenario (sim/run.h) taken a stretch at a time: a piece
 * goes in when its turn comes, and a vat that cannot be dyed in is closed until it can.
 */
#ifndef VATCAST_STUDY_DAY_H
#define VATCAST_STUDY_DAY_H

#include "base/status.h"
#include "scenario/scenario.h"
#include "sim/result.h"
#include "sim/run.h"

#include <stdbool.h>
#include <stddef.h>

#define DAY_STEP 60.0    /* s between rows of the day's table */
#define DAY_LOOK 600.0   /* s between looks at each vat */
#define DAY_RECORD 300.0 /* s: how often the vats of a day that is kept are recorded */

/* One dip of one piece: a row of the visits. */
struct visit {
    int piece, dip, vat;   /* from 0; dip from 1 */
    double asked, granted; /* s since start: joined the line, was given a place */
    double in, out;        /* into the liquor, out of it */
};

struct day_piece {
    int person;
    int vat; /* of its last dip; -1: never dipped */
    int dips;
    double arrived; /* s */
    double done;    /* s: out of its last dip, aired and rinsed; NAN: not all dips */
    double waited;  /* s, in all, for places */
    double owf;     /* kg/kg after washing; NAN without chemistry or dips */
};

struct day_vat {
    int dips;
    double cloth_dips;              /* kg */
    double shut_at;                 /* s: first time since opening that it could not be dyed in; NAN: never */
    int shut_state;                 /* enum vat_state then */
    double shut_for;                /* s in all, between opening and closing */
    bool back;                      /* it came back at least once */
    double strip_first, strip_last; /* kg/kg on a test strip at opening and closing */
    double temperature_first, temperature_last; /* K */
    double ph_last;
    struct result result; /* of the vat; only when kept */
};

/* What is used at a moment, sampled at every DAY_STEP from the first arrival or opening on: a row of the day. */
struct day_row {
    double time;
    int people;  /* who have come and have pieces still to dye */
    int waiting; /* for a place */
    int soaking; /* places taken */
    int hanging, helping, rinsing;
    int vats_open;
};

struct day {
    struct visit *visits; /* owned */
    size_t visit_count, visit_capacity;
    struct day_piece *pieces; /* owned */
    size_t piece_count;
    struct day_vat vats[VATS_MOST];
    int vat_count;
    struct day_row *rows; /* owned */
    size_t row_count, row_capacity;
    double *unserved; /* owned: s waited by those who waited in vain at closing */
    size_t unserved_count;
    double places_used, helpers_used, lines_used, tubs_used; /* share of the time from opening to closing */
    struct result pieces_result; /* empty but for the tables of all pieces and dips; only when kept */
};

struct day_how {
    unsigned long seed;
    bool chemistry;
    bool keep;    /* the vats' results and the tables of pieces and dips */
    double after; /* s that kept vats are followed after closing */
    const volatile int *stop;
};

/* Runs a day of scenario.workshop. The same seed draws the same people, whatever vats, places and helpers there are. On
 * failure `day` is zeroed; else freed with day_free. Errors: those of the runs; STATUS_INTERRUPTED. */
struct status day_run(const struct scenario *scenario, const struct day_how *how, struct day *day) MUST_USE;
void day_free(struct day *day);

/* How long the piece was in line for a place, s, while cloth went in at all: not before opening nor in a break. */
double day_time_queued(const struct workshop *plan, const struct visit *visit);

#endif
