/* test_priors.c: the wide priors of uptake and washing, each at the low and the high end of its range, the others at
 * their most likely value: rows 3, 4 and 5 of practice section 8 on cotton.
 *
 * Where an end leaves practice's range the table of exceptions holds the model's own value (docs/model.md "Ends of the
 * priors of cloth"), so that a change shows either way.
 */
#include "behaviour/dyeing.h"

#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

enum measure { TAKEN, WASHED, DEPTH, LONGER, SECOND, SIX, FOURTH, SIX_DEPTH, MEASURES };

static const struct {
    const char *about;
    double low, high;
} practice[MEASURES] = {
    [TAKEN] = {"g/kg by one 8-min dip", 3.0, 8.0},
    [WASHED] = {"% after the wash", 0.25, 0.70},
    [DEPTH] = {"K/S after the wash", 3.0, 9.0},
    [LONGER] = {"more by 20 than by 10 min", 0.05, 0.20},
    [SECOND] = {"more by 2 than by 1 min", 0.25, 0.60},
    [SIX] = {"six dips over one, dye", 3.5, 5.0},
    [FOURTH] = {"the fourth dip over the first", 0.50, 0.80},
    [SIX_DEPTH] = {"six dips over one, K/S", 2.5, 4.0},
};

/* One prior: of the fibre by its place in struct fibre, or of the model by its number. */
struct prior {
    const char *name;
    size_t of_fibre; /* offset; of the model when it is NOT_OF_FIBRE */
    enum constant_id of_model;
};
#define NOT_OF_FIBRE ((size_t)-1)
#define FIBRE(name)                                                                                                    \
    {                                                                                                                  \
        "cotton " #name, offsetof(struct fibre, name), (enum constant_id)0                                             \
    }
#define MODEL(id)                                                                                                      \
    {                                                                                                                  \
#id, NOT_OF_FIBRE, id                                                                                          \
    }

static const struct prior priors[] = {
    FIBRE(freundlich),
    FIBRE(exponent),
    FIBRE(cap),
    FIBRE(half_time),
    FIBRE(pickup_hand),
    FIBRE(air_wetted),
    MODEL(K_UPTAKE_HALF_TIME_WEIGHT_POWER),
    MODEL(K_UPTAKE_RATE_PER_10K),
    MODEL(K_UPTAKE_EQUILIBRIUM_PER_10K),
    MODEL(K_WETTED_IN_WATER),
    MODEL(K_WASH_OFF_CARRIED),
    MODEL(K_WASH_OFF_SORBED),
    MODEL(K_OXIDATION_TIME_FILM),
    MODEL(K_OXIDATION_TIME_HEAVY),
    MODEL(K_STRIP_LOSS_PER_DIP),
    MODEL(K_SHADE_K_OVER_S_LIMIT),
    MODEL(K_SHADE_OWF_RING),
    MODEL(K_SHADE_OWF_PENETRATED),
};
#define PRIORS (sizeof priors / sizeof priors[0])

/* What leaves practice's range, with the model's value. */
static const struct {
    const char *name;
    int high; /* end */
    enum measure measure;
    double value;
} exceptions[] = {
    {"cotton freundlich", 0, TAKEN, 2.57},     {"cotton freundlich", 0, WASHED, 0.191},
    {"cotton freundlich", 0, DEPTH, 2.50},     {"cotton freundlich", 0, SECOND, 0.222},
    {"cotton freundlich", 0, SIX, 5.18},       {"cotton freundlich", 0, FOURTH, 0.832},
    {"cotton freundlich", 0, SIX_DEPTH, 4.04}, {"cotton freundlich", 1, TAKEN, 8.71},
    {"cotton freundlich", 1, WASHED, 0.763},   {"cotton freundlich", 1, SIX, 3.47},
    {"cotton freundlich", 1, FOURTH, 0.461},   {"cotton freundlich", 1, SIX_DEPTH, 2.21},
    {"cotton half_time", 0, LONGER, 0.006},
};

