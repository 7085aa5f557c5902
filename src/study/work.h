/* work.h: days of dyeing laid out in a vat: loads of cloth one after another, feeding after each session, care before
 * the next; and what each load found.
 *
 * The study of capacity asks how heavy the loads may be. The vat, its place, its cloth and everything that is done to
 * it before its first dip are the scenario's; the work is this plan's.
 */
#ifndef VATCAST_STUDY_WORK_H
#define VATCAST_STUDY_WORK_H

#include "base/status.h"
#include "chem/shade.h"
#include "scenario/scenario.h"
#include "sim/result.h"
#include "sim/run.h"
#include "sim/series.h"

#include <stdbool.h>

#define WORK_LOADS_MOST 4000

struct work_plan {
    int kind;        /* index into scenario.cloth: what is dyed */
    double begin;    /* s since start: the first load goes in */
    double warmth_K; /* to which the vat is brought before each later session */
    double volume;   /* m3, to which it is filled up before each later session */
    double load;     /* kg of dry cloth in a dip */
    double soak;     /* s */
    double every;    /* s from one load to the next */
    int loads;       /* of a session */
    int sessions;
    double session_every; /* s from one session's begin to the next's */
    int dips_per_piece;   /* then a fresh piece takes its place */
    enum shade shade;     /* SHADE_COUNT: as above; else a fresh piece takes its place when it has this shade */
    bool own_care; /* what the scenario's calendar does besides dyeing is the care, and nothing is fed or warmed */
    double sugar;  /* kg/m3 of liquor, fed after each session */
    double lime;   /* kg/m3, fed before a session when pH is below WORK_LIME_PH */
    double after;  /* s that the run goes on after the last load came out */
};

/* House-keeping: sugar after every session (common practice, no source); lime as soon as none lies undissolved, which
 * keeps the pH above this at the warmth of dyeing. Practice waits until 10.8; in this model reducing has slowed by then
 * (docs/capacity.md). The dose binds the acids of the sugar (practice: 0.2 to 0.4 g of lime for each g). */
#define WORK_SUGAR 1.0 /* kg/m3 (g/L) */
#define WORK_LIME 0.5  /* kg/m3 */
#define WORK_LIME_PH 11.8

/* What a load found: a small fresh swatch of the same cloth goes in with each, or, where the loads are dyed to a shade, with
 * the first of each session. */
struct load_found {
    double time;   /* s since start */
    double taken;  /* kg/kg: indigotin sorbed and carried by the swatch, before washing */
    double leuco;  /* g/L when it went in */
    int state;     /* enum vat_state just before */
    bool workable; /* the state is one to dye in */
};

struct work_done {
    struct load_found *loads; /* owned */
    int count;
    int load_kind;        /* of the loads in the result's tables; the swatches' is one more */
    struct result result; /* of the whole run, with WORK_SERIES only and no colours of cloth */
};

/* What is read of the rows of these runs, besides the time. */
#define WORK_SERIES (SERIES_BIT(STATE) | SERIES_BIT(LEUCO))

/* Whether to leave off after this session, told what is done so far; the result's pieces and ledgers are not filled yet. */
typedef bool work_enough(void *context, const struct work_plan *plan, const struct work_done *so_far);

/* Runs the scenario with this work and reads what the loads found. `options` and `enough` may be NULL. On failure `done`
 * is zeroed; else free it with work_free. */
struct status work_run(const struct scenario *scenario, const struct work_plan *plan, const struct run_options *options,
                       struct work_done *done) MUST_USE;
struct status work_run_until(const struct scenario *scenario, const struct work_plan *plan,
                             const struct run_options *options, work_enough *enough, void *context,
                             struct work_done *done) MUST_USE;
void work_free(struct work_done *done);

/* Fills the parts of a plan that the scenario decides: when its first dip of that cloth is (or, with none in the
 * calendar, when it is first ready), warmth and volume then, the soak, and whether the care is its own: a fermented vat's
 * is. `fit` (may be NULL): whether the vat is one to dye in then. Fails with STATUS_SCENARIO when, with no dip in the
 * calendar, the vat is never ready. */
struct status work_plan_from(const struct scenario *scenario, int kind, const struct run_options *options,
                             struct work_plan *plan, bool *fit) MUST_USE;

/* Whether a vat in this state (enum vat_state) is one to dye in. */
bool work_is_fit(int state);

/* Swatches in a session. */
int work_swatches(const struct work_plan *plan);

/* When work ends (s since start): the last load of the last session comes out. */
double work_end(const struct work_plan *plan);

/* The mass that enters the liquor before the vat must rest, kg of cloth-dips. */
double work_cloth_dips(const struct work_plan *plan);

#endif
