/* flows.c: matter and heat that come and go at an event, each booked where it came from or went. */
#include "sim/vat.h"

#include "chem/oxygen.h"
#include "chem/physics.h"
#include "chem/water.h"

#include <math.h>

#define OXYGEN_IN_AIR 0.2095
#define HOTTEST_FOR_OXYGEN 333.15 /* K; hotter water is taken to hold as little oxygen as at 60 degC */

void vat_flow(struct vat *vat, enum flow flow, enum species species, double amount)
{
    vat->amount[species] += amount;
    vat->books.flows[flow][species] += amount;
}

bool species_is_suspended(enum species species)
{
    return species == S_INDIGO_DRY || species == S_INDIGO_SUSPENDED || species == S_PARTICLES_SUSPENDED ||
           species == S_LIME_SUSPENDED || species == S_CHALK_SUSPENDED;
}

bool species_is_settled(enum species species)
{
    return species == S_INDIGO_BED || species == S_PARTICLES_BED || species == S_LIME_BED || species == S_CHALK_BED ||
           species == S_LEUCO_HELD || species == S_RESIDUE || species == S_FEED_FAST || species == S_FEED_SLOW ||
           species == S_DEBRIS;
}

bool species_is_dissolved(enum species species)
{
    return !species_is_suspended(species) && !species_is_settled(species) && species != S_INDIGO_FILM &&
           !(species >= S_CLOTH_0 && species <= S_CLOTH_7);
}

double vat_volume(const struct vat *vat)
{
    double temperature = temperature_of_heat(vat->amount[S_HEAT], vat->amount[S_WATER]);
    return vat->amount[S_WATER] * WATER_MOLAR_MASS / water_density(temperature);
}

void vat_bring_oxygen(struct vat *vat, enum flow flow, enum oxygen_source source, double amount)
{
    vat_flow(vat, flow, S_OXYGEN, amount);
    vat->books.oxygen_pending[source] += amount;
}

double air_oxygen(const struct vat *vat, double temperature_K)
{
    return OXYGEN_IN_AIR * vat->settings.pressure_atm * STANDARD_ATMOSPHERE / (GAS_CONSTANT * temperature_K);
}

void vat_pour_water(struct vat *vat, enum flow flow, double volume, double temperature_K)
{
    const struct make_up_water *water = &vat->scenario->water;
    double mol = volume * water_density(temperature_K) / WATER_MOLAR_MASS;
    double surplus = 2.0 * water->hardness - water->alkalinity; /* charge that other anions must balance */
    vat_flow(vat, flow, S_WATER, mol);
    vat_flow(vat, flow, S_HEAT, heat_of_temperature(temperature_K, mol));
    vat_flow(vat, flow, S_CALCIUM, volume * water->hardness);
    vat_flow(vat, flow, S_CARBON, volume * water->alkalinity);
    if (surplus > 0.0) {
        vat_flow(vat, flow, S_STRONG_ANION, volume * surplus);
    } else {
        vat_flow(vat, flow, S_ALKALI, -volume * surplus);
    }
    double saturation = oxygen_saturation(fmin(temperature_K, HOTTEST_FOR_OXYGEN), vat->settings.pressure_atm);
    vat_bring_oxygen(vat, flow, OXYGEN_BY_WATER, volume * saturation);
}

