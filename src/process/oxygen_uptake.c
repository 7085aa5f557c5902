/* oxygen_uptake.c: see oxygen_uptake.h. */
#include "process/oxygen_uptake.h"

#include "base/numbers.h"

#include <math.h>

#define NEWTON_STEPS_MOST 30 /* a few are enough where there is plenty that takes oxygen */
#define FOUND 1e-14          /* of the oxygen */
#define STEP_SPEED 0.25 /* of the Runge-Kutta steps, times the speed: errors of 1e-6 of a share that moves by little */

/* What has been taken when the dose is x; returns how fast oxygen is taken then, per mol of it, 1/s. */
static double take(const struct oxygen_uptake *uptake, double x, double taken[TAKER_COUNT])
{
    double speed = 0.0;
    for (int i = 0; i < TAKER_COUNT; i++) {
        const struct oxygen_taker *taker = &uptake->takers[i];
        const double gone = -expm1(-taker->per_oxygen * taker->rate * x);
        taken[i] = uptake->amount[i] * gone / taker->per_oxygen;
        speed += taker->rate * uptake->amount[i] * (1.0 - gone);
    }
    return speed / uptake->volume;
}

/* Oxygen (mol) above what is left in the end, when the dose is x; `speed` as then. */
static double excess(const struct oxygen_uptake *uptake, double x, double *speed)
{
    double taken[TAKER_COUNT];
    *speed = take(uptake, x, taken);
    return uptake->oxygen - taken[TAKER_LEUCO] - taken[TAKER_REDUCTONE] - taken[TAKER_RESERVE] -
           uptake->inflow / *speed;
}

bool oxygen_uptake_find(const struct liquor *l, double net, struct oxygen_uptake *uptake)
{
    *uptake = (struct oxygen_uptake){.oxygen = l->amount[S_OXYGEN], .volume = l->volume};
    oxygen_takers(l->k, uptake->takers);
    for (int i = 0; i < TAKER_COUNT; i++) {
        uptake->amount[i] = at_least_zero(l->amount[uptake->takers[i].species]);
    }
    double taken[TAKER_COUNT];
    double speed = take(uptake, 0.0, taken);
    if (!(speed > 0.0) || !(uptake->oxygen > 0.0)) {
        return false;
    }
    uptake->inflow = net + speed * uptake->oxygen;
    for (int i = 0; i < NEWTON_STEPS_MOST; i++) {
        double over = excess(uptake, uptake->dose, &uptake->speed);
        if (fabs(over) <= FOUND * uptake->oxygen) {
            return true;
        }
        uptake->dose += over / (uptake->speed * uptake->volume);
    }
    return false;
}

/* How fast the logarithm of the dose that is still to come falls, 1/s. */
static double falling(const struct oxygen_uptake *uptake, double to_come)
{
    double speed;
    double over = excess(uptake, uptake->dose - to_come, &speed);
    return over / (uptake->volume * to_come);
}

const char *const oxygen_uptake_processes[OXYGEN_UPTAKE_PROCESSES] = {
    "autoxidation_to_water", "autoxidation_to_peroxide", "reductone_oxidation", "reserve_oxidation"};

void oxygen_uptake_at(const struct oxygen_uptake *uptake, double elapsed, double extents[OXYGEN_UPTAKE_PROCESSES])
{
    double to_come = isinf(elapsed) ? 0.0 : uptake->dose;
    int steps = isinf(elapsed) ? 0 : (int)ceil(elapsed * uptake->speed / STEP_SPEED);
    double h = steps > 0 ? elapsed / steps : 0.0;
    for (int i = 0; i < steps && to_come > 0.0; i++) {
        double first = falling(uptake, to_come);
        double second = falling(uptake, to_come * exp(-0.5 * h * first));
        double third = falling(uptake, to_come * exp(-0.5 * h * second));
        double fourth = falling(uptake, to_come * exp(-h * third));
        to_come *= exp(-h * (first + 2.0 * second + 2.0 * third + fourth) / 6.0);
    }
    double taken[TAKER_COUNT];
    (void)take(uptake, uptake->dose - to_come, taken);
    extents[0] = taken[TAKER_LEUCO] * (uptake->takers[TAKER_LEUCO].per_oxygen - 1.0);
    extents[1] = taken[TAKER_LEUCO] * (2.0 - uptake->takers[TAKER_LEUCO].per_oxygen);
    extents[2] = taken[TAKER_REDUCTONE];
    extents[3] = taken[TAKER_RESERVE];
}
