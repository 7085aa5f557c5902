/* oxygen.c: how oxygen comes in through the surface and what it takes: leuco, the reductone, the reserve. */
#include "process/liquor.h"
#include "process/partials.h"
#include "process/rates.h"

#include "base/numbers.h"

#define AUTOXIDATION "Manchot & Herzog, Liebigs Ann. 316, 318, 1901 (from memory); rate an estimate"

static double through_surface(const struct liquor *l)
{
    return l->oxygen_flux * (1.0 - l->film_share);
}

static void through_surface_partials(PARTIALS_ARGUMENTS)
{
    (void)by_K, (void)value;
    by->shared[SHARED_OXYGEN_FLUX] += 1.0 - l->film_share;
    by->shared[SHARED_FILM_SHARE] -= l->oxygen_flux;
}

static double film_forming(const struct liquor *l)
{
    return l->oxygen_flux * l->film_share;
}

static double film_returning(const struct liquor *l)
{
    return l->amount[S_INDIGO_FILM] / l->k[K_FILM_DISSOLVING_TIME];
}

static double whipping_speed(const struct liquor *l) /* m3/s of liquor brought into balance with air */
{
    return l->settings->stirring == STIRRING_WHIP ? l->k[K_WHIP_KLA] * l->volume : 0.0;
}

static double whipped_in(const struct liquor *l)
{
    return whipping_speed(l) * (l->at.oxygen_saturation - l->concentration[S_OXYGEN]);
}

static void whipped_in_partials(PARTIALS_ARGUMENTS)
{
    partial_by_concentration(by, l, S_OXYGEN, -whipping_speed(l));
    by->volume += value / l->volume;
    by->temperature += whipping_speed(l) * by_K->oxygen_saturation;
}

static bool whipping(const struct settings *settings)
{
    return settings->stirring == STIRRING_WHIP;
}

/* Oxygen taken by leuco, mol/s. */
static double leuco_oxidation(const struct liquor *l)
{
    return l->k[K_LEUCO_OXIDATION_RATE] * l->amount[S_LEUCO] * l->concentration[S_OXYGEN];
}

static double autoxidation_to_water(const struct liquor *l)
{
    return leuco_oxidation(l) * (l->k[K_LEUCO_PER_OXYGEN] - 1.0);
}

static double autoxidation_to_peroxide(const struct liquor *l)
{
    return leuco_oxidation(l) * (2.0 - l->k[K_LEUCO_PER_OXYGEN]);
}

static double reductone_oxidation(const struct liquor *l)
{
    return l->k[K_REDUCTONE_OXIDATION_RATE] * l->amount[S_REDUCTONE] * l->concentration[S_OXYGEN];
}

static double reserve_oxidation(const struct liquor *l)
{
    return l->k[K_RESERVE_OXIDATION_RATE] * l->amount[S_RESERVE] * l->concentration[S_OXYGEN];
}

static double peroxide_decay(const struct liquor *l)
{
    return 0.5 * l->k[K_PEROXIDE_DECAY_RATE] * l->amount[S_PEROXIDE];
}

static double peroxide_on_reductone(const struct liquor *l)
{
    return 0.5 * l->k[K_PEROXIDE_REDUCTONE_RATE] * l->amount[S_PEROXIDE] * at_least_zero(l->concentration[S_REDUCTONE]);
}

