/* prescan.c: see prescan.h. */
#include "scenario/prescan.h"

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define WHOLE_MOST 9007199254740992.0 /* 2^53: whole numbers up to here are told apart */

/* What is shared by a file and those it includes. */
struct scan {
    struct source *source;
    struct complaints *complaints;
    struct grammar grammar;
    bool stop; /* the rest cannot be made sense of */
};

/* One file being scanned. */
struct cursor {
    const char *path; /* NULL: no file */
    const char *file; /* name for complaints, kept by the source */
    const char *bytes;
    const char *at;
    const char *end;
    const char *copied; /* up to here the bytes stand in the source */
    int copied_line;
    int line;
    int depth;
};

static struct status prescan_path(struct scan *scan, const char *path, int depth);

static bool is_digit(char letter)
{
    return letter >= '0' && letter <= '9';
}

static bool is_letter(char letter)
{
    return (letter >= 'a' && letter <= 'z') || (letter >= 'A' && letter <= 'Z') || letter == '_' || letter == '*';
}

static bool is_name_letter(char letter)
{
    return is_letter(letter) || is_digit(letter) || letter == '-';
}

static bool is_blank(char letter)
{
    return letter == ' ' || letter == '\t' || letter == '\r';
}

static const char *skip_line_blanks(const char *at)
{
    while (is_blank(*at)) {
        at++;
    }
    return at;
}

/* Length of the UTF-8 character at `at`; 0 when the bytes are none, or write one longer than need be (RFC 3629). */
static int utf8_length(const unsigned char *at, size_t left)
{
    static const uint32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
    int length = at[0] < 0x80             ? 1
                 : (at[0] & 0xe0) == 0xc0 ? 2
                 : (at[0] & 0xf0) == 0xe0 ? 3
                 : (at[0] & 0xf8) == 0xf0 ? 4
                                          : 0;
    if (length == 0 || (size_t)length > left) {
        return 0;
    }
    uint32_t letter = length == 1 ? at[0] : at[0] & (0x7fu >> length);
    for (int i = 1; i < length; i++) {
        if ((at[i] & 0xc0) != 0x80) {
            return 0;
        }
        letter = letter << 6 | (at[i] & 0x3fu);
    }
    bool half_of_a_pair = letter >= 0xd800 && letter <= 0xdfff;
    return letter < least[length] || letter > 0x10ffff || half_of_a_pair ? 0 : length;
}

/* Letters that steer a terminal instead of standing in it, but for tabs and line ends. */
static bool is_control(const unsigned char *at, int length)
{
    return length == 2 ? at[0] == 0xc2 && at[1] < 0xa0
                       : (at[0] < 0x20 && at[0] != '\t' && at[0] != '\n' && at[0] != '\r') || at[0] == 0x7f;
}

bool text_is_plain(const char *text)
{
    const unsigned char *at = (const unsigned char *)text;
    for (size_t left = strlen(text); left > 0;) {
        int length = utf8_length(at, left);
        if (length == 0 || is_control(at, length)) {
            return false;
        }
        at += length;
        left -= (size_t)length;
    }
    return true;
}

/* Complains about bytes that are no text. */
static void bytes_check(struct scan *scan, const struct cursor *cursor)
{
    const unsigned char *at = (const unsigned char *)cursor->bytes;
    size_t left = (size_t)(cursor->end - cursor->bytes);
    int line = 1;
    if (left >= 3 && memcmp(at, "\xef\xbb\xbf", 3) == 0) {
        complaints_add(scan->complaints, cursor->file, 1,
                       "the file starts with a byte order mark; save it as UTF-8 without one");
        scan->stop = true;
        return;
    }
    while (left > 0) {
        int length = utf8_length(at, left);
        if (length == 0 || is_control(at, length)) {
            complaints_add(scan->complaints, cursor->file, line, "%s; save the file as plain UTF-8 text",
                           length == 0 ? "the bytes here are not UTF-8" : "a control character stands here");
            scan->stop = true;
            return;
        }
        line += at[0] == '\n';
        at += length;
        left -= (size_t)length;
    }
}

/* Hands the piece at the cursor to the grammar. */
static void piece_take(struct scan *scan, const struct cursor *cursor, char kind, int length)
{
    grammar_take(
        &scan->grammar,
        (struct piece){.kind = kind, .file = cursor->file, .line = cursor->line, .word = cursor->at, .length = length});
    scan->stop = scan->stop || scan->grammar.stop;
}

