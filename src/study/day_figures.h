/* day_figures.h: what many days of a workshop come to: percentiles of waits, pieces, shades, and how the vats fared.
 *
 * "p50" is met by half of what is counted, "p90" by nine tenths.
 */
#ifndef VATCAST_STUDY_DAY_FIGURES_H
#define VATCAST_STUDY_DAY_FIGURES_H

#include "base/status.h"
#include "chem/shade.h"
#include "study/day.h"

#define FIGURES_STATES (VAT_STALLED + 1) /* of enum vat_state */

/* How a vat fared over the days. */
struct vat_figures {
    double dips, cloth_dips; /* mean over the days; kg */
    double strength;         /* test strip at closing over that at opening, p50; NAN without chemistry */
    double shut_days;        /* share of the days on which it could not be dyed in for a while */
    double shut_at;          /* s since start, p50 of those days; NAN: none */
    double shut_early;       /* p10 of those days */
    double shut_for;         /* s, mean of those days */
    double back_days;        /* share of those days on which it came back */
    int shut_state;          /* enum vat_state, the commonest; -1: none */
    double temperature_first, temperature_last; /* K, mean at opening and closing */
    double ph_last;                             /* mean */
};

struct figures {
    int days;
    double wait_p50, wait_p90, wait_longest; /* s, of all dips of all days; those turned away at closing count */
    double in_vain;                          /* mean people still in line at closing */
    double pieces;                           /* of a day */
    double finished_mean;                    /* share of the pieces with all their dips */
    double finished_p10;                     /* share on the tenth worst day in a hundred */
    double dips_done;                        /* mean share of the dips */
    double last_p50, last_p90;               /* s since start: when the last piece was done */
    double stay_p50, stay_p90;               /* s from coming to a person's last piece */
    double owf_p10, owf_p50, owf_p90;        /* kg/kg after washing, of finished pieces; NAN without chemistry */
    double at_shade; /* share of all pieces that are of the shade or deeper; NAN without chemistry */
    double places_used, helpers_used, lines_used, tubs_used; /* mean shares of the time; NAN: none there */
    double usable; /* mean share of vats and time from opening to closing that could be dyed in */
    struct vat_figures vats[VATS_MOST];
    int vat_count;
};

struct day_figures_how {
    int days;
    unsigned long seed; /* of the first day; the others follow */
    bool chemistry;
    enum shade shade; /* SHADE_COUNT: none is wanted */
    double after;     /* s that the vats of the first day are followed after closing */
    const volatile int *stop;
    void (*progress)(void *context, double done_share);
    void *progress_context;
};

/* A row of the day over all days: percentiles at each moment. */
struct crowd_row {
    double time;
    double waiting_p50, waiting_p90, soaking_p50, people_p50;
};

/* Runs the days on all cores. `first`, when not NULL, is given the first day with its vats, to be freed with day_free;
 * `crowd` and `crowd_count`, when not NULL, its rows, to be freed. */
struct status day_figures_find(const struct scenario *scenario, const struct day_figures_how *how, struct figures *figures,
                           struct day *first, struct crowd_row **crowd, size_t *crowd_count) MUST_USE;

#endif
