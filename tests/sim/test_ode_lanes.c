/* test_ode_lanes.c: steps of several integrators tried at once are those of each by itself, to the last bit, on every kind of processor
 * that this one can stand for: accepted, refused and failed ones, and what is told between their ends. */
#include "problem.h"
#include "sim/ode_lanes.h"

#include "support/close.h"

#include <string.h>

#define STOP 40.0

/* Robertson's reactions, each lane from elsewhere; one lane's rates break off on the way, by a number that is none or in so many words. */
static void fill(struct trial trials[LANES], double starts[LANES][MOST])
{
    for (int lane = 0; lane < LANES; lane++) {
        trials[lane] = robertson();
        memset(starts[lane], 0, sizeof starts[lane]);
        starts[lane][0] = 1.0 - 0.05 * lane;
        starts[lane][2] = 0.05 * lane;
    }
    trials[2].broken_after = 3.0;
    trials[5].broken_after = 0.02;
    trials[5].refuse = true;
}

static void start(struct trial *trial, const double *y, struct ode **ode)
{
    *ode = problem_ode(trial, 1e-6, 1e-9);
    ok(ode_restart(*ode, 0.0, y, 0.0));
}

static void assert_same(const struct ode *a, const struct ode *b, size_t states, size_t rates)
{
    double in_a[MOST], in_b[MOST];
    const struct ode_statistics count_a = ode_statistics_of(a);
    const struct ode_statistics count_b = ode_statistics_of(b);
    assert_close(ode_time(a), ode_time(b), 0.0, 0.0);
    assert_memory_equal(ode_state(a), ode_state(b), states * sizeof(double));
    assert_memory_equal(ode_extents(a), ode_extents(b), rates * sizeof(double));
    assert_memory_equal(&count_a, &count_b, sizeof count_a);
    for (int i = 1; i < 4; i++) {
        const double t = ode_step_start(a) + 0.25 * i * (ode_time(a) - ode_step_start(a));
        ode_interpolate(a, t, in_a);
        ode_interpolate(b, t, in_b);
        assert_memory_equal(in_a, in_b, states * sizeof(double));
    }
}

static void together_as_alone_on(enum lanes_kind kind, int count)
{
    struct trial trials[2][LANES];
    double starts[LANES][MOST];
    struct ode *alone[LANES], *abreast[LANES];
    struct ode_lanes *lanes = NULL;
    bool over[LANES] = {false};
    int failed = 0, tried = 0;
    fill(trials[0], starts);
    fill(trials[1], starts);
    for (int lane = 0; lane < count; lane++) {
        start(&trials[0][lane], starts[lane], &alone[lane]);
        start(&trials[1][lane], starts[lane], &abreast[lane]);
        ode_begin_step(abreast[lane], STOP);
        assert_true(ode_is_alike(abreast[0], abreast[lane]));
    }
    ok(ode_lanes_create(abreast[0], kind, &lanes));
    for (int going = count; going > 0;) {
        struct ode *party[LANES];
        int who[LANES];
        int size = 0;
        for (int lane = 0; lane < count; lane++) {
            if (!over[lane]) {
                who[size] = lane;
                party[size++] = abreast[lane];
            }
        }
        ode_try_steps(lanes, party, size);
        tried += size;
        for (int k = 0; k < size; k++) {
            const int lane = who[k];
            bool taken;
            struct status status = ode_end_step(party[k], &taken);
            if (!taken && status_is_ok(&status)) {
                continue;
            }
            struct status wanted = ode_step(alone[lane], STOP);
            assert_int_equal(status.code, wanted.code);
            assert_string_equal(status.message, wanted.message);
            if (status_is_ok(&status)) {
                assert_same(alone[lane], abreast[lane], trials[0][lane].states, trials[0][lane].count);
            }
            failed += !status_is_ok(&status);
            over[lane] = !status_is_ok(&status) || ode_time(abreast[lane]) >= STOP;
            going -= over[lane];
            if (!over[lane]) {
                ode_begin_step(abreast[lane], STOP);
            }
        }
    }
    assert_int_equal(failed, (count > 2) + (count > 5));
    assert_true(tried > 20 * count);
    for (int lane = 0; lane < count; lane++) {
        assert_int_equal(trials[0][lane].calls, trials[1][lane].calls);
        ode_free(alone[lane]);
        ode_free(abreast[lane]);
    }
    ode_lanes_free(lanes);
}

static void together_as_alone(void **state)
{
    (void)state;
    for (int kind = 0; kind < LANES_KINDS; kind++) {
        for (int count = 1; count <= LANES && lanes_has((enum lanes_kind)kind); count++) {
            together_as_alone_on((enum lanes_kind)kind, count);
        }
    }
}

/* A step may be tried by itself again after it was tried in a lane, and the other way round. */
static void lanes_may_be_left_and_entered(void **state)
{
    (void)state;
    struct trial trials[3] = {robertson(), robertson(), robertson()};
    const double from[2][3] = {{1.0, 0.0, 0.0}, {0.9, 0.0, 0.1}};
    struct ode *alone, *in[2];
    struct ode_lanes *lanes = NULL;
    start(&trials[0], from[0], &alone);
    start(&trials[1], from[0], &in[0]);
    start(&trials[2], from[1], &in[1]);
    ok(ode_lanes_create(in[0], lanes_best(), &lanes));
    for (int i = 0; ode_time(alone) < STOP; i++) {
        bool taken = false, both[2] = {false, false};
        ode_begin_step(in[0], STOP);
        ode_begin_step(in[1], 1e3 * STOP);
        for (int tries = 0; !taken; tries++) {
            if ((i + tries) % 2 == 0) {
                ode_try_steps(lanes, in, 2);
                ok(ode_end_step(in[1], &both[1]));
            } else {
                ode_try_step(in[0]);
            }
            ok(ode_end_step(in[0], &taken));
        }
        ok(ode_step(alone, STOP));
        assert_same(alone, in[0], trials[0].states, trials[0].count);
    }
    ode_lanes_free(lanes);
    ode_free(alone);
    ode_free(in[0]);
    ode_free(in[1]);
}

static void others_are_told_apart(void **state)
{
    (void)state;
    struct trial trials[4] = {robertson(), robertson(), robertson(), robertson()};
    const double y[MOST] = {1.0};
    struct ode *ode[4];
    trials[1].terms[0][0].coefficient *= 2.0;
    trials[2].dead[2] = true;
    trials[3].count--;
    for (int i = 0; i < 4; i++) {
        start(&trials[i], y, &ode[i]);
    }
    assert_true(ode_is_alike(ode[0], ode[0]));
    assert_false(ode_is_alike(ode[0], ode[1]));
    assert_true(ode_is_alike(ode[0], ode[2]));
    assert_false(ode_is_in_step(ode[0], ode[2]));
    assert_false(ode_is_alike(ode[0], ode[3]));
    for (int i = 0; i < 4; i++) {
        ode_free(ode[i]);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(together_as_alone),
        cmocka_unit_test(lanes_may_be_left_and_entered),
        cmocka_unit_test(others_are_told_apart),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
