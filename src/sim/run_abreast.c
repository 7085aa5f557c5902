/* run_abreast.c: several runs in turn on one thread: see run_scenarios of run.h.
 *
 * Each run goes on by itself to where a step is to be tried. Then the steps of as many as are in step (ode_lanes.h) are tried at once.
 * Who is not waits, until the others come to where it stands: vats of one schedule stir, dye and rest alike. Who is furthest behind in time
 * goes first; with the largest party first they would drift apart, and most would go by themselves in the end.
 */
#include "sim/ode_lanes.h"
#include "sim/run_inside.h"

#include <stdlib.h>

struct abreast {
    size_t count;
    const struct scenario *const *scenarios;
    struct run **runs;
    struct ode **to_try; /* of each run that waits for a step, else NULL */
    bool *takes_part;    /* in the lanes, else its steps are tried by themselves */
    struct status *outcomes;
    enum lanes_kind kind;
    struct ode_lanes *lanes;
};

/* On with a run, to the next step that it is to try, or to its end. */
static void go_on(struct abreast *abreast, size_t i)
{
    abreast->to_try[i] = NULL;
    abreast->outcomes[i] = run_go_on(abreast->runs[i], abreast->scenarios[i]->lasts, &abreast->to_try[i]);
    if (status_is_ok(&abreast->outcomes[i]) && abreast->to_try[i] == NULL) {
        abreast->outcomes[i] = run_record_due(abreast->runs[i]);
    }
}

/* Those who wait and are in step with run i, itself first, LANES at most. */
static int find_party(const struct abreast *abreast, size_t i, size_t party[LANES])
{
    int size = 0;
    party[size++] = i;
    for (size_t k = 0; k < abreast->count && size < LANES && abreast->takes_part[i]; k++) {
        if (k != i && abreast->to_try[k] != NULL && abreast->takes_part[k] &&
            ode_is_in_step(abreast->to_try[i], abreast->to_try[k])) {
            party[size++] = k;
        }
    }
    return size;
}

/* The party of who is furthest behind, so that all stay near each other in time, where they are in step. Returns 0 when nobody waits. */
static int find_next_party(const struct abreast *abreast, size_t party[LANES])
{
    size_t last = abreast->count;
    for (size_t i = 0; i < abreast->count; i++) {
        const struct ode *ode = abreast->to_try[i];
        if (ode != NULL && (last == abreast->count || ode_time(ode) < ode_time(abreast->to_try[last]))) {
            last = i;
        }
    }
    return last < abreast->count ? find_party(abreast, last, party) : 0;
}

static void go_all(struct abreast *abreast)
{
    size_t party[LANES];
    int size;
    while ((size = find_next_party(abreast, party)) > 0) {
        struct ode *together[LANES];
        for (int k = 0; k < size; k++) {
            together[k] = abreast->to_try[party[k]];
        }
        if (size == 1) {
            ode_try_step(together[0]);
        } else {
            ode_try_steps(abreast->lanes, together, size);
        }
        for (int k = 0; k < size; k++) {
            go_on(abreast, party[k]);
        }
    }
}

/* The lanes, and who may take part in them: those like the first that was opened. */
static void find_lanes(struct abreast *abreast)
{
    const struct ode *like = NULL;
    for (size_t i = 0; i < abreast->count; i++) {
        const struct ode *ode = status_is_ok(&abreast->outcomes[i]) ? abreast->runs[i]->vat.ode : NULL;
        like = like == NULL ? ode : like;
        abreast->takes_part[i] = ode != NULL && ode_is_alike(like, ode);
    }
    if (like == NULL) {
        return;
    }
    struct status made = ode_lanes_create(like, abreast->kind, &abreast->lanes);
    for (size_t i = 0; i < abreast->count && !status_is_ok(&made); i++) {
        abreast->takes_part[i] = false; /* each goes by itself, as it could all the same */
    }
}

static struct status make_room(struct abreast *abreast)
{
    abreast->runs = calloc(abreast->count, sizeof(struct run *));
    abreast->to_try = calloc(abreast->count, sizeof(struct ode *));
    abreast->takes_part = calloc(abreast->count, sizeof *abreast->takes_part);
    return abreast->runs != NULL && abreast->to_try != NULL && abreast->takes_part != NULL
               ? status_ok()
               : status_fail(STATUS_MEMORY, "no memory for %zu runs at once", abreast->count);
}

void run_scenarios_on(enum lanes_kind kind, const struct scenario *const scenarios[], const struct run_options *options,
                      struct result results[], struct status outcomes[], size_t count)
{
    struct abreast abreast = {.count = count, .outcomes = outcomes, .scenarios = scenarios, .kind = kind};
    const struct status room = make_room(&abreast);
    for (size_t i = 0; i < count; i++) {
        result_init(&results[i]);
        outcomes[i] = room;
        if (status_is_ok(&room)) {
            outcomes[i] = run_open(scenarios[i], options, &results[i], &abreast.runs[i]);
        }
    }
    if (status_is_ok(&room)) {
        find_lanes(&abreast);
        for (size_t i = 0; i < count; i++) {
            if (status_is_ok(&outcomes[i])) {
                go_on(&abreast, i);
            }
        }
        go_all(&abreast);
        for (size_t i = 0; i < count; i++) {
            outcomes[i] = run_close(abreast.runs[i], outcomes[i]);
        }
    }
    ode_lanes_free(abreast.lanes);
    free(abreast.runs);
    free(abreast.to_try);
    free(abreast.takes_part);
}

void run_scenarios(const struct scenario *const scenarios[], const struct run_options *options, struct result results[],
                   struct status outcomes[], size_t count)
{
    run_scenarios_on(lanes_best(), scenarios, options, results, outcomes, count);
}
