/* disposal.h: what it takes to neutralise a vat at the end of its life.
 *
 * The acid is found from the liquor's own alkalinity: the charge balance of src/chem with what the spent sugar has already
 * neutralised, the undissolved lime, and the water that the acid brings. Carbonate is taken as staying in solution and chalk as
 * staying solid, which asks for a little more acid than a vat that stands open for a day or two.
 */
#ifndef VATCAST_STUDY_DISPOSAL_H
#define VATCAST_STUDY_DISPOSAL_H

#include "base/status.h"
#include "chem/speciation.h"
#include "scenario/scenario.h"

#define DISPOSAL_PH 8.5 /* common practice, no source: between 7 and 9; drains commonly bear 5.5 to 8.5 */
#define DISPOSAL_ACIDS 2

/* A liquor to be neutralised. */
struct alkaline {
    struct liquor_totals totals; /* mol/m3, before */
    double volume;               /* m3 */
    double lime;                 /* mol Ca(OH)2 undissolved, that dissolves as acid goes in */
    double temperature_K;
    struct speciation_parameters parameters;
};

/* The mass of an acid (kg as bought: acid charge in mol/kg, water in kg/kg) that brings the liquor to a pH between 5 and 12;
 * 0 when it is there already, NAN when no amount does. */
double acid_to_reach(const struct alkaline *liquor, double ph, double charge_per_kg, double water_per_kg);

/* The pH of the liquor with `mass` kg of that acid in it; NAN when no pH balances the charges. */
double ph_with_acid(const struct alkaline *liquor, double mass, double charge_per_kg, double water_per_kg);

struct neutraliser {
    int material;  /* index into model.materials; -1: there is none */
    double liquor; /* kg for the clear liquor alone */
    double all;    /* kg for the liquor with all its undissolved lime */
};

struct disposal {
    double volume; /* m3 of liquor */
    double ph;     /* now */
    double temperature_K;
    double lime;                              /* kg Ca(OH)2 undissolved */
    bool lime_known;                          /* stated; else believed from the readings, the most that fits */
    double chalk;                             /* kg */
    double indigo;                            /* kg of indigotin */
    double ph_half;                           /* of the clear liquor with half its acid */
    struct neutraliser acids[DISPOSAL_ACIDS]; /* vinegar, citric acid */
};

/* For the existing vat of a scenario (STATUS_SCENARIO without one). Errors: those of run_scenario. */
struct status disposal_find(const struct scenario *scenario, struct disposal *disposal) MUST_USE;

#endif
