/* ferment.c: see ferment.h. */
#include "behaviour/ferment.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#define USABLE_SHARE 0.05
#define TEXT_SIZE (2 * CALENDAR_SIZE)

struct live_vat bran_vat(double indigo, double degC)
{
    return (struct live_vat){.model = "bran-soda", .fill_L = 20.0, .diameter_cm = 30.0, .depth_cm = 34.0, .night_degC = degC,
                             .day_degC = degC, .water_degC = degC, .days = 16.0, .record_h = 2.0, .lid = "loose",
                             .wall = "plastic", .indigo = indigo, .madder = 5.0, .raw_bran = 5.0, .soda = 25.0,
                             .stirred_daily = true};
}

struct live_vat leaf_vat(double degC)
{
    return (struct live_vat){.model = "ash-lye", .fill_L = 40.0, .diameter_cm = 38.0, .depth_cm = 60.0, .night_degC = degC,
                             .day_degC = degC, .water_degC = degC, .days = 16.0, .record_h = 2.0, .lid = "loose",
                             .wall = "plastic", .leaf = 112.0, .boiled_bran = 1.4, .ash_lye = 880.0, .lime = 2.0,
                             .stirred_daily = true};
}

static void append(char *text, const char *format, ...) __attribute__((format(printf, 2, 3)));
static void append(char *text, const char *format, ...)
{
    size_t used = strlen(text);
    va_list arguments;
    va_start(arguments, format);
    int length = vsnprintf(text + used, TEXT_SIZE - used, format, arguments);
    va_end(arguments);
    assert_true(length >= 0 && (size_t)length < TEXT_SIZE - used);
}

/* Ash lye is most of the liquor: what it brings comes on top of so much less water. */
static void append_charge(char *text, const struct live_vat *vat)
{
    const struct {
        const char *material;
        double g_per_L;
    } doses[] = {{"indigo powder", vat->indigo},    {"composted indigo leaf", vat->leaf}, {"couched woad", vat->woad},
                 {"madder", vat->madder},           {"wheat bran", vat->raw_bran},        {"boiled bran", vat->boiled_bran},
                 {"soda ash", vat->soda},           {"potash", vat->potash},              {"ash lye", vat->ash_lye},
                 {"slaked lime", vat->lime},        {"old vat liquor", vat->old_liquor}};
    append(text, "  charge = ( ");
    bool first = true;
    for (size_t i = 0; i < sizeof doses / sizeof doses[0]; i++) {
        if (doses[i].g_per_L > 0.0) {
            append(text, "%s{ add = \"%s\"; amount = \"%.17g g\"; }", first ? "" : ", ", doses[i].material,
                   doses[i].g_per_L * vat->fill_L);
            first = false;
        }
    }
    append(text, " );\n};\n");
}

struct vat_run *run_live(const struct live_vat *vat, const char *override)
{
    char text[TEXT_SIZE] = "";
    double water = vat->fill_L * (1.0 - 1e-3 * (vat->ash_lye + vat->old_liquor));
    append(text, "title = \"live\";\nstart = \"2026-05-04 08:00\";\nlasts = \"%.17g days\";\nrecord = \"%.17g h\";\nrtol = 1e-5;\n",
           vat->days, vat->record_h);
    append(text, "vat = {\n  model = \"%s\";\n  vessel = { diameter = \"%.17g cm\"; depth = \"%.17g cm\"; fill = \"%.17g L\"; ",
           vat->model, vat->diameter_cm, vat->depth_cm, water);
    append(text, "lid = \"%s\"; wall = \"%s\"; ", vat->lid, vat->wall);
    if (vat->heater != NULL) {
        append(text, "heater = \"%s\"; ", vat->heater);
    }
    append(text, "};\n  place = { night = \"%.17g degC\"; day = \"%.17g degC\"; };\n  water = { temperature = \"%.17g degC\"; };\n",
           vat->night_degC, vat->day_degC, vat->water_degC);
    append_charge(text, vat);
    if (vat->cloth != NULL) {
        append(text, "cloth = ( %s );\n", vat->cloth);
    }
    const char *stir = "{ every = \"1 day\"; from = \"day 2 08:00\"; do = \"stir\"; }";
    bool more = vat->calendar != NULL && vat->calendar[0] != '\0';
    append(text, "calendar = ( %s%s%s );\n", vat->stirred_daily ? stir : "", vat->stirred_daily && more ? ",\n  " : "",
           more ? vat->calendar : "");
    return run_text(text, override);
}

void keep_leaf_vat(char calendar[CALENDAR_SIZE], double litres, double until_day)
{
    calendar_add(calendar, "every = \"12 h\"; from = \"day 2 20:30\"; until = \"day 9\"; read = \"meter\"; when = \"ph < 10.5\"; "
                           "do = \"add\"; what = \"slaked lime\"; amount = \"%.17g g\"; label = \"first limes\";", 0.3 * litres);
    calendar_add(calendar, "after = \"first limes\"; do = \"stir\";");
    calendar_add(calendar, "every = \"1 day\"; from = \"day 10 09:30\"; until = \"day %.0f\"; read = \"meter\"; when = \"ph < 10.4\"; "
                           "do = \"add\"; what = \"slaked lime\"; amount = \"%.17g g\"; label = \"lime\";", until_day, 0.27 * litres);
    calendar_add(calendar, "after = \"lime\"; do = \"stir\";");
    calendar_add(calendar, "every = \"1 week\"; from = \"day 15 10:00\"; until = \"day %.0f\"; do = \"add\"; what = \"boiled bran\"; "
                           "amount = \"%.17g g\";", until_day, 1.0 * litres);
    calendar_add(calendar, "every = \"1 week\"; from = \"day 15 10:10\"; until = \"day %.0f\"; do = \"top up\"; to = \"%.17g L\"; "
                           "temperature = \"30 degC\";", until_day, litres);
}

double usable_day(const struct vat_run *run)
{
    return first_usable(run, USABLE_SHARE) / 24.0;
}
