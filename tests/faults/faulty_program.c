/* faulty_program.c: linked into the program, makes one of its calls fail: $VATCAST_FAULT is "CALL KIND ERRNO N" as in faults.h, the
 * first two as numbers too. At the end the number of such calls goes to the file $VATCAST_FAULT_COUNT, when it is set.
 */
#include "faults/faults.h"

#include <stdio.h>
#include <stdlib.h>

__attribute__((constructor)) static void set_fault(void)
{
    const char *wanted = getenv("VATCAST_FAULT");
    long numbers[4] = {0};
    char *at = NULL;
    for (int i = 0; wanted != NULL && i < 4; i++) {
        numbers[i] = strtol(wanted, &at, 10);
        wanted = at;
    }
    if (wanted != NULL) {
        fault_set((enum fault_call)numbers[0], (enum fault_kind)numbers[1], (int)numbers[2], (size_t)numbers[3], false);
    }
}

__attribute__((destructor)) static void tell_calls(void)
{
    const char *path = getenv("VATCAST_FAULT_COUNT");
    size_t calls = fault_calls();
    fault_clear();
    FILE *file = path == NULL ? NULL : fopen(path, "w");
    if (file != NULL) {
        (void)fprintf(file, "%zu\n", calls);
        (void)fclose(file);
    }
}
