/* readings.h: what a dyer's readings of a vat say about what cannot be read, and which of them cannot be. */
#ifndef VATCAST_STUDY_READINGS_H
#define VATCAST_STUDY_READINGS_H

#include "base/status.h"
#include "scenario/scenario.h"

#define BELIEFS_MOST 4
#define SUSPECTS_MOST 8

/* One way in which the vat could be, given its readings: what is not known is filled in. */
struct belief {
    double hexose;     /* kg/m3 */
    double lime_solid; /* kg/m3 */
    double leuco;      /* mol; NAN: as the look says */
};

/* Fills `beliefs` for scenario.existing and returns how many there are, 1 to BELIEFS_MOST. What the dyer stated stands; else
 * smell and age speak for the sugar, pinch and pH for the lime, and where they are silent both ways are kept. `leuco`, mol,
 * is what the test strip says, give or take a quarter; NAN without one, and the look has to do. A vat poor in sugar and in leuco stands
 * beside one rich in both, not all four of them. */
int readings_believe(const struct scenario *scenario, double leuco, struct belief beliefs[BELIEFS_MOST]);

/* The leuco that colours a test strip of cotton as blue as scenario.existing.strip, mol: found by dipping strips into the
 * vat, simulated, until one matches. NAN when no strip was read or there is no cotton in fibres.conf. *too_blue: not even
 * all the indigo stated would do. Errors: those of run_scenario. */
struct status readings_strip(const struct scenario *scenario, double *leuco, bool *too_blue) MUST_USE;

/* The existing vat under a belief. */
struct existing_vat existing_under(const struct scenario *scenario, const struct belief *belief);

struct suspect {
    char text[200]; /* a whole sentence */
    bool is_ph;     /* the pH is the one not to be trusted */
};

/* Readings that contradict each other or the chemistry of lime and water; returns how many. pH of limewater 12.45 at
 * 25 degC, 0.033 lower per kelvin: Bates, Bower & Smith, J. Res. NBS 56, 305, 1956. */
int readings_suspect(const struct scenario *scenario, struct suspect suspects[SUSPECTS_MOST]);

/* Adds that a strip is bluer than all the indigo could make it, and returns how many there are then. */
int readings_suspect_strip(struct suspect suspects[SUSPECTS_MOST], int count);

/* pH of the same liquor brought to 25 degC. */
double ph_at_25C(double ph, double temperature_K);

#endif
