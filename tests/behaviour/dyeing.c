/* dyeing.c: see dyeing.h. */
#include "behaviour/dyeing.h"

#include "process/registry.h"
#include "scenario/read.h"
#include "sim/run.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define TEXT_SIZE (2 * CALENDAR_SIZE)
#define COTTON "{ name = \"cloth\"; fibre = \"cotton\"; each = \"100 g\"; fabric = \"150 g/m2\"; count = 8; }"

struct rested good_vat(void)
{
    struct rested vat = rested_vat(30.0, 30.0);
    vat.indigotin_g = 75.6;
    vat.lime_g = 0.0;
    vat.ph = 11.0;
    vat.look = "bronze";
    vat.age = "2 days";
    vat.lid = "loose";
    vat.wrap = "blanket";
    vat.hours = 4.0;
    vat.record_min = 15.0;
    vat.cloth = COTTON;
    return vat;
}

struct dips one_dip(void)
{
    return (struct dips){.soak_min = 8.0, .air_min = 30.0, .dips = 1, .wring = "hand"};
}

static void write_calendar(char calendar[CALENDAR_SIZE], struct dips dips, const char *then)
{
    calendar[0] = '\0';
    calendar_add(calendar,
                 "at = \"+5 min\"; do = \"dip\"; cloth = \"cloth\"; soak = \"%g min\"; air = \"%g min\"; dips = %d; "
                 "wring = \"%s\"; label = \"dips\";",
                 dips.soak_min, dips.air_min, dips.dips, dips.wring);
    if (then != NULL) {
        size_t used = strlen(calendar);
        assert_true(used + strlen(then) + 8 < CALENDAR_SIZE);
        (void)snprintf(calendar + used, CALENDAR_SIZE - used, ",\n  %s", then);
    }
}

struct vat_run *run_dipped(struct rested vat, struct dips dips, const char *then, const char *override)
{
    char calendar[CALENDAR_SIZE];
    write_calendar(calendar, dips, then);
    vat.calendar = calendar;
    return run_rested(&vat, override);
}

/* Reads a text by way of a scratch file. */
static void read_text(const char *text, const char *override, struct scenario *scenario)
{
    char path[] = "dyeing-XXXXXX";
    int descriptor = mkstemp(path);
    assert_true(descriptor >= 0);
    FILE *file = fdopen(descriptor, "w");
    assert_non_null(file);
    assert_true(fputs(text, file) >= 0);
    assert_int_equal(fclose(file), 0);
    const char *names[PROCESSES_KNOWN_MOST + 1];
    const char *const overrides[] = {override};
    process_names(names);
    struct complaints complaints;
    complaints_init(&complaints);
    struct status status =
        scenario_read(path, overrides, override == NULL ? 0 : 1, names, MODELS_DIR, scenario, &complaints);
    (void)unlink(path);
    for (size_t i = 0; i < complaints.count; i++) {
        print_error("%s:%d: %s\n", complaints.items[i].file, complaints.items[i].line, complaints.items[i].text);
    }
    complaints_free(&complaints);
    assert_true(status_is_ok(&status));
}

struct vat_run *run_dipped_changed(struct rested vat, struct dips dips, const char *override, scenario_change *change,
                                   const void *context)
{
    char calendar[CALENDAR_SIZE];
    char text[TEXT_SIZE];
    write_calendar(calendar, dips, NULL);
    vat.calendar = calendar;
    write_rested(&vat, text, sizeof text);
    struct vat_run *run = calloc(1, sizeof *run);
    assert_non_null(run);
    read_text(text, override, &run->scenario);
    if (change != NULL) {
        change(&run->scenario, context);
    }
    struct status status = run_scenario(&run->scenario, NULL, &run->result);
    if (!status_is_ok(&status)) {
        fail_msg("%s", status.message);
    }
    return run;
}

static double cell(const struct table *table, size_t row, const char *name)
{
    const struct column *column = table_column(table, name);
    assert_non_null(column);
    assert_true(row < table->rows);
    return column->values[row];
}

double piece_value(const struct vat_run *run, size_t row, const char *column)
{
    return cell(&run->result.pieces, row, column);
}

double event_value(const struct vat_run *run, int source, int nth, const char *column)
{
    const struct table *events = &run->result.events;
    for (size_t row = 0; row < events->rows; row++) {
        if ((int)cell(events, row, "source") == source && nth-- == 0) {
            return cell(events, row, column);
        }
    }
    fail_msg("entry %d of the calendar happened less often", source);
    return NAN;
}

double dips_taken(const struct vat_run *run, size_t from, size_t to)
{
    double sum = 0.0;
    for (size_t row = from; row < to; row++) {
        sum += dip_taken(run, row);
    }
    return sum;
}

double indigo_gone_with_cloth(const struct vat_run *run)
{
    static const char *const rows[] = {"sorbed_by_cloth", "surface_of_cloth", "loose_in_cloth", "rinsed_off",
                                       "dripped_off_cloth"};
    double sum = 0.0;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        sum -= ledger_row(run, "indigo", rows[i]);
    }
    return sum;
}
