/* verbs.h: the verbs of the program, one file each (cmd_NAME.c), and what they share. */
#ifndef VATCAST_CLI_VERBS_H
#define VATCAST_CLI_VERBS_H

#include "cli/options.h"
#include "scenario/read.h"

extern const struct verb verb_run;
extern const struct verb verb_check;
extern const struct verb verb_show;
extern const struct verb verb_export;
extern const struct verb verb_report;
extern const struct verb verb_plot;
extern const struct verb verb_processes;
extern const struct verb verb_materials;
extern const struct verb verb_compare;
extern const struct verb verb_capacity;
extern const struct verb verb_workshop;
extern const struct verb verb_sweep;
extern const struct verb verb_merge;
extern const struct verb verb_advise;
extern const struct verb verb_rehearse;
extern const struct verb verb_lesson;

#define DEFAULT_MODEL "sugar-lime"

/* load.c: as scenario_read and model_read, with the complaints printed to stderr as `file:line: what; what is
 * expected`. */
struct status load_scenario(const struct call *call, const char *path, const char *const *overrides,
                            size_t override_count, struct scenario *scenario) MUST_USE;
/* A template and the scenario as it stands; `process_names` is filled by process_names and outlives the template. */
struct status load_template(const struct call *call, const char *path, const char *const *overrides,
                            size_t override_count, const char *const *process_names, struct scenario_template **kept,
                            struct scenario *scenario) MUST_USE;
/* Prints complaints and frees them; what they have said is taken out of the status. */
struct status load_tell(struct complaints *complaints, struct status status) MUST_USE;
struct status load_model(const struct call *call, const char *name, struct model *model) MUST_USE;

#endif
