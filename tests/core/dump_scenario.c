/* dump_scenario.c: reads a scenario file and writes it as a C source, so that a program can carry it without any reader.
 *
 * dump_scenario SCENARIO MODELS_FOLDER OUTPUT. Structs are written byte by byte: the source is meant for the compiler and the
 * machine that build it, and a field added to a struct needs no change here. A new owned array does: see the list in main.
 */
#include "process/registry.h"
#include "scenario/read.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Writes `count` items of a type as a union of bytes and items, at least one item long. */
static void write_items(FILE *output, const char *name, const char *type, const void *items, size_t count, size_t size)
{
    const unsigned char *bytes = items;
    size_t total = count * size;
    fprintf(output, "static union {\n    unsigned char bytes[%zu];\n    %s items[%zu];\n} %s = {.bytes = {",
            total > 0 ? total : size, type, count > 0 ? count : 1, name);
    for (size_t i = 0; i < total; i++) {
        fprintf(output, "%s%u,", i % 32 == 0 ? "\n" : "", bytes[i]);
    }
    fprintf(output, "%s}};\n\n", total > 0 ? "" : "0");
}

static int write_source(FILE *output, struct scenario *scenario)
{
    fprintf(output, "/* Written at build time. */\n#include \"core_scenario.h\"\n\n");
    write_items(output, "charge", "struct dose", scenario->charge, scenario->charge_count, sizeof(struct dose));
    write_items(output, "places", "struct place", scenario->places, scenario->place_count, sizeof(struct place));
    write_items(output, "cloth", "struct cloth_kind", scenario->cloth, scenario->cloth_count, sizeof(struct cloth_kind));
    write_items(output, "events", "struct event_spec", scenario->events, scenario->event_count,
                sizeof(struct event_spec));
    write_items(output, "materials", "struct material", scenario->model.materials, scenario->model.material_count,
                sizeof(struct material));
    write_items(output, "fibres", "struct fibre", scenario->model.fibres, scenario->model.fibre_count,
                sizeof(struct fibre));
    write_items(output, "model_text", "char", scenario->model.model_text, strlen(scenario->model.model_text) + 1, 1);
    write_items(output, "scenario_text", "char", scenario->scenario_text, strlen(scenario->scenario_text) + 1, 1);

    /* The pointers of the scenario itself are set by the function below. */
    struct scenario bare = *scenario;
    bare.charge = NULL;
    bare.places = NULL;
    bare.cloth = NULL;
    bare.events = NULL;
    bare.model.materials = NULL;
    bare.model.fibres = NULL;
    bare.model.model_text = NULL;
    bare.scenario_text = NULL;
    write_items(output, "whole", "struct scenario", &bare, 1, sizeof bare);

    fprintf(output, "struct scenario *core_scenario(void)\n{\n"
                    "    struct scenario *scenario = whole.items;\n"
                    "    scenario->charge = charge.items;\n"
                    "    scenario->places = places.items;\n"
                    "    scenario->cloth = cloth.items;\n"
                    "    scenario->events = events.items;\n"
                    "    scenario->model.materials = materials.items;\n"
                    "    scenario->model.fibres = fibres.items;\n"
                    "    scenario->model.model_text = model_text.items;\n"
                    "    scenario->scenario_text = scenario_text.items;\n"
                    "    return scenario;\n}\n");
    return ferror(output) != 0 ? -1 : 0;
}

int main(int argument_count, char **arguments)
{
    if (argument_count != 4) {
        fprintf(stderr, "usage: dump_scenario SCENARIO MODELS_FOLDER OUTPUT\n");
        return 2;
    }
    static struct scenario scenario;
    struct complaints complaints;
    complaints_init(&complaints);
    const char *names[PROCESSES_KNOWN_MOST + 1];
    process_names(names);
    struct status status = scenario_read(arguments[1], NULL, 0, names, arguments[2], &scenario, &complaints);
    if (!status_is_ok(&status)) {
        fprintf(stderr, "dump_scenario: %s\n", status.message);
        for (size_t i = 0; i < complaints.count; i++) {
            const struct complaint *complaint = &complaints.items[i];
            fprintf(stderr, "%s:%d: %s\n", complaint->file, complaint->line, complaint->text);
        }
        return 1;
    }
    FILE *output = fopen(arguments[3], "w");
    int failed = output == NULL || write_source(output, &scenario) != 0;
    if (output != NULL && fclose(output) != 0) {
        failed = 1;
    }
    if (failed) {
        fprintf(stderr, "dump_scenario: cannot write '%s'\n", arguments[3]);
    }
    scenario_free(&scenario);
    complaints_free(&complaints);
    return failed;
}
