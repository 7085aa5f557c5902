/* outcome.c: see outcome.h. */
#include "study/outcome.h"

#include "sim/series.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define LITRES_PER_M3 1000.0

/* ---- cloth ------------------------------------------------------------------------------------------------------ */

static bool wants_shade(const struct scenario *scenario, int kind, enum shade asked, enum shade *wanted)
{
    if (asked < SHADE_COUNT) {
        *wanted = asked;
        return true;
    }
    return shade_for_word(scenario->cloth[kind].target, wanted);
}

/* Variance of owf within the kinds, as a share of each kind's mean squared. */
static double spread_of(const struct table *pieces, size_t kinds)
{
    const struct column *kind = table_column(pieces, "kind");
    const struct column *dips = table_column(pieces, "dips");
    const struct column *owf = table_column(pieces, "owf_washed");
    double squares = 0.0;
    double freedom = 0.0;
    for (size_t k = 0; k < kinds; k++) {
        double count = 0.0;
        double mean = 0.0;
        double scatter = 0.0;
        for (size_t row = 0; row < pieces->rows; row++) {
            if ((size_t)kind->values[row] == k && dips->values[row] > 0.0) {
                double off = owf->values[row] - mean;
                count += 1.0;
                mean += off / count;
                scatter += off * (owf->values[row] - mean);
            }
        }
        if (count > 1.0 && mean > 0.0) {
            squares += scatter / (mean * mean);
            freedom += count - 1.0;
        }
    }
    return freedom > 0.0 ? sqrt(squares / freedom) : (double)NAN;
}

static void read_cloth(const struct scenario *scenario, const struct result *result, enum shade asked,
                       struct outcome *outcome)
{
    const struct table *pieces = &result->pieces;
    const struct column *kind = table_column(pieces, "kind");
    const struct column *mass = table_column(pieces, "mass");
    const struct column *dips = table_column(pieces, "dips");
    const struct column *owf = table_column(pieces, "owf_washed");
    const struct column *shade = table_column(pieces, "shade");
    double indigo = 0.0;
    outcome->owf_low = INFINITY;
    outcome->owf_high = -INFINITY;
    outcome->pieces = (double)pieces->rows;
    for (size_t row = 0; row < pieces->rows; row++) {
        if (!(dips->values[row] > 0.0)) {
            continue;
        }
        enum shade wanted = SHADE_HARDLY_TINTED;
        bool wants = wants_shade(scenario, (int)kind->values[row], asked, &wanted);
        double on = owf->values[row] / 100.0;
        outcome->pieces_dyed += 1.0;
        outcome->dyed += mass->values[row];
        indigo += on * mass->values[row];
        outcome->owf_low = fmin(outcome->owf_low, on);
        outcome->owf_high = fmax(outcome->owf_high, on);
        if (!wants || (int)shade->values[row] >= (int)wanted) {
            outcome->pieces_at_shade += 1.0;
            outcome->at_shade += mass->values[row];
        }
    }
    const struct column *cloth_dips = table_column(&result->series, "cloth_dips");
    outcome->cloth_dips = result->series.rows > 0 ? cloth_dips->values[result->series.rows - 1] : 0.0;
    outcome->books[BOOKED_INDIGO].served = indigo * 1000.0;
    outcome->owf_mean = outcome->dyed > 0.0 ? indigo / outcome->dyed : (double)NAN;
    outcome->owf_low = outcome->dyed > 0.0 ? outcome->owf_low : (double)NAN;
    outcome->owf_high = outcome->dyed > 0.0 ? outcome->owf_high : (double)NAN;
    outcome->spread = spread_of(pieces, scenario->cloth_count);
}

/* ---- time ------------------------------------------------------------------------------------------------------- */

