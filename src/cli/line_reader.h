/* line_reader.h: lines from a person, with editing, history and completion by libedit; or from a pipe as they come. */
#ifndef VATCAST_CLI_LINE_READER_H
#define VATCAST_CLI_LINE_READER_H

#include "base/status.h"

#include <signal.h>
#include <stdbool.h>
#include <stddef.h>

#define LINE_SIZE_MOST 1024

struct line_reader;

/* Words that may follow `line`, as session_complete. */
typedef size_t line_completer(const void *context, const char *line, const char **words, size_t most);

enum line_got {
    LINE_GOT,
    LINE_OVER,   /* the end of the input */
    LINE_BROKEN, /* the stop flag went up while it was typed */
    LINE_LONG    /* longer than LINE_SIZE_MOST: dropped */
};

/* Reads stdin: edited when it and stdout are terminals. `stop` is borrowed. STATUS_MEMORY. */
struct status line_reader_open(const volatile sig_atomic_t *stop, struct line_reader **reader) MUST_USE;
void line_reader_close(struct line_reader *reader); /* takes NULL */
bool line_reader_is_edited(const struct line_reader *reader);
void line_reader_complete_with(struct line_reader *reader, line_completer *complete, const void *context);
/* A line that one may go back to. */
void line_reader_remember(struct line_reader *reader, const char *line);
/* The next line without its end. The prompt is shown only where lines are edited. */
enum line_got line_reader_next(struct line_reader *reader, const char *prompt, char line[LINE_SIZE_MOST]);

#endif
