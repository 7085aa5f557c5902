/* test_day.c: the day of a workshop: waiting times against queueing theory, rules of the house, and the vats' part.
 *
 * Formulas, for arrivals at random at rate lambda and a service that takes 1/mu on average, a = lambda/mu, rho = a/c:
 *   M/M/c (Erlang C): C = (a^c/c!) / ((1 - rho) sum_{j<c} a^j/j! + a^c/c!),  Wq = C / (c mu - lambda)
 *     A. O. Allen, Probability, Statistics, and Queueing Theory, Academic Press, 1978, section on M/M/c, pp. 274-276
 *   M/D/1 (Pollaczek-Khinchine with no variance): Wq = rho / (2 mu (1 - rho))
 *     R. B. Cooper, Introduction to Queueing Theory, 2nd ed., Elsevier North Holland, 1981, p. 189
 * Pages as later works cite them; the formulas were compared with three independent statements of each.
 */
#include "study/day.h"
#include "study/outcome.h"

#include "asking.h"

#include "support/close.h"

#include <stdio.h>
#include <stdlib.h>

#define PEOPLE 60000
#define SERVICE 60.0  /* s */
#define LEFT_OUT 0.05 /* of the people, who met an empty room or come last */
#define SEED 20261125UL
#define ALLOWED 0.02 /* the promise */

static double erlang_c(int servers, double offered)
{
    double term = 1.0;
    double sum = 0.0;
    for (int j = 0; j < servers; j++) {
        sum += term;
        term *= offered / (j + 1);
    }
    return term / ((1.0 - offered / servers) * sum + term);
}

/* Mean wait of a long day with people at random, one piece and one dip each. */
static double wait_of(int vats, int at_once, double rho, double vary, unsigned long seed)
{
    static struct scenario scenario; /* of the workshop only: large */
    static struct cloth_kind cloth = {.each = 0.1};
    double lasts = PEOPLE * SERVICE / (rho * vats * at_once);
    scenario = (struct scenario){0};
    scenario.cloth = &cloth;
    scenario.cloth_count = 1;
    scenario.workshop = (struct workshop){
        .exists = true,
        .people = PEOPLE,
        .pieces = 1,
        .dips = 1,
        .vats = vats,
        .at_once = at_once,
        .closes = lasts + 1000.0 * SERVICE,
        .soak = SERVICE,
        .vary = vary,
        .arrivals = {{.people = PEOPLE, .over = lasts}},
        .arrival_count = 1,
    };
    struct day_how how = {.seed = seed};
    struct day day;
    struct status status = day_run(&scenario, &how, &day);
    assert_int_equal(status.code, STATUS_OK);
    assert_int_equal(day.visit_count, PEOPLE);
    assert_int_equal(day.unserved_count, 0);
    double sum = 0.0;
    int count = 0;
    for (size_t i = 0; i < day.piece_count; i++) {
        const struct day_piece *piece = &day.pieces[i];
        if (piece->arrived > LEFT_OUT * lasts && piece->arrived < (1.0 - LEFT_OUT) * lasts) {
            sum += piece->waited;
            count++;
        }
    }
    day_free(&day);
    return sum / count;
}

static void check(const char *name, int vats, int at_once, double rho, double vary, int days, double expected)
{
    double mean = 0.0;
    double square = 0.0;
    for (int i = 0; i < days; i++) {
        double wait = wait_of(vats, at_once, rho, vary, SEED + (unsigned long)i);
        mean += wait / days;
        square += wait * wait / days;
    }
    double error = sqrt(fmax(0.0, square - mean * mean) / (days - 1));
    print_message(
        "%s, %d vats with %d places, %.0f %% in use, seeds from %lu: waited %.2f s (standard error %.2f), theory "
        "%.2f s, off by %.2f %%\n",
        name, vats, at_once, 100.0 * rho, SEED, mean, error, expected, 100.0 * (mean / expected - 1.0));
    assert_close(mean, expected, ALLOWED, 0.0);
}

