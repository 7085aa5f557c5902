/* test_abreast.c: runs that one thread goes on with in turn, a step of each together, come to what each comes to by itself, to the
 * last bit: members of a sweep, vats of other kinds, runs that fail or are stopped. */
#include "trial.h"

#include "sim/ode_lanes.h"
#include "sim/run_inside.h"
#include "support/close.h"

#include <string.h>

#define MOST 11

void __real_ode_try_steps(struct ode_lanes *lanes, struct ode *const ode[], int count);
void __wrap_ode_try_steps(struct ode_lanes *lanes, struct ode *const ode[], int count);

static struct {
    double parties, steps; /* tried together */
    volatile int *raise;   /* a stop flag that goes up after so many parties */
    double raise_after;
} seen;

void __wrap_ode_try_steps(struct ode_lanes *lanes, struct ode *const ode[], int count)
{
    seen.parties += 1.0;
    seen.steps += count;
    if (seen.raise != NULL && seen.parties >= seen.raise_after) {
        __atomic_store_n(seen.raise, 1, __ATOMIC_RELAXED);
    }
    __real_ode_try_steps(lanes, ode, count);
}

/* Heating, stirring, feeding and dyeing; `start` sets another hour, so that the days differ. */
#define WORKED(night)                                                                                                  \
    TRIAL_HEAD("4 days", "30 min")                                                                                     \
    "vat = { model = \"sugar-lime\";\n"                                                                                \
    "  vessel = { diameter = \"40 cm\"; depth = \"48 cm\"; fill = \"40 L\"; lid = \"loose\"; heater = \"1.5 kW\"; "    \
    "};\n"                                                                                                             \
    "  place = { night = \"" night "\"; day = \"21 degC\"; };\n"                                                       \
    "  water = { temperature = \"45 degC\"; alkalinity = \"150 mg/L\"; };\n"                                           \
    "  charge = ( { add = \"indigo powder\"; amount = \"200 g\"; purity = 0.40; },\n"                                  \
    "             { add = \"slaked lime\"; amount = \"400 g\"; },\n"                                                   \
    "             { add = \"fructose\"; amount = \"600 g\"; } ); };\n" TRIAL_CLOTH                                     \
    "calendar = ( { at = \"day 1 08:30\"; do = \"stir\"; },\n"                                                         \
    "  { at = \"day 2 07:00\"; do = \"heat\"; to = \"45 degC\"; },\n"                                                  \
    "  { at = \"day 2 09:00\"; do = \"dip\"; pieces = 2; soak = \"9 min\"; dips = 2; },\n"                             \
    "  { at = \"day 2 18:00\"; do = \"add\"; what = \"fructose\"; amount = \"50 g\"; },\n"                             \
    "  { at = \"day 2 18:05\"; do = \"stir\"; } );\n"

/* Runs all of them together on each kind of processor, and each by itself, and compares. */
static void compare(struct scenario *const scenarios[], size_t count, const struct run_options *options)
{
    struct result alone[MOST], together[MOST];
    struct status wanted[MOST], outcomes[MOST];
    for (size_t i = 0; i < count; i++) {
        wanted[i] = run_scenario(scenarios[i], options, &alone[i]);
    }
    for (int kind = 0; kind < LANES_KINDS; kind++) {
        if (!lanes_has((enum lanes_kind)kind)) {
            continue;
        }
        seen.parties = seen.steps = 0.0;
        run_scenarios_on((enum lanes_kind)kind, (const struct scenario *const *)scenarios, options, together, outcomes,
                         count);
        for (size_t i = 0; i < count; i++) {
            assert_int_equal(outcomes[i].code, wanted[i].code);
            assert_string_equal(outcomes[i].message, wanted[i].message);
            assert_string_equal(together[i].failure, alone[i].failure);
            trial_same_result(&alone[i], &together[i]);
            result_free(&together[i]);
        }
    }
    for (size_t i = 0; i < count; i++) {
        result_free(&alone[i]);
    }
}

