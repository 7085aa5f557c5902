/* uptake.c: the oxygen that an event brought, as what is quick about a vat (ode.h, process/oxygen_uptake.h). */
#include "sim/vat.h"

#include <math.h>
#include <string.h>

/* Cells take oxygen by a law of their own, and are hindered by it: with them the course of the oxygen counts. */
void reaction_find_uptake(struct reaction *reaction)
{
    int found = 0;
    for (size_t j = 0; j < reaction->count; j++) {
        for (int i = 0; i < OXYGEN_UPTAKE_PROCESSES; i++) {
            if (strcmp(reaction->active[j]->name, oxygen_uptake_processes[i]) == 0) {
                reaction->uptake_rate[i] = j;
                found++;
            }
        }
    }
    reaction->has_uptake = found == OXYGEN_UPTAKE_PROCESSES && reaction->settings->lifeless;
}

static void add_extents(const struct reaction *reaction, const struct oxygen_uptake *uptake, double elapsed,
                        double sign, double *extents)
{
    double of[OXYGEN_UPTAKE_PROCESSES];
    oxygen_uptake_at(uptake, elapsed, of);
    for (int i = 0; i < OXYGEN_UPTAKE_PROCESSES; i++) {
        extents[reaction->uptake_rate[i]] += sign * of[i];
    }
}

static double oxygen_change(const struct reaction *reaction, const double *rates)
{
    double sum = 0.0;
    for (int i = 0; i < reaction->live.count; i++) {
        const int rate = reaction->live.rate[i];
        for (const struct ode_term *term = reaction->terms[rate]; term->state >= 0; term++) {
            sum += term->state == S_OXYGEN ? term->coefficient * rates[rate] : 0.0;
        }
    }
    return sum;
}

double reaction_uptake(void *context, double t, const double *y, const double *rates, bool again, double *extents)
{
    struct reaction *reaction = context;
    struct oxygen_uptake uptake;
    if (reaction_bring_base(reaction, t, y) != 0 ||
        !oxygen_uptake_find(&reaction->base, oxygen_change(reaction, rates), &uptake)) {
        return 0.0;
    }
    if (!again && !(uptake.dose > 0.0)) {
        return 0.0; /* oxygen is to grow: there is nothing to be taken, and what takes it may soon be gone */
    }
    if (!again) {
        reaction->uptake = uptake;
    }
    add_extents(reaction, &uptake, INFINITY, 1.0, extents);
    return uptake.speed;
}

void reaction_uptake_to_come(void *context, double elapsed, double *extents)
{
    const struct reaction *reaction = context;
    add_extents(reaction, &reaction->uptake, INFINITY, 1.0, extents);
    add_extents(reaction, &reaction->uptake, elapsed, -1.0, extents);
}
