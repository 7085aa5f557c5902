/* line_reader.c: see line_reader.h. The only file that calls libedit. */
#include "cli/line_reader.h"

#include <histedit.h>

#include <errno.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <termios.h>
#include <unistd.h>
#include <wchar.h>

#define REMEMBERED 1000
#define COMPLETIONS_MOST 64
#define LIST_WIDTH 76
#define LOOK_EVERY 250 /* ms */

struct line_reader {
    const volatile sig_atomic_t *stop;
    EditLine *editor; /* NULL: lines come as they are */
    History *history;
    line_completer *complete;
    const void *context;
    char prompt[80];
    mbstate_t shift; /* of the character being read */
};

static struct line_reader *reader_of(EditLine *editor)
{
    void *reader = NULL;
    (void)el_get(editor, EL_CLIENTDATA, &reader);
    return reader;
}

static char *show_prompt(EditLine *editor)
{
    return reader_of(editor)->prompt;
}

/* After a Ctrl-Z the shell has set the terminal its own way, and a window may have become wider. */
static void look_after_terminal(EditLine *editor)
{
    struct termios now;
    if (tcgetattr(STDIN_FILENO, &now) == 0 && (now.c_lflag & ICANON) != 0) {
        (void)el_set(editor, EL_PREP_TERM, 0); /* as it thinks that it is set already */
        (void)el_set(editor, EL_PREP_TERM, 1);
        el_resize(editor);
        (void)el_set(editor, EL_REFRESH);
    }
}

/* libedit's own reading goes on after a signal; a dyer's Ctrl-C is to end the line. */
static int read_character(EditLine *editor, wchar_t *character)
{
    struct line_reader *reader = reader_of(editor);
    for (;;) {
        char byte;
        struct pollfd input = {.fd = STDIN_FILENO, .events = POLLIN};
        if (*reader->stop != 0) {
            errno = EINTR;
            return -1;
        }
        int ready = poll(&input, 1, LOOK_EVERY);
        if (ready == 0) {
            look_after_terminal(editor);
        }
        if (ready == 0 || (ready < 0 && errno == EINTR)) {
            continue;
        }
        ssize_t got = read(STDIN_FILENO, &byte, 1);
        if (got < 0 && errno == EINTR && *reader->stop == 0) {
            continue;
        }
        if (got <= 0) {
            return (int)got;
        }
        size_t used = mbrtowc(character, &byte, 1, &reader->shift);
        if (used == (size_t)-1) {
            memset(&reader->shift, 0, sizeof reader->shift);
            *character = L'?';
            return 1;
        }
        if (used != (size_t)-2) {
            return 1;
        }
    }
}

/* ---- completion --------------------------------------------------------------------------------------------------- */

static size_t shared_length(const char *const *words, size_t count)
{
    size_t length = strlen(words[0]);
    for (size_t i = 1; i < count; i++) {
        size_t same = 0;
        while (same < length && words[i][same] == words[0][same]) {
            same++;
        }
        length = same;
    }
    return length;
}

static void list_words(const char *const *words, size_t count)
{
    size_t column = 0;
    putchar('\n');
    for (size_t i = 0; i < count; i++) {
        if (column > 0 && column + strlen(words[i]) + 2 > LIST_WIDTH) {
            putchar('\n');
            column = 0;
        }
        column += (size_t)printf("%s%s", column > 0 ? "  " : "", words[i]);
    }
    putchar('\n');
    (void)fflush(stdout);
}

static unsigned char complete_word(EditLine *editor, int key)
{
    struct line_reader *reader = reader_of(editor);
    const LineInfo *line = el_line(editor);
    const char *words[COMPLETIONS_MOST];
    char begun[LINE_SIZE_MOST];
    char put[LINE_SIZE_MOST];
    size_t length = (size_t)(line->cursor - line->buffer);
    (void)key;
    if (reader->complete == NULL || length >= sizeof begun) {
        return CC_ERROR;
    }
    memcpy(begun, line->buffer, length);
    begun[length] = '\0';
    size_t count = reader->complete(reader->context, begun, words, COMPLETIONS_MOST);
    if (count == 0) {
        return CC_ERROR;
    }
    const char *last = strrchr(begun, ' ');
    size_t typed = strlen(last == NULL ? begun : last + 1);
    size_t shared = shared_length(words, count);
    if (shared <= typed && count > 1) {
        list_words(words, count);
        return CC_REDISPLAY;
    }
    (void)snprintf(put, sizeof put, "%.*s%s", (int)shared, words[0], count == 1 ? " " : "");
    el_deletestr(editor, (int)typed);
    return el_insertstr(editor, put) == 0 ? CC_REFRESH : CC_ERROR;
}

