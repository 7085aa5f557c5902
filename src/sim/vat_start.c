/* vat_start.c: lays a scenario out into a vat: settings, first amounts, workspaces. */
#include "sim/vat.h"

#include "chem/oxygen.h"
#include "chem/water.h"
#include "sim/ledger.h"

#include <gsl/gsl_math.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SECONDS_OF_DAY 86400.0
/* The first days decide what comes after, and some runs have no other: calculated to an eighth of the tolerance, and closer where
 * there may be next to nothing of an amount. Chosen by trial, for errors of at most 1e-4 in all scenarios. */
#define EARLY (2.0 * 86400.0) /* s */
#define EARLY_TIGHTER 0.12
#define EARLY_RESERVE 0.003 /* of the absolute tolerance */
#define EARLY_OXYGEN 0.015
#define LIVING_TIGHTER 0.8 /* of the tolerance: what grows by itself makes errors grow, too */

static double surface_area(const struct vessel *vessel)
{
    return vessel->shape == SHAPE_ROUND ? 0.25 * M_PI * vessel->diameter * vessel->diameter
                                        : vessel->length * vessel->width;
}

static double wall_perimeter(const struct vessel *vessel)
{
    return vessel->shape == SHAPE_ROUND ? M_PI * vessel->diameter : 2.0 * (vessel->length + vessel->width);
}

void vat_set_lid(struct vat *vat, enum lid_kind lid)
{
    const double *k = vat->constants;
    struct settings *settings = &vat->settings;
    vat->lid = lid;
    settings->lid_oxygen = lid == LID_NONE ? 1.0 : k[lid == LID_LOOSE ? K_KL_LOOSE_LID_FACTOR : K_KL_TIGHT_LID_FACTOR];
    settings->lid_carbon_dioxide =
        lid == LID_NONE ? 1.0 : k[lid == LID_LOOSE ? K_CO2_LOOSE_LID_FACTOR : K_CO2_TIGHT_LID_FACTOR];
    settings->lid_evaporation =
        lid == LID_NONE ? 1.0 : k[lid == LID_LOOSE ? K_EVAPORATION_LOOSE_LID_FACTOR : K_EVAPORATION_TIGHT_LID_FACTOR];
    settings->covered = lid != LID_NONE;
    vat_set_wrap(vat, vat->wrap);
}

void vat_set_wrap(struct vat *vat, enum wrap_kind wrap)
{
    const double *k = vat->constants;
    static const enum constant_id walls[] = {[WALL_PLASTIC] = K_WALL_U_PLASTIC,
                                             [WALL_METAL] = K_WALL_U_METAL,
                                             [WALL_WOOD] = K_WALL_U_WOOD,
                                             [WALL_CERAMIC] = K_WALL_U_CERAMIC};
    vat->wrap = wrap;
    double wall = k[walls[vat->scenario->vessel.wall]];
    double top = k[vat->lid == LID_NONE ? K_SURFACE_U_OPEN : K_SURFACE_U_LID];
    if (wrap != WRAP_NONE) {
        double wrapped = k[wrap == WRAP_BLANKET ? K_WRAP_U_BLANKET : K_WRAP_U_FOAM];
        wall = fmin(wall, wrapped);
        if (vat->lid != LID_NONE) {
            top = fmin(top, wrapped);
        }
    }
    vat->settings.wall_u = wall;
    vat->settings.surface_u = top;
}

void vat_set_place(struct vat *vat, int place)
{
    static const double sun_share[] = {[SUN_SHADE] = 0.0, [SUN_HALF] = 0.5, [SUN_FULL] = 1.0};
    const struct place *at = &vat->scenario->places[place];
    struct settings *settings = &vat->settings;
    vat->place = place;
    settings->night_K = at->night_K;
    settings->day_K = at->day_K;
    settings->humidity = at->humidity;
    settings->draught = at->draught;
    settings->carbon_dioxide = at->co2;
    settings->pressure_atm = air_pressure_atm(at->altitude);
    settings->sun_gain = sun_share[at->sun] * vat->constants[K_SUN_GAIN_FULL];
}

static struct status fill_fresh(struct vat *vat)
{
    const struct scenario *scenario = vat->scenario;
    vat_pour_water(vat, FLOW_TOPPED_UP, scenario->fill, scenario->water.temperature_K);
    for (size_t i = 0; i < scenario->charge_count; i++) {
        vat_add_dose(vat, &scenario->charge[i], scenario->water.temperature_K);
    }
    return status_ok();
}

