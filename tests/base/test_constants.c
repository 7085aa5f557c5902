/* test_constants.c: the table of constants: complete, each name once, each with a unit. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "base/constants.h"

#include <string.h>

static void names_are_words_and_differ(void **state)
{
    (void)state;
    for (size_t i = 0; i < CONSTANT_COUNT; i++) {
        const char *name = constant_specs[i].name;
        assert_non_null(name);
        assert_in_range(strlen(name), 3, 47);
        assert_int_equal(strspn(name, "abcdefghijklmnopqrstuvwxyz0123456789_CK"), strlen(name));
        for (size_t j = 0; j < i; j++) {
            assert_string_not_equal(name, constant_specs[j].name);
        }
    }
}

static void units_are_given(void **state)
{
    (void)state;
    for (size_t i = 0; i < CONSTANT_COUNT; i++) {
        assert_non_null(constant_specs[i].unit);
        assert_true(constant_specs[i].unit[0] != '\0');
    }
}

static void table_follows_the_names(void **state)
{
    (void)state;
    assert_string_equal(constant_specs[K_LEUCO_PK1].name, "leuco_pk1");
    assert_string_equal(constant_specs[K_KL_WARM_PER_K].name, "kl_warm_per_kelvin");
    assert_string_equal(constant_specs[K_SPOON_ERROR].name, "spoon_error");
    assert_string_equal(constant_specs[K_FLOWER_GAS_HALF].name, "flower_gas_half");
    assert_int_equal(K_FLOWER_GAS_HALF, CONSTANT_COUNT - 1);
}

static void floors_are_told(void **state)
{
    (void)state;
    assert_null(constant_refusal(K_ORP_HALF_VAT, -0.5));
    assert_null(constant_refusal(K_CHALK_RATE, 0.0));
    assert_string_equal(constant_refusal(K_CHALK_RATE, -1e-9), "expected 0 or more");
    assert_null(constant_refusal(K_MEDIATOR_HALF, 1e-9));
    assert_string_equal(constant_refusal(K_MEDIATOR_HALF, 0.0), "expected more than 0, for a law divides by it");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(names_are_words_and_differ),
        cmocka_unit_test(units_are_given),
        cmocka_unit_test(table_follows_the_names),
        cmocka_unit_test(floors_are_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
