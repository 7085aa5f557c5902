/* liquor_colour.c: see liquor_colour.h. */
#include "chem/liquor_colour.h"

#include "base/numbers.h"

#include <math.h>
#include <stddef.h>

#define LN_TEN 2.302585092994046
#define NM 1e-9

static double attenuation(double absorption, double scatter)
{
    return sqrt(absorption * (absorption + 2.0 * scatter));
}

/* With the light attenuated at that rate: `there` of it has gone to the far side. */
static double seen_of_layer(double absorption, double scatter, double path, double rate, double there)
{
    if (rate * path < 1e-6) {
        return 1.0 / (1.0 + absorption * path); /* nothing absorbed to speak of: what is not let through comes back */
    }
    double decay = there * there; /* and back */
    double bottom = (absorption + scatter) * (1.0 - decay) + rate * (1.0 + decay);
    return (2.0 * rate * there + scatter * (1.0 - decay)) / bottom;
}

double layer_seen(double absorption, double scatter, double path)
{
    double rate = attenuation(absorption, scatter);
    return seen_of_layer(absorption, scatter, path, rate, exp(-rate * path));
}

void liquor_shapes_fill(const struct liquor_optics *optics, struct liquor_shapes *shapes)
{
    for (int i = 0; i < SPECTRUM_COUNT; i++) {
        double nm = spectrum_wavelength_nm(i);
        double from_peak = (1.0 / (nm * NM) - 1.0 / optics->leuco_peak) / optics->leuco_width;
        shapes->leuco[i] = exp(-0.5 * from_peak * from_peak);
        shapes->indigo[i] =
            expm1(-optics->flattening * indigo_shape(nm, optics->indigo_peak / NM)) / expm1(-optics->flattening);
        shapes->brown[i] = exp(-(nm - 450.0) * NM / optics->brown_fold);
    }
}

const char *const liquor_clarity_words[CLARITY_COUNT] = {"clear", "hazy", "milky", "cloudy"};
const char *const liquor_hue_words[HUE_COUNT] = {
    [HUE_BLACK] = "black",
    [HUE_WHITE] = "white",
    [HUE_PALE_GREY] = "pale grey",
    [HUE_GREY] = "grey",
    [HUE_PALE_STRAW] = "pale straw",
    [HUE_REDDISH] = "reddish",
    [HUE_REDDISH_BROWN] = "reddish brown",
    [HUE_RED_BROWN] = "red-brown",
    [HUE_DARK_BROWN] = "dark brown",
    [HUE_AMBER] = "amber",
    [HUE_BROWN] = "brown",
    [HUE_YELLOW] = "yellow",
    [HUE_OLIVE_BROWN] = "olive brown",
    [HUE_YELLOW_GREEN] = "yellow-green",
    [HUE_OLIVE] = "olive",
    [HUE_GREEN] = "green",
    [HUE_DARK_GREEN] = "dark green",
    [HUE_BLUE_GREEN] = "blue-green",
    [HUE_DARK_TEAL] = "dark teal",
    [HUE_BLUE] = "blue",
    [HUE_DARK_BLUE] = "dark blue",
};

/* The colour's own word: the first row whose hue is not passed; the dark word below its lightness. */
static enum liquor_hue hue_of(struct lab lab)
{
    static const struct {
        double hue_to, dark_below;
        enum liquor_hue light, dark;
    } hues[] = {
        {20.0, 45.0, HUE_REDDISH, HUE_REDDISH_BROWN},
        {50.0, 45.0, HUE_RED_BROWN, HUE_DARK_BROWN},
        {88.0, 50.0, HUE_AMBER, HUE_BROWN},
        {98.0, 50.0, HUE_YELLOW, HUE_OLIVE_BROWN},
        {125.0, 35.0, HUE_YELLOW_GREEN, HUE_OLIVE},
        {170.0, 25.0, HUE_GREEN, HUE_DARK_GREEN},
        {225.0, 25.0, HUE_BLUE_GREEN, HUE_DARK_TEAL},
        {300.0, 35.0, HUE_BLUE, HUE_DARK_BLUE},
        {361.0, 45.0, HUE_REDDISH, HUE_REDDISH_BROWN},
    };
    double chroma = lab_chroma(lab);
    double hue = lab_hue_degrees(lab);
    if (lab.l < 8.0 && chroma < 10.0) {
        return HUE_BLACK;
    }
    if (chroma < 4.0) {
        return lab.l > 90.0 ? HUE_WHITE : lab.l > 60.0 ? HUE_PALE_GREY : HUE_GREY;
    }
    if (hue >= 80.0 && hue < 115.0 && chroma < 40.0 && lab.l > 85.0) {
        return HUE_PALE_STRAW;
    }
    size_t i = 0;
    while (i + 1 < sizeof hues / sizeof hues[0] && hue >= hues[i].hue_to) {
        i++;
    }
    return lab.l < hues[i].dark_below ? hues[i].dark : hues[i].light;
}

/* The word for how far one sees through it. */
static enum liquor_clarity clarity_of(double haze, double white, double blue)
{
    if (haze < 0.1) {
        return CLARITY_CLEAR;
    }
    if (white > blue && haze > 0.25) {
        return CLARITY_MILKY;
    }
    return haze < 0.35 ? CLARITY_HAZY : CLARITY_CLOUDY;
}

double liquor_haze(const struct liquor_contents *contents, const struct liquor_optics *optics, double path)
{
    double blue = optics->indigo_scatter * at_least_zero(contents->indigo);
    double white = optics->white_scatter * at_least_zero(contents->white_solids);
    return -expm1(-(blue + white) * path);
}

struct liquor_colour liquor_look(const struct liquor_contents *contents, const struct liquor_optics *optics,
                                 double path)
{
    struct liquor_shapes shapes;
    liquor_shapes_fill(optics, &shapes);
    return liquor_look_with(&shapes, contents, optics, path);
}

struct liquor_colour liquor_look_with(const struct liquor_shapes *shapes, const struct liquor_contents *contents,
                                      const struct liquor_optics *optics, double path)
{
    struct liquor_colour look;
    const double blue = optics->indigo_scatter * at_least_zero(contents->indigo);
    const double white = optics->white_scatter * at_least_zero(contents->white_solids);
    const double leuco = LN_TEN * optics->leuco_absorption * at_least_zero(contents->leuco);
    const double indigo = optics->indigo_absorption * at_least_zero(contents->indigo);
    const double brown = LN_TEN * optics->brown_absorption * at_least_zero(contents->browned_sugar);
    double absorption[SPECTRUM_COUNT], rate[SPECTRUM_COUNT], there[SPECTRUM_COUNT];
    struct spectrum seen;
    for (int i = 0; i < SPECTRUM_COUNT; i++) {
        absorption[i] = leuco * shapes->leuco[i] + indigo * shapes->indigo[i] + brown * shapes->brown[i];
        rate[i] = attenuation(absorption[i], blue + white);
    }
    for (int i = 0; i < SPECTRUM_COUNT; i++) {
        there[i] = exp(-rate[i] * path);
    }
    for (int i = 0; i < SPECTRUM_COUNT; i++) {
        seen.at[i] = seen_of_layer(absorption[i], blue + white, path, rate[i], there[i]);
    }
    struct xyz xyz = xyz_of_spectrum(&seen);
    look.lab = lab_of_xyz(xyz);
    look.swatch = swatch_of_xyz(xyz);
    look.haze = liquor_haze(contents, optics, path);
    look.clarity = clarity_of(look.haze, white, blue);
    look.hue = hue_of(look.lab);
    return look;
}
