/* status.h: how every function that can fail says so.
 *
 * A function that can fail returns a struct status. The message says what went wrong, where, and what to do, in one
 * sentence with no newline and no final full stop; it is complete enough to print as it stands. Nothing here allocates.
 */
#ifndef VATCAST_BASE_STATUS_H
#define VATCAST_BASE_STATUS_H

#include <stdbool.h>

#define STATUS_MESSAGE_SIZE 512

/* The codes double as the exit statuses of the program. */
enum status_code {
    STATUS_OK = 0,
    STATUS_USAGE = 2,       /* the command line was wrong */
    STATUS_SCENARIO = 3,    /* a scenario, model, materials or fibres file was wrong */
    STATUS_IO = 4,          /* a file could not be read or written */
    STATUS_NUMERIC = 5,     /* the integration failed, or the physics left the model's range */
    STATUS_LIMIT = 6,       /* a size, count or time limit was passed */
    STATUS_MEMORY = 7,      /* no memory left */
    STATUS_INTERRUPTED = 8, /* the user stopped the run */
    STATUS_BUG = 70         /* an internal promise was broken */
};

struct status {
    enum status_code code;
    char message[STATUS_MESSAGE_SIZE];
};

#define MUST_USE __attribute__((warn_unused_result))
#define PRINTF_LIKE(format_index, first_index) __attribute__((format(printf, format_index, first_index)))

/* Success, with an empty message. */
struct status status_ok(void);

/* A failure with a printf-style message; longer messages are cut to fit. */
struct status status_fail(enum status_code code, const char *format, ...) PRINTF_LIKE(2, 3);

/* True when the status is a success. */
static inline bool status_is_ok(const struct status *status)
{
    return status->code == STATUS_OK;
}

/* Puts "while doing what" before the message of a failure, e.g. "reading 'a.conf': ..."; returns the failure. */
struct status status_context(struct status status, const char *format, ...) PRINTF_LIKE(2, 3);

/* Returns from the calling function when the expression is a failure. */
#define RETURN_IF_FAILED(expression)                                                                                     \
    do {                                                                                                                 \
        struct status status_of_call_ = (expression);                                                                    \
        if (status_of_call_.code != STATUS_OK) {                                                                         \
            return status_of_call_;                                                                                      \
        }                                                                                                                \
    } while (0)

#endif