/* More runs than lanes, whose constants differ as those of a sweep. */
static void members_are_the_same_alone_and_abreast(void **state)
{
    (void)state;
    struct scenario *scenarios[MOST];
    for (int i = 0; i < MOST; i++) {
        scenarios[i] = trial_read(WORKED("14 degC"));
        scenarios[i]->model.constants[K_LEUCO_PK1].nominal += 0.05 * (i - 5);
        scenarios[i]->model.constants[K_KL_STILL_20C].nominal *= 1.0 + 0.1 * i;
    }
    compare(scenarios, MOST, NULL);
    /* ... and most of their steps were tried together, most lanes taken */
    const double together = seen.steps;
    const double mean = seen.steps / seen.parties;
    struct result one = trial_run(scenarios[0]);
    assert_true(together > 0.8 * MOST * one.statistics.factorisations);
    print_message("%.0f steps of %d runs tried together, %.2f at a time\n", together, MOST, mean);
    assert_true(mean > 0.7 * LANES); /* they stay near each other in time */
    result_free(&one);
    for (int i = 0; i < MOST; i++) {
        trial_free(scenarios[i]);
    }
}

/* A vat that freezes, one that dries out, and whole ones; one with a process fewer, which cannot go with the others. */
static void unlike_runs_go_by_themselves(void **state)
{
    (void)state;
    struct scenario *scenarios[] = {trial_read(WORKED("14 degC")), trial_read(WORKED("-29 degC")),
                                    trial_read(WORKED("10 degC")), trial_read(WORKED("14 degC")),
                                    trial_read(WORKED("14 degC"))};
    const size_t count = sizeof scenarios / sizeof scenarios[0];
    scenarios[2]->model.process_on[0] = false;
    scenarios[3]->lasts = 90000.0;
    scenarios[4]->record_every = 700.0;
    struct result frozen;
    struct status status = run_scenario(scenarios[1], NULL, &frozen);
    assert_int_equal(status.code, STATUS_NUMERIC);
    result_free(&frozen);
    compare(scenarios, count, NULL);
    assert_true(seen.parties > 100.0);
    for (size_t i = 0; i < count; i++) {
        trial_free(scenarios[i]);
    }
}

/* What is not read of runs is not worked out, abreast either. */
static void few_series_are_read(void **state)
{
    (void)state;
    struct scenario *scenarios[] = {trial_read(WORKED("14 degC")), trial_read(WORKED("12 degC")),
                                    trial_read(WORKED("10 degC"))};
    const struct run_options options = {.rtol = 1e-3,
                                        .wanted = {.series = SERIES_BIT(PH) | SERIES_BIT(LEUCO), .bare_pieces = true}};
    compare(scenarios, 3, &options);
    compare(scenarios, 1, &options);
    for (int i = 0; i < 3; i++) {
        trial_free(scenarios[i]);
    }
}

static void a_stop_ends_all(void **state)
{
    (void)state;
    struct scenario *scenarios[MOST];
    struct result results[MOST];
    struct status outcomes[MOST];
    volatile int stop = 0;
    const struct run_options options = {.stop = &stop};
    for (int i = 0; i < MOST; i++) {
        scenarios[i] = trial_read(WORKED("14 degC"));
    }
    seen.parties = 0.0;
    seen.raise = &stop;
    seen.raise_after = 50.0;
    run_scenarios((const struct scenario *const *)scenarios, &options, results, outcomes, MOST);
    seen.raise = NULL;
    for (int i = 0; i < MOST; i++) {
        assert_int_equal(outcomes[i].code, STATUS_INTERRUPTED);
        assert_int_equal(results[i].status, RUN_INTERRUPTED);
        trial_ledgers_close(&results[i]);
        result_free(&results[i]);
        trial_free(scenarios[i]);
    }
    assert_true(seen.parties < 60.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(members_are_the_same_alone_and_abreast),
        cmocka_unit_test(unlike_runs_go_by_themselves),
        cmocka_unit_test(few_series_are_read),
        cmocka_unit_test(a_stop_ends_all),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
