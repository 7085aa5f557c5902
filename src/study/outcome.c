/* outcome.c: see outcome.h. */
#include "study/outcome.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define LITRES_PER_M3 1000.0

/* A result file may come from anywhere: a column that is not there holds nothing. */
static double cell(const struct column *column, size_t row)
{
    return column != NULL ? column->values[row] : (double)NAN;
}

/* A code; -1 for what is none. */
static int code_of(const struct column *column, size_t row)
{
    double value = cell(column, row);
    return value >= 0.0 && value < 1000.0 ? (int)value : -1;
}

/* ---- cloth ------------------------------------------------------------------------------------------------------ */

/* The shade that a piece is to have: the one asked for, else its own target; false: none. */
static bool wants_shade(double target, enum shade asked, double *wanted)
{
    *wanted = asked < SHADE_COUNT ? (double)asked : target;
    return isfinite(*wanted);
}

/* Variance of owf within the kinds, as a share of each kind's mean squared. */
static double spread_of(const struct table *pieces)
{
    const struct column *kind = table_column(pieces, "kind");
    const struct column *dips = table_column(pieces, "dips");
    const struct column *owf = table_column(pieces, "owf_washed");
    double squares = 0.0;
    double freedom = 0.0;
    double kinds = pieces->rows > 0 ? cell(kind, pieces->rows - 1) + 1.0 : 0.0; /* pieces stand by kind */
    kinds = fmin(kinds, (double)pieces->rows);
    for (size_t k = 0; (double)k < kinds; k++) {
        double count = 0.0;
        double mean = 0.0;
        double scatter = 0.0;
        for (size_t row = 0; row < pieces->rows; row++) {
            if (fabs(cell(kind, row) - (double)k) < 0.5 && cell(dips, row) > 0.0) {
                double off = cell(owf, row) - mean;
                count += 1.0;
                mean += off / count;
                scatter += off * (cell(owf, row) - mean);
            }
        }
        if (count > 1.0 && mean > 0.0) {
            squares += scatter / (mean * mean);
            freedom += count - 1.0;
        }
    }
    return freedom > 0.0 ? sqrt(squares / freedom) : (double)NAN;
}

static void read_cloth(const struct result *result, enum shade asked, struct outcome *outcome)
{
    const struct table *pieces = &result->pieces;
    const struct column *mass = table_column(pieces, "mass");
    const struct column *dips = table_column(pieces, "dips");
    const struct column *owf = table_column(pieces, "owf_washed");
    const struct column *shade = table_column(pieces, "shade");
    const struct column *target = table_column(pieces, "target");
    const struct column *done_at = table_column(pieces, "done_at");
    double indigo = 0.0;
    double wanting = 0.0;
    outcome->owf_low = INFINITY;
    outcome->owf_high = -INFINITY;
    outcome->pieces = (double)pieces->rows;
    for (size_t row = 0; row < pieces->rows; row++) {
        double wanted;
        bool wants = wants_shade(cell(target, row), asked, &wanted);
        bool is_dyed = cell(dips, row) > 0.0;
        bool is_there = is_dyed && (!wants || cell(shade, row) >= wanted);
        wanting += wants && !is_there ? 1.0 : 0.0;
        outcome->done_at = fmax(outcome->done_at, wants ? cell(done_at, row) : (double)NAN);
        outcome->at_shade += is_there ? cell(mass, row) : 0.0;
        outcome->pieces_at_shade += is_there ? 1.0 : 0.0;
        if (is_dyed) {
            double on = cell(owf, row) / 100.0;
            outcome->pieces_dyed += 1.0;
            outcome->dyed += cell(mass, row);
            indigo += on * cell(mass, row);
            outcome->owf_low = fmin(outcome->owf_low, on);
            outcome->owf_high = fmax(outcome->owf_high, on);
        }
    }
    const struct column *cloth_dips = table_column(&result->series, "cloth_dips");
    outcome->cloth_dips = result->series.rows > 0 ? cell(cloth_dips, result->series.rows - 1) : 0.0;
    outcome->done_at = wanting > 0.0 || asked < SHADE_COUNT ? (double)NAN : outcome->done_at;
    outcome->books[BOOKED_INDIGO].served = indigo * 1000.0;
    outcome->owf_mean = outcome->dyed > 0.0 ? indigo / outcome->dyed : (double)NAN;
    outcome->owf_low = outcome->dyed > 0.0 ? outcome->owf_low : (double)NAN;
    outcome->owf_high = outcome->dyed > 0.0 ? outcome->owf_high : (double)NAN;
    outcome->spread = spread_of(pieces);
}

