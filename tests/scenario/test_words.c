/* test_words.c: several of a thing are called by one rule, wherever they are told or read. */
#include "support/close.h"

#include "scenario/words.h"

static void several_have_their_name(void **state)
{
    (void)state;
    static const struct {
        const char *one, *many;
    } cases[] = {
        {"napkin", "napkins"},
        {"sash", "sashes"},
        {"swatch", "swatches"},
        {"box bag", "box bags"},
        {"dress", "dresses"},
        {"curtains", "curtains"},
        {"box", "boxes"},
        {"tea cosy", "tea cosies"},
        {"jersey", "jerseys"},
        {"s", "ss"},
        {"y", "ys"},
        {"", "s"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char text[40];
        word_plural(cases[i].one, text, sizeof text);
        assert_string_equal(text, cases[i].many);
    }
    char text[5];
    word_plural("napkin", text, sizeof text);
    assert_string_equal(text, "napk");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(several_have_their_name)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
