/* oxygen_uptake.h: oxygen that an event brought, and what takes it: leuco, the reductone and the reserve, in seconds where there is
 * enough of them.
 *
 * Each taker i takes oxygen at k_i n_i [O2], and v_i of itself with each. So over the time in which the liquor has "breathed" a dose
 * x, dx = [O2] dt, n_i falls as exp(-v_i k_i x) exactly, whatever course the oxygen takes (the temperature and the volume being
 * as they are); and x ends where the oxygen is down to what flows in over how fast it is taken.
 */
#ifndef VATCAST_PROCESS_OXYGEN_UPTAKE_H
#define VATCAST_PROCESS_OXYGEN_UPTAKE_H

#include "process/liquor.h"

enum { TAKER_LEUCO, TAKER_REDUCTONE, TAKER_RESERVE, TAKER_COUNT };

/* What takes oxygen, here and on its way through the surface. */
struct oxygen_taker {
    enum species species;
    double rate;       /* k, m3/(mol s) */
    double per_oxygen; /* mol of it for each mol of oxygen */
};

static inline void oxygen_takers(const double *k, struct oxygen_taker takers[TAKER_COUNT])
{
    takers[TAKER_LEUCO] = (struct oxygen_taker){S_LEUCO, k[K_LEUCO_OXIDATION_RATE], k[K_LEUCO_PER_OXYGEN]};
    takers[TAKER_REDUCTONE] = (struct oxygen_taker){S_REDUCTONE, k[K_REDUCTONE_OXIDATION_RATE], 1.0};
    takers[TAKER_RESERVE] = (struct oxygen_taker){S_RESERVE, k[K_RESERVE_OXIDATION_RATE], 1.0};
}

struct oxygen_uptake {
    double oxygen, inflow; /* mol before, mol/s */
    double volume;         /* m3 */
    struct oxygen_taker takers[TAKER_COUNT];
    double amount[TAKER_COUNT]; /* of each, mol before, none below zero */
    double dose;                /* x at its end, s mol/m3 */
    double speed;               /* at its end: 1/s, at which oxygen nears what is left */
};

/* Works out the uptake of the oxygen in `liquor`, where oxygen changes by `net` mol/s in all. Returns false where there is none to
 * take, or too little that takes it. */
bool oxygen_uptake_find(const struct liquor *liquor, double net, struct oxygen_uptake *uptake);

/* The extents (mol) of the processes that it consists of, by their names below, from its begin to `elapsed` seconds later; INFINITY:
 * to its end. */
#define OXYGEN_UPTAKE_PROCESSES 4
extern const char *const oxygen_uptake_processes[OXYGEN_UPTAKE_PROCESSES];
void oxygen_uptake_at(const struct oxygen_uptake *uptake, double elapsed, double extents[OXYGEN_UPTAKE_PROCESSES]);

#endif
