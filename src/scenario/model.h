/* model.h: a vat model as plain data: constants with their ranges and sources, processes switched on, materials, fibres.
 *
 * The names and units of the constants are fixed by the code that uses them (base/constants.h); the numbers come from
 * models/NAME.conf, models/materials.conf and models/fibres.conf.
 */
#ifndef VATCAST_SCENARIO_MODEL_H
#define VATCAST_SCENARIO_MODEL_H

#include "base/constants.h"

#include <stdbool.h>
#include <stddef.h>

#define MODEL_NAME_SIZE 64
#define SOURCE_SIZE 256
#define PROCESSES_MOST 96

struct constant {
    double low, nominal, high; /* SI units as base/constants.h says */
    char source[SOURCE_SIZE];  /* author, title, year; or "common practice, no source"; or "estimate" */
    char about[SOURCE_SIZE];   /* what it is, in words */
};

/* Kinds of material: "indigo", "sugar", "lime", "alkali", "acid", "mediator", "food", "other". */
#define MATERIAL_KINDS 8
extern const char *const material_kind_words[MATERIAL_KINDS + 1];

/* What a kilogram of a material brings into the vat. All shares are kg per kg as bought; what is left over is water when
 * `wet`, else inert. Purity given in a scenario scales `active`, the one share that the material is bought for. */
struct material {
    char name[MODEL_NAME_SIZE]; /* "slaked lime" */
    char kind[MODEL_NAME_SIZE]; /* of material_kind_words */
    double indigotin;           /* kg/kg */
    double fructose, glucose;   /* kg/kg, free sugars that reduce (others that reduce count as glucose) */
    double sucrose;             /* kg/kg, does not reduce */
    double lime;                /* kg Ca(OH)2 per kg */
    double chalk;               /* kg CaCO3 per kg */
    double soda, potash;        /* kg Na2CO3 per kg, kg K2CO3 per kg */
    double fast_feed, slow_feed; /* kg/kg, what cells turn to sugar within days, within weeks (starch; bran's fibre) */
    double lactate;             /* mol per kg, of the spent food in old vat liquor */
    double nitrogen;            /* mol of nitrogen that cells can use per kg */
    double cells, spoilers;     /* kg/kg, living cells that reduce indigo, that spoil a vat */
    double causticity;          /* mol of alkali without carbonate per kg, as in ash lye; at most 0.1 */
    double acid;                /* mol of acid charge per kg (vinegar, citric acid, acidity of honey) */
    double mediator;            /* kg of anthraquinone-bearing plant matter (madder) per kg */
    double mediator_high_ph;    /* kg of naphthoquinone-bearing plant matter (henna), works above pH 12 only */
    double residue;             /* kg insoluble matter per kg */
    double water;               /* kg water per kg */
    double bulk_density, bulk_density_low,
        bulk_density_high; /* kg/m3: turns spoons and cups into mass; NAN: not measured by spoon */
    double purity_low, purity_nominal,
        purity_high; /* kg active per kg, for `indigo powder` and the like; NAN otherwise */
    bool dry_powder; /* indigo that must be wetted before it reduces */
    char source[SOURCE_SIZE];
    char caution[SOURCE_SIZE]; /* "" or the short caution printed when a dyer handles it */
    int line;
};

struct fibre {
    char name[MODEL_NAME_SIZE]; /* "cotton" */
    struct constant freundlich; /* kg indigotin per kg fibre at 1 kg/m3 leuco (as indigotin), 28 C, best pH */
    struct constant exponent;   /* of the leuco concentration */
    struct constant cap;        /* kg/kg, surface saturation */
    struct constant half_time;  /* s at 150 g/m2, 30 C, opened cloth moved gently */
    struct constant pickup_hand, pickup_drip,
        pickup_spin;                   /* kg liquor per kg dry cloth after wringing by hand, dripping only, spinning */
    struct constant air_dry;           /* m3 of air carried under per kg of dry cloth */
    struct constant air_wetted;        /* m3 of air carried under per kg of wetted-out, squeezed cloth */
    double reflect_450, reflect_650;   /* of the undyed cloth, 0 to 1 */
    double peak_nm;                    /* of indigo's absorption on it */
    double ring_share;                 /* of its depth of colour, from dye in a thin ring; 0 to 1 */
    double density;                    /* kg/m3 of the fibre itself */
    char ph_response[MODEL_NAME_SIZE]; /* "cellulose" | "silk" | "wool" */
    double ph_limit;                   /* above this the fibre is damaged; NAN: none */
};

struct model {
    char name[MODEL_NAME_SIZE];
    char about[SOURCE_SIZE];
    char path[512];
    struct constant constants[CONSTANT_COUNT];
    bool process_on[PROCESSES_MOST]; /* by index in the process registry */
    struct material *materials;      /* owned */
    size_t material_count;
    struct fibre *fibres; /* owned */
    size_t fibre_count;
    char *model_text; /* owned: model, materials and fibres files in full, for provenance */
};

void model_free(struct model *model);

#endif
