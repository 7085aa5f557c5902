/* following.c: see following.h.
 *
 * The one who advises sees readings only, with their errors: pH by meter +-0.05, temperature to a degree, look, smell, a pinch
 * of lime, two test strips to 8 %, age, and the indigo left to within 10 %. Sugar and lime are hidden. What was needed is
 * searched for on the true vat.
 */
#include "study/following.h"

#include "process/registry.h"
#include "scenario/read.h"
#include "study/course.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#define SEED 500UL
#define VATS_EACH 5
#define STEPS_MOST 30 /* of the thirty vats one that is overlimed takes most, 25 */
#define HOUR 3600.0
#define MORE_THAN_NEEDED 1.5

struct tally {
    int vats, ready, overdosed, worse;
    int longest; /* steps, of the vat that took most */
};

struct scenario following_base(void)
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
    struct dose *doses = realloc(base.charge, 2 * 3 * sizeof *doses); /* those of the file, and those of one vat */
    assert_non_null(doses);
    base.charge = doses;
    return base;
}

/* The least share of a material's doses, of some tried from nothing up, with which the vat would have been ready at that
 * time too. */
static double least_share(const struct disturbed *vat, int material, double time)
{
    static const double shares[] = {0.0, 0.15, 0.3, 0.45, 0.55, 1.0 / MORE_THAN_NEEDED};
    static struct disturbed less;
    for (size_t i = 0; i < sizeof shares / sizeof shares[0]; i++) {
        less = disturbed_scaled(vat, material, shares[i]);
        if (disturbed_look(&less, time).holds) {
            return shares[i];
        }
    }
    return 1.0;
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
        double share = least_share(vat, materials[i], time);
        tally->overdosed += share < 1.0 ? 1 : 0;
        print_message("      %s: %.1f g given (%.2f g/L)%s", vat->scenario.model.materials[materials[i]].name,
                      1e3 * given, given / vat->scenario.fill,
                      share < 1.0 ? "" : ", no more than half again what was needed\n");
        if (share < 1.0) {
            print_message(" TOO MUCH: %.0f %% of it would have done\n", 100.0 * share);
        }
    }
}

static void tell_step(const struct advice *advice, const struct true_state *now, double hours)
{
    static const char *const words[] = {"wait", "warm", "sugar", "lime", "acid", "stir", "cover"};
    print_message("      %5.1f h: state %d, pH %.2f, %.0f C, leuco %.2f (strip %.2f), look %d, smell %d, thirst %.2f;",
                  hours, now->state, now->ph, now->temperature, now->leuco, advice->leuco, now->look, now->smell,
                  now->thirst);
    for (int i = 0; i < advice->plan.count; i++) {
        print_message(" %s %.3g", words[advice->plan.steps[i].kind], advice->plan.steps[i].amount);
    }
    print_message(" [verdict %d, ready in %.1f to %.1f h, alone %.1f; look in %.1f h, %d beliefs, %d runs]\n",
                  advice->verdict, advice->ready_soonest / HOUR, advice->ready_latest / HOUR,
                  advice->nothing_soonest / HOUR, advice->look_again / HOUR, advice->belief_count, advice->runs);
}

static void follow(struct disturbed *vat, const char *name, gsl_rng *rng, struct tally *tally)
{
    static struct disturbed alone;
    alone = *vat;
    double time = vat->disturbed_at;
    print_message("   %s: %.0f L\n", name, 1e3 * vat->scenario.fill);
    struct true_state now = disturbed_look(vat, time);
    int step = 0;
    for (; step < STEPS_MOST && !now.holds; step++) {
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
        now = disturbed_look(vat, time);
    }
    struct true_state left_alone = disturbed_look(&alone, time);
    bool worse = (left_alone.holds && !now.holds) || now.indigo < 0.99 * left_alone.indigo ||
                 (!now.holds && now.leuco < 0.9 * left_alone.leuco);
    tally->longest = step > tally->longest ? step : tally->longest;
    tally->vats++;
    tally->ready += now.holds ? 1 : 0;
    tally->worse += worse ? 1 : 0;
    print_message("      %s after %.1f h (left alone: %s)%s; leuco %.2f against %.2f g/L, indigo %.1f against %.1f g\n",
                  now.holds ? "ready" : "NOT READY", (time - vat->disturbed_at) / HOUR,
                  left_alone.holds ? "ready" : "not", worse ? " WORSE" : "", now.leuco, left_alone.leuco, now.indigo,
                  left_alone.indigo);
    if (now.holds) {
        check_doses(vat, time, tally);
    }
}

void follow_advice(enum disturbance kind, int ready_least, int overdosed_most)
{
    static struct disturbed vat;
    struct scenario base = following_base();
    struct tally tally = {0};
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    for (int i = 0; i < VATS_EACH; i++) {
        unsigned long seed = SEED + 100UL * (unsigned long)kind + (unsigned long)i; /* each vat has its own */
        gsl_rng_set(rng, seed);
        print_message("seed %lu\n", seed);
        disturbed_make(&vat, &base, kind, rng);
        follow(&vat, disturbance_words[kind], rng, &tally);
    }
    gsl_rng_free(rng);
    print_message("%d vats: %d ready, %d times more than needed by half, %d worse than left alone; at most %d steps\n",
                  tally.vats, tally.ready, tally.overdosed, tally.worse, tally.longest);
    assert_true(tally.longest < STEPS_MOST);
    assert_true(tally.ready >= ready_least);
    assert_int_equal(tally.worse, 0);
    assert_true(tally.overdosed <= overdosed_most);
    scenario_free(&base);
}
