/* cloth_work.c: cloth going into the liquor and coming out: air, water and heat in; dye and liquor out. */
#include "sim/vat.h"
#include "sim/looks.h"
#include "sim/observe.h"

#include "chem/oxygen.h"
#include "chem/water.h"

#include <gsl/gsl_math.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define DIPPINGS_MOST 64
#define STRIP_STEP_V 0.01       /* over which stripping sets in, so that it has no corner */

struct status cloth_prepare(struct vat *vat)
{
    const struct scenario *scenario = vat->scenario;
    size_t count = 0;
    for (size_t i = 0; i < scenario->cloth_count; i++) {
        count += (size_t)scenario->cloth[i].count;
    }
    vat->piece_count = count;
    vat->pieces = calloc(count + 1, sizeof *vat->pieces);
    vat->group_pieces = calloc((count + 1) * DIPPINGS_MOST, sizeof *vat->group_pieces);
    vat->dippings = calloc(DIPPINGS_MOST, sizeof *vat->dippings);
    vat->dipping_count = DIPPINGS_MOST;
    if (vat->pieces == NULL || vat->group_pieces == NULL || vat->dippings == NULL) {
        return status_fail(STATUS_MEMORY, "no memory for %zu pieces of cloth", count);
    }
    struct piece *piece = vat->pieces;
    for (size_t i = 0; i < scenario->cloth_count; i++) {
        for (int n = 1; n <= scenario->cloth[i].count; n++, piece++) {
            *piece = (struct piece){.kind = (int)i, .number = n, .mass = scenario->cloth[i].each,
                                    .wet = scenario->cloth[i].wetted, .highest_ph = NAN, .done_at = NAN};
        }
    }
    return status_ok();
}

const struct fibre *cloth_fibre(const struct vat *vat, int kind)
{
    return &vat->scenario->model.fibres[vat->scenario->cloth[kind].fibre];
}

static double retained(const struct fibre *fibre, enum wring_kind wring)
{
    switch (wring) {
    case WRING_DRIP:
        return fibre->pickup_drip.nominal;
    case WRING_SPIN:
        return fibre->pickup_spin.nominal;
    case WRING_HAND:
        break;
    }
    return fibre->pickup_hand.nominal;
}

/* What a piece brings with it: water of wetting out or rinsing, or the liquor it still holds; and air. */
static void bring(struct vat *vat, struct dipping *d, struct piece *piece)
{
    const struct fibre *fibre = cloth_fibre(vat, piece->kind);
    double air_K = air_temperature(&vat->settings, vat->time);
    double saturation = oxygen_saturation(air_K, vat->settings.pressure_atm);
    double water_before = vat->amount[S_WATER];
    if (piece->dips > 0 && !piece->rinsed) {
        for (int s = 0; s < STATE_COUNT; s++) {
            if (s != S_HEAT) {
                vat_flow(vat, FLOW_CLOTH_BACK, (enum species)s, piece->held[s]);
            }
        }
        vat_flow(vat, FLOW_CLOTH_BACK, S_HEAT, heat_of_temperature(air_K, piece->held[S_WATER]));
        vat_bring_oxygen(vat, FLOW_CLOTH_IN, OXYGEN_BY_CLOTH, saturation * piece->held[S_WATER] * MOLAR_WATER / 1000.0);
        memset(piece->held, 0, sizeof piece->held);
    } else if (piece->wet) {
        double water = vat->constants[K_WETTED_IN_WATER] * piece->mass / MOLAR_WATER;
        vat_flow(vat, FLOW_CLOTH_IN, S_WATER, water);
        vat_flow(vat, FLOW_CLOTH_IN, S_HEAT, heat_of_temperature(air_K, water));
        vat_bring_oxygen(vat, FLOW_CLOTH_IN, OXYGEN_BY_CLOTH, saturation * water * MOLAR_WATER / 1000.0);
    }
    d->water_in += (vat->amount[S_WATER] - water_before) * MOLAR_WATER;
    double air = piece->mass * (piece->wet ? fibre->air_wetted.nominal : fibre->air_dry.nominal);
    if (cloth_is_folded(vat, piece->kind) && piece->wet) {
        air = piece->mass * 0.5 * (fibre->air_wetted.nominal + fibre->air_dry.nominal);
    }
    d->air_in += air;
    vat_bring_oxygen(vat, FLOW_CLOTH_IN, OXYGEN_BY_CLOTH, air * air_oxygen(vat, air_K));
    /* The fibre comes to the liquor's temperature. */
    double fibre_heat = piece->mass * vat->constants[K_CLOTH_HEAT_CAPACITY];
    double liquor_heat = vat->amount[S_WATER] * MOLAR_WATER * WATER_HEAT_CAPACITY;
    double liquor_K = temperature_of_heat(vat->amount[S_HEAT], vat->amount[S_WATER]);
    vat_flow(vat, FLOW_CLOTH_IN, S_HEAT, (air_K - liquor_K) * fibre_heat / (1.0 + fibre_heat / liquor_heat));
}

