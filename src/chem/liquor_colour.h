/* liquor_colour.h: the colour of a glass of vat liquor before a white card, as a swatch and as words.
 *
 * Leuco lets yellow through, blue indigo in suspension absorbs and scatters, browned sugar darkens from the blue end,
 * lime and chalk in suspension make it milky.
 */
#ifndef VATCAST_CHEM_LIQUOR_COLOUR_H
#define VATCAST_CHEM_LIQUOR_COLOUR_H

#include "chem/colour.h"

#define LIQUOR_GLASS 0.05 /* m of liquor looked through in a drinking glass */

struct liquor_contents {
    double leuco;         /* mol/m3, dissolved */
    double indigo;        /* kg/m3, blue, in suspension */
    double browned_sugar; /* mol/m3 of hexose broken down by the alkali */
    double white_solids;  /* kg/m3 of lime and chalk in suspension */
};

/* How strongly each colours, with low, nominal and high; all of them estimates or from memory, none could be read. */
struct liquor_optics {
    double leuco_absorption;  /* m2/mol, decadic, at 410 nm: 600, 1200, 2000 (1200 is 12 000 L/mol/cm) */
    double indigo_absorption; /* m2/kg, natural, at 660 nm, particles of about a micrometre: 600, 1200, 3000 */
    double indigo_scatter;    /* m2/kg, light turned back: 50, 100, 200 */
    double brown_absorption;  /* m2/mol, decadic, at 450 nm, per hexose broken down: 0.2, 0.8, 4 */
    double white_scatter;     /* m2/kg, light turned back: 5, 15, 30 */
    double leuco_peak;        /* m: where leuco absorbs most */
    double leuco_width;       /* 1/m: standard width of that band, in wave numbers */
    double indigo_peak;       /* m: where particles of indigo absorb most */
    double flattening;        /* a particle hides its own inside most where it absorbs most; above 0 */
    double brown_fold;        /* m: browned sugar absorbs e times less every so much toward the red */
};

/* How far one sees through it, and the word of its colour; liquor_clarity_words and liquor_hue_words in the same order. */
enum liquor_clarity { CLARITY_CLEAR, CLARITY_HAZY, CLARITY_MILKY, CLARITY_CLOUDY, CLARITY_COUNT };
enum liquor_hue {
    HUE_BLACK,
    HUE_WHITE,
    HUE_PALE_GREY,
    HUE_GREY,
    HUE_PALE_STRAW,
    HUE_REDDISH,
    HUE_REDDISH_BROWN,
    HUE_RED_BROWN,
    HUE_DARK_BROWN,
    HUE_AMBER,
    HUE_BROWN,
    HUE_YELLOW,
    HUE_OLIVE_BROWN,
    HUE_YELLOW_GREEN,
    HUE_OLIVE,
    HUE_GREEN,
    HUE_DARK_GREEN,
    HUE_BLUE_GREEN,
    HUE_DARK_TEAL,
    HUE_BLUE,
    HUE_DARK_BLUE,
    HUE_COUNT
};
extern const char *const liquor_clarity_words[CLARITY_COUNT];
extern const char *const liquor_hue_words[HUE_COUNT];

struct liquor_colour {
    struct lab lab;
    struct swatch swatch;
    double haze;                   /* light turned back by what floats in it: 0 clear, 1 no longer to be seen through */
    enum liquor_clarity clarity;
    enum liquor_hue hue;
};

/* How each thing's absorption goes over the visible, of one at its peak (browned sugar: at 450 nm); the same for every liquor. */
struct liquor_shapes {
    double leuco[SPECTRUM_COUNT], indigo[SPECTRUM_COUNT], brown[SPECTRUM_COUNT];
};
void liquor_shapes_fill(const struct liquor_optics *optics, struct liquor_shapes *shapes);

/* Looks through `path` metres of liquor, lit alike from before and behind: light let through and light turned back,
 * after Kubelka & Munk for a layer of finite depth. Negative contents count as none. */
struct liquor_colour liquor_look(const struct liquor_contents *contents, const struct liquor_optics *optics,
                                 double path);

/* The same with the shapes worked out once for many liquors. */
struct liquor_colour liquor_look_with(const struct liquor_shapes *shapes, const struct liquor_contents *contents,
                                      const struct liquor_optics *optics, double path);

/* Its haze alone, which no spectrum is needed for. */
double liquor_haze(const struct liquor_contents *contents, const struct liquor_optics *optics, double path);

/* What is seen, 0 to 1, of a layer with natural absorption and scatter in 1/m: let through plus turned back. */
double layer_seen(double absorption, double scatter, double path);

#endif
