/* compare_figures.h: the figures of an outcome that compare tells, one list for the table, the CSV and the JSON. */
#ifndef VATCAST_CLI_COMPARE_FIGURES_H
#define VATCAST_CLI_COMPARE_FIGURES_H

#include "study/compare.h"

/* X(key, unit, label in the table, decimals, value of an outcome `o`). An empty label: not in the table. */
#define COMPARE_FIGURES(X)                                                                                               \
    X("at_shade", "kg", "Cloth at the shade, kg", 2, o->at_shade)                                                        \
    X("pieces_at_shade", "1", "pieces at the shade", 0, o->pieces_at_shade)                                              \
    X("pieces", "1", "of pieces in all", 0, o->pieces)                                                                   \
    X("done_on", "d", "all there on day", 0, floor(o->done_at / 86400.0) + 1.0)                                          \
    X("dyed", "kg", "dyed, any depth, kg", 2, o->dyed)                                                                   \
    X("cloth_dips", "kg", "cloth-dips, kg", 1, o->cloth_dips)                                                            \
    X("owf_mean", "%", "Depth, % owf, mean", 2, 100.0 * o->owf_mean)                                                     \
    X("owf_low", "%", "palest", 2, 100.0 * o->owf_low)                                                                   \
    X("owf_high", "%", "darkest", 2, 100.0 * o->owf_high)                                                                \
    X("spread", "%", "spread of like pieces, %", 1, 100.0 * o->spread)                                                   \
    X("days_ready", "d", "Days ready", 1, o->ready / 86400.0)                                                            \
    X("days", "d", "of days in all", 0, o->lasts / 86400.0)                                                              \
    X("ph_lowest", "1", "lowest pH", 1, o->ph_lowest)                                                                    \
    X("orp_worst", "mV", "worst ORP, mV", 0, o->orp_worst)                                                               \
    X("indigo_used", "g", "Indigotin used, g", 0, o->books[BOOKED_INDIGO].used)                                          \
    X("indigo_on_cloth", "g", "on washed cloth", 1, o->books[BOOKED_INDIGO].served)                                      \
    X("indigo_left", "g", "left in the vat", 1, o->books[BOOKED_INDIGO].left)                                            \
    X("indigo_lost", "g", "lost", 1, o->books[BOOKED_INDIGO].lost)                                                       \
    X("pigment_per_kg", "g/kg", "used up per kg at shade", 1, o->pigment_per_kg)                                         \
    X("sugar_used", "g", "Sugar used, g", 0, o->books[BOOKED_SUGAR].used)                                                \
    X("sugar_reduced_indigo", "g", "reduced indigo", 0, o->books[BOOKED_SUGAR].served)                                   \
    X("sugar_left", "g", "left", 0, o->books[BOOKED_SUGAR].left)                                                         \
    X("sugar_lost", "g", "broke down, met air", 0, o->books[BOOKED_SUGAR].lost)                                          \
    X("lime_used", "g", "Lime used, g", 0, o->books[BOOKED_LIME].used)                                                   \
    X("lime_bound_acids", "g", "bound acids of sugar", 0, o->books[BOOKED_LIME].served)                                  \
    X("lime_left", "g", "left", 0, o->books[BOOKED_LIME].left)                                                           \
    X("lime_lost", "g", "chalk, carried off", 0, o->books[BOOKED_LIME].lost)                                             \
    X("water_used", "kg", "Water used, L", 1, o->books[BOOKED_WATER].used)                                               \
    X("water_carried_off", "kg", "carried off by cloth", 1, o->books[BOOKED_WATER].served)                               \
    X("water_left", "kg", "left", 1, o->books[BOOKED_WATER].left)                                                        \
    X("water_lost", "kg", "evaporated, lost", 1, o->books[BOOKED_WATER].lost)                                            \
    X("care", "1", "Acts of care", 0, o->care)                                                                           \
    X("added", "1", "of these, additions", 0, o->acts[ACTION_ADD])                                                       \
    X("looks", "1", "readings", 0, o->looks)                                                                             \
    X("cost", "1", "Cost of materials", 2, o->cost)

struct compare_figure {
    const char *key, *unit, *label;
    int decimals;
};

enum compare_figure_id {
#define COMPARE_FIGURE_COUNTED(key, unit, label, decimals, value) +1
    COMPARE_FIGURE_COUNT = 0 COMPARE_FIGURES(COMPARE_FIGURE_COUNTED)
#undef COMPARE_FIGURE_COUNTED
};

extern const struct compare_figure compare_figures[COMPARE_FIGURE_COUNT];
/* How a figure is called beside these vats: live ones have feed and alkali where the others have sugar and lime. */
const char *compare_label(int figure, const struct outcome *outcomes, size_t count);
/* The values in the order of the list. */
void compare_figures_of(const struct outcome *o, double values[COMPARE_FIGURE_COUNT]);

/* "day 12: short of lime, for 3 h", "never", "never ready: not yet reduced" */
void compare_failure(const struct outcome *o, char *text, size_t size);

#endif
