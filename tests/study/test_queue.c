/* test_queue.c: the queue core against the waiting times of theory, and its rules of order.
 *
 * Formulas, with a = lambda / mu and rho = a / c (compared with three independent statements of each; pages as later works
 * cite them):
 *   Erlang C: A. O. Allen, Probability, Statistics, and Queueing Theory, Academic Press, 1978, pp. 274-276
 *     C(c, a) = (a^c / c!) (c / (c - a)) / (sum_{k<c} a^k / k! + (a^c / c!) (c / (c - a))),  Wq = C / (c mu - lambda)
 *   M/D/1, Pollaczek-Khinchine: R. B. Cooper, Introduction to Queueing Theory, 2nd ed., Elsevier North Holland, 1981, p. 189
 *     Wq = rho / (2 mu (1 - rho))
 */
#include "study/queue.h"

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#define CUSTOMERS 500000
#define WARM_UP 20000 /* left out: they met an empty room */
#define REPLICATIONS 4
#define SEED 20260504UL

enum { ARRIVES, IS_SERVED };

static double erlang_c(int servers, double offered)
{
    double term = 1.0;
    double sum = 0.0;
    for (int k = 0; k < servers; k++) {
        sum += term;
        term *= offered / (k + 1);
    }
    double last = term * servers / (servers - offered);
    return last / (sum + last);
}

/* Mean wait in line of one long day. Service takes 1 on average. */
static double wait_of(int servers, double arrivals_per_time, bool constant, gsl_rng *rng)
{
    struct queue *queue;
    struct status status = queue_new(CUSTOMERS, &queue);
    assert_int_equal(status.code, STATUS_OK);
    int pool = queue_add_pool(queue, 1, servers);
    unsigned ask = 1U << pool;
    double waited = 0.0;
    int counted = 0;
    status = queue_set_timer(queue, gsl_ran_exponential(rng, 1.0 / arrivals_per_time), 0, ARRIVES);
    for (;;) {
        struct happening now = queue_next(queue);
        if (now.kind == HAPPENING_NONE) {
            break;
        }
        if (now.kind == HAPPENING_GRANTED) {
            if (now.customer >= WARM_UP) {
                waited += now.waited;
                counted++;
            }
            double service = constant ? 1.0 : gsl_ran_exponential(rng, 1.0);
            status = queue_set_timer(queue, now.time + service, now.customer, IS_SERVED);
        } else if (now.what == IS_SERVED) {
            queue_release(queue, now.customer, ask);
        } else {
            status = queue_ask(queue, now.customer, ask, -1, 0);
            assert_int_equal(status.code, STATUS_OK);
            if (now.customer + 1 < CUSTOMERS) {
                status = queue_set_timer(queue, now.time + gsl_ran_exponential(rng, 1.0 / arrivals_per_time),
                                         now.customer + 1, ARRIVES);
            }
        }
        assert_int_equal(status.code, STATUS_OK);
    }
    queue_free(queue);
    assert_int_equal(counted, CUSTOMERS - WARM_UP);
    return waited / counted;
}

static void check(const char *name, int servers, double use, bool constant, double expected)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, SEED);
    double mean = 0.0;
    double square = 0.0;
    for (int i = 0; i < REPLICATIONS; i++) {
        double wait = wait_of(servers, use * servers, constant, rng);
        mean += wait / REPLICATIONS;
        square += wait * wait / REPLICATIONS;
    }
    double error = sqrt(fmax(0.0, square - mean * mean) / (REPLICATIONS - 1));
    print_message(
        "%s, %d servers, %.0f %% in use, seed %lu: waited %.4f (standard error %.4f), theory %.4f, off by %.2f %%\n",
        name, servers, 100.0 * use, SEED, mean, error, expected, 100.0 * (mean / expected - 1.0));
    gsl_rng_free(rng);
    assert_true(fabs(mean / expected - 1.0) < 0.02);
}

static void waits_as_erlang_says(void **state)
{
    (void)state;
    /* C(1, rho) = rho; C(2, 1.2) = 0.45: worked by hand from the formula. */
    assert_true(fabs(erlang_c(1, 0.7) - 0.7) < 1e-12);
    assert_true(fabs(erlang_c(2, 1.2) - 0.45) < 1e-12);
    static const struct {
        int servers;
        double use;
    } cases[] = {{1, 0.7}, {2, 0.6}, {3, 0.7}, {9, 0.8}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        double offered = cases[i].use * cases[i].servers;
        check("M/M/c", cases[i].servers, cases[i].use, false,
              erlang_c(cases[i].servers, offered) / (cases[i].servers - offered));
    }
}

static void waits_as_pollaczek_and_khinchine_say(void **state)
{
    (void)state;
    check("M/D/1", 1, 0.5, true, 0.5);       /* 0.5 / (2 x 0.5) */
    check("M/D/1", 1, 0.7, true, 0.7 / 0.6); /* 0.7 / (2 x 0.3) */
}

/* Two pools at once, a favoured lot, a shut lot, and overtaking. */
static void serves_in_order(void **state)
{
    (void)state;
    struct queue *queue;
    assert_int_equal(queue_new(5, &queue).code, STATUS_OK);
    int vats = queue_add_pool(queue, 2, 1);
    int helper = queue_add_pool(queue, 1, 1);
    unsigned both = 1U << vats | 1U << helper;
    queue_set_open(queue, vats, 0, false);
    assert_int_equal(queue_ask(queue, 0, both, 0, 7).code, STATUS_OK);
    assert_int_equal(queue_ask(queue, 0, both, 0, 7).code, STATUS_BUG); /* he waits already */
    assert_int_equal(queue_ask(queue, 1, both, -1, 0).code, STATUS_OK);
    struct happening now = queue_next(queue);
    assert_int_equal(now.kind, HAPPENING_GRANTED);
    assert_int_equal(now.customer, 0);
    assert_int_equal(now.what, 7);
    assert_int_equal(queue_lot(queue, 0, vats), 1); /* the other lot is shut, though he favours it */
    assert_int_equal(queue_next(queue).kind, HAPPENING_NONE);
    queue_set_open(queue, vats, 0, true);
    assert_int_equal(queue_next(queue).kind, HAPPENING_NONE); /* customer 1 still wants the helper */
    assert_int_equal(queue_ask(queue, 2, 1U << vats, -1, 0).code, STATUS_OK);
    now = queue_next(queue);
    assert_int_equal(now.customer, 2); /* overtakes: wants no helper */
    assert_int_equal(queue_lot(queue, 2, vats), 0);
    queue_release(queue, 2, 1U << vats);
    queue_release(queue, 0, 1U << helper);
    now = queue_next(queue);
    assert_int_equal(now.customer, 1);
    queue_release(queue, 1, both);
    queue_release(queue, 0, both);
    assert_int_equal(queue_ask(queue, 3, 1U << vats, 1, 0).code, STATUS_OK);
    assert_int_equal(queue_next(queue).customer, 3);
    assert_int_equal(queue_lot(queue, 3, vats), 1); /* favoured before the lowest number */
    queue_free(queue);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(waits_as_erlang_says),
        cmocka_unit_test(waits_as_pollaczek_and_khinchine_say),
        cmocka_unit_test(serves_in_order),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
