/* queue.c: see queue.h. */
#include "study/queue.h"

#include <stdlib.h>

struct pool {
    int lots, units;
    int used[QUEUE_LOTS_MOST];
    bool shut[QUEUE_LOTS_MOST];
};

struct timer {
    double time;
    unsigned long order; /* of setting: ties go to the earlier */
    int customer, what;
};

struct customer {
    int held[QUEUE_POOLS_MOST]; /* lot + 1; 0: none */
    unsigned wanted;            /* pools; 0: not waiting */
    int favoured, what;
    double since;
    int next, previous; /* in the line; -1 at its ends */
};

struct queue {
    double now;
    unsigned long set;
    struct pool pools[QUEUE_POOLS_MOST];
    int pool_count;
    struct timer *timers; /* owned: a heap, earliest first */
    size_t timer_count, timer_capacity;
    struct customer *customers; /* owned */
    int first, last;            /* of the line */
    bool look;                  /* something was freed or asked since the line was last looked through */
};

struct status queue_new(size_t customers, struct queue **queue)
{
    *queue = calloc(1, sizeof **queue);
    if (*queue != NULL) {
        (*queue)->customers = calloc(customers + 1, sizeof *(*queue)->customers);
        (*queue)->first = (*queue)->last = -1;
    }
    if (*queue == NULL || (*queue)->customers == NULL) {
        queue_free(*queue);
        *queue = NULL;
        return status_fail(STATUS_MEMORY, "no memory left for a queue of %zu", customers);
    }
    return status_ok();
}

void queue_free(struct queue *queue)
{
    if (queue != NULL) {
        free(queue->timers);
        free(queue->customers);
        free(queue);
    }
}

int queue_add_pool(struct queue *queue, int lots, int units)
{
    queue->pools[queue->pool_count] = (struct pool){.lots = lots, .units = units};
    return queue->pool_count++;
}

void queue_set_open(struct queue *queue, int pool, int lot, bool open)
{
    queue->pools[pool].shut[lot] = !open;
    queue->look = true;
}

double queue_now(const struct queue *queue)
{
    return queue->now;
}

/* ---- timers ------------------------------------------------------------------------------------------------------ */

static bool is_earlier(const struct timer *a, const struct timer *b)
{
    return a->time < b->time || (a->time <= b->time && a->order < b->order);
}

struct status queue_set_timer(struct queue *queue, double time, int customer, int what)
{
    if (queue->timer_count == queue->timer_capacity) {
        size_t capacity = queue->timer_capacity == 0 ? 64 : 2 * queue->timer_capacity;
        struct timer *grown = realloc(queue->timers, capacity * sizeof *grown);
        if (grown == NULL) {
            return status_fail(STATUS_MEMORY, "no memory left for a queue");
        }
        queue->timers = grown;
        queue->timer_capacity = capacity;
    }
    struct timer timer = {time > queue->now ? time : queue->now, queue->set++, customer, what};
    size_t at = queue->timer_count++;
    while (at > 0 && is_earlier(&timer, &queue->timers[(at - 1) / 2])) {
        queue->timers[at] = queue->timers[(at - 1) / 2];
        at = (at - 1) / 2;
    }
    queue->timers[at] = timer;
    return status_ok();
}

static struct timer take_earliest(struct queue *queue)
{
    struct timer earliest = queue->timers[0];
    struct timer last = queue->timers[--queue->timer_count];
    size_t at = 0;
    for (;;) {
        size_t child = 2 * at + 1;
        if (child >= queue->timer_count) {
            break;
        }
        if (child + 1 < queue->timer_count && is_earlier(&queue->timers[child + 1], &queue->timers[child])) {
            child++;
        }
        if (!is_earlier(&queue->timers[child], &last)) {
            break;
        }
        queue->timers[at] = queue->timers[child];
        at = child;
    }
    queue->timers[at] = last;
    return earliest;
}

/* ---- the line ---------------------------------------------------------------------------------------------------- */

