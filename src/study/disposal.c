/* disposal.c: see disposal.h. */
#include "study/disposal.h"

#include "chem/physics.h"
#include "chem/water.h"
#include "process/species.h"
#include "sim/run.h"
#include "study/readings.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>
#include <math.h>
#include <string.h>

#define ROOT_ERROR 1e-9
#define STEPS_MOST 100
#define ACID_MOST 20.0 /* times what the lime and the dissolved calcium could take up; beyond that nothing helps */

/* ---- titration ---------------------------------------------------------------------------------------------------- */

double ph_with_acid(const struct alkaline *liquor, double mass, double charge_per_kg, double water_per_kg)
{
    struct speciation_constants constants;
    struct speciation ions;
    struct liquor_totals t = liquor->totals;
    double added = mass * water_per_kg / water_density(liquor->temperature_K);
    double share = liquor->volume / (liquor->volume + added);
    double *const each[] = {&t.calcium, &t.alkali, &t.strong_anion, &t.acid,
                            &t.carbon,  &t.leuco,  &t.fructose,     &t.glucose};
    t.calcium += liquor->lime / liquor->volume;
    t.acid += mass * charge_per_kg / liquor->volume;
    for (size_t i = 0; i < sizeof each / sizeof each[0]; i++) {
        *each[i] *= share;
    }
    speciation_constants_at(&liquor->parameters, liquor->temperature_K, &constants);
    return speciate(&constants, &t, &ions) == 0 ? ions.ph : NAN;
}

struct titration {
    const struct alkaline *liquor;
    double ph, charge, water;
};

static double above(double mass, void *context)
{
    const struct titration *titration = context;
    return ph_with_acid(titration->liquor, mass, titration->charge, titration->water) - titration->ph;
}

double acid_to_reach(const struct alkaline *liquor, double ph, double charge_per_kg, double water_per_kg)
{
    struct titration titration = {liquor, ph, charge_per_kg, water_per_kg};
    gsl_function function = {above, &titration};
    const struct liquor_totals *t = &liquor->totals;
    double alkaline_most = liquor->volume * (2.0 * t->calcium + t->alkali) + 2.0 * liquor->lime;
    double most = ACID_MOST * alkaline_most / charge_per_kg;
    double at_none = above(0.0, &titration);
    if (at_none <= 0.0) {
        return 0.0;
    }
    gsl_root_fsolver *solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    double found = NAN;
    if (solver != NULL && above(most, &titration) < 0.0 &&
        gsl_root_fsolver_set(solver, &function, 0.0, most) == GSL_SUCCESS) {
        for (int i = 0; i < STEPS_MOST && gsl_root_fsolver_iterate(solver) == GSL_SUCCESS; i++) {
            found = gsl_root_fsolver_root(solver);
            if (gsl_root_test_interval(gsl_root_fsolver_x_lower(solver), gsl_root_fsolver_x_upper(solver), 0.0,
                                       ROOT_ERROR) == GSL_SUCCESS) {
                break;
            }
        }
    }
    gsl_root_fsolver_free(solver);
    return found;
}

/* ---- the vat of a scenario ---------------------------------------------------------------------------------------- */

static double first(const struct result *result, const char *name)
{
    return table_column(&result->series, name)->values[0];
}

/* Soda or potash that the series do not tell of shows in the pH. */
static void find_alkali(struct alkaline *liquor, double ph)
{
    double low = 0.0;
    double high = 2000.0;
    double lime = liquor->lime;
    liquor->lime = 0.0;
    if (ph_with_acid(liquor, 0.0, 1.0, 0.0) < ph - 1e-6) {
        for (int i = 0; i < 60; i++) {
            liquor->totals.alkali = 0.5 * (low + high);
            if (ph_with_acid(liquor, 0.0, 1.0, 0.0) < ph) {
                low = liquor->totals.alkali;
            } else {
                high = liquor->totals.alkali;
            }
        }
    }
    liquor->lime = lime;
}

