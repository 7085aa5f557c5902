/* figures.h: what one of many runs came to, as one row of numbers; and percentiles over the rows.
 *
 * One list for the columns of result files, the summary and the tests.
 */
#ifndef VATCAST_STUDY_FIGURES_H
#define VATCAST_STUDY_FIGURES_H

#include "study/outcome.h"

/* X(enum, column name, unit, long name; the value of an outcome `o` or in the last row). */
#define FIGURE_LIST(X)                                                                                                 \
    X(CONDITION, "condition", "1", "how the run ended", condition)                                                     \
    X(READY_FIRST, "ready_first", "s", "time until the vat was first ready", first_ready(series))                      \
    X(READY_DAYS, "ready_days", "d", "time that the vat was ready, in all", o->ready / 86400.0)                        \
    X(FAILED_AT, "failed_at", "d", "time when a vat that had been ready could first not be dyed in",                   \
      o->was_ready ? o->failed_at / 86400.0 : (double)NAN)                                                             \
    X(PIECES_DYED, "pieces_dyed", "1", "pieces dyed", o->pieces_dyed)                                                  \
    X(PIECES_AT_SHADE, "pieces_at_shade", "1", "pieces at their shade", o->pieces_at_shade)                            \
    X(DYED, "dyed", "kg", "cloth dyed", o->dyed)                                                                       \
    X(AT_SHADE, "at_shade", "kg", "cloth at its shade", o->at_shade)                                                   \
    X(DIPPED, "dipped", "kg", "dry mass of cloth times dips", o->cloth_dips)                                           \
    X(OWF_MEAN, "owf_mean", "1", "indigotin on weight of fibre after washing, per cent, mean of cloth dyed",           \
      100.0 * o->owf_mean)                                                                                             \
    X(OWF_LOW, "owf_low", "1", "the same, palest piece", 100.0 * o->owf_low)                                           \
    X(OWF_HIGH, "owf_high", "1", "the same, darkest piece", 100.0 * o->owf_high)                                       \
    X(SPREAD, "spread", "1", "spread of like pieces, per cent of their mean", 100.0 * o->spread)                       \
    X(PH_LOWEST, "ph_lowest", "1", "lowest pH once the vat had been ready", o->ph_lowest)                              \
    X(INDIGO_USED, "indigo_used", "g", "indigotin put in", o->books[BOOKED_INDIGO].used)                               \
    X(INDIGO_ON_CLOTH, "indigo_on_cloth", "g", "indigotin on washed cloth", o->books[BOOKED_INDIGO].served)            \
    X(INDIGO_LEFT, "indigo_left", "g", "indigotin left in the vat", o->books[BOOKED_INDIGO].left)                      \
    X(INDIGO_UNREDUCED, "indigo_unreduced", "g", "indigotin left suspended, in bed and film", o->unreduced)            \
    X(INDIGO_LOST, "indigo_lost", "g", "indigotin washed off, dripped or destroyed", o->books[BOOKED_INDIGO].lost)     \
    X(SUGAR_USED, "sugar_used", "g", "sugar put in; to a live vat, feed as hexose", o->books[BOOKED_SUGAR].used)       \
    X(SUGAR_REDUCED, "sugar_reduced", "g", "sugar or feed that reduced indigo", o->books[BOOKED_SUGAR].served)         \
    X(SUGAR_LEFT, "sugar_left", "g", "sugar or feed left", o->books[BOOKED_SUGAR].left)                                \
    X(LIME_USED, "lime_used", "g", "lime put in, as Ca(OH)2; to a live vat, alkali as Na2CO3",                         \
      o->books[BOOKED_LIME].used)                                                                                      \
    X(LIME_LEFT, "lime_left", "g", "lime or alkali left", o->books[BOOKED_LIME].left)                                  \
    X(WATER_USED, "water_used", "kg", "water put in", o->books[BOOKED_WATER].used)                                     \
    X(CARE, "care", "1", "acts of care", (double)o->care)                                                              \
    X(END_TEMPERATURE, "end_temperature", "degC", "liquor temperature at the end", at_end(series, "temperature"))      \
    X(END_PH, "end_ph", "1", "pH at the end", at_end(series, "ph"))                                                    \
    X(END_LEUCO, "end_leuco", "g L-1", "dissolved leuco-indigo at the end, as indigotin", at_end(series, "leuco"))     \
    X(END_VOLUME, "end_volume", "L", "liquor volume at the end", at_end(series, "volume"))                             \
    X(END_STATE, "end_state", "1", "diagnosis of the vat at the end", at_end(series, "state"))

enum figure {
#define FIGURE_ENUM(id, name, unit, long_name, value) FIGURE_##id,
    FIGURE_LIST(FIGURE_ENUM)
#undef FIGURE_ENUM
        FIGURE_COUNT
};

/* The series that they are read from, and the time; of the pieces they read no colours. */
#define FIGURE_SERIES (OUTCOME_SERIES | SERIES_BIT(TEMPERATURE) | SERIES_BIT(LEUCO) | SERIES_BIT(VOLUME))

struct figure_spec {
    const char *name, *unit, *long_name;
    const char *flags; /* words of a code, or NULL */
};
extern const struct figure_spec figure_specs[FIGURE_COUNT];

/* Words of FIGURE_CONDITION: "never ready" comes before "ready", so that ready runs are those from 1 on. */
#define CONDITION_WORDS "never_ready ready out_of_range"
enum condition_of_run { RUN_NEVER_READY, RUN_WAS_READY, RUN_OUT_OF_RANGE };

/* How many of `rows` runs ended in each condition; a code that is none of them, and all without the column (NULL), count as
 * RUN_OUT_OF_RANGE. */
void figures_count_conditions(const struct column *condition, size_t rows, size_t counts[RUN_OUT_OF_RANGE + 1]);

/* Reads the figures of a run that ended in `status`: what it came to, or, when the vat left the model's range
 * (STATUS_NUMERIC), RUN_OUT_OF_RANGE and NAN. */
void figures_read(const struct result *result, const struct status *status, double figures[FIGURE_COUNT]);

#define PERCENTILE_COUNT 5
extern const double percentile_points[PERCENTILE_COUNT]; /* 5, 25, 50, 75, 95 */

/* Percentiles (0 to 100, at `points`) of `count` values, `stride` apart, what is not finite left out; linear between
 * the ranks (gsl_stats_quantile_from_sorted_data; R. J. Hyndman & Y. Fan, "Sample quantiles in statistical packages",
 * Am. Stat. 50, 1996, definition 7). `scratch` has room for `count`. NAN when there is no value. Returns the number of
 * finite values. */
size_t percentiles_at(const double *values, size_t stride, size_t count, const double *points, size_t point_count,
                      double *scratch, double *percentiles);

/* Adds the columns of the figures to a table. */
struct status figures_add_columns(struct table *table) MUST_USE;

/* Fills an empty table with the column `percentile` and those of the figures that are no codes, and a row for each of
 * percentile_points over the rows of `members`. */
struct status figures_percentiles(const struct table *members, struct table *percentiles) MUST_USE;

#endif
