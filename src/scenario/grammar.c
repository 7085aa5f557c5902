/* grammar.c: see grammar.h. */
#include "scenario/grammar.h"

#include <stdio.h>

static char closing(char opening)
{
    return opening == '(' ? ')' : opening == '[' ? ']' : '}';
}

static char opening(char closing_letter)
{
    return closing_letter == ')' ? '(' : closing_letter == ']' ? '[' : '{';
}

/* The bracket that the next piece stands in; a file as a whole is like a group. */
static char inside(const struct grammar *grammar)
{
    return grammar->open_count == 0 ? '{' : grammar->open[grammar->open_count - 1].kind;
}

static void after_value(struct grammar *grammar)
{
    grammar->expected = EXPECT_SEPARATOR;
}

static void stop_with(struct grammar *grammar, struct piece piece, const char *what, const char *expected)
{
    complaints_add(grammar->complaints, piece.file, piece.line, "%s; expected %s", what, expected);
    grammar->stop = true;
}

static void misplaced(struct grammar *grammar, struct piece piece)
{
    char what[160];
    if (piece.kind == PIECE_KEY) {
        (void)snprintf(what, sizeof what, "'%.*s =' cannot stand here", piece.length < 60 ? piece.length : 60,
                       piece.word);
    } else {
        (void)snprintf(what, sizeof what, "%s%c%s cannot stand here",
                       piece.kind == PIECE_TEXT     ? "a quoted text"
                       : piece.kind == PIECE_NUMBER ? "a number"
                       : piece.kind == PIECE_FLAG   ? "true or false"
                                                    : "'",
                       piece.kind == PIECE_TEXT || piece.kind == PIECE_NUMBER || piece.kind == PIECE_FLAG ? ' '
                                                                                                          : piece.kind,
                       piece.kind == PIECE_TEXT || piece.kind == PIECE_NUMBER || piece.kind == PIECE_FLAG ? "" : "'");
    }
    static const char *const expected[] = {
        [EXPECT_KEY] = "KEY = VALUE;",
        [EXPECT_EQUALS] = "'=' after the key",
        [EXPECT_VALUE] = "a value: \"text\", number, true, false, { ... } or ( ... )",
        [EXPECT_FIRST] = "a value or the closing bracket",
        [EXPECT_SEPARATOR] = "a comma or the closing bracket",
    };
    bool after_setting = grammar->expected == EXPECT_SEPARATOR && inside(grammar) == '{';
    stop_with(grammar, piece, what, after_setting ? "';' and then KEY = VALUE" : expected[grammar->expected]);
}

static void bracket_open(struct grammar *grammar, struct piece piece)
{
    if (inside(grammar) == '[') {
        stop_with(grammar, piece, "brackets stand between [ and ]", "( ) around the list instead");
        return;
    }
    if (grammar->open_count == NESTING_MOST) {
        complaints_add(grammar->complaints, piece.file, piece.line,
                       "brackets are nested more than %d deep; a scenario needs no more than 4", NESTING_MOST);
        grammar->stop = true;
        return;
    }
    grammar->array_kind[grammar->open_count] = 0;
    grammar->open[grammar->open_count++] = piece;
    grammar->expected = piece.kind == '{' ? EXPECT_KEY : EXPECT_FIRST;
}

static void bracket_close(struct grammar *grammar, struct piece piece)
{
    char wanted = opening(piece.kind);
    if (grammar->open_count == 0) {
        complaints_add(grammar->complaints, piece.file, piece.line, "'%c' closes nothing; expected '%c' before it",
                       piece.kind, wanted);
        grammar->stop = true;
        return;
    }
    struct piece open = grammar->open[grammar->open_count - 1];
    if (open.kind != wanted) {
        complaints_add(grammar->complaints, piece.file, piece.line,
                       "'%c' does not close the '%c' of line %d; expected '%c'", piece.kind, open.kind, open.line,
                       closing(open.kind));
        grammar->stop = true;
        return;
    }
    if (grammar->last.kind == ',' && wanted != '{') {
        complaints_add(grammar->complaints, piece.file, piece.line,
                       "a comma stands before '%c'; commas only go between the entries of a list", piece.kind);
    } else if (grammar->expected == EXPECT_EQUALS || grammar->expected == EXPECT_VALUE) {
        misplaced(grammar, piece);
        return;
    }
    grammar->open_count--;
    after_value(grammar);
}

