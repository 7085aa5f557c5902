/* day_people.c: what people do in a workshop, and what becomes of their cloth; see day.h. */
#include "study/day_shop.h"

#include <math.h>
#include <stdlib.h>

unsigned shop_pool(int pool)
{
    return pool < 0 ? 0U : 1U << pool;
}

static struct day_piece *told_of(const struct shop *shop, int piece)
{
    return &shop->day->pieces[piece];
}

static bool wants_dip(const struct shop *shop, int piece)
{
    return told_of(shop, piece)->dips < shop->plan->dips && !shop->is_over;
}

static bool wants_rinse(const struct shop *shop, int piece)
{
    return told_of(shop, piece)->dips > 0 && shop->tub_pool >= 0;
}

static void settle(struct shop *shop, int piece, double now)
{
    struct day_piece *told = told_of(shop, piece);
    struct cloth *cloth = &shop->cloth[piece];
    cloth->settled = true;
    cloth->ready = false;
    if (told->dips == shop->plan->dips) {
        told->done = now;
    }
    shop->active--;
    for (int i = told->person * shop->plan->pieces; i < (told->person + 1) * shop->plan->pieces; i++) {
        if (!shop->cloth[i].settled) {
            return;
        }
    }
    shop->people -= shop->hands[told->person].here;
}

static void take_down(struct shop *shop, int piece)
{
    struct cloth *cloth = &shop->cloth[piece];
    shop->hanging -= cloth->hangs;
    cloth->hangs = false;
    queue_release(shop->queue, piece, shop_pool(shop->line_pool));
}

/* A person with free hands takes the piece that has been ready longest. */
static struct status take_next(struct shop *shop, int person)
{
    struct hands *hands = &shop->hands[person];
    double now = queue_now(shop->queue);
    if (!hands->here || hands->piece >= 0) {
        return status_ok();
    }
    for (;;) {
        int best = -1;
        for (int i = person * shop->plan->pieces; i < (person + 1) * shop->plan->pieces; i++) {
            if (shop->cloth[i].ready && (best < 0 || shop->cloth[i].ready_at < shop->cloth[best].ready_at)) {
                best = i;
            }
        }
        if (best < 0) {
            return status_ok();
        }
        take_down(shop, best);
        if (wants_dip(shop, best)) {
            hands->piece = best;
            shop->cloth[best].ready = false;
            shop->cloth[best].queued = true;
            shop->waiting++;
            return queue_ask(shop->queue, best, shop_pool(shop->vat_pool) | shop_pool(shop->helper_pool),
                             told_of(shop, best)->vat, WHAT_PLACE);
        }
        if (wants_rinse(shop, best)) {
            hands->piece = best;
            shop->cloth[best].ready = false;
            return queue_ask(shop->queue, best, shop_pool(shop->tub_pool), -1, WHAT_TUB);
        }
        settle(shop, best, now);
    }
}

static struct status free_hands(struct shop *shop, int piece)
{
    int person = told_of(shop, piece)->person;
    shop->hands[person].piece = -1;
    return take_next(shop, person);
}

struct status shop_arrive(struct shop *shop, int first, double now)
{
    int person = told_of(shop, first)->person;
    shop->hands[person].here = true;
    shop->people++;
    for (int i = first; i < first + shop->plan->pieces; i++) {
        shop->cloth[i].ready = true;
        shop->cloth[i].ready_at = now;
        told_of(shop, i)->arrived = now;
    }
    return take_next(shop, person);
}

static double overlap(double a0, double a1, double b0, double b1)
{
    return fmax(0.0, fmin(a1, b1) - fmax(a0, b0));
}

/* Time queued from `asked` to `now` while cloth went in: not before opening, not in breaks. */
static double time_queued(const struct workshop *plan, double asked, double now)
{
    double queued = overlap(asked, now, plan->opens, plan->closes);
    for (int i = 0; i < plan->break_count; i++) {
        queued -=
            overlap(fmax(asked, plan->opens), now, plan->breaks[i].at, plan->breaks[i].at + plan->breaks[i].lasts);
    }
    return fmax(0.0, queued);
}

double day_time_queued(const struct workshop *plan, const struct visit *visit)
{
    return time_queued(plan, visit->asked, visit->granted);
}

