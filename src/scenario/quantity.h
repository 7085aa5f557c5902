/* quantity.h: quantities as a dyer writes them ("40 g", "1 1/2 cup", "120 degF") turned into SI numbers. */
#ifndef VATCAST_SCENARIO_QUANTITY_H
#define VATCAST_SCENARIO_QUANTITY_H

#include "base/status.h"

#include <stdbool.h>
#include <stddef.h>

/* The unit definitions; opaque. One per reading of files. */
struct quantities;

/* Loads the unit definitions. Errors: STATUS_IO when they cannot be found, STATUS_MEMORY. */
struct status quantities_open(struct quantities **quantities) MUST_USE;
void quantities_close(struct quantities *quantities);

enum quantity_result {
    QUANTITY_OK,
    QUANTITY_NO_NUMBER,    /* the text does not start with a number that reads */
    QUANTITY_NO_UNIT,      /* a number alone where a unit is needed */
    QUANTITY_UNKNOWN_UNIT, /* the unit is not known */
    QUANTITY_OTHER_KIND,   /* the unit is known but measures something else */
    QUANTITY_NOT_FINITE    /* too large for a number */
};

/* Reads `text`, a number (decimal, "1/2" or "1 1/2") and a unit, into `value` in `si_unit` (UDUNITS spelling).
 * "1" as si_unit takes a number alone, or "%". `unit` gets the unit as written. Spoons, cups, pints, quarts, gallons
 * and ounces are the United States' ones; "imperial gal" is told apart. C and F are degrees.
 */
enum quantity_result quantity_read(const struct quantities *quantities, const char *text, const char *si_unit,
                                   double *value, char *unit, size_t unit_size);

/* True for the kitchen's measures of volume: spoons, cups, pints, quarts, gallons, fluid ounces. */
bool unit_is_kitchen_measure(const char *unit);

/* True when the unit, as written, is a temperature on a scale with its own zero: degC or degF by any of their names. */
bool unit_is_temperature_scale(const char *unit);

#endif
