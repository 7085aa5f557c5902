/* outcome.h: what a run came to, in the figures by which a dyer judges a way of keeping a vat.
 *
 * Everything is read from the run's own tables and ledgers; nothing is worked out anew.
 */
#ifndef VATCAST_STUDY_OUTCOME_H
#define VATCAST_STUDY_OUTCOME_H

#include "chem/shade.h"
#include "scenario/scenario.h"
#include "sim/result.h"
#include "sim/series.h"

#define OUTCOME_STATES (VAT_STALLED + 1) /* of enum vat_state */

/* The series that an outcome is read from, and the time; of the pieces it reads no colours. */
#define OUTCOME_SERIES (SERIES_BIT(PH) | SERIES_BIT(ORP) | SERIES_BIT(STATE) | SERIES_BIT(CLOTH_DIPS))

/* Where a substance went, in g (water: L). used = served + left + lost. Of a live vat the feed stands in place of the sugar, as
 * hexose, and the alkali in place of the lime, as Na2CO3. */
struct book {
    double used;   /* in the vat at the start and added */
    double served; /* indigo: on washed cloth; sugar: reduced indigo; lime: bound acids; water: carried off by cloth */
    double left;   /* still in the vat */
    double lost;   /* the rest */
};
enum booked { BOOKED_INDIGO, BOOKED_SUGAR, BOOKED_LIME, BOOKED_WATER, BOOKED_COUNT };

struct outcome {
    char name[NAME_SIZE]; /* of the file, without folder and ending */
    char title[TITLE_SIZE];
    double lasts; /* s */

    double pieces, pieces_dyed, pieces_at_shade;
    double dyed, at_shade;              /* kg */
    double cloth_dips;                  /* kg */
    double owf_mean, owf_low, owf_high; /* kg/kg after washing, of what was dyed, weighed by mass; NAN: nothing dyed */
    double spread; /* standard deviation over mean of owf among pieces of one kind; NAN: no two alike */

    double done_at; /* s: when the last piece came out at its target; NAN: not all did, or a shade was asked for */
    double ready;   /* s, in all */
    double state_share[OUTCOME_STATES]; /* of the time */
    double ph_lowest;                   /* once it had been ready; NAN: never ready */
    double orp_worst;                   /* mV, highest, likewise */
    double failed_at;  /* s: first time that it could not be dyed in after having been ready; NAN: never */
    double failed_for; /* s, until it was ready again */
    int failed_state;  /* enum vat_state */
    bool was_ready;

    bool lives; /* a vat with cells in it */
    struct book books[BOOKED_COUNT];
    double unreduced;      /* g of indigotin left suspended, in bed and film */
    double leuco_left;     /* g, dissolved and held */
    double pigment_per_kg; /* g of indigotin used up (used less left) per kg dyed at shade; INFINITY: none */

    int acts[ACTION_COUNT]; /* done */
    int care;               /* acts that are not dipping, finishing or reading */
    int looks;              /* readings taken, by themselves or to decide */

    double cost;  /* NAN without prices */
    int unpriced; /* materials used that have no price */
};

/* Whether cloth would be dyed in a vat of this state (enum vat_state). */
bool outcome_is_fit(int state);

/* Reads the outcome of a run, or of a result file of it. A piece counts as at shade from `shade` on or, when that is
 * SHADE_COUNT, from its own target on; without either, when it was dyed at all. The cost is left open. */
void outcome_read(const struct result *result, enum shade shade, struct outcome *outcome);

/* Fills the cost from what the scenario put in at the start and `result`, its run, added. */
void outcome_price(const struct scenario *scenario, const struct result *result, const struct price *prices,
                   size_t price_count, struct outcome *outcome);

/* "out/careful.h5" is "careful". */
void outcome_name(const char *path, char *name, size_t size);

#endif
