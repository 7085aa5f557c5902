/* queue.h: people and pieces waiting for places, helpers, lines and tubs: the core of a discrete-event simulation.
 *
 * A pool is a kind of place with one or more lots (vats), each with so many units. A customer asks for one unit of each of
 * several pools at once and waits until all are free; those who asked first are served first, and one who can be served may
 * overtake one who cannot. The caller gets one happening after another, in order of time, and says what follows from it.
 * Nothing here is random: times come from the caller.
 */
#ifndef VATCAST_STUDY_QUEUE_H
#define VATCAST_STUDY_QUEUE_H

#include "base/status.h"

#include <stdbool.h>
#include <stddef.h>

#define QUEUE_POOLS_MOST 8
#define QUEUE_LOTS_MOST 32

struct queue;

enum happening_kind {
    HAPPENING_TIMER,   /* a time set with queue_set_timer has come */
    HAPPENING_GRANTED, /* what a customer asked for is his */
    HAPPENING_NONE     /* nothing more will happen */
};

struct happening {
    enum happening_kind kind;
    double time; /* s */
    int customer;
    int what;      /* the timer's, as set by the caller; or the request's */
    double waited; /* s, GRANTED */
};

/* A simulation with this many customers, numbered from 0. Freed with queue_free. STATUS_MEMORY. */
struct status queue_new(size_t customers, struct queue **queue) MUST_USE;
void queue_free(struct queue *queue);

/* Adds a pool of `lots` lots with `units` each and returns its number. */
int queue_add_pool(struct queue *queue, int lots, int units);

/* Opens or shuts a lot: nobody new is let into a shut one. */
void queue_set_open(struct queue *queue, int pool, int lot, bool open);

/* At `time`, not before now, there will be a TIMER happening. STATUS_MEMORY. */
struct status queue_set_timer(struct queue *queue, double time, int customer, int what) MUST_USE;

/* The customer joins the line for one unit of every pool in `pools` (a bit each). In pools of several lots he takes lot
 * `favoured` when it has a free unit (-1: none), else the one with most free units, the lowest number first. A customer
 * has one request at a time (STATUS_BUG). */
struct status queue_ask(struct queue *queue, int customer, unsigned pools, int favoured, int what) MUST_USE;

/* The customer leaves the line. Returns how long he waited, s; 0 when he was not in it. */
double queue_give_up(struct queue *queue, int customer);

/* The lot that a customer holds in a pool, -1 when none. */
int queue_lot(const struct queue *queue, int customer, int pool);

/* Gives back what the customer holds in the pools (a bit each). */
void queue_release(struct queue *queue, int customer, unsigned pools);

/* What happens next; moves the clock there. */
struct happening queue_next(struct queue *queue);

double queue_now(const struct queue *queue);

#endif