static struct status make_integrator(struct vat *vat)
{
    double absolute[STATE_COUNT];
    double early[STATE_COUNT];
    double below[STATE_COUNT];
    reaction_prepare(vat);
    ledger_open(vat);
    double relative = vat->result->rtol * (vat->ferments ? LIVING_TIGHTER : 1.0);
    for (int s = 0; s < STATE_COUNT; s++) {
        absolute[s] = early[s] = relative * vat->reaction.typical[s];
        below[s] = BELOW_ZERO_MOST * absolute[s];
    }
    below[S_HEAT] = INFINITY; /* told from a zero of its own */
    struct ode_problem problem = reaction_problem(&vat->reaction);
    early[S_RESERVE] *= EARLY_RESERVE;
    early[S_OXYGEN] *= EARLY_OXYGEN;
    problem.early = EARLY;
    problem.early_relative = EARLY_TIGHTER * relative;
    problem.early_absolute = early;
    problem.below = below;
    return ode_create(&problem, relative, absolute, &vat->ode);
}

static struct status judge_liquor(const struct vat *vat)
{
    if (vat->liquor.failure != 0) {
        return status_fail(
            STATUS_NUMERIC,
            "on day %.0f no pH from 0 to 14.5 balances the charges of the liquor (temperature %.4g degC, %.4g kg of "
            "water): far less acid or alkali",
            floor(vat->time / SECONDS_OF_DAY) + 1.0,
            temperature_of_heat(vat->amount[S_HEAT], vat->amount[S_WATER]) - HEAT_ZERO_K,
            vat->amount[S_WATER] * WATER_MOLAR_MASS);
    }
    return status_ok();
}

/* A liquor of the vat, of which only what can be seen and judged is read. */
static struct liquor_asked ask_liquor(struct vat *vat, double time, const double *amount, struct liquor *liquor)
{
    struct reaction *reaction = &vat->reaction;
    return (struct liquor_asked){.liquor = liquor,
                                 .settings = &vat->settings,
                                 .time = time,
                                 .amount = amount,
                                 .table = &reaction->temperatures,
                                 .near = reaction->slopes_known ? &reaction->slopes : NULL,
                                 .looks_only = true};
}

struct status vat_refresh(struct vat *vat)
{
    const struct liquor_asked asked = ask_liquor(vat, vat->time, vat->amount, &vat->liquor);
    liquor_from_near(&asked);
    return judge_liquor(vat);
}

void vat_foresee(struct vat *vat, enum lanes_kind kind, struct foreseen foreseen[], int count)
{
    struct liquor_asked asked[LANES];
    for (int i = 0; i < count; i++) {
        asked[i] = ask_liquor(vat, foreseen[i].time, foreseen[i].amount, &foreseen[i].liquor);
    }
    liquors_from_near(kind, asked, count);
}

struct status vat_refresh_as(struct vat *vat, const struct foreseen *foreseen)
{
    vat->time = foreseen->time;
    memcpy(vat->amount, foreseen->amount, sizeof vat->amount);
    vat->liquor = foreseen->liquor;
    vat->liquor.amount = vat->amount;
    return judge_liquor(vat);
}

struct status vat_start(struct vat *vat, const struct scenario *scenario, struct result *result)
{
    memset(vat, 0, sizeof *vat);
    vat->scenario = scenario;
    vat->result = result;
    vat->last_dip_end = -INFINITY;
    vat->heater_event = -1;
    for (int i = 0; i < CONSTANT_COUNT; i++) {
        vat->constants[i] = scenario->model.constants[i].nominal;
    }
    vat->settings.constants = vat->constants;
    vat->settings.area = surface_area(&scenario->vessel);
    vat->settings.perimeter = wall_perimeter(&scenario->vessel);
    vat->settings.start_of_day = fmod(scenario->start_unix, SECONDS_OF_DAY);
    vat->capacity = vat->settings.area * scenario->vessel.depth;
    vat->lid = scenario->vessel.lid;
    vat_set_wrap(vat, scenario->vessel.wrap);
    vat_set_lid(vat, scenario->vessel.lid);
    vat_set_place(vat, 0);

    vat->rng = gsl_rng_alloc(gsl_rng_mt19937);
    if (vat->rng == NULL) {
        return status_fail(STATUS_MEMORY, "no memory for the instruments");
    }
    gsl_rng_set(vat->rng, (unsigned long)scenario->seed);
    RETURN_IF_FAILED(cloth_prepare(vat));
    RETURN_IF_FAILED(make_integrator(vat));
    RETURN_IF_FAILED(scenario->existing.exists ? vat_fill_existing(vat) : fill_fresh(vat));
    return vat_refresh(vat);
}

void vat_free(struct vat *vat)
{
    ode_free(vat->ode);
    if (vat->rng != NULL) {
        gsl_rng_free(vat->rng);
    }
    free(vat->pieces);
    free(vat->group_pieces);
    free(vat->dippings);
    memset(vat, 0, sizeof *vat);
}
