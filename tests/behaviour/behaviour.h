/* behaviour.h: vats written down in a few numbers, run through reader and engine as a dyer's scenario would be, and
 * asked.
 *
 * Times are hours since the start; anything amiss fails the test that asked. Series, dips and ledgers are in their
 * own units (sim/series.h).
 */
#ifndef VATCAST_TESTS_BEHAVIOUR_H
#define VATCAST_TESTS_BEHAVIOUR_H

#include "support/close.h"

#include "scenario/scenario.h"
#include "sim/result.h"

#include <stdbool.h>

#define CALENDAR_SIZE 8192

/* A fresh vat. Texts are as in a scenario file; `calendar` holds entries separated by commas, or NULL. */
struct fresh {
    const char *indigo; /* material */
    double indigo_g, purity;
    double lime_g;
    const char *sugar; /* material */
    double sugar_g;
    double fill_L, diameter_cm, depth_cm;
    double water_degC, air_degC;
    double alkalinity_mg_per_L;
    double hours, record_min;
    const char *lid, *wrap;
    const char *cloth;
    const char *calendar;
    bool stirred; /* gently at 15, 30 and 45 min, before the calendar */
};

/* A vat that already lives. A `ph` or `acid_mol` of NAN is left out. */
struct rested {
    double indigotin_g, lime_g, chalk_g, sugar_g;
    double ph, acid_mol;
    const char *look;
    const char *age;
    double fill_L, diameter_cm, depth_cm;
    double liquor_degC, air_degC;
    double hours, record_min;
    const char *lid, *wrap;
    const char *cloth;
    const char *calendar;
};

struct vat_run {
    struct scenario scenario;
    struct result result;
};

/* The trade's 1:2:3 by weight: 18.9 L, so many grams of 40 % powder per litre (brought in wetted, as paste), water
 * and air of these temperatures; loose lid, blanket, stirred three times in the first hour. */
struct fresh fresh_vat(double powder_g_per_L, double water_degC, double air_degC);
/* 18.9 L at 5 days of age under a tight lid in foam, 2 g/L of indigotin, 20 g of lime in the bed, no sugar. */
struct rested rested_vat(double liquor_degC, double air_degC);

/* Runs; `override` is one "PATH=VALUE" or NULL. The result is to be freed with run_free. */
struct vat_run *run_fresh(const struct fresh *fresh, const char *override);
struct vat_run *run_rested(const struct rested *rested, const char *override);
struct vat_run *run_text(const char *text, const char *override);
struct vat_run *run_file(const char *path, const char *override);
void run_free(struct vat_run *run);
/* How many complaints the reader has about a scenario's text (0: none). */
size_t count_complaints(const char *text);
/* The scenario text of a rested vat, for those that the reader should refuse. */
void write_rested(const struct rested *rested, char *text, size_t size);

/* Adds "{ ... }" with printf arguments to a calendar, with the comma it needs. */
void calendar_add(char calendar[CALENDAR_SIZE], const char *format, ...) __attribute__((format(printf, 2, 3)));

/* The recorded value nearest to a time. */
double value_at(const struct vat_run *run, const char *series, double hour);
double most_of(const struct vat_run *run, const char *series, double from_hour, double to_hour);
double least_of(const struct vat_run *run, const char *series, double from_hour, double to_hour);
/* First recorded time at or after `from_hour` when a series is at or above (below) a limit; INFINITY when never. */
double first_above(const struct vat_run *run, const char *series, double limit, double from_hour);
double first_below(const struct vat_run *run, const char *series, double limit, double from_hour);
/* First recorded time when this share of the indigotin is reduced and the potential is below -520 mV; INFINITY when
 * never. */
double first_usable(const struct vat_run *run, double reduced_share);
/* A column of /dips; rows count from 0. */
double dip_value(const struct vat_run *run, size_t row, const char *column);
/* g/kg before washing: sorbed and carried. */
double dip_taken(const struct vat_run *run, size_t row);
/* The row of a ledger, 0 when it has none of that name. */
double ledger_row(const struct vat_run *run, const char *substance, const char *row);
double ledger_residual_most(const struct vat_run *run);
bool has_note(const struct vat_run *run, const char *words);

#endif
