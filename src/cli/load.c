/* load.c: reading scenarios and models for the verbs, with every complaint printed. */
#include "cli/verbs.h"
#include "process/registry.h"
#include "scenario/read.h"

static void print_complaints(const struct complaints *complaints)
{
    for (size_t i = 0; i < complaints->count; i++) {
        const struct complaint *complaint = &complaints->items[i];
        if (complaint->line > 0) {
            fprintf(stderr, "%s:%d: %s\n", complaint->file, complaint->line, complaint->text);
        } else {
            fprintf(stderr, "%s: %s\n", complaint->file, complaint->text);
        }
    }
    if (complaints->dropped > 0) {
        fprintf(stderr, "and %zu complaints more\n", complaints->dropped);
    }
}

/* Complaints say all there is to say: the status of a file with complaints carries no message. */
static struct status tell(struct complaints *complaints, struct status status)
{
    print_complaints(complaints);
    if (complaints->count > 0 && status.code == STATUS_SCENARIO) {
        status.message[0] = '\0';
    }
    complaints_free(complaints);
    return status;
}

struct status load_scenario(const struct call *call, const char *path, const char *const *overrides,
                            size_t override_count, struct scenario *scenario)
{
    const char *names[PROCESSES_KNOWN_MOST + 1];
    struct complaints complaints;
    process_names(names);
    complaints_init(&complaints);
    return tell(&complaints,
                scenario_read(path, overrides, override_count, names, call->models_folder, scenario, &complaints));
}

struct status load_template(const struct call *call, const char *path, const char *const *overrides,
                            size_t override_count, const char *const *process_names, struct scenario_template **kept,
                            struct scenario *scenario)
{
    struct complaints complaints;
    complaints_init(&complaints);
    struct status status = scenario_template_open(path, process_names, call->models_folder, kept, &complaints);
    if (status_is_ok(&status)) {
        status = scenario_template_make(*kept, overrides, override_count, scenario, &complaints);
        if (!status_is_ok(&status)) {
            scenario_template_close(*kept);
            *kept = NULL;
        }
    }
    return tell(&complaints, status);
}

struct status load_tell(struct complaints *complaints, struct status status)
{
    return tell(complaints, status);
}

struct status load_model(const struct call *call, const char *name, struct model *model)
{
    const char *names[PROCESSES_KNOWN_MOST + 1];
    struct complaints complaints;
    process_names(names);
    complaints_init(&complaints);
    return tell(&complaints, model_read(name, NULL, names, call->models_folder, model, &complaints));
}