/* Skips a comment of either kind; the cursor stands on its first letter. */
static void comment_skip(struct scan *scan, struct cursor *cursor)
{
    if (cursor->at[0] == '#' || cursor->at[1] == '/') {
        while (cursor->at < cursor->end && *cursor->at != '\n') {
            cursor->at++;
        }
        return;
    }
    int first_line = cursor->line;
    cursor->at += 2;
    while (cursor->at < cursor->end && !(cursor->at[0] == '*' && cursor->at[1] == '/')) {
        cursor->line += *cursor->at == '\n';
        cursor->at++;
    }
    if (cursor->at >= cursor->end) {
        complaints_add(scan->complaints, cursor->file, first_line,
                       "the comment that begins here is not closed; expected '*/'");
        scan->stop = true;
        return;
    }
    cursor->at += 2;
}

/* libconfig makes control letters of \n, \t, \x1b ..., and cuts the text short at \x00; a path written with
 * backslashes would change without a word. */
static void escape_check(struct scan *scan, const struct cursor *cursor)
{
    char letter = cursor->at[1];
    if (letter != '"' && letter != '\\') {
        complaints_add(scan->complaints, cursor->file, cursor->line,
                       "'\\' stands before '%.*s' in a text; expected \\\\ for a backslash, and letters as they are",
                       utf8_length((const unsigned char *)cursor->at + 1, (size_t)(cursor->end - cursor->at) - 1),
                       cursor->at + 1);
    }
}

static void text_skip(struct scan *scan, struct cursor *cursor)
{
    cursor->at++;
    while (cursor->at < cursor->end && *cursor->at != '"' && *cursor->at != '\n') {
        if (*cursor->at == '\\' && cursor->at[1] != '\n' && cursor->at + 1 < cursor->end) {
            escape_check(scan, cursor);
            cursor->at++;
        }
        cursor->at++;
    }
    if (cursor->at >= cursor->end || *cursor->at == '\n') {
        complaints_add(scan->complaints, cursor->file, cursor->line,
                       "a quoted text is not closed on its line; expected '\"' at its end");
        scan->stop = true;
        return;
    }
    piece_take(scan, cursor, PIECE_TEXT, 0);
    cursor->at++;
}

/* Copies what looks like one unquoted value, to show it; a separator, bracket, comment or line's end ends it. */
static void unquoted_copy(const char *at, char *text, size_t size)
{
    size_t used = 0;
    while (*at != '\0' && strchr("\r\n;,(){}[]\"#=", *at) == NULL &&
           !(at[0] == '/' && (at[1] == '/' || at[1] == '*')) && used + 5 < size) {
        text[used++] = *at++;
    }
    while (used > 0 && is_blank(text[used - 1])) {
        used--;
    }
    text[used] = '\0';
}

/* Looks at a number: whether it fits, and whether a unit, a date or a time was left without quotes. */
static void number_scan(struct scan *scan, struct cursor *cursor)
{
    char *end;
    double value = strtod(cursor->at, &end);
    bool whole = true;
    for (const char *at = cursor->at; at < end; at++) {
        whole = whole && (is_digit(*at) || at == cursor->at);
    }
    char written[64];
    unquoted_copy(cursor->at, written, sizeof written);
    const char *digits = cursor->at + (*cursor->at == '-' || *cursor->at == '+');
    if (digits[0] == '0' && (digits[1] == 'x' || digits[1] == 'X')) { /* which libconfig cuts to 32 bits */
        complaints_add(scan->complaints, cursor->file, cursor->line, "the number %s is not decimal; write it as %.10g",
                       written, value);
        end += strspn(end, "Ll");
    } else if (end[0] == 'L' && whole && !is_name_letter(end[end[1] == 'L' ? 2 : 1]) && fabs(value) < WHOLE_MOST) {
        end += end[1] == 'L' ? 2 : 1; /* libconfig's mark of a long number */
    } else if (!isfinite(value)) {
        complaints_add(scan->complaints, cursor->file, cursor->line, "the number %s is too large; expected below 1e308",
                       written);
        end += strspn(end, "0123456789");
    } else if (whole && fabs(value) > INT32_MAX) {
        complaints_add(scan->complaints, cursor->file, cursor->line,
                       "the whole number %s is too large; write it as %.10e", written, value);
        end += strspn(end, "L");
    }
    const char *next = skip_line_blanks(end);
    const char *word_end = next;
    while (is_name_letter(*word_end)) {
        word_end++;
    }
    const char *after_word = skip_line_blanks(word_end);
    bool key_follows = next > end && is_letter(*next) && (*after_word == '=' || *after_word == ':');
    bool ends = *next == '\0' || strchr("\n;,(){}[]#=", *next) != NULL ||
                (next[0] == '/' && (next[1] == '/' || next[1] == '*'));
    if (!key_follows && !ends) {
        complaints_add(scan->complaints, cursor->file, cursor->line, "%s stands without quotes; write \"%s\"", written,
                       written);
        end += strcspn(end, "\n;,(){}[]\"#=");
    }
    piece_take(scan, cursor, PIECE_NUMBER, 0);
    cursor->at = end;
}

