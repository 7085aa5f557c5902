/* test_calendar.c: what is still to happen comes in order: by time, then rank, then the order of the file. */
#include "sim/calendar.h"

#include "support/close.h"

#include <stdint.h>
#include <stdlib.h>

static void put(struct calendar *calendar, double time, enum entry_kind kind, int index, long order)
{
    struct status status = calendar_put(calendar, time, kind, index, order);
    assert_true(status_is_ok(&status));
}

static void take(struct calendar *calendar, double time, enum entry_kind kind, int index)
{
    struct entry entry;
    assert_close(calendar_next_time(calendar), time, 0.0, 0.0);
    assert_true(calendar_take(calendar, &entry));
    assert_close(entry.time, time, 0.0, 0.0);
    assert_int_equal(entry.kind, kind);
    assert_int_equal(entry.index, index);
}

static void an_empty_calendar_has_nothing(void **state)
{
    (void)state;
    struct calendar calendar = {0};
    struct entry entry;
    assert_true(isinf(calendar_next_time(&calendar)) && calendar_next_time(&calendar) > 0.0);
    assert_false(calendar_take(&calendar, &entry));
    calendar_drop(&calendar, ENTRY_EVENT);
    calendar_free(&calendar);
    calendar_free(&calendar);
}

static void earlier_comes_first(void **state)
{
    (void)state;
    struct calendar calendar = {0};
    put(&calendar, 30.0, ENTRY_EVENT, 3, 0);
    put(&calendar, 10.0, ENTRY_EVENT, 1, 1);
    put(&calendar, 20.0, ENTRY_CLOTH_OUT, 2, 2);
    put(&calendar, 0.0, ENTRY_EVENT, 0, 3);
    take(&calendar, 0.0, ENTRY_EVENT, 0);
    take(&calendar, 10.0, ENTRY_EVENT, 1);
    take(&calendar, 20.0, ENTRY_CLOTH_OUT, 2);
    take(&calendar, 30.0, ENTRY_EVENT, 3);
    calendar_free(&calendar);
}

/* At one time things end before things begin: cloth out, cloth free, stirring's end, heater's end, the next dip,
 * events. */
static void rank_decides_at_one_time(void **state)
{
    (void)state;
    struct calendar calendar = {0};
    put(&calendar, 5.0, ENTRY_EVENT, 0, 0);
    put(&calendar, 5.0, ENTRY_CLOTH_IN, 1, 0);
    put(&calendar, 5.0, ENTRY_HOLD_END, 2, 0);
    put(&calendar, 5.0, ENTRY_STIR_END, 3, 0);
    put(&calendar, 5.0, ENTRY_CLOTH_FREE, 4, 0);
    put(&calendar, 5.0, ENTRY_CLOTH_OUT, 5, 0);
    take(&calendar, 5.0, ENTRY_CLOTH_OUT, 5);
    take(&calendar, 5.0, ENTRY_CLOTH_FREE, 4);
    take(&calendar, 5.0, ENTRY_STIR_END, 3);
    take(&calendar, 5.0, ENTRY_HOLD_END, 2);
    take(&calendar, 5.0, ENTRY_CLOTH_IN, 1);
    take(&calendar, 5.0, ENTRY_EVENT, 0);
    calendar_free(&calendar);
}

static void order_of_the_file_decides_at_last(void **state)
{
    (void)state;
    struct calendar calendar = {0};
    for (int i = 0; i < 20; i++) {
        int place = (i * 7) % 20; /* every number once, out of order */
        put(&calendar, 5.0, ENTRY_EVENT, place, place);
    }
    for (int i = 0; i < 20; i++) {
        take(&calendar, 5.0, ENTRY_EVENT, i);
    }
    calendar_free(&calendar);
}

/* Six times 5.498 min from 15 min on and twice 8.494 min from 31 min on are one moment, 47.988 min, and differ in the last digit. */
static void one_moment_is_one_time(void **state)
{
    (void)state;
    struct calendar calendar = {0};
    double wraps = 900.0;
    double stirs = 1860.0;
    for (int i = 0; i < 6; i++) {
        wraps += 60.0 * 5.498;
    }
    for (int i = 0; i < 2; i++) {
        stirs += 60.0 * 8.494;
    }
    assert_true(wraps > stirs);
    put(&calendar, stirs, ENTRY_EVENT, 3, 3);
    put(&calendar, wraps, ENTRY_EVENT, 1, 1);
    put(&calendar, wraps + 2e-6, ENTRY_EVENT, 0, 0);
    take(&calendar, 2879.28, ENTRY_EVENT, 1);
    take(&calendar, 2879.28, ENTRY_EVENT, 3);
    take(&calendar, 2879.280002, ENTRY_EVENT, 0);
    calendar_free(&calendar);
}

