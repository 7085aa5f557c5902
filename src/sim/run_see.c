/* run_see.c: what there is to see of a run on its way. See run.h. */
#include "sim/run_inside.h"

#include "sim/observe.h"

#include <math.h>

void run_row(const struct run *run, double *row)
{
    for (int i = 0; i < SERIES_COUNT; i++) {
        row[i] = NAN;
    }
    observe_series(&run->vat, run->seen, row);
}

struct run_stand run_stand(const struct run *run)
{
    const struct vat *vat = &run->vat;
    return (struct run_stand){
        .lid = vat->lid,
        .wrap = vat->wrap,
        .place = vat->place,
        .heater_power = vat->settings.heater_power,
        .heater_to_K = fmax(vat->heater_goal_K, vat->settings.heater_hold_K),
        .is_warming = vat->heater_goal_K > 0.0,
        .capacity = vat->capacity,
        .last_dip_end = vat->last_dip_end,
        .ferments = vat->ferments,
    };
}

size_t run_piece_count(const struct run *run)
{
    return run->vat.piece_count;
}

struct run_piece run_piece(const struct run *run, size_t index)
{
    const struct vat *vat = &run->vat;
    struct piece piece = vat->pieces[index]; /* a copy, to let its leuco turn blue up to now */
    finishing_oxidise(vat, &piece);
    double yellow = piece.leuco[0] + piece.leuco[1] + piece.held[S_LEUCO];
    double all = yellow + piece.sorbed[0] + piece.sorbed[1] + piece.carried;
    return (struct run_piece){
        .kind = piece.kind,
        .number = piece.number,
        .mass = piece.mass,
        .dips = piece.dips,
        .busy = piece.busy,
        .soaking = piece.soaking,
        .wet = piece.wet,
        .rinsed = piece.rinsed,
        .yellow = all > 0.0 ? yellow / all : 0.0,
        .owf = all * MOLAR_INDIGOTIN / piece.mass,
        .owf_washed = cloth_owf_expected(vat, &piece),
    };
}
