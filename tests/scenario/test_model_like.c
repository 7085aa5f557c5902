/* test_model_like.c: models that are like another, and which processes each shipped model switches on. */
#include "base/complaints.h"
#include "process/registry.h"
#include "scenario/read.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cmocka.h>

static void read_shipped(const char *name, struct model *model)
{
    const char *names[PROCESSES_KNOWN_MOST + 1];
    struct complaints complaints;
    complaints_init(&complaints);
    process_names(names);
    struct status status = model_read(name, NULL, names, MODELS_DIR, model, &complaints);
    for (size_t i = 0; i < complaints.count; i++) {
        print_error("%s:%d: %s\n", complaints.items[i].file, complaints.items[i].line, complaints.items[i].text);
    }
    assert_int_equal(status.code, STATUS_OK);
    assert_int_equal(complaints.count, 0);
    complaints_free(&complaints);
}

/* A fermented model has all of its constants, each in order and with a source; all its processes are on. */
static void shipped_models_are_whole(void **state)
{
    (void)state;
    static const char *const names[] = {"bran-soda", "ash-lye", "hot-madder"};
    for (size_t m = 0; m < sizeof names / sizeof names[0]; m++) {
        struct model model;
        read_shipped(names[m], &model);
        assert_string_equal(model.name, names[m]);
        for (int i = 0; i < CONSTANT_COUNT; i++) {
            const struct constant *c = &model.constants[i];
            if (!(c->low <= c->nominal && c->nominal <= c->high) || c->source[0] == '\0' || c->about[0] == '\0') {
                fail_msg("%s: %s is %g %g %g, source '%s'", names[m], constant_specs[i].name, c->low, c->nominal, c->high,
                         c->source);
            }
        }
        for (size_t p = 0; p < process_count(); p++) {
            assert_true(model.process_on[p]);
        }
        /* The law of temperature wants its best above the middle of its range. */
        for (int k = K_CELL_TEMPERATURE_LOWEST; k <= K_SPOILER_TEMPERATURE_LOWEST;
             k += K_SPOILER_TEMPERATURE_LOWEST - K_CELL_TEMPERATURE_LOWEST) {
            assert_true(2.0 * model.constants[k + 1].nominal > model.constants[k].nominal + model.constants[k + 2].nominal);
        }
        assert_non_null(strstr(model.model_text, "like = \"sugar-lime\""));
        assert_non_null(strstr(model.model_text, "name = \"sugar-lime\""));
        model_free(&model);
    }
}

static void what_a_model_names_holds_and_the_rest_is_taken(void **state)
{
    (void)state;
    struct model plain;
    struct model hot;
    read_shipped("sugar-lime", &plain);
    read_shipped("hot-madder", &hot);
    assert_true(hot.constants[K_CELL_PH_BEST].nominal == 8.5 && plain.constants[K_CELL_PH_BEST].nominal == 10.0);
    assert_true(hot.constants[K_LEUCO_PK1].nominal == plain.constants[K_LEUCO_PK1].nominal);
    model_free(&plain);
    model_free(&hot);
}

/* Nothing grows in limewater. */
static void sugar_lime_is_without_life(void **state)
{
    (void)state;
    struct model model;
    int off = 0;
    read_shipped("sugar-lime", &model);
    for (size_t p = 0; p < process_count(); p++) {
        bool living = strncmp(process_at(p)->name, "ferment_", 8) == 0;
        assert_true(model.process_on[p] == !living);
        off += living;
    }
    assert_true(off > 10);
    model_free(&model);
}

/* A model written beside copies of nothing else; `told` is a piece of the complaint expected. */
static void assert_refused(const char *text, const char *told)
{
    char folder[64];
    char path[128];
    const char *names[PROCESSES_KNOWN_MOST + 1];
    process_names(names);
    (void)snprintf(folder, sizeof folder, "like-test-%ld", (long)getpid());
    assert_int_equal(mkdir(folder, 0700), 0);
    (void)snprintf(path, sizeof path, "%s/one.conf", folder);
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    assert_true(fputs(text, file) >= 0);
    assert_int_equal(fclose(file), 0);
    struct model model;
    struct complaints complaints;
    complaints_init(&complaints);
    struct status status = model_read(path, NULL, names, MODELS_DIR, &model, &complaints);
    bool found = false;
    for (size_t i = 0; i < complaints.count; i++) {
        found = found || strstr(complaints.items[i].text, told) != NULL;
    }
    (void)remove(path);
    assert_int_equal(rmdir(folder), 0);
    assert_int_equal(status.code, STATUS_SCENARIO);
    assert_true(found);
    complaints_free(&complaints);
}

static void wrong_models_are_refused(void **state)
{
    (void)state;
    assert_refused("name = \"one\"; like = \"two\"; processes = [ \"all\" ]; constants = { };", "expected another model in the same folder");
    assert_refused("name = \"one\"; like = \"one\"; processes = [ \"all\" ]; constants = { };", "at most 4 deep");
    assert_refused("name = \"one\"; like = \"../one\"; processes = [ \"all\" ]; constants = { };", "expected another model in the same folder");
    assert_refused("name = \"one\"; processes = [ \"all\" ]; constants = { };", "constants are missing");
    assert_refused("name = \"one\"; processes = [ \"-fermant_*\" ]; constants = { };", "is not known");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shipped_models_are_whole),
        cmocka_unit_test(what_a_model_names_holds_and_the_rest_is_taken),
        cmocka_unit_test(sugar_lime_is_without_life),
        cmocka_unit_test(wrong_models_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
