/* terminal.h: what is done only where a person is watching: colour and a line of progress. */
#ifndef VATCAST_CLI_TERMINAL_H
#define VATCAST_CLI_TERMINAL_H

#include <stdbool.h>
#include <time.h>

/* Whether stdout gets colour: `when` is "always", "never" or "auto" (a terminal that is not dumb, and NO_COLOR not
 * set). */
bool terminal_colour(const char *when);

/* Whether the terminal says that it shows any colour (COLORTERM is truecolor or 24bit). */
bool terminal_has_all_colours(void);

/* Columns of the terminal that stdout is, within reason; 80 when it is none. */
int terminal_width(void);

/* A line of progress on stderr: only on a terminal, from the first second on, a few times a second. */
struct progress {
    bool wanted;
    bool shown;
    struct timespec start, last;
};
void progress_begin(struct progress *progress, bool quiet);
/* For run_options.progress; `context` is a struct progress. */
void progress_show(void *context, double done_share);
/* Clears the line; call before anything else is printed. */
void progress_end(struct progress *progress);

#endif