/* ---- time ------------------------------------------------------------------------------------------------------- */

bool outcome_is_fit(int state)
{
    return state == VAT_READY || state == VAT_STIRRED_UP || state == VAT_LIME_HEAVY || state == VAT_OVER_REDUCED;
}

static void read_time(const struct result *result, struct outcome *outcome)
{
    const struct table *series = &result->series;
    const struct column *time = table_column(series, "time");
    const struct column *state = table_column(series, "state");
    const struct column *ph = table_column(series, "ph");
    const struct column *orp = table_column(series, "orp");
    bool failing = false;
    outcome->ph_lowest = NAN;
    outcome->orp_worst = NAN;
    outcome->failed_at = NAN;
    outcome->failed_for = 0.0;
    for (size_t row = 0; row < series->rows; row++) {
        int now = code_of(state, row);
        double span = (row + 1 < series->rows ? cell(time, row + 1) : outcome->lasts) - cell(time, row);
        outcome->was_ready = outcome->was_ready || now == VAT_READY;
        outcome->ready += now == VAT_READY ? span : 0.0;
        if (now >= 0 && now < OUTCOME_STATES && outcome->lasts > 0.0) {
            outcome->state_share[now] += span / outcome->lasts;
        }
        if (!outcome->was_ready) {
            continue;
        }
        outcome->ph_lowest = fmin(outcome->ph_lowest, cell(ph, row));
        outcome->orp_worst = fmax(outcome->orp_worst, cell(orp, row));
        if (!outcome_is_fit(now) && isnan(outcome->failed_at)) {
            outcome->failed_at = cell(time, row);
            outcome->failed_state = now;
            failing = true;
        }
        failing = failing && !outcome_is_fit(now);
        outcome->failed_for += failing ? span : 0.0;
    }
    if (!outcome->was_ready && series->rows > 0) {
        outcome->failed_at = 0.0;
        outcome->failed_for = outcome->lasts;
        outcome->failed_state = code_of(state, series->rows - 1);
    }
}

/* ---- books ------------------------------------------------------------------------------------------------------ */

/* Whether word number `index` of the space-separated row names is one of `words`. */
static bool row_is_among(const char *names, size_t index, const char *const *words)
{
    const char *at = names;
    for (size_t i = 0; at != NULL && i < index; i++) {
        at = strchr(at, ' ');
        at = at != NULL ? at + 1 : NULL;
    }
    size_t length = at != NULL ? strcspn(at, " ") : 0;
    for (size_t i = 0; at != NULL && words[i] != NULL; i++) {
        if (strlen(words[i]) == length && strncmp(words[i], at, length) == 0) {
            return true;
        }
    }
    return false;
}

/* The sum of the rows named, each without its sign. */
static double sum_rows(const struct table *ledger, const char *const *words)
{
    const struct column *amount = table_column(ledger, "amount");
    double sum = 0.0;
    for (size_t row = 0; row < ledger->rows; row++) {
        sum += row_is_among(ledger->row_names, row, words) ? fabs(cell(amount, row)) : 0.0;
    }
    return sum;
}

static void read_book(const struct table *ledger, struct book *book)
{
    const struct column *amount = table_column(ledger, "amount");
    const struct column *part = table_column(ledger, "part");
    for (size_t row = 0; row < ledger->rows; row++) {
        bool is_left = cell(part, row) >= 2.0; /* "in out left" */
        book->used += !is_left && cell(amount, row) > 0.0 ? cell(amount, row) : 0.0;
        book->left += is_left ? cell(amount, row) : 0.0;
    }
}

static void read_books(const struct result *result, struct outcome *outcome)
{
    const char *const ledgers[BOOKED_COUNT] = {"indigo", result_ledger_told(result, "hexose"),
                                               result_ledger_told(result, "lime"), "water"};
    static const char *const serving[BOOKED_COUNT][7] = {
        {NULL},
        {"reduced_indigo", NULL},
        {"acids_of_reducing", "acids_of_breakdown", "acids_of_air", "acids_of_fermenting", "acids_of_breathing",
         "acids_of_souring", NULL},
        {"carried_off_on_cloth", NULL},
    };
    static const char *const unreduced[] = {"in_bed", "suspended", "film", NULL};
    static const char *const leuco[] = {"leuco", "held_leuco", NULL};
    for (size_t i = 0; i < result->ledger_count; i++) {
        const struct table *ledger = &result->ledger[i];
        for (int b = 0; b < BOOKED_COUNT; b++) {
            struct book *book = &outcome->books[b];
            if (strcmp(ledger->name, ledgers[b]) != 0) {
                continue;
            }
            read_book(ledger, book);
            book->served += sum_rows(ledger, serving[b]);
            book->lost = book->used - book->served - book->left;
            if (b == BOOKED_INDIGO) {
                outcome->unreduced = sum_rows(ledger, unreduced);
                outcome->leuco_left = sum_rows(ledger, leuco);
            }
        }
    }
    outcome->lives = strcmp(ledgers[BOOKED_SUGAR], "feed") == 0;
    const struct book *indigo = &outcome->books[BOOKED_INDIGO];
    outcome->pigment_per_kg =
        outcome->at_shade > 0.0 ? (indigo->used - indigo->left) / outcome->at_shade : (double)INFINITY;
}

