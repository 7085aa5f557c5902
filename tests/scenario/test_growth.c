/* test_growth.c: scenarios that grow: settings written and read again are the same; events added one by one are those of a
 * file; a calendar that ends at a moment.
 */
#include "base/complaints.h"
#include "process/registry.h"
#include "scenario/growth.h"
#include "scenario/read.h"
#include "scenario/settings.h"
#include "scenario/settings_write.h"

#include <glob.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

static void is_ok(struct status status)
{
    if (!status_is_ok(&status)) {
        fail_msg("%s", status.message);
    }
}

static void same_setting(const struct setting *a, const struct setting *b)
{
    assert_int_equal(a->type, b->type);
    assert_int_equal(a->count, b->count);
    assert_true((a->text == NULL) == (b->text == NULL) && (a->text == NULL || strcmp(a->text, b->text) == 0));
    assert_memory_equal(&a->number, &b->number, sizeof a->number);
    assert_int_equal(a->flag, b->flag);
    assert_int_equal(a->whole, b->whole);
    for (size_t i = 0; i < a->count; i++) {
        const char *name = a->items[i].name;
        assert_true(name == b->items[i].name || strcmp(name, b->items[i].name) == 0);
        same_setting(&a->items[i], &b->items[i]);
    }
}

static void write_text(const char *path, const char *text)
{
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    fputs(text, file);
    assert_int_equal(fclose(file), 0);
}

static struct document read_document(const char *path)
{
    struct document document;
    struct complaints complaints;
    complaints_init(&complaints);
    is_ok(document_read(path, &document, &complaints));
    if (complaints.count > 0) {
        fail_msg("%s: %s", path, complaints.items[0].text);
    }
    complaints_free(&complaints);
    return document;
}

static char path[] = "growth-XXXXXX";

static int make_path(void **state)
{
    (void)state;
    int file = mkstemp(path);
    return file < 0 ? 1 : close(file);
}

static int remove_path(void **state)
{
    (void)state;
    return unlink(path);
}

static void check_written(const char *file)
{
    struct document document = read_document(file);
    FILE *out = fopen(path, "w");
    assert_non_null(out);
    for (size_t i = 0; i < document.root.count; i++) {
        fprintf(out, "%s = ", document.root.items[i].name);
        (i % 2 == 0 ? setting_write : setting_write_lines)(out, &document.root.items[i]);
        fputs(";\n", out);
    }
    assert_int_equal(fclose(out), 0);
    struct document again = read_document(path);
    same_setting(&document.root, &again.root);
    document_free(&again);
    document_free(&document);
}

static void what_is_written_reads_the_same(void **state)
{
    (void)state;
    static const char *const patterns[] = {SCENARIOS_DIR "/*.conf", MODELS_DIR "/*.conf"};
    for (size_t p = 0; p < 2; p++) {
        glob_t found;
        assert_int_equal(glob(patterns[p], 0, NULL, &found), 0);
        for (size_t i = 0; i < found.gl_pathc; i++) {
            check_written(found.gl_pathv[i]);
        }
        globfree(&found);
    }
    char odd[] = "growth-odd-XXXXXX";
    int file = mkstemp(odd);
    assert_true(file >= 0 && close(file) == 0);
    write_text(
        odd,
        "a = ( 1, -2, 3000000000L, 0.1, 1e300, 1e-300, 5.0, -0.0, true, \"\", \"q\\\"b\\\\\", { }, ( ), [ 1, 2 ] );\n"
        "b = { c = { d = \"\xc3\xa9\"; }; e = 123456789.123456789; };\n");
    check_written(odd);
    (void)unlink(odd);
}

static struct growth *grow(const char *file, bool keeps_calendar)
{
    static const char *names[PROCESSES_KNOWN_MOST + 1];
    struct growth *growth;
    struct complaints complaints;
    process_names(names);
    const struct growth_options how = {
        .process_names = names, .models_folder = MODELS_DIR, .keeps_calendar = keeps_calendar, .room = 366 * 86400.0};
    complaints_init(&complaints);
    is_ok(growth_open(file, &how, &growth, &complaints));
    assert_int_equal(complaints.count, 0);
    complaints_free(&complaints);
    return growth;
}

static struct scenario read_back(const struct growth *growth, double end)
{
    const char *names[PROCESSES_KNOWN_MOST + 1];
    struct scenario scenario;
    struct complaints complaints;
    char *text;
    process_names(names);
    complaints_init(&complaints);
    is_ok(growth_write(growth, end, &text));
    write_text(path, text);
    free(text);
    struct status status = scenario_read(path, NULL, 0, names, MODELS_DIR, &scenario, &complaints);
    if (complaints.count > 0) {
        fail_msg("%s", complaints.items[0].text);
    }
    complaints_free(&complaints);
    is_ok(status);
    return scenario;
}

static bool same_number(double a, double b)
{
    return memcmp(&a, &b, sizeof a) == 0 || (isnan(a) && isnan(b));
}

