/* day.c: see day.h. What happens to people and pieces; the vats are in day_vats.c. */
#include "study/day.h"

#include "sim/series.h"
#include "study/day_vats.h"
#include "study/queue.h"

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdlib.h>

enum what {
    WHAT_ARRIVE, /* customer: the first piece of a person */
    WHAT_PLACE,  /* granted: a place, and a helper */
    WHAT_HELPED, /* the helper has time again */
    WHAT_LEAVE,  /* the place is free again */
    WHAT_LINE,   /* granted: room on a line */
    WHAT_AIRED,
    WHAT_TUB, /* granted */
    WHAT_RINSED,
    WHAT_OPEN,
    WHAT_PAUSE,
    WHAT_RESUME,
    WHAT_CLOSE,
    WHAT_LOOK,
    WHAT_SAMPLE
};

#define NOBODY (-1)
#define SAMPLED_AFTER 86400.0 /* s after closing */

struct hands {
    double arrives;
    bool here;
    int piece; /* in hand; -1: none */
};

struct cloth {
    bool ready;    /* waits for its person's hands */
    bool settled;  /* nothing more will happen to it */
    bool queued;   /* for a place */
    bool hangs;
    double ready_at;
};

struct shop {
    const struct workshop *plan;
    const struct day_how *how;
    struct day *day;
    struct queue *queue;
    struct vats vats;
    struct hands *hands; /* owned */
    struct cloth *cloth; /* owned */
    double *factors;     /* owned: of soak and handling, for each dip of each piece */
    int vat_pool, helper_pool, line_pool, tub_pool; /* -1: no want of them */
    bool is_open, is_over;
    int pauses; /* under way */
    bool usable[VATS_MOST];
    double shut_since[VATS_MOST];
    int active, people, waiting, soaking, hanging, helping, rinsing;
    double last_out;
};

bool day_is_workable(int state)
{
    return state == VAT_READY || state == VAT_STIRRED_UP || state == VAT_LIME_HEAVY || state == VAT_OVER_REDUCED;
}

static unsigned bit(int pool)
{
    return pool < 0 ? 0U : 1U << pool;
}

/* ---- vats --------------------------------------------------------------------------------------------------------- */

static void set_doors(struct shop *shop)
{
    for (int vat = 0; vat < shop->plan->vats; vat++) {
        bool open = shop->is_open && !shop->is_over && shop->pauses == 0 && shop->usable[vat];
        queue_set_open(shop->queue, shop->vat_pool, vat, open);
    }
}

static struct status look_at(struct shop *shop, int vat, double now)
{
    if (!shop->vats.there) {
        return status_ok();
    }
    struct day_vat *told = &shop->day->vats[vat];
    RETURN_IF_FAILED(vats_go(&shop->vats, vat, now));
    struct run_look look = run_look(shop->vats.runs[vat]);
    bool usable = day_is_workable(look.state);
    if (usable != shop->usable[vat]) {
        if (!usable) {
            shop->shut_since[vat] = now;
            if (isnan(told->shut_at)) {
                told->shut_at = now;
                told->shut_state = look.state;
            }
        } else {
            told->shut_for += now - shop->shut_since[vat];
            told->back = true;
        }
        shop->usable[vat] = usable;
        set_doors(shop);
    }
    if (isnan(told->strip_first)) {
        told->strip_first = look.test_strip;
        told->leuco_first = look.leuco;
        told->temperature_first = look.temperature_K;
    }
    told->strip_last = look.test_strip;
    told->leuco_last = look.leuco;
    told->ph_last = look.ph;
    told->temperature_last = look.temperature_K;
    return status_ok();
}

static struct status look_at_all(struct shop *shop, double now)
{
    for (int vat = 0; vat < shop->plan->vats; vat++) {
        RETURN_IF_FAILED(look_at(shop, vat, now));
    }
    return now + DAY_LOOK <= shop->plan->closes
               ? queue_set_timer(shop->queue, now + DAY_LOOK, NOBODY, WHAT_LOOK)
               : status_ok();
}

