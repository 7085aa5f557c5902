/* status.c: see status.h. */
#include "base/status.h"

#include <stdarg.h>
#include <stdio.h>

struct status status_ok(void)
{
    struct status status; /* asked for at every step and row: of the message only the end is set */
    status.code = STATUS_OK;
    status.message[0] = '\0';
    return status;
}

struct status status_fail(enum status_code code, const char *format, ...)
{
    struct status status = {.code = code};
    va_list arguments;
    va_start(arguments, format);
    (void)vsnprintf(status.message, sizeof status.message, format, arguments);
    va_end(arguments);
    return status;
}

struct status status_context(struct status status, const char *format, ...)
{
    char prefix[STATUS_MESSAGE_SIZE / 2];
    va_list arguments;
    va_start(arguments, format);
    (void)vsnprintf(prefix, sizeof prefix, format, arguments);
    va_end(arguments);
    struct status joined = {.code = status.code};
    (void)snprintf(joined.message, sizeof joined.message, "%s: %.*s", prefix, STATUS_MESSAGE_SIZE / 2 - 4, status.message);
    return joined;
}
