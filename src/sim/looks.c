/* looks.c: see looks.h. */
#include "sim/looks.h"

#include "base/numbers.h"
#include "chem/kubelka_munk.h"
#include "chem/spectrum.h"

struct cloth_colour look_of_cloth(const double *k, const struct fibre *fibre, double owf)
{
    const struct indigo_yield yield = {.k_over_s_limit = k[K_SHADE_K_OVER_S_LIMIT],
                                       .owf_ring = k[K_SHADE_OWF_RING],
                                       .owf_penetrated = k[K_SHADE_OWF_PENETRATED]};
    const struct cloth_look look = {.reflectance_450 = fibre->reflect_450,
                                    .reflectance_650 = fibre->reflect_650,
                                    .peak_nm = fibre->peak_nm,
                                    .specular_floor = k[K_SHADE_SPECULAR_FLOOR]};
    struct cloth_colour colour = {.k_over_s = indigo_k_over_s_660(owf, fibre->ring_share, &yield)};
    struct spectrum reflectance;
    dyed_cloth_reflectance(&look, colour.k_over_s, yield.k_over_s_limit, &reflectance);
    struct xyz xyz = xyz_of_spectrum(&reflectance);
    colour.lab = lab_of_xyz(xyz);
    colour.swatch = swatch_of_xyz(xyz);
    colour.shade = shade_of_owf(owf);
    return colour;
}

struct liquor_optics optics_of(const double *k)
{
    return (struct liquor_optics){
        .leuco_absorption = k[K_LIQUOR_LEUCO_ABSORPTION],
        .indigo_absorption = k[K_LIQUOR_INDIGO_ABSORPTION],
        .indigo_scatter = k[K_LIQUOR_INDIGO_SCATTER],
        .brown_absorption = k[K_LIQUOR_BROWN_ABSORPTION],
        .white_scatter = k[K_LIQUOR_WHITE_SCATTER],
        .leuco_peak = k[K_LIQUOR_LEUCO_PEAK],
        .leuco_width = k[K_LIQUOR_LEUCO_WIDTH],
        .indigo_peak = k[K_LIQUOR_INDIGO_PEAK],
        .flattening = k[K_LIQUOR_FLATTENING],
        .brown_fold = k[K_LIQUOR_BROWN_FOLD],
    };
}

static struct liquor_contents contents_of(const struct liquor *liquor)
{
    const double *c = liquor->concentration;
    return (struct liquor_contents){
        .leuco = at_least_zero(c[S_LEUCO]),
        .indigo = at_least_zero(c[S_INDIGO_SUSPENDED] + c[S_INDIGO_DRY]) * MOLAR_INDIGOTIN,
        .browned_sugar = at_least_zero(0.5 * c[S_LACTATE] + c[S_SACCHARINATE] + c[S_OXIDATE]),
        .white_solids = at_least_zero(c[S_LIME_SUSPENDED]) * MOLAR_LIME + at_least_zero(c[S_CHALK_SUSPENDED]) * MOLAR_CHALK,
    };
}

struct liquor_colour look_of_liquor(const struct liquor *liquor, const struct liquor_shapes *shapes)
{
    const struct liquor_contents contents = contents_of(liquor);
    const struct liquor_optics optics = optics_of(liquor->k);
    return liquor_look_with(shapes, &contents, &optics, LIQUOR_GLASS);
}

double haze_of_liquor(const struct liquor *liquor)
{
    const struct liquor_contents contents = contents_of(liquor);
    const struct liquor_optics optics = optics_of(liquor->k);
    return liquor_haze(&contents, &optics, LIQUOR_GLASS);
}
