/* draws.c: see draws.h. */
#include "study/draws.h"

#include "process/registry.h"

#include <ctype.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_qrng.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define SOBOL_MOST 40 /* dimensions of GSL's Sobol sequence */
#define INSIDE 0.95   /* of a normal distribution lies within low to high; the rest is cut off */
#define WIDE 5.0      /* high over low beyond which a constant's range is taken in logarithms */

const char *const draw_how_words[] = {"evenly", "evenly in logarithms", "around the nominal value", NULL};

/* See DRAW_AROUND. */
static double value_around(double low, double nominal, double high, double share)
{
    if (low > 0.0 && high > WIDE * low) {
        return exp(value_around(log(low), log(nominal), log(high), share));
    }
    double outside = 0.5 - 0.5 * INSIDE;
    double deviation = gsl_cdf_ugaussian_Pinv(outside + INSIDE * share) / gsl_cdf_ugaussian_Pinv(1.0 - outside);
    return nominal + deviation * (deviation < 0.0 ? nominal - low : high - nominal);
}

double drawn_value(const struct drawn *drawn, double share)
{
    double value;
    if (drawn->how == DRAW_AROUND) {
        value = value_around(drawn->low, drawn->nominal, drawn->high, share);
    } else if (drawn->how == DRAW_EVENLY_LOGS) {
        value = drawn->low * pow(drawn->high / drawn->low, share);
    } else if (drawn->whole) {
        double count = drawn->high - drawn->low + 1.0; /* each whole number alike */
        value = drawn->low + fmin(floor(share * count), count - 1.0);
    } else {
        value = drawn->low + share * (drawn->high - drawn->low);
    }
    return fmin(fmax(value, drawn->low), drawn->high); /* round-off must not pass an end that is a limit */
}

void drawn_write(const struct drawn *drawn, double value, char text[DRAWN_OVERRIDE_SIZE])
{
    bool bare = strcmp(drawn->unit, "1") == 0;
    (void)snprintf(text, DRAWN_OVERRIDE_SIZE, "%s=%s%.17g%s%s", drawn->name, drawn->is_span ? "+" : "", value,
                   bare ? "" : " ", bare ? "" : drawn->unit);
}

void drawn_column_name(const struct table *table, const struct drawn *drawn, char name[48])
{
    char plain[36] = "drawn_";
    size_t used = strlen(plain);
    for (size_t i = 0; drawn->name[i] != '\0' && used < sizeof plain - 1; i++) {
        unsigned char letter = (unsigned char)drawn->name[i];
        plain[used++] = letter < 0x80 && isalnum(letter) ? (char)tolower(letter) : '_';
    }
    plain[used] = '\0';
    (void)snprintf(name, 48, "%s", plain);
    for (int number = 2; table_column(table, name) != NULL; number++) {
        (void)snprintf(name, 48, "%s_%d", plain, number);
    }
}

/* ---- shares ----------------------------------------------------------------------------------------------------- */

static struct status fill_sobol(size_t count, gsl_rng *random, size_t runs, double *shares)
{
    double shift[SOBOL_MOST];
    gsl_qrng *sequence = gsl_qrng_alloc(gsl_qrng_sobol, (unsigned)count);
    if (sequence == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to draw values");
    }
    for (size_t k = 0; k < count; k++) {
        shift[k] = gsl_rng_uniform(random);
    }
    for (size_t run = 0; run < runs; run++) {
        double *row = &shares[run * count];
        (void)gsl_qrng_get(sequence, row);
        for (size_t k = 0; k < count; k++) {
            row[k] = fmod(row[k] + shift[k], 1.0);
        }
    }
    gsl_qrng_free(sequence);
    return status_ok();
}

static struct status fill_hypercube(size_t count, gsl_rng *random, size_t runs, double *shares)
{
    size_t *order = malloc((runs + 1) * sizeof *order);
    if (order == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to draw values");
    }
    for (size_t k = 0; k < count; k++) {
        for (size_t run = 0; run < runs; run++) {
            order[run] = run;
        }
        gsl_ran_shuffle(random, order, runs, sizeof *order);
        for (size_t run = 0; run < runs; run++) {
            shares[run * count + k] = ((double)order[run] + gsl_rng_uniform(random)) / (double)runs;
        }
    }
    free(order);
    return status_ok();
}

