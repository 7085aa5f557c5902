/* test_partials.c: how each rate law and each shared value says that it moves with each thing that it reads, against differences of
 * the law itself with that one thing moved; at random liquors and where amounts are nothing or a hair below. */
#include "bench.h"

#include "process/prepare.h"
#include "process/products.h"
#include "process/surface.h"

#include "support/close.h"

#include <string.h>

#define ROUNDS 200
#define SHARE 1e-5 /* of a thing, that it is moved by */
#define STEP_PH 1e-6
#define STEP_K 1e-4
#define STEP_NOTHING 1e-9 /* mol/m3, from nothing upward */
#define STEP_NO_ION 1e-17 /* far less than the floor under which roots of ion products end */
#define ROUND_OFF 1e-12   /* of a law, and of its largest part */

enum thing { AMOUNT, ION, SHARED, VOLUME, TEMPERATURE, AIR, SUN, THING_COUNT };
static const char *const thing_names[THING_COUNT] = {"amount",      "ion", "shared value", "volume",
                                                     "temperature", "air", "sun"};
static const int thing_counts[THING_COUNT] = {STATE_COUNT, ION_COUNT, SHARED_COUNT, 1, 1, 1, 1};

/* A liquor with amounts of its own. */
struct moved {
    struct liquor liquor;
    double amount[STATE_COUNT];
};

static double *partial_of(struct partials *by, enum thing thing, int which)
{
    double *const single[THING_COUNT] = {
        [VOLUME] = &by->volume, [TEMPERATURE] = &by->temperature, [AIR] = &by->air, [SUN] = &by->sun};
    return thing == AMOUNT   ? &by->amount[which]
           : thing == ION    ? &by->ion[which]
           : thing == SHARED ? &by->shared[which]
                             : single[thing];
}

static void move(struct bench *bench, struct moved *moved, const struct liquor *from, enum thing thing, int which,
                 double by)
{
    struct liquor *l = &moved->liquor;
    *l = *from;
    memcpy(moved->amount, from->amount, sizeof moved->amount);
    l->amount = moved->amount;
    switch (thing) {
    case AMOUNT:
        moved->amount[which] += by;
        l->concentration[which] = moved->amount[which] / l->volume;
        break;
    case ION:
        *place_in(&l->ions, ion_at[which]) += by;
        break;
    case SHARED:
        *place_in(l, shared_values[which].at) += by;
        break;
    case VOLUME:
        l->volume += by;
        l->height = l->volume / l->settings->area;
        for (int s = 0; s < STATE_COUNT; s++) {
            l->concentration[s] = moved->amount[s] / l->volume;
        }
        break;
    case TEMPERATURE:
        l->temperature_K += by;
        temperature_table_read(&bench->vat.reaction.temperatures, &l->at, l->settings, l->temperature_K);
        break;
    case AIR:
        l->air_K += by;
        break;
    case SUN:
        l->sun += by;
        break;
    case THING_COUNT:
        break;
    }
}

/* How much there is of a thing that can be nothing. */
static double size_of(const struct liquor *l, enum thing thing, int which)
{
    return fabs(thing == AMOUNT   ? l->amount[which]
                : thing == ION    ? number_at(&l->ions, ion_at[which])
                : thing == SHARED ? number_at(l, shared_values[which].at)
                                  : 1.0);
}

static double step_of(const struct liquor *l, enum thing thing, int which)
{
    static const double from_nothing[THING_COUNT] = {[ION] = STEP_NO_ION, [SHARED] = STEP_NOTHING};
    const double size = size_of(l, thing, which);
    switch (thing) {
    case AMOUNT:
        return size > 0.0 ? SHARE * size : STEP_NOTHING * l->volume;
    case ION:
    case SHARED:
        return thing == ION && which == ION_PH ? STEP_PH : size > 0.0 ? SHARE * size : from_nothing[thing];
    case VOLUME:
        return SHARE * l->volume;
    case TEMPERATURE:
    case AIR:
        return STEP_K;
    default:
        return 1e-3;
    }
}

