/* result.h: what a run leaves behind, as plain tables in memory; src/record writes and reads them.
 *
 * A result knows nothing of the vat that made it: every table is columns of doubles with a name, a unit and a few words,
 * so the writer, the reader, the CSV export and the summary share one shape.
 */
#ifndef VATCAST_SIM_RESULT_H
#define VATCAST_SIM_RESULT_H

#include "base/status.h"

#include <stddef.h>
#include <stdint.h>

enum run_status { RUN_COMPLETE, RUN_FAILED, RUN_INTERRUPTED };
extern const char *const run_status_words[]; /* "complete", "failed", "interrupted" */

/* One column of a table. `flags` is NULL, or the words of an integer code in the order of its values 0, 1, 2 ...,
 * space-separated with underscores inside a word (CF flag_meanings); values are then whole numbers. */
struct column {
    char name[48];       /* [a-z][a-z0-9_]* */
    char unit[32];       /* UDUNITS spelling; "1" for pure numbers */
    char long_name[128]; /* what it is, in words */
    char *flags;         /* owned or NULL */
    double *values;      /* owned, `rows` of its table; NAN: not applicable */
};

struct table {
    char name[48];         /* "events", "indigo" (in the ledger) ... */
    char about[160];
    struct column *columns; /* owned */
    size_t column_count;
    size_t rows;
    size_t capacity;
    double residual_relative; /* ledgers: |in - out - left| over the larger of in and out; NAN elsewhere */
    char *row_names;          /* ledgers: owned, space-separated words with underscores, one per row; else NULL */
};

/* A line of the run's story, told in time order: warnings, state changes, what each event did. */
enum note_kind { NOTE_INFO, NOTE_WARNING, NOTE_CAUTION };
struct note {
    double time; /* s since start */
    enum note_kind kind;
    char text[200];
};

struct run_statistics {
    double steps, rejected_steps, rate_evaluations, jacobians, factorisations, events, legs;
};

/* What the day of a workshop leaves besides. The result that owns it is that of the first vat, but for its tables of dips
 * and pieces, which are those of all vats. */
struct workshop_result {
    double opens, closes;  /* s since start */
    double places;         /* in all vats */
    struct table day;      /* row per minute: people, and what is in use */
    struct table plans;    /* row per other plan that was tried */
    struct result *others; /* owned: the second vat and those after it */
    size_t other_count;
    char *story;           /* owned: the answer in lines of `label TAB margin TAB words` */
};

struct result {
    char title[200];
    char scenario_name[512]; /* path as given */
    double start_unix;       /* s; wall-clock start taken as UTC */
    enum run_status status;
    char failure[STATUS_MESSAGE_SIZE]; /* why, when failed */
    uint64_t seed;
    double rtol;
    struct run_statistics statistics;

    struct table series;  /* row per recording time; the column "time" (s since start) comes first */
    struct table events;  /* row per event that happened */
    struct table dips;    /* row per soak of a group of pieces */
    struct table pieces;  /* row per piece of cloth */
    /* Of an ensemble (study/ensemble.h); without columns when there is none. */
    struct table members;     /* row per member: the values drawn, then what it came to */
    struct table percentiles; /* row per percentile of what the members came to */
    struct table figures;     /* one row: what the run itself came to */
    struct table *ledger; /* owned: indigo, hexose, lime, oxygen, water, heat; of a live vat feed and alkali too */
    size_t ledger_count;

    struct note *notes;   /* owned */
    size_t note_count;
    size_t note_capacity;

    char *scenario_text;  /* owned; in full */
    char *model_text;     /* owned; in full */
    char *piece_names;    /* owned: cloth kind names, newline-separated, indexed by the column pieces/kind */
    char *event_labels;   /* owned: one line of text per scenario event, newline-separated, indexed by events/source */

    struct workshop_result *workshop; /* owned; NULL when there was none */
};

void result_init(struct result *result);
/* Adds an empty workshop to a result that has none. STATUS_MEMORY. */
struct status result_add_workshop(struct result *result) MUST_USE;
void result_free(struct result *result);
/* Back to a result without books. */
void result_drop_ledger(struct result *result);

/* The name of the ledger that tells where what `name` names went: that itself, but "feed" for "hexose" in a live vat, whose sugar
 * comes of it, and "alkali" for "lime", beside which soda stands there. */
const char *result_ledger_told(const struct result *result, const char *name);

/* Adds a column to a table that has no rows yet. `flags` may be NULL. */
struct status table_add_column(struct table *table, const char *name, const char *unit, const char *long_name,
                               const char *flags) MUST_USE;
/* Adds a column of numbers to a table that has its rows; the values are copied. */
struct status table_append_column(struct table *table, const char *name, const char *unit, const char *long_name,
                                  const double *values) MUST_USE;
/* Makes room for `rows` rows in all. */
struct status table_reserve(struct table *table, size_t rows) MUST_USE;
/* Adds a row of `count` values, which must be column_count (STATUS_BUG otherwise). */
struct status table_add_row(struct table *table, const double *values, size_t count) MUST_USE;
/* The column of that name, or NULL. */
struct column *table_column(const struct table *table, const char *name);
void table_free(struct table *table);

struct status result_add_note(struct result *result, double time, enum note_kind kind, const char *format, ...)
    PRINTF_LIKE(4, 5) MUST_USE;

#endif