/* ---- opening, reading --------------------------------------------------------------------------------------------- */

static bool open_editor(struct line_reader *reader)
{
    HistEvent event;
    reader->editor = el_init("vatcast", stdin, stdout, stderr);
    reader->history = history_init();
    if (reader->editor == NULL || reader->history == NULL) {
        return false;
    }
    (void)history(reader->history, &event, H_SETSIZE, REMEMBERED);
    (void)history(reader->history, &event, H_SETUNIQUE, 1);
    (void)el_set(reader->editor, EL_CLIENTDATA, reader);
    (void)el_set(reader->editor, EL_PROMPT, show_prompt);
    (void)el_set(reader->editor, EL_EDITOR, "emacs");
    (void)el_set(reader->editor, EL_HIST, history, reader->history);
    (void)el_set(reader->editor, EL_GETCFN, read_character);
    (void)el_set(reader->editor, EL_ADDFN, "complete-word", "completes the word", complete_word);
    (void)el_set(reader->editor, EL_BIND, "^I", "complete-word", NULL);
    (void)el_set(reader->editor, EL_BIND, "^R", "em-inc-search-prev", NULL);
    (void)el_source(reader->editor, NULL); /* the person's own settings */
    return true;
}

struct status line_reader_open(const volatile sig_atomic_t *stop, struct line_reader **opened)
{
    struct line_reader *reader = calloc(1, sizeof *reader);
    *opened = reader;
    if (reader == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to read lines");
    }
    reader->stop = stop;
    if (isatty(STDIN_FILENO) && isatty(STDOUT_FILENO) && !open_editor(reader)) {
        line_reader_close(reader);
        *opened = NULL;
        return status_fail(STATUS_MEMORY, "the terminal cannot be used for editing lines");
    }
    return status_ok();
}

void line_reader_close(struct line_reader *reader)
{
    if (reader == NULL) {
        return;
    }
    if (reader->history != NULL) {
        history_end(reader->history);
    }
    if (reader->editor != NULL) {
        el_end(reader->editor);
    }
    free(reader);
}

bool line_reader_is_edited(const struct line_reader *reader)
{
    return reader->editor != NULL;
}

void line_reader_complete_with(struct line_reader *reader, line_completer *complete, const void *context)
{
    reader->complete = complete;
    reader->context = context;
}

void line_reader_remember(struct line_reader *reader, const char *line)
{
    HistEvent event;
    if (reader->history != NULL && line[0] != '\0') {
        (void)history(reader->history, &event, H_ENTER, line);
    }
}

static enum line_got next_edited(struct line_reader *reader, const char *prompt, char line[LINE_SIZE_MOST])
{
    int length = 0;
    (void)snprintf(reader->prompt, sizeof reader->prompt, "%s", prompt);
    el_resize(reader->editor);
    const char *typed = el_gets(reader->editor, &length);
    if (typed == NULL) {
        if (*reader->stop != 0) {
            el_reset(reader->editor);
        }
        putchar('\n');
        return *reader->stop != 0 ? LINE_BROKEN : LINE_OVER;
    }
    size_t size = strcspn(typed, "\r\n");
    if (size >= LINE_SIZE_MOST) {
        return LINE_LONG;
    }
    memcpy(line, typed, size);
    line[size] = '\0';
    return LINE_GOT;
}

static enum line_got next_plain(const struct line_reader *reader, char line[LINE_SIZE_MOST])
{
    size_t size = 0;
    bool is_long = false;
    int c;
    errno = 0;
    while ((c = getc(stdin)) != EOF && c != '\n') {
        is_long = is_long || size + 1 >= LINE_SIZE_MOST;
        if (!is_long) {
            line[size++] = (char)(c == '\0' ? ' ' : c);
        }
    }
    size -= size > 0 && line[size - 1] == '\r' ? 1 : 0;
    line[size] = '\0';
    if (*reader->stop != 0) {
        return LINE_BROKEN;
    }
    return c == EOF && size == 0 ? LINE_OVER : is_long ? LINE_LONG : LINE_GOT;
}

enum line_got line_reader_next(struct line_reader *reader, const char *prompt, char line[LINE_SIZE_MOST])
{
    line[0] = '\0';
    return reader->editor != NULL ? next_edited(reader, prompt, line) : next_plain(reader, line);
}
