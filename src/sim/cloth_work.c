/* cloth_work.c: cloth going into the liquor and coming out: air, water and heat in; dye and liquor out. */
#include "sim/vat.h"
#include "sim/observe.h"

#include "chem/oxygen.h"
#include "chem/water.h"

#include <gsl/gsl_math.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define DIPPINGS_MOST 64
#define HALF_TIME_FABRIC 0.150  /* kg/m2 at which a fibre's half-time is given */
#define BED_TOUCHED_SHARE 0.33  /* of the depth: a deeper bed is touched by cloth; common practice, no source */
#define FILM_BROKEN 0.8         /* share of the film that cloth going in breaks up; estimate */
#define DISPLACED_PER_KG 1.3e-3 /* m3 of liquor that a kg of wet cloth pushes up; estimate */

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
                                    .wet = scenario->cloth[i].wetted};
        }
    }
    return status_ok();
}

static const struct fibre *fibre_of(const struct vat *vat, int kind)
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

int cloth_pick(struct vat *vat, int event, char *why, size_t size)
{
    const struct event_spec *spec = &vat->scenario->events[event];
    int dipping = -1;
    for (size_t i = 0; i < vat->dipping_count && dipping < 0; i++) {
        dipping = vat->dippings[i].used ? -1 : (int)i;
    }
    if (dipping < 0) {
        (void)snprintf(why, size, "more than %d groups of cloth are being worked at once", DIPPINGS_MOST);
        return -1;
    }
    struct dipping *d = &vat->dippings[dipping];
    int base = dipping * (int)(vat->piece_count + 1);
    *d = (struct dipping){.event = event, .slot = -1, .kind = spec->cloth, .first = base, .dips_left = spec->dips};
    /* Those named, or else those with the fewest dips, lowest number first. */
    while (d->count < spec->pieces) {
        int best = -1;
        for (size_t p = 0; p < vat->piece_count; p++) {
            const struct piece *piece = &vat->pieces[p];
            if (piece->kind != spec->cloth || piece->busy) {
                continue;
            }
            if (spec->first_piece > 0) {
                if (piece->number == spec->first_piece + d->count) {
                    best = (int)p;
                    break;
                }
            } else if (best < 0 || piece->dips < vat->pieces[best].dips) {
                best = (int)p;
            }
        }
        if (best < 0) {
            break;
        }
        vat->pieces[best].busy = true;
        vat->group_pieces[base + d->count++] = best;
    }
    if (d->count < spec->pieces) {
        (void)snprintf(why, size, "no %d free pieces of '%s'", spec->pieces, vat->scenario->cloth[spec->cloth].name);
        for (int i = 0; i < d->count; i++) {
            vat->pieces[vat->group_pieces[base + i]].busy = false;
        }
        return -1;
    }
    d->used = true;
    return dipping;
}

