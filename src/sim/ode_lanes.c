/* ode_lanes.c: see ode_lanes.h. The algebra is that of every step (ode_algebra.h, ode_stages.h), with a register full of numbers for each;
 * it is compiled for what processors have, and chosen when the program runs. None of them fuses a product and a sum, so all come to
 * the same. */
#include "sim/ode_lanes.h"

#include "sim/ode_inside.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct ode_lanes {
    enum lanes_kind kind;
    size_t states, rates; /* for which there is room */
    bool fails[LANES];    /* of those tried now */
    double *block;        /* the room, laid out by each kind */
};

/* What is asked of the problems of some lanes. */
struct questions {
    struct ode_asked asked[LANES];
    int lane[LANES];
    int count;
};

static void add_question(struct questions *questions, struct ode *ode, int lane, double t, const double *y, double *r)
{
    ode->statistics.evaluations++;
    questions->lane[questions->count] = lane;
    questions->asked[questions->count++] = (struct ode_asked){ode->problem.context, t, y, r};
}

/* Marks the lanes that fail. */
static void ask(struct ode_lanes *lanes, const struct ode_problem *problem, const struct questions *questions)
{
    int failures[LANES] = {0};
    if (problem->evaluate_several != NULL && questions->count > 0) {
        problem->evaluate_several(lanes->kind, questions->asked, questions->count, failures);
    }
    for (int i = 0; i < questions->count; i++) {
        const struct ode_asked *asked = &questions->asked[i];
        if (problem->evaluate_several == NULL) {
            failures[i] = problem->evaluate(asked->context, asked->t, asked->y, asked->r);
        }
        lanes->fails[questions->lane[i]] = failures[i] != 0;
    }
}

/* Rates and derivatives at the start of the step, of all lanes that do not know them yet. */
static void ask_starts(struct ode_lanes *lanes, struct ode *const ode[], int count)
{
    struct questions questions = {.count = 0};
    for (int lane = 0; lane < count; lane++) {
        lanes->fails[lane] = false;
        if (!ode[lane]->rates_known) {
            add_question(&questions, ode[lane], lane, ode[lane]->t, ode[lane]->y, ode[lane]->rates0);
        }
    }
    ask(lanes, &ode[0]->problem, &questions);
    for (int i = 0; i < questions.count; i++) {
        const int lane = questions.lane[i];
        lanes->fails[lane] = lanes->fails[lane] || ode_rodas_differentiate(ode[lane]) != 0;
    }
}

/* The rates of stage s, whose places are `sum` from where the step begins, each lane's numbers `apart`, of all that have not failed. */
static void ask_stage(struct ode_lanes *lanes, struct ode *const ode[], int count, int s, const double *sum,
                      size_t apart)
{
    struct questions questions = {.count = 0};
    for (int lane = 0; lane < count; lane++) {
        struct ode *one = ode[lane];
        if (!lanes->fails[lane]) {
            ode_rodas_place(one, s, sum + lane, apart);
            add_question(&questions, one, lane, one->t + ode_rodas.time[s] * one->tried.h, one->trial, one->r);
        }
    }
    ask(lanes, &ode[0]->problem, &questions);
}

#include "base/number_lanes.h"
#define ENTRIES struct OF(entries)
#define STAGED struct OF(staged)

#define LANES_BODY "sim/ode_lanes_kind.h"
#include "base/each_kind.h"

static void (*const try_steps[LANES_KINDS])(struct ode_lanes *lanes, struct ode *const ode[],
                                            int count) = LANES_EACH(try_steps);

struct status ode_lanes_create(const struct ode *like, enum lanes_kind kind, struct ode_lanes **out)
{
    struct plain_room room;
    const size_t n = like->problem.states;
    const size_t m = like->problem.rates;
    const size_t size = plain_lay_out(n, m, NULL, &room) * LANES * sizeof(double);
    struct ode_lanes *lanes = calloc(1, sizeof *lanes);
    double *block = aligned_alloc(LANES * sizeof(double), size);
    if (lanes == NULL || block == NULL) {
        free(lanes);
        free(block);
        return status_fail(STATUS_MEMORY, "no memory for the integrators");
    }
    lanes->kind = kind;
    lanes->states = n;
    lanes->rates = m;
    memset(block, 0, size);
    lanes->block = block;
    *out = lanes;
    return status_ok();
}

void ode_lanes_free(struct ode_lanes *lanes)
{
    if (lanes != NULL) {
        free(lanes->block);
        free(lanes);
    }
}

/* ---- who goes together ------------------------------------------------------------------------------------------ */

static bool is_same(double a, double b)
{
    return memcmp(&a, &b, sizeof a) == 0;
}

static bool reads_alike(const struct ode_problem *a, const struct ode_problem *b)
{
    if ((a->readings == NULL) != (b->readings == NULL) || (a->reads == NULL) != (b->reads == NULL)) {
        return false;
    }
    for (size_t i = 0; a->readings != NULL && i < a->states; i++) {
        if (a->readings[i].state != b->readings[i].state ||
            !is_same(a->readings[i].coefficient, b->readings[i].coefficient)) {
            return false;
        }
    }
    for (size_t j = 0; a->reads != NULL && j < a->rates; j++) {
        const int *of_a = a->reads(a->context, j);
        const int *of_b = b->reads(b->context, j);
        while (*of_a >= 0 && *of_a == *of_b) {
            of_a++;
            of_b++;
        }
        if (*of_a != *of_b) {
            return false;
        }
    }
    return true;
}

static bool moves_alike(const struct ode_problem *a, const struct ode_problem *b)
{
    for (size_t j = 0; j < a->rates; j++) {
        const struct ode_term *of_a = a->terms(a->context, j);
        const struct ode_term *of_b = b->terms(b->context, j);
        while (of_a->state >= 0 && of_a->state == of_b->state && is_same(of_a->coefficient, of_b->coefficient)) {
            of_a++;
            of_b++;
        }
        if (of_a->state >= 0 || of_b->state >= 0) {
            return false;
        }
    }
    return true;
}

bool ode_is_alike(const struct ode *a, const struct ode *b)
{
    return a->problem.states == b->problem.states && a->problem.rates == b->problem.rates &&
           a->problem.evaluate_several == b->problem.evaluate_several && reads_alike(&a->problem, &b->problem) &&
           moves_alike(&a->problem, &b->problem);
}

bool ode_is_in_step(const struct ode *a, const struct ode *b)
{
    return a->system->live == b->system->live &&
           memcmp(a->system->rate, b->system->rate, a->system->live * sizeof *a->system->rate) == 0;
}

void ode_try_steps(struct ode_lanes *lanes, struct ode *const ode[], int count)
{
    const int most = lanes_width(lanes->kind);
    for (int first = 0; first < count; first += most) {
        const int size = count - first < most ? count - first : most;
        if (size == 1) { /* which costs less by itself */
            ode_try_step(ode[first]);
        } else {
            try_steps[lanes_for(lanes->kind, size)](lanes, ode + first, size);
        }
    }
}
