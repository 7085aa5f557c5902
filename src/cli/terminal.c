/* terminal.c: see terminal.h. */
#include "cli/terminal.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

#define FIRST_AFTER 1.0 /* s */
#define NEXT_AFTER 0.2  /* s */
#define BAR_WIDTH 30
#define WIDTH_USUAL 80
#define WIDTH_LEAST 40
#define WIDTH_MOST 100 /* longer lines are hard to read */

static bool terminal_is_dumb(void)
{
    const char *kind = getenv("TERM");
    return kind == NULL || kind[0] == '\0' || strcmp(kind, "dumb") == 0;
}

bool terminal_has_all_colours(void)
{
    const char *says = getenv("COLORTERM");
    return says != NULL && (strcmp(says, "truecolor") == 0 || strcmp(says, "24bit") == 0);
}

bool terminal_colour(const char *when)
{
    if (strcmp(when, "auto") != 0) {
        return strcmp(when, "always") == 0;
    }
    const char *no_colour = getenv("NO_COLOR");
    return isatty(STDOUT_FILENO) && (no_colour == NULL || no_colour[0] == '\0') && !terminal_is_dumb();
}

int terminal_width(void)
{
    struct winsize size;
    if (!isatty(STDOUT_FILENO) || ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) != 0 || size.ws_col == 0) {
        return WIDTH_USUAL;
    }
    return size.ws_col < WIDTH_LEAST ? WIDTH_LEAST : size.ws_col > WIDTH_MOST ? WIDTH_MOST : size.ws_col;
}

static double seconds_between(const struct timespec *a, const struct timespec *b)
{
    return (double)(b->tv_sec - a->tv_sec) + 1e-9 * (double)(b->tv_nsec - a->tv_nsec);
}

/* ", 4 min left", by how long the share done so far took; "" when it is too early to say. */
static void time_left(double elapsed, double share, char *text, size_t size)
{
    double left = share > 0.0 ? elapsed * (1.0 - share) / share : 0.0;
    if (share < 0.01 || left < 1.0) {
        text[0] = '\0';
    } else if (left < 100.0) {
        (void)snprintf(text, size, ", %.0f s left", left);
    } else if (left < 6000.0) {
        (void)snprintf(text, size, ", %.0f min left", left / 60.0);
    } else {
        (void)snprintf(text, size, ", %.1f h left", left / 3600.0);
    }
}

void progress_begin(struct progress *progress, bool quiet)
{
    *progress = (struct progress){.wanted = !quiet && isatty(STDERR_FILENO) && !terminal_is_dumb()};
    (void)clock_gettime(CLOCK_MONOTONIC, &progress->start);
    progress->last = progress->start;
}

void progress_show(void *context, double done_share)
{
    struct progress *progress = context;
    struct timespec now;
    if (!progress->wanted || clock_gettime(CLOCK_MONOTONIC, &now) != 0) {
        return;
    }
    if (seconds_between(&progress->start, &now) < FIRST_AFTER ||
        (progress->shown && seconds_between(&progress->last, &now) < NEXT_AFTER)) {
        return;
    }
    double share = done_share < 0.0 ? 0.0 : done_share > 1.0 ? 1.0 : done_share;
    int filled = (int)(share * BAR_WIDTH);
    char bar[BAR_WIDTH + 1];
    memset(bar, '.', BAR_WIDTH);
    memset(bar, '#', (size_t)filled);
    bar[BAR_WIDTH] = '\0';
    char left[40];
    time_left(seconds_between(&progress->start, &now), share, left, sizeof left);
    fprintf(stderr, "\r[%s] %3.0f %%%s\033[K", bar, 100.0 * share, left);
    (void)fflush(stderr);
    progress->shown = true;
    progress->last = now;
}

void progress_end(struct progress *progress)
{
    if (progress->shown) {
        fputs("\r\033[K", stderr);
        (void)fflush(stderr);
    }
    progress->wanted = false;
}
