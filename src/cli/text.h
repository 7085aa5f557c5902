/* text.h: building and wrapping lines for a screen of 80 columns. */
#ifndef VATCAST_CLI_TEXT_H
#define VATCAST_CLI_TEXT_H

#include "base/status.h"

#include <stddef.h>
#include <stdio.h>

#define TEXT_WIDTH 80

struct text_style {
    bool colour;
    bool swatches; /* the terminal shows any colour */
    int width;
    bool lines; /* for programs: one line of `name TAB margin TAB words` instead of a wrapped text */
};

/* Ends the program with STATUS_MEMORY and a sentence: told by halves, a story would pass for a whole one. */
_Noreturn void text_no_memory(void);
/* A copy of the first `length` bytes, ended by a zero; freed by the caller. Never NULL: see text_no_memory. */
char *text_copy(const char *bytes, size_t length);

/* A growing text; zeroed to begin with. Want of memory ends the program, see text_no_memory. */
struct text {
    char *bytes; /* owned; NULL while empty */
    size_t size;
    size_t capacity;
};
void text_free(struct text *text);
void text_clear(struct text *text);
void text_add(struct text *text, const char *format, ...) PRINTF_LIKE(2, 3);
/* Adds `separator` when the text is not empty, then the rest. */
void text_join(struct text *text, const char *separator, const char *format, ...) PRINTF_LIKE(3, 4);
/* The text so far, "" when empty. */
const char *text_string(const struct text *text);

/* Columns that a UTF-8 text takes on a screen, one per character. */
int text_columns(const char *text);

/* Prints `name`, then `words` from column `indent` on, wrapped at `width`, with a hanging indent; `margin` (may be
 * "") stands at the right of the first line. Control characters are shown as '?'. The name is bold in colour. */
void text_print_wrapped(FILE *out, const struct text_style *style, const char *name, int indent, const char *words,
                        int width, const char *margin);

#endif
