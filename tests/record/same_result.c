/* same_result.c: see same_result.h. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "record/same_result.h"

#include <math.h>
#include <string.h>

static const char *or_empty(const char *text)
{
    return text == NULL ? "" : text;
}

static void assert_same_number(double a, double b)
{
    if (!(isnan(a) && isnan(b))) {
        assert_memory_equal(&a, &b, sizeof a);
    }
}

static void assert_same_table(const struct table *a, const struct table *b)
{
    assert_string_equal(a->name, b->name);
    assert_string_equal(a->about, b->about);
    assert_string_equal(or_empty(a->row_names), or_empty(b->row_names));
    assert_same_number(a->residual_relative, b->residual_relative);
    assert_int_equal(a->column_count, b->column_count);
    assert_int_equal(a->rows, b->rows);
    for (size_t i = 0; i < a->column_count; i++) {
        const struct column *p = &a->columns[i];
        const struct column *q = &b->columns[i];
        assert_string_equal(p->name, q->name);
        assert_string_equal(p->unit, q->unit);
        assert_string_equal(p->long_name, q->long_name);
        assert_int_equal(p->flags == NULL, q->flags == NULL);
        assert_string_equal(or_empty(p->flags), or_empty(q->flags));
        for (size_t row = 0; row < a->rows; row++) {
            assert_same_number(p->values[row], q->values[row]);
        }
    }
}

void assert_same_result(const struct result *a, const struct result *b)
{
    assert_string_equal(a->title, b->title);
    assert_string_equal(a->scenario_name, b->scenario_name);
    assert_string_equal(a->failure, b->failure);
    assert_same_number(a->start_unix, b->start_unix);
    assert_int_equal(a->status, b->status);
    assert_true(a->seed == b->seed);
    assert_same_number(a->rtol, b->rtol);
    assert_memory_equal(&a->statistics, &b->statistics, sizeof a->statistics);
    assert_same_table(&a->series, &b->series);
    assert_same_table(&a->events, &b->events);
    assert_same_table(&a->dips, &b->dips);
    assert_same_table(&a->pieces, &b->pieces);
    assert_same_table(&a->members, &b->members);
    assert_same_table(&a->percentiles, &b->percentiles);
    assert_same_table(&a->figures, &b->figures);
    assert_int_equal(a->ledger_count, b->ledger_count);
    for (size_t i = 0; i < a->ledger_count; i++) {
        assert_same_table(&a->ledger[i], &b->ledger[i]);
    }
    assert_int_equal(a->note_count, b->note_count);
    for (size_t i = 0; i < a->note_count; i++) {
        assert_same_number(a->notes[i].time, b->notes[i].time);
        assert_int_equal(a->notes[i].kind, b->notes[i].kind);
        assert_string_equal(a->notes[i].text, b->notes[i].text);
    }
    assert_string_equal(or_empty(a->scenario_text), or_empty(b->scenario_text));
    assert_string_equal(or_empty(a->model_text), or_empty(b->model_text));
    assert_string_equal(or_empty(a->piece_names), or_empty(b->piece_names));
    assert_string_equal(or_empty(a->event_labels), or_empty(b->event_labels));
}