static void count_setting(struct grammar *grammar, struct piece piece)
{
    grammar->setting_count++;
    if (grammar->setting_count == SETTINGS_MOST + 1) {
        complaints_add(grammar->complaints, piece.file, piece.line,
                       "there are more than %d settings; a recurring event says "
                       "with one entry what happens many times",
                       SETTINGS_MOST);
        grammar->stop = true;
    }
}

static void take_key(struct grammar *grammar, struct piece piece)
{
    if (inside(grammar) != '{' || grammar->expected == EXPECT_EQUALS || grammar->expected == EXPECT_VALUE) {
        misplaced(grammar, piece);
        return;
    }
    if (grammar->expected == EXPECT_SEPARATOR && grammar->last.line == piece.line) {
        complaints_add(grammar->complaints, piece.file, piece.line,
                       "';' is missing before '%.*s'; settings are parted by ';'",
                       piece.length < 60 ? piece.length : 60, piece.word);
    }
    count_setting(grammar, piece);
    grammar->expected = EXPECT_EQUALS;
}

static void take_value(struct grammar *grammar, struct piece piece)
{
    bool joined = piece.kind == PIECE_TEXT && grammar->last.kind == PIECE_TEXT && grammar->expected == EXPECT_SEPARATOR;
    if (joined) { /* texts in a row are one */
        return;
    }
    if (grammar->expected != EXPECT_VALUE && grammar->expected != EXPECT_FIRST) {
        misplaced(grammar, piece);
        return;
    }
    if (inside(grammar) != '{') {
        count_setting(grammar, piece);
    }
    if (inside(grammar) == '[') {
        char *kind = &grammar->array_kind[grammar->open_count - 1];
        if (*kind != 0 && *kind != piece.kind) {
            stop_with(grammar, piece, "the entries between [ and ] are of different kinds",
                      "one kind, or ( ) around them");
        }
        *kind = piece.kind;
    }
    after_value(grammar);
}

static void take_separator(struct grammar *grammar, struct piece piece)
{
    bool group = inside(grammar) == '{';
    if (grammar->expected != EXPECT_SEPARATOR || (!group && piece.kind == ';')) {
        misplaced(grammar, piece);
        return;
    }
    grammar->expected = group ? EXPECT_KEY : EXPECT_VALUE;
}

void grammar_take(struct grammar *grammar, struct piece piece)
{
    switch (piece.kind) {
    case '{':
    case '(':
    case '[':
        if (grammar->expected == EXPECT_VALUE || grammar->expected == EXPECT_FIRST) {
            if (inside(grammar) != '{') {
                count_setting(grammar, piece);
            }
            bracket_open(grammar, piece);
        } else {
            misplaced(grammar, piece);
        }
        break;
    case '}':
    case ')':
    case ']':
        bracket_close(grammar, piece);
        break;
    case PIECE_KEY:
        take_key(grammar, piece);
        break;
    case '=':
        if (grammar->expected == EXPECT_EQUALS) {
            grammar->expected = EXPECT_VALUE;
        } else {
            misplaced(grammar, piece);
        }
        break;
    case ';':
    case ',':
        take_separator(grammar, piece);
        break;
    default:
        take_value(grammar, piece);
        break;
    }
    grammar->last = piece;
}

bool grammar_wants_key(const struct grammar *grammar)
{
    return inside(grammar) == '{' && (grammar->expected == EXPECT_KEY || grammar->expected == EXPECT_SEPARATOR);
}

void grammar_end(struct grammar *grammar)
{
    if (grammar->stop) {
        return;
    }
    if (grammar->open_count > 0) {
        struct piece open = grammar->open[grammar->open_count - 1];
        complaints_add(grammar->complaints, open.file, open.line,
                       "'%c' is not closed; expected '%c' before the end of the file", open.kind, closing(open.kind));
    } else if (grammar->expected == EXPECT_EQUALS || grammar->expected == EXPECT_VALUE) {
        stop_with(grammar, grammar->last, "the last setting is not finished", "KEY = VALUE;");
    }
}
