/* day_vats.c: see day_vats.h. */
#include "study/day_vats.h"

#include "sim/series.h"
#include "study/variant.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define NEVER 1e12         /* s: later than any scenario ends */
#define RECORD_LONG 3600.0 /* s, of vats that are not kept */
#define OUT_MARGIN 60.0    /* s, so that the last cloth is out */
#define LATEST_OUT 12.0    /* times soak and handling after closing; how far differences between dips may go */

/* Whatever the calendar does with the workshop's cloth gives way to the people. */
static void clear_cloth(struct scenario *variant, int kind)
{
    for (size_t i = 0; i < variant->event_count; i++) {
        struct event_spec *event = &variant->events[i];
        bool is_work = event->action == ACTION_DIP || event->action == ACTION_RINSE || event->action == ACTION_SOUR ||
                       event->action == ACTION_WASH;
        if (is_work && event->cloth == kind) {
            *event = event_at(ACTION_READ, NEVER);
        }
    }
}

static struct status lay_out(const struct scenario *scenario, const struct day_how *how, struct vats *vats)
{
    struct scenario *variant = &vats->variant;
    const struct workshop *shop = &scenario->workshop;
    RETURN_IF_FAILED(variant_make(scenario, variant));
    vats->there = true;
    variant->lasts = shop->closes + fmax(how->after, LATEST_OUT * (shop->soak + shop->handling));
    variant->record_every = how->keep ? DAY_RECORD : RECORD_LONG;
    variant->cloth[shop->cloth].count = shop->people * shop->pieces;
    clear_cloth(variant, shop->cloth);
    vats->first_event = variant->event_count;
    for (int i = 0; i < shop->people * shop->pieces; i++) {
        struct event_spec dip = event_at(ACTION_DIP, NEVER);
        dip.cloth = shop->cloth;
        dip.pieces = 1;
        dip.first_piece = i + 1;
        dip.soak = shop->soak;
        dip.dips = 1;
        dip.wring = shop->wring;
        RETURN_IF_FAILED(variant_add_event(variant, &dip));
    }
    return status_ok();
}

struct status vats_open(const struct scenario *scenario, const struct day_how *how, struct vats *vats)
{
    *vats = (struct vats){.options = {.stop = how->stop}};
    if (!how->chemistry) {
        return status_ok();
    }
    RETURN_IF_FAILED(lay_out(scenario, how, vats));
    if (!how->keep) {
        vats->options.wanted = (struct run_wanted){.series = SERIES_BIT(TIME), .bare_pieces = true};
    }
    while (vats->count < scenario->workshop.vats) {
        int vat = vats->count++;
        RETURN_IF_FAILED(run_open(&vats->variant, &vats->options, &vats->results[vat], &vats->runs[vat]));
    }
    return status_ok();
}

struct status vats_go(struct vats *vats, int vat, double time)
{
    if (!vats->there) {
        return status_ok();
    }
    RETURN_IF_FAILED(run_until(vats->runs[vat], time));
    if (vats->options.stop != NULL && *vats->options.stop != 0) {
        return status_fail(STATUS_INTERRUPTED, "the day of the workshop was stopped");
    }
    return status_ok();
}

struct status vats_dip(struct vats *vats, int vat, int last, int piece, double in, double soak)
{
    if (!vats->there) {
        return status_ok();
    }
    if (last >= 0 && last != vat) {
        RETURN_IF_FAILED(run_hand_over(vats->runs[last], vats->runs[vat], vats->variant.workshop.cloth, piece + 1));
    }
    size_t event = vats->first_event + (size_t)piece;
    vats->variant.events[event].soak = soak;
    return run_put(vats->runs[vat], (int)event, in);
}

/* ---- what is left of the day -------------------------------------------------------------------------------------- */

/* Row of the first piece of the workshop's cloth in a table of pieces. */
static size_t first_row(const struct scenario *scenario)
{
    size_t row = 0;
    for (int i = 0; i < scenario->workshop.cloth; i++) {
        row += (size_t)scenario->cloth[i].count;
    }
    return row;
}

/* A table of the same columns, and some more. */
static struct status copy_columns(const struct table *from, struct table *to)
{
    (void)snprintf(to->name, sizeof to->name, "%s", from->name);
    (void)snprintf(to->about, sizeof to->about, "%s", from->about);
    for (size_t i = 0; i < from->column_count; i++) {
        const struct column *column = &from->columns[i];
        RETURN_IF_FAILED(table_add_column(to, column->name, column->unit, column->long_name, column->flags));
    }
    return status_ok();
}

