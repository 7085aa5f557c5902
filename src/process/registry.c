/* registry.c: see registry.h. */
#include "process/registry.h"

#include "process/rates.h"

#define PROCESS_TOTAL                                                                                                    \
    (INDIGO_PROCESS_COUNT + SUGAR_PROCESS_COUNT + OXYGEN_PROCESS_COUNT + LIME_PROCESS_COUNT + SETTLING_PROCESS_COUNT +   \
     HEAT_PROCESS_COUNT + CLOTH_PROCESS_COUNT + FERMENTATION_PROCESS_COUNT)

static const struct {
    const struct process *processes;
    size_t count;
} groups[] = {
    {indigo_processes, INDIGO_PROCESS_COUNT},       {sugar_processes, SUGAR_PROCESS_COUNT},
    {oxygen_processes, OXYGEN_PROCESS_COUNT},       {lime_processes, LIME_PROCESS_COUNT},
    {settling_processes, SETTLING_PROCESS_COUNT},   {heat_processes, HEAT_PROCESS_COUNT},
    {cloth_processes, (size_t)CLOTH_PROCESS_COUNT}, {fermentation_processes, FERMENTATION_PROCESS_COUNT},
};

size_t process_count(void)
{
    return PROCESS_TOTAL;
}

const struct process *process_at(size_t index)
{
    for (size_t g = 0; g < sizeof groups / sizeof groups[0]; g++) {
        if (index < groups[g].count) {
            return &groups[g].processes[index];
        }
        index -= groups[g].count;
    }
    return NULL;
}

void process_imbalance(const struct process *process, int imbalance[ELEMENT_COUNT])
{
    for (int e = 0; e < ELEMENT_COUNT; e++) {
        imbalance[e] = 0;
        for (int t = 0; t < PROCESS_TERMS_MOST && process->terms[t].coefficient != 0; t++) {
            imbalance[e] += process->terms[t].coefficient * species_table[process->terms[t].species].composition[e];
        }
    }
}

void process_names(const char *names[PROCESSES_KNOWN_MOST + 1])
{
    _Static_assert(PROCESS_TOTAL <= PROCESSES_KNOWN_MOST, "raise PROCESSES_KNOWN_MOST");
    for (size_t i = 0; i < PROCESS_TOTAL; i++) {
        names[i] = process_at(i)->name;
    }
    names[PROCESS_TOTAL] = NULL;
}
