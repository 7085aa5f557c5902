/* why.c: see why.h; and the ledgers in words. */
#include "rehearse/why.h"

#include "rehearse/session_parts.h"
#include "study/summary_words.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define TOLD_SHARE 0.005 /* of what came or went: less is told together */
#define NOTHING 1e-3     /* g */
#define TRACE 0.01       /* g */

/* ---- differences -------------------------------------------------------------------------------------------------- */

/* Adds the rows of a ledger, times `sign`. */
static void add_ledger(const struct table *ledger, double sign, struct change *change)
{
    const double *amounts = table_column(ledger, "amount")->values;
    const double *parts = table_column(ledger, "part")->values;
    (void)snprintf(change->name, sizeof change->name, "%s", ledger->name);
    for (size_t i = 0; i < ledger->rows; i++) {
        char name[WORD_SIZE];
        int row = 0;
        word_of_list(ledger->row_names, (double)i, name);
        while (row < change->count && strcmp(change->rows[row].name, name) != 0) {
            row++;
        }
        if (row == CHANGE_ROWS_MOST) {
            continue; /* more than ledgers have */
        }
        struct change_row *to = &change->rows[row];
        if (row == change->count) {
            *to = (struct change_row){.part = (enum ledger_part)parts[i]};
            (void)snprintf(to->name, sizeof to->name, "%.47s", name);
            change->count++;
        }
        to->change += sign * amounts[i];
        to->now = sign > 0.0 ? amounts[i] : to->now;
    }
}

/* Adds all ledgers as they are where the run stands, which writes to `result`. */
static struct status add_ledgers(struct session *session, const struct result *result, double sign,
                                 struct change changes[CHANGES_MOST], int *count)
{
    RETURN_IF_FAILED(run_fill(session->run));
    *count = (int)(result->ledger_count < CHANGES_MOST ? result->ledger_count : CHANGES_MOST);
    for (int i = 0; i < *count; i++) {
        add_ledger(&result->ledger[i], sign, &changes[i]);
        changes[i].is_told = strcmp(result_ledger_told(result, changes[i].name), changes[i].name) == 0;
    }
    return status_ok();
}

struct status session_changes(struct session *session, double since, struct change changes[CHANGES_MOST], int *count)
{
    struct run_mark *now;
    struct result then;
    result_init(&then);
    memset(changes, 0, CHANGES_MOST * sizeof *changes);
    RETURN_IF_FAILED(run_mark(session->run, &now));
    struct status status = add_ledgers(session, &session->result, 1.0, changes, count);
    run_return(session->run, now);
    if (status_is_ok(&status)) {
        status = run_stand_at(session, since, &then);
    }
    if (status_is_ok(&status)) {
        status = add_ledgers(session, &then, -1.0, changes, count);
    }
    run_return(session->run, now);
    run_mark_free(now);
    result_free(&then);
    return status;
}

/* ---- words -------------------------------------------------------------------------------------------------------- */

/* How a ledger is told. */
struct heading {
    const char *ledger, *title;
};

static const struct heading headings[] = {
    {"hexose", "Sugar"},  {"feed", "Feed and sugar"}, {"lime", "Lime"},
    {"alkali", "Alkali"}, {"oxygen", "Air's oxygen"}, {"indigo", "Indigo"},
};
#define HEADING_COUNT (sizeof headings / sizeof headings[0])

static void say_amount(double grams, char text[WORD_SIZE])
{
    if (grams > 0.0 && grams < TRACE) {
        (void)snprintf(text, WORD_SIZE, "a trace");
    } else {
        say_mass(1e-3 * grams, text);
    }
}

struct told {
    const struct change_row *row;
    double amount; /* g, positive */
};

static int larger_first(const void *left, const void *right)
{
    const struct told *a = left;
    const struct told *b = right;
    return a->amount < b->amount ? 1 : a->amount > b->amount ? -1 : strcmp(a->row->name, b->row->name);
}

/* "gone 84 g: 51 g broke down in lime, 20 g met air at the surface". */
static void tell_part(FILE *out, const struct change *change, enum ledger_part part, const char *verb)
{
    struct told told[CHANGE_ROWS_MOST];
    int count = 0;
    double sum = 0.0;
    double rest = 0.0;
    char text[WORD_SIZE];
    for (int i = 0; i < change->count; i++) {
        const struct change_row *row = &change->rows[i];
        double amount = part == PART_LEFT ? row->now : row->change;
        /* What stands on one side of the ledger may move the other way in a span, as dye that cloth gives back. */
        bool is_part =
            part == PART_LEFT ? row->part == PART_LEFT : row->part != PART_LEFT && (part == PART_IN) == (amount > 0.0);
        if (is_part && fabs(amount) > 0.0) {
            told[count++] = (struct told){row, fabs(amount)};
            sum += fabs(amount);
        }
    }
    if (part != PART_LEFT && !(sum > NOTHING)) {
        return;
    }
    qsort(told, (size_t)count, sizeof *told, larger_first);
    say_amount(sum, text);
    fprintf(out, "; %s %s", verb, text);
    const char *separator = ": ";
    for (int i = 0; i < count && sum > NOTHING; i++) {
        if (told[i].amount < TOLD_SHARE * sum) {
            rest += told[i].amount;
            continue;
        }
        if (count > 1) {
            say_amount(told[i].amount, text);
        }
        fprintf(out, "%s%s%s%s", separator, count > 1 ? text : "", count > 1 ? " " : "",
                ledger_phrase(told[i].row->name));
        separator = ", ";
    }
    if (rest > TOLD_SHARE * sum) {
        say_amount(rest, text);
        fprintf(out, "%s%s in other ways", separator, text);
    }
}

static void tell_change(FILE *out, const struct heading *heading, const struct change *change)
{
    char text[WORD_SIZE];
    double then = 0.0;
    for (int i = 0; i < change->count; i++) {
        then += change->rows[i].part == PART_LEFT ? change->rows[i].now - change->rows[i].change : 0.0;
    }
    say_amount(then, text);
    fprintf(out, "%s: %s then", heading->title, text);
    tell_part(out, change, PART_IN, "came in");
    tell_part(out, change, PART_OUT, "gone");
    tell_part(out, change, PART_LEFT, "now");
    fputs(".\n", out);
}

struct status tell_why(struct session *session, double since)
{
    struct change changes[CHANGES_MOST];
    char moment[64];
    int count;
    double from = isnan(since) ? 0.0 : since;
    RETURN_IF_FAILED(session_changes(session, from, changes, &count));
    session_moment(session, from, moment, sizeof moment);
    fprintf(session->out, "Since %s, weighed where no dyer can:\n", moment);
    for (size_t h = 0; h < HEADING_COUNT; h++) { /* water and heat are seen */
        for (int i = 0; i < count; i++) {
            bool is_it = strcmp(headings[h].ledger, changes[i].name) == 0;
            if (is_it && changes[i].is_told) {
                tell_change(session->out, &headings[h], &changes[i]);
            }
        }
    }
    return status_ok();
}
