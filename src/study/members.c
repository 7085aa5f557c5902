/* members.c: see members.h. */
#include "study/members.h"

#include "study/variant.h"

#include <gsl/gsl_qrng.h>
#include <math.h>

#define WIDE 5.0 /* high over low beyond which a range is taken in logarithms */

/* Chosen by moving each constant of the sugar-lime model alone from its low to its high value, in the vat of
 * scenarios/fresh-vat.conf: these move what it dyes in a session by more than four per cent. GSL's Sobol' sequence has 40
 * dimensions. What counts as usable leuco is no property of a vat and is not drawn. */
static const enum constant_id drawn[] = {
    K_LEUCO_PK2,
    K_LEUCO_HELD_BY_LIME,
    K_REDUCTION_RATE_65C,
    K_REDUCTION_ACTIVATION,
    K_REDUCTION_SUGAR_HALF,
    K_FRUCTOSE_REDUCTION_FACTOR,
    K_RESERVE_REDUCTION_FACTOR,
    K_INDIGO_DIAMETER,
    K_INDIGO_FLOC_DIAMETER,
    K_INDIGO_WETTING_TIME,
    K_ENOLISATION_RATE_25C,
    K_ENOLISATION_ACTIVATION,
    K_ENOLISATION_IRREVERSIBLE_SHARE,
    K_FRUCTOSE_DEGRADATION_FACTOR,
    K_ACID_PER_HEXOSE,
    K_RESERVE_SHARE,
    K_RESERVE_DECAY_RATE_25C,
    K_RESERVE_DECAY_ACTIVATION,
    K_LEUCO_PER_OXYGEN,
    K_LEUCO_OXIDATION_RATE,
    K_RESERVE_OXIDATION_RATE,
    K_KL_STILL_20C,
    K_KL_LOOSE_LID_FACTOR,
    K_LEUCO_DIFFUSIVITY_25C,
    K_FILM_FULL_COVER,
    K_DRIP_AIR,
    K_LIME_SUSPENDED_TIME,
    K_LIME_BED_TRANSFER,
    K_LIME_FLOC_DIAMETER,
    K_RESUSPEND_GENTLE,
    K_RESUSPEND_DIP,
    K_UPTAKE_RATE_PER_10K,
    K_UPTAKE_EQUILIBRIUM_PER_10K,
};

enum { DRAWN = sizeof drawn / sizeof drawn[0], FIBRE_DRAWN = 6, DIMENSIONS = DRAWN + FIBRE_DRAWN + 1 };

double value_at_share(double low, double nominal, double high, double share)
{
    if (!(high > low)) {
        return nominal;
    }
    if (low > 0.0 && high > WIDE * low) {
        return exp(value_at_share(log(low), log(nominal), log(high), share));
    }
    double corner = (nominal - low) / (high - low);
    return share < corner ? low + sqrt(share * (high - low) * (nominal - low))
                          : high - sqrt((1.0 - share) * (high - low) * (high - nominal));
}

static void draw(struct constant *constant, double share)
{
    constant->nominal = value_at_share(constant->low, constant->nominal, constant->high, share);
}

static void draw_purity(struct scenario *member, double share)
{
    for (size_t i = 0; i < member->charge_count; i++) {
        struct dose *dose = &member->charge[i];
        const struct material *material = &member->model.materials[dose->material];
        if (isnan(dose->purity) && material->indigotin > 0.0 && isfinite(material->purity_low)) {
            dose->purity = value_at_share(material->purity_low, material->purity_nominal, material->purity_high, share);
        }
    }
}

struct status member_make(const struct scenario *scenario, int kind, int number, struct scenario *member)
{
    double shares[DIMENSIONS];
    if (number < 1 || number > MEMBERS_DRAWN_MOST) {
        return status_fail(STATUS_BUG, "there is no member %d", number);
    }
    gsl_qrng *sequence = gsl_qrng_alloc(gsl_qrng_sobol, DIMENSIONS);
    if (sequence == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to draw members");
    }
    for (int i = 0; i < number; i++) {
        gsl_qrng_get(sequence, shares);
    }
    gsl_qrng_free(sequence);
    RETURN_IF_FAILED(variant_make(scenario, member));
    for (int i = 0; i < DRAWN; i++) {
        draw(&member->model.constants[drawn[i]], shares[i]);
    }
    struct fibre *fibre = &member->model.fibres[member->cloth[kind].fibre];
    struct constant *of_fibre[FIBRE_DRAWN] = {&fibre->freundlich, &fibre->exponent,    &fibre->cap,
                                              &fibre->half_time,  &fibre->pickup_hand, &fibre->air_wetted};
    for (int i = 0; i < FIBRE_DRAWN; i++) {
        draw(of_fibre[i], shares[DRAWN + i]);
    }
    draw_purity(member, shares[DIMENSIONS - 1]);
    return status_ok();
}