static void fill_grid(const struct drawn *drawn, size_t count, size_t runs, double *shares)
{
    for (size_t run = 0; run < runs; run++) {
        size_t rest = run;
        for (size_t k = count; k-- > 0;) {
            size_t steps = (size_t)drawn[k].steps;
            shares[run * count + k] = steps > 1 ? (double)(rest % steps) / (double)(steps - 1) : 0.5;
            rest /= steps;
        }
    }
}

struct status draws_fill(const struct drawn *drawn, size_t count, bool grid, uint64_t seed, size_t runs, double *values)
{
    if (count == 0) {
        return status_ok();
    }
    if (grid) {
        fill_grid(drawn, count, runs, values);
    } else {
        gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
        if (random == NULL) {
            return status_fail(STATUS_MEMORY, "no memory left to draw values");
        }
        gsl_rng_set(random, (unsigned long)seed);
        struct status status =
            count <= SOBOL_MOST ? fill_sobol(count, random, runs, values) : fill_hypercube(count, random, runs, values);
        gsl_rng_free(random);
        RETURN_IF_FAILED(status);
    }
    for (size_t i = 0; i < runs * count; i++) {
        values[i] = drawn_value(&drawn[i % count], values[i]);
    }
    return status_ok();
}

/* ---- putting them in -------------------------------------------------------------------------------------------- */

static struct constant *fibre_constant(struct fibre *fibre, size_t field)
{
    return (struct constant *)(void *)((char *)fibre + field);
}

static void scale_spoons(struct scenario *scenario, int material, double factor)
{
    for (size_t i = 0; i < scenario->charge_count; i++) {
        struct dose *dose = &scenario->charge[i];
        dose->mass *= dose->by_volume && dose->material == material ? factor : 1.0;
    }
    for (size_t i = 0; i < scenario->event_count; i++) {
        struct dose *dose = &scenario->events[i].dose;
        bool is_dose = scenario->events[i].action == ACTION_ADD;
        dose->mass *= is_dose && dose->by_volume && dose->material == material ? factor : 1.0;
    }
}

static void set_purity(struct scenario *scenario, int material, double purity)
{
    for (size_t i = 0; i < scenario->charge_count; i++) {
        struct dose *dose = &scenario->charge[i];
        dose->purity = dose->material == material && isnan(dose->purity) ? purity : dose->purity;
    }
    for (size_t i = 0; i < scenario->event_count; i++) {
        struct dose *dose = &scenario->events[i].dose;
        bool is_dose = scenario->events[i].action == ACTION_ADD && dose->material == material;
        dose->purity = is_dose && isnan(dose->purity) ? purity : dose->purity;
    }
}

static void warm_air(struct scenario *scenario, double kelvin)
{
    for (size_t i = 0; i < scenario->place_count; i++) {
        scenario->places[i].night_K += kelvin;
        scenario->places[i].day_K += kelvin;
    }
}

void drawn_apply(const struct drawn *drawn, double value, struct scenario *scenario)
{
    switch (drawn->of) {
    case DRAW_SETTING:
        break;
    case DRAW_CONSTANT:
        scenario->model.constants[drawn->which].nominal = value;
        break;
    case DRAW_FIBRE:
        fibre_constant(&scenario->model.fibres[drawn->which], drawn->field)->nominal = value;
        break;
    case DRAW_SPOON:
        scale_spoons(scenario, drawn->which, value);
        break;
    case DRAW_PURITY:
        set_purity(scenario, drawn->which, value);
        break;
    case DRAW_ALKALINITY:
        scenario->water.alkalinity *= value;
        break;
    case DRAW_AIR:
        warm_air(scenario, value);
        break;
    case DRAW_SUGAR_LEFT:
        scenario->existing.hexose *= value;
        break;
    case DRAW_LIME_LEFT:
        scenario->existing.lime_solid *= value;
        break;
    case DRAW_INDIGO_LEFT:
        scenario->existing.indigotin *= value;
        break;
    }
}

/* ---- what is uncertain ------------------------------------------------------------------------------------------ */

