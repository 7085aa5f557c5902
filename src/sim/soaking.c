/* soaking.c: the zones in which cloth takes up leuco, and whose leuco is whose.
 *
 * A group of pieces has a zone of its own, folded cloth two, as long as there are any. When all are taken, cloth that
 * takes up at the same rate joins a zone: uptake is linear in what is taken up and in the room left on the surface, so
 * that the sum over a zone is exact for its mass and its mean loading, and so are the shares,
 *   taken(t) = taken(0) e^(-rt) + room / (sum of rooms) (zone(t) - zone(0) e^(-rt)),
 * as long as the rate r, which depends on the temperature alone, stands still from one coming or going to the next.
 */
#include "sim/vat.h"

#include <gsl/gsl_math.h>
#include <math.h>
#include <string.h>

#define HALF_TIME_FABRIC 0.150 /* kg/m2 at which a fibre's half-time is given */

bool cloth_is_folded(const struct vat *vat, int kind)
{
    return vat->scenario->cloth[kind].folded;
}

static int zone_count(const struct vat *vat, int kind)
{
    return cloth_is_folded(vat, kind) ? ZONES : 1;
}

static double zone_share(const struct vat *vat, int kind, int zone)
{
    if (!cloth_is_folded(vat, kind)) {
        return zone == 0 ? 1.0 : 0.0;
    }
    double outer = vat->constants[K_FOLDED_OUTER_SHARE];
    return zone == 0 ? outer : 1.0 - outer;
}

/* A zone for cloth of this kind, still empty. */
static struct soaking_cloth zone_of(const struct vat *vat, int kind, int zone, bool dry)
{
    static const char *const responses[] = {"cellulose", "silk", "wool"};
    const struct fibre *fibre = cloth_fibre(vat, kind);
    double half_time = fibre->half_time.nominal * pow(vat->scenario->cloth[kind].fabric / HALF_TIME_FABRIC,
                                                      vat->constants[K_UPTAKE_HALF_TIME_WEIGHT_POWER]);
    half_time *= zone == 1 ? vat->constants[K_UPTAKE_FOLDED_FACTOR] : 1.0;
    half_time *= dry ? vat->constants[K_UPTAKE_DRY_FACTOR] : 1.0;
    struct soaking_cloth cloth = {
        .in = true,
        .freundlich = fibre->freundlich.nominal,
        .exponent = fibre->exponent.nominal,
        .cap = fibre->cap.nominal,
        .rate_30C = M_LN2 / half_time,
    };
    for (int r = 0; r < 3; r++) {
        if (strcmp(fibre->ph_response, responses[r]) == 0) {
            cloth.ph_response = r;
        }
    }
    return cloth;
}

static bool takes_up_alike(const struct soaking_cloth *a, const struct soaking_cloth *b)
{
    const double of_a[] = {a->freundlich, a->exponent, a->cap, a->rate_30C};
    const double of_b[] = {b->freundlich, b->exponent, b->cap, b->rate_30C};
    return memcmp(of_a, of_b, sizeof of_a) == 0 && a->ph_response == b->ph_response;
}

static int groups_in(const struct vat *vat)
{
    int count = 0;
    for (size_t i = 0; i < vat->dipping_count; i++) {
        count += vat->dippings[i].used && vat->dippings[i].slots[0] >= 0;
    }
    return count;
}

static int free_slot(const struct vat *vat)
{
    for (int i = 0; i < MAX_SOAKING_ZONES; i++) {
        if (!vat->settings.cloth[i].in) {
            return i;
        }
    }
    return -1;
}

/* The zone with least cloth in it that takes up like this; -1: none. */
static int like_slot(const struct vat *vat, const struct soaking_cloth *cloth)
{
    int best = -1;
    for (int i = 0; i < MAX_SOAKING_ZONES; i++) {
        const struct soaking_cloth *there = &vat->settings.cloth[i];
        if (there->in && takes_up_alike(there, cloth) && (best < 0 || there->mass < vat->settings.cloth[best].mass)) {
            best = i;
        }
    }
    return best;
}

bool soaking_has_room(const struct vat *vat, const struct dipping *d, bool dry)
{
    for (int zone = 0; groups_in(vat) >= MAX_SOAKING_GROUPS && zone < zone_count(vat, d->kind); zone++) {
        struct soaking_cloth cloth = zone_of(vat, d->kind, zone, dry);
        if (like_slot(vat, &cloth) < 0) {
            return false;
        }
    }
    return true;
}

/* The zone of a group that lies in this slot; -1: none. */
static int zone_in(const struct dipping *d, int slot)
{
    for (int zone = 0; zone < ZONES; zone++) {
        if (d->used && d->slots[zone] == slot) {
            return zone;
        }
    }
    return -1;
}