bool cloth_put_in(struct vat *vat, int dipping, char *why, size_t size)
{
    struct dipping *d = &vat->dippings[dipping];
    bool dry = false;
    for (int i = 0; i < d->count; i++) {
        dry = dry || !vat->pieces[vat->group_pieces[d->first + i]].wet;
    }
    if (!soaking_has_room(vat, d, dry)) {
        (void)snprintf(why, size, "%d groups are in the liquor already", MAX_SOAKING_GROUPS);
        return false;
    }
    d->in_time = vat->time;
    d->before[0] = vat->liquor.concentration[S_LEUCO] * MOLAR_INDIGOTIN;
    d->before[1] = vat->liquor.temperature_K - HEAT_ZERO_K;
    d->before[2] = vat->liquor.ions.ph;
    d->air_in = 0.0;
    d->water_in = 0.0;
    for (int i = 0; i < d->count; i++) {
        struct piece *piece = &vat->pieces[vat->group_pieces[d->first + i]];
        finishing_oxidise(vat, piece);
        bring(vat, d, piece);
        piece->soaking = true;
        piece->highest_ph = fmax(piece->highest_ph, vat->liquor.ions.ph);
    }
    soaking_begin(vat, d, dry);
    vat_resuspend(vat, vat->constants[K_RESUSPEND_DIP]);
    vat_move(vat, S_INDIGO_FILM, S_INDIGO_SUSPENDED, vat->constants[K_FILM_BROKEN_BY_CLOTH] * vat->amount[S_INDIGO_FILM]);
    return true;
}

/* Indigo that an over-reduced liquor takes back from the cloth as leuco, mol. */
static double strip(struct vat *vat, struct dipping *d)
{
    double orp = observe_orp(&vat->liquor);
    double over = 1.0 / (1.0 + exp((orp - vat->constants[K_ORP_OVER_REDUCED]) / STRIP_STEP_V));
    double share = over * vat->constants[K_STRIP_LOSS_PER_DIP];
    double total = 0.0;
    for (int i = 0; i < d->count; i++) {
        struct piece *piece = &vat->pieces[vat->group_pieces[d->first + i]];
        total += share * (piece->sorbed[0] + piece->sorbed[1] + piece->carried);
        piece->sorbed[0] *= 1.0 - share;
        piece->sorbed[1] *= 1.0 - share;
        piece->carried *= 1.0 - share;
    }
    vat_flow(vat, FLOW_STRIPPED, S_LEUCO, total);
    return total;
}

/* The pieces leave with liquor; some drips off while they hang, the rest stays in the cloth, its indigo with it. Returns the
 * leuco in what stays, mol. */
static double carry_off(struct vat *vat, struct dipping *d, double mass, double kept_share, double volume)
{
    double taken[STATE_COUNT] = {0.0};
    vat_take_liquor(vat, FLOW_CARRIED_OFF, fmin(volume / vat->liquor.volume, 0.95), taken);
    for (int s = 0; s < STATE_COUNT; s++) {
        vat->books.indigo_dripped += (1.0 - kept_share) * taken[s] * species_table[s].composition[ELEMENT_INDIGO];
    }
    taken[S_HEAT] = 0.0;
    taken[S_OXYGEN] = 0.0; /* what it brings back is that of the air it hung in */
    for (int i = 0; i < d->count; i++) {
        struct piece *piece = &vat->pieces[vat->group_pieces[d->first + i]];
        for (int s = 0; s < STATE_COUNT; s++) {
            piece->held[s] = kept_share * piece->mass / mass * taken[s];
        }
    }
    return kept_share * taken[S_LEUCO];
}

static double indigo_on(const struct piece *piece)
{
    return piece->leuco[0] + piece->leuco[1] + piece->sorbed[0] + piece->sorbed[1] + piece->carried;
}

/* kg/kg expected to be left on a piece after washing. */
static double owf_washed(const struct vat *vat, const struct piece *piece)
{
    const double *k = vat->constants;
    double sorbed = piece->sorbed[0] + piece->sorbed[1] + piece->leuco[0] + piece->leuco[1];
    double left = sorbed * (1.0 - k[K_WASH_OFF_SORBED]) / (1.0 - k[K_WASH_OFF_SORBED] * piece->wash_done) +
                  piece->carried * (1.0 - k[K_WASH_OFF_CARRIED]) / (1.0 - k[K_WASH_OFF_CARRIED] * piece->wash_done);
    return left * MOLAR_INDIGOTIN / piece->mass;
}