static void waits_as_theory_says(void **state)
{
    (void)state;
    assert_close(erlang_c(1, 0.7), 0.7, 1e-12, 0.0);  /* C(1, rho) = rho */
    assert_close(erlang_c(2, 1.2), 0.45, 1e-12, 0.0); /* by hand */
    /* Days enough for a standard error of about 1 %. */
    static const struct {
        int vats, at_once;
        double rho;
        int days;
    } cases[] = {{1, 1, 0.6, 12}, {3, 1, 0.7, 32}, {3, 2, 0.6, 32}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        int servers = cases[i].vats * cases[i].at_once;
        double wait = erlang_c(servers, cases[i].rho * servers) * SERVICE / (servers * (1.0 - cases[i].rho));
        check("M/M/c", cases[i].vats, cases[i].at_once, cases[i].rho, 1.0, cases[i].days, wait);
    }
    /* Three places wait alike in one vat and in three. */
    assert_close(wait_of(1, 3, 0.7, 1.0, SEED), wait_of(3, 1, 0.7, 1.0, SEED), 1e-9, 0.0);
    check("M/D/1", 1, 1, 0.5, 0.0, 6, 0.5 * SERVICE / (2.0 * 0.5));
    check("M/D/1", 1, 1, 0.7, 0.0, 6, 0.7 * SERVICE / (2.0 * 0.3));
}

/* ---- a small class, followed minute by minute --------------------------------------------------------------------- */

#define HEAD                                                                                                           \
    "title = \"A class\"; start = \"2026-06-01 16:00\"; lasts = \"2 days\";\n"                                         \
    "vat = { model = \"sugar-lime\";\n"                                                                                \
    "  vessel = { diameter = \"40 cm\"; depth = \"48 cm\"; fill = \"40 L\"; lid = \"loose\"; };\n"                     \
    "  place = { night = \"16 degC\"; day = \"22 degC\"; };\n"                                                         \
    "  water = { temperature = \"50 degC\"; alkalinity = \"150 mg/L\"; };\n"                                           \
    "  charge = ( { add = \"indigo powder\"; amount = \"200 g\"; purity = 0.40; },\n"                                  \
    "             { add = \"slaked lime\"; amount = \"400 g\"; }, { add = \"fructose\"; amount = \"600 g\"; } ); };\n" \
    "cloth = ( { name = \"square\"; fibre = \"cotton\"; each = \"40 g\"; fabric = \"120 g/m2\"; } );\n"                \
    "calendar = ( { at = \"day 1 17:00\"; do = \"stir\"; } );\n"

static struct day run_day(const struct scenario *scenario, bool chemistry, bool keep)
{
    struct day_how how = {.seed = 7, .chemistry = chemistry, .keep = keep, .after = 3600.0};
    struct day day;
    struct status status = day_run(scenario, &how, &day);
    if (!status_is_ok(&status)) {
        fail_msg("%s", status.message);
    }
    return day;
}

