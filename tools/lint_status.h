/* lint_status.h: src/base/status.c as the analyzer must know it (tools/lint.sh puts this before every other file): what has
 * failed is no success. Without it each failure is followed as if it had been one. */
#ifndef VATCAST_TOOLS_LINT_STATUS_H
#define VATCAST_TOOLS_LINT_STATUS_H

#include "base/status.h"

static inline struct status status_of_code(enum status_code code)
{
    return (struct status){.code = code};
}

#define status_ok() status_of_code(STATUS_OK)
#define status_context(status, ...) ((void)(__VA_ARGS__), (status))
#define status_fail(code, ...) ((void)(__VA_ARGS__), status_of_code(code))

#endif
