/* growth.h: a scenario whose calendar grows by one event after another, and what it is as a file.
 *
 * Each event is given as a text in the form of scenario files and goes through the reader of scenario files, so the file that
 * is written means what the scenario in memory means.
 */
#ifndef VATCAST_SCENARIO_GROWTH_H
#define VATCAST_SCENARIO_GROWTH_H

#include "base/complaints.h"
#include "base/status.h"
#include "scenario/quantity.h"
#include "scenario/scenario.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct growth;

struct growth_options {
    const char *const *overrides; /* as of scenario_read */
    size_t override_count;
    const char *const *process_names; /* as of scenario_read; outlives the growth */
    const char *models_folder;
    bool keeps_calendar; /* else it begins without events */
    double room;         /* s: how long it may go on; less when it is recorded too often for that */
    bool has_seed;
    uint32_t seed;
};

/* Opens the scenario of a file. Its schedules are left out, and its end is `room` away. Errors and complaints as
 * scenario_read. */
struct status growth_open(const char *path, const struct growth_options *options, struct growth **growth,
                          struct complaints *complaints) MUST_USE;
void growth_close(struct growth *growth); /* takes NULL; the scenario goes too */

/* The scenario as it has grown. It stays where it is; its events may move. */
const struct scenario *growth_scenario(const struct growth *growth);
const struct quantities *growth_quantities(const struct growth *growth);

/* How many of its events are the file's own. */
size_t growth_of_file(const struct growth *growth);

/* Adds an event, `{ at = "+60 s"; do = "stir"; }`; `remark` (one line; "" for none) stands above it in the file. Complaints:
 * nothing is added, STATUS_SCENARIO. Errors: STATUS_MEMORY; STATUS_LIMIT when a file takes no more. */
struct status growth_add(struct growth *growth, const char *event, const char *remark,
                         struct complaints *complaints) MUST_USE;
/* Takes back all events but the first `count`, of which those of the file are some. */
void growth_cut(struct growth *growth, size_t count);

/* The text of a scenario file that ends at `end` (whole s), owned by the caller. STATUS_MEMORY. */
struct status growth_write(const struct growth *growth, double end, char **text) MUST_USE;

#endif