/* Two people at 10:00, one place, no differences: 10 min at the vat, 20 min in the air, two dips. */
static void goes_by_the_clock(void **state)
{
    (void)state;
    struct scenario scenario;
    ask_text(
        HEAD
        "workshop = { opens = \"day 2 10:00\"; closes = \"day 2 12:00\"; vats = 1; at_once = 1; dips = 2; vary = 0.0;\n"
        "  arrive = ( { at = \"day 2 10:00\"; people = 2; } ); soak = \"8 min\"; handling = \"2 min\"; air = \"20 "
        "min\";\n"
        "  tubs = 1; rinse = \"5 min\"; breaks = ( { at = \"day 2 10:30\"; for = \"15 min\"; } ); };\n",
        &scenario);
    struct day day = run_day(&scenario, false, false);
    double opens = scenario.workshop.opens;
    assert_close(opens, 18.0 * 3600.0, 0.0, 1e-9);
    assert_int_equal(day.visit_count, 4);
    /* First in at 10:01 (after half the handling), out of the place at 10:10, back at 10:30, when the break begins. */
    const double in[] = {1.0, 11.0, 46.0, 56.0};
    const int piece[] = {0, 1, 0, 1};
    for (int i = 0; i < 4; i++) {
        assert_close((day.visits[i].in - opens) / 60.0, in[i], 0.0, 1e-9);
        assert_close((day.visits[i].out - opens) / 60.0, in[i] + 8.0, 0.0, 1e-9);
        assert_int_equal(day.visits[i].piece, piece[i]);
    }
    assert_close(day.pieces[0].waited / 60.0, 0.0, 0.0, 1e-9);  /* a break is no queue */
    assert_close(day.pieces[1].waited / 60.0, 20.0, 0.0, 1e-9); /* 10 for the first dip, 10 for the second */
    assert_close((day.pieces[0].done - opens) / 60.0, 55.0 + 20.0 + 5.0, 0.0, 1e-9);
    assert_close((day.pieces[1].done - opens) / 60.0, 65.0 + 20.0 + 5.0, 0.0, 1e-9);
    day_free(&day);

    /* Closing takes the second dip of the second person away. */
    scenario.workshop.closes = opens + 50.0 * 60.0;
    day = run_day(&scenario, false, false);
    assert_int_equal(day.visit_count, 3);
    assert_int_equal(day.unserved_count, 1);
    assert_int_equal(day.pieces[1].dips, 1);
    assert_true(isnan(day.pieces[1].done));
    assert_close(day.unserved[0] / 60.0, 5.0, 0.0, 1e-9); /* from 10:45, when the break ended */
    day_free(&day);
    scenario_free(&scenario);
}

/* Helpers, lines and tubs hold people up where they are few. */
static void means_are_short(void **state)
{
    (void)state;
    struct scenario scenario;
    ask_text(
        HEAD
        "workshop = { opens = \"day 2 10:00\"; closes = \"day 2 16:00\"; vats = 2; at_once = 2; dips = 2; pieces = 2;\n"
        "  arrive = ( { at = \"day 2 10:00\"; people = 6; over = \"30 min\"; } ); soak = \"6 min\"; air = \"15 min\"; "
        "};\n",
        &scenario);
    struct day plenty = run_day(&scenario, false, false);
    double last[4];
    for (int k = 0; k < 4; k++) {
        struct workshop kept = scenario.workshop;
        scenario.workshop.helpers = k == 1 ? 1 : 0;
        scenario.workshop.help = 300.0;
        scenario.workshop.lines = k == 2 ? 2 : 0;
        scenario.workshop.tubs = k == 3 ? 1 : 0;
        scenario.workshop.rinse = 600.0;
        struct day day = run_day(&scenario, false, false);
        last[k] = 0.0;
        for (size_t i = 0; i < day.piece_count; i++) {
            assert_int_equal(day.pieces[i].dips, 2);
            last[k] = fmax(last[k], day.pieces[i].done);
        }
        for (size_t i = 0; i < day.row_count; i++) { /* never more in use than there is */
            assert_true(day.rows[i].soaking <= 4 && day.rows[i].helping <= 1);
            assert_true(k != 2 || day.rows[i].hanging <= 2);
            assert_true(k != 3 || day.rows[i].rinsing <= 1);
        }
        assert_int_equal(day.rows[day.row_count - 1].people, 0);
        day_free(&day);
        scenario.workshop = kept;
    }
    print_message("last piece done at %.2f h; with one helper %.2f h, two lines %.2f h, one tub %.2f h\n",
                  last[0] / 3600.0, last[1] / 3600.0, last[2] / 3600.0, last[3] / 3600.0);
    assert_true(last[1] > last[0] && last[2] > last[0] && last[3] > last[0]);
    day_free(&plenty);
    scenario_free(&scenario);
}

/* ---- with the vats ------------------------------------------------------------------------------------------------ */

