/* lime.c: lime dissolving from suspension and bed, chalk coming down, carbon dioxide from the air. */
#include "process/liquor.h"
#include "process/prepare.h"
#include "process/rates.h"
#include "process/surface.h"

#include "chem/carbonate.h"
#include "chem/cube_root.h"

#include <math.h>

#define LIME_SCALE 20.0      /* mol/m3, about what limewater holds: turns a saturation into a concentration gap */
#define LAST_SOLID 1e-3      /* mol of solid below which dissolution fades with what is left */
#define SMALL_SATURATION 1e-9
#define CARBONATE_FLOOR 1e-12 /* (mol/m3)^2 */

static double at_least_zero(double value)
{
    return value > 0.0 ? value : 0.0;
}

void lime_prepare(struct liquor *liquor)
{
    /* From the ion product, which goes as the third power of concentration. */
    liquor->lime_gap = 1.0 - cube_root(liquor->ions.lime_saturation + SMALL_SATURATION);
}

static double suspended_dissolution(const struct liquor *l)
{
    double gap = l->lime_gap;
    double rate = l->amount[S_LIME_SUSPENDED] / l->k[K_LIME_SUSPENDED_TIME] * gap;
    if (gap < 0.0) { /* liquor warmed past saturation: new solid, slowly at first */
        rate -= l->k[K_LIME_NUCLEATION_RATE] * LIME_SCALE * l->volume * gap * gap;
    }
    return rate;
}

static double bed_dissolution(const struct liquor *l)
{
    double lime = l->amount[S_LIME_BED];
    return l->k[K_LIME_BED_TRANSFER] * l->settings->area * LIME_SCALE * l->lime_gap * lime /
           (at_least_zero(lime) + LAST_SOLID);
}

static double chalk_precipitation(const struct liquor *l)
{
    double product = at_least_zero(l->ions.calcium_free * l->ions.carbonate);
    double gap = sqrt(product + CARBONATE_FLOOR) - sqrt(l->ions.calcite_product + CARBONATE_FLOOR);
    if (gap < 0.0) {
        double chalk = l->amount[S_CHALK_SUSPENDED];
        gap *= chalk / (at_least_zero(chalk) + LAST_SOLID);
    }
    return l->k[K_CHALK_RATE] * gap * l->volume;
}

static double carbon_dioxide_uptake(const struct liquor *l)
{
    const struct settings *settings = l->settings;
    double skin = 1.0 - (1.0 - l->k[K_CO2_SKIN_FACTOR]) * l->film_cover;
    double flux = carbon_dioxide_flux_at(&l->at.carbon_dioxide, l->ions.hydroxide, l->ions.carbon_dioxide, settings->carbon_dioxide,
                                      settings->pressure_atm, l->k[K_CO2_GAS_FILM], surface_transfer_coefficient(l));
    return flux * settings->area * settings->lid_carbon_dioxide * skin;
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
     .ions = READS_ION(LIME),
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
     .ions = READS_ION(LIME),
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
     .ions = READS_ION(CALCIUM) | READS_ION(CARBONATE) | READS_ION(CALCITE),
     .rate = chalk_precipitation},
    {.name = "carbon_dioxide_uptake",
     .title = "carbon dioxide from the air",
     .law = "A (C* - [CO2]) sqrt(D k [OH-] + kL^2), in series with the gas film; lid and skin factors",
     .extent_unit = "mol",
     .source = "rate: Pinsent, Pearson & Roughton, Trans. Faraday Soc. 52, 1512, 1956; factors estimates",
     .terms = {{S_AIR_CARBON_DIOXIDE, -1}, {S_HYDROXIDE, -2}, {S_CARBON, 1}, {S_WATER, 1}},
     .constants = {K_CO2_GAS_FILM, K_CO2_LOOSE_LID_FACTOR, K_CO2_TIGHT_LID_FACTOR, K_CO2_SKIN_FACTOR},
     .constant_count = 4,
     .reads = {S_INDIGO_FILM},
     .reads_count = 1,
     .ions = READS_ION(HYDROXIDE) | READS_ION(CARBON_DIOXIDE),
     .reads_air = true,
     .rate = carbon_dioxide_uptake},
};
