/* ode_lanes_step.h: a step of several integrators tried at once; for ode_lanes.c, which includes it once for each kind of processor,
 * after ode_stages.h and with the same set. */

/* Puts numbers of one lane among those of the others, and takes them out. */
ON static inline void OF(put)(const double *from, size_t count, int lane, NUMBER *to)
{
    double *at = (double *)to + lane;
    for (size_t i = 0; i < count; i++) {
        at[i * ODE_LANES] = from[i];
    }
}

ON static inline void OF(take)(const NUMBER *from, size_t count, int lane, double *to)
{
    const double *at = (const double *)from + lane;
    for (size_t i = 0; i < count; i++) {
        to[i] = at[i * ODE_LANES];
    }
}

/* What each lane begins with, where its rates can be had. */
ON static void OF(prepare)(struct ode_lanes *lanes, struct ode *const ode[], int count)
{
    const struct ode_system *system = ode[0]->system;
    const size_t slopes = (size_t)system->slopes.start[system->live];
    for (int lane = 0; lane < count; lane++) {
        lanes->fails[lane] = ode_rodas_prepare(ode[lane]) != 0;
        if (!lanes->fails[lane]) {
            const double h = ode[lane]->tried.h;
            ode[lane]->statistics.factorisations++;
            ode[lane]->curves->known = false;
            OF(put)(&h, 1, lane, &lanes->staged.h);
            OF(put)(ode[lane]->system->slopes.coefficient, slopes, lane, lanes->entries.slopes);
        }
    }
}

/* The stages, one after the other, each of all lanes. */
ON static void OF(go_through_stages)(struct ode_lanes *lanes, struct ode *const ode[], int count)
{
    const struct ode_system *system = ode[0]->system;
    for (int s = 0; s < STAGES; s++) {
        if (s > 0) {
            OF(find_place)(system, &lanes->staged, ode_rodas.a[s], s);
        }
        for (int lane = 0; lane < count; lane++) {
            const double *sum = (const double *)lanes->staged.sum + lane;
            double *f = (double *)lanes->staged.f[s] + lane;
            lanes->fails[lane] =
                lanes->fails[lane] || ode_rodas_rates(ode[lane], s, ode[lane]->tried.h, sum, f, ODE_LANES) != 0;
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
        OF(put)(ode[lane]->y, n, lane, lanes->trial);
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
            OF(take)(lanes->extents, system->live, lane, one->extents);
            OF(take)(lanes->trial, system->states, lane, one->trial);
            OF(take)(lanes->error, system->states, lane, one->error);
            for (int k = 0; k < DENSE_TERMS; k++) {
                OF(take)(lanes->term[k], system->states, lane, one->curves->term[k]);
            }
            one->curves->known = true;
        }
        one->tried.failed = lanes->fails[lane] || ode_rodas_judge(one, &one->tried.error) != 0;
    }
}
