/* option_values.h: values of options read as what they mean, with the complaint where they will not do. */
#ifndef VATCAST_CLI_OPTION_VALUES_H
#define VATCAST_CLI_OPTION_VALUES_H

#include "chem/shade.h"
#include "cli/options.h"
#include "scenario/scenario.h"

/* A quantity with its unit ("20 min") in an SI unit; *value is left alone when the option is not given. Must lie from
 * least to most; `example` shows how it is written. */
struct status option_quantity(const struct call *call, const char *name, const char *si_unit, double least, double most,
                              const char *example, double *value) MUST_USE;

/* A whole number from least to most. */
struct status option_whole(const struct call *call, const char *name, int least, int most, int *value) MUST_USE;

/* One of a NULL-terminated list of words, as its index. */
struct status option_word(const struct call *call, const char *name, const char *const *words, int *index) MUST_USE;

/* A word for a depth of blue. */
struct status option_shade(const struct call *call, const char *name, enum shade *shade) MUST_USE;

/* The relative tolerance of --rtol; 0 when it is not given. */
struct status option_tolerance(const struct call *call, double *rtol) MUST_USE;

/* All values of an option that may be repeated, in order. The list is owned by the caller (free), the texts are not. */
struct status option_texts(const struct call *call, const char *name, const char ***texts, size_t *count) MUST_USE;

/* Reads a scenario with the --set texts of the call. */
struct status option_scenario(const struct call *call, const char *path, struct scenario *scenario) MUST_USE;
/* The same under a schedule of that name; NULL: as the scenario says. */
struct status option_scenario_with(const struct call *call, const char *path, const char *schedule,
                                   struct scenario *scenario) MUST_USE;

#endif
