/* disturbed.h: vats put out of order at random, what a dyer would read of them, and advice followed on them step by step. */
#ifndef VATCAST_TESTS_DISTURBED_H
#define VATCAST_TESTS_DISTURBED_H

#include "study/advise.h"

#include <gsl/gsl_rng.h>

#define HISTORY_MOST 200

enum disturbance {
    DISTURBED_COLD,
    DISTURBED_SUGAR,
    DISTURBED_LIME_SHORT,
    DISTURBED_OVERLIMED,
    DISTURBED_WHIPPED,
    DISTURBED_IDLE,
    DISTURBANCE_COUNT
};
extern const char *const disturbance_words[];

/* The true vat: a fresh charge, what befell it, what was done on advice. The one who advises never sees it. */
struct disturbed {
    struct scenario scenario; /* its calendar is `events` */
    struct event_spec events[HISTORY_MOST];
    struct place place;
    double disturbed_at; /* s: the dyer comes and reads */
    size_t before;       /* events up to then */
};

/* What it is like at a time with the events so far. */
struct true_state {
    double ph, temperature, leuco, indigo, volume; /* degC, g/L, g, L */
    double thirst, strip;                          /* 0 to 1; kg/kg */
    int state, look, smell;
    bool holds; /* ready then and for a session after if nothing is done */
};

void disturbed_make(struct disturbed *vat, const struct scenario *base, enum disturbance kind, gsl_rng *rng);
struct true_state disturbed_look(const struct disturbed *vat, double time);
/* The scenario of the one who advises: readings only, each with its error. */
struct scenario disturbed_read(const struct disturbed *vat, const struct true_state *now, double time, gsl_rng *rng);
void disturbed_add(struct disturbed *vat, const struct event_spec *events, size_t count);
/* The mass of a material given since the dyer came, kg. */
double disturbed_given(const struct disturbed *vat, int material);
/* The same vat with every dose of a material since then times `share`. */
struct disturbed disturbed_scaled(const struct disturbed *vat, int material, double share);

#endif