/* Shares what a slot's zone holds now among its groups. */
static void share_out(struct vat *vat, int slot)
{
    double amount = vat->amount[S_CLOTH_0 + slot];
    double rate = vat->settings.cloth[slot].rate_30C * vat->liquor.at.uptake_rate;
    double decay = exp(-rate * (vat->time - vat->shared[slot].time));
    double room = 0.0;
    double mass = 0.0;
    int groups = 0;
    for (size_t i = 0; i < vat->dipping_count; i++) {
        int zone = zone_in(&vat->dippings[i], slot);
        room += zone >= 0 ? vat->dippings[i].room[zone] : 0.0;
        mass += zone >= 0 ? vat->dippings[i].zone_mass[zone] : 0.0;
        groups += zone >= 0;
    }
    for (size_t i = 0; i < vat->dipping_count; i++) {
        struct dipping *d = &vat->dippings[i];
        int zone = zone_in(d, slot);
        if (zone >= 0) {
            double share = room > 0.0 ? d->room[zone] / room : d->zone_mass[zone] / mass;
            d->taken[zone] =
                groups == 1 ? amount : d->taken[zone] * decay + share * (amount - vat->shared[slot].amount * decay);
        }
    }
    vat->shared[slot].time = vat->time;
    vat->shared[slot].amount = amount;
}

/* Puts a group's share of its cloth into a slot, empty or with its like. */
static void open_zone(struct vat *vat, struct dipping *d, int zone, int slot, const struct soaking_cloth *like)
{
    struct soaking_cloth *cloth = &vat->settings.cloth[slot];
    if (!cloth->in) {
        *cloth = *like;
    } else {
        share_out(vat, slot);
    }
    double mass = 0.0;
    double loaded = 0.0;
    double leuco = 0.0; /* has not turned blue: counts against the equilibrium and may go back */
    for (int i = 0; i < d->count; i++) {
        struct piece *piece = &vat->pieces[vat->group_pieces[d->first + i]];
        mass += piece->mass;
        loaded += piece->sorbed[zone] + piece->carried * zone_share(vat, d->kind, zone);
        leuco += piece->leuco[zone];
        piece->leuco[zone] = 0.0;
    }
    d->zone_mass[zone] = mass * zone_share(vat, d->kind, zone);
    loaded = loaded * MOLAR_INDIGOTIN / d->zone_mass[zone];
    d->room[zone] = d->zone_mass[zone] * fmax(0.0, 1.0 - loaded / cloth->cap);
    d->brought[zone] = d->taken[zone] = leuco;
    d->slots[zone] = slot;
    double room = cloth->mass * (1.0 - cloth->loaded / cloth->cap) + d->room[zone];
    bool alone = !(cloth->mass > 0.0);
    cloth->mass += d->zone_mass[zone];
    cloth->loaded = alone ? loaded : cloth->cap * (1.0 - room / cloth->mass);
    cloth->displaced += d->zone_mass[zone] * vat->constants[K_CLOTH_DISPLACEMENT];
    vat_flow(vat, FLOW_CLOTH_BACK, (enum species)(S_CLOTH_0 + slot), leuco);
    vat->shared[slot].time = vat->time;
    vat->shared[slot].amount = vat->amount[S_CLOTH_0 + slot];
}

void soaking_begin(struct vat *vat, struct dipping *d, bool dry)
{
    bool joins = groups_in(vat) >= MAX_SOAKING_GROUPS;
    for (int zone = 0; zone < zone_count(vat, d->kind); zone++) {
        struct soaking_cloth like = zone_of(vat, d->kind, zone, dry);
        open_zone(vat, d, zone, joins ? like_slot(vat, &like) : free_slot(vat), &like);
    }
}

/* Takes a group's cloth out of its slot, which is free again when nobody else is in it. Returns what the group has taken
 * up there, mol. */
static double close_zone(struct vat *vat, struct dipping *d, int zone)
{
    int slot = d->slots[zone];
    enum species on_cloth = (enum species)(S_CLOTH_0 + slot);
    struct soaking_cloth *cloth = &vat->settings.cloth[slot];
    share_out(vat, slot);
    double amount = d->taken[zone];
    d->slots[zone] = -1;
    bool shared = false;
    double mass = 0.0;
    double room = 0.0;
    for (size_t i = 0; i < vat->dipping_count; i++) {
        int other = zone_in(&vat->dippings[i], slot);
        shared = shared || other >= 0;
        mass += other >= 0 ? vat->dippings[i].zone_mass[other] : 0.0;
        room += other >= 0 ? vat->dippings[i].room[other] : 0.0;
    }
    vat_flow(vat, FLOW_ON_CLOTH, on_cloth, -amount);
    vat->shared[slot].amount = vat->amount[on_cloth];
    if (shared) {
        cloth->mass = mass;
        cloth->loaded = cloth->cap * (1.0 - room / mass);
        cloth->displaced = mass * vat->constants[K_CLOTH_DISPLACEMENT];
    } else {
        vat->amount[on_cloth] = 0.0;
        *cloth = (struct soaking_cloth){.in = false};
    }
    return amount;
}

double soaking_end(struct vat *vat, struct dipping *d, double mass, bool touched)
{
    double loose = touched ? vat->constants[K_BED_TOUCH_LOOSE_SHARE] : 0.0;
    double added = 0.0;
    for (int zone = 0; zone < zone_count(vat, d->kind); zone++) {
        double amount = close_zone(vat, d, zone);
        for (int i = 0; i < d->count; i++) {
            struct piece *piece = &vat->pieces[vat->group_pieces[d->first + i]];
            piece->leuco[zone] += (1.0 - loose) * amount * piece->mass / mass;
            piece->carried += loose * amount * piece->mass / mass;
        }
        added += amount - d->brought[zone];
    }
    return added;
}