static void same_event(const struct event_spec *a, const struct event_spec *b)
{
    assert_int_equal(a->action, b->action);
    assert_int_equal(a->timing, b->timing);
    assert_int_equal(a->after, b->after);
    assert_true(same_number(a->at, b->at) && same_number(a->every, b->every) && same_number(a->until, b->until));
    assert_int_equal(a->dose.material, b->dose.material);
    assert_true(same_number(a->dose.mass, b->dose.mass) && same_number(a->dose.purity, b->dose.purity));
    assert_true(same_number(a->temperature_K, b->temperature_K) && same_number(a->duration, b->duration));
    assert_true(same_number(a->volume, b->volume) && same_number(a->to_volume, b->to_volume));
    assert_int_equal(a->instrument, b->instrument);
    assert_int_equal(a->lid, b->lid);
    assert_int_equal(a->cloth, b->cloth);
    assert_int_equal(a->pieces, b->pieces);
    assert_true(same_number(a->soak, b->soak) && same_number(a->air, b->air));
}

static void events_added_are_those_of_the_file(void **state)
{
    (void)state;
    static const char *const events[] = {
        "{ at = \"+0 s\"; do = \"stir\"; }",
        "{ at = \"+60 s\"; do = \"add\"; what = \"slaked lime\"; amount = \"2 tbsp\"; }",
        "{ at = \"+123456 s\"; do = \"heat\"; to = \"113 degF\"; power = \"1 kW\"; }",
        "{ at = \"+123457 s\"; do = \"dip\"; cloth = \"napkin\"; pieces = 2; soak = \"5 min\"; air = \"0 s\"; }",
        "{ at = \"+200000 s\"; do = \"read\"; read = \"meter\"; }",
    };
    for (int kept = 0; kept < 2; kept++) {
        struct growth *growth = grow(SCENARIOS_DIR "/fresh-vat.conf", kept == 1);
        struct complaints complaints;
        complaints_init(&complaints);
        size_t of_file = growth_of_file(growth);
        assert_int_equal(of_file, kept == 1 ? 12 : 0);
        for (size_t i = 0; i < sizeof events / sizeof events[0]; i++) {
            is_ok(growth_add(growth, events[i], "day 1 09:00: said \"so\"", &complaints));
        }
        const struct scenario *grown = growth_scenario(growth);
        assert_int_equal(grown->event_count, of_file + 5);
        struct scenario scenario = read_back(growth, 200000.0);
        assert_int_equal(scenario.event_count, grown->event_count);
        assert_true(same_number(scenario.lasts, 200000.0));
        for (size_t i = 0; i < grown->event_count; i++) {
            same_event(&grown->events[i], &scenario.events[i]);
        }
        scenario_free(&scenario);
        growth_cut(growth, of_file + 2);
        scenario = read_back(growth, 60.0);
        assert_int_equal(scenario.event_count, of_file + 2);
        scenario_free(&scenario);
        growth_cut(growth, 0); /* those of the file stay */
        assert_int_equal(growth_scenario(growth)->event_count, of_file);
        complaints_free(&complaints);
        growth_close(growth);
    }
}

static void what_is_complained_of_is_not_added(void **state)
{
    (void)state;
    static const struct {
        const char *event, *text;
    } bad[] = {
        {"{ at = \"+60 s\"; do = \"dance\"; }", "dance"},
        {"{ at = \"+60 s\"; do = \"stir\"; what = \"lime\"; }", "does not belong"},
        {"{ do = \"stir\"; }", "no time"},
        {"{ at = \"+60 s\"; do = \"stir\" ", "a text"},
        {"); evil = ( ", "a text"},
        {"{ at = \"+60 s\"; do = \"heat\"; to = \"45 degC\"; }", "no heater"},
        {"{ at = \"+60 s\"; do = \"dip\"; cloth = \"napkin\"; pieces = 9; soak = \"5 min\"; }", "'count' is 4"},
        {"{ at = \"+60 s\"; do = \"stir\"; label = \"stir\"; }", "the word of an action"},
        {"{ at = \"+900 days\"; do = \"stir\"; }", "after the end"},
        {"", "a text"},
    };
    struct growth *growth = grow(SCENARIOS_DIR "/fresh-vat.conf", false);
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        struct complaints complaints;
        complaints_init(&complaints);
        assert_int_equal(growth_add(growth, bad[i].event, "", &complaints).code, STATUS_SCENARIO);
        assert_true(complaints.count > 0);
        if (strstr(complaints.items[0].text, bad[i].text) == NULL) {
            fail_msg("%s: %s", bad[i].event, complaints.items[0].text);
        }
        complaints_free(&complaints);
        assert_int_equal(growth_scenario(growth)->event_count, 0);
    }
    struct scenario scenario = read_back(growth, 0.0);
    assert_int_equal(scenario.event_count, 0);
    scenario_free(&scenario);
    growth_close(growth);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_written_reads_the_same),
        cmocka_unit_test(events_added_are_those_of_the_file),
        cmocka_unit_test(what_is_complained_of_is_not_added),
    };
    return cmocka_run_group_tests(tests, make_path, remove_path);
}
