/* test_many.c: many runs at once: each done once, the same for any number of threads, failures and stops in order.
 *
 * What is expected is the same work done one after another in a plain loop. Run it under ThreadSanitizer as well
 * (-DCMAKE_C_FLAGS=-fsanitize=thread), which finds what two threads do to one place.
 */
#include "study/many.h"

#include "sim/run.h"
#include "study/asking.h"
#include "study/members.h"

#include <math.h>
#include <pthread.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include <cmocka.h>

#define ITEMS 500
#define NEVER ((size_t)-1)

struct trial {
    double slot[ITEMS];
    int times[ITEMS];
    int worker[ITEMS];
    size_t fails_from, fails_until; /* items that fail */
    size_t taken;
    size_t take_fails;
    size_t stop_at; /* the item at whose taking the stop flag goes up */
    pthread_t caller;
    bool on_caller, in_order;
    volatile int stop;
    int told;
    double last_share;
};

static void pause_a_little(size_t index)
{
    struct timespec time = {.tv_nsec = (long)((index * 7919U) % 13U) * 20000L};
    (void)nanosleep(&time, NULL);
}

static struct status work(void *context, size_t index, int worker)
{
    struct trial *trial = context;
    pause_a_little(index);
    trial->times[index]++;
    trial->worker[index] = worker;
    if (index >= trial->fails_from && index < trial->fails_until) {
        return status_fail(STATUS_NUMERIC, "item %zu fails", index);
    }
    trial->slot[index] = sqrt((double)index);
    return status_ok();
}

static struct status take(void *context, size_t index)
{
    struct trial *trial = context;
    trial->on_caller = trial->on_caller && pthread_equal(pthread_self(), trial->caller) != 0;
    trial->in_order = trial->in_order && index == trial->taken && trial->times[index] == 1;
    if (index == trial->take_fails) {
        return status_fail(STATUS_IO, "item %zu finds no place", index);
    }
    trial->taken++;
    if (index == trial->stop_at) {
        __atomic_store_n(&trial->stop, 1, __ATOMIC_RELAXED);
    }
    return status_ok();
}

static void tell(void *context, double share)
{
    struct trial *trial = context;
    assert_true(share >= trial->last_share && share <= 1.0);
    trial->last_share = share;
    trial->told++;
}

static struct trial *new_trial(void)
{
    struct trial *trial = calloc(1, sizeof *trial);
    assert_non_null(trial);
    trial->fails_from = trial->fails_until = trial->take_fails = trial->stop_at = NEVER;
    trial->caller = pthread_self();
    trial->on_caller = trial->in_order = true;
    return trial;
}

static void each_item_is_done_once_in_its_place(void **state)
{
    (void)state;
    static const int threads[] = {0, 1, 2, 7, MANY_THREADS_MOST};
    for (size_t t = 0; t < sizeof threads / sizeof threads[0]; t++) {
        struct trial *trial = new_trial();
        bool done[ITEMS];
        struct many many = {.count = ITEMS,
                            .threads = threads[t],
                            .context = trial,
                            .work = work,
                            .progress = tell,
                            .progress_context = trial};
        assert_done(many_run(&many, done));
        for (size_t i = 0; i < ITEMS; i++) {
            assert_int_equal(trial->times[i], 1);
            assert_true(trial->slot[i] == sqrt((double)i));
            assert_true(done[i]);
            assert_in_range(trial->worker[i], 0, many_threads(threads[t], ITEMS) - 1);
        }
        assert_true(trial->told > 0);
        free(trial);
    }
}

static void threads_are_at_least_one_and_no_more_than_items(void **state)
{
    (void)state;
    assert_int_equal(many_threads(5, 3), 3);
    assert_int_equal(many_threads(5, 0), 1);
    assert_int_equal(many_threads(1, 100), 1);
    assert_int_equal(many_threads(100000, 100000), MANY_THREADS_MOST);
    assert_true(many_threads(0, 100) >= 1);
    struct trial *trial = new_trial();
    struct many many = {.context = trial, .work = work, .take = take, .progress = tell, .progress_context = trial};
    assert_done(many_run(&many, NULL)); /* nothing to do */
    free(trial);
}

