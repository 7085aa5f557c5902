/* test_model.c: the shipped model, materials and fibres read without complaint; broken copies of them are refused.
 *
 * The numbers compared are those written in models/sugar-lime.conf and its tables, converted by hand.
 */
#include "base/complaints.h"
#include "scenario/read.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cmocka.h>

static void shipped_model_reads(void **state)
{
    (void)state;
    struct model model;
    struct complaints complaints;
    complaints_init(&complaints);
    struct status status = model_read("sugar-lime", NULL, NULL, MODELS_DIR, &model, &complaints);
    for (size_t i = 0; i < complaints.count; i++) {
        print_error("%s:%d: %s\n", complaints.items[i].file, complaints.items[i].line, complaints.items[i].text);
    }
    assert_int_equal(status.code, STATUS_OK);
    assert_int_equal(complaints.count, 0);
    assert_string_equal(model.name, "sugar-lime");
    for (int i = 0; i < CONSTANT_COUNT; i++) {
        const struct constant *constant = &model.constants[i];
        if (!(constant->low <= constant->nominal && constant->nominal <= constant->high) ||
            constant->source[0] == '\0' || constant->about[0] == '\0') {
            fail_msg("%s: %g %g %g, source '%s'", constant_specs[i].name, constant->low, constant->nominal,
                     constant->high, constant->source);
        }
    }
    assert_true(model.material_count >= 15);
    assert_true(model.fibre_count >= 6);
    assert_non_null(strstr(model.model_text, "slaked lime"));
    assert_non_null(strstr(model.model_text, "leuco_pk1"));
    assert_non_null(strstr(model.model_text, "freundlich"));
    model_free(&model);
    assert_null(model.materials);
    complaints_free(&complaints);
}

static void units_are_converted(void **state)
{
    (void)state;
    struct model model;
    struct complaints complaints;
    complaints_init(&complaints);
    struct status status = model_read("sugar-lime", NULL, NULL, MODELS_DIR, &model, &complaints);
    assert_int_equal(status.code, STATUS_OK);
    for (size_t i = 0; i < model.material_count; i++) {
        const struct material *material = &model.materials[i];
        if (strcmp(material->name, "fructose") == 0) {
            assert_true(fabs(material->bulk_density - 800) < 1e-9); /* 0.80 g/mL */
            assert_true(material->fructose == 1.0);
        }
        assert_true(isnan(material->bulk_density) || (material->bulk_density > 50 && material->bulk_density < 3000));
    }
    for (size_t i = 0; i < model.fibre_count; i++) {
        const struct fibre *fibre = &model.fibres[i];
        if (strcmp(fibre->name, "cotton") == 0) {
            /* the file's numbers may be tuned; a unit that is not converted would be off by 60, 1000 or more */
            assert_true(fibre->freundlich.nominal > 0.0005 && fibre->freundlich.nominal < 0.1);
            assert_true(fibre->half_time.nominal > 20 && fibre->half_time.nominal < 3600);
            assert_true(fibre->air_dry.nominal > 1e-5 && fibre->air_dry.nominal < 1e-2);
            assert_true(fabs(fibre->density - 1530) < 1e-9);
            assert_string_equal(fibre->ph_response, "cellulose");
        }
    }
    model_free(&model);
    complaints_free(&complaints);
}

/* Copies a file of the models folder with one piece of text replaced. */
static void copy_replacing(const char *name, const char *to, const char *piece, const char *by)
{
    static char text[400000];
    char path[1024];
    (void)snprintf(path, sizeof path, "%s/%s", MODELS_DIR, name);
    FILE *from = fopen(path, "rb");
    assert_non_null(from);
    size_t length = fread(text, 1, sizeof text - 1, from);
    (void)fclose(from);
    text[length] = '\0';
    char *at = strstr(text, piece);
    if (at == NULL) {
        fail_msg("%s holds no '%s' to break", name, piece);
        return;
    }
    FILE *file = fopen(to, "wb");
    assert_non_null(file);
    assert_int_equal(fwrite(text, 1, (size_t)(at - text), file), (size_t)(at - text));
    assert_true(fputs(by, file) >= 0);
    assert_true(fputs(at + strlen(piece), file) >= 0);
    assert_int_equal(fclose(file), 0);
}

struct breaking {
    const char *file;
    const char *piece; /* in the shipped file */
    const char *by;
    const char *complaint; /* a piece of the one complaint expected */
};

