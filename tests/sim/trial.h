/* trial.h: scenarios written as text inside a test, read by the real reader, and looks into their results. */
#ifndef VATCAST_TESTS_SIM_TRIAL_H
#define VATCAST_TESTS_SIM_TRIAL_H

#include "sim/run.h"
#include "sim/series.h"

/* The head of a scenario: how long it lasts, e.g. "2 days", and how often it records, e.g. "30 min". */
#define TRIAL_HEAD(lasts, record)                                                                                      \
    "title = \"A trial\"; start = \"2026-03-02 08:00\"; lasts = \"" lasts "\"; record = \"" record "\";\n"

/* A fresh vat of 40 L in a 60 L tub with a heater. */
#define TRIAL_VAT                                                                                                      \
    "vat = { model = \"sugar-lime\";\n"                                                                                \
    "  vessel = { diameter = \"40 cm\"; depth = \"48 cm\"; fill = \"40 L\"; lid = \"loose\"; heater = \"1.5 kW\"; "    \
    "};\n"                                                                                                             \
    "  place = { night = \"14 degC\"; day = \"21 degC\"; };\n"                                                         \
    "  water = { temperature = \"45 degC\"; alkalinity = \"150 mg/L\"; };\n"                                           \
    "  charge = ( { add = \"indigo powder\"; amount = \"200 g\"; purity = 0.40; },\n"                                  \
    "             { add = \"slaked lime\"; amount = \"400 g\"; },\n"                                                   \
    "             { add = \"fructose\"; amount = \"600 g\"; } ); };\n"

#define TRIAL_CLOTH                                                                                                    \
    "cloth = ( { name = \"strip\"; fibre = \"cotton\"; each = \"80 g\"; fabric = \"160 g/m2\"; count = 6; } );\n"

/* Reads a scenario from its text; a complaint fails the test. Free with trial_free. */
struct scenario *trial_read(const char *text);
void trial_free(struct scenario *scenario);

/* Runs it to the end with the default options; anything but success fails the test. Free with result_free. */
struct result trial_run(const struct scenario *scenario);

/* A value of a table, by column name and row; a negative row counts from the end. */
double trial_value(const struct table *table, const char *column, int row);

/* Rows of /events with an action; `nth` from 0. Returns the row, or -1 when there are fewer. */
int trial_event(const struct result *result, int action, int nth);

/* The amount in a row of a ledger; fails the test when there is no such row. */
double trial_ledger(const struct result *result, const char *ledger, const char *row);

/* Fails unless every ledger closes to 1e-9. */
void trial_ledgers_close(const struct result *result);

/* Fails unless two tables hold the same bits. */
void trial_same_table(const struct table *a, const struct table *b);

/* Fails unless two runs came to the same bits: events, cloth, ledgers and how they close, statistics; and, the second, series
 * and notes too. */
void trial_same_outcome(const struct result *a, const struct result *b);
void trial_same_result(const struct result *a, const struct result *b);

#endif