/* A law, as a number that a liquor gives. */
typedef double (*law_function)(struct liquor *liquor, const void *what);

static double rate_law(struct liquor *liquor, const void *what)
{
    return ((const struct process *)what)->rate(liquor);
}

static double shared_law(struct liquor *liquor, const void *what)
{
    lime_prepare(liquor);
    liquor->evaporation = surface_evaporation(liquor);
    surface_prepare(liquor);
    indigo_prepare(liquor);
    fermentation_prepare(liquor);
    return number_at(liquor, ((const struct shared_value *)what)->at);
}

/* Central; from nothing upward, to second order. Tells what round-off may make of it. */
static double difference(struct bench *bench, const struct liquor *l, law_function law, const void *what,
                         enum thing thing, int which, double scale, double *round_off)
{
    const double by = step_of(l, thing, which);
    const bool forward = !(size_of(l, thing, which) > 0.0);
    struct moved moved;
    move(bench, &moved, l, thing, which, 0.0);
    const double here = law(&moved.liquor, what);
    move(bench, &moved, l, thing, which, by);
    const double above = law(&moved.liquor, what);
    move(bench, &moved, l, thing, which, forward ? 2.0 * by : -by);
    const double other = law(&moved.liquor, what);
    *round_off = ROUND_OFF * fmax(fabs(here), scale) / by;
    return forward ? (4.0 * above - 3.0 * here - other) / (2.0 * by) : (above - other) / (2.0 * by);
}

/* The largest part that one thing has in a law. */
static double scale_of(const struct liquor *l, struct partials *by)
{
    double scale = 0.0;
    for (enum thing thing = AMOUNT; thing < THING_COUNT; thing++) {
        for (int which = thing == ION || thing == SHARED ? 1 : 0; which < thing_counts[thing]; which++) {
            scale = fmax(scale, fabs(*partial_of(by, thing, which)) *
                                    (thing == VOLUME ? l->volume : size_of(l, thing, which)));
        }
    }
    return scale;
}

struct tally {
    int compared, other_than_zero;
    double worst;
};

static void compare(const char *name, enum thing thing, int which, double told, double found, double round_off,
                    struct tally *tally)
{
    /* the table of temperatures and the edges of life bend within a step; evaporation is a difference itself */
    const double share = thing == TEMPERATURE || thing == AIR ? 2e-5 : 1e-6;
    const double allowed = share * fabs(found) + round_off;
    tally->compared++;
    tally->other_than_zero += found > 0.0 || found < 0.0;
    tally->worst = fmax(tally->worst, fabs(told - found) / fmax(allowed, 1e-300));
    if (!(fabs(told - found) <= allowed)) {
        fail_msg("'%s' by %s %s: told %.12g, by differences %.12g", name, thing_names[thing],
                 thing == AMOUNT   ? species_table[which].name
                 : thing == SHARED ? shared_values[which].name
                                   : "",
                 told, found);
    }
}

/* Amounts of nothing, and now and then a hair below. Reserve stays: with nothing that takes oxygen its flux has a corner, where the
 * first trace does. */
static void take_away(struct bench *bench, uint64_t *seed)
{
    for (int s = 0; s < STATE_COUNT; s++) {
        const double chance = bench_uniform(seed);
        if (s != S_WATER && s != S_HEAT && s != S_ALKALI && s != S_RESERVE && chance < 0.4) {
            bench->vat.amount[s] =
                chance < 0.1 && !species_touches_equilibrium((enum species)s) ? -1e-7 * bench->scenario.fill : 0.0;
        }
    }
}

/* A random liquor; every other one lacks some of what there could be. */
static void draw_round(struct bench *bench, int round, uint64_t *seed)
{
    bench_draw(bench, seed);
    if (round % 2 == 1) {
        take_away(bench, seed);
    }
}

