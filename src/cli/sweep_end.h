/* sweep_end.h: what sweep and merge do when all runs are there: the result file and its summary. */
#ifndef VATCAST_CLI_SWEEP_END_H
#define VATCAST_CLI_SWEEP_END_H

#include "record/sweep_file.h"

/* Writes the HDF5 file of journals that cover all runs, in order, removes the file `left` of them (NULL: none), and prints the
 * summary unless `quiet`. `about` gets its members. */
struct status sweep_end(struct sweep_about *about, struct journal *const *journals, size_t count, const char *output,
                        const char *left, bool force, bool quiet, bool colour) MUST_USE;

#endif
