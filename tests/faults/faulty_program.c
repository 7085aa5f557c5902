/* faulty_program.c: linked into the program, makes one of its calls fail: $VATCAST_FAULT is "CALL KIND ERRNO N" as in faults.h, the
 * first two by their names there. At the end the number of such calls goes to the file $VATCAST_FAULT_COUNT, when it is set.
 */
#include "faults/faults.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The number of a word in a list; an unknown one ends the program, so that no fault is left out unseen. */
static int number_of(const char *word, const char *const *words, int count)
{
    for (int i = 0; i < count; i++) {
        if (strcmp(words[i], word) == 0) {
            return i;
        }
    }
    (void)fprintf(stderr, "VATCAST_FAULT: '%s' is unknown\n", word);
    abort();
}

__attribute__((constructor)) static void set_fault(void)
{
    const char *wanted = getenv("VATCAST_FAULT");
    char call[16];
    char kind[16];
    int words = 0;
    if (wanted == NULL) {
        return;
    }
    bool named = sscanf(wanted, "%15s %15s%n", call, kind, &words) == 2;
    char *after_error = NULL;
    char *end = NULL;
    long error = named ? strtol(wanted + words, &after_error, 10) : 0;
    unsigned long n = named ? strtoul(after_error, &end, 10) : 0;
    if (!named || end == after_error || *end != '\0') {
        (void)fprintf(stderr, "VATCAST_FAULT: expected CALL KIND ERRNO N\n");
        abort();
    }
    fault_set((enum fault_call)number_of(call, fault_call_names, CALL_COUNT),
              (enum fault_kind)number_of(kind, fault_kind_names, FAULT_KIND_COUNT), (int)error, n, false);
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
