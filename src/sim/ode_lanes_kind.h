/* ode_lanes_kind.h: a step of several integrators tried at once; for ode_lanes.c, which includes it once for each kind of processor, with
 * what ode_algebra.h and ode_stages.h want set. No include guard. */
#include "base/number_lanes_kind.h"

struct OF(entries) ODE_ENTRIES_OF(NUMBER);
struct OF(staged) ODE_STAGED_OF(NUMBER);

#include "sim/ode_algebra.h"
#include "sim/ode_stages.h"

/* The arrays that a step of WIDTH integrators works with. */
struct OF(room) {
    struct OF(entries) entries;
    struct OF(staged) staged;
    NUMBER *by_time, *extents; /* m */
    NUMBER *trial, *error;     /* n */
    NUMBER *term[DENSE_TERMS]; /* n each */
};

/* Lays them out in the block. Returns how many NUMBERs they take; with a block of NULL, to ask that. */
ON static size_t OF(lay_out)(size_t n, size_t m, double *block, struct OF(room) *room)
{
    struct part {
        NUMBER **to;
        size_t size;
    } parts[11 + 2 * STAGES + DENSE_TERMS] = {
        {&room->entries.slopes, m * n},
        {&room->entries.lower, n * n},
        {&room->entries.upper, n * n},
        {&room->entries.matrix, n * n},
        {&room->entries.inverse, n},
        {&room->staged.sum, n},
        {&room->staged.w, m},
        {&room->extents, m},
        {&room->by_time, m},
        {&room->trial, n},
        {&room->error, n},
    };
    size_t count = 11;
    size_t size = 0;
    for (int i = 0; i < STAGES; i++) {
        parts[count++] = (struct part){&room->staged.x[i], n};
        parts[count++] = (struct part){&room->staged.f[i], m};
    }
    for (int k = 0; k < DENSE_TERMS; k++) {
        parts[count++] = (struct part){&room->term[k], n};
    }
    for (size_t i = 0; i < count; i++) {
        *parts[i].to = block != NULL ? (NUMBER *)block + size : NULL;
        size += parts[i].size;
    }
    return size;
}

/* What the lanes begin with, where their rates can be had. */
ON static void OF(prepare)(struct ode_lanes *lanes, struct OF(room) *room, struct ode *const ode[], int count)
{
    const struct ode_system *system = ode[0]->system;
    const double *by_state[WIDTH], *by_time[WIDTH];
    ask_starts(lanes, ode, count);
    for (int lane = 0; lane < WIDTH; lane++) {
        const int of = lane < count ? lane : 0; /* lanes that are left over do as the first does */
        by_state[lane] = ode[of]->system->by_state;
        by_time[lane] = ode[of]->by_time;
        room->staged.h[lane] = ode[of]->tried.h;
    }
    OF(gather_from)(by_state, system->slope_from, (size_t)system->slopes.start[system->live], room->entries.slopes);
    OF(gather_from)(by_time, system->rate, system->live, room->by_time);
    for (int lane = 0; lane < count; lane++) {
        ode[lane]->statistics.factorisations += lanes->fails[lane] ? 0.0 : 1.0;
    }
}

/* The stages, one after the other, each of all lanes. */
ON static void OF(go_through_stages)(struct ode_lanes *lanes, struct OF(room) *room, struct ode *const ode[],
                                     int count)
{
    const struct ode_system *system = ode[0]->system;
    for (int s = 0; s < STAGES; s++) {
        if (s > 0) {
            OF(find_place)(system, &room->staged, ode_rodas.a[s], s);
            ask_stage(lanes, ode, count, s, (const double *)room->staged.sum, WIDTH);
        }
        const double *r[WIDTH];
        for (int lane = 0; lane < WIDTH; lane++) {
            const struct ode *one = ode[lane < count ? lane : 0];
            r[lane] = s > 0 ? one->r : one->rates0;
        }
        NUMBER *f = room->staged.f[s];
        const NUMBER by_time = room->staged.h * ode_rodas.by_time[s];
        OF(gather_from)(r, system->rate, system->live, f);
        for (size_t k = 0; k < system->live; k++) {
            f[k] += by_time * room->by_time[k];
        }
        OF(solve_stage)(system, &room->entries, &room->staged, ode_rodas.c[s], s);
    }
}

/* Where the stages lead, and what lies between. */
ON static void OF(sum_up)(struct OF(room) *room, struct ode *const ode[], int count)
{
    const struct ode_system *system = ode[0]->system;
    const struct ode_spread *spread = &ode[0]->spread;
    const size_t n = system->states;
    const double *y[WIDTH];
    for (int lane = 0; lane < WIDTH; lane++) {
        y[lane] = ode[lane < count ? lane : 0]->y;
    }
    OF(gather)(y, n, room->trial);
    OF(sum_extents)(system, &room->entries, &room->staged, spread, ode_rodas.whole, room->extents);
    OF(add_extents)(system, room->extents, room->trial);
    memset(room->error, 0, n * sizeof *room->error);
    OF(add_stages)(system, &room->entries, &room->staged, spread, ode_rodas.last, room->error);
    for (int k = 0; k < DENSE_TERMS; k++) {
        memset(room->term[k], 0, n * sizeof *room->term[k]);
        OF(add_stages)(system, &room->entries, &room->staged, spread, ode_rodas.dense[k], room->term[k]);
    }
}

/* What came out, of failed lanes too, where nobody reads it. */
ON static void OF(take_out)(const struct OF(room) *room, struct ode *const ode[], int count)
{
    const struct ode_system *system = ode[0]->system;
    const size_t n = system->states;
    double *extents[WIDTH], *trial[WIDTH], *error[WIDTH], *term[DENSE_TERMS][WIDTH];
    for (int lane = 0; lane < count; lane++) {
        extents[lane] = ode[lane]->extents;
        trial[lane] = ode[lane]->trial;
        error[lane] = ode[lane]->error;
        for (int k = 0; k < DENSE_TERMS; k++) {
            term[k][lane] = ode[lane]->curves->term[k];
        }
    }
    OF(scatter)(room->extents, system->live, count, extents);
    OF(scatter)(room->trial, n, count, trial);
    OF(scatter)(room->error, n, count, error);
    for (int k = 0; k < DENSE_TERMS; k++) {
        OF(scatter)(room->term[k], n, count, term[k]);
    }
}

ON static void OF(try_steps)(struct ode_lanes *lanes, struct ode *const ode[], int count)
{
    const struct ode_system *system = ode[0]->system;
    struct OF(room) laid_out;
    struct OF(room) *room = &laid_out;
    MARKS fit;
    (void)OF(lay_out)(lanes->states, lanes->rates, lanes->block, room);
    OF(prepare)(lanes, room, ode, count);
    const NUMBER shift = 1.0 / (room->staged.h * ODE_GAMMA);
    OF(factorise)(system, &shift, &room->entries, &fit);
    for (int lane = 0; lane < count; lane++) {
        lanes->fails[lane] = lanes->fails[lane] || fit[lane] == 0;
    }
    OF(go_through_stages)(lanes, room, ode, count);
    OF(sum_up)(room, ode, count);
    OF(take_out)(room, ode, count);
    for (int lane = 0; lane < count; lane++) {
        struct ode *one = ode[lane];
        one->curves->known = !lanes->fails[lane];
        one->tried.failed = lanes->fails[lane] || ode_rodas_judge(one, &one->tried.error) != 0;
    }
}