bool drawn_constant(const struct model *model, const char *name, struct drawn *drawn)
{
    for (int id = 0; id < CONSTANT_COUNT; id++) {
        if (strcmp(constant_specs[id].name, name) == 0) {
            const struct constant *constant = &model->constants[id];
            bool wide = constant->low > 0.0 && constant->high > WIDE * constant->low;
            *drawn = (struct drawn){.of = DRAW_CONSTANT,
                                    .which = id,
                                    .low = constant->low,
                                    .nominal = constant->nominal,
                                    .high = constant->high,
                                    .steps = 1,
                                    .how = wide ? DRAW_EVENLY_LOGS : DRAW_EVENLY};
            (void)snprintf(drawn->name, sizeof drawn->name, "%s", name);
            (void)snprintf(drawn->unit, sizeof drawn->unit, "%s", constant_specs[id].unit);
            return true;
        }
    }
    return false;
}

/* What a dyer calls ready or green is no property of a vat, and instruments err anew in every run. */
static bool is_of_the_vat(int id)
{
    static const enum constant_id others[] = {
        K_ALKALI_SHORT_PH,   K_WORK_TEMPERATURE_LOWEST,
        K_ORP_OVER_REDUCED,  K_ORP_NOISE,
        K_STRIP_NOISE,       K_METER_NOISE,
        K_THERMOMETER_NOISE, K_LOOK_FAINT_SHARE,
        K_LOOK_BRONZE_SHARE, K_LOOK_GREEN_SHARE,
        K_USABLE_LEUCO,      K_USABLE_ORP,
        K_TEST_STRIP_SOAK,
    };
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        if ((int)others[i] == id) {
            return false;
        }
    }
    return true;
}

/* Whether only processes that the model leaves off read a constant. */
static bool is_idle(const struct model *model, int id)
{
    bool is_read = false;
    for (size_t p = 0; p < process_count(); p++) {
        const struct process *process = process_at(p);
        for (int i = 0; i < process->constant_count; i++) {
            if ((int)process->constants[i] == id) {
                if (model->process_on[p]) {
                    return false;
                }
                is_read = true;
            }
        }
    }
    return is_read;
}

struct listing {
    const struct scenario *scenario;
    struct drawn *list;
    size_t count;
};

static void list_one(struct listing *listing, enum draw_of of, int which, size_t field, double low, double nominal,
                     double high, const char *unit, const char *what, const char *whose)
{
    if (!(high > low) || !(nominal >= low) || !(nominal <= high)) {
        return;
    }
    struct drawn *drawn = &listing->list[listing->count++];
    *drawn = (struct drawn){.of = of,
                            .which = which,
                            .field = field,
                            .low = low,
                            .nominal = nominal,
                            .high = high,
                            .how = DRAW_AROUND,
                            .steps = 1};
    (void)snprintf(drawn->name, sizeof drawn->name, "%s%s%s", what, whose[0] != '\0' ? " of " : "", whose);
    (void)snprintf(drawn->unit, sizeof drawn->unit, "%s", unit);
}

static bool is_worn(const struct scenario *scenario, size_t fibre)
{
    for (size_t i = 0; i < scenario->cloth_count; i++) {
        if ((size_t)scenario->cloth[i].fibre == fibre) {
            return true;
        }
    }
    return false;
}

#define FIBRE_FIELDS(X)                                                                                                \
    X(freundlich, "kg kg-1")                                                                                           \
    X(exponent, "1")                                                                                                   \
    X(cap, "kg kg-1")                                                                                                  \
    X(half_time, "s")                                                                                                  \
    X(pickup_hand, "kg kg-1")                                                                                          \
    X(pickup_drip, "kg kg-1")                                                                                          \
    X(pickup_spin, "kg kg-1")                                                                                          \
    X(air_dry, "m3 kg-1")                                                                                              \
    X(air_wetted, "m3 kg-1")
enum {
#define FIBRE_COUNTED(field, unit) +1
    FIBRE_FIELD_COUNT = 0 FIBRE_FIELDS(FIBRE_COUNTED)
#undef FIBRE_COUNTED
};