struct end {
    const struct prior *prior;
    int high;
};

static void set_end(struct scenario *scenario, const void *context)
{
    const struct end *end = context;
    struct constant *constant;
    if (end->prior == NULL) {
        return;
    }
    if (end->prior->of_fibre == NOT_OF_FIBRE) {
        constant = &scenario->model.constants[end->prior->of_model];
    } else {
        struct fibre *cotton = &scenario->model.fibres[scenario->cloth[0].fibre];
        assert_string_equal(cotton->name, "cotton");
        constant = (struct constant *)(void *)((char *)cotton + end->prior->of_fibre);
    }
    constant->nominal = end->high ? constant->high : constant->low;
}

static struct vat_run *run_end(const struct end *end, double soak_min, int dips)
{
    struct rested vat = good_vat();
    return run_dipped_changed(vat, (struct dips){.soak_min = soak_min, .air_min = 15.0, .dips = dips, .wring = "hand"},
                              NULL, set_end, end);
}

static double taken(const struct end *end, double soak_min)
{
    struct vat_run *run = run_end(end, soak_min, 1);
    double value = dip_taken(run, 0);
    run_free(run);
    return value;
}

static void measure(const struct end *end, double values[MEASURES])
{
    struct vat_run *one = run_end(end, 8.0, 1);
    struct vat_run *six = run_end(end, 8.0, 6);
    values[TAKEN] = dip_taken(one, 0);
    values[WASHED] = piece_value(one, 0, "owf_washed");
    values[DEPTH] = piece_value(one, 0, "k_over_s");
    values[LONGER] = taken(end, 20.0) / taken(end, 10.0) - 1.0;
    values[SECOND] = taken(end, 2.0) / taken(end, 1.0) - 1.0;
    values[SIX] = dips_taken(six, 0, 6) / dip_taken(six, 0);
    values[FOURTH] = dip_taken(six, 3) / dip_taken(six, 0);
    values[SIX_DEPTH] = piece_value(six, 0, "k_over_s") / values[DEPTH];
    run_free(one);
    run_free(six);
}

static void check(const struct end *end)
{
    double values[MEASURES];
    const char *name = end->prior == NULL ? "all most likely" : end->prior->name;
    measure(end, values);
    print_message("%-32s %-4s", name, end->prior == NULL ? "" : end->high ? "high" : "low");
    for (int m = 0; m < MEASURES; m++) {
        bool outside = !(values[m] >= practice[m].low && values[m] <= practice[m].high);
        print_message(" %6.3f%c", values[m], outside ? '*' : ' ');
    }
    print_message("\n");
    for (int m = 0; m < MEASURES; m++) {
        double low = practice[m].low;
        double high = practice[m].high;
        for (size_t i = 0; i < sizeof exceptions / sizeof exceptions[0]; i++) {
            if (end->prior != NULL && strcmp(exceptions[i].name, name) == 0 && exceptions[i].high == end->high &&
                (int)exceptions[i].measure == m) {
                low = 0.95 * exceptions[i].value - 5e-4;
                high = 1.05 * exceptions[i].value + 5e-4;
            }
        }
        if (!(values[m] >= low && values[m] <= high)) {
            print_error("%s, %s: %s is %.3g; expected %.3g to %.3g\n", name, end->high ? "high" : "low",
                        practice[m].about, values[m], low, high);
            fail();
        }
    }
}

static void most_likely_values(void **state)
{
    (void)state;
    check(&(struct end){NULL, 0});
}

static void ends_of_the_priors(void **state)
{
    (void)state;
    for (size_t i = 0; i < PRIORS; i++) {
        for (int high = 0; high < 2; high++) {
            check(&(struct end){&priors[i], high});
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(most_likely_values),
        cmocka_unit_test(ends_of_the_priors),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
