/* lime.c: lime dissolving from suspension and bed, chalk coming down, carbon dioxide from the air. */
#include "process/liquor.h"
#include "process/partials.h"
#include "process/prepare.h"
#include "process/rates.h"

#include "base/numbers.h"
#include "chem/carbonate.h"
#include "chem/cube_root.h"

#include <math.h>

#define LIME_SCALE 20.0 /* mol/m3, about what limewater holds: turns a saturation into a concentration gap */
#define LAST_SOLID 1e-3 /* mol of solid below which dissolution fades with what is left */
#define SMALL_SATURATION 1e-9
#define CARBONATE_FLOOR 1e-12 /* (mol/m3)^2 */

void lime_prepare(struct liquor *liquor)
{
    /* From the ion product, which goes as the third power of concentration. */
    liquor->lime_gap = 1.0 - cube_root(liquor->ions.lime_saturation + SMALL_SATURATION);
}

void lime_gap_partials(PARTIALS_ARGUMENTS)
{
    (void)by_K;
    by->ion[ION_LIME] -= (1.0 - value) / (3.0 * (l->ions.lime_saturation + SMALL_SATURATION));
}

/* Liquor warmed past saturation: new solid, slowly at first. For a square of the gap. */
static double nucleation(const struct liquor *l)
{
    return l->lime_gap < 0.0 ? l->k[K_LIME_NUCLEATION_RATE] * LIME_SCALE * l->volume : 0.0;
}

static double suspended_dissolution(const struct liquor *l)
{
    double gap = l->lime_gap;
    return l->amount[S_LIME_SUSPENDED] / l->k[K_LIME_SUSPENDED_TIME] * gap - nucleation(l) * gap * gap;
}

static void suspended_dissolution_partials(PARTIALS_ARGUMENTS)
{
    (void)by_K, (void)value;
    const double gap = l->lime_gap;
    by->amount[S_LIME_SUSPENDED] += gap / l->k[K_LIME_SUSPENDED_TIME];
    by->shared[SHARED_LIME_GAP] +=
        l->amount[S_LIME_SUSPENDED] / l->k[K_LIME_SUSPENDED_TIME] - 2.0 * nucleation(l) * gap;
    by->volume -= nucleation(l) * gap * gap / l->volume;
}

/* Of a solid: 1 as long as there is enough, then in proportion to what is left. */
static double fading(double solid)
{
    return solid / (at_least_zero(solid) + LAST_SOLID);
}

static double fading_slope(double solid)
{
    double all = at_least_zero(solid) + LAST_SOLID;
    return solid < 0.0 ? 1.0 / LAST_SOLID : LAST_SOLID / (all * all);
}

static double bed_creeping(const struct liquor *l)
{
    return l->k[K_LIME_BED_TRANSFER] * l->settings->area * LIME_SCALE;
}

static double bed_dissolution(const struct liquor *l)
{
    return bed_creeping(l) * l->lime_gap * fading(l->amount[S_LIME_BED]);
}

static void bed_dissolution_partials(PARTIALS_ARGUMENTS)
{
    (void)by_K, (void)value;
    by->shared[SHARED_LIME_GAP] += bed_creeping(l) * fading(l->amount[S_LIME_BED]);
    by->amount[S_LIME_BED] += bed_creeping(l) * l->lime_gap * fading_slope(l->amount[S_LIME_BED]);
}

/* mol/m3 beyond saturation: between roots of the ion product and of its value there. */
static double chalk_root(double product)
{
    return sqrt(at_least_zero(product) + CARBONATE_FLOOR);
}

static double chalk_gap(const struct liquor *l)
{
    return chalk_root(l->ions.calcium_free * l->ions.carbonate) - chalk_root(l->ions.calcite_product);
}

/* m3/s; chalk dissolves while there is any. */
static double chalk_speed(const struct liquor *l)
{
    return l->k[K_CHALK_RATE] * l->volume * (chalk_gap(l) < 0.0 ? fading(l->amount[S_CHALK_SUSPENDED]) : 1.0);
}

static double chalk_precipitation(const struct liquor *l)
{
    return chalk_speed(l) * chalk_gap(l);
}

static void chalk_precipitation_partials(PARTIALS_ARGUMENTS)
{
    (void)by_K;
    const double by_product = 0.5 * chalk_speed(l) / chalk_root(l->ions.calcium_free * l->ions.carbonate);
    by->ion[ION_CALCIUM] += by_product * l->ions.carbonate;
    by->ion[ION_CARBONATE] += by_product * l->ions.calcium_free;
    by->ion[ION_CALCITE] -= 0.5 * chalk_speed(l) / chalk_root(l->ions.calcite_product);
    by->volume += value / l->volume;
    if (chalk_gap(l) < 0.0) {
        by->amount[S_CHALK_SUSPENDED] +=
            l->k[K_CHALK_RATE] * l->volume * chalk_gap(l) * fading_slope(l->amount[S_CHALK_SUSPENDED]);
    }
}

