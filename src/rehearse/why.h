/* why.h: what the ledgers of a run say of the time between two moments. */
#ifndef VATCAST_REHEARSE_WHY_H
#define VATCAST_REHEARSE_WHY_H

#include "rehearse/session.h"
#include "sim/series.h"

#define CHANGE_ROWS_MOST 40
#define CHANGE_NAME_SIZE 48

/* One line of a ledger over a span of time, in the ledger's unit (g; kg of water; kJ). What went out is negative. */
struct change_row {
    char name[CHANGE_NAME_SIZE]; /* the ledger's own, blanks for underscores */
    enum ledger_part part;
    double change; /* over the span */
    double now;    /* PART_LEFT: what there is at its end */
};

struct change {
    char name[CHANGE_NAME_SIZE]; /* of the ledger */
    bool is_told;                /* false: another ledger says it better (result_ledger_told) */
    struct change_row rows[CHANGE_ROWS_MOST];
    int count;
};

#define CHANGES_MOST 8

/* The changes of all ledgers from `since` (s, at most now) to now; returns how many in *count. What came in and what went out
 * sum to the change of what is left. Errors: STATUS_MEMORY, STATUS_BUG. */
struct status session_changes(struct session *session, double since, struct change changes[CHANGES_MOST],
                              int *count) MUST_USE;

#endif
