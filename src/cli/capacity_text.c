/* capacity_text.c: see capacity_text.h. */
#include "cli/capacity_text.h"

#include "chem/physics.h"
#include "cli/json.h"
#include "cli/text.h"
#include "sim/series.h"
#include "study/summary_words.h"

#include <math.h>
#include <stddef.h>
#include <stdio.h>

#define INDENT 9
#define USEFUL_GAIN 0.005

static void print_line(const char *label, struct text *text)
{
    struct text_style plain = {.width = TEXT_WIDTH};
    text_print_wrapped(stdout, &plain, label, INDENT, text_string(text), TEXT_WIDTH, "");
    text_clear(text);
}

/* "5.9 kg (4.1 to 7.9)" */
static void add_span(struct text *text, const struct span *span)
{
    text_add(text, "%.1f kg", span->nominal);
    if (!isnan(span->low)) {
        text_add(text, " (%.1f to %.1f)", span->low, span->high);
    }
}

/* ---- words ------------------------------------------------------------------------------------------------------ */

static const char *const want_phrases[LIMIT_COUNT] = {
    [LIMIT_LEUCO] = "leuco: there is not more indigo in reach",
    [LIMIT_SUGAR] = "sugar: indigo is reduced too slowly to keep up",
    [LIMIT_LIME] = "lime: the liquor turns too mild to reduce",
    [LIMIT_TEMPERATURE] = "temperature: the vat cools while it works",
    [LIMIT_AIR] = "air: what surface, cloth and drops let in takes leuco back",
    [LIMIT_SEDIMENT] = "sediment: it holds leuco, or is whirled up",
    [LIMIT_VOLUME] = "volume: the liquor holds no more cloth at once",
};

static void print_session(const struct capacity_answer *answer, struct text *text)
{
    const struct capacity *c = &answer->capacity;
    const struct period_capacity *session = &c->session;
    if (!(session->load > 0.0)) {
        char state[WORD_SIZE];
        word_of_list(STATE_WORDS, session->state, state);
        text_add(text, "none: hardly dipped, the vat is %s; a dip takes %.0f %% of the first", state,
                 100.0 * session->worst_share);
        print_line("Session", text);
        return;
    }
    add_span(text, &session->cloth_dips);
    text_add(text, " of cloth-dips before it must rest: %d loads of %.0f g in %.1f h, %.0f g for each litre of liquor",
             session->loads, session->load * 1000.0, ((session->loads - 1) * c->plan.every + c->plan.soak) / 3600.0,
             session->cloth_dips.nominal / c->plan.volume);
    if (session->capped) {
        text_add(text, "; the last dip still takes %.0f %% of the first", 100.0 * session->worst_share);
    } else {
        text_add(text, "; the palest dip takes %.0f %% of the first, %.1f g/kg", 100.0 * session->worst_share,
                 session->first_taken * 1000.0);
    }
    print_line("Session", text);
}

/* Wants in order of what their absence would gain. */
static void add_wants(struct text *text, const struct period_capacity *period)
{
    bool told[LIMIT_COUNT] = {false};
    text_add(text, "%s", want_phrases[period->limit]);
    struct text gains = {0};
    for (int n = 0; n < 3; n++) {
        int best = -1;
        for (int i = 0; i < LIMIT_VOLUME; i++) {
            if (!told[i] && period->gain[i] > USEFUL_GAIN && (best < 0 || period->gain[i] > period->gain[best])) {
                best = i;
            }
        }
        if (best >= 0) {
            told[best] = true;
            text_join(&gains, ", ", "%s +%.0f", limit_words[best], 100.0 * period->gain[best]);
        }
    }
    if (gains.size > 0) {
        text_add(text, " (the palest dip would gain, in points of %%: %s)", text_string(&gains));
    }
    text_free(&gains);
}

static void print_wants(const struct capacity *c, struct text *text)
{
    add_wants(text, &c->session);
    print_line("Limit", text);
    if (c->week.limit != c->session.limit && c->week.load > 0.0) {
        text_add(text, "in a week, ");
        add_wants(text, &c->week);
        print_line("", text);
    }
}