static void list_fibres(struct listing *listing)
{
    const struct model *model = &listing->scenario->model;
    for (size_t i = 0; i < model->fibre_count; i++) {
        const struct fibre *fibre = &model->fibres[i];
        if (!is_worn(listing->scenario, i)) {
            continue;
        }
#define LIST_FIELD(name_, unit_)                                                                                       \
    list_one(listing, DRAW_FIBRE, (int)i, offsetof(struct fibre, name_), fibre->name_.low, fibre->name_.nominal,       \
             fibre->name_.high, unit_, #name_, fibre->name);
        FIBRE_FIELDS(LIST_FIELD)
#undef LIST_FIELD
    }
}

static void find_doses(const struct scenario *scenario, int material, bool *by_spoon, bool *of_unknown_purity)
{
    *by_spoon = *of_unknown_purity = false;
    for (size_t i = 0; i < scenario->charge_count + scenario->event_count; i++) {
        bool is_event = i >= scenario->charge_count;
        const struct event_spec *event = is_event ? &scenario->events[i - scenario->charge_count] : NULL;
        const struct dose *dose = is_event ? &event->dose : &scenario->charge[i];
        if ((is_event && event->action != ACTION_ADD) || dose->material != material) {
            continue;
        }
        *by_spoon = *by_spoon || dose->by_volume;
        *of_unknown_purity = *of_unknown_purity || isnan(dose->purity);
    }
}

/* The dyer's own uncertainties; sizes: spoons and purity by design, the rest estimates (docs/sweep.md). */
static void list_practice(struct listing *listing)
{
    const struct scenario *scenario = listing->scenario;
    const struct existing_vat *existing = &scenario->existing;
    for (size_t m = 0; m < scenario->model.material_count; m++) {
        const struct material *material = &scenario->model.materials[m];
        bool by_spoon;
        bool unknown;
        find_doses(scenario, (int)m, &by_spoon, &unknown);
        if (by_spoon) {
            list_one(listing, DRAW_SPOON, (int)m, 0, 0.75, 1.0, 1.25, "1", "spoonfuls", material->name);
        }
        if (unknown && material->indigotin > 0.0 && isfinite(material->purity_low)) {
            list_one(listing, DRAW_PURITY, (int)m, 0, material->purity_low, material->purity_nominal,
                     material->purity_high, "1", "purity", material->name);
        }
    }
    if (scenario->water.alkalinity > 0.0) {
        list_one(listing, DRAW_ALKALINITY, 0, 0, 0.75, 1.0, 1.25, "1", "alkalinity", "the water");
    }
    list_one(listing, DRAW_AIR, 0, 0, -2.0, 0.0, 2.0, "K", "warmth", "the air");
    if (existing->exists) {
        bool sugar = existing->hexose > 0.0;
        bool lime = existing->lime_solid > 0.0;
        list_one(listing, DRAW_SUGAR_LEFT, 0, 0, 0.5, 1.0, sugar ? 1.5 : 0.0, "1", "sugar left", "");
        list_one(listing, DRAW_LIME_LEFT, 0, 0, 0.5, 1.0, lime ? 1.5 : 0.0, "1", "lime left", "");
        list_one(listing, DRAW_INDIGO_LEFT, 0, 0, 0.75, 1.0, 1.25, "1", "indigo left", "");
    }
}

struct status drawn_uncertain(const struct scenario *scenario, struct drawn **list, size_t *count)
{
    size_t most =
        CONSTANT_COUNT + FIBRE_FIELD_COUNT * scenario->model.fibre_count + 2 * scenario->model.material_count + 8;
    struct listing listing = {.scenario = scenario, .list = calloc(most, sizeof(struct drawn))};
    *list = listing.list;
    *count = 0;
    if (listing.list == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to list what is uncertain");
    }
    for (int id = 0; id < CONSTANT_COUNT; id++) {
        const struct constant *constant = &scenario->model.constants[id];
        if (is_of_the_vat(id) && !is_idle(&scenario->model, id)) {
            list_one(&listing, DRAW_CONSTANT, id, 0, constant->low, constant->nominal, constant->high,
                     constant_specs[id].unit, constant_specs[id].name, "");
        }
    }
    list_fibres(&listing);
    list_practice(&listing);
    *count = listing.count;
    return status_ok();
}
