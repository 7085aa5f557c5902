/* liquor.h: everything a rate law may read at one moment, worked out once per evaluation from the amounts.
 *
 * Concentrations are per volume of liquor, mol/m3 (kg/m3 for the species counted in kg). `settings` holds what is constant
 * between two events: lid, stirring, cloth in the liquor, heater, place.
 */
#ifndef VATCAST_PROCESS_LIQUOR_H
#define VATCAST_PROCESS_LIQUOR_H

#include "base/constants.h"
#include "base/lanes.h"
#include "chem/speciation.h"
#include "process/species.h"
#include "process/temperature.h"

#include <stdbool.h>
#include <stddef.h>

enum stirring { STIRRING_NONE, STIRRING_GENTLE, STIRRING_BRISK, STIRRING_WHIP };

/* A group of like pieces soaking in the liquor, or one zone of them. All of it fixed while they soak. */
struct soaking_cloth {
    int in;               /* 0 or 1 */
    int ph_response;      /* 0 cellulose, 1 silk, 2 wool */
    double mass;          /* kg dry, all pieces */
    double freundlich;    /* kg indigotin per kg at 1 kg/m3 leuco, 28 degC, best pH */
    double exponent;
    double cap;           /* kg/kg */
    double rate_30C;      /* 1/s, ln 2 over the half-time at 30 degC */
    double loaded;        /* kg/kg on the cloth before this dip, oxidised */
    double displaced;     /* m3 of liquor that the wet cloth displaces */
};

/* What stays the same between two events. It is compared byte by byte, so there are no gaps between its fields nor in those of
 * soaking_cloth: what stands in a gap may differ between two that are the same. */
struct settings {
    const double *constants; /* CONSTANT_COUNT values, SI; borrowed */
    /* vessel */
    double area;        /* m2, of the liquor's surface and of the bed */
    double perimeter;   /* m, of the wetted wall */
    double wall_u;      /* W/m2/K through the wall, wrap included */
    double surface_u;   /* W/m2/K from the surface or lid, without evaporation */
    double lid_oxygen, lid_carbon_dioxide, lid_evaporation; /* factors; 1 without a lid */
    /* place */
    double night_K, day_K, humidity, draught, carbon_dioxide, pressure_atm, sun_gain; /* sun_gain W/m2 at noon */
    double start_of_day; /* s after midnight at time 0 */
    /* work */
    enum stirring stirring;
    int covered;          /* 0 or 1 */
    int lifeless;         /* 1: no process reads how cells fare, which is not worked out */
    int none;             /* 0: fills the gap */
    double heater_power;  /* W while the heater runs at full power; 0 when off */
    double heater_hold_K; /* set point of a thermostat that eases off; 0: no thermostat */
    struct soaking_cloth cloth[MAX_SOAKING_ZONES];
};
_Static_assert(sizeof(struct soaking_cloth) == 2 * sizeof(int) + 7 * sizeof(double), "no gaps");
_Static_assert(sizeof(struct settings) == sizeof(double *) + 17 * sizeof(double) + sizeof(enum stirring) + 3 * sizeof(int) +
                                              (size_t)MAX_SOAKING_ZONES * sizeof(struct soaking_cloth),
               "no gaps");

struct liquor {
    const struct settings *settings;
    const double *k;             /* the constants: settings->constants */
    const double *amount;        /* STATE_COUNT amounts */
    double time;                 /* s since start */
    double temperature_K;
    double volume;               /* m3 */
    double height;               /* m of liquor above the vessel's bottom */
    double concentration[STATE_COUNT];
    struct liquor_totals totals; /* that the ions were worked out from */
    struct speciation ions;
    struct temperature_factors at; /* this temperature's */
    double air_K;
    double sun;                  /* W/m2 falling on the vat */
    double film_cover;           /* share of the surface */
    double film_share;           /* of the oxygen through the surface that makes bronze film */
    double transfer;             /* m/s, of oxygen through the surface: see surface.h */
    double oxygen_flux;          /* mol/s through the surface, from the air */
    double evaporation;          /* kg/s into the air */
    double surface_suspended, surface_bed; /* m2 of undissolved indigo: see indigo.c */
    double reduction;            /* mol/s reduced per m2 of surface and mol/m3 of a donor of factor 1: see indigo.c */
    double lime_gap;             /* (C_sat - C)/C_sat of Ca(OH)2: see lime.c */
    double cell_vigour, spoiler_vigour; /* share of the best growth that temperature and pH allow, 0 to 1 */
    double cell_loss, spoiler_loss;     /* 1/s */
    double feed_opening;         /* share of the best opening of feed: see fermentation_rates.c */
    double cells_growing, spoilers_growing; /* mol/s */
    double cell_reduction;       /* mol/s of indigo for each mol/m3 of it in reach */
    int failure;                 /* non-zero when no pH could be found or an amount is not finite */
};

/* Works out the liquor from amounts at a time. What only temperature decides is read from `table`, or worked out afresh when
 * that is NULL. Pure in its result. */
void liquor_from_amounts(struct liquor *liquor, const struct settings *settings, double time, const double *amount,
                         struct temperature_table *table);

/* How the equilibria of a liquor change with its temperature and totals, to first order. `ions` may be those of a liquor nearby: they
 * belong to the temperature and the totals given. */
struct liquor_slopes {
    double temperature_K;
    struct liquor_totals totals;
    struct speciation ions;
    struct speciation_slopes by;
};

/* What liquor is asked for. */
struct liquor_asked {
    struct liquor *liquor;
    const struct settings *settings;
    double time;
    const double *amount;
    struct temperature_table *table;  /* may be NULL */
    const struct liquor_slopes *near; /* of a liquor nearby; NULL: none is known */
    bool looks_only; /* of what rates share only the cover of the film and the vigour of cells are worked out: what one can see and
                      * judge of a vat is told by them */
};

/* The same as liquor_from_amounts near a liquor whose slopes are known: the search for the equilibria starts from what they
 * foretell, and ends within some 1e-10 of what it would have found from afar. */
void liquor_from_near(const struct liquor_asked *asked);

/* The same for `count` liquors at once, 1 to LANES, on a processor that has `kind`: each comes out as by itself, to the last bit. */
void liquors_from_near(enum lanes_kind kind, const struct liquor_asked asked[], int count);

/* Totals from which the liquor's ions are worked out, mol/m3. */
struct liquor_totals liquor_totals_of(const double *amount, double volume);

/* The same liquor after a change of amounts that touch neither temperature, volume nor any equilibrium (solids, cloth,
 * oxygen, reductone ...): see species_touches_equilibrium. */
void liquor_update_inert(struct liquor *liquor, const double *amount);
bool species_touches_equilibrium(enum species species);

/* Charges of an acid's anion, which enters the equilibria by them alone and no rate by itself; 0 for all else. */
double species_acid_charges(enum species species);

/* Heat content zero point and the temperature of an amount of heat in an amount of water. */
#define HEAT_ZERO_K 273.15
double temperature_of_heat(double heat, double water_mol);
double heat_of_temperature(double temperature_K, double water_mol);

/* What cloth would take from this liquor at equilibrium, kg indigotin per kg: Freundlich, with pH, temperature and the room
 * left on its surface. See cloth.c. */
double cloth_equilibrium(const struct liquor *liquor, const struct soaking_cloth *cloth);

/* Air temperature and sun of a place at a time; how fast they change, K/s and W/m2/s. */
double air_temperature(const struct settings *settings, double time);
double sun_strength(const struct settings *settings, double time);
double air_temperature_slope(const struct settings *settings, double time);
double sun_strength_slope(const struct settings *settings, double time);

#endif