/* Looks at a word: a key before '=', or true or false; anything else is a text without quotes. */
static void word_scan(struct scan *scan, struct cursor *cursor)
{
    const char *end = cursor->at;
    while (is_name_letter(*end)) {
        end++;
    }
    const char *next = skip_line_blanks(end);
    size_t length = (size_t)(end - cursor->at);
    while (*next == '\n' || is_blank(*next)) {
        next++;
    }
    bool flag =
        (length == 4 && strncmp(cursor->at, "true", 4) == 0) || (length == 5 && strncmp(cursor->at, "false", 5) == 0);
    if (*next == '=' || *next == ':') {
        piece_take(scan, cursor, PIECE_KEY, (int)length);
    } else if (flag) {
        piece_take(scan, cursor, PIECE_FLAG, 0);
    } else if (grammar_wants_key(&scan->grammar) && scan->grammar.last.kind == PIECE_TEXT &&
               scan->grammar.last.line == cursor->line) {
        complaints_add(scan->complaints, cursor->file, cursor->line,
                       "a quote (\") is missing or one too many before '%.*s'; expected each text between two",
                       length < 60 ? (int)length : 60, cursor->at);
        scan->stop = true;
    } else if (grammar_wants_key(&scan->grammar)) {
        complaints_add(scan->complaints, cursor->file, cursor->line,
                       "'=' is missing after '%.*s'; expected KEY = VALUE;", length < 60 ? (int)length : 60,
                       cursor->at);
        scan->stop = true;
    } else {
        char written[64];
        unquoted_copy(cursor->at, written, sizeof written);
        complaints_add(scan->complaints, cursor->file, cursor->line, "%s stands without quotes; write \"%s\"", written,
                       written);
        end += strcspn(end, "\n;,(){}[]\"#=");
        piece_take(scan, cursor, PIECE_TEXT, 0);
    }
    cursor->at = end;
}

/* Puts an included file in place; the cursor stands on '@'. */
static struct status include_scan(struct scan *scan, struct cursor *cursor)
{
    char name[256];
    int consumed = 0;
    if (sscanf(cursor->at, "@include%*[ \t]\"%255[^\"\n]\"%n", name, &consumed) != 1 || consumed == 0) {
        complaints_add(scan->complaints, cursor->file, cursor->line,
                       "'@' stands here; expected @include \"FILE\" on a line of its own");
        scan->stop = true;
        return status_ok();
    }
    const char *line_start = cursor->at;
    while (line_start > cursor->bytes && is_blank(line_start[-1])) {
        line_start--;
    }
    if (line_start > cursor->bytes && line_start[-1] != '\n') {
        complaints_add(scan->complaints, cursor->file, cursor->line,
                       "@include stands within a line; put it on a line of its own");
        scan->stop = true;
        return status_ok();
    }
    if (cursor->path == NULL || name[0] == '/' || strstr(name, "..") != NULL || cursor->depth == INCLUDE_DEPTH_MOST) {
        complaints_add(scan->complaints, cursor->file, cursor->line,
                       "\"%s\" cannot be included; expected a file in or below the scenario's folder, at most %d deep",
                       name, INCLUDE_DEPTH_MOST);
        scan->stop = true;
        return status_ok();
    }
    RETURN_IF_FAILED(source_append(scan->source, cursor->file, cursor->copied_line, cursor->copied,
                                   (size_t)(cursor->at - cursor->copied)));
    const char *slash = strrchr(cursor->path, '/');
    char path[1024];
    int folder_length = slash == NULL ? 0 : (int)(slash - cursor->path) + 1;
    (void)snprintf(path, sizeof path, "%.*s%s", folder_length, cursor->path, name);
    struct status status = prescan_path(scan, path, cursor->depth + 1);
    if (status.code == STATUS_MEMORY) {
        return status;
    }
    if (status.code != STATUS_OK) {
        complaints_add(scan->complaints, cursor->file, cursor->line,
                       "\"%s\" cannot be included: it cannot be read; expected a file beside this one", name);
        scan->stop = true;
    }
    cursor->at += consumed;
    cursor->copied = cursor->at;
    cursor->copied_line = cursor->line;
    source_set_line(scan->source, cursor->file, cursor->line);
    return status_ok();
}

