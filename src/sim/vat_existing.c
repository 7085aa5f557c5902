/* vat_existing.c: an existing vat's contents, worked out from what the dyer last read.
 *
 * What was stated is taken as stated. What was not is found from the chemistry: with undissolved lime the liquor is taken as
 * saturated, and a pH below that of limewater says how much acid the spent sugar left. When that would be more acid than a
 * vat can have made, the lime lies out of reach under its bed and the liquor is not saturated. Where cells live, the pH says how
 * much soda or potash there is, and the look whether the cells are at work.
 */
#include "sim/vat.h"

#include "chem/water.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>
#include <math.h>

#define SEARCH_ERROR 1e-12 /* relative, and mol/m3 */
#define SEARCH_STEPS_MOST 100
#define FULL_OF_LIME 1e4 /* saturation of a liquor that is past it */

struct search {
    const double *k; /* the model's constants */
    const struct speciation_constants *constants;
    struct liquor_totals totals;
};

/* What solve() looks for, as GSL takes it. */
struct goal {
    struct search *search;
    double *what;
    double value;
    double (*measure)(const struct search *search);
};

static double distance(double what, void *context)
{
    const struct goal *goal = context;
    *goal->what = what;
    return goal->measure(goal->search) - goal->value;
}

/* The value of *what between 0 and `most` at which `measure` is `goal`; the nearer end when it is so nowhere between. */
static double solve(struct search *search, double *what, double most, double goal,
                    double (*measure)(const struct search *search))
{
    struct goal context = {search, what, goal, measure};
    gsl_function function = {distance, &context};
    double at_low = distance(0.0, &context);
    double at_high = distance(most, &context);
    if (!(at_low * at_high < 0.0)) {
        return *what = fabs(at_low) <= fabs(at_high) ? 0.0 : most;
    }
    gsl_root_fsolver *solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    if (solver == NULL || gsl_root_fsolver_set(solver, &function, 0.0, most) != GSL_SUCCESS) {
        gsl_root_fsolver_free(solver);
        return *what = NAN; /* no memory: the run will end with no pH that balances */
    }
    for (int i = 0; i < SEARCH_STEPS_MOST && gsl_root_fsolver_iterate(solver) == GSL_SUCCESS; i++) {
        if (gsl_root_test_interval(gsl_root_fsolver_x_lower(solver), gsl_root_fsolver_x_upper(solver), SEARCH_ERROR,
                                   SEARCH_ERROR) == GSL_SUCCESS) {
            break;
        }
    }
    *what = gsl_root_fsolver_root(solver);
    gsl_root_fsolver_free(solver);
    return *what;
}

/* Whether a liquor without a pH in the model's range is so for its alkali: else it is for its acid. */
static bool is_caustic(const struct liquor_totals *totals)
{
    return 2.0 * totals->calcium + totals->alkali > totals->acid + totals->strong_anion;
}

static double measure_ph(const struct search *search)
{
    struct speciation ions;
    return speciate(search->constants, &search->totals, &ions) == 0 ? ions.ph
           : is_caustic(&search->totals)                            ? SPECIATION_PH_MOST
                                                                    : 0.0;
}

static double measure_saturation(const struct search *search)
{
    struct speciation ions;
    return speciate(search->constants, &search->totals, &ions) == 0 ? ions.lime_saturation
           : is_caustic(&search->totals)                            ? FULL_OF_LIME
                                                                    : 0.0;
}

/* pH of the liquor saturated with lime at the acid in search->totals. */
static double measure_saturated_ph(const struct search *search)
{
    struct search saturated = *search;
    (void)solve(&saturated, &saturated.totals.calcium, 1000.0, 1.0, measure_saturation);
    return measure_ph(&saturated);
}

/* Acid of a liquor saturated with lime, from its pH; false when none that a vat can have made fits. */
static bool saturated_acid(const struct existing_vat *vat, struct search *search)
{
    if (isnan(vat->ph)) {
        search->totals.acid = search->k[K_EXISTING_ACID];
        return true;
    }
    (void)solve(search, &search->totals.acid, 2.0 * search->k[K_EXISTING_ACID_MOST], vat->ph, measure_saturated_ph);
    return search->totals.acid <= search->k[K_EXISTING_ACID_MOST];
}

static void find_acid_and_calcium(const struct existing_vat *vat, struct search *search)
{
    const double most = 1000.0;
    bool acid_known = !isnan(search->totals.acid);
    double ph = isnan(vat->ph) ? search->k[K_EXISTING_PH] : vat->ph;
    if (vat->lime_solid > 0.0 && (acid_known ? isnan(vat->ph) : saturated_acid(vat, search))) {
        (void)solve(search, &search->totals.calcium, most, 1.0, measure_saturation);
    } else if (acid_known || vat->lime_solid > 0.0) {
        search->totals.acid = acid_known ? search->totals.acid : search->k[K_EXISTING_ACID];
        (void)solve(search, &search->totals.calcium, most, ph, measure_ph);
    } else {
        search->totals.calcium = search->k[K_EXISTING_CALCIUM];
        (void)solve(search, &search->totals.acid, most, ph, measure_ph);
    }
}

/* Soda or potash of a live vat, from its pH; what lime lies in its bed is out of reach under chalk. */
static void find_alkali(const struct existing_vat *vat, double usual_ph, struct search *search)
{
    if (isnan(search->totals.acid)) {
        search->totals.acid = search->k[K_EXISTING_FERMENTED];
    }
    search->totals.carbon = search->k[K_EXISTING_CARBONATE];
    (void)solve(search, &search->totals.alkali, 1000.0, isnan(vat->ph) ? usual_ph : vat->ph, measure_ph);
}

