/* read.h: reading scenario and model files into plain data, with every complaint at once.
 *
 * The format is told in docs/scenario-format.md.
 */
#ifndef VATCAST_SCENARIO_READ_H
#define VATCAST_SCENARIO_READ_H

#include "base/complaints.h"
#include "base/status.h"
#include "scenario/model.h"
#include "scenario/scenario.h"

#include <stddef.h>

/* Reads a scenario file and the model, materials and fibres files that it names.
 *
 * `overrides` are `PATH=VALUE` texts that replace or add settings after the file is read: "calendar.3.amount=20 g",
 * "vat.water.temperature=45 degC", "constants.leuco_pk1=8.1"; the entries of a list count from 1, or go by their label
 * or name. Complaints about them carry the file "--set" and, as line, which of them it is, from 1.
 * `process_names` is the NULL-terminated list of processes that a model may switch on, in registry order; NULL leaves
 * them unchecked and off.
 * `models_folder` is where "vat.model" names are looked up.
 *
 * STATUS_OK: `scenario` is filled and to be freed with scenario_free, and nothing was added to `complaints`.
 * STATUS_SCENARIO: one or more complaints were added, sorted by file and line; `scenario` is zeroed.
 * STATUS_IO (a file cannot be read), STATUS_MEMORY: `scenario` is zeroed.
 */
struct status scenario_read(const char *path, const char *const *overrides, size_t override_count,
                            const char *const *process_names, const char *models_folder, struct scenario *scenario,
                            struct complaints *complaints) MUST_USE;

/* A scenario file read once, to be laid out many times with different overrides; the files are not looked at again,
 * except for another model that an override names. `process_names` must outlive it. Not for two threads at once, as
 * the library of units is not.
 * Open: STATUS_IO, STATUS_MEMORY; what is wrong with the text of the file becomes complaints, and every make then fails.
 * Make: as scenario_read; takes well under a millisecond. Close takes NULL too. */
struct scenario_template;
struct status scenario_template_open(const char *path, const char *const *process_names, const char *models_folder,
                                     struct scenario_template **opened, struct complaints *complaints) MUST_USE;
struct status scenario_template_make(struct scenario_template *kept, const char *const *overrides,
                                     size_t override_count, struct scenario *scenario,
                                     struct complaints *complaints) MUST_USE;
void scenario_template_close(struct scenario_template *kept);

/* Reads one model with its materials and fibres.
 *
 * `name` is a model's name ("sugar-lime", in models_folder) or the path of a file: it holds a slash and ends in
 * ".conf", and is taken relative to `base_folder` (NULL: the working folder). materials.conf and fibres.conf are taken
 * beside the model's file, or from models_folder where they are not there. Errors as scenario_read; an unknown model
 * is STATUS_IO.
 */
struct status model_read(const char *name, const char *base_folder, const char *const *process_names,
                         const char *models_folder, struct model *model, struct complaints *complaints) MUST_USE;

#endif
