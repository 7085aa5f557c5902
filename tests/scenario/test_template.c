/* test_template.c: a file read once and laid out many times gives what reading it anew each time gives. */
#include "scenario/read.h"

#include "support/close.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define VAT TESTS_DIR "/cli/small-vat.conf"

static void assert_same_dose(const struct dose *a, const struct dose *b)
{
    assert_int_equal(a->material, b->material);
    assert_memory_equal(&a->mass, &b->mass, sizeof a->mass);
    assert_memory_equal(&a->purity, &b->purity, sizeof a->purity);
    assert_int_equal(a->by_volume, b->by_volume);
    assert_int_equal(a->line, b->line);
}

static void assert_same_material(const struct material *a, const struct material *b)
{
    assert_string_equal(a->name, b->name);
    assert_string_equal(a->kind, b->kind);
    assert_memory_equal(&a->indigotin, &b->indigotin,
                        offsetof(struct material, dry_powder) - offsetof(struct material, indigotin)); /* numbers all */
    assert_int_equal(a->dry_powder, b->dry_powder);
    assert_string_equal(a->source, b->source);
    assert_string_equal(a->caution, b->caution);
    assert_int_equal(a->line, b->line);
}

static void assert_same(const struct scenario *a, const struct scenario *b)
{
    assert_string_equal(a->scenario_text, b->scenario_text);
    assert_string_equal(a->model.model_text, b->model.model_text);
    assert_true(a->water.temperature_K == b->water.temperature_K);
    assert_int_equal(a->charge_count, b->charge_count);
    assert_int_equal(a->event_count, b->event_count);
    for (size_t i = 0; i < a->charge_count; i++) {
        assert_same_dose(&a->charge[i], &b->charge[i]);
    }
    for (int i = 0; i < CONSTANT_COUNT; i++) {
        assert_memory_equal(&a->model.constants[i], &b->model.constants[i], 3 * sizeof(double));
    }
    assert_int_equal(a->model.material_count, b->model.material_count);
    for (size_t i = 0; i < a->model.material_count; i++) {
        assert_same_material(&a->model.materials[i], &b->model.materials[i]);
    }
    assert_memory_equal(a->model.fibres, b->model.fibres, a->model.fibre_count * sizeof *a->model.fibres);
}

static void each_is_as_if_read_anew(void **state)
{
    (void)state;
    static const char *const sets[][2] = {
        {"vat.water.temperature=41 degC", "constants.leuco_pk1=8.1"},
        {"vat.charge.fructose.amount=2 cup", "lasts=5 days"},
        {"vat.model=hot-madder", "vat.water.temperature=55 degC"}, /* another model, and back */
        {"vat.water.temperature=50 degC", "constants.leuco_pk1=7.9"},
    };
    struct scenario_template *kept;
    struct complaints complaints;
    complaints_init(&complaints);
    struct status status = scenario_template_open(VAT, NULL, MODELS_DIR, &kept, &complaints);
    assert_int_equal(status.code, STATUS_OK);
    for (size_t i = 0; i < sizeof sets / sizeof sets[0]; i++) {
        struct scenario made;
        struct scenario read;
        status = scenario_template_make(kept, sets[i], 2, &made, &complaints);
        struct status anew = scenario_read(VAT, sets[i], 2, NULL, MODELS_DIR, &read, &complaints);
        for (size_t c = 0; c < complaints.count; c++) {
            print_error("%s\n", complaints.items[c].text);
        }
        assert_int_equal(status.code, STATUS_OK);
        assert_int_equal(anew.code, STATUS_OK);
        assert_same(&made, &read);
        scenario_free(&made);
        scenario_free(&read);
    }
    scenario_template_close(kept);
    complaints_free(&complaints);
}

static void a_bad_override_does_no_harm_to_the_next(void **state)
{
    (void)state;
    static const char *const bad[] = {"vat.water.temperature=400 degC", "vat.charge=( )"};
    struct scenario_template *kept;
    struct scenario scenario;
    struct complaints complaints;
    complaints_init(&complaints);
    struct status status = scenario_template_open(VAT, NULL, MODELS_DIR, &kept, &complaints);
    assert_int_equal(status.code, STATUS_OK);
    status = scenario_template_make(kept, bad, 2, &scenario, &complaints);
    assert_int_equal(status.code, STATUS_SCENARIO);
    assert_true(complaints.count >= 1);
    assert_null(scenario.charge);
    status = scenario_template_make(kept, NULL, 0, &scenario, &complaints);
    assert_int_equal(status.code, STATUS_OK);
    assert_int_equal(scenario.charge_count, 3);
    scenario_free(&scenario);
    scenario_template_close(kept);
    complaints_free(&complaints);
}

static void a_faulty_file_is_never_made(void **state)
{
    (void)state;
    struct scenario_template *kept;
    struct scenario scenario;
    struct complaints complaints;
    complaints_init(&complaints);
    struct status status =
        scenario_template_open(TESTS_DIR "/bad/text-bracket-open.conf", NULL, MODELS_DIR, &kept, &complaints);
    assert_int_equal(status.code, STATUS_OK);
    assert_true(complaints.count >= 1);
    for (int i = 0; i < 2; i++) {
        assert_int_equal(scenario_template_make(kept, NULL, 0, &scenario, &complaints).code, STATUS_SCENARIO);
    }
    scenario_template_close(kept);
    status = scenario_template_open("there/is/none.conf", NULL, MODELS_DIR, &kept, &complaints);
    assert_int_equal(status.code, STATUS_IO);
    assert_null(kept);
    scenario_template_close(kept);
    complaints_free(&complaints);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_is_as_if_read_anew),
        cmocka_unit_test(a_bad_override_does_no_harm_to_the_next),
        cmocka_unit_test(a_faulty_file_is_never_made),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
