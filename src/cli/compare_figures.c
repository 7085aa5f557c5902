/* compare_figures.c: see compare_figures.h. */
#include "cli/compare_figures.h"

#include "study/summary_words.h"
#include "sim/series.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

const struct compare_figure compare_figures[COMPARE_FIGURE_COUNT] = {
#define COMPARE_FIGURE_ROW(key, unit, label, decimals, value) {key, unit, label, decimals},
    COMPARE_FIGURES(COMPARE_FIGURE_ROW)
#undef COMPARE_FIGURE_ROW
};

const char *compare_label(int figure, const struct outcome *outcomes, size_t count)
{
    static const struct {
        const char *key;
        const char *live, *mixed; /* all vats are alive; some are */
    } labels[] = {{"sugar_used", "Feed used, g", "Sugar or feed used, g"},
                  {"sugar_lost", "fermented, broke down", "broke down, fermented"},
                  {"lime_used", "Alkali used, as soda, g", "Lime, or soda, used, g"},
                  {"lime_bound_acids", "bound acids", "bound acids"},
                  {"lime_lost", "carried off", "chalk, carried off"}};
    size_t alive = 0;
    for (size_t i = 0; i < count; i++) {
        alive += outcomes[i].lives ? 1 : 0;
    }
    for (size_t i = 0; i < sizeof labels / sizeof labels[0] && alive > 0; i++) {
        if (strcmp(compare_figures[figure].key, labels[i].key) == 0) {
            return alive == count ? labels[i].live : labels[i].mixed;
        }
    }
    return compare_figures[figure].label;
}

void compare_figures_of(const struct outcome *o, double values[COMPARE_FIGURE_COUNT])
{
    int i = 0;
#define COMPARE_FIGURE_VALUE(key, unit, label, decimals, value) values[i++] = (value);
    COMPARE_FIGURES(COMPARE_FIGURE_VALUE)
#undef COMPARE_FIGURE_VALUE
}

void compare_failure(const struct outcome *o, char *text, size_t size)
{
    char state[WORD_SIZE];
    word_of_list(STATE_WORDS, o->failed_state, state);
    if (o->was_ready && o->failed_state == VAT_STARTING) {
        (void)snprintf(state, sizeof state, "reduced no longer");
    }
    if (isnan(o->failed_at)) {
        (void)snprintf(text, size, "never");
    } else if (!o->was_ready) {
        (void)snprintf(text, size, "never ready: %s", state);
    } else if (o->failed_for >= 172800.0) {
        (void)snprintf(text, size, "day %.0f: %s, for %.0f days", floor(o->failed_at / 86400.0) + 1.0, state,
                       o->failed_for / 86400.0);
    } else {
        (void)snprintf(text, size, "day %.0f: %s, for %.0f h", floor(o->failed_at / 86400.0) + 1.0, state,
                       fmax(1.0, o->failed_for / 3600.0));
    }
}