/* Leuco in all, mol: as given, or from the look. */
static double find_leuco(const struct existing_vat *vat, const double *k)
{
    if (!isnan(vat->leuco)) {
        return fmin(vat->leuco, vat->indigotin);
    }
    switch (vat->look) {
    case LOOK_GREEN: return k[K_LOOK_GREEN_SHARE] * vat->indigotin;
    case LOOK_FAINT_BRONZE: return k[K_LOOK_FAINT_SHARE] * vat->indigotin;
    case LOOK_BRONZE: return k[K_LOOK_BRONZE_SHARE] * vat->indigotin;
    default: return 0.0;
    }
}

struct status vat_fill_existing(struct vat *vat)
{
    const struct scenario *scenario = vat->scenario;
    const struct existing_vat *existing = &scenario->existing;
    const double *k = vat->constants;
    double volume = scenario->fill;
    double water = volume * water_density(existing->temperature_K) / WATER_MOLAR_MASS;
    double leuco = find_leuco(existing, k);

    struct speciation_parameters parameters = {k[K_LEUCO_PK1], k[K_LEUCO_PK2],        k[K_FRUCTOSE_PK],
                                               k[K_GLUCOSE_PK], k[K_HEXOSE_PK_SLOPE], k[K_CALCIUM_HEXOSE_LOGK],
                                               k[K_ACID_PK]};
    struct speciation_constants constants;
    speciation_constants_at(&parameters, existing->temperature_K, &constants);
    struct search search = {.k = k,
                            .constants = &constants,
                            .totals = {.acid = existing->acid / volume,
                                       .leuco = leuco / volume,
                                       .fructose = 0.5 * existing->hexose / volume,
                                       .glucose = 0.5 * existing->hexose / volume}};
    if (vat->ferments) {
        find_alkali(existing, k[K_ALKALI_SHORT_PH] + 0.5, &search);
    } else {
        find_acid_and_calcium(existing, &search);
    }
    double read = measure_ph(&search);
    if (!isnan(existing->ph) && fabs(read - existing->ph) > 0.1) {
        RETURN_IF_FAILED(vat_note(vat, NOTE_WARNING,
                                  "the pH of %.1f given for the vat cannot be: with this lime and temperature it is %.2f; "
                                  "the instrument is suspect",
                                  existing->ph, read));
    }

    const enum flow flow = FLOW_INITIAL;
    double acid = search.totals.acid * volume;
    if (vat->ferments) {
        double cells = leuco > 0.0 ? k[K_EXISTING_CELLS_LIVE] : k[K_EXISTING_CELLS_ASLEEP];
        vat_flow(vat, flow, S_ALKALI, search.totals.alkali * volume);
        vat_flow(vat, flow, S_CARBON, search.totals.carbon * volume);
        vat_flow(vat, flow, S_CELLS, cells * volume / MOLAR_CELLS);
        vat_flow(vat, flow, S_NITROGEN, k[K_EXISTING_NITROGEN] * volume);
        vat_flow(vat, flow, S_FEED_SLOW, k[K_EXISTING_SLOW_FEED] * volume / MOLAR_FEED);
    }
    double lactate = vat->ferments ? acid : acid * (2.0 * k[K_ACID_PER_HEXOSE] - 2.0) / k[K_ACID_PER_HEXOSE];
    double unreduced = existing->indigotin - leuco;
    double suspended = existing->age > 0.0 ? k[K_EXISTING_SUSPENDED_SHARE] * unreduced : unreduced;
    double sediment = (existing->lime_solid + existing->chalk) / volume;
    double held = leuco * k[K_LEUCO_HELD_BY_LIME] * sediment / (1.0 + k[K_LEUCO_HELD_BY_LIME] * sediment);
    double reserve = (vat->ferments ? 0.0 : k[K_RESERVE_SHARE]) * acid / k[K_ACID_PER_HEXOSE] *
                     exp(-k[K_RESERVE_DECAY_RATE_25C] * existing->age);
    vat_flow(vat, flow, S_WATER, water);
    vat_flow(vat, flow, S_HEAT, heat_of_temperature(existing->temperature_K, water));
    vat_flow(vat, flow, S_LEUCO, leuco - held);
    vat_flow(vat, flow, S_LEUCO_HELD, held);
    vat_flow(vat, flow, S_INDIGO_SUSPENDED, suspended);
    vat_flow(vat, flow, S_INDIGO_BED, unreduced - suspended);
    vat_flow(vat, flow, S_PARTICLES_SUSPENDED, suspended);
    vat_flow(vat, flow, S_PARTICLES_BED, unreduced - suspended);
    vat_flow(vat, flow, S_FRUCTOSE, 0.5 * existing->hexose);
    vat_flow(vat, flow, S_GLUCOSE, 0.5 * existing->hexose);
    vat_flow(vat, flow, S_LACTATE, lactate);
    vat_flow(vat, flow, S_SACCHARINATE, acid - lactate);
    vat_flow(vat, flow, S_RESERVE, reserve);
    vat_flow(vat, flow, S_CALCIUM, search.totals.calcium * volume);
    vat_flow(vat, flow, S_LIME_BED, existing->lime_solid);
    vat_flow(vat, flow, S_CHALK_BED, existing->chalk);
    vat_flow(vat, flow, S_RESIDUE, existing->residue);
    return status_ok();
}
