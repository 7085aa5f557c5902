/* run_mark.c: taking a run back to where it stood; and what a run would leave if it ended now. See run.h.
 *
 * A mark holds what changes while a run goes on. What is worked out once (the patterns of the integrator, tables of what only
 * temperature decides) stays as it is.
 */
#include "sim/run_inside.h"

#include "sim/actions.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct run_mark {
    struct run run; /* the pointers in it are the run's own */
    struct entry *entries;
    struct piece *pieces;
    int *group_pieces;
    struct dipping *dippings;
    gsl_rng *rng;
    struct ode_place place;
    double state[STATE_COUNT]; /* of the integrator */
    struct run_statistics statistics;
    enum run_status status;
    size_t series_rows, event_rows, dip_rows, note_count;
};

static void *copy_of(const void *from, size_t count, size_t size)
{
    void *copy = malloc((count + 1) * size);
    if (copy != NULL && count > 0) {
        memcpy(copy, from, count * size);
    }
    return copy;
}

static size_t group_size(const struct vat *vat)
{
    return (vat->piece_count + 1) * vat->dipping_count;
}

struct status run_mark(const struct run *run, struct run_mark **made)
{
    const struct vat *vat = &run->vat;
    const struct result *result = vat->result;
    struct run_mark *mark = calloc(1, sizeof *mark);
    *made = mark;
    if (mark == NULL) {
        return status_fail(STATUS_MEMORY, "no memory to mark where the vat stands");
    }
    mark->run = *run;
    mark->entries = copy_of(run->calendar.entries, run->calendar.count, sizeof *mark->entries);
    mark->pieces = copy_of(vat->pieces, vat->piece_count, sizeof *mark->pieces);
    mark->group_pieces = copy_of(vat->group_pieces, group_size(vat), sizeof *mark->group_pieces);
    mark->dippings = copy_of(vat->dippings, vat->dipping_count, sizeof *mark->dippings);
    mark->rng = gsl_rng_clone(vat->rng);
    mark->place = ode_place_of(vat->ode);
    memcpy(mark->state, ode_state(vat->ode), sizeof mark->state);
    mark->statistics = result->statistics;
    mark->status = result->status;
    mark->series_rows = result->series.rows;
    mark->event_rows = result->events.rows;
    mark->dip_rows = result->dips.rows;
    mark->note_count = result->note_count;
    if (mark->entries == NULL || mark->pieces == NULL || mark->group_pieces == NULL || mark->dippings == NULL ||
        mark->rng == NULL) {
        run_mark_free(mark);
        *made = NULL;
        return status_fail(STATUS_MEMORY, "no memory to mark where the vat stands");
    }
    return status_ok();
}

void run_mark_free(struct run_mark *mark)
{
    if (mark == NULL) {
        return;
    }
    free(mark->entries);
    free(mark->pieces);
    free(mark->group_pieces);
    free(mark->dippings);
    if (mark->rng != NULL) {
        gsl_rng_free(mark->rng);
    }
    free(mark);
}

static void result_return(struct result *result, const struct run_mark *mark)
{
    result_drop_ledger(result);
    result->pieces.rows = 0; /* filled at the end only */
    result->series.rows = mark->series_rows;
    result->events.rows = mark->event_rows;
    result->dips.rows = mark->dip_rows;
    result->note_count = mark->note_count;
    result->statistics = mark->statistics;
    result->status = mark->status;
    result->failure[0] = '\0';
}

void run_return(struct run *run, const struct run_mark *mark)
{
    struct vat *vat = &run->vat;
    struct entry *entries = run->calendar.entries; /* may have moved since; never shrinks */
    size_t capacity = run->calendar.capacity;
    *run = mark->run;
    run->calendar.entries = entries;
    run->calendar.capacity = capacity;
    if (mark->run.calendar.count > 0) {
        memcpy(entries, mark->entries, mark->run.calendar.count * sizeof *entries);
    }
    memcpy(vat->pieces, mark->pieces, vat->piece_count * sizeof *vat->pieces);
    memcpy(vat->group_pieces, mark->group_pieces, group_size(vat) * sizeof *vat->group_pieces);
    memcpy(vat->dippings, mark->dippings, vat->dipping_count * sizeof *vat->dippings);
    (void)gsl_rng_memcpy(vat->rng, mark->rng); /* of the same kind and size */
    ode_take_back(vat->ode, &mark->place, mark->state);
    result_return(vat->result, mark);
}

struct status run_fill(struct run *run)
{
    struct result *result = run->vat.result;
    RETURN_IF_FAILED(run_record_due(run));
    RETURN_IF_FAILED(action_record_plain(&run->vat, RUN_ACTION_END));
    char *lines = run_event_lines(run->vat.scenario); /* events may have been added */
    if (lines == NULL) {
        return status_fail(STATUS_MEMORY, "no memory for the result");
    }
    free(result->event_labels);
    result->event_labels = lines;
    return run_finish(run, status_ok());
}
