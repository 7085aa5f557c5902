/* trial.c: see trial.h. */
#include "trial.h"

#include "process/registry.h"
#include "scenario/read.h"

#include "support/close.h"

#include <gsl/gsl_errno.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define RESIDUAL_MOST 1e-9 /* relative; the promise of docs/architecture.md */

struct scenario *trial_read(const char *text)
{
    (void)gsl_set_error_handler_off();
    char path[300];
    const char *top = getenv("TMPDIR");
    (void)snprintf(path, sizeof path, "%.200s/vatcast-trial-XXXXXX", top != NULL && top[0] != '\0' ? top : ".");
    int descriptor = mkstemp(path);
    assert_true(descriptor >= 0);
    assert_int_equal(write(descriptor, text, strlen(text)), (int)strlen(text));
    assert_int_equal(close(descriptor), 0);

    struct scenario *scenario = calloc(1, sizeof *scenario);
    assert_non_null(scenario);
    struct complaints complaints;
    complaints_init(&complaints);
    const char *names[PROCESSES_KNOWN_MOST + 1];
    process_names(names);
    struct status status = scenario_read(path, NULL, 0, names, MODELS_DIR, scenario, &complaints);
    (void)unlink(path);
    for (size_t i = 0; i < complaints.count; i++) {
        print_error("%d: %s\n", complaints.items[i].line, complaints.items[i].text);
    }
    complaints_free(&complaints);
    if (!status_is_ok(&status)) {
        fail_msg("%s", status.message);
    }
    return scenario;
}

void trial_free(struct scenario *scenario)
{
    scenario_free(scenario);
    free(scenario);
}

struct result trial_run(const struct scenario *scenario)
{
    struct result result;
    struct status status = run_scenario(scenario, NULL, &result);
    if (!status_is_ok(&status)) {
        fail_msg("%s", status.message);
    }
    assert_int_equal(result.status, RUN_COMPLETE);
    trial_ledgers_close(&result);
    return result;
}

double trial_value(const struct table *table, const char *column, int row)
{
    const struct column *found = table_column(table, column);
    if (found == NULL) {
        fail_msg("no column '%s' in the table '%s'", column, table->name);
        return NAN;
    }
    int at = row < 0 ? (int)table->rows + row : row;
    assert_in_range(at, 0, table->rows - 1);
    return found->values[at];
}

int trial_event(const struct result *result, int action, int nth)
{
    for (int i = 0; i < (int)result->events.rows; i++) {
        if ((int)trial_value(&result->events, "action", i) == action && nth-- == 0) {
            return i;
        }
    }
    return -1;
}

double trial_ledger(const struct result *result, const char *ledger, const char *row)
{
    for (size_t i = 0; i < result->ledger_count; i++) {
        const struct table *table = &result->ledger[i];
        if (strcmp(table->name, ledger) != 0) {
            continue;
        }
        const char *name = table->row_names;
        for (int r = 0; r < (int)table->rows; r++) {
            size_t length = strcspn(name, " ");
            if (strlen(row) == length && strncmp(name, row, length) == 0) {
                return trial_value(table, "amount", r);
            }
            name += length + (name[length] == ' ');
        }
        fail_msg("no row '%s' in the ledger of %s: %s", row, ledger, table->row_names);
    }
    fail_msg("no ledger '%s'", ledger);
    return NAN;
}

void trial_ledgers_close(const struct result *result)
{
    assert_int_equal(result->ledger_count, 6);
    for (size_t i = 0; i < result->ledger_count; i++) {
        double residual = result->ledger[i].residual_relative;
        if (!(residual >= 0.0 && residual <= RESIDUAL_MOST)) {
            fail_msg("the ledger of %s does not close: %.3g", result->ledger[i].name, residual);
        }
    }
}

static void assert_same_bits(const struct table *a, const struct table *b, size_t c, size_t r)
{
    double values[] = {a->columns[c].values[r], b->columns[c].values[r]};
    uint64_t bits[2];
    memcpy(bits, values, sizeof bits);
    if (bits[0] != bits[1]) {
        fail_msg("%s/%s differs in row %zu: %.17g and %.17g", a->name, a->columns[c].name, r, values[0], values[1]);
    }
}

void trial_same_table(const struct table *a, const struct table *b)
{
    assert_string_equal(a->name, b->name);
    assert_int_equal(a->rows, b->rows);
    assert_int_equal(a->column_count, b->column_count);
    assert_true((a->row_names == NULL) == (b->row_names == NULL));
    if (a->row_names != NULL) {
        assert_string_equal(a->row_names, b->row_names);
    }
    for (size_t c = 0; c < a->column_count; c++) {
        for (size_t r = 0; r < a->rows; r++) {
            assert_same_bits(a, b, c, r);
        }
    }
}

void trial_same_outcome(const struct result *a, const struct result *b)
{
    trial_same_table(&a->events, &b->events);
    trial_same_table(&a->dips, &b->dips);
    trial_same_table(&a->pieces, &b->pieces);
    assert_int_equal(a->ledger_count, b->ledger_count);
    for (size_t i = 0; i < a->ledger_count; i++) {
        trial_same_table(&a->ledger[i], &b->ledger[i]);
        assert_memory_equal(&a->ledger[i].residual_relative, &b->ledger[i].residual_relative, sizeof(double));
    }
    assert_memory_equal(&a->statistics, &b->statistics, sizeof a->statistics);
}

void trial_same_result(const struct result *a, const struct result *b)
{
    trial_same_outcome(a, b);
    trial_same_table(&a->series, &b->series);
    assert_int_equal(a->note_count, b->note_count);
    for (size_t i = 0; i < a->note_count; i++) {
        assert_memory_equal(&a->notes[i].time, &b->notes[i].time, sizeof(double));
        assert_int_equal(a->notes[i].kind, b->notes[i].kind);
        assert_string_equal(a->notes[i].text, b->notes[i].text);
    }
}