double cloth_owf_expected(const struct vat *vat, const struct piece *piece)
{
    return owf_washed(vat, piece) +
           (1.0 - vat->constants[K_WASH_OFF_CARRIED]) * finishing_to_fix(vat, piece) * MOLAR_INDIGOTIN / piece->mass;
}

struct status cloth_take_out(struct vat *vat, int dipping)
{
    struct dipping *d = &vat->dippings[dipping];
    const struct event_spec *spec = &vat->scenario->events[d->event];
    const struct fibre *fibre = cloth_fibre(vat, d->kind);
    const struct piece *first = &vat->pieces[vat->group_pieces[d->first]];
    bool touched = observe_bed_depth(vat) / vat->liquor.height > vat->constants[K_BED_TOUCH_DEPTH];
    double mass = 0.0;
    double before = 0.0;
    for (int i = 0; i < d->count; i++) {
        mass += vat->pieces[vat->group_pieces[d->first + i]].mass;
        before += indigo_on(&vat->pieces[vat->group_pieces[d->first + i]]);
    }
    before += d->brought[0] + d->brought[1];
    double stripped = strip(vat, d);
    double sorbed = soaking_end(vat, d, mass, touched);
    double out = retained(fibre, spec->wring);
    double hung = fmin(out, vat->constants[K_WETTED_IN_WATER]); /* what is left after dripping in the air */
    double volume = out * mass / vat->liquor.at.density;
    double carried = carry_off(vat, d, mass, hung / out, volume);
    double dripping = fmax(0.0, fibre->pickup_drip.nominal - out) * mass / vat->liquor.at.density;
    double air_K = air_temperature(&vat->settings, vat->time);
    vat_bring_oxygen(vat, FLOW_CLOTH_IN, OXYGEN_BY_CLOTH, vat->constants[K_DRIP_AIR] * dripping * air_oxygen(vat, air_K));
    double after = 0.0;
    for (int i = 0; i < d->count; i++) {
        struct piece *piece = &vat->pieces[vat->group_pieces[d->first + i]];
        piece->soaking = false;
        piece->wet = true;
        piece->rinsed = false;
        piece->specked = piece->specked || touched;
        piece->wash_done = 0.0;
        piece->hung_at = vat->time;
        piece->dips++;
        after += indigo_on(piece);
    }
    for (int i = 0; i < d->count; i++) {
        struct piece *piece = &vat->pieces[vat->group_pieces[d->first + i]];
        piece->done_at = isnan(piece->done_at) && cloth_is_done(vat, piece) ? vat->time : piece->done_at;
    }
    vat->cloth_dips += mass;
    vat->last_dip_end = vat->time;

    const double to_g_per_kg = 1e3 * MOLAR_INDIGOTIN / mass;
    const double row[] = {d->in_time,
                          vat->time - d->in_time,
                          d->kind,
                          first->number,
                          d->count,
                          first->dips,
                          d->before[0],
                          d->before[1],
                          d->before[2],
                          before * to_g_per_kg,
                          sorbed * to_g_per_kg,
                          carried * to_g_per_kg,
                          1e3 * volume / mass - d->water_in / mass,
                          1e3 * d->air_in / mass,
                          stripped * to_g_per_kg,
                          (after + carried) * to_g_per_kg,
                          shade_of_owf(cloth_owf_expected(vat, first)),
                          touched};
    d->dips_left--;
    return table_add_row(&vat->result->dips, row, sizeof row / sizeof *row);
}

void cloth_release(struct vat *vat, int dipping)
{
    struct dipping *d = &vat->dippings[dipping];
    for (int i = 0; i < d->count; i++) {
        vat->pieces[vat->group_pieces[d->first + i]].busy = false;
    }
    d->used = false;
}

/* Adds `sign` times the indigo of a piece. */
static void add_indigo_of(const struct piece *piece, double sign, struct cloth_indigo *sum)
{
    sum->sorbed += sign * (piece->sorbed[0] + piece->sorbed[1] + piece->leuco[0] + piece->leuco[1]);
    sum->carried += sign * piece->carried;
    for (int s = 0; s < STATE_COUNT; s++) {
        sum->loose += sign * species_table[s].composition[ELEMENT_INDIGO] * piece->held[s];
    }
}

struct cloth_indigo cloth_indigo_now(const struct vat *vat)
{
    struct cloth_indigo sum = {0.0, 0.0, 0.0};
    for (size_t i = 0; i < vat->piece_count; i++) {
        add_indigo_of(&vat->pieces[i], 1.0, &sum);
    }
    return sum;
}

static struct piece *piece_named(struct vat *vat, int kind, int number)
{
    for (size_t i = 0; i < vat->piece_count; i++) {
        if (vat->pieces[i].kind == kind && vat->pieces[i].number == number) {
            return &vat->pieces[i];
        }
    }
    return NULL;
}