static void print_rest(const struct capacity *c, struct text *text)
{
    if (isnan(c->rest)) {
        text_add(text, "after it, more than two days; look what ails the vat");
    } else {
        text_add(text,
                 "%.1f h after it, fed and stirred, until the vat is nine tenths of the way back; it comes to %.0f %% "
                 "of its leuco",
                 c->rest / 3600.0, 100.0 * c->rest_comes_to);
    }
    print_line("Rest", text);
}

static void print_longer(const struct capacity_answer *answer, struct text *text)
{
    const struct capacity *c = &answer->capacity;
    add_span(text, &c->week.cloth_dips);
    text_add(text, " of cloth-dips in %d sessions, loads of %.0f g", c->week.sessions, c->week.load * 1000.0);
    print_line("Week", text);
    text_add(text, "%s", c->indigo_is_longer ? "more than " : "");
    add_span(text, &c->needs_indigo);
    text_add(text,
             " of cloth-dips at the week's pace until a rested, fed vat takes less than %.0f %% in its first dip "
             "(%.0f days): then it wants indigo",
             100.0 * answer->question.keep, c->days_to_indigo);
    print_line("Indigo", text);
    text_add(text, "%s", c->life_is_longer ? "more than " : "");
    add_span(text, &c->life);
    text_add(text, " of cloth-dips with no more indigo, until it takes less than %.0f %% of it (%.0f days)",
             100.0 * CAPACITY_LIFE_END, c->days_of_life);
    print_line("Life", text);
}

/* How many pieces of the scenario's cloth so many kg are. */
static double pieces_of(const struct capacity_answer *answer, double kg)
{
    return floor(kg / answer->scenario->cloth[answer->question.kind].each + 1e-9);
}

static void print_shade(const struct capacity_answer *answer, struct text *text)
{
    const struct capacity *c = &answer->capacity;
    const struct shade_capacity *shade = &c->shade;
    const struct cloth_kind *cloth = &answer->scenario->cloth[answer->question.kind];
    const char *name = shade_name(answer->question.shade);
    if (shade->first_dips == 0) {
        text_add(text, "%s is not reached in this vat at the week's pace", name);
        print_line("Shade", text);
        return;
    }
    double in_session = c->session.cloth_dips.nominal / shade->first_dips;
    text_add(text, "%s takes %d dip%s: %.1f kg of cloth in a session (%.0f of '%s'), %.1f kg in a week (%.0f); ", name,
             shade->first_dips, shade->first_dips > 1 ? "s" : "", in_session, pieces_of(answer, in_session),
             cloth->name, shade->in_week, pieces_of(answer, shade->in_week));
    text_add(text, "%s", shade->is_longer ? "more than " : "");
    add_span(text, &shade->at_shade);
    text_add(text, " in %.0f days, until a lot takes %.0f times the dips of the first", shade->days, CAPACITY_GIVE_UP);
    if (!isnan(c->powder_mass)) {
        text_add(text, ": %.2f kg for each 100 g of the powder", 0.1 * shade->at_shade.nominal / c->powder_mass);
    }
    print_line("Shade", text);
}

static void add_days(struct text *text, double days)
{
    if (isinf(days)) {
        text_add(text, "never");
    } else {
        text_add(text, "%.0f", days);
    }
}

/* The cloth that the scenario has. */
static void print_job(const struct capacity_answer *answer, struct text *text)
{
    const struct shade_capacity *shade = &answer->capacity.shade;
    const struct cloth_kind *cloth = &answer->scenario->cloth[answer->question.kind];
    text_add(text, "%d of '%s', %.1f kg, ", cloth->count, cloth->name, shade->job);
    if (isinf(shade->job_days.nominal)) {
        text_add(text, "are more than this vat brings to %s without more indigo", shade_name(answer->question.shade));
    } else {
        text_add(text, "have it after %.0f day%s of dyeing", shade->job_days.nominal,
                 shade->job_days.nominal > 1.0 ? "s" : "");
    }
    if (!isnan(shade->job_days.low)) {
        text_add(text, " (");
        add_days(text, shade->job_days.low);
        text_add(text, " to ");
        add_days(text, shade->job_days.high);
        text_add(text, ")");
    }
    print_line("Cloth", text);
}