static struct alkaline liquor_of(const struct scenario *scenario, const struct result *result)
{
    const struct constant *k = scenario->model.constants;
    struct alkaline liquor = {
        .totals = {.calcium = first(result, "calcium"),
                   .acid = first(result, "acid"),
                   .carbon = first(result, "carbonate"),
                   .leuco = first(result, "leuco") / MOLAR_INDIGOTIN,
                   .fructose = first(result, "fructose") / MOLAR_HEXOSE,
                   .glucose = first(result, "glucose") / MOLAR_HEXOSE},
        .volume = 1e-3 * first(result, "volume"),
        .lime = 1e-3 * first(result, "lime_solid") / MOLAR_LIME,
        .temperature_K = CELSIUS_ZERO + first(result, "temperature"),
        .parameters = {k[K_LEUCO_PK1].nominal, k[K_LEUCO_PK2].nominal, k[K_FRUCTOSE_PK].nominal,
                       k[K_GLUCOSE_PK].nominal, k[K_HEXOSE_PK_SLOPE].nominal, k[K_CALCIUM_HEXOSE_LOGK].nominal,
                       k[K_ACID_PK].nominal},
    };
    find_alkali(&liquor, first(result, "ph"));
    liquor.totals.leuco = 0.0; /* aired first: it turns back to indigo, and leaves its alkali */
    return liquor;
}

static void find_acids(const struct scenario *scenario, const struct alkaline *liquor, struct disposal *disposal)
{
    static const char *const names[DISPOSAL_ACIDS] = {"vinegar", "citric acid"};
    const struct model *model = &scenario->model;
    struct alkaline clear = *liquor;
    clear.lime = 0.0;
    disposal->ph_half = NAN;
    for (int i = 0; i < DISPOSAL_ACIDS; i++) {
        struct neutraliser *acid = &disposal->acids[i];
        *acid = (struct neutraliser){-1, NAN, NAN};
        for (size_t m = 0; m < model->material_count; m++) {
            const struct material *material = &model->materials[m];
            if (strcmp(material->name, names[i]) == 0 && material->acid > 0.0) {
                acid->material = (int)m;
                acid->liquor = acid_to_reach(&clear, DISPOSAL_PH, material->acid, material->water);
                acid->all = acid_to_reach(liquor, DISPOSAL_PH, material->acid, material->water);
                disposal->ph_half = ph_with_acid(&clear, 0.5 * acid->liquor, material->acid, material->water);
            }
        }
    }
}

/* The lime that the dyer did not state: the most that the readings leave open, for an acid too little does no harm but one
 * counted too low is no answer. */
static struct existing_vat with_lime(const struct scenario *scenario, bool *known)
{
    struct belief beliefs[BELIEFS_MOST];
    struct existing_vat vat = scenario->existing;
    *known = vat.lime_known;
    if (!vat.lime_known) {
        int count = readings_believe(scenario, NAN, beliefs);
        for (int i = 0; i < count; i++) {
            vat.lime_solid = fmax(vat.lime_solid, beliefs[i].lime_solid * scenario->fill / MOLAR_LIME);
        }
    }
    return vat;
}

struct status disposal_find(const struct scenario *scenario, struct disposal *disposal)
{
    *disposal = (struct disposal){.volume = 0.0};
    if (!scenario->existing.exists) {
        return status_fail(STATUS_SCENARIO, "'%.200s' makes a fresh vat; one to be thrown away needs vat.existing",
                           scenario->path);
    }
    struct scenario now = *scenario; /* borrows all; never freed */
    struct result result;
    now.existing = with_lime(scenario, &disposal->lime_known);
    now.scenario_text = NULL;
    now.model.model_text = NULL;
    now.event_count = 0;
    now.cloth_count = 0;
    now.lasts = 1.0;
    now.record_every = 1.0;
    struct status status = run_scenario(&now, NULL, &result);
    if (status_is_ok(&status)) {
        struct alkaline liquor = liquor_of(&now, &result);
        disposal->volume = liquor.volume;
        disposal->ph = first(&result, "ph");
        disposal->temperature_K = liquor.temperature_K;
        disposal->lime = liquor.lime * MOLAR_LIME;
        disposal->chalk = 1e-3 * first(&result, "chalk");
        disposal->indigo = scenario->existing.indigotin * MOLAR_INDIGOTIN;
        find_acids(scenario, &liquor, disposal);
    }
    result_free(&result);
    return status;
}