static struct status note_visit(struct day *day, const struct visit *visit)
{
    if (day->visit_count == day->visit_capacity) {
        size_t capacity = day->visit_capacity == 0 ? 256 : 2 * day->visit_capacity;
        struct visit *grown = realloc(day->visits, capacity * sizeof *grown);
        if (grown == NULL) {
            return status_fail(STATUS_MEMORY, "no memory left for a day of a workshop");
        }
        day->visits = grown;
        day->visit_capacity = capacity;
    }
    day->visits[day->visit_count++] = *visit;
    return status_ok();
}

struct status shop_enter(struct shop *shop, const struct happening *now)
{
    const struct workshop *plan = shop->plan;
    int piece = now->customer;
    struct day_piece *told = told_of(shop, piece);
    int vat = queue_lot(shop->queue, piece, shop->vat_pool);
    double factor = shop->factors[piece * plan->dips + told->dips];
    double in = now->time + 0.5 * factor * plan->handling;
    double leaves = now->time + factor * (plan->handling + plan->soak);
    struct visit visit = {piece, told->dips + 1, vat, now->time - now->waited, now->time, in, in + factor * plan->soak};
    RETURN_IF_FAILED(note_visit(shop->day, &visit));
    RETURN_IF_FAILED(vats_dip(&shop->vats, vat, told->vat, piece, in, factor * plan->soak));
    told->waited += day_time_queued(plan, &visit);
    told->vat = vat;
    shop->cloth[piece].queued = false;
    shop->waiting--;
    shop->soaking++;
    shop->last_out = fmax(shop->last_out, visit.out);
    if (shop->helper_pool >= 0) {
        shop->helping++;
        RETURN_IF_FAILED(queue_set_timer(shop->queue, fmin(leaves, now->time + plan->help), piece, WHAT_HELPED));
    }
    return queue_set_timer(shop->queue, leaves, piece, WHAT_LEAVE);
}

struct status shop_hang(struct shop *shop, int piece)
{
    shop->cloth[piece].hangs = true;
    shop->hanging++;
    return free_hands(shop, piece);
}

struct status shop_leave(struct shop *shop, int piece, double now)
{
    struct day_piece *told = told_of(shop, piece);
    struct day_vat *vat = &shop->day->vats[told->vat];
    queue_release(shop->queue, piece, shop_pool(shop->vat_pool));
    shop->soaking--;
    told->dips++;
    vat->dips++;
    RETURN_IF_FAILED(shop_look_at(shop, told->vat, now));
    RETURN_IF_FAILED(queue_set_timer(shop->queue, now + shop->plan->air, piece, WHAT_AIRED));
    return shop->line_pool >= 0 ? queue_ask(shop->queue, piece, shop_pool(shop->line_pool), -1, WHAT_LINE)
                                : shop_hang(shop, piece);
}

/* Where no line has come free in time, the piece has aired in the hands. */
struct status shop_air(struct shop *shop, int piece, double now)
{
    if (!shop->cloth[piece].hangs) {
        (void)queue_give_up(shop->queue, piece);
        shop->hands[told_of(shop, piece)->person].piece = -1;
    }
    shop->cloth[piece].ready = true;
    shop->cloth[piece].ready_at = now;
    if (!wants_dip(shop, piece) && !wants_rinse(shop, piece)) {
        take_down(shop, piece);
        settle(shop, piece, now);
    }
    return take_next(shop, told_of(shop, piece)->person);
}

struct status shop_close(struct shop *shop, double now)
{
    struct day *day = shop->day;
    shop->is_over = true;
    shop_set_doors(shop);
    for (int vat = 0; vat < shop->plan->vats; vat++) {
        RETURN_IF_FAILED(shop_look_at(shop, vat, now));
        if (!shop->usable[vat]) {
            day->vats[vat].shut_for += now - shop->shut_since[vat];
        }
    }
    for (int person = 0; person < shop->plan->people; person++) {
        int piece = shop->hands[person].piece;
        if (piece >= 0 && shop->cloth[piece].queued) {
            double asked = now - queue_give_up(shop->queue, piece);
            shop->waiting--;
            day->unserved[day->unserved_count++] = time_queued(shop->plan, asked, now);
            told_of(shop, piece)->waited += time_queued(shop->plan, asked, now);
            shop->hands[person].piece = -1;
            shop->cloth[piece].queued = false;
            shop->cloth[piece].ready = true;
            shop->cloth[piece].ready_at = now;
        }
        RETURN_IF_FAILED(take_next(shop, person));
    }
    return status_ok();
}

struct status shop_rinsed(struct shop *shop, int piece, double now)
{
    shop->rinsing--;
    queue_release(shop->queue, piece, shop_pool(shop->tub_pool));
    settle(shop, piece, now);
    return free_hands(shop, piece);
}