void vat_add_dose(struct vat *vat, const struct dose *dose, double temperature_K)
{
    const struct material *m = &vat->scenario->model.materials[dose->material];
    const double mass = dose->mass;
    double indigotin = m->indigotin;
    double lime = m->lime;
    double scale = 1.0; /* of sugars and the like, when the dyer knows the purity */
    double residue = m->residue;
    double chalk = m->chalk;
    if (!isnan(dose->purity)) {
        if (indigotin > 0.0) {
            residue = fmax(0.0, residue + indigotin - dose->purity);
            indigotin = dose->purity;
        } else if (lime > 0.0) {
            chalk = fmin(chalk, 1.0 - dose->purity);
            lime = dose->purity;
        } else if (!isnan(m->purity_nominal) && m->purity_nominal > 0.0) {
            scale = dose->purity / m->purity_nominal;
        }
    }
    const enum flow flow = FLOW_ADDED;
    double indigo = mass * indigotin / MOLAR_INDIGOTIN;
    if (m->dry_powder) {
        vat_flow(vat, flow, S_INDIGO_DRY, indigo);
    } else {
        double sinking = m->slow_feed > 0.0 ? vat->constants[K_LEAF_INDIGO_SINKING] : 0.0; /* dye of composted leaf sinks with its leaf */
        vat_flow(vat, flow, S_INDIGO_BED, sinking * indigo);
        vat_flow(vat, flow, S_PARTICLES_BED, sinking * indigo);
        vat_flow(vat, flow, S_INDIGO_SUSPENDED, (1.0 - sinking) * indigo);
        vat_flow(vat, flow, S_PARTICLES_SUSPENDED, (1.0 - sinking) * indigo);
    }
    vat_flow(vat, flow, S_FRUCTOSE, scale * mass * m->fructose / MOLAR_HEXOSE);
    vat_flow(vat, flow, S_GLUCOSE, scale * mass * m->glucose / MOLAR_HEXOSE);
    vat_flow(vat, flow, S_SUCROSE, scale * mass * m->sucrose / MOLAR_SUCROSE);
    vat_flow(vat, flow, S_LIME_SUSPENDED, mass * lime / MOLAR_LIME);
    vat_flow(vat, flow, S_CHALK_SUSPENDED, mass * chalk / MOLAR_CHALK);
    double carbonate = scale * mass * (m->soda / MOLAR_SODA + m->potash / MOLAR_POTASH);
    vat_flow(vat, flow, S_ALKALI, 2.0 * carbonate + scale * mass * m->causticity);
    vat_flow(vat, flow, S_CARBON, carbonate);
    vat_flow(vat, flow, S_ACID_ADDED, scale * mass * m->acid);
    vat_flow(vat, flow, S_MEDIATOR, mass * m->mediator);
    vat_flow(vat, flow, S_MEDIATOR_HIGH_PH, mass * m->mediator_high_ph);
    vat_flow(vat, flow, S_FEED_FAST, scale * mass * m->fast_feed / MOLAR_FEED);
    vat_flow(vat, flow, S_FEED_SLOW, scale * mass * m->slow_feed / MOLAR_FEED);
    vat_flow(vat, flow, S_NITROGEN, scale * mass * m->nitrogen);
    vat_flow(vat, flow, S_CELLS, mass * m->cells / MOLAR_CELLS);
    vat_flow(vat, flow, S_SPOILERS, mass * m->spoilers / MOLAR_CELLS);
    vat_flow(vat, flow, S_LACTATE, mass * m->lactate);
    vat_flow(vat, flow, S_RESIDUE, mass * residue);
    double water = mass * m->water / WATER_MOLAR_MASS;
    double temperature = isnan(temperature_K) ? air_temperature(&vat->settings, vat->time) : temperature_K;
    vat_flow(vat, flow, S_WATER, water);
    vat_flow(vat, flow, S_HEAT, heat_of_temperature(temperature, water));
}

void vat_take_liquor(struct vat *vat, enum flow flow, double share, double *taken)
{
    for (int s = 0; s < STATE_COUNT; s++) {
        if (species_is_dissolved((enum species)s) || species_is_suspended((enum species)s)) {
            double amount = share * vat->amount[s];
            vat_flow(vat, flow, (enum species)s, -amount);
            if (taken != NULL) {
                taken[s] += amount;
            }
        }
    }
}

void vat_move(struct vat *vat, enum species from, enum species to, double amount)
{
    vat->amount[from] -= amount;
    vat->amount[to] += amount;
    vat->books.moved[from] -= amount;
    vat->books.moved[to] += amount;
}

void vat_resuspend(struct vat *vat, double share)
{
    static const enum species pairs[][2] = {{S_INDIGO_BED, S_INDIGO_SUSPENDED},
                                            {S_PARTICLES_BED, S_PARTICLES_SUSPENDED},
                                            {S_LIME_BED, S_LIME_SUSPENDED},
                                            {S_CHALK_BED, S_CHALK_SUSPENDED}};
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
        vat_move(vat, pairs[i][0], pairs[i][1], share * vat->amount[pairs[i][0]]);
    }
}

double vat_overflow(struct vat *vat)
{
    double volume = vat_volume(vat);
    double room = vat->capacity;
    for (int i = 0; i < MAX_SOAKING_ZONES; i++) {
        if (vat->settings.cloth[i].in) {
            room -= vat->settings.cloth[i].displaced;
        }
    }
    if (volume <= room) {
        return 0.0;
    }
    vat_take_liquor(vat, FLOW_OVERFLOWED, (volume - room) / volume, NULL);
    return volume - room;
}