static bool is_fit(int state)
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
        int now = (int)state->values[row];
        double span = row + 1 < series->rows ? time->values[row + 1] - time->values[row] : 0.0;
        outcome->was_ready = outcome->was_ready || now == VAT_READY;
        outcome->ready += now == VAT_READY ? span : 0.0;
        if (now >= 0 && now < OUTCOME_STATES && outcome->lasts > 0.0) {
            outcome->state_share[now] += span / outcome->lasts;
        }
        if (!outcome->was_ready) {
            continue;
        }
        outcome->ph_lowest = fmin(outcome->ph_lowest, ph->values[row]);
        outcome->orp_worst = fmax(outcome->orp_worst, orp->values[row]);
        if (!is_fit(now) && isnan(outcome->failed_at)) {
            outcome->failed_at = time->values[row];
            outcome->failed_state = now;
            failing = true;
        }
        failing = failing && !is_fit(now);
        outcome->failed_for += failing ? span : 0.0;
    }
    if (!outcome->was_ready && series->rows > 0) {
        outcome->failed_at = 0.0;
        outcome->failed_for = outcome->lasts;
        outcome->failed_state = (int)state->values[series->rows - 1];
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
        sum += row_is_among(ledger->row_names, row, words) ? fabs(amount->values[row]) : 0.0;
    }
    return sum;
}

static void read_book(const struct table *ledger, struct book *book)
{
    const struct column *amount = table_column(ledger, "amount");
    const struct column *part = table_column(ledger, "part");
    for (size_t row = 0; row < ledger->rows; row++) {
        bool is_left = part->values[row] >= 2.0; /* "in out left" */
        book->used += !is_left && amount->values[row] > 0.0 ? amount->values[row] : 0.0;
        book->left += is_left ? amount->values[row] : 0.0;
    }
}

static void read_books(const struct result *result, struct outcome *outcome)
{
    static const char *const ledgers[BOOKED_COUNT] = {"indigo", "hexose", "lime", "water"};
    static const char *const serving[BOOKED_COUNT][4] = {
        {NULL},
        {"reduced_indigo", NULL},
        {"acids_of_reducing", "acids_of_breakdown", "acids_of_air", NULL},
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

static void read_acts(const struct scenario *scenario, const struct result *result, struct outcome *outcome)
{
    const struct table *events = &result->events;
    const struct column *action = table_column(events, "action");
    const struct column *source = table_column(events, "source");
    const struct column *done = table_column(events, "done");
    for (size_t row = 0; row < events->rows; row++) {
        int act = (int)action->values[row];
        if (act < 0 || act >= ACTION_COUNT || !(source->values[row] >= 0.0)) {
            continue; /* what the run adds by itself is nobody's work */
        }
        const struct event_spec *spec = &scenario->events[(size_t)source->values[row]];
        bool was_done = done->values[row] > 0.0;
        outcome->acts[act] += was_done;
        outcome->care += was_done && is_care((enum action)act);
        outcome->looks += spec->condition_count > 0 || (was_done && act == ACTION_READ);
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

static void read_cost(const struct scenario *scenario, const struct result *result, const struct price *prices,
                      size_t price_count, struct outcome *outcome)
{
    const struct table *events = &result->events;
    const struct column *action = table_column(events, "action");
    const struct column *source = table_column(events, "source");
    const struct column *mass = table_column(events, "mass");
    outcome->cost = NAN;
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
            if ((int)action->values[row] == ACTION_ADD && source->values[row] >= 0.0 && mass->values[row] > 0.0 &&
                (size_t)scenario->events[(size_t)source->values[row]].dose.material == m) {
                kg += mass->values[row];
            }
        }
        double price = price_of(scenario->model.materials[m].name, prices, price_count);
        outcome->unpriced += kg > 0.0 && isnan(price);
        outcome->cost += kg > 0.0 && !isnan(price) ? kg * price : 0.0;
    }
}

static void name_of_path(const char *path, char *name, size_t size)
{
    const char *slash = strrchr(path, '/');
    const char *file = slash != NULL ? slash + 1 : path;
    size_t length = strlen(file);
    length -= length > 5 && strcmp(file + length - 5, ".conf") == 0 ? 5 : 0;
    (void)snprintf(name, size, "%.*s", (int)length, file);
}

void outcome_read(const struct scenario *scenario, const struct result *result, enum shade shade,
                  const struct price *prices, size_t price_count, struct outcome *outcome)
{
    *outcome = (struct outcome){.lasts = scenario->lasts};
    name_of_path(scenario->path, outcome->name, sizeof outcome->name);
    (void)snprintf(outcome->title, sizeof outcome->title, "%s", scenario->title);
    read_cloth(scenario, result, shade, outcome);
    read_time(result, outcome);
    read_books(result, outcome);
    read_acts(scenario, result, outcome);
    read_cost(scenario, result, prices, price_count, outcome);
}
