/* cloth.c: leuco taken up by cloth in the liquor, toward a Freundlich equilibrium.
 *
 * What an earlier dip left on the cloth is oxidised, insoluble and does not count against the equilibrium; it only fills the
 * surface toward its cap. Every constant here is a wide prior (practice; no isotherm could be read).
 */
#include "process/liquor.h"
#include "process/rates.h"

#include <math.h>

#define LOW_LEUCO 1e-3 /* kg/m3: below it uptake is in proportion, so that the power law keeps a finite slope */

static double sigmoid(double x)
{
    return 1.0 / (1.0 + exp(-x));
}

/* How the equilibrium depends on pH. Cellulose takes the mono-anion; silk and wool lose affinity as they charge up. */
static double ph_multiplier(const struct liquor *l, int response)
{
    double ph = l->ions.ph;
    switch (response) {
    case 1:
        return sigmoid((11.5 - ph) / 0.8);
    case 2:
        return sigmoid((10.5 - ph) / 0.72);
    default:
        return pow(l->ions.leuco_mono / 0.98, 1.2) * (0.9 + 0.1 * sigmoid((ph - 10.3) / 0.15));
    }
}

double cloth_equilibrium(const struct liquor *l, const struct soaking_cloth *cloth)
{
    double leuco = l->concentration[S_LEUCO] * MOLAR_INDIGOTIN;
    double power = leuco > 0.0 ? leuco * pow(leuco + LOW_LEUCO, cloth->exponent - 1.0) : 0.0;
    double room = 1.0 - cloth->loaded / cloth->cap;
    return cloth->freundlich * power * ph_multiplier(l, cloth->ph_response) * l->at.uptake_equilibrium *
           (room > 0.0 ? room : 0.0);
}

static double uptake(const struct liquor *l, int zone)
{
    const struct soaking_cloth *cloth = &l->settings->cloth[zone];
    if (!cloth->in) {
        return 0.0;
    }
    return cloth->rate_30C * l->at.uptake_rate *
           (cloth_equilibrium(l, cloth) * cloth->mass / MOLAR_INDIGOTIN - l->amount[S_CLOTH_0 + zone]);
}

#define ZONE_FUNCTIONS(zone)                                                                                             \
    static double uptake_##zone(const struct liquor *l)                                                                  \
    {                                                                                                                    \
        return uptake(l, zone);                                                                                          \
    }                                                                                                                    \
    static bool live_##zone(const struct settings *settings)                                                             \
    {                                                                                                                    \
        return settings->cloth[zone].in;                                                                                 \
    }
ZONE_FUNCTIONS(0)
ZONE_FUNCTIONS(1)
ZONE_FUNCTIONS(2)
ZONE_FUNCTIONS(3)
ZONE_FUNCTIONS(4)
ZONE_FUNCTIONS(5)
ZONE_FUNCTIONS(6)
ZONE_FUNCTIONS(7)

#define UPTAKE(number, zone)                                                                                             \
    {                                                                                                                    \
        .name = "cloth_uptake_" #number, .title = "leuco taken up by cloth, zone " #number,                       \
        .law = "ln2/half-time (K c^n f(pH, T) (1 - on cloth/cap) mass - taken up)", .extent_unit = "mol",                \
        .source = "estimate; pH response after Etters, Indian J. Fibre Text. Res. 21, 30, 1996 (trend)",                 \
        .terms = {{S_LEUCO, -1}, {S_CLOTH_0 + zone, 1}},                                                                \
        .constants = {K_UPTAKE_HALF_TIME_WEIGHT_POWER, K_UPTAKE_RATE_PER_10K, K_UPTAKE_EQUILIBRIUM_PER_10K,              \
                      K_UPTAKE_FOLDED_FACTOR},                                                                           \
        .constant_count = 4, .reads = {S_CLOTH_0 + zone, S_LEUCO}, .reads_count = 2,                                  \
        .ions = READS_ION(PH) | READS_ION(LEUCO_MONO), .rate = uptake_##zone, .is_live = live_##zone                     \
    }

const struct process cloth_processes[CLOTH_PROCESS_COUNT] = {UPTAKE(1, 0), UPTAKE(2, 1), UPTAKE(3, 2),
                                                                       UPTAKE(4, 3), UPTAKE(5, 4), UPTAKE(6, 5),
                                                                       UPTAKE(7, 6), UPTAKE(8, 7)};