static void print_table(const struct capacity_answer *answer)
{
    if (answer->weights == 0) {
        return;
    }
    printf("\nkg of cloth at the shade from one session (dips), over the weight of the cloth\n%-14s", "");
    for (int i = 0; i < answer->weights; i++) {
        printf("%9.0f g/m2", answer->by_weight[i].fabric * 1000.0);
    }
    printf("\n");
    for (int shade = SHADE_PALEST; shade < SHADE_NEAR_BLACK; shade++) {
        printf("%-14s", shade_name((enum shade)shade));
        for (int i = 0; i < answer->weights; i++) {
            double dips = answer->by_weight[i].dips_to[shade];
            if (isnan(dips)) {
                printf("%14s", "-");
            } else {
                printf("%9.2f (%2.0f)", answer->by_weight[i].cloth_dips / dips, dips);
            }
        }
        printf("\n");
    }
}

void capacity_print(const struct capacity_answer *answer)
{
    const struct scenario *scenario = answer->scenario;
    const struct capacity *c = &answer->capacity;
    const struct cloth_kind *cloth = &scenario->cloth[answer->question.kind];
    struct text text = {0};
    text_add(&text,
             "%s: %.0f L with %.0f g of indigotin; %s of %s, %.0f g/m2, %.0f min every %.0f min, from day %.0f, %.0f C",
             scenario->title, c->plan.volume * 1000.0, c->indigo_mass * 1000.0, cloth->name,
             scenario->model.fibres[cloth->fibre].name, cloth->fabric * 1000.0, c->plan.soak / 60.0,
             c->plan.every / 60.0, floor(c->plan.begin / 86400.0) + 1.0, c->plan.warmth_K - CELSIUS_ZERO);
    struct text_style plain = {.width = TEXT_WIDTH};
    text_print_wrapped(stdout, &plain, "", 0, text_string(&text), TEXT_WIDTH, "");
    text_clear(&text);
    printf("\n");
    print_session(answer, &text);
    if (c->session.load > 0.0) {
        print_wants(c, &text);
        print_rest(c, &text);
        print_longer(answer, &text);
        print_shade(answer, &text);
        print_job(answer, &text);
    }
    if (answer->question.members > 0) {
        text_add(&text,
                 "in brackets, the lowest and highest of %d vats from the ranges of what is uncertain, those of %d "
                 "drawn that "
                 "are fit when work begins",
                 c->members, c->drawn);
        print_line("Range", &text);
    }
    text_add(&text, "lime burns eyes and skin: sealed goggles, gloves, lime into water and never water onto dry lime");
    print_line("Care", &text);
    print_table(answer);
    text_free(&text);
}

/* ---- for other programs ----------------------------------------------------------------------------------------- */

static const struct {
    const char *name;
    size_t offset;
} spans[] = {
    {"cloth_dips_of_session", offsetof(struct capacity, session.cloth_dips)},
    {"cloth_dips_of_week", offsetof(struct capacity, week.cloth_dips)},
    {"cloth_dips_until_indigo", offsetof(struct capacity, needs_indigo)},
    {"cloth_dips_of_life", offsetof(struct capacity, life)},
    {"cloth_at_shade", offsetof(struct capacity, shade.at_shade)},
};

static const struct span *span_at(const struct capacity *capacity, size_t i)
{
    return (const struct span *)(const void *)((const char *)capacity + spans[i].offset);
}

static void print_cell(double value)
{
    printf(isfinite(value) ? ",%.6g" : ",", value);
}

void capacity_print_csv(const struct capacity_answer *answer)
{
    const struct capacity *c = &answer->capacity;
    printf("what,most_likely (kg),low (kg),high (kg)\r\n");
    for (size_t i = 0; i < sizeof spans / sizeof spans[0]; i++) {
        const struct span *span = span_at(c, i);
        printf("%s", spans[i].name);
        print_cell(span->nominal);
        print_cell(span->low);
        print_cell(span->high);
        printf("\r\n");
    }
    if (answer->weights > 0) {
        printf("\r\nshade,fabric (g/m2),dips (1),at_shade_in_a_session (kg)\r\n");
    }
    for (int i = 0; i < answer->weights; i++) {
        for (int shade = SHADE_PALEST; shade < SHADE_COUNT; shade++) {
            printf("%s,%.6g", shade_name((enum shade)shade), answer->by_weight[i].fabric * 1000.0);
            print_cell(answer->by_weight[i].dips_to[shade]);
            print_cell(answer->by_weight[i].cloth_dips / answer->by_weight[i].dips_to[shade]);
            printf("\r\n");
        }
    }
}

