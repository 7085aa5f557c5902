/* test_file.c: a stream is closed as sound only when everything before went through. */
#include "base/file.h"

#include "support/close.h"

static void what_did_not_go_through_is_told_on_closing(void **state)
{
    (void)state;
    char place[16];
    FILE *file = fmemopen(place, sizeof place, "w");
    assert_non_null(file);
    assert_true(fputs("indigo", file) >= 0);
    assert_true(file_close(file));
    for (int buffered = 0; buffered < 2; buffered++) { /* found by the write, and by the closing */
        file = fopen("/dev/full", "w");
        if (file == NULL) {
            skip();
        }
        assert_int_equal(setvbuf(file, NULL, buffered ? _IOFBF : _IONBF, buffered ? 4096 : 0), 0);
        assert_true((fputs("indigo", file) >= 0) == (buffered == 1));
        assert_false(file_close(file));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_did_not_go_through_is_told_on_closing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