static void items_are_taken_in_order_on_the_calling_thread(void **state)
{
    (void)state;
    static const size_t aheads[] = {0, 1, 3, 64};
    for (size_t a = 0; a < sizeof aheads / sizeof aheads[0]; a++) {
        struct trial *trial = new_trial();
        struct many many = {
            .count = ITEMS, .threads = 4, .context = trial, .work = work, .take = take, .ahead = aheads[a]};
        assert_done(many_run(&many, NULL));
        assert_int_equal(trial->taken, ITEMS);
        assert_true(trial->on_caller && trial->in_order);
        free(trial);
    }
}

/* A ring of `ahead` places is enough: no two items that are about share one. */
struct ring {
    size_t holder[5];
    bool clash;
    pthread_mutex_t lock;
};

static struct status fill_ring(void *context, size_t index, int worker)
{
    (void)worker;
    struct ring *ring = context;
    (void)pthread_mutex_lock(&ring->lock);
    ring->clash = ring->clash || ring->holder[index % 5] != NEVER;
    ring->holder[index % 5] = index;
    (void)pthread_mutex_unlock(&ring->lock);
    pause_a_little(index);
    return status_ok();
}

static struct status empty_ring(void *context, size_t index)
{
    struct ring *ring = context;
    pause_a_little(index + 3);
    (void)pthread_mutex_lock(&ring->lock);
    ring->clash = ring->clash || ring->holder[index % 5] != index;
    ring->holder[index % 5] = NEVER;
    (void)pthread_mutex_unlock(&ring->lock);
    return status_ok();
}

static void no_item_runs_too_far_ahead(void **state)
{
    (void)state;
    struct ring ring = {.holder = {NEVER, NEVER, NEVER, NEVER, NEVER}, .lock = PTHREAD_MUTEX_INITIALIZER};
    struct many many = {
        .count = ITEMS, .threads = 8, .context = &ring, .work = fill_ring, .take = empty_ring, .ahead = 5};
    assert_done(many_run(&many, NULL));
    assert_false(ring.clash);
}

struct alone {
    int inside; /* unguarded on purpose: ThreadSanitizer would tell */
    int most;
    int prepared[8][ITEMS];
};

static struct status prepare_alone(void *context, size_t index, int worker)
{
    struct alone *alone = context;
    alone->inside++;
    pause_a_little(index);
    alone->most = alone->inside > alone->most ? alone->inside : alone->most;
    alone->inside--;
    alone->prepared[worker][index] = 1;
    return index == 400 ? status_fail(STATUS_SCENARIO, "item 400 cannot be prepared") : status_ok();
}

static struct status work_prepared(void *context, size_t index, int worker)
{
    struct alone *alone = context;
    return alone->prepared[worker][index] ? status_ok() : status_fail(STATUS_BUG, "item %zu is not prepared", index);
}

static void items_are_prepared_one_at_a_time(void **state)
{
    (void)state;
    struct alone *alone = calloc(1, sizeof *alone);
    assert_non_null(alone);
    struct many many = {.count = 400, .threads = 8, .context = alone, .prepare = prepare_alone, .work = work_prepared};
    assert_done(many_run(&many, NULL));
    assert_int_equal(alone->most, 1);
    many.count = ITEMS;
    struct status status = many_run(&many, NULL);
    assert_string_equal(status.message, "item 400 cannot be prepared");
    free(alone);
}

/* ---- several items at once --------------------------------------------------------------------------------------- */

#define TOGETHER 7

static struct {
    size_t most, calls; /* items of one call; calls */
} batches;

static void note_batch(size_t count)
{
    __atomic_add_fetch(&batches.calls, 1, __ATOMIC_RELAXED);
    if (count > __atomic_load_n(&batches.most, __ATOMIC_RELAXED)) {
        __atomic_store_n(&batches.most, count, __ATOMIC_RELAXED);
    }
}

static void work_some(void *context, size_t first, size_t count, int worker, struct status *outcomes)
{
    note_batch(count);
    for (size_t i = 0; i < count; i++) {
        outcomes[i] = work(context, first + i, worker);
    }
}

static void fill_ring_with_some(void *context, size_t first, size_t count, int worker, struct status *outcomes)
{
    note_batch(count);
    for (size_t i = 0; i < count; i++) {
        outcomes[i] = fill_ring(context, first + i, worker);
    }
}

static void work_some_prepared(void *context, size_t first, size_t count, int worker, struct status *outcomes)
{
    note_batch(count);
    for (size_t i = 0; i < count; i++) {
        outcomes[i] = work_prepared(context, first + i, worker);
    }
}

