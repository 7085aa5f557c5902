/* asking.c: see asking.h. */
#include "study/asking.h"

#include "process/registry.h"
#include "scenario/read.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

void ask_file(const char *path, const char *const *overrides, size_t count, struct scenario *scenario)
{
    const char *names[PROCESSES_KNOWN_MOST + 1];
    struct complaints complaints;
    process_names(names);
    complaints_init(&complaints);
    struct status status = scenario_read(path, overrides, count, names, MODELS_DIR, scenario, &complaints);
    for (size_t i = 0; i < complaints.count; i++) {
        print_error("%s:%d: %s\n", complaints.items[i].file, complaints.items[i].line, complaints.items[i].text);
    }
    complaints_free(&complaints);
    assert_done(status);
}

void ask_text(const char *text, struct scenario *scenario)
{
    char path[] = "asking-XXXXXX";
    int file = mkstemp(path);
    assert_true(file >= 0);
    assert_int_equal(write(file, text, strlen(text)), (int)strlen(text));
    assert_int_equal(close(file), 0);
    ask_file(path, NULL, 0, scenario);
    (void)unlink(path);
}

void ask_vat(double litres, double powder_g_per_L, double depth_times, struct scenario *scenario)
{
    char path[] = "asking-XXXXXX";
    int file = mkstemp(path);
    assert_true(file >= 0);
    FILE *out = fdopen(file, "w");
    assert_non_null(out);
    double depth = 34.8 * depth_times * cbrt(litres / 18.9);         /* cm */
    double diameter = 29.0 * cbrt(litres / 18.9) / sqrt(depth_times); /* cm */
    fprintf(out,
            "title = \"A vat to be asked\";\nstart = \"2026-05-04 08:00\";\nlasts = \"2 days\";\nrtol = 1e-4;\nvat = {\n"
            "  model = \"sugar-lime\";\n"
            "  vessel = { diameter = \"%.6f cm\"; depth = \"%.6f cm\"; fill = \"%.6f L\"; lid = \"loose\"; wrap = "
            "\"blanket\"; heater = \"2 kW\"; };\n"
            "  place = { night = \"22 degC\"; day = \"22 degC\"; };\n"
            "  water = { temperature = \"50 degC\"; alkalinity = \"100 mg/L\"; hardness = \"100 mg/L\"; };\n"
            "  charge = ( { add = \"indigo powder\"; amount = \"%.6f g\"; purity = 0.4; },\n"
            "             { add = \"slaked lime\"; amount = \"%.6f g\"; }, { add = \"fructose\"; amount = \"%.6f g\"; } );\n"
            "};\ncloth = ( { name = \"towel\"; fibre = \"cotton\"; each = \"100 g\"; fabric = \"150 g/m2\"; } );\n"
            "calendar = ( { at = \"day 1 08:20\"; do = \"stir\"; }, { at = \"day 1 08:40\"; do = \"stir\"; },\n"
            "  { at = \"day 1 09:00\"; do = \"stir\"; },\n"
            "  { at = \"day 1 09:10\"; do = \"heat\"; to = \"38 degC\"; for = \"24 h\"; },\n"
            "  { at = \"day 2 09:00\"; do = \"dip\"; cloth = \"towel\"; soak = \"8 min\"; } );\n",
            diameter, depth, litres, litres * powder_g_per_L, 2.0 * litres * powder_g_per_L,
            3.0 * litres * powder_g_per_L);
    assert_int_equal(fclose(out), 0);
    ask_file(path, NULL, 0, scenario);
    (void)unlink(path);
}

struct work_plan ask_session(const struct scenario *scenario, int loads, double every)
{
    struct work_plan plan = {.sugar = WORK_SUGAR, .lime = WORK_LIME, .after = 60.0};
    assert_done(work_plan_from(scenario, 0, NULL, &plan, NULL));
    plan.every = every;
    plan.loads = loads;
    plan.sessions = 1;
    plan.session_every = 86400.0;
    plan.dips_per_piece = loads;
    return plan;
}

void assert_done(struct status status)
{
    if (!status_is_ok(&status)) {
        print_error("%s\n", status.message);
    }
    assert_int_equal(status.code, STATUS_OK);
}