struct status queue_ask(struct queue *queue, int customer, unsigned pools, int favoured, int what)
{
    struct customer *who = &queue->customers[customer];
    if (who->wanted != 0 || pools == 0) {
        return status_fail(STATUS_BUG, "customer %d of a queue asks twice or for nothing", customer);
    }
    who->wanted = pools;
    who->favoured = favoured;
    who->what = what;
    who->since = queue->now;
    who->next = -1;
    who->previous = queue->last;
    if (queue->last >= 0) {
        queue->customers[queue->last].next = customer;
    } else {
        queue->first = customer;
    }
    queue->last = customer;
    queue->look = true;
    return status_ok();
}

static void leave_line(struct queue *queue, int customer)
{
    struct customer *who = &queue->customers[customer];
    if (who->previous >= 0) {
        queue->customers[who->previous].next = who->next;
    } else {
        queue->first = who->next;
    }
    if (who->next >= 0) {
        queue->customers[who->next].previous = who->previous;
    } else {
        queue->last = who->previous;
    }
    who->wanted = 0;
}

double queue_give_up(struct queue *queue, int customer)
{
    const struct customer *who = &queue->customers[customer];
    if (who->wanted == 0) {
        return 0.0;
    }
    leave_line(queue, customer);
    return queue->now - who->since;
}

/* The lot of a pool that a customer would get; -1 when all are full or shut. */
static int lot_for(const struct pool *pool, int favoured)
{
    int best = -1;
    for (int lot = 0; lot < pool->lots; lot++) {
        int room = pool->shut[lot] ? 0 : pool->units - pool->used[lot];
        if (room <= 0) {
            continue;
        }
        if (lot == favoured) {
            return lot;
        }
        if (best < 0 || room > pool->units - pool->used[best]) {
            best = lot;
        }
    }
    return best;
}

static bool grant(struct queue *queue, int customer)
{
    struct customer *who = &queue->customers[customer];
    int lots[QUEUE_POOLS_MOST] = {0};
    for (int pool = 0; pool < queue->pool_count; pool++) {
        if ((who->wanted >> pool & 1U) == 0) {
            continue;
        }
        lots[pool] = lot_for(&queue->pools[pool], queue->pools[pool].lots > 1 ? who->favoured : -1);
        if (lots[pool] < 0) {
            return false;
        }
    }
    for (int pool = 0; pool < queue->pool_count; pool++) {
        if ((who->wanted >> pool & 1U) != 0) {
            queue->pools[pool].used[lots[pool]]++;
            who->held[pool] = lots[pool] + 1;
        }
    }
    leave_line(queue, customer);
    return true;
}

int queue_lot(const struct queue *queue, int customer, int pool)
{
    return queue->customers[customer].held[pool] - 1;
}

void queue_release(struct queue *queue, int customer, unsigned pools)
{
    struct customer *who = &queue->customers[customer];
    for (int pool = 0; pool < queue->pool_count; pool++) {
        if ((pools >> pool & 1U) != 0 && who->held[pool] > 0) {
            queue->pools[pool].used[who->held[pool] - 1]--;
            who->held[pool] = 0;
            queue->look = true;
        }
    }
}

struct happening queue_next(struct queue *queue)
{
    /* Whoever can be served now is, one at a time, so that the caller may answer in between. */
    for (int customer = queue->look ? queue->first : -1; customer >= 0;) {
        const struct customer *who = &queue->customers[customer];
        int next = who->next;
        if (grant(queue, customer)) {
            return (struct happening){HAPPENING_GRANTED, queue->now, customer, who->what, queue->now - who->since};
        }
        customer = next;
    }
    queue->look = false;
    if (queue->timer_count == 0) {
        return (struct happening){.kind = HAPPENING_NONE, .time = queue->now, .customer = -1};
    }
    struct timer timer = take_earliest(queue);
    queue->now = timer.time;
    return (struct happening){HAPPENING_TIMER, timer.time, timer.customer, timer.what, 0.0};
}
