/* draws.h: values that are varied from run to run: what they are, the range of each, and the numbers drawn or laid out.
 *
 * Drawing: up to 40 values by Sobol's low-discrepancy sequence, shifted modulo 1 by the seed (R. Cranley & T. N. L.
 * Patterson, "Randomization of number theoretic methods for multiple integration", SIAM J. Numer. Anal. 13, 1976); more
 * by a Latin hypercube (M. D. McKay, R. J. Beckman & W. J. Conover, Technometrics 21, 1979), as the sequences known to
 * GSL cover so many dimensions badly with few members. Both have every value of its range met evenly.
 */
#ifndef VATCAST_STUDY_DRAWS_H
#define VATCAST_STUDY_DRAWS_H

#include "base/status.h"
#include "scenario/scenario.h"
#include "sim/result.h"

#include <stdint.h>

#define DRAWN_NAME_SIZE 160
#define DRAWS_MOST 1000000 /* runs */

enum draw_how {
    DRAW_EVENLY,      /* every value of the range alike */
    DRAW_EVENLY_LOGS, /* every ratio alike */
    DRAW_AROUND       /* as likely above the nominal value as below; low and high are the ends of 95 % of a normal
                       * distribution on either side, which is cut off there; in logarithms where wide */
};
extern const char *const draw_how_words[]; /* "evenly", ... ; NULL at the end */

/* What a value is of. */
enum draw_of {
    DRAW_SETTING,    /* of the scenario, by its path, as --set */
    DRAW_CONSTANT,   /* `which` in constants */
    DRAW_FIBRE,      /* of fibre `which`, at byte `field` of struct fibre */
    DRAW_SPOON,      /* factor on all that is measured by spoon of material `which` */
    DRAW_PURITY,     /* of indigo of material `which`, where the scenario does not state it */
    DRAW_ALKALINITY, /* factor on that of the make-up water */
    DRAW_AIR,        /* K, added to the night and the day of all places */
    DRAW_SUGAR_LEFT, /* factors on what an existing vat still holds */
    DRAW_LIME_LEFT,
    DRAW_INDIGO_LEFT
};

struct drawn {
    enum draw_of of;
    int which;
    size_t field;
    char name[DRAWN_NAME_SIZE]; /* path of a setting, name of a constant, or a few words */
    char unit[32];              /* in which it is drawn; "1": a number */
    double low, nominal, high;
    enum draw_how how;
    bool whole;   /* only whole numbers will do */
    bool is_span; /* a time after the start is written with a plus sign */
    int steps;    /* of a grid, both ends among them; at least 1 */
};

/* The value at a share (0 to 1) of the range. */
double drawn_value(const struct drawn *drawn, double share);

/* Writes a setting's value as an override, "PATH=42.5 degC". */
#define DRAWN_OVERRIDE_SIZE (DRAWN_NAME_SIZE + 80)
void drawn_write(const struct drawn *drawn, double value, char text[DRAWN_OVERRIDE_SIZE]);

/* A name for a column of `table` that holds the value: "vat.water.temperature" is "drawn_vat_water_temperature", with a
 * number after it when that is taken. */
void drawn_column_name(const struct table *table, const struct drawn *drawn, char name[48]);

/* Fills `values` (runs rows of `count`) by drawing, or, with `grid`, with every combination of the steps, the last
 * of them changing fastest; `runs` must then be the product of the steps. Same seed, same values.
 * Errors: STATUS_MEMORY. */
struct status draws_fill(const struct drawn *drawn, size_t count, bool grid, uint64_t seed, size_t runs,
                         double *values) MUST_USE;

/* Sets a value in a scenario of one's own (variant_make). Settings are left to scenario_template_make. */
void drawn_apply(const struct drawn *drawn, double value, struct scenario *scenario);

/* The constant of that name as a value drawn evenly over its own range, in logarithms where wide; false when there is
 * no such constant. A range that is a point stays one. */
bool drawn_constant(const struct model *model, const char *name, struct drawn *drawn);

/* Everything that is uncertain about a scenario: constants with a range (but not those that only say what a dyer calls
 * ready, nor the errors of instruments, which every run draws by itself), the fibres in use, spoons, purity, water,
 * air, and what is left in an existing vat. `list` is owned by the caller (free). STATUS_MEMORY. */
struct status drawn_uncertain(const struct scenario *scenario, struct drawn **list, size_t *count) MUST_USE;

#endif