static struct carbon_dioxide_surface carbon_dioxide_surface(const struct liquor *l)
{
    return (struct carbon_dioxide_surface){.hydroxide = l->ions.hydroxide,
                                           .dissolved = l->ions.carbon_dioxide,
                                           .mole_fraction = l->settings->carbon_dioxide,
                                           .pressure_atm = l->settings->pressure_atm,
                                           .gas_film = l->k[K_CO2_GAS_FILM],
                                           .liquid_kl = l->transfer};
}

/* m2 that count: less under a lid and under film. */
static double open_surface(const struct liquor *l)
{
    double skin = 1.0 - (1.0 - l->k[K_CO2_SKIN_FACTOR]) * l->film_cover;
    return l->settings->area * l->settings->lid_carbon_dioxide * skin;
}

static double carbon_dioxide_uptake(const struct liquor *l)
{
    const struct carbon_dioxide_surface surface = carbon_dioxide_surface(l);
    return carbon_dioxide_flux_at(&l->at.carbon_dioxide, &surface) * open_surface(l);
}

static void carbon_dioxide_uptake_partials(PARTIALS_ARGUMENTS)
{
    (void)value;
    const struct carbon_dioxide_surface surface = carbon_dioxide_surface(l);
    const struct carbon_dioxide_slopes slopes =
        carbon_dioxide_flux_slopes(&l->at.carbon_dioxide, &by_K->carbon_dioxide, &surface);
    const double open = open_surface(l);
    by->ion[ION_HYDROXIDE] += slopes.by_hydroxide * open;
    by->ion[ION_CARBON_DIOXIDE] += slopes.by_dissolved * open;
    by->shared[SHARED_TRANSFER] += slopes.by_liquid_kl * open;
    by->temperature += slopes.by_temperature * open;
    by->shared[SHARED_FILM_COVER] -=
        slopes.flux * l->settings->area * l->settings->lid_carbon_dioxide * (1.0 - l->k[K_CO2_SKIN_FACTOR]);
}

const struct process lime_processes[LIME_PROCESS_COUNT] = {
    {.name = "lime_dissolution_suspended",
     .title = "suspended lime dissolving (or coming out)",
     .law = "lime / time (1 - saturation^1/3); beyond saturation also new solid",
     .extent_unit = "mol",
     .source = "mechanism: Ritchie & Xu, Hydrometallurgy 23, 377, 1990 (abstract); time an estimate",
     .terms = {{S_LIME_SUSPENDED, -1}, {S_CALCIUM, 1}, {S_HYDROXIDE, 2}},
     .constants = {K_LIME_SUSPENDED_TIME, K_LIME_NUCLEATION_RATE},
     .constant_count = 2,
     .reads = {S_LIME_SUSPENDED},
     .reads_count = 1,
     .shared = {SHARED_LIME_GAP},
     .partials = suspended_dissolution_partials,
     .rate = suspended_dissolution},
    {.name = "lime_dissolution_bed",
     .title = "settled lime creeping into solution",
     .law = "k A C_sat (1 - saturation^1/3)",
     .extent_unit = "mol",
     .source = "estimate",
     .terms = {{S_LIME_BED, -1}, {S_CALCIUM, 1}, {S_HYDROXIDE, 2}},
     .constants = {K_LIME_BED_TRANSFER},
     .constant_count = 1,
     .reads = {S_LIME_BED},
     .reads_count = 1,
     .shared = {SHARED_LIME_GAP},
     .partials = bed_dissolution_partials,
     .rate = bed_dissolution},
    {.name = "chalk_precipitation",
     .title = "chalk coming down (or dissolving)",
     .law = "k V (sqrt([Ca][CO3]) - sqrt(its value at saturation))",
     .extent_unit = "mol",
     .source = "solubility: Plummer & Busenberg, Geochim. Cosmochim. Acta 46, 1011, 1982; rate an estimate",
     .terms = {{S_CALCIUM, -1}, {S_CARBON, -1}, {S_CHALK_SUSPENDED, 1}},
     .constants = {K_CHALK_RATE},
     .constant_count = 1,
     .reads = {S_CHALK_SUSPENDED},
     .reads_count = 1,
     .ions = {ION_CALCIUM, ION_CARBONATE, ION_CALCITE},
     .partials = chalk_precipitation_partials,
     .rate = chalk_precipitation},
    {.name = "carbon_dioxide_uptake",
     .title = "carbon dioxide from the air",
     .law = "A (C* - [CO2]) sqrt(D k [OH-] + kL^2), in series with the gas film; lid and skin factors",
     .extent_unit = "mol",
     .source = "rate: Pinsent, Pearson & Roughton, Trans. Faraday Soc. 52, 1512, 1956; factors estimates",
     .terms = {{S_AIR_CARBON_DIOXIDE, -1}, {S_HYDROXIDE, -2}, {S_CARBON, 1}, {S_WATER, 1}},
     .constants = {K_CO2_GAS_FILM, K_CO2_LOOSE_LID_FACTOR, K_CO2_TIGHT_LID_FACTOR, K_CO2_SKIN_FACTOR},
     .constant_count = 4,
     .reads_count = READS_NONE,
     .ions = {ION_HYDROXIDE, ION_CARBON_DIOXIDE},
     .shared = {SHARED_TRANSFER, SHARED_FILM_COVER},
     .partials = carbon_dioxide_uptake_partials,
     .rate = carbon_dioxide_uptake},
};
