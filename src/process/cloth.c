/* cloth.c: leuco taken up by cloth in the liquor, toward a Freundlich equilibrium.
 *
 * What an earlier dip left on the cloth is oxidised, insoluble and does not count against the equilibrium; it only fills the
 * surface toward its cap. Every constant here is a wide prior (practice; no isotherm could be read).
 */
#include "process/liquor.h"
#include "process/partials.h"
#include "process/rates.h"

#include "base/numbers.h"

#include <math.h>

#define LOW_LEUCO 1e-3 /* kg/m3: below it uptake is in proportion, so that the power law keeps a finite slope */

static double sigmoid(double x)
{
    return 1.0 / (1.0 + exp(-x));
}

/* How the equilibrium depends on pH. Cellulose takes the mono-anion; silk and wool lose affinity as they charge up. */
static const struct {
    double middle, step; /* pH */
} affinity[] = {[0] = {10.3, 0.15}, [1] = {11.5, -0.8}, [2] = {10.5, -0.72}};
#define MONO_POWER 1.2
#define MONO_MOST 0.98

static double affinity_of(const struct liquor *l, int response)
{
    return sigmoid((l->ions.ph - affinity[response].middle) / affinity[response].step);
}

static double ph_multiplier(const struct liquor *l, int response)
{
    double share = affinity_of(l, response);
    return response == 0 ? pow(l->ions.leuco_mono / MONO_MOST, MONO_POWER) * (0.9 + 0.1 * share) : share;
}

/* What a kg/m3 of leuco brings, at as much leuco as there is. */
static double equilibrium_per_leuco(const struct liquor *l, const struct soaking_cloth *cloth, double leuco)
{
    double room = 1.0 - cloth->loaded / cloth->cap;
    return cloth->freundlich * pow(leuco + LOW_LEUCO, cloth->exponent - 1.0) * ph_multiplier(l, cloth->ph_response) *
           l->at.uptake_equilibrium * at_least_zero(room);
}

double cloth_equilibrium(const struct liquor *l, const struct soaking_cloth *cloth)
{
    double leuco = l->concentration[S_LEUCO] * MOLAR_INDIGOTIN;
    return leuco > 0.0 ? leuco * equilibrium_per_leuco(l, cloth, leuco) : 0.0;
}

static double uptake_speed(const struct liquor *l, const struct soaking_cloth *cloth) /* 1/s */
{
    return cloth->rate_30C * l->at.uptake_rate;
}

static double uptake(const struct liquor *l, int zone)
{
    const struct soaking_cloth *cloth = &l->settings->cloth[zone];
    if (!cloth->in) {
        return 0.0;
    }
    return uptake_speed(l, cloth) *
           (cloth_equilibrium(l, cloth) * cloth->mass / MOLAR_INDIGOTIN - l->amount[S_CLOTH_0 + zone]);
}

static void uptake_partials(const struct liquor *l, int zone, const struct temperature_factors *by_K, double value,
                            struct partials *by)
{
    const struct soaking_cloth *cloth = &l->settings->cloth[zone];
    if (!cloth->in) {
        return;
    }
    const double speed = uptake_speed(l, cloth);
    const double forth = value + speed * l->amount[S_CLOTH_0 + zone]; /* without what comes back */
    const double leuco = l->concentration[S_LEUCO] * MOLAR_INDIGOTIN;
    if (leuco >= 0.0) {
        const double per_leuco = leuco > 0.0 ? forth * MOLAR_INDIGOTIN / leuco
                                             : speed * cloth->mass * equilibrium_per_leuco(l, cloth, leuco);
        partial_by_concentration(by, l, S_LEUCO,
                                 per_leuco * (1.0 + (cloth->exponent - 1.0) * leuco / (leuco + LOW_LEUCO)));
    }
    const double share = affinity_of(l, cloth->ph_response);
    double by_share = 1.0 / share; /* relative */
    if (cloth->ph_response == 0) {
        by_share = 0.1 / (0.9 + 0.1 * share);
        by->ion[ION_LEUCO_MONO] += forth * MONO_POWER / l->ions.leuco_mono;
    }
    by->ion[ION_PH] += forth * by_share * share * (1.0 - share) / affinity[cloth->ph_response].step;
    by->amount[S_CLOTH_0 + zone] -= speed;
    by->temperature +=
        value * by_K->uptake_rate / l->at.uptake_rate + forth * by_K->uptake_equilibrium / l->at.uptake_equilibrium;
}

#define ZONE_FUNCTIONS(zone)                                                                                           \
    static double uptake_##zone(const struct liquor *l)                                                                \
    {                                                                                                                  \
        return uptake(l, zone);                                                                                        \
    }                                                                                                                  \
    static void uptake_##zone##_partials(PARTIALS_ARGUMENTS)                                                           \
    {                                                                                                                  \
        uptake_partials(l, zone, by_K, value, by);                                                                     \
    }                                                                                                                  \
    static bool live_##zone(const struct settings *settings)                                                           \
    {                                                                                                                  \
        return settings->cloth[zone].in;                                                                               \
    }
ZONE_FUNCTIONS(0)
ZONE_FUNCTIONS(1)
ZONE_FUNCTIONS(2)
ZONE_FUNCTIONS(3)
ZONE_FUNCTIONS(4)
ZONE_FUNCTIONS(5)
ZONE_FUNCTIONS(6)
ZONE_FUNCTIONS(7)

#define UPTAKE(number, zone)                                                                                           \
    {                                                                                                                  \
        .name = "cloth_uptake_" #number, .title = "leuco taken up by cloth, zone " #number,                            \
        .law = "ln2/half-time (K c^n f(pH, T) (1 - on cloth/cap) mass - taken up)", .extent_unit = "mol",              \
        .source = "estimate; pH response after Etters, Indian J. Fibre Text. Res. 21, 30, 1996 (trend)",               \
        .terms = {{S_LEUCO, -1}, {S_CLOTH_0 + zone, 1}},                                                               \
        .constants = {K_UPTAKE_HALF_TIME_WEIGHT_POWER, K_UPTAKE_RATE_PER_10K, K_UPTAKE_EQUILIBRIUM_PER_10K,            \
                      K_UPTAKE_FOLDED_FACTOR},                                                                         \
        .constant_count = 4, .reads = {S_CLOTH_0 + zone, S_LEUCO}, .reads_count = 2, .ions = {ION_PH, ION_LEUCO_MONO}, \
        .partials = uptake_##zone##_partials, .rate = uptake_##zone, .is_live = live_##zone                            \
    }

const struct process cloth_processes[CLOTH_PROCESS_COUNT] = {UPTAKE(1, 0), UPTAKE(2, 1), UPTAKE(3, 2), UPTAKE(4, 3),
                                                             UPTAKE(5, 4), UPTAKE(6, 5), UPTAKE(7, 6), UPTAKE(8, 7)};
