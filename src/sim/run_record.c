/* run_record.c: what a run records: the columns of its tables, and the rows of its series as far as they are read. */
#include "sim/run_inside.h"

#include "sim/looks.h"
#include "sim/observe.h"

#include <stdio.h>

uint64_t run_series_of(const struct run_options *options)
{
    uint64_t wanted = options != NULL ? options->wanted.series : 0;
    return wanted != 0 ? wanted | SERIES_BIT(TIME) : SERIES_ALL;
}

struct status run_add_columns(struct result *result, uint64_t seen)
{
    static const char *const words[SERIES_COUNT] = {[SERIES_STATE] = STATE_WORDS,
                                                    [SERIES_LOOK] = LOOK_WORDS,
                                                    [SERIES_SMELL] = SMELL_WORDS,
                                                    [SERIES_LIQUOR_CLARITY] = LIQUOR_CLARITY_WORDS,
                                                    [SERIES_LIQUOR_HUE] = LIQUOR_HUE_WORDS};
#define SERIES_COLUMN(id, name, unit, long_name)                                                                       \
    if ((seen & SERIES_BIT(id)) != 0) {                                                                                \
        RETURN_IF_FAILED(table_add_column(&result->series, name, unit, long_name, words[SERIES_##id]));                \
    }
    SERIES_LIST(SERIES_COLUMN)
#undef SERIES_COLUMN
#define EVENT_COLUMN(name, unit, long_name, flags)                                                                     \
    RETURN_IF_FAILED(table_add_column(&result->events, name, unit, long_name, flags));
    EVENT_COLUMNS(EVENT_COLUMN)
#undef EVENT_COLUMN
#define DIP_COLUMN(name, unit, long_name, flags)                                                                       \
    RETURN_IF_FAILED(table_add_column(&result->dips, name, unit, long_name, flags));
    DIP_COLUMNS(DIP_COLUMN)
#undef DIP_COLUMN
#define PIECE_COLUMN(name, unit, long_name, flags)                                                                     \
    RETURN_IF_FAILED(table_add_column(&result->pieces, name, unit, long_name, flags));
    PIECE_COLUMNS(PIECE_COLUMN)
#undef PIECE_COLUMN
    (void)snprintf(result->series.name, sizeof result->series.name, "series");
    (void)snprintf(result->events.name, sizeof result->events.name, "events");
    (void)snprintf(result->dips.name, sizeof result->dips.name, "dips");
    (void)snprintf(result->pieces.name, sizeof result->pieces.name, "pieces");
    return status_ok();
}

void run_record_prepare(struct run *run)
{
    if ((run->seen & SERIES_OF_GLASS) != 0) {
        const struct liquor_optics optics = optics_of(run->vat.constants);
        liquor_shapes_fill(&optics, &run->vat.shapes);
    }
}

/* Whether the rows tell of more than the time. */
static bool is_looked_at(const struct run *run)
{
    return run->seen != SERIES_BIT(TIME);
}

/* The row in the columns that there are. */
static struct status add_row(struct run *run)
{
    double *row = run->row;
    size_t count = 0;
    for (int i = 0; i < SERIES_COUNT; i++) {
        if ((run->seen >> i & 1U) != 0) {
            row[count++] = row[i];
        }
    }
    return table_add_row(&run->vat.result->series, row, count);
}

/* The row of the vat as it stands, refreshed. */
static struct status record_refreshed(struct run *run)
{
    struct vat *vat = &run->vat;
    observe_series(vat, run->seen, run->row);
    RETURN_IF_FAILED(add_row(run));
    return run->seen == SERIES_ALL ? vat_watch(vat, run->row) : status_ok();
}

static struct status record(struct run *run)
{
    struct vat *vat = &run->vat;
    run->row[SERIES_TIME] = vat->time;
    if (!is_looked_at(run)) {
        return add_row(run);
    }
    RETURN_IF_FAILED(vat_refresh(vat));
    return record_refreshed(run);
}

/* The rows that are due before `until`, as many as can be worked out at once. Returns how many there are. */
static int foresee_rows(struct run *run, double until)
{
    struct vat *vat = &run->vat;
    int count = 0;
    while (count < LANES && run->next_row < until - SAME_TIME) {
        struct foreseen *row = &run->rows[count++];
        row->time = run->next_row;
        ode_interpolate(vat->ode, row->time, row->amount);
        run->next_row += vat->scenario->record_every;
    }
    if (count > 0) {
        vat_foresee(vat, lanes_best(), run->rows, count);
    }
    return count;
}

struct status run_record_inside(struct run *run, double until)
{
    struct vat *vat = &run->vat;
    while (!is_looked_at(run) && run->next_row < until - SAME_TIME) {
        vat->time = run->next_row;
        RETURN_IF_FAILED(record(run));
        run->next_row += vat->scenario->record_every;
    }
    while (run->next_row < until - SAME_TIME) {
        const int count = foresee_rows(run, until);
        for (int i = 0; i < count; i++) {
            RETURN_IF_FAILED(vat_refresh_as(vat, &run->rows[i]));
            run->row[SERIES_TIME] = vat->time;
            RETURN_IF_FAILED(record_refreshed(run));
        }
    }
    return status_ok();
}

struct status run_record_due(struct run *run)
{
    if (run->next_row <= run->vat.time + SAME_TIME) {
        RETURN_IF_FAILED(record(run));
        run->next_row += run->vat.scenario->record_every;
    }
    return status_ok();
}
