/* grammar.h: whether the pieces of a settings file come in an order that reads; part of the scan before libconfig.
 *
 * libconfig says no more than "syntax error", accepts settings run together, and loses memory on a fault; so it is
 * only given texts that pass here.
 */
#ifndef VATCAST_SCENARIO_GRAMMAR_H
#define VATCAST_SCENARIO_GRAMMAR_H

#include "base/complaints.h"

#include <stdbool.h>
#include <stddef.h>

#define SETTINGS_MOST 12000
#define NESTING_MOST 32

/* Pieces: brackets, '=', ';' and ',' stand for themselves (':' comes as '='). */
enum piece_kind { PIECE_KEY = 'k', PIECE_TEXT = '"', PIECE_NUMBER = '0', PIECE_FLAG = 'b' };

struct piece {
    char kind;        /* enum piece_kind or the letter itself */
    const char *file; /* stays valid while the grammar is used */
    int line;
    const char *word; /* KEY: its first letter */
    int length;       /* KEY */
};

enum expectation { EXPECT_KEY, EXPECT_EQUALS, EXPECT_VALUE, EXPECT_FIRST, EXPECT_SEPARATOR };

struct grammar {
    struct complaints *complaints;
    struct piece open[NESTING_MOST];
    char array_kind[NESTING_MOST]; /* of the entries between [ and ]; 0: none yet */
    size_t open_count;
    size_t setting_count;
    enum expectation expected;
    struct piece last;
    bool stop; /* the rest cannot be made sense of */
};

/* Takes the next piece; complains and sets `stop` when it cannot stand there. */
void grammar_take(struct grammar *grammar, struct piece piece);

/* Complains when the text ends too early. */
void grammar_end(struct grammar *grammar);

/* True where a key comes next. */
bool grammar_wants_key(const struct grammar *grammar);

#endif
