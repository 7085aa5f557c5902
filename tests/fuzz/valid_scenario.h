/* valid_scenario.h: any bytes turned into the text of a scenario that is in order: each byte makes the next choice.
 *
 * It draws on the whole of docs/scenario-format.md but `workshop`, which no run heeds. Most last minutes to hours, one in
 * eight up to four days, so that a run is quick.
 */
#ifndef VATCAST_TESTS_FUZZ_VALID_SCENARIO_H
#define VATCAST_TESTS_FUZZ_VALID_SCENARIO_H

#include "fuzz/choices.h"

#define VALID_SCENARIO_SIZE 32768

/* Writes the scenario into `text`, of VALID_SCENARIO_SIZE bytes. */
void valid_scenario_write(const uint8_t *data, size_t size, char *text);

/* What the calendar of a scenario must fit. */
struct valid_scene {
    double lasts;   /* min */
    double litres;  /* filled in */
    int start_min;  /* after midnight, of the start */
    size_t places;  /* besides where it starts, named p0 ... */
    size_t cloths;  /* named c0 ... */
    bool targets;   /* that they have */
    double heater;  /* W; 0: none */
    size_t dips;    /* groups at fixed times so far */
    size_t entries; /* written so far */
};

/* valid_calendar.c: the calendar, or the schedules beside it. */
void valid_calendar_write(struct choices *choices, struct valid_scene *scene);

/* "NAME", "amount" for `litres` of liquor; of any material that comes with the program. */
void valid_dose_write(struct choices *choices, const char *key, double litres);

#endif
