/* prescan.h: the bytes of a settings file, looked over before libconfig sees them.
 *
 * libconfig lets some slips pass without a word (a number too large, a comment left open) and answers others with no
 * more than "syntax error". The scan finds these and puts `@include`d files in place.
 */
#ifndef VATCAST_SCENARIO_PRESCAN_H
#define VATCAST_SCENARIO_PRESCAN_H

#include "base/complaints.h"
#include "base/status.h"
#include "scenario/grammar.h"
#include "scenario/source.h"

#include <stdbool.h>

#define INCLUDE_DEPTH_MOST 5

/* Reads and scans a file into an empty source. Faults of its text, and included files that cannot be read, become
 * complaints. Errors: STATUS_IO when the file itself cannot be read or is no regular file, STATUS_MEMORY. */
struct status prescan_file(const char *path, struct source *source, struct complaints *complaints) MUST_USE;

/* Scans a text that stands in no file in the same way; `@include` is refused. */
struct status prescan_text(const char *name, const char *text, struct source *source,
                           struct complaints *complaints) MUST_USE;

/* Whether a text may stand in a settings file: UTF-8, without characters that steer a terminal. */
bool text_is_plain(const char *text);

#endif
