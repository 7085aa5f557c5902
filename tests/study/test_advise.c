/* test_advise.c: advice closes the loop on vats disturbed at random; readings that cannot be are told.
 *
 * The one who advises sees readings only, with their errors: pH by meter +-0.05, temperature to a degree, look, smell, a pinch
 * of lime, age, and the indigo left to within 10 %. Sugar and lime are hidden.
 */
#include "study/disturbed.h"

#include "process/registry.h"
#include "scenario/read.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#define SEED 5UL
#define VATS_EACH 5
#define STEPS_MOST 10
#define HOUR 3600.0
#define NEEDED_READY 27
#define MORE_THAN_NEEDED 1.5
#define STATES_TOLD STATE_WORDS

struct tally {
    int vats, ready, overdosed, worse;
};

static struct scenario read_base(void)
{
    const char *names[PROCESSES_KNOWN_MOST + 1];
    struct complaints complaints;
    struct scenario base;
    process_names(names);
    complaints_init(&complaints);
    struct status status =
        scenario_read(TESTS_DIR "/study/advise-vat.conf", NULL, 0, names, MODELS_DIR, &base, &complaints);
    if (status.code != STATUS_OK) {
        fail_msg("%s", complaints.count > 0 ? complaints.items[0].text : status.message);
    }
    complaints_free(&complaints);
    struct dose *doses = realloc(base.charge, (1 + DISTURBANCE_COUNT) * 3 * sizeof *doses);
    assert_non_null(doses);
    base.charge = doses;
    return base;
}

/* The least share of a material's doses with which the vat would have been ready at that time too. */
static double least_share(const struct disturbed *vat, int material, double time)
{
    static struct disturbed less;
    double low = 0.0;
    double high = 1.0;
    less = disturbed_scaled(vat, material, 0.0);
    if (disturbed_look(&less, time).holds) {
        return 0.0;
    }
    for (int i = 0; i < 6; i++) {
        double share = 0.5 * (low + high);
        less = disturbed_scaled(vat, material, share);
        if (disturbed_look(&less, time).holds) {
            high = share;
        } else {
            low = share;
        }
    }
    return high;
}

static void check_doses(const struct disturbed *vat, double time, struct tally *tally)
{
    struct remedies remedies = remedies_of(&vat->scenario);
    const int materials[] = {remedies.sugar, remedies.lime, remedies.acid};
    for (size_t i = 0; i < 3; i++) {
        double given = disturbed_given(vat, materials[i]);
        if (!(given > 0.0)) {
            continue;
        }
        double needed = given * least_share(vat, materials[i], time);
        bool over = given > MORE_THAN_NEEDED * needed;
        tally->overdosed += over ? 1 : 0;
        print_message("      %s: %.1f g given (%.2f g/L), %.1f g needed%s\n",
                      vat->scenario.model.materials[materials[i]].name, 1e3 * given, given / vat->scenario.fill,
                      1e3 * needed, over ? "  TOO MUCH" : "");
    }
}

static void tell_step(const struct advice *advice, const struct true_state *now, double hours)
{
    static const char *const words[] = {"wait", "warm", "sugar", "lime", "acid", "stir", "cover"};
    print_message("      %5.1f h: state %d, pH %.2f, %.0f C, leuco %.2f, look %d, smell %d, thirst %.2f;", hours,
                  now->state, now->ph, now->temperature, now->leuco, now->look, now->smell, now->thirst);
    for (int i = 0; i < advice->plan.count; i++) {
        print_message(" %s %.3g", words[advice->plan.steps[i].kind], advice->plan.steps[i].amount);
    }
    print_message(" [verdict %d, ready in %.1f to %.1f h, alone %.1f; look in %.1f h, %d runs]\n", advice->verdict,
                  advice->ready_soonest / HOUR, advice->ready_latest / HOUR, advice->nothing_soonest / HOUR,
                  advice->look_again / HOUR, advice->runs);
}

static void follow(struct disturbed *vat, const char *name, gsl_rng *rng, struct tally *tally)
{
    static struct disturbed alone;
    alone = *vat;
    double time = vat->disturbed_at;
    bool ready = false;
    print_message("   %s: %.0f L\n", name, 1e3 * vat->scenario.fill);
    for (int step = 0; step < STEPS_MOST && !ready; step++) {
        struct true_state now = disturbed_look(vat, time);
        if (now.holds) {
            ready = true;
            break;
        }
        struct scenario seen = disturbed_read(vat, &now, time, rng);
        seen.places = &vat->place;
        struct advice advice;
        struct status status = advise(&seen, NULL, &advice);
        assert_int_equal(status.code, STATUS_OK);
        tell_step(&advice, &now, (time - vat->disturbed_at) / HOUR);
        struct plan first = advice.plan;
        first.count = first.count > 1 ? 1 : first.count;
        struct event_spec events[2 * PLAN_STEPS_MOST];
        disturbed_add(vat, events, plan_events(&seen, &first, time, events));
        time += advice.look_again;
    }
    struct true_state then = disturbed_look(vat, time);
    struct true_state left_alone = disturbed_look(&alone, time);
    ready = then.holds;
    bool worse = (left_alone.holds && !then.holds) || then.indigo < 0.99 * left_alone.indigo ||
                 (!then.holds && then.leuco < 0.9 * left_alone.leuco);
    tally->vats++;
    tally->ready += ready ? 1 : 0;
    tally->worse += worse ? 1 : 0;
    print_message("      %s after %.1f h (left alone: %s)%s; leuco %.2f against %.2f g/L, indigo %.1f against %.1f g\n",
                  ready ? "ready" : "NOT READY", (time - vat->disturbed_at) / HOUR, left_alone.holds ? "ready" : "not",
                  worse ? " WORSE" : "", then.leuco, left_alone.leuco, then.indigo, left_alone.indigo);
    if (ready) {
        check_doses(vat, time, tally);
    }
}

static void closes_the_loop(void **state)
{
    (void)state;
    static struct disturbed vat;
    struct scenario base = read_base();
    struct tally tally = {0};
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, SEED);
    print_message("seed %lu\n", SEED);
    for (int kind = 0; kind < DISTURBANCE_COUNT; kind++) {
        for (int i = 0; i < VATS_EACH; i++) {
            disturbed_make(&vat, &base, (enum disturbance)kind, rng);
            follow(&vat, disturbance_words[kind], rng, &tally);
        }
    }
    gsl_rng_free(rng);
    print_message("%d vats: %d ready, %d times more than needed by half, %d worse than left alone\n", tally.vats,
                  tally.ready, tally.overdosed, tally.worse);
    assert_true(tally.ready >= NEEDED_READY);
    assert_int_equal(tally.worse, 0);
    assert_int_equal(tally.overdosed, 0);
    scenario_free(&base);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(closes_the_loop),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
