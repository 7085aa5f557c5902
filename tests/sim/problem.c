/* problem.c: see problem.h. */
#include "problem.h"

#include "support/close.h"

#include <stdio.h>
#include <string.h>

static int evaluate(void *context, double t, const double *y, double *r)
{
    struct trial *trial = context;
    trial->calls++;
    trial->rates(t, y, r);
    if (trial->broken_after > 0.0 && t > trial->broken_after) {
        r[1] = NAN;
        return trial->refuse ? 1 : 0;
    }
    return 0;
}

static int differentiate(void *context, double t, const double *y, const double *r, const int *states, size_t count,
                         double *by_state, double *by_time)
{
    struct trial *trial = context;
    double moved[MOST];
    double plus[MOST];
    double minus[MOST];
    (void)r;
    memcpy(moved, y, trial->states * sizeof *moved);
    for (size_t a = 0; a < count; a++) {
        size_t i = (size_t)states[a];
        double by = 6e-6 * fmax(fabs(y[i]), trial->typical);
        moved[i] = y[i] + by;
        trial->rates(t, moved, plus);
        moved[i] = y[i] - by;
        trial->rates(t, moved, minus);
        moved[i] = y[i];
        for (size_t j = 0; j < trial->count; j++) {
            by_state[j * count + a] = (plus[j] - minus[j]) / (2.0 * by);
        }
    }
    trial->rates(t + 1e-5, moved, plus);
    trial->rates(t - 1e-5, moved, minus);
    for (size_t j = 0; j < trial->count; j++) {
        by_time[j] = (plus[j] - minus[j]) / 2e-5;
    }
    return 0;
}

static bool is_live(void *context, size_t rate)
{
    const struct trial *trial = context;
    return !trial->dead[rate];
}

static const struct ode_term *terms(void *context, size_t rate)
{
    struct trial *trial = context;
    return trial->terms[rate];
}

static void explain(void *context, double t, const double *y, char *text, size_t size)
{
    (void)context;
    (void)t;
    (void)y;
    (void)snprintf(text, size, "the second rate is not a number");
}

static struct ode_problem problem_of(struct trial *trial)
{
    return (struct ode_problem){.states = trial->states,
                                .rates = trial->count,
                                .context = trial,
                                .evaluate = evaluate,
                                .differentiate = differentiate,
                                .terms = terms,
                                .below = trial->below,
                                .early = trial->early,
                                .early_relative = trial->early_relative,
                                .early_absolute = trial->early_absolute,
                                .quick = trial->quick,
                                .quick_to_come = trial->quick_to_come,
                                .is_live = is_live,
                                .explain = explain};
}

struct ode *problem_ode_with(struct trial *trial, double relative, const double *absolute)
{
    struct ode_problem problem = problem_of(trial);
    struct ode *ode = NULL;
    ok(ode_create(&problem, relative, absolute, &ode));
    return ode;
}

struct ode *problem_ode(struct trial *trial, double relative, double absolute)
{
    double tolerances[MOST];
    for (size_t i = 0; i < MOST; i++) {
        tolerances[i] = absolute;
    }
    return problem_ode_with(trial, relative, tolerances);
}

void ok(struct status status)
{
    if (!status_is_ok(&status)) {
        fail_msg("%s", status.message);
    }
}

void advance(struct ode *ode, double stop)
{
    while (ode_time(ode) < stop) {
        ok(ode_step(ode, stop));
    }
    assert_close(ode_time(ode), stop, 0.0, 0.0);
}

static void robertson_rates(double t, const double *y, double *r)
{
    (void)t;
    r[0] = 0.04 * y[0];
    r[1] = 3e7 * y[1] * y[1];
    r[2] = 1e4 * y[1] * y[2];
}

struct trial robertson(void)
{
    return (struct trial){.rates = robertson_rates,
                          .states = 3,
                          .count = 3,
                          .typical = 1e-9,
                          .terms = {{{0, -1.0}, {1, 1.0}, {-1, 0.0}},
                                    {{1, -1.0}, {2, 1.0}, {-1, 0.0}},
                                    {{1, -1.0}, {0, 1.0}, {-1, 0.0}}}};
}