const struct process oxygen_processes[OXYGEN_PROCESS_COUNT] = {
    {.name = "oxygen_through_surface",
     .title = "oxygen through the surface",
     .law = "kL E A ([O2]sat - [O2]) (1 - film share); kL with lid, film, stirring and warm-liquor factors",
     .extent_unit = "mol",
     .source = "kL of still water: Cole & Caraco, Limnol. Oceanogr. 43, 647, 1998; factors estimates; E: DeCoursey "
               "(from memory)",
     .terms = {{S_AIR_OXYGEN, -1}, {S_OXYGEN, 1}},
     .constants = {K_KL_STILL_20C, K_KL_WARM_PER_K, K_KL_WARM_MOST, K_KL_LOOSE_LID_FACTOR, K_KL_TIGHT_LID_FACTOR,
                   K_KL_FILM_FACTOR, K_KL_GENTLE_FACTOR, K_KL_BRISK_FACTOR, K_LEUCO_DIFFUSIVITY_25C,
                   K_FILM_LEUCO_SHARE},
     .constant_count = 10,
     .reads_count = READS_NONE,
     .shared = {SHARED_OXYGEN_FLUX, SHARED_FILM_SHARE},
     .partials = through_surface_partials,
     .rate = through_surface},
    {.name = "film_forming",
     .title = "leuco turning to bronze film and flower at the surface",
     .law = "surface oxygen times film share times c^2/(c^2 + half^2)",
     .extent_unit = "mol",
     .source = "estimate",
     .terms = {{S_AIR_OXYGEN, -1}, {S_LEUCO, -2}, {S_INDIGO_FILM, 2}, {S_WATER, 2}},
     .constants = {K_FILM_LEUCO_SHARE, K_FILM_LEUCO_HALF, K_FILM_FULL_COVER},
     .constant_count = 3,
     .reads_count = READS_NONE,
     .shared = {SHARED_OXYGEN_FLUX, SHARED_FILM_SHARE},
     .rate = film_forming},
    {.name = "film_returning",
     .title = "film and flower sinking back into the liquor",
     .law = "film / dissolving time",
     .extent_unit = "mol",
     .source = "estimate",
     .terms = {{S_INDIGO_FILM, -1}, {S_INDIGO_SUSPENDED, 1}},
     .constants = {K_FILM_DISSOLVING_TIME},
     .constant_count = 1,
     .reads = {S_INDIGO_FILM},
     .reads_count = 1,
     .rate = film_returning},
    {.name = "oxygen_whipped_in",
     .title = "oxygen whipped in with air bubbles",
     .law = "kLa V ([O2]sat - [O2]) while whipped",
     .extent_unit = "mol",
     .source = "estimate",
     .terms = {{S_AIR_OXYGEN, -1}, {S_OXYGEN, 1}},
     .constants = {K_WHIP_KLA},
     .constant_count = 1,
     .reads = {S_OXYGEN},
     .reads_count = 1,
     .partials = whipped_in_partials,
     .rate = whipped_in,
     .is_live = whipping},
    {.name = "autoxidation_to_water",
     .title = "autoxidation of leuco-indigo to water",
     .law = "k leuco [O2] (leuco per oxygen - 1)",
     .extent_unit = "mol",
     .source = AUTOXIDATION,
     .terms = {{S_LEUCO, -2}, {S_OXYGEN, -1}, {S_INDIGO_SUSPENDED, 2}, {S_WATER, 2}},
     .constants = {K_LEUCO_OXIDATION_RATE, K_LEUCO_PER_OXYGEN},
     .constant_count = 2,
     .reads = {S_OXYGEN, S_LEUCO},
     .reads_count = 2,
     .volume_power = -1,
     .rate = autoxidation_to_water},
    {.name = "autoxidation_to_peroxide",
     .title = "autoxidation of leuco-indigo to peroxide",
     .law = "k leuco [O2] (2 - leuco per oxygen)",
     .extent_unit = "mol",
     .source = AUTOXIDATION,
     .terms = {{S_LEUCO, -1}, {S_OXYGEN, -1}, {S_INDIGO_SUSPENDED, 1}, {S_PEROXIDE, 1}},
     .constants = {K_LEUCO_OXIDATION_RATE, K_LEUCO_PER_OXYGEN},
     .constant_count = 2,
     .reads = {S_OXYGEN, S_LEUCO},
     .reads_count = 2,
     .volume_power = -1,
     .rate = autoxidation_to_peroxide},
    {.name = "reductone_oxidation",
     .title = "oxygen taken up by the reductone",
     .law = "k reductone [O2]",
     .extent_unit = "mol",
     .source = "Anderson et al., J. Chem. Educ. 89, 1425, 2012 (products); rate an estimate",
     .terms = {{S_REDUCTONE, -1}, {S_OXYGEN, -1}, {S_HYDROXIDE, -2}, {S_OXIDATE, 1}, {S_WATER, 2}},
     .constants = {K_REDUCTONE_OXIDATION_RATE},
     .constant_count = 1,
     .reads = {S_REDUCTONE, S_OXYGEN},
     .reads_count = 2,
     .volume_power = -1,
     .rate = reductone_oxidation},
    {.name = "reserve_oxidation",
     .title = "oxygen taken up by the slow reductant",
     .law = "k reserve [O2]",
     .extent_unit = "mol",
     .source = "estimate",
     .terms = {{S_RESERVE, -1}, {S_OXYGEN, -1}, {S_HYDROXIDE, -2}, {S_OXIDATE, 1}, {S_WATER, 2}},
     .constants = {K_RESERVE_OXIDATION_RATE},
     .constant_count = 1,
     .reads = {S_RESERVE, S_OXYGEN},
     .reads_count = 2,
     .volume_power = -1,
     .rate = reserve_oxidation},
    {.name = "peroxide_decay",
     .title = "peroxide falling apart to oxygen",
     .law = "1/2 k peroxide",
     .extent_unit = "mol",
     .source = "estimate",
     .terms = {{S_PEROXIDE, -2}, {S_OXYGEN, 1}, {S_WATER, 2}},
     .constants = {K_PEROXIDE_DECAY_RATE},
     .constant_count = 1,
     .reads = {S_PEROXIDE},
     .reads_count = 1,
     .rate = peroxide_decay},
    {.name = "peroxide_on_reductone",
     .title = "peroxide used up by the reductone",
     .law = "1/2 k peroxide [reductone]",
     .extent_unit = "mol",
     .source = "estimate",
     .terms = {{S_REDUCTONE, -1}, {S_PEROXIDE, -2}, {S_HYDROXIDE, -2}, {S_OXIDATE, 1}, {S_WATER, 4}},
     .constants = {K_PEROXIDE_REDUCTONE_RATE},
     .constant_count = 1,
     .reads = {S_PEROXIDE, S_REDUCTONE},
     .reads_count = 2,
     .volume_power = -1,
     .rate = peroxide_on_reductone},
};
