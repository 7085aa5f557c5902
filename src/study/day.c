/* day.c: see day.h. Opening and shutting vats, the clock, and what stands before and after the day. */
#include "study/day.h"

#include "sim/series.h"
#include "study/day_shop.h"
#include "study/outcome.h"

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdlib.h>

#define SAMPLED_AFTER 86400.0 /* s after closing */

/* ---- vats --------------------------------------------------------------------------------------------------------- */

void shop_set_doors(struct shop *shop)
{
    for (int vat = 0; vat < shop->plan->vats; vat++) {
        bool open = shop->is_open && !shop->is_over && shop->pauses == 0 && shop->usable[vat];
        queue_set_open(shop->queue, shop->vat_pool, vat, open);
    }
}

struct status shop_look_at(struct shop *shop, int vat, double now)
{
    if (!shop->vats.there) {
        return status_ok();
    }
    struct day_vat *told = &shop->day->vats[vat];
    RETURN_IF_FAILED(vats_go(&shop->vats, vat, now));
    struct run_look look = run_look(shop->vats.runs[vat]);
    bool usable = outcome_is_fit(look.state);
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
        shop_set_doors(shop);
    }
    if (isnan(told->strip_first)) {
        told->strip_first = look.test_strip;
        told->temperature_first = look.temperature_K;
    }
    told->strip_last = look.test_strip;
    told->ph_last = look.ph;
    told->temperature_last = look.temperature_K;
    return status_ok();
}

static struct status look_at_all(struct shop *shop, double now)
{
    for (int vat = 0; vat < shop->plan->vats; vat++) {
        RETURN_IF_FAILED(shop_look_at(shop, vat, now));
    }
    return now + DAY_LOOK <= shop->plan->closes ? queue_set_timer(shop->queue, now + DAY_LOOK, NOBODY, WHAT_LOOK)
                                                : status_ok();
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
    *row = (struct day_row){.time = now,
                            .people = shop->people,
                            .waiting = shop->waiting,
                            .soaking = shop->soaking,
                            .hanging = shop->hanging,
                            .helping = shop->helping,
                            .rinsing = shop->rinsing};
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
        return shop_enter(shop, now);
    }
    if (now->what == WHAT_LINE) {
        return shop_hang(shop, now->customer);
    }
    shop->rinsing++;
    return queue_set_timer(shop->queue, now->time + shop->plan->rinse, now->customer, WHAT_RINSED);
}

static struct status happen(struct shop *shop, const struct happening *now)
{
    switch (now->what) {
    case WHAT_ARRIVE:
        return shop_arrive(shop, now->customer, now->time);
    case WHAT_HELPED:
        shop->helping--;
        queue_release(shop->queue, now->customer, shop_pool(shop->helper_pool));
        return status_ok();
    case WHAT_LEAVE:
        return shop_leave(shop, now->customer, now->time);
    case WHAT_AIRED:
        return shop_air(shop, now->customer, now->time);
    case WHAT_RINSED:
        return shop_rinsed(shop, now->customer, now->time);
    case WHAT_OPEN:
        shop->is_open = true;
        shop_set_doors(shop);
        return look_at_all(shop, now->time);
    case WHAT_PAUSE:
    case WHAT_RESUME:
        shop->pauses += now->what == WHAT_PAUSE ? 1 : -1;
        shop_set_doors(shop);
        return status_ok();
    case WHAT_CLOSE:
        return shop_close(shop, now->time);
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
            shop->hands[person] =
                (struct hands){.arrives = arrival->at + arrival->over * gsl_rng_uniform(rng), .piece = -1};
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
        RETURN_IF_FAILED(queue_set_timer(shop->queue, shop->hands[person].arrives, person * plan->pieces, WHAT_ARRIVE));
    }
    for (int i = 0; i < plan->break_count; i++) {
        RETURN_IF_FAILED(queue_set_timer(shop->queue, plan->breaks[i].at, NOBODY, WHAT_PAUSE));
        RETURN_IF_FAILED(queue_set_timer(shop->queue, plan->breaks[i].at + plan->breaks[i].lasts, NOBODY, WHAT_RESUME));
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
        day->vats[vat] = (struct day_vat){.shut_at = NAN,
                                          .strip_first = NAN,
                                          .strip_last = NAN,
                                          .ph_last = NAN,
                                          .temperature_first = NAN,
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
    shop_set_doors(shop);
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