struct status cloth_hand_over(struct vat *from, struct vat *to, int kind, int number)
{
    struct piece *given = piece_named(from, kind, number);
    struct piece *taken = piece_named(to, kind, number);
    if (given == NULL || taken == NULL || given->busy || taken->busy) {
        return status_fail(STATUS_BUG, "piece %d of cloth %d cannot go over to another vat", number, kind);
    }
    add_indigo_of(given, 1.0, &from->books.handed_on);
    add_indigo_of(given, -1.0, &to->books.handed_on);
    *taken = *given;
    *given = (struct piece){.kind = kind, .number = number, .mass = taken->mass, .wet = taken->wet, .highest_ph = NAN,
                             .done_at = NAN};
    return status_ok();
}

/* As the code of the pieces' table. */
static double target_of(const struct vat *vat, int kind)
{
    enum shade target;
    return shade_for_word(vat->scenario->cloth[kind].target, &target) ? (double)target : (double)NAN;
}

#define COLOUR_COLUMNS 7

/* The columns of a piece's colour, from k_over_s to blue; NAN for an owf of NAN. */
static void tell_colour(const struct vat *vat, int kind, double owf, double told[COLOUR_COLUMNS])
{
    for (int i = 0; i < COLOUR_COLUMNS; i++) {
        told[i] = NAN;
    }
    if (!isnan(owf)) {
        struct cloth_colour colour = look_of_cloth(vat->constants, cloth_fibre(vat, kind), owf);
        const double values[COLOUR_COLUMNS] = {colour.k_over_s,   colour.lab.l,        colour.lab.a,      colour.lab.b,
                                               colour.swatch.red, colour.swatch.green, colour.swatch.blue};
        memcpy(told, values, sizeof values);
    }
}

struct status cloth_fill_pieces_table(struct vat *vat, bool in_colour)
{
    for (size_t i = 0; i < vat->piece_count; i++) {
        struct piece *piece = &vat->pieces[i];
        finishing_oxidise(vat, piece);
        double per_kg = MOLAR_INDIGOTIN / piece->mass;
        double sorbed = (piece->sorbed[0] + piece->sorbed[1] + piece->leuco[0] + piece->leuco[1]) * per_kg;
        double carried = piece->carried * per_kg;
        double washed = owf_washed(vat, piece);
        double colour[COLOUR_COLUMNS];
        tell_colour(vat, piece->kind, in_colour ? washed : (double)NAN, colour);
        const double row[] = {piece->kind,
                              piece->number,
                              piece->mass,
                              piece->dips,
                              1e3 * sorbed,
                              1e3 * (piece->sorbed[1] + piece->leuco[1]) * per_kg,
                              1e3 * carried,
                              100.0 * (sorbed + carried),
                              100.0 * washed,
                              colour[0],
                              colour[1],
                              colour[2],
                              colour[3],
                              colour[4],
                              colour[5],
                              colour[6],
                              shade_of_owf(washed),
                              1e3 * piece->rinsed_off * per_kg,
                              piece->specked,
                              piece->highest_ph,
                              target_of(vat, piece->kind),
                              piece->done_at};
        RETURN_IF_FAILED(table_add_row(&vat->result->pieces, row, sizeof row / sizeof *row));
    }
    return status_ok();
}

double cloth_test_strip(const struct vat *vat)
{
    const struct scenario *scenario = vat->scenario;
    size_t cotton = 0;
    while (cotton < scenario->model.fibre_count && strcmp(scenario->model.fibres[cotton].name, "cotton") != 0) {
        cotton++;
    }
    if (cotton == scenario->model.fibre_count) {
        return NAN;
    }
    const struct fibre *fibre = &scenario->model.fibres[cotton];
    struct soaking_cloth sample = {.in = true,
                                   .mass = 1.0,
                                   .freundlich = fibre->freundlich.nominal,
                                   .exponent = fibre->exponent.nominal,
                                   .cap = fibre->cap.nominal,
                                   .rate_30C = M_LN2 / fibre->half_time.nominal};
    double equilibrium = cloth_equilibrium(&vat->liquor, &sample);
    double soaked = -expm1(-sample.rate_30C * vat->liquor.at.uptake_rate * vat->constants[K_TEST_STRIP_SOAK]);
    double leuco = fmax(0.0, vat->liquor.concentration[S_LEUCO]) * MOLAR_INDIGOTIN;
    double carried = fibre->pickup_hand.nominal * leuco / vat->liquor.at.density;
    return equilibrium * soaked * (1.0 - vat->constants[K_WASH_OFF_SORBED]) +
           carried * (1.0 - vat->constants[K_WASH_OFF_CARRIED]);
}
