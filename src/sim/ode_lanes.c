/* ode_lanes.c: see ode_lanes.h. The algebra is that of every step (ode_algebra.h, ode_stages.h), with a register full of numbers for each;
 * it is compiled for what processors have, and chosen when the program runs. None of them fuses a product and a sum, so all come to
 * the same. */
#include "sim/ode_lanes.h"

#include "sim/ode_inside.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

typedef double lanes_of_numbers __attribute__((vector_size(ODE_LANES * sizeof(double))));
typedef int64_t lanes_of_marks __attribute__((vector_size(ODE_LANES * sizeof(int64_t))));
struct lanes_entries ODE_ENTRIES_OF(lanes_of_numbers);
struct lanes_staged ODE_STAGED_OF(lanes_of_numbers);

struct ode_lanes {
    struct lanes_entries entries;
    struct lanes_staged staged;
    lanes_of_numbers *extents;                    /* m */
    lanes_of_numbers *trial, *error;              /* n */
    lanes_of_numbers *term[DENSE_TERMS];          /* n each */
    bool fails[ODE_LANES];
    void (*try_steps)(struct ode_lanes *lanes, struct ode *const ode[], int count);
    lanes_of_numbers *block; /* owns all arrays */
};

#define NUMBER lanes_of_numbers
#define MARKS lanes_of_marks
#define SIZE(a) ((lanes_of_numbers)((lanes_of_marks)(a)&INT64_MAX))
#define IS_MORE(a, b) ((a) > (b))
#define ENTRIES struct lanes_entries
#define STAGED struct lanes_staged

#define OF(name) plain_##name
#define ON
#include "sim/ode_algebra.h"
#include "sim/ode_stages.h"
#include "sim/ode_lanes_step.h"
#undef OF
#undef ON

#ifdef __x86_64__
#define OF(name) wide_##name
#define ON __attribute__((target("avx2")))
#include "sim/ode_algebra.h"
#include "sim/ode_stages.h"
#include "sim/ode_lanes_step.h"
#undef OF
#undef ON

#define OF(name) widest_##name
#define ON __attribute__((target("avx512f")))
#include "sim/ode_algebra.h"
#include "sim/ode_stages.h"
#include "sim/ode_lanes_step.h"
#undef OF
#undef ON
#endif

static void choose_kind(struct ode_lanes *lanes)
{
    lanes->try_steps = plain_try_steps;
#ifdef __x86_64__
    if (__builtin_cpu_supports("avx512f")) {
        lanes->try_steps = widest_try_steps;
    } else if (__builtin_cpu_supports("avx2")) {
        lanes->try_steps = wide_try_steps;
    }
#endif
}

struct status ode_lanes_create(const struct ode *like, struct ode_lanes **out)
{
    const size_t n = like->problem.states;
    const size_t m = like->problem.rates;
    struct ode_lanes *lanes = aligned_alloc(sizeof(lanes_of_numbers), sizeof *lanes);
    if (lanes == NULL) {
        return status_fail(STATUS_MEMORY, "no memory for the integrators");
    }
    memset(lanes, 0, sizeof *lanes);
    const struct {
        lanes_of_numbers **to;
        size_t size;
    } arrays[] = {
        {&lanes->entries.slopes, m * n}, {&lanes->entries.lower, n * n}, {&lanes->entries.upper, n * n},
        {&lanes->entries.matrix, n * n}, {&lanes->entries.inverse, n},   {&lanes->staged.sum, n},
        {&lanes->staged.w, m},           {&lanes->extents, m},           {&lanes->trial, n},
        {&lanes->error, n},
    };
    const size_t stages = STAGES * (n + m) + DENSE_TERMS * n;
    size_t size = stages;
    for (size_t i = 0; i < sizeof arrays / sizeof arrays[0]; i++) {
        size += arrays[i].size;
    }
    lanes_of_numbers *next = aligned_alloc(sizeof *next, size * sizeof *next);
    if (next == NULL) {
        free(lanes);
        return status_fail(STATUS_MEMORY, "no memory for the integrators");
    }
    lanes->block = memset(next, 0, size * sizeof *next);
    for (size_t i = 0; i < sizeof arrays / sizeof arrays[0]; i++) {
        *arrays[i].to = next;
        next += arrays[i].size;
    }
    for (int i = 0; i < STAGES; i++, next += n + m) {
        lanes->staged.x[i] = next;
        lanes->staged.f[i] = next + n;
    }
    for (int k = 0; k < DENSE_TERMS; k++, next += n) {
        lanes->term[k] = next;
    }
    choose_kind(lanes);
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
           reads_alike(&a->problem, &b->problem) && moves_alike(&a->problem, &b->problem);
}

bool ode_is_in_step(const struct ode *a, const struct ode *b)
{
    return a->system->live == b->system->live &&
           memcmp(a->system->rate, b->system->rate, a->system->live * sizeof *a->system->rate) == 0;
}

void ode_try_steps(struct ode_lanes *lanes, struct ode *const ode[], int count)
{
    lanes->try_steps(lanes, ode, count);
}