static void several_at_once_come_to_the_same(void **state)
{
    (void)state;
    for (int threads = 1; threads <= 4; threads++) {
        struct trial *trial = new_trial();
        struct many many = {.count = ITEMS,
                            .threads = threads,
                            .context = trial,
                            .work_together = work_some,
                            .together = TOGETHER,
                            .take = take,
                            .ahead = 64};
        batches.most = batches.calls = 0;
        assert_done(many_run(&many, NULL));
        for (size_t i = 0; i < ITEMS; i++) {
            assert_int_equal(trial->times[i], 1);
            assert_true(trial->slot[i] == sqrt((double)i));
        }
        assert_int_equal(trial->taken, ITEMS);
        assert_true(trial->on_caller && trial->in_order);
        assert_int_equal(batches.most, TOGETHER);
        assert_in_range(batches.calls, ITEMS / TOGETHER, ITEMS / TOGETHER * 2); /* hardly fewer at once than that */
        free(trial);
    }
}

static void a_share_out_of_range_is_brought_within(void **state)
{
    (void)state;
    static const size_t shares[] = {0, 1, MANY_TOGETHER_MOST + 100};
    for (size_t i = 0; i < sizeof shares / sizeof shares[0]; i++) {
        struct trial *trial = new_trial();
        struct many many = {
            .count = ITEMS, .threads = 1, .context = trial, .work_together = work_some, .together = shares[i]};
        batches.most = 0;
        assert_done(many_run(&many, NULL));
        assert_int_equal(batches.most, shares[i] < 2 ? 1 : MANY_TOGETHER_MOST);
        free(trial);
    }
}

/* Toward the end each worker gets its share, however many may go together. */
static void the_last_items_are_shared_out(void **state)
{
    (void)state;
    struct trial *trial = new_trial();
    struct many many = {.count = 6, .threads = 3, .context = trial, .work_together = work_some, .together = TOGETHER};
    batches.most = 0;
    assert_done(many_run(&many, NULL));
    assert_int_equal(batches.most, 2);
    free(trial);
}

static void several_at_once_keep_to_their_places(void **state)
{
    (void)state;
    struct ring ring = {.holder = {NEVER, NEVER, NEVER, NEVER, NEVER}, .lock = PTHREAD_MUTEX_INITIALIZER};
    struct many many = {.count = ITEMS,
                        .threads = 4,
                        .context = &ring,
                        .work_together = fill_ring_with_some,
                        .together = 3,
                        .take = empty_ring,
                        .ahead = 5};
    assert_done(many_run(&many, NULL));
    assert_false(ring.clash);
    struct alone *alone = calloc(1, sizeof *alone);
    assert_non_null(alone);
    many = (struct many){.count = 400,
                         .threads = 8,
                         .context = alone,
                         .prepare = prepare_alone,
                         .work_together = work_some_prepared,
                         .together = TOGETHER};
    assert_done(many_run(&many, NULL));
    assert_int_equal(alone->most, 1);
    many.count = ITEMS;
    bool done[ITEMS];
    struct status status = many_run(&many, done);
    assert_string_equal(status.message, "item 400 cannot be prepared");
    for (int i = 0; i < 400; i++) { /* those that came with it are done, too */
        assert_true(done[i]);
    }
    assert_false(done[400]);
    free(alone);
}

/* ---- failures and stops ------------------------------------------------------------------------------------------ */

/* One item at a time on six threads, and several on three. */
static void the_first_failure_is_told_and_what_was_before_is_kept(void **state)
{
    (void)state;
    for (int round = 0; round < 80; round++) {
        const int first = round / 2;
        const bool one_by_one = round % 2 == 0;
        struct trial *trial = new_trial();
        trial->fails_from = (size_t)first;
        trial->fails_until = (size_t)first + 9;
        bool done[ITEMS];
        char expected[64];
        struct many many = {.count = ITEMS,
                            .threads = one_by_one ? 6 : 3,
                            .context = trial,
                            .take = take,
                            .work = work,
                            .work_together = one_by_one ? NULL : work_some,
                            .together = TOGETHER};
        struct status status = many_run(&many, done);
        (void)snprintf(expected, sizeof expected, "item %d fails", first);
        assert_int_equal(status.code, STATUS_NUMERIC);
        assert_string_equal(status.message, expected);
        assert_int_equal(trial->taken, first);
        for (int i = 0; i < first; i++) {
            assert_true(done[i]);
        }
        assert_false(done[first]);
        assert_int_equal(trial->times[ITEMS - 1], 0); /* no more were begun */
        free(trial);
    }
}

