/* cloth_pick.c: which pieces of cloth a dip takes, and when they have come to their shade. */
#include "sim/vat.h"

#include "chem/shade.h"

#include <math.h>
#include <stdio.h>

bool cloth_is_done(const struct vat *vat, const struct piece *piece)
{
    enum shade target;
    return shade_for_word(vat->scenario->cloth[piece->kind].target, &target) &&
           cloth_owf_expected(vat, piece) >= shade_owf_from(target);
}

/* Whether `piece` comes before `best` among free pieces of one kind, of which `best` has the lower number. */
static bool comes_before(const struct vat *vat, enum pick_kind pick, const struct piece *piece,
                         const struct piece *best)
{
    switch (pick) {
    case PICK_FEWEST:
        return piece->dips < best->dips;
    case PICK_PALEST:
        return cloth_owf_expected(vat, piece) < cloth_owf_expected(vat, best);
    case PICK_UNFINISHED:
        break;
    }
    return false;
}

/* The next free piece for a group that has `taken` already; -1: none. */
static int next_piece(const struct vat *vat, const struct event_spec *spec, int taken)
{
    int best = -1;
    for (size_t p = 0; p < vat->piece_count; p++) {
        const struct piece *piece = &vat->pieces[p];
        if (piece->kind != spec->cloth || piece->busy) {
            continue;
        }
        if (spec->first_piece > 0) {
            if (piece->number == spec->first_piece + taken) {
                return (int)p;
            }
        } else if (spec->pick != PICK_FEWEST && cloth_is_done(vat, piece)) {
            continue;
        } else if (best < 0 || comes_before(vat, spec->pick, piece, &vat->pieces[best])) {
            best = (int)p;
        }
    }
    return best;
}

int cloth_pick(struct vat *vat, int event, char *why, size_t size)
{
    const struct event_spec *spec = &vat->scenario->events[event];
    int dipping = -1;
    for (size_t i = 0; i < vat->dipping_count && dipping < 0; i++) {
        dipping = vat->dippings[i].used ? -1 : (int)i;
    }
    if (dipping < 0) {
        (void)snprintf(why, size, "more than %zu groups of cloth are being worked at once", vat->dipping_count);
        return -1;
    }
    struct dipping *d = &vat->dippings[dipping];
    int base = dipping * (int)(vat->piece_count + 1);
    *d = (struct dipping){
        .event = event, .slots = {-1, -1}, .kind = spec->cloth, .first = base, .dips_left = spec->dips};
    while (d->count < spec->pieces) {
        int piece = next_piece(vat, spec, d->count);
        if (piece < 0) {
            break;
        }
        vat->pieces[piece].busy = true;
        vat->group_pieces[base + d->count++] = piece;
    }
    bool enough = d->count == spec->pieces || (spec->pick != PICK_FEWEST && d->count > 0);
    if (!enough) {
        if (spec->pick == PICK_FEWEST) {
            (void)snprintf(why, size, "no %d free pieces of '%s'", spec->pieces,
                           vat->scenario->cloth[spec->cloth].name);
        }
        for (int i = 0; i < d->count; i++) {
            vat->pieces[vat->group_pieces[base + i]].busy = false;
        }
        return -1;
    }
    d->used = true;
    return dipping;
}

bool cloth_group_is_done(const struct vat *vat, int dipping)
{
    const struct dipping *d = &vat->dippings[dipping];
    if (vat->scenario->events[d->event].pick == PICK_FEWEST) {
        return d->dips_left <= 0;
    }
    bool done = true;
    for (int i = 0; i < d->count && done; i++) {
        done = cloth_is_done(vat, &vat->pieces[vat->group_pieces[d->first + i]]);
    }
    return done || d->dips_left <= 0;
}

bool cloth_kind_is_done(const struct vat *vat, int kind)
{
    for (size_t p = 0; p < vat->piece_count; p++) {
        if (vat->pieces[p].kind == kind && !cloth_is_done(vat, &vat->pieces[p])) {
            return false;
        }
    }
    return true;
}

bool cloth_all_is_done(const struct vat *vat)
{
    for (size_t i = 0; i < vat->dipping_count; i++) {
        if (vat->dippings[i].used) {
            return false;
        }
    }
    for (size_t i = 0; i < vat->scenario->cloth_count; i++) {
        if (vat->scenario->cloth[i].target[0] != '\0' && !cloth_kind_is_done(vat, (int)i)) {
            return false;
        }
    }
    return true;
}