/* What a piece brings with it: water of wetting out or the liquor it still holds, and air. */
static void bring(struct vat *vat, struct dipping *d, struct piece *piece)
{
    const struct fibre *fibre = fibre_of(vat, piece->kind);
    double air_K = air_temperature(&vat->settings, vat->time);
    double saturation = oxygen_saturation(air_K, vat->settings.pressure_atm);
    double water_before = vat->amount[S_WATER];
    if (piece->dips > 0) {
        for (int s = 0; s < STATE_COUNT; s++) {
            if (piece->held[s] != 0.0 && s != S_HEAT) {
                vat_flow(vat, FLOW_CLOTH_IN, (enum species)s, piece->held[s]);
            }
        }
        vat_flow(vat, FLOW_CLOTH_IN, S_HEAT, heat_of_temperature(air_K, piece->held[S_WATER]));
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
    if (vat->scenario->cloth[piece->kind].folded && piece->wet) {
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
    const struct cloth_kind *kind = &vat->scenario->cloth[d->kind];
    const struct fibre *fibre = fibre_of(vat, d->kind);
    static const char *const responses[] = {"cellulose", "silk", "wool"};
    int slot = -1;
    for (int i = 0; i < MAX_SOAKING_GROUPS && slot < 0; i++) {
        slot = vat->settings.cloth[i].in ? -1 : i;
    }
    if (slot < 0) {
        (void)snprintf(why, size, "%d groups are in the liquor already", MAX_SOAKING_GROUPS);
        return false;
    }
    d->slot = slot;
    d->in_time = vat->time;
    d->before[0] = vat->liquor.concentration[S_LEUCO] * MOLAR_INDIGOTIN;
    d->before[1] = vat->liquor.temperature_K - HEAT_ZERO_K;
    d->before[2] = vat->liquor.ions.ph;
    d->air_in = 0.0;
    d->water_in = 0.0;
    double mass = 0.0;
    double loaded = 0.0;
    for (int i = 0; i < d->count; i++) {
        struct piece *piece = &vat->pieces[vat->group_pieces[d->first + i]];
        bring(vat, d, piece);
        mass += piece->mass;
        loaded += (piece->sorbed + piece->carried) * MOLAR_INDIGOTIN;
    }
    double half_time = fibre->half_time.nominal *
                       pow(kind->fabric / HALF_TIME_FABRIC, vat->constants[K_UPTAKE_HALF_TIME_WEIGHT_POWER]);
    if (kind->folded) {
        half_time *= vat->constants[K_UPTAKE_FOLDED_FACTOR];
    }
    struct soaking_cloth *cloth = &vat->settings.cloth[slot];
    *cloth = (struct soaking_cloth){
        .in = true,
        .mass = mass,
        .freundlich = fibre->freundlich.nominal,
        .exponent = fibre->exponent.nominal,
        .cap = fibre->cap.nominal,
        .rate_30C = M_LN2 / half_time,
        .loaded = loaded / mass,
        .displaced = mass * DISPLACED_PER_KG,
    };
    for (int r = 0; r < 3; r++) {
        if (strcmp(fibre->ph_response, responses[r]) == 0) {
            cloth->ph_response = r;
        }
    }
    vat_resuspend(vat, vat->constants[K_RESUSPEND_DIP]);
    vat_move(vat, S_INDIGO_FILM, S_INDIGO_SUSPENDED, FILM_BROKEN * vat->amount[S_INDIGO_FILM]);
    return true;
}

/* Leuco that an over-reduced liquor takes back from the cloth, mol. */
static double strip(struct vat *vat, struct dipping *d)
{
    double orp = observe_orp(&vat->liquor);
    double over = 1.0 / (1.0 + exp((orp + 0.75) / 0.01));
    double total = 0.0;
    for (int i = 0; i < d->count; i++) {
        struct piece *piece = &vat->pieces[vat->group_pieces[d->first + i]];
        double share = over * vat->constants[K_STRIP_LOSS_PER_DIP];
        total += share * (piece->sorbed + piece->carried);
        piece->sorbed *= 1.0 - share;
        piece->carried *= 1.0 - share;
    }
    vat_flow(vat, FLOW_STRIPPED, S_LEUCO, total);
    return total;
}

/* The pieces leave with liquor; some drips off while they hang, the rest stays in the cloth. The leuco of what stays turns
 * blue on the fibre as far as its surface has `room`; solids stay loose and go back into the vat with the next dip. Returns
 * the indigo fixed from the carried liquor, mol. */
static double carry_off(struct vat *vat, struct dipping *d, double mass, double kept_share, double room, double volume)
{
    double taken[STATE_COUNT] = {0.0};
    vat_take_liquor(vat, FLOW_CARRIED_OFF, fmin(volume / vat->liquor.volume, 0.95), taken);
    double fixed = kept_share * room * taken[S_LEUCO];
    taken[S_LEUCO] = 0.0; /* oxidised: on the fibre, or loose and rinsed off */
    taken[S_HEAT] = 0.0;
    taken[S_OXYGEN] = 0.0; /* what it brings back is that of the air it hung in */
    for (int i = 0; i < d->count; i++) {
        struct piece *piece = &vat->pieces[vat->group_pieces[d->first + i]];
        double part = piece->mass / mass;
        for (int s = 0; s < STATE_COUNT; s++) {
            piece->held[s] = kept_share * part * taken[s];
        }
        piece->carried += part * fixed;
        piece->wet = true;
        piece->dips++;
    }
    return fixed;
}

struct status cloth_take_out(struct vat *vat, int dipping)
{
    struct dipping *d = &vat->dippings[dipping];
    const struct event_spec *spec = &vat->scenario->events[d->event];
    const struct fibre *fibre = fibre_of(vat, d->kind);
    struct soaking_cloth *cloth = &vat->settings.cloth[d->slot];
    double mass = cloth->mass;
    enum species on_cloth = (enum species)(S_CLOTH_0 + d->slot);
    double before = cloth->loaded;
    double bed_share = observe_bed_depth(vat) / vat->liquor.height;

    double stripped = strip(vat, d);
    double sorbed = vat->amount[on_cloth];
    vat_flow(vat, FLOW_ON_CLOTH, on_cloth, -sorbed);
    vat->amount[on_cloth] = 0.0;
    for (int i = 0; i < d->count; i++) {
        struct piece *piece = &vat->pieces[vat->group_pieces[d->first + i]];
        piece->sorbed += sorbed * piece->mass / mass;
    }

    double out = retained(fibre, spec->wring);
    double hung = fmin(out, vat->constants[K_WETTED_IN_WATER]); /* what is left after dripping in the air */
    double volume = out * mass / vat->liquor.at.density;
    double carried = carry_off(vat, d, mass, hung / out, fmax(0.0, 1.0 - cloth->loaded / cloth->cap), volume);
    double dripping = fmax(0.0, fibre->pickup_drip.nominal - out) * mass / vat->liquor.at.density;
    double air_K = air_temperature(&vat->settings, vat->time);
    vat_bring_oxygen(vat, FLOW_CLOTH_IN, OXYGEN_BY_CLOTH, vat->constants[K_DRIP_AIR] * dripping * air_oxygen(vat, air_K));
    cloth->in = false;
    vat->cloth_dips += mass;
    vat->last_dip_end = vat->time;

    const double row[] = {d->in_time,
                          vat->time - d->in_time,
                          d->kind,
                          vat->pieces[vat->group_pieces[d->first]].number,
                          d->count,
                          vat->pieces[vat->group_pieces[d->first]].dips,
                          d->before[0],
                          d->before[1],
                          d->before[2],
                          1e3 * before,
                          1e3 * sorbed * MOLAR_INDIGOTIN / mass,
                          1e3 * carried * MOLAR_INDIGOTIN / mass,
                          1e3 * volume / mass - d->water_in / mass,
                          1e3 * d->air_in / mass,
                          1e3 * stripped * MOLAR_INDIGOTIN / mass,
                          bed_share > BED_TOUCHED_SHARE};
    d->slot = -1;
    d->dips_left--;
    return table_add_row(&vat->result->dips, row);
}

void cloth_release(struct vat *vat, int dipping)
{
    struct dipping *d = &vat->dippings[dipping];
    for (int i = 0; i < d->count; i++) {
        vat->pieces[vat->group_pieces[d->first + i]].busy = false;
    }
    d->used = false;
}

struct status cloth_fill_pieces_table(struct vat *vat)
{
    for (size_t i = 0; i < vat->piece_count; i++) {
        const struct piece *piece = &vat->pieces[i];
        double sorbed = piece->sorbed * MOLAR_INDIGOTIN / piece->mass;
        double carried = piece->carried * MOLAR_INDIGOTIN / piece->mass;
        double washed = sorbed * (1.0 - vat->constants[K_WASH_OFF_SORBED]) +
                        carried * (1.0 - vat->constants[K_WASH_OFF_CARRIED]);
        const double row[] = {piece->kind,  piece->number, piece->mass,              piece->dips,
                              1e3 * sorbed, 1e3 * carried, 100.0 * (sorbed + carried), 100.0 * washed};
        RETURN_IF_FAILED(table_add_row(&vat->result->pieces, row));
    }
    return status_ok();
}
