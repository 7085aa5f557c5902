/* orders.c: see orders.h. */
#include "study/orders.h"

#include "study/asking.h"

#include "sim/run.h"
#include "study/compare.h"
#include "study/many.h"
#include "study/variant.h"

#include <gsl/gsl_rng.h>
#include <stdio.h>
#include <string.h>

#define SCHEDULES 3
#define KINDS 4
#define GROUPS 6 /* of covers in a week */
#define VATS (ORDERS_IN_ALL / ORDERS_PARTS)
#define SEED 20260504u

static const char *const schedules[SCHEDULES] = {SCENARIOS_DIR "/feeding-each-session.conf",
                                                 SCENARIOS_DIR "/feeding-by-rule.conf",
                                                 SCENARIOS_DIR "/feeding-weekly.conf"};

struct trial {
    struct scenario scenarios[SCHEDULES];
    int weights[VATS][GROUPS];
    struct outcome outcomes[VATS][SCHEDULES];
};

/* The cloth of the 24 covers, of four weights, dealt out anew over the week's groups. */
static struct status deal_cloth(const struct scenario *from, const int *weights, struct scenario *vat)
{
    static const double each[KINDS] = {0.070, 0.100, 0.130, 0.180}; /* kg; 0.480 in all, as four covers of 120 g */
    static const double fabric[KINDS] = {0.110, 0.150, 0.200, 0.280};
    RETURN_IF_FAILED(variant_make(from, vat));
    struct cloth_kind cover = vat->cloth[0];
    vat->cloth_count = 0;
    for (int w = 0; w < KINDS; w++) {
        struct cloth_kind kind = cover;
        (void)snprintf(kind.name, sizeof kind.name, "cover %d", w);
        kind.each = each[w];
        kind.fabric = fabric[w];
        kind.count = 24;
        RETURN_IF_FAILED(variant_add_cloth(vat, &kind));
    }
    int dealt = 0;
    for (size_t i = 0; i < from->event_count; i++) {
        if (from->events[i].action == ACTION_DIP) {
            vat->events[i].cloth = weights[dealt++ % GROUPS];
        }
    }
    return status_ok();
}

static struct status run_item(void *context, size_t index, int worker)
{
    (void)worker;
    struct trial *trial = context;
    size_t v = index / SCHEDULES;
    size_t s = index % SCHEDULES;
    struct scenario vat;
    struct result result;
    struct status status = deal_cloth(&trial->scenarios[s], trial->weights[v], &vat);
    if (status_is_ok(&status)) {
        status = run_scenario(&vat, NULL, &result);
        if (status_is_ok(&status)) {
            outcome_read(&result, SHADE_COUNT, &trial->outcomes[v][s]);
        }
        result_free(&result);
    }
    scenario_free(&vat);
    return status;
}

/* Shuffles (Fisher and Yates). Every part draws for all forty and keeps its own. */
static void draw_orders(struct trial *trial, int part)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    assert_non_null(rng);
    gsl_rng_set(rng, SEED);
    print_message("seed %u\n", SEED);
    for (int v = 0; v < ORDERS_IN_ALL; v++) {
        int weights[GROUPS] = {0, 1, 2, 3, 1, 2};
        for (int i = GROUPS - 1; i > 0; i--) {
            int k = (int)gsl_rng_uniform_int(rng, (unsigned long)i + 1);
            int moving = weights[i];
            weights[i] = weights[k];
            weights[k] = moving;
        }
        if (v / VATS == part) {
            memcpy(trial->weights[v % VATS], weights, sizeof weights);
        }
    }
    gsl_rng_free(rng);
}

static void books_close(const struct outcome *o)
{
    for (int b = 0; b < BOOKED_COUNT; b++) {
        const struct book *book = &o->books[b];
        assert_close(book->served + book->left + book->lost, book->used, 1e-9, 1e-9);
        assert_true(book->served >= 0.0 && book->left >= -1e-9 && book->lost >= -1e-9);
    }
}

/* Of the indigo that the weekly vat did not bring onto cloth most lies in it, and the sentence says so and why. */
static bool is_explained(const struct outcome *first, const struct outcome *last, bool print)
{
    char why[1200];
    struct indigo_difference d = compare_indigo(first, last);
    assert_close(d.used + d.unreduced + d.leuco + d.lost, d.on_cloth, 1e-9, 1e-9);
    compare_explain(first, last, GOAL_STEADY, why, sizeof why);
    if (print) {
        print_message("%s\n", why);
    }
    return strstr(why, "feeding-by-rule puts") != NULL && strstr(why, ", because ") != NULL &&
           (strstr(why, "g less lie unreduced") != NULL || strstr(why, "g less are left in it as leuco") != NULL) &&
           strstr(why, "; feeding-weekly was ") != NULL && d.unreduced + d.leuco > 0.5 * d.on_cloth;
}

void orders_hold(int part)
{
    static struct trial trial;
    static const char *const looser[] = {"rtol=1e-4", "record=3 h"};
    int first_place[SCHEDULES] = {0};
    int last_place[SCHEDULES] = {0};
    int explained = 0;
    draw_orders(&trial, part);
    for (int i = 0; i < SCHEDULES; i++) {
        ask_file(schedules[i], looser, 2, &trial.scenarios[i]);
    }
    struct many many = {.count = (size_t)VATS * SCHEDULES, .context = &trial, .work = run_item};
    assert_done(many_run(&many, NULL));
    for (int v = 0; v < VATS; v++) {
        struct outcome *outcomes = trial.outcomes[v];
        size_t order[SCHEDULES];
        for (int i = 0; i < SCHEDULES; i++) {
            books_close(&outcomes[i]);
        }
        compare_rank(outcomes, SCHEDULES, GOAL_STEADY, order);
        first_place[order[0]]++;
        last_place[order[SCHEDULES - 1]]++;
        explained += is_explained(&outcomes[order[0]], &outcomes[order[SCHEDULES - 1]], v == 0);
    }
    for (int i = 0; i < SCHEDULES; i++) {
        print_message("%s: first %d times, last %d times of %d\n", strrchr(schedules[i], '/') + 1, first_place[i],
                      last_place[i], VATS);
        scenario_free(&trial.scenarios[i]);
    }
    print_message("the books explain what ails the weekly vat %d times\n", explained);
    assert_int_equal(last_place[2], VATS);                         /* feeding once a week is worst */
    assert_true(first_place[0] == VATS || first_place[1] == VATS); /* and one of the others is always first */
    assert_int_equal(explained, VATS);
}
