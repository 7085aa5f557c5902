/* workshop_result.h: the answer of a workshop as a result, to be written, read again and drawn. */
#ifndef VATCAST_STUDY_WORKSHOP_RESULT_H
#define VATCAST_STUDY_WORKSHOP_RESULT_H

#include "base/status.h"
#include "scenario/scenario.h"
#include "sim/result.h"
#include "study/workshop.h"

/* Makes the result out of the answer, whose first day gives up its vats. `story` are lines of `label TAB margin TAB words`.
 * Without chemistry there are no vats to tell of: STATUS_USAGE. `result` is initialised here and freed by the caller, also
 * after a failure. */
struct status workshop_result_make(const struct scenario *scenario, struct workshop_answer *answer, const char *story,
                                   struct result *result) MUST_USE;

#endif