static struct status letter_scan(struct scan *scan, struct cursor *cursor)
{
    const char *at = cursor->at;
    if (*at == '\n') {
        cursor->line++;
        cursor->at++;
    } else if (is_blank(*at)) {
        cursor->at++;
    } else if (*at == '#' || (*at == '/' && (at[1] == '/' || at[1] == '*'))) {
        comment_skip(scan, cursor);
    } else if (*at == '"') {
        text_skip(scan, cursor);
    } else if (*at == '@') {
        return include_scan(scan, cursor);
    } else if (is_digit(*at) || ((*at == '.' || *at == '-' || *at == '+') && (is_digit(at[1]) || at[1] == '.'))) {
        number_scan(scan, cursor);
    } else if (is_letter(*at)) {
        word_scan(scan, cursor);
    } else if (strchr("={}()[]:;,", *at) != NULL) {
        piece_take(scan, cursor, *at == ':' ? '=' : *at, 1);
        cursor->at++;
    } else {
        int length = utf8_length((const unsigned char *)at, (size_t)(cursor->end - at));
        complaints_add(scan->complaints, cursor->file, cursor->line,
                       "'%.*s' does not belong here; texts stand between straight quotes (\")", length, at);
        scan->stop = true;
    }
    return status_ok();
}

static struct status bytes_scan(struct scan *scan, struct cursor *cursor)
{
    bytes_check(scan, cursor);
    while (!scan->stop && cursor->at < cursor->end) {
        RETURN_IF_FAILED(letter_scan(scan, cursor));
    }
    RETURN_IF_FAILED(source_append(scan->source, cursor->file, cursor->copied_line, cursor->copied,
                                   (size_t)(cursor->end - cursor->copied)));
    if (cursor->depth > 0 && cursor->end > cursor->bytes && cursor->end[-1] != '\n') {
        return source_append(scan->source, cursor->file, cursor->line, "\n", 1);
    }
    return status_ok();
}

/* Whether bytes begin as results do, in HDF5. */
static bool is_result(const char *bytes, size_t length)
{
    static const char begins[] = "\211HDF\r\n\032\n";
    return length >= sizeof begins - 1 && memcmp(bytes, begins, sizeof begins - 1) == 0;
}

static struct status prescan_path(struct scan *scan, const char *path, int depth)
{
    const char *name;
    char *bytes;
    size_t length;
    RETURN_IF_FAILED(source_add_name(scan->source, path, &name));
    struct status status = file_read_whole(path, &bytes, &length);
    if (bytes != NULL && is_result(bytes, length)) {
        complaints_add(scan->complaints, name, 0,
                       "this is a result file; expected a scenario ('vatcast report' puts results side by side)");
        scan->stop = true;
        free(bytes);
        return status_ok();
    }
    if (status.code == STATUS_LIMIT) {
        complaints_add(scan->complaints, name, 0, "the file is too long; expected at most %zu KiB",
                       FILE_BYTES_MOST / 1024);
        scan->stop = true;
        free(bytes);
        return status_ok();
    }
    if (status.code != STATUS_OK) {
        return status;
    }
    struct cursor cursor = {.path = path,
                            .file = name,
                            .bytes = bytes,
                            .at = bytes,
                            .end = bytes + length,
                            .copied = bytes,
                            .copied_line = 1,
                            .line = 1,
                            .depth = depth};
    source_set_line(scan->source, name, 1);
    status = bytes_scan(scan, &cursor);
    free(bytes);
    return status;
}

struct status prescan_file(const char *path, struct source *source, struct complaints *complaints)
{
    struct scan scan = {.source = source, .complaints = complaints, .grammar = {.complaints = complaints}};
    RETURN_IF_FAILED(prescan_path(&scan, path, 0));
    if (!scan.stop) {
        grammar_end(&scan.grammar);
    }
    return status_ok();
}

struct status prescan_text(const char *name, const char *text, struct source *source, struct complaints *complaints)
{
    struct scan scan = {.source = source, .complaints = complaints, .grammar = {.complaints = complaints}};
    const char *kept;
    RETURN_IF_FAILED(source_add_name(source, name, &kept));
    struct cursor cursor = {.file = kept,
                            .bytes = text,
                            .at = text,
                            .end = text + strlen(text),
                            .copied = text,
                            .copied_line = 1,
                            .line = 1};
    RETURN_IF_FAILED(bytes_scan(&scan, &cursor));
    if (!scan.stop) {
        grammar_end(&scan.grammar);
    }
    return status_ok();
}
