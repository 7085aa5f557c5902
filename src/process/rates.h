/* rates.h: the tables of processes, one per file of src/process, that registry.c joins. */
#ifndef VATCAST_PROCESS_RATES_H
#define VATCAST_PROCESS_RATES_H

#include "process/process.h"

#define INDIGO_PROCESS_COUNT 12
#define SUGAR_PROCESS_COUNT 7
#define OXYGEN_PROCESS_COUNT 10
#define LIME_PROCESS_COUNT 4
#define SETTLING_PROCESS_COUNT 4
#define HEAT_PROCESS_COUNT 6
#define CLOTH_PROCESS_COUNT MAX_SOAKING_ZONES
#define FERMENTATION_PROCESS_COUNT 18

extern const struct process indigo_processes[INDIGO_PROCESS_COUNT];
extern const struct process sugar_processes[SUGAR_PROCESS_COUNT];
extern const struct process oxygen_processes[OXYGEN_PROCESS_COUNT];
extern const struct process lime_processes[LIME_PROCESS_COUNT];
extern const struct process settling_processes[SETTLING_PROCESS_COUNT];
extern const struct process heat_processes[HEAT_PROCESS_COUNT];
extern const struct process cloth_processes[CLOTH_PROCESS_COUNT];
extern const struct process fermentation_processes[FERMENTATION_PROCESS_COUNT];

#endif