static void dropped_kinds_are_gone_and_the_rest_in_order(void **state)
{
    (void)state;
    struct calendar calendar = {0};
    for (int i = 0; i < 60; i++) {
        put(&calendar, (i * 37) % 60, i % 3 == 0 ? ENTRY_STIR_END : ENTRY_EVENT, (i * 37) % 60, i);
    }
    calendar_drop(&calendar, ENTRY_STIR_END);
    assert_int_equal(calendar.count, 40);
    double last = -1.0;
    struct entry entry;
    for (int i = 0; i < 40; i++) {
        assert_true(calendar_take(&calendar, &entry));
        assert_int_equal(entry.kind, ENTRY_EVENT);
        assert_true(entry.time > last);
        last = entry.time;
    }
    assert_false(calendar_take(&calendar, &entry));
    calendar_free(&calendar);
}

static uint32_t draw(uint64_t *seed)
{
    *seed = *seed * 6364136223846793005ULL + 1442695040888963407ULL;
    return (uint32_t)(*seed >> 33);
}

static int compare(const void *left, const void *right)
{
    const struct entry *a = left;
    const struct entry *b = right;
    if (a->time < b->time || a->time > b->time) {
        return a->time < b->time ? -1 : 1;
    }
    if (a->kind != b->kind) {
        return a->kind < b->kind ? -1 : 1;
    }
    return a->order < b->order ? -1 : a->order > b->order;
}

/* Dropping a kind at random leaves the rest as qsort would put them. */
static void random_drops_leave_the_rest_sorted(void **state)
{
    (void)state;
    uint64_t seed = 20260303;
    print_message("seed %llu\n", (unsigned long long)seed);
    for (int round = 0; round < 200; round++) {
        struct calendar calendar = {0};
        struct entry kept[100] = {0};
        int count = 0;
        enum entry_kind dropped = (enum entry_kind)(draw(&seed) % (ENTRY_EVENT + 1));
        for (int i = 0; i < 100; i++) {
            struct entry entry = {.time = (double)(draw(&seed) % 50),
                                  .kind =
                                      draw(&seed) % 3 == 0 ? ENTRY_EVENT : (enum entry_kind)(draw(&seed) % ENTRY_EVENT),
                                  .index = i,
                                  .order = i};
            put(&calendar, entry.time, entry.kind, i, i);
            if (entry.kind != dropped) {
                kept[count++] = entry;
            }
        }
        calendar_drop(&calendar, dropped);
        qsort(kept, (size_t)count, sizeof kept[0], compare);
        for (int i = 0; i < count; i++) {
            take(&calendar, kept[i].time, kept[i].kind, kept[i].index);
        }
        assert_int_equal(calendar.count, 0);
        calendar_free(&calendar);
    }
}

/* Thousands of entries put in at random, some taken in between, come out as qsort would put them. */
static void random_entries_come_sorted(void **state)
{
    (void)state;
    uint64_t seed = 20260302;
    print_message("seed %llu\n", (unsigned long long)seed);
    for (int round = 0; round < 50; round++) {
        struct calendar calendar = {0};
        struct entry entries[600] = {0};
        int count = 1 + (int)(draw(&seed) % 600);
        for (int i = 0; i < count; i++) { /* few times, so that many are equal; `order` is unique */
            entries[i] = (struct entry){.time = (double)(draw(&seed) % 40) * 0.5,
                                        .kind = (enum entry_kind)(draw(&seed) % (ENTRY_EVENT + 1)),
                                        .index = i,
                                        .order = (long)((i * 7919L) % 600L)};
            put(&calendar, entries[i].time, entries[i].kind, i, entries[i].order);
        }
        qsort(entries, (size_t)count, sizeof entries[0], compare);
        /* the first few are taken and put back while the rest wait */
        struct entry taken[5];
        int few = count < 5 ? count : 5;
        for (int i = 0; i < few; i++) {
            assert_true(calendar_take(&calendar, &taken[i]));
        }
        for (int i = 0; i < few; i++) {
            put(&calendar, taken[i].time, taken[i].kind, taken[i].index, taken[i].order);
        }
        for (int i = 0; i < count; i++) {
            take(&calendar, entries[i].time, entries[i].kind, entries[i].index);
        }
        calendar_free(&calendar);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_empty_calendar_has_nothing),
        cmocka_unit_test(earlier_comes_first),
        cmocka_unit_test(rank_decides_at_one_time),
        cmocka_unit_test(order_of_the_file_decides_at_last),
        cmocka_unit_test(one_moment_is_one_time),
        cmocka_unit_test(dropped_kinds_are_gone_and_the_rest_in_order),
        cmocka_unit_test(random_entries_come_sorted),
        cmocka_unit_test(random_drops_leave_the_rest_sorted),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