static void slopes_of_factors(struct bench *bench, const struct liquor *l, struct temperature_factors *by_K)
{
    temperature_table_slopes(&bench->vat.reaction.temperatures, &l->at, l->settings, by_K);
}

static void rates_move_as_they_say(void **state)
{
    (void)state;
    uint64_t seed = 20260701;
    print_message("seed %llu\n", (unsigned long long)seed);
    struct bench *bench = bench_open(0.04, 0.1, 305.15);
    bench_all_on(bench);
    struct tally tally = {0, 0, 0.0};
    for (int round = 0; round < ROUNDS; round++) {
        draw_round(bench, round, &seed);
        struct temperature_factors by_K;
        struct moved at;
        move(bench, &at, bench_liquor(bench), VOLUME, 0, 0.0);
        slopes_of_factors(bench, &at.liquor, &by_K);
        for (size_t i = 0; i < process_count(); i++) {
            const struct process *process = process_at(i);
            struct partials by = {.volume = 0.0};
            const double value = process->rate(&at.liquor);
            process_partials(process, &at.liquor, at.amount, &by_K, value, &by);
            const double scale = scale_of(&at.liquor, &by);
            for (enum thing thing = AMOUNT; thing < THING_COUNT; thing++) {
                for (int which = thing == ION || thing == SHARED ? 1 : 0; which < thing_counts[thing]; which++) {
                    double round_off;
                    const double found =
                        difference(bench, &at.liquor, rate_law, process, thing, which, scale, &round_off);
                    compare(process->name, thing, which, *partial_of(&by, thing, which), found, round_off, &tally);
                }
            }
        }
    }
    print_message("%d partial derivatives compared, %d of them other than zero, the worst at %.2g of what is allowed\n",
                  tally.compared, tally.other_than_zero, tally.worst);
    assert_true(tally.other_than_zero > 10000);
    bench_close(bench);
}

static void shared_values_move_as_they_say(void **state)
{
    (void)state;
    uint64_t seed = 20260702;
    print_message("seed %llu\n", (unsigned long long)seed);
    struct bench *bench = bench_open(0.04, 0.1, 305.15);
    bench_all_on(bench);
    struct tally tally = {0, 0, 0.0};
    for (int round = 0; round < ROUNDS; round++) {
        draw_round(bench, round, &seed);
        const struct liquor *l = bench_liquor(bench);
        struct temperature_factors by_K;
        slopes_of_factors(bench, l, &by_K);
        static struct partials whole[SHARED_COUNT]; /* with what moves through others */
        for (int shared = SHARED_NONE + 1; shared < SHARED_COUNT; shared++) {
            const struct shared_value *value = &shared_values[shared];
            whole[shared] = (struct partials){.volume = 0.0};
            value->partials(l, &by_K, number_at(l, value->at), &whole[shared]);
            const double scale = scale_of(l, &whole[shared]);
            for (enum thing thing = AMOUNT; thing < THING_COUNT; thing++) {
                for (int which = thing == ION ? 1 : 0; which < thing_counts[thing] && thing != SHARED; which++) {
                    double *told = partial_of(&whole[shared], thing, which);
                    for (int other = SHARED_NONE + 1; other < shared; other++) {
                        *told += whole[shared].shared[other] * *partial_of(&whole[other], thing, which);
                    }
                    double round_off;
                    const double found = difference(bench, l, shared_law, value, thing, which, scale, &round_off);
                    compare(value->name, thing, which, *told, found, round_off, &tally);
                }
            }
        }
    }
    print_message("%d partial derivatives compared, %d of them other than zero, the worst at %.2g of what is allowed\n",
                  tally.compared, tally.other_than_zero, tally.worst);
    assert_true(tally.other_than_zero > 5000);
    bench_close(bench);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rates_move_as_they_say),
        cmocka_unit_test(shared_values_move_as_they_say),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
