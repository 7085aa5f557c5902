/* test_class.c: a class at one bucket and at three, by the queue alone.
 *
 * Practice, section 8, row 22 (estimates of common practice, no source): 12 people with two pieces of three dips each on
 * one bucket take three hours and more, or wait over forty minutes; on three buckets 60 to 90 minutes. Section 5.3: three
 * pieces in a bucket of 18 L at a time, six minutes of dip and two to three of handling.
 */
#include "study/asking.h"
#include "study/queue.h"

#include <math.h>

#define PEOPLE 12
#define PIECES 2
#define DIPS 3
#define PLACES 3
#define DIP (8.5 * 60.0)  /* s, with handling */
#define AIR (10.0 * 60.0) /* s; practice: 10 to 20 min */
#define COMING (10.0 * 60.0)

enum { COMES, IS_OUT };

struct day {
    double lasts, wait_most; /* s */
};

/* Every piece comes with its owner, dips, airs and asks again. */
static struct day class_at(int buckets)
{
    struct queue *queue;
    struct day day = {0.0, 0.0};
    int dips[PEOPLE * PIECES] = {0};
    assert_done(queue_new(PEOPLE * PIECES, &queue));
    int pool = queue_add_pool(queue, buckets, PLACES);
    for (int piece = 0; piece < PEOPLE * PIECES; piece++) {
        assert_done(queue_set_timer(queue, floor((double)piece / PIECES) * COMING / PEOPLE, piece, COMES));
    }
    for (;;) {
        struct happening now = queue_next(queue);
        if (now.kind == HAPPENING_NONE) {
            break;
        }
        if (now.kind == HAPPENING_GRANTED) {
            day.wait_most = fmax(day.wait_most, now.waited);
            assert_done(queue_set_timer(queue, now.time + DIP, now.customer, IS_OUT));
        } else if (now.what == COMES) {
            assert_done(queue_ask(queue, now.customer, 1u << pool, -1, 0));
        } else {
            queue_release(queue, now.customer, 1u << pool);
            day.lasts = now.time;
            if (++dips[now.customer] < DIPS) {
                assert_done(queue_set_timer(queue, now.time + AIR, now.customer, COMES));
            }
        }
    }
    for (int piece = 0; piece < PEOPLE * PIECES; piece++) {
        assert_int_equal(dips[piece], DIPS);
    }
    queue_free(queue);
    print_message("%d bucket%s: %.0f min, longest wait %.0f min\n", buckets, buckets > 1 ? "s" : "", day.lasts / 60.0,
                  day.wait_most / 60.0);
    return day;
}

static void one_bucket_and_three(void **state)
{
    (void)state;
    struct day one = class_at(1);
    struct day three = class_at(3);
    assert_true(one.lasts >= 3.0 * 3600.0 || one.wait_most > 40.0 * 60.0);
    assert_between(three.lasts / 60.0, 60.0, 90.0);
    /* One bucket is never idle: 72 dips, three at a time (the first three wait for nobody). */
    assert_close(one.lasts, (double)PEOPLE * PIECES * DIPS / PLACES * DIP, 0.01, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(one_bucket_and_three)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