/* ---- acts and money --------------------------------------------------------------------------------------------- */

static bool is_care(enum action action)
{
    return action != ACTION_DIP && action != ACTION_READ && action != ACTION_RINSE && action != ACTION_SOUR &&
           action != ACTION_WASH;
}

static void read_acts(const struct result *result, struct outcome *outcome)
{
    const struct table *events = &result->events;
    const struct column *action = table_column(events, "action");
    const struct column *source = table_column(events, "source");
    const struct column *done = table_column(events, "done");
    const struct column *reading = table_column(events, "reading_temperature"); /* read with whatever else is */
    for (size_t row = 0; row < events->rows; row++) {
        int act = code_of(action, row);
        if (act < 0 || act >= ACTION_COUNT || !(cell(source, row) >= 0.0)) {
            continue; /* what the run adds by itself is nobody's work */
        }
        bool was_done = cell(done, row) > 0.0;
        outcome->acts[act] += was_done;
        outcome->care += was_done && is_care((enum action)act);
        outcome->looks += isfinite(cell(reading, row));
    }
}

static double price_of(const char *material, const struct price *prices, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (strcmp(prices[i].material, material) == 0) {
            return prices[i].per_kg;
        }
    }
    return NAN;
}

void outcome_price(const struct scenario *scenario, const struct result *result, const struct price *prices,
                   size_t price_count, struct outcome *outcome)
{
    const struct table *events = &result->events;
    const struct column *action = table_column(events, "action");
    const struct column *source = table_column(events, "source");
    const struct column *mass = table_column(events, "mass");
    outcome->cost = NAN;
    outcome->unpriced = 0;
    if (price_count == 0) {
        return;
    }
    double water = price_of("water", prices, price_count);
    outcome->cost = isnan(water) ? 0.0 : water * outcome->books[BOOKED_WATER].used;
    for (size_t m = 0; m < scenario->model.material_count; m++) {
        double kg = 0.0;
        for (size_t i = 0; i < scenario->charge_count; i++) {
            kg += (size_t)scenario->charge[i].material == m ? scenario->charge[i].mass : 0.0;
        }
        for (size_t row = 0; row < events->rows; row++) {
            if (code_of(action, row) == ACTION_ADD && cell(source, row) >= 0.0 && cell(mass, row) > 0.0 &&
                (size_t)scenario->events[(size_t)cell(source, row)].dose.material == m) {
                kg += cell(mass, row);
            }
        }
        double price = price_of(scenario->model.materials[m].name, prices, price_count);
        outcome->unpriced += kg > 0.0 && isnan(price);
        outcome->cost += kg > 0.0 && !isnan(price) ? kg * price : 0.0;
    }
}

void outcome_name(const char *path, char *name, size_t size)
{
    static const char *const endings[] = {".conf", ".h5"};
    const char *slash = strrchr(path, '/');
    const char *file = slash != NULL ? slash + 1 : path;
    size_t length = strlen(file);
    for (size_t i = 0; i < sizeof endings / sizeof endings[0]; i++) {
        size_t ending = strlen(endings[i]);
        if (length > ending && strcmp(file + length - ending, endings[i]) == 0) {
            length -= ending;
            break;
        }
    }
    (void)snprintf(name, size, "%.*s", (int)length, file);
}

void outcome_read(const struct result *result, enum shade shade, struct outcome *outcome)
{
    const struct column *time = table_column(&result->events, "time"); /* the last is the end */
    *outcome = (struct outcome){.done_at = NAN, .cost = NAN};
    outcome->lasts = result->events.rows > 0 ? cell(time, result->events.rows - 1) : 0.0;
    outcome_name(result->scenario_name, outcome->name, sizeof outcome->name);
    (void)snprintf(outcome->title, sizeof outcome->title, "%s", result->title);
    read_cloth(result, shade, outcome);
    read_time(result, outcome);
    read_books(result, outcome);
    read_acts(result, outcome);
}
