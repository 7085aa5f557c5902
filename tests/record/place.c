/* place.c: see place.h. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "record/place.h"

#include "record/fake_result.h"
#include "record/record.h"

#include <stdio.h>
#include <stdlib.h>

int make_place(void **state)
{
    struct place *place = calloc(1, sizeof *place);
    if (place == NULL) {
        return -1;
    }
    scratch_make(place->folder);
    (void)snprintf(place->path, sizeof place->path, "%s/result.h5", place->folder);
    *state = place;
    return 0;
}

int remove_place(void **state)
{
    struct place *place = *state;
    scratch_remove(place->folder);
    free(place);
    return 0;
}

void assert_ok(struct status status)
{
    assert_string_equal(status.message, "");
    assert_int_equal(status.code, STATUS_OK);
}

void write_fake(const char *path)
{
    struct result result;
    fake_result(&result);
    assert_ok(record_write(&result, path, true));
    result_free(&result);
}
