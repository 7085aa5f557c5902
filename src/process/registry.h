/* registry.h: every process the program knows, in a fixed order. */
#ifndef VATCAST_PROCESS_REGISTRY_H
#define VATCAST_PROCESS_REGISTRY_H

#include "process/process.h"

#include <stddef.h>

#define PROCESSES_KNOWN_MOST 96

size_t process_count(void);

/* The process of an index below process_count; NULL beyond. */
const struct process *process_at(size_t index);

/* Fills `names` with the names of all processes in order and a NULL after them (what a model file may switch on). */
void process_names(const char *names[PROCESSES_KNOWN_MOST + 1]);

#endif