/* ---- people and pieces -------------------------------------------------------------------------------------------- */

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
    queue_release(shop->queue, piece, bit(shop->line_pool));
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
            return queue_ask(shop->queue, best, bit(shop->vat_pool) | bit(shop->helper_pool), told_of(shop, best)->vat,
                             WHAT_PLACE);
        }
        if (wants_rinse(shop, best)) {
            hands->piece = best;
            shop->cloth[best].ready = false;
            return queue_ask(shop->queue, best, bit(shop->tub_pool), -1, WHAT_TUB);
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

static struct status arrive(struct shop *shop, int first, double now)
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
        queued -= overlap(fmax(asked, plan->opens), now, plan->breaks[i].at, plan->breaks[i].at + plan->breaks[i].lasts);
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

static struct status enter(struct shop *shop, const struct happening *now)
{
    const struct workshop *plan = shop->plan;
    int piece = now->customer;
    struct day_piece *told = told_of(shop, piece);
    int vat = queue_lot(shop->queue, piece, shop->vat_pool);
    double factor = shop->factors[piece * plan->dips + told->dips];
    double in = now->time + 0.5 * factor * plan->handling;
    double leaves = now->time + factor * (plan->handling + plan->soak);
    struct visit visit = {piece, told->dips + 1, vat, now->time - now->waited, now->time, in,
                          in + factor * plan->soak};
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

static struct status hang(struct shop *shop, int piece)
{
    shop->cloth[piece].hangs = true;
    shop->hanging++;
    return free_hands(shop, piece);
}

static struct status leave(struct shop *shop, int piece, double now)
{
    struct day_piece *told = told_of(shop, piece);
    struct day_vat *vat = &shop->day->vats[told->vat];
    queue_release(shop->queue, piece, bit(shop->vat_pool));
    shop->soaking--;
    told->dips++;
    vat->dips++;
    RETURN_IF_FAILED(look_at(shop, told->vat, now));
    RETURN_IF_FAILED(queue_set_timer(shop->queue, now + shop->plan->air, piece, WHAT_AIRED));
    return shop->line_pool >= 0 ? queue_ask(shop->queue, piece, bit(shop->line_pool), -1, WHAT_LINE)
                                : hang(shop, piece);
}

/* Where no line has come free in time, the piece has aired in the hands. */
static struct status air(struct shop *shop, int piece, double now)
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

/* Closing: those in line go home with what they have. */
static struct status close_shop(struct shop *shop, double now)
{
    struct day *day = shop->day;
    shop->is_over = true;
    set_doors(shop);
    for (int vat = 0; vat < shop->plan->vats; vat++) {
        RETURN_IF_FAILED(look_at(shop, vat, now));
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

/* ---- the clock ---------------------------------------------------------------------------------------------------- */

static struct status sample(struct shop *shop, double now)
{
    struct day *day = shop->day;
    if (day->row_count == day->row_capacity) {
        size_t capacity = day->row_capacity == 0 ? 512 : 2 * day->row_capacity;
        struct day_row *grown = realloc(day->rows, capacity * sizeof *grown);
        if (grown == NULL) {
            return status_fail(STATUS_MEMORY, "no memory left for a day of a workshop");
        }
        day->rows = grown;
        day->row_capacity = capacity;
    }
    struct day_row *row = &day->rows[day->row_count++];
    *row = (struct day_row){.time = now, .people = shop->people, .waiting = shop->waiting, .soaking = shop->soaking,
                            .hanging = shop->hanging, .helping = shop->helping, .rinsing = shop->rinsing};
    for (int vat = 0; vat < shop->plan->vats; vat++) {
        row->vats_open += shop->usable[vat];
    }
    return now < shop->plan->closes || (shop->active > 0 && now < shop->plan->closes + SAMPLED_AFTER)
               ? queue_set_timer(shop->queue, now + DAY_STEP, NOBODY, WHAT_SAMPLE)
               : status_ok();
}

static struct status granted(struct shop *shop, const struct happening *now)
{
    if (now->what == WHAT_PLACE) {
        return enter(shop, now);
    }
    if (now->what == WHAT_LINE) {
        return hang(shop, now->customer);
    }
    shop->rinsing++;
    return queue_set_timer(shop->queue, now->time + shop->plan->rinse, now->customer, WHAT_RINSED);
}

static struct status happen(struct shop *shop, const struct happening *now)
{
    switch (now->what) {
    case WHAT_ARRIVE:
        return arrive(shop, now->customer, now->time);
    case WHAT_HELPED:
        shop->helping--;
        queue_release(shop->queue, now->customer, bit(shop->helper_pool));
        return status_ok();
    case WHAT_LEAVE:
        return leave(shop, now->customer, now->time);
    case WHAT_AIRED:
        return air(shop, now->customer, now->time);
    case WHAT_RINSED:
        shop->rinsing--;
        queue_release(shop->queue, now->customer, bit(shop->tub_pool));
        settle(shop, now->customer, now->time);
        return free_hands(shop, now->customer);
    case WHAT_OPEN:
        shop->is_open = true;
        set_doors(shop);
        return look_at_all(shop, now->time);
    case WHAT_PAUSE:
    case WHAT_RESUME:
        shop->pauses += now->what == WHAT_PAUSE ? 1 : -1;
        set_doors(shop);
        return status_ok();
    case WHAT_CLOSE:
        return close_shop(shop, now->time);
    case WHAT_LOOK:
        return look_at_all(shop, now->time);
    case WHAT_SAMPLE:
        return sample(shop, now->time);
    default:
        return status_fail(STATUS_BUG, "something happened in a workshop that has no name");
    }
}

static struct status run_clock(struct shop *shop)
{
    for (;;) {
        struct happening now = queue_next(shop->queue);
        if (now.kind == HAPPENING_NONE) {
            return status_ok();
        }
        RETURN_IF_FAILED(now.kind == HAPPENING_GRANTED ? granted(shop, &now) : happen(shop, &now));
    }
}

/* ---- before and after --------------------------------------------------------------------------------------------- */

/* Everything random is drawn here, in an order that depends on people and pieces only. */
static struct status draw(struct shop *shop)
{
    const struct workshop *plan = shop->plan;
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    if (rng == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left for a day of a workshop");
    }
    gsl_rng_set(rng, shop->how->seed);
    int person = 0;
    for (int group = 0; group < plan->arrival_count; group++) {
        const struct arrival *arrival = &plan->arrivals[group];
        for (int i = 0; i < arrival->people; i++) {
            shop->hands[person] = (struct hands){.arrives = arrival->at + arrival->over * gsl_rng_uniform(rng), .piece = -1};
            person++;
        }
    }
    double shape = plan->vary > 0.0 ? 1.0 / (plan->vary * plan->vary) : 0.0;
    size_t count = shop->day->piece_count * (size_t)plan->dips;
    for (size_t i = 0; i < count; i++) {
        shop->factors[i] = plan->vary > 0.0 ? gsl_ran_gamma(rng, shape, 1.0 / shape) : 1.0;
    }
    gsl_rng_free(rng);
    return status_ok();
}

static struct status set_clock(struct shop *shop)
{
    const struct workshop *plan = shop->plan;
    double first = plan->opens;
    RETURN_IF_FAILED(queue_set_timer(shop->queue, plan->opens, NOBODY, WHAT_OPEN));
    for (int person = 0; person < plan->people; person++) {
        first = fmin(first, shop->hands[person].arrives);
        RETURN_IF_FAILED(
            queue_set_timer(shop->queue, shop->hands[person].arrives, person * plan->pieces, WHAT_ARRIVE));
    }
    for (int i = 0; i < plan->break_count; i++) {
        RETURN_IF_FAILED(queue_set_timer(shop->queue, plan->breaks[i].at, NOBODY, WHAT_PAUSE));
        RETURN_IF_FAILED(
            queue_set_timer(shop->queue, plan->breaks[i].at + plan->breaks[i].lasts, NOBODY, WHAT_RESUME));
    }
    RETURN_IF_FAILED(queue_set_timer(shop->queue, plan->closes, NOBODY, WHAT_CLOSE));
    return queue_set_timer(shop->queue, fmax(0.0, DAY_STEP * floor(first / DAY_STEP)), NOBODY, WHAT_SAMPLE);
}

static int add_pool(struct queue *queue, int lots, int units)
{
    return lots > 0 && units > 0 ? queue_add_pool(queue, lots, units) : -1;
}

static struct status open_shop(struct shop *shop)
{
    const struct workshop *plan = shop->plan;
    struct day *day = shop->day;
    size_t count = (size_t)plan->people * (size_t)plan->pieces;
    day->piece_count = count;
    day->vat_count = plan->vats;
    day->pieces = calloc(count + 1, sizeof *day->pieces);
    day->unserved = calloc((size_t)plan->people + 1, sizeof *day->unserved);
    shop->hands = calloc((size_t)plan->people + 1, sizeof *shop->hands);
    shop->cloth = calloc(count + 1, sizeof *shop->cloth);
    shop->factors = calloc(count * (size_t)plan->dips + 1, sizeof *shop->factors);
    if (day->pieces == NULL || day->unserved == NULL || shop->hands == NULL || shop->cloth == NULL ||
        shop->factors == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left for a workshop of %d people", plan->people);
    }
    shop->active = (int)count;
    for (size_t i = 0; i < count; i++) {
        day->pieces[i] = (struct day_piece){.person = (int)i / plan->pieces, .vat = -1, .done = NAN, .owf = NAN};
    }
    for (int vat = 0; vat < plan->vats; vat++) {
        day->vats[vat] = (struct day_vat){.shut_at = NAN, .strip_first = NAN, .strip_last = NAN, .leuco_first = NAN,
                                          .leuco_last = NAN, .ph_last = NAN, .temperature_first = NAN,
                                          .temperature_last = NAN};
        result_init(&day->vats[vat].result);
        shop->usable[vat] = true;
    }
    RETURN_IF_FAILED(draw(shop));
    RETURN_IF_FAILED(queue_new(count, &shop->queue));
    shop->vat_pool = add_pool(shop->queue, plan->vats, plan->at_once);
    shop->helper_pool = add_pool(shop->queue, 1, plan->helpers);
    shop->line_pool = add_pool(shop->queue, 1, plan->lines);
    shop->tub_pool = add_pool(shop->queue, 1, plan->tubs);
    set_doors(shop);
    return set_clock(shop);
}

/* How much of what there is was in use from opening to closing, on average over the rows of the day. */
static void measure_use(const struct workshop *plan, struct day *day)
{
    double sums[4] = {0.0};
    double rows = 0.0;
    for (size_t i = 0; i < day->row_count; i++) {
        const struct day_row *row = &day->rows[i];
        if (row->time >= plan->opens && row->time < plan->closes) {
            const int used[4] = {row->soaking, row->helping, row->hanging, row->rinsing};
            for (int k = 0; k < 4; k++) {
                sums[k] += used[k];
            }
            rows += 1.0;
        }
    }
    double *const shares[4] = {&day->places_used, &day->helpers_used, &day->lines_used, &day->tubs_used};
    const int there[4] = {plan->vats * plan->at_once, plan->helpers, plan->lines, plan->tubs};
    for (int k = 0; k < 4; k++) {
        *shares[k] = there[k] > 0 && rows > 0.0 ? sums[k] / rows / there[k] : (double)NAN;
    }
}

static void weigh_dips(const struct scenario *scenario, struct day *day)
{
    for (int vat = 0; vat < day->vat_count; vat++) {
        day->vats[vat].cloth_dips = day->vats[vat].dips * scenario->cloth[scenario->workshop.cloth].each;
    }
}

struct status day_run(const struct scenario *scenario, const struct day_how *how, struct day *day)
{
    struct shop shop = {.plan = &scenario->workshop, .how = how, .day = day};
    *day = (struct day){0};
    result_init(&day->pieces_result);
    struct status status = vats_open(scenario, how, &shop.vats);
    if (status_is_ok(&status)) {
        status = open_shop(&shop);
    }
    if (status_is_ok(&status)) {
        status = run_clock(&shop);
    }
    if (status_is_ok(&status)) {
        measure_use(shop.plan, day);
        weigh_dips(scenario, day);
        status = vats_close(&shop.vats, how, fmax(shop.last_out, shop.plan->closes), day);
    }
    vats_free(&shop.vats);
    queue_free(shop.queue);
    free(shop.hands);
    free(shop.cloth);
    free(shop.factors);
    if (!status_is_ok(&status)) {
        day_free(day);
    }
    return status;
}

void day_free(struct day *day)
{
    free(day->visits);
    free(day->pieces);
    free(day->rows);
    free(day->unserved);
    for (int vat = 0; vat < day->vat_count; vat++) {
        result_free(&day->vats[vat].result);
    }
    result_free(&day->pieces_result);
    *day = (struct day){0};
}
