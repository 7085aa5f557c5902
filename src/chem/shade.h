/* shade.h: plain words for depths of blue, by the dye on the cloth or by its colour.
 *
 * One list for the whole program; the words are ours and name no shade card.
 */
#ifndef VATCAST_CHEM_SHADE_H
#define VATCAST_CHEM_SHADE_H

#include "chem/colour.h"

#include <stdbool.h>

/* From none to as dark as indigo goes. The shades of the eye; what they take in dye depends on cloth and vat. */
enum shade {
    SHADE_HARDLY_TINTED,
    SHADE_PALEST,
    SHADE_PALE,
    SHADE_LIGHT,
    SHADE_MID,
    SHADE_DARK,
    SHADE_NAVY,
    SHADE_NEAR_BLACK,
    SHADE_COUNT
};

/* "hardly tinted", "palest blue", "pale blue", "light blue", "mid blue", "dark blue", "navy", "near black". */
const char *shade_name(enum shade shade);

/* Shade on cellulose for indigotin left on the fibre after washing, kg/kg. The bounds lie half way between the shades
 * of a table of common practice, no source; near black begins above all of them (estimate). */
enum shade shade_of_owf(double owf);

/* The least owf, kg/kg, of a shade: where shade_of_owf begins to say it. 0 for SHADE_HARDLY_TINTED. */
double shade_owf_from(enum shade shade);

/* Shade for a colour, by its lightness; the bounds are those of cotton at the owf bounds above with the constants'
 * nominal values. Cloth that is not yet blue, whatever its own colour, is hardly tinted. */
enum shade shade_of_lab(struct lab lab);

/* The shade of a word as a dyer writes it for a target: any of the names, with or without "blue"; letters' case does
 * not matter. False, with *shade unchanged, for any other word. */
bool shade_for_word(const char *word, enum shade *shade);

#endif
