/* place.h: a folder for the result file of a test. */
#ifndef VATCAST_TESTS_RECORD_PLACE_H
#define VATCAST_TESTS_RECORD_PLACE_H

#include "base/status.h"
#include "record/scratch.h"

struct place {
    char folder[SCRATCH_PATH];
    char path[SCRATCH_PATH + 32]; /* result.h5 in it */
};

/* The set-up and tear-down of a test, whose state is a struct place. */
int make_place(void **state);
int remove_place(void **state);

void assert_ok(struct status status);

/* Writes the fake result there. */
void write_fake(const char *path);

#endif
