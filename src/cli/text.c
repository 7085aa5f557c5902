/* text.c: see text.h. */
#include "cli/text.h"

#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

_Noreturn void text_no_memory(void)
{
    (void)fflush(stdout);
    fputs("vatcast: no memory left to put into words what there is to tell\n", stderr);
    exit(STATUS_MEMORY);
}

char *text_copy(const char *bytes, size_t length)
{
    char *copy = strndup(bytes, length);
    if (copy == NULL) {
        text_no_memory();
    }
    return copy;
}

void text_free(struct text *text)
{
    free(text->bytes);
    *text = (struct text){0};
}

void text_clear(struct text *text)
{
    text->size = 0;
    if (text->bytes != NULL) {
        text->bytes[0] = '\0';
    }
}

const char *text_string(const struct text *text)
{
    return text->bytes == NULL ? "" : text->bytes;
}

static void add_list(struct text *text, const char *format, va_list arguments) PRINTF_LIKE(2, 0);

static void add_list(struct text *text, const char *format, va_list arguments)
{
    va_list again;
    va_copy(again, arguments);
    int length = vsnprintf(NULL, 0, format, again);
    va_end(again);
    if (length < 0) {
        return;
    }
    size_t needed = text->size + (size_t)length + 1;
    if (needed > text->capacity) {
        char *grown = realloc(text->bytes, needed * 2);
        if (grown == NULL) {
            text_no_memory();
        }
        text->bytes = grown;
        text->capacity = needed * 2;
    }
    (void)vsnprintf(text->bytes + text->size, text->capacity - text->size, format, arguments);
    text->size += (size_t)length;
}

void text_add(struct text *text, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    add_list(text, format, arguments);
    va_end(arguments);
}

void text_join(struct text *text, const char *separator, const char *format, ...)
{
    if (text->size > 0) {
        text_add(text, "%s", separator);
    }
    va_list arguments;
    va_start(arguments, format);
    add_list(text, format, arguments);
    va_end(arguments);
}

/* Columns of the first `size` bytes: every byte but the followers of a UTF-8 character. */
static int columns_of(const char *bytes, size_t size)
{
    int columns = 0;
    for (size_t i = 0; i < size; i++) {
        columns += ((unsigned char)bytes[i] & 0xc0) != 0x80;
    }
    return columns;
}

int text_columns(const char *text)
{
    return columns_of(text, strlen(text));
}

/* Prints without letting a text from a file steer the terminal. */
static void print_safe(FILE *out, const char *bytes, size_t size)
{
    for (size_t i = 0; i < size; i++) {
        unsigned char c = (unsigned char)bytes[i];
        bool steers = c < 0x20 || c == 0x7f || (c == 0xc2 && i + 1 < size && (unsigned char)bytes[i + 1] < 0xa0);
        fputc(steers ? '?' : c, out);
    }
}

static void print_blanks(FILE *out, int count)
{
    for (int i = 0; i < count; i++) {
        fputc(' ', out);
    }
}

/* Whether a number and its unit would be parted by a line end at the blank `at`. */
static bool parts_unit(const char *words, size_t at)
{
    static const char *const units[] = {"%", "C", "g", "kg", "L", "mL", "h", "mV"};
    if (at == 0 || words[at] != ' ' || words[at - 1] < '0' || words[at - 1] > '9') {
        return false;
    }
    const char *next = words + at + 1;
    size_t length = strcspn(next, " ,;:.)\n");
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++) {
        if (strlen(units[i]) == length && strncmp(next, units[i], length) == 0) {
            return true;
        }
    }
    return false;
}

/* Length in bytes of the words that fit into `room` columns, at least one word. */
static size_t line_length(const char *words, int room)
{
    size_t best = 0;
    size_t at = 0;
    while (words[at] != '\0') {
        size_t end = at + strcspn(words + at, " \n");
        if (best > 0 && columns_of(words, end) > room) {
            break;
        }
        if (!parts_unit(words, end)) {
            best = end;
        }
        if (words[end] == '\n') {
            break;
        }
        at = end + strspn(words + end, " ");
    }
    return best;
}

static void print_line(FILE *out, const char *name, const char *words, const char *margin)
{
    print_safe(out, name, strlen(name));
    fputc('\t', out);
    print_safe(out, margin, strlen(margin));
    fputc('\t', out);
    print_safe(out, words, strlen(words));
    fputc('\n', out);
}

void text_print_wrapped(FILE *out, const struct text_style *style, const char *name, int indent, const char *words,
                        int width, const char *margin)
{
    if (style->lines) {
        print_line(out, name, words, margin);
        return;
    }
    if (style->colour) {
        fputs("\033[1m", out);
    }
    print_safe(out, name, strlen(name));
    if (style->colour) {
        fputs("\033[0m", out);
    }
    int column = text_columns(name);
    if (column > 0 && column + 1 > indent && *words != '\0') {
        fputc('\n', out);
        column = 0;
    }
    bool first = true;
    words += strspn(words, " ");
    do {
        print_blanks(out, *words != '\0' || *margin != '\0' ? indent - column : 0);
        size_t length = line_length(words, width - indent);
        print_safe(out, words, length);
        if (first && *margin != '\0') {
            print_blanks(out, width - indent - columns_of(words, length) + 2);
            print_safe(out, margin, strlen(margin));
        }
        fputc('\n', out);
        words += length;
        words += strspn(words, " \n");
        first = false;
        column = 0;
    } while (*words != '\0');
}