static void an_item_that_cannot_be_taken_ends_it(void **state)
{
    (void)state;
    struct trial *trial = new_trial();
    trial->take_fails = 20;
    struct many many = {.count = ITEMS, .threads = 3, .context = trial, .work = work, .take = take, .ahead = 4};
    struct status status = many_run(&many, NULL);
    assert_int_equal(status.code, STATUS_IO);
    assert_string_equal(status.message, "item 20 finds no place");
    assert_int_equal(trial->taken, 20);
    free(trial);
}

static void a_stop_keeps_what_is_done(void **state)
{
    (void)state;
    struct trial *trial = new_trial();
    bool done[ITEMS];
    trial->stop_at = 33;
    struct many many = {
        .count = ITEMS, .threads = 4, .context = trial, .work = work, .take = take, .ahead = 6, .stop = &trial->stop};
    struct status status = many_run(&many, done);
    assert_int_equal(status.code, STATUS_INTERRUPTED);
    assert_in_range(trial->taken, 34, 34 + 6);
    for (size_t i = 0; i < ITEMS; i++) {
        assert_int_equal(done[i], trial->times[i] == 1);
        assert_int_equal(done[i], i < trial->taken); /* all that is done was taken in */
    }
    free(trial);
}

/* ---- real vats -------------------------------------------------------------------------------------------------- */

#define VATS 6
struct vats {
    struct scenario *scenario;
    struct result result[VATS];
};

static struct status run_vat(void *context, size_t index, int worker)
{
    (void)worker;
    struct vats *vats = context;
    struct scenario member;
    RETURN_IF_FAILED(member_make(vats->scenario, (int)index + 1, &member));
    struct status status = run_scenario(&member, NULL, &vats->result[index]);
    scenario_free(&member);
    return status;
}

static void assert_same_table(const struct table *a, const struct table *b)
{
    assert_int_equal(a->rows, b->rows);
    assert_int_equal(a->column_count, b->column_count);
    for (size_t i = 0; i < a->column_count; i++) {
        assert_memory_equal(a->columns[i].values, b->columns[i].values, a->rows * sizeof(double));
    }
}

static void vats_are_the_same_alone_and_side_by_side(void **state)
{
    (void)state;
    struct scenario scenario;
    ask_vat(20.0, 5.0, 1.0, &scenario);
    struct vats alone = {.scenario = &scenario};
    struct vats beside = {.scenario = &scenario};
    for (size_t i = 0; i < VATS; i++) {
        assert_done(run_vat(&alone, i, 0));
    }
    struct many many = {.count = VATS, .threads = 4, .context = &beside, .work = run_vat};
    assert_done(many_run(&many, NULL));
    for (size_t i = 0; i < VATS; i++) {
        assert_same_table(&alone.result[i].series, &beside.result[i].series);
        assert_same_table(&alone.result[i].dips, &beside.result[i].dips);
        assert_same_table(&alone.result[i].events, &beside.result[i].events);
        result_free(&alone.result[i]);
        result_free(&beside.result[i]);
    }
    scenario_free(&scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_item_is_done_once_in_its_place),
        cmocka_unit_test(threads_are_at_least_one_and_no_more_than_items),
        cmocka_unit_test(items_are_taken_in_order_on_the_calling_thread),
        cmocka_unit_test(no_item_runs_too_far_ahead),
        cmocka_unit_test(items_are_prepared_one_at_a_time),
        cmocka_unit_test(several_at_once_come_to_the_same),
        cmocka_unit_test(the_last_items_are_shared_out),
        cmocka_unit_test(a_share_out_of_range_is_brought_within),
        cmocka_unit_test(several_at_once_keep_to_their_places),
        cmocka_unit_test(the_first_failure_is_told_and_what_was_before_is_kept),
        cmocka_unit_test(an_item_that_cannot_be_taken_ends_it),
        cmocka_unit_test(a_stop_keeps_what_is_done),
        cmocka_unit_test(vats_are_the_same_alone_and_side_by_side),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
