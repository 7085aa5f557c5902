/* ensemble.h: how far a run can be trusted: other vats that the same scenario may be, drawn from everything that is
 * uncertain about it, and the bands in which they lie.
 */
#ifndef VATCAST_STUDY_ENSEMBLE_H
#define VATCAST_STUDY_ENSEMBLE_H

#include "sim/run.h"

#define ENSEMBLE_MOST 500
#define ENSEMBLE_LOW 5.0 /* per cent of the members below the band, and as many above */
#define ENSEMBLE_HIGH 95.0

/* Runs `members` vats and adds to the `result` of the run itself: to the series columns NAME_p05 and NAME_p95 of each
 * quantity (of the members that have it at that time); the table `members`, a row each; `percentiles` of its figures;
 * and `figures`, those of the run itself in one row. Each constant, fibre, spoon ... is drawn by itself around its
 * nominal value (DRAW_AROUND, drawn_uncertain, docs/sweep.md); the errors of instruments differ from member to member.
 * The same scenario gives the same members, whatever `threads` (0: one for each core). Errors: of the runs, except
 * that vats out of the model's range are members that did not get ready; STATUS_LIMIT, when there would be too many
 * numbers; STATUS_INTERRUPTED: the members that were done by then are in the result as if there were no more of them (none,
 * when they are fewer than two; `figures` is there all the same), its status is RUN_INTERRUPTED and its failure tells how many. After
 * any other error its status is RUN_FAILED, and some of what is named above may be missing. */
struct status ensemble_add(const struct scenario *scenario, int members, int threads, const struct run_options *options,
                           struct result *result) MUST_USE;

#endif