static const struct breaking breakings[] = {
    {"sugar-lime.conf", "leuco_pk1 =", "leuco_pk7 =", "constants are missing: leuco_pk1"},
    {"sugar-lime.conf", "low = 7.8;", "low = 9.8;", "low <= nominal <= high"},
    {"sugar-lime.conf", "low = 7.8;", "", "has no 'low'"},
    {"sugar-lime.conf", "low = 7.8;", "low = \"7.8 g\";", "not a number without a unit"},
    {"sugar-lime.conf", "\"0.1 mol m-3\"", "0.1", "bare number"},
    {"sugar-lime.conf", "\"0.1 mol m-3\"", "\"0.1 kg\"", "not a quantity in mol m-3"},
    {"sugar-lime.conf", "low = \"0.3 kg m-3\"; nominal = \"1 kg", "low = \"0 kg m-3\"; nominal = \"1 kg", "expected more than 0"},
    {"sugar-lime.conf", "name =", "nome =", "did you mean 'name'?"},
    {"materials.conf", "kind = \"sugar\"", "kind = \"sweet\"", "expected \"indigo\", \"sugar\""},
    {"materials.conf", "fructose = 1.0", "fructose = 1.2", "expected from 0 to 1"},
    {"materials.conf", "fructose = 1.0", "fructose = 1.0; glucose = 0.2", "add up to 1.2"},
    {"materials.conf", "\"0.80 g/mL\"", "0.80", "bare number"},
    {"materials.conf", "\"0.80 g/mL\"", "\"9 kg\"", "not a density"},
    {"materials.conf", "name = \"fructose\"", "name = \"glucose\"", "second material \"glucose\""},
    {"materials.conf", "name = \"fructose\"", "name = \"lye crystals\"", "corrosive hydroxide"},
    {"fibres.conf", "name = \"cotton\"", "name = \"silk\"", "second fibre \"silk\""},
    {"fibres.conf", "ph_response = \"cellulose\"", "ph_response = \"cotton\"", "\"cellulose\", \"silk\" or \"wool\""},
    {"fibres.conf", "exponent =", "exponnet =", "did you mean 'exponent'?"},
};

static void broken_models_are_refused(void **state)
{
    (void)state;
    char folder[64];
    (void)snprintf(folder, sizeof folder, "model-test-%ld", (long)getpid());
    assert_int_equal(mkdir(folder, 0700), 0);
    int failed = 0;
    for (size_t i = 0; i < sizeof breakings / sizeof breakings[0]; i++) {
        static const char *const files[] = {"sugar-lime.conf", "materials.conf", "fibres.conf"};
        char path[3][128];
        for (size_t f = 0; f < 3; f++) {
            (void)snprintf(path[f], sizeof path[f], "%s/%s", folder, files[f]);
            bool broken = strcmp(files[f], breakings[i].file) == 0;
            copy_replacing(files[f], path[f], broken ? breakings[i].piece : "", broken ? breakings[i].by : "");
        }
        struct model model;
        struct complaints complaints;
        complaints_init(&complaints);
        struct status status = model_read(path[0], NULL, NULL, MODELS_DIR, &model, &complaints);
        bool told = false;
        for (size_t c = 0; c < complaints.count; c++) {
            told = told || (strstr(complaints.items[c].text, breakings[i].complaint) != NULL &&
                            strstr(complaints.items[c].file, breakings[i].file) != NULL);
        }
        if (status.code != STATUS_SCENARIO || !told || complaints.count > 2) {
            failed++;
            print_error("%s: '%s' by '%s': status %d, %zu complaints, first: %s\n", breakings[i].file,
                        breakings[i].piece, breakings[i].by, (int)status.code, complaints.count,
                        complaints.count > 0 ? complaints.items[0].text : "");
        }
        complaints_free(&complaints);
        for (size_t f = 0; f < 3; f++) {
            (void)remove(path[f]);
        }
    }
    assert_int_equal(rmdir(folder), 0);
    assert_int_equal(failed, 0);
}

static void processes_are_checked(void **state)
{
    (void)state;
    char path[64];
    (void)snprintf(path, sizeof path, "./processes-test-%ld.conf", (long)getpid());
    copy_replacing("sugar-lime.conf", path, "processes = [", "processes = [ \"no such process\" ]; about_ = [");
    static const char *const names[] = {"no such", "reduction", NULL};
    struct model model;
    struct complaints complaints;
    complaints_init(&complaints);
    struct status status = model_read(path, NULL, names, MODELS_DIR, &model, &complaints);
    (void)remove(path);
    assert_int_equal(status.code, STATUS_SCENARIO);
    bool told = false;
    for (size_t i = 0; i < complaints.count; i++) {
        told = told || strstr(complaints.items[i].text, "process \"no such process\" is not known") != NULL;
    }
    assert_true(told);
    complaints_free(&complaints);
}

static void unknown_model(void **state)
{
    (void)state;
    struct model model;
    struct complaints complaints;
    complaints_init(&complaints);
    struct status status = model_read("no-such-model", NULL, NULL, MODELS_DIR, &model, &complaints);
    assert_int_equal(status.code, STATUS_IO);
    assert_int_equal(complaints.count, 0);
    complaints_free(&complaints);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shipped_model_reads),
        cmocka_unit_test(units_are_converted),
        cmocka_unit_test(broken_models_are_refused),
        cmocka_unit_test(processes_are_checked),
        cmocka_unit_test(unknown_model),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