static struct status gather_pieces(const struct vats *vats, const struct day *day, struct table *all)
{
    enum { MORE = 4, CELLS = 64 };
    size_t first = first_row(&vats->variant);
    const struct table *model = &vats->results[0].pieces;
    double row[CELLS];
    RETURN_IF_FAILED(copy_columns(model, all));
    RETURN_IF_FAILED(
        table_add_column(all, "person", "1", "whose it is, in order of the list of arrivals, from 1", NULL));
    RETURN_IF_FAILED(table_add_column(all, "vat", "1", "vat of its last dip, from 1", NULL));
    RETURN_IF_FAILED(table_add_column(all, "done", "s", "when it was finished, with all its dips, since start", NULL));
    RETURN_IF_FAILED(table_add_column(all, "waited", "s", "time waited for places, in all", NULL));
    if (model->column_count + MORE > CELLS) {
        return status_fail(STATUS_BUG, "the table of pieces has %zu columns", model->column_count);
    }
    for (size_t i = 0; i < day->piece_count; i++) {
        const struct day_piece *piece = &day->pieces[i];
        const struct table *from = &vats->results[piece->vat < 0 ? 0 : piece->vat].pieces;
        for (size_t c = 0; c < from->column_count; c++) {
            row[c] = from->columns[c].values[first + i];
        }
        row[from->column_count] = piece->person + 1;
        row[from->column_count + 1] = piece->vat < 0 ? (double)NAN : piece->vat + 1;
        row[from->column_count + 2] = piece->done;
        row[from->column_count + 3] = piece->waited;
        RETURN_IF_FAILED(table_add_row(all, row, from->column_count + MORE));
    }
    return status_ok();
}

/* The dips of all vats in order of time. */
static struct status gather_dips(const struct vats *vats, struct table *all)
{
    enum { CELLS = 64 };
    double row[CELLS];
    size_t next[VATS_MOST] = {0};
    RETURN_IF_FAILED(copy_columns(&vats->results[0].dips, all));
    RETURN_IF_FAILED(table_add_column(all, "vat", "1", "which vat, from 1", NULL));
    for (;;) {
        int best = -1;
        for (int vat = 0; vat < vats->count; vat++) {
            const struct table *dips = &vats->results[vat].dips;
            if (next[vat] < dips->rows && (best < 0 || dips->columns[0].values[next[vat]] <
                                                           vats->results[best].dips.columns[0].values[next[best]])) {
                best = vat;
            }
        }
        if (best < 0) {
            return status_ok();
        }
        const struct table *from = &vats->results[best].dips;
        if (from->column_count + 1 > CELLS) {
            return status_fail(STATUS_BUG, "the table of dips has %zu columns", from->column_count);
        }
        for (size_t c = 0; c < from->column_count; c++) {
            row[c] = from->columns[c].values[next[best]];
        }
        row[from->column_count] = best + 1;
        RETURN_IF_FAILED(table_add_row(all, row, from->column_count + 1));
        next[best]++;
    }
}

static void read_pieces(const struct vats *vats, struct day *day)
{
    size_t first = first_row(&vats->variant);
    for (size_t i = 0; i < day->piece_count; i++) {
        struct day_piece *piece = &day->pieces[i];
        if (piece->vat >= 0) {
            piece->owf = 1e-2 * table_column(&vats->results[piece->vat].pieces, "owf_washed")->values[first + i];
        }
    }
}

struct status vats_close(struct vats *vats, const struct day_how *how, double until, struct day *day)
{
    for (int vat = 0; vat < vats->count; vat++) {
        struct status status = vats_go(vats, vat, fmax(until + OUT_MARGIN, how->keep ? vats->variant.lasts : 0.0));
        struct run *run = vats->runs[vat];
        vats->runs[vat] = NULL;
        RETURN_IF_FAILED(run_close(run, status));
    }
    if (!vats->there) {
        return status_ok();
    }
    read_pieces(vats, day);
    if (how->keep) {
        RETURN_IF_FAILED(gather_pieces(vats, day, &day->pieces_result.pieces));
        RETURN_IF_FAILED(gather_dips(vats, &day->pieces_result.dips));
        for (int vat = 0; vat < vats->count; vat++) {
            day->vats[vat].result = vats->results[vat];
            result_init(&vats->results[vat]);
        }
    }
    return status_ok();
}

void vats_free(struct vats *vats)
{
    for (int vat = 0; vat < vats->count; vat++) {
        struct status ignored = run_close(vats->runs[vat], status_fail(STATUS_INTERRUPTED, "the day was given up"));
        (void)ignored;
        result_free(&vats->results[vat]);
    }
    if (vats->there) {
        scenario_free(&vats->variant);
    }
    *vats = (struct vats){0};
}
