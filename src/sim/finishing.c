/* finishing.c: what happens to cloth out of the liquor: turning blue in the air, rinsing, souring, washing. */
#include "sim/vat.h"

#include <math.h>
#include <string.h>

#define HEAVY_FABRIC 0.40 /* kg/m2 at which oxidation_time_heavy is given; common practice, no source */
#define DONE_IN_TIMES 3.0 /* an oxidation time is until the eye sees no more change, about three time constants */

static double oxidation_constant(const struct vat *vat, const struct cloth_kind *kind, int zone)
{
    const double *k = vat->constants;
    double film = k[K_OXIDATION_TIME_FILM];
    double weight = fmin(1.0, kind->fabric / HEAVY_FABRIC);
    double time = film + (k[K_OXIDATION_TIME_HEAVY] - film) * weight;
    return (zone == 1 ? k[K_UPTAKE_FOLDED_FACTOR] : 1.0) * time / DONE_IN_TIMES;
}

static double loaded_share(const struct vat *vat, const struct piece *piece)
{
    const struct fibre *fibre = &vat->scenario->model.fibres[vat->scenario->cloth[piece->kind].fibre];
    double on = piece->sorbed[0] + piece->sorbed[1] + piece->carried;
    return fmin(1.0, on * MOLAR_INDIGOTIN / piece->mass / fibre->cap.nominal);
}

void finishing_oxidise(const struct vat *vat, struct piece *piece)
{
    const struct cloth_kind *kind = &vat->scenario->cloth[piece->kind];
    double hung = vat->time - piece->hung_at;
    if (piece->soaking || !(hung > 0.0)) {
        return;
    }
    piece->hung_at = vat->time;
    for (int zone = 0; zone < ZONES; zone++) {
        double blue = piece->leuco[zone] * -expm1(-hung / oxidation_constant(vat, kind, zone));
        piece->leuco[zone] -= blue;
        piece->sorbed[zone] += blue;
    }
    /* The leuco in the liquor it holds: on the fibre as far as there is room, else loose. */
    double blue = piece->held[S_LEUCO] * -expm1(-hung / oxidation_constant(vat, kind, 0));
    double fixed = blue * (1.0 - loaded_share(vat, piece));
    piece->held[S_LEUCO] -= blue;
    piece->carried += fixed;
    piece->held[S_INDIGO_SUSPENDED] += blue - fixed;
    piece->held[S_PARTICLES_SUSPENDED] += blue - fixed;
}

double finishing_to_fix(const struct vat *vat, const struct piece *piece)
{
    struct piece blue = *piece; /* by then its own leuco takes up room too */
    blue.sorbed[0] += piece->leuco[0] + piece->leuco[1];
    return piece->held[S_LEUCO] * (1.0 - loaded_share(vat, &blue));
}

/* Takes off what washing takes up to a share of the whole wash-off. */
static void wash_to(struct vat *vat, struct piece *piece, double share)
{
    if (share <= piece->wash_done) {
        return;
    }
    const double *k = vat->constants;
    double carried_left = (1.0 - k[K_WASH_OFF_CARRIED] * share) / (1.0 - k[K_WASH_OFF_CARRIED] * piece->wash_done);
    double sorbed_left = (1.0 - k[K_WASH_OFF_SORBED] * share) / (1.0 - k[K_WASH_OFF_SORBED] * piece->wash_done);
    double before = piece->carried + piece->sorbed[0] + piece->sorbed[1];
    piece->carried *= carried_left;
    piece->sorbed[0] *= sorbed_left;
    piece->sorbed[1] *= sorbed_left;
    piece->rinsed_off += before - piece->carried - piece->sorbed[0] - piece->sorbed[1];
    piece->wash_done = share;
}

/* Loose dye, and some of what is still leuco, goes with the water; clean water stays in the cloth. */
static void rinse(struct vat *vat, struct piece *piece)
{
    for (int s = 0; s < STATE_COUNT; s++) {
        piece->rinsed_off += species_table[s].composition[ELEMENT_INDIGO] * piece->held[s];
    }
    memset(piece->held, 0, sizeof piece->held);
    for (int zone = 0; zone < ZONES; zone++) {
        double lost = vat->constants[K_EARLY_RINSE_LOSS] * piece->leuco[zone];
        piece->leuco[zone] -= lost;
        piece->rinsed_off += lost;
    }
    piece->rinsed = true;
    piece->wet = true;
}

int finishing_do(struct vat *vat, enum action action, int kind)
{
    int count = 0;
    for (size_t p = 0; p < vat->piece_count; p++) {
        struct piece *piece = &vat->pieces[p];
        if (piece->kind != kind || piece->soaking || piece->dips == 0) {
            continue;
        }
        double before = piece->rinsed_off;
        finishing_oxidise(vat, piece);
        rinse(vat, piece);
        wash_to(vat, piece, action == ACTION_WASH ? 1.0 : vat->constants[K_RINSE_SHARE]);
        vat->books.indigo_rinsed += piece->rinsed_off - before;
        count++;
    }
    return count;
}
