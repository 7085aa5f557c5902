/* shade.c: see shade.h. */
#include "chem/shade.h"

#include <ctype.h>
#include <string.h>

/* Least owf (kg/kg) and greatest lightness of each shade. */
static const struct {
    const char *name;
    double owf_from;
    double lightness_to;
} shades[SHADE_COUNT] = {
    {"hardly tinted", 0.0, 100.0}, {"palest blue", 0.0003, 77.9}, {"pale blue", 0.0010, 65.2},
    {"light blue", 0.0030, 50.6},  {"mid blue", 0.0075, 38.4},    {"dark blue", 0.0125, 32.4},
    {"navy", 0.0200, 27.6},        {"near black", 0.0450, 21.6},
};

#define BLUE_ENOUGH (-1.5) /* b* above this is not yet blue to the eye */

const char *shade_name(enum shade shade)
{
    return shade < SHADE_COUNT ? shades[shade].name : "";
}

double shade_owf_from(enum shade shade)
{
    return shade < SHADE_COUNT ? shades[shade].owf_from : 1.0;
}

enum shade shade_of_owf(double owf)
{
    enum shade shade = SHADE_HARDLY_TINTED;
    while (shade + 1 < SHADE_COUNT && owf >= shades[shade + 1].owf_from) {
        shade++;
    }
    return shade;
}

enum shade shade_of_lab(struct lab lab)
{
    enum shade shade = SHADE_HARDLY_TINTED;
    if (lab.b > BLUE_ENOUGH && lab.l > shades[SHADE_NEAR_BLACK].lightness_to) {
        return shade;
    }
    while (shade + 1 < SHADE_COUNT && lab.l <= shades[shade + 1].lightness_to) {
        shade++;
    }
    return shade;
}

/* Whether a word is `name`, or `name` without its last word "blue". */
static bool names(const char *word, const char *name)
{
    size_t i = 0;
    while (word[i] != '\0' && tolower((unsigned char)word[i]) == name[i]) {
        i++;
    }
    return word[i] == '\0' && (name[i] == '\0' || strcmp(name + i, " blue") == 0);
}

bool shade_for_word(const char *word, enum shade *shade)
{
    for (int i = 0; i < SHADE_COUNT; i++) {
        if (names(word, shades[i].name)) {
            *shade = (enum shade)i;
            return true;
        }
    }
    return false;
}
