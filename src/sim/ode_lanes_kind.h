/* ode_lanes_kind.h: a step of several integrators tried at once; for ode_lanes.c, which includes it once for each kind of processor, with
 * what ode_algebra.h and ode_stages.h want set. No include guard. */
#include "sim/ode_algebra.h"
#include "sim/ode_stages.h"


/* What the lanes begin with, where their rates can be had. */
ON static void OF(prepare)(struct ode_lanes *lanes, struct ode *const ode[], int count)
{
    const struct ode_system *system = ode[0]->system;
    const int *from = system->slope_from;
    const size_t end = (size_t)system->slopes.start[system->live];
    const double *by_state[LANES];
    ask_starts(lanes, ode, count);
    for (int lane = 0; lane < LANES; lane++) {
        const int of = lane < count ? lane : 0; /* lanes that are left over do as the first does */
        by_state[lane] = ode[of]->system->by_state;
        lanes->staged.h[lane] = ode[of]->tried.h;
    }
    for (size_t at = 0; at < end; at++) {
        NUMBER slopes = {0.0};
        for (int lane = 0; lane < LANES; lane++) {
            slopes[lane] = by_state[lane][from[at]];
        }
        lanes->entries.slopes[at] = slopes;
    }
    for (int lane = 0; lane < count; lane++) {
        ode[lane]->statistics.factorisations += lanes->fails[lane] ? 0.0 : 1.0;
        ode[lane]->curves->known = ode[lane]->curves->known && lanes->fails[lane];
    }
}

/* The stages, one after the other, each of all lanes. */
ON static void OF(go_through_stages)(struct ode_lanes *lanes, struct ode *const ode[], int count)
{
    const struct ode_system *system = ode[0]->system;
    for (int s = 0; s < STAGES; s++) {
        if (s > 0) {
            OF(find_place)(system, &lanes->staged, ode_rodas.a[s], s);
            ask_stage(lanes, ode, count, s);
        }
        for (int lane = 0; lane < count; lane++) {
            const struct ode *one = ode[lane];
            if (!lanes->fails[lane]) {
                ode_rodas_weigh(one, s, one->tried.h, s > 0 ? one->r : one->rates0, (double *)lanes->staged.f[s] + lane,
                                LANES);
            }
        }
        OF(solve_stage)(system, &lanes->entries, &lanes->staged, ode_rodas.c[s], s);
    }
}

/* Where the stages lead, and what lies between. */
ON static void OF(sum_up)(struct ode_lanes *lanes, struct ode *const ode[], int count)
{
    const struct ode_system *system = ode[0]->system;
    const struct ode_spread *spread = &ode[0]->spread;
    const size_t n = system->states;
    for (int lane = 0; lane < count; lane++) {
        lanes_put(ode[lane]->y, n, lane, lanes->trial);
    }
    OF(sum_extents)(system, &lanes->entries, &lanes->staged, spread, ode_rodas.whole, lanes->extents);
    OF(add_extents)(system, lanes->extents, lanes->trial);
    memset(lanes->error, 0, n * sizeof *lanes->error);
    OF(add_stages)(system, &lanes->entries, &lanes->staged, spread, ode_rodas.last, lanes->error);
    for (int k = 0; k < DENSE_TERMS; k++) {
        memset(lanes->term[k], 0, n * sizeof *lanes->term[k]);
        OF(add_stages)(system, &lanes->entries, &lanes->staged, spread, ode_rodas.dense[k], lanes->term[k]);
    }
}

ON static void OF(try_steps)(struct ode_lanes *lanes, struct ode *const ode[], int count)
{
    const struct ode_system *system = ode[0]->system;
    MARKS fit;
    OF(prepare)(lanes, ode, count);
    const NUMBER shift = 1.0 / (lanes->staged.h * ODE_GAMMA);
    OF(factorise)(system, &shift, &lanes->entries, &fit);
    for (int lane = 0; lane < count; lane++) {
        lanes->fails[lane] = lanes->fails[lane] || fit[lane] == 0;
    }
    OF(go_through_stages)(lanes, ode, count);
    OF(sum_up)(lanes, ode, count);
    for (int lane = 0; lane < count; lane++) {
        struct ode *one = ode[lane];
        if (!lanes->fails[lane]) {
            lanes_take(lanes->extents, system->live, lane, one->extents);
            lanes_take(lanes->trial, system->states, lane, one->trial);
            lanes_take(lanes->error, system->states, lane, one->error);
            for (int k = 0; k < DENSE_TERMS; k++) {
                lanes_take(lanes->term[k], system->states, lane, one->curves->term[k]);
            }
            one->curves->known = true;
        }
        one->tried.failed = lanes->fails[lane] || ode_rodas_judge(one, &one->tried.error) != 0;
    }
}