static void vats_change_under_their_hands(void **state)
{
    (void)state;
    struct scenario scenario;
    ask_text(HEAD "workshop = { opens = \"day 2 10:00\"; closes = \"day 2 15:00\"; vats = 2; at_once = 5; dips = 3;\n"
                  "  arrive = ( { at = \"day 2 10:00\"; people = 16; } ); soak = \"6 min\"; air = \"15 min\"; };\n",
             &scenario);
    struct day bare = run_day(&scenario, false, false);
    struct day day = run_day(&scenario, true, true);
    /* The vats bear it: people are served as if there were no chemistry. */
    assert_int_equal(day.visit_count, bare.visit_count);
    assert_int_equal(day.visit_count, 16 * 3);
    int dips = 0;
    for (int vat = 0; vat < 2; vat++) {
        const struct result *result = &day.vats[vat].result;
        assert_int_equal(result->status, RUN_COMPLETE);
        assert_int_equal((int)result->dips.rows, day.vats[vat].dips);
        dips += day.vats[vat].dips;
        assert_true(day.vats[vat].strip_last < day.vats[vat].strip_first);
        for (size_t i = 0; i < result->ledger_count; i++) {
            assert_true(result->ledger[i].residual_relative < 1e-9);
        }
    }
    assert_int_equal(dips, 48);
    /* Every dip of the queue is a dip of the vat, at its time. */
    const struct table *table = &day.pieces_result.dips;
    assert_int_equal(table->rows, day.visit_count);
    for (size_t v = 0; v < day.visit_count; v++) {
        bool found = false;
        for (size_t row = 0; row < table->rows && !found; row++) {
            found = (int)table_column(table, "first_piece")->values[row] == day.visits[v].piece + 1 &&
                    (int)table_column(table, "dip")->values[row] == day.visits[v].dip &&
                    (int)table_column(table, "vat")->values[row] == day.visits[v].vat + 1 &&
                    fabs(table_column(table, "time")->values[row] - day.visits[v].in) < 1e-3 &&
                    fabs(table_column(table, "soak")->values[row] - (day.visits[v].out - day.visits[v].in)) < 1e-3;
        }
        assert_true(found);
    }
    for (size_t i = 0; i < day.piece_count; i++) {
        assert_close(day.pieces[i].owf, 1e-2 * table_column(&day.pieces_result.pieces, "owf_washed")->values[i], 1e-12,
                     0.0);
        assert_true(day.pieces[i].owf > 5e-4);
    }
    day_free(&bare);
    day_free(&day);

    /* The same seed, the same day. */
    struct day once = run_day(&scenario, true, false);
    struct day again = run_day(&scenario, true, false);
    for (size_t i = 0; i < once.piece_count; i++) {
        assert_memory_equal(&once.pieces[i], &again.pieces[i], sizeof once.pieces[i]);
    }
    day_free(&once);
    day_free(&again);
    scenario_free(&scenario);
}

/* A vat without sugar never is ready: its door stays shut and nobody dips. One that was only just made opens late. */
static void unfit_vats_stay_shut(void **state)
{
    (void)state;
    struct scenario scenario;
    ask_text(HEAD "workshop = { opens = \"day 1 16:10\"; closes = \"day 1 21:00\"; vats = 1; at_once = 4; dips = 1;\n"
                  "  arrive = ( { at = \"day 1 16:00\"; people = 4; } ); soak = \"6 min\"; air = \"15 min\"; };\n",
             &scenario);
    struct day day = run_day(&scenario, true, false);
    assert_close(day.vats[0].shut_at, 600.0, 0.0, 1e-6);
    assert_true(day.vats[0].back);
    assert_int_equal(day.visit_count, 4);
    assert_true(day.visits[0].in > 1800.0);
    assert_close(day.vats[0].shut_for, day.visits[0].in - 0.5 * 150.0 - 600.0, 0.5, 0.0);
    day_free(&day);
    scenario.charge[2].mass = 1e-6;
    day = run_day(&scenario, true, false);
    assert_int_equal(day.visit_count, 0);
    assert_int_equal(day.unserved_count, 4);
    assert_false(day.vats[0].back);
    assert_close(day.vats[0].shut_for, scenario.workshop.closes - 600.0, 0.0, 1e-6);
    assert_false(outcome_is_fit(day.vats[0].shut_state));
    day_free(&day);
    scenario_free(&scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(waits_as_theory_says), cmocka_unit_test(goes_by_the_clock),
        cmocka_unit_test(means_are_short),      cmocka_unit_test(vats_change_under_their_hands),
        cmocka_unit_test(unfit_vats_stay_shut),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
