/* readings.h: what a dyer's readings of a vat say about what cannot be read, and which of them cannot be. */
#ifndef VATCAST_STUDY_READINGS_H
#define VATCAST_STUDY_READINGS_H

#include "scenario/scenario.h"

#define BELIEFS_MOST 4
#define SUSPECTS_MOST 8

/* One way in which the vat could be, given its readings: what is not known is filled in. */
struct belief {
    double hexose;     /* kg/m3 */
    double lime_solid; /* kg/m3 */
};

/* Fills `beliefs` for scenario.existing and returns how many there are, 1 to BELIEFS_MOST. What the dyer stated stands; else
 * smell and age speak for the sugar, pinch and pH for the lime, and where they are silent both ways are kept. */
int readings_believe(const struct scenario *scenario, struct belief beliefs[BELIEFS_MOST]);

/* The existing vat under a belief. */
struct existing_vat existing_under(const struct scenario *scenario, const struct belief *belief);

struct suspect {
    char text[200]; /* a whole sentence */
    bool is_ph;     /* the pH is the one not to be trusted */
};

/* Readings that contradict each other or the chemistry of lime and water; returns how many. pH of limewater 12.45 at
 * 25 degC, 0.033 lower per kelvin: Bates, Bower & Smith, J. Res. NBS 56, 305, 1956. */
int readings_suspect(const struct scenario *scenario, struct suspect suspects[SUSPECTS_MOST]);

/* pH of the same liquor brought to 25 degC. */
double ph_at_25C(double ph, double temperature_K);

#endif