static void add_period(json_t *tree, const char *name, const struct period_capacity *period)
{
    char state[WORD_SIZE];
    json_t *object = json_put_object(tree, name);
    word_of_list(STATE_WORDS, period->state, state);
    json_put_number(object, "cloth_dips_kg", period->cloth_dips.nominal);
    json_put_number(object, "low_kg", period->cloth_dips.low);
    json_put_number(object, "high_kg", period->cloth_dips.high);
    json_put_number(object, "load_kg", period->load);
    json_put_number(object, "loads", period->loads);
    json_put_number(object, "sessions", period->sessions);
    json_put_number(object, "palest_share", period->worst_share);
    json_put_text(object, "state", state);
    json_put_text(object, "limit", limit_words[period->limit]);
    json_t *gains = json_put_object(object, "gain_without_want");
    for (int i = 0; i < LIMIT_VOLUME; i++) {
        json_put_number(gains, limit_words[i], period->gain[i]);
    }
}

static json_t *add_span_json(json_t *tree, const char *name, const struct span *span, double days, bool is_longer)
{
    json_t *object = json_put_object(tree, name);
    json_put_number(object, "kg", span->nominal);
    json_put_number(object, "low_kg", span->low);
    json_put_number(object, "high_kg", span->high);
    json_put_number(object, "days", days);
    json_put_bool(object, "is_lower_bound", is_longer);
    return object;
}

static void add_shade_json(json_t *tree, const struct capacity_answer *answer)
{
    const struct shade_capacity *shade = &answer->capacity.shade;
    json_t *object = add_span_json(tree, "at_shade", &shade->at_shade, shade->days, shade->is_longer);
    json_put_text(object, "shade", shade_name(answer->question.shade));
    json_put_number(object, "dips", shade->first_dips);
    json_put_number(object, "in_week_kg", shade->in_week);
    json_put_number(object, "per_100_g_kg", 0.1 * shade->at_shade.nominal / answer->capacity.powder_mass);
    json_put_number(object, "cloth_kg", shade->job);
    json_put_number(object, "cloth_days", shade->job_days.nominal);
    json_put_number(object, "cloth_days_low", shade->job_days.low);
    json_put_number(object, "cloth_days_high", shade->job_days.high);
}

struct status capacity_print_json(const struct capacity_answer *answer)
{
    const struct capacity *c = &answer->capacity;
    json_t *tree = json_object();
    json_put_text(tree, "title", answer->scenario->title);
    json_put_number(tree, "volume_L", c->plan.volume * 1000.0);
    json_put_number(tree, "indigotin_g", c->indigo_mass * 1000.0);
    json_put_number(tree, "keep", answer->question.keep);
    json_put_number(tree, "members", c->members);
    json_put_number(tree, "members_drawn", c->drawn);
    add_period(tree, "session", &c->session);
    json_put_number(tree, "rest_h", c->rest / 3600.0);
    json_put_number(tree, "rest_comes_to", c->rest_comes_to);
    add_period(tree, "week", &c->week);
    add_span_json(tree, "until_indigo", &c->needs_indigo, c->days_to_indigo, c->indigo_is_longer);
    add_span_json(tree, "life", &c->life, c->days_of_life, c->life_is_longer);
    add_shade_json(tree, answer);
    json_t *table = json_put_list(tree, "by_weight");
    for (int i = 0; i < answer->weights; i++) {
        json_t *row = json_object();
        json_put_number(row, "fabric_g_per_m2", answer->by_weight[i].fabric * 1000.0);
        json_put_number(row, "cloth_dips_kg", answer->by_weight[i].cloth_dips);
        json_t *kilograms = json_put_object(row, "at_shade_kg");
        for (int shade = SHADE_PALEST; shade < SHADE_COUNT; shade++) {
            json_put_number(kilograms, shade_name((enum shade)shade),
                            answer->by_weight[i].cloth_dips / answer->by_weight[i].dips_to[shade]);
        }
        (void)json_array_append_new(table, row);
    }
    return json_print(tree);
}
